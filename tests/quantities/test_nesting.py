"""Shelf nesting: fits, never overlaps, and comes near published best values."""

from __future__ import annotations

import pytest

from shopfit.quantities.nesting import Size, Spot, Stock, fewest_sheets, nest

# Berkey and Wang 1987, class 1, 20 pieces, instances 1 and 2; sheets of 10 × 10. Fewest sheets
# with three-stage guillotine cuts 8 and 5, as tabulated in the open data of packingsolver (MIT).
CLASS_1_FIRST: list[Size] = [
    (5, 9), (4, 2), (10, 6), (5, 7), (6, 3), (10, 7), (1, 5), (3, 5), (6, 9), (2, 4),
    (6, 7), (7, 2), (8, 3), (4, 10), (4, 5), (10, 3), (8, 3), (7, 8), (8, 3), (8, 7),
]  # fmt: skip
CLASS_1_SECOND: list[Size] = [
    (2, 2), (6, 8), (10, 2), (1, 3), (8, 4), (3, 10), (1, 9), (1, 5), (6, 3), (1, 1),
    (4, 2), (9, 2), (1, 9), (9, 5), (4, 7), (2, 2), (3, 4), (9, 7), (4, 1), (9, 8),
]  # fmt: skip


def _overlap(one: tuple[Size, Spot], other: tuple[Size, Spot]) -> bool:
    ((w1, h1), a), ((w2, h2), b) = one, other
    return (
        a.sheet == b.sheet
        and min(a.x + w1, b.x + w2) - max(a.x, b.x) > 1e-6
        and min(a.z + h1, b.z + h2) - max(a.z, b.z) > 1e-6
    )


@pytest.mark.parametrize(("sizes", "known"), [(CLASS_1_FIRST, 8), (CLASS_1_SECOND, 5)])
def test_published_instances(sizes: list[Size], known: int) -> None:
    """Berkey and Wang's instances: never under the known best, and at most one sheet over it."""
    placed = list(zip(sizes, nest(sizes, Stock(10, 10)), strict=True))
    count = 1 + max(spot.sheet for _, spot in placed)
    assert known <= count <= known + 1
    for index, one in enumerate(placed):
        (width, height), spot = one
        assert 0 <= spot.x <= 10 - width
        assert 0 <= spot.z <= 10 - height
        assert not any(_overlap(one, other) for other in placed[:index])


def test_bound_by_hand() -> None:
    """Three pieces of 6 × 10 are 180 of area, but no two of them share a side of 10."""
    sizes: list[Size] = [(6, 10)] * 3
    assert fewest_sheets(sizes, Stock(10, 10)) == 3
    assert {spot.sheet for spot in nest(sizes, Stock(10, 10))} == {0, 1, 2}


def test_kerf_is_kept_unless_it_costs_a_sheet() -> None:
    """Two of 49 lie 2 apart on 100; two of 49.5 only 1 apart; two of 50 share the cut."""
    for width, second in [(49.0, 51.0), (49.5, 50.5), (50.0, 50.0)]:
        spots = nest([(width, 10.0)] * 2, Stock(100.0, 10.0, kerf=2.0))
        assert [(spot.sheet, spot.x) for spot in spots] == [(0, 0.0), (0, second)]


def test_stacked_pieces_lie_on_steps() -> None:
    """Pieces of 9.5 high on steps of 5 with a cut of 1 lie at 0 and 15."""
    spots = nest([(100.0, 9.5)] * 2, Stock(100.0, 30.0, step=5.0, kerf=1.0))
    assert [spot.z for spot in spots] == [0.0, 15.0]


@pytest.mark.parametrize("size", [(10.1, 5.0), (5.0, 10.1)])
def test_too_large_a_piece_is_refused(size: Size) -> None:
    """A piece larger than the sheet is an error, not a silent overhang."""
    nest([(10.0, 10.0)], Stock(10, 10))
    with pytest.raises(ValueError, match="larger than the sheet"):
        nest([size], Stock(10, 10))


def test_nothing_to_nest() -> None:
    """No pieces need no sheets."""
    assert nest([], Stock(10, 10)) == []
