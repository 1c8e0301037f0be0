"""The order of cuts: every piece comes free by straight cuts, and nothing is cut through."""

from __future__ import annotations

import pytest

from shopfit.cutting.sawing import Box, NotGuillotine, saw


def test_two_strips_are_ripped_and_then_crosscut() -> None:
    """Two rows of two: rip at 10, then each strip once; the last pieces need no further cut."""
    pieces = [Box(0, 0, 10, 10), Box(11, 0, 21, 10), Box(0, 11, 10, 21), Box(11, 11, 21, 21)]
    found = saw(Box(0, 0, 21, 21), pieces, 1.0)
    assert [(cut.saw, cut.set_mm, cut.of, cut.frees, cut.leaves) for cut in found.cuts] == [
        ("rip", 10, "", "A", "B"),
        ("crosscut", 10, "A", "A1", "A2"),
        ("crosscut", 10, "B", "B1", "B2"),
    ]
    assert found.tags == ("A1", "A2", "B1", "B2")
    assert found.left == ()


def test_a_large_offcut_comes_off_whole_and_first() -> None:
    """What is right of both strips is kept in one, where it is just large enough to keep."""
    pieces = [Box(x, y, x + 20, y + 10) for y in (0, 11) for x in (0, 21)]
    board = Box(0, 0, 100, 21)
    kept = saw(board, pieces, 1.0, (59, 50))
    assert (kept.cuts[0].saw, kept.cuts[0].set_mm) == ("crosscut", 41)
    assert (kept.left[0].length_mm, kept.left[0].width_mm) == (58, 21)
    small = saw(board, pieces, 1.0, (59.1, 50))
    assert small.cuts[0].saw == "rip"


def test_a_common_edge_is_sawn_once() -> None:
    """Two pieces of one width side by side: one rip takes the rest off both, not one each."""
    pieces = [Box(0, 0, 60, 40), Box(61, 0, 90, 40)]
    found = saw(Box(0, 0, 100, 44), pieces, 1.0)
    assert [(cut.saw, cut.set_mm) for cut in found.cuts] == [
        ("rip", 40),
        ("crosscut", 60),
        ("crosscut", 29),
    ]


def test_a_lone_piece_is_trimmed_on_both_sides() -> None:
    """One cut each, the larger offcut first, and none where the piece is the whole board."""
    found = saw(Box(0, 0, 100, 50), [Box(0, 0, 90, 20)], 2.0)
    assert [(cut.saw, cut.set_mm) for cut in found.cuts] == [("rip", 20), ("crosscut", 90)]
    assert [(left.length_mm, left.width_mm) for left in found.left] == [(100, 28), (8, 20)]
    assert saw(Box(0, 0, 9, 9), [Box(0, 0, 9, 9)], 2.0).cuts == ()


def test_waste_below_a_piece_comes_off_from_the_waste() -> None:
    """A groove step leaves 5 below the upper piece: two rips, the kerf out of the waste."""
    found = saw(Box(0, 0, 20, 30), [Box(0, 0, 20, 10), Box(0, 15, 20, 30)], 2.0)
    assert [(cut.set_mm, cut.frees, cut.leaves) for cut in found.cuts] == [
        (10, "A", ""),
        (3, "", "B"),
    ]
    assert [(left.y_mm, left.width_mm) for left in found.left] == [(12, 1)]


def test_a_pinwheel_cannot_be_sawn() -> None:
    """Five pieces round a middle one have no straight cut right through."""
    wheel = [
        Box(0, 0, 20, 10),
        Box(20, 0, 30, 20),
        Box(10, 20, 30, 30),
        Box(0, 10, 10, 30),
        Box(10, 10, 20, 20),
    ]
    with pytest.raises(NotGuillotine):
        saw(Box(0, 0, 30, 30), wheel, 0.0)
