"""Walks that do not close: the measure that is wrong is among what is told."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon

from shopfit.geometry import closing
from shopfit.geometry.closing import CLOSING_MM, closing_mends, mended, turned, turns_agree
from shopfit.geometry.shell import closing_error, room_outline
from shopfit.model.shell import Room
from shopfit.units import INCH_MM


def room(*walls: tuple[float, float], start: tuple[str, str] = ("0", "0")) -> Room:
    """Give a room of walls a, b, c ... from lengths in inches and turns in degrees."""
    return Room.model_validate(
        {
            "id": "shop",
            "height": "96 in",
            "start": list(start),
            "heading": 90,
            "walls": [
                {"id": "abcdefghij"[k], "length": f"{length!r} in", "turn": turn}
                for k, (length, turn) in enumerate(walls)
            ],
        }
    )


L_SHAPE = ((240, 90), (120, 90), (100, -90), (80, 90), (140, 90), (200, 90))
U_SHAPE = (
    (200, 90),
    (60, 90),
    (150, -90),
    (80, -90),
    (150, 90),
    (60, 90),
    (200, 90),
    (200, 90),
)


def test_a_walk_that_closes_wants_no_mend():
    """Nothing is to be changed where nothing is open."""
    assert closing_mends(room(*L_SHAPE)) == ()


def test_a_wrong_length_is_found_with_the_right_one():
    """A wall typed 12 in too long is named with the length it should have."""
    walls = list(L_SHAPE)
    walls[1] = (132, 90)
    found = closing_mends(room(*walls))
    told = {(mend.wall, mend.what): mend.then / INCH_MM for mend in found}
    assert told[("b", "length")] == pytest.approx(120)
    # The walls that run the same way could be wrong as well; those across them could not.
    assert {mend.wall for mend in found if mend.what == "length"} == {"b", "d", "f"}


def test_a_turn_to_the_wrong_side_is_found_first():
    """A corner typed right instead of left leaves turns that do not add up, so it comes first."""
    walls = list(L_SHAPE)
    walls[2] = (100, 90)
    broken = room(*walls)
    assert not turns_agree(turned(broken))
    first = closing_mends(broken)[0]
    assert (first.wall, first.what) == ("c", "turn")
    assert first.then == pytest.approx(-90)
    assert first.turns_agree


@pytest.mark.parametrize(("beside", "count"), [(0.99, 2), (1.0, 2), (1.01, 0)])
def test_what_a_length_leaves_open_is_limited(beside, count):
    """A gap askew to a wall is closed by it only to within an inch."""
    walls = room((100, 90), (80 + beside, 90), (112, 90), (80, 90))
    found = [mend for mend in closing_mends(walls, CLOSING_MM + 1e-9) if mend.what == "length"]
    assert len(found) == count
    for mend in found:
        assert mend.left_mm == pytest.approx(beside * INCH_MM)


def test_a_length_never_becomes_nothing():
    """A wall that would have to run backwards is no mend."""
    found = closing_mends(room((100, 90), (80, 90), (40, 90), (80, 90), start=("0", "0")))
    assert {mend.wall for mend in found if mend.what == "length"} == {"a", "c"}
    assert all(mend.then > 0 for mend in found)


def test_mends_that_make_walls_cross_are_left_out(monkeypatch):
    """What closes the walk only by walls that cross one another is not told."""
    broken = room((60, 90), *U_SHAPE[1:])
    told = closing_mends(broken)
    monkeypatch.setattr(closing, "_simple", lambda _: True)
    crossed = [mend for mend in closing_mends(broken) if mend not in told]
    assert crossed
    assert all(Polygon(room_outline(mended(broken, mend))).is_valid for mend in told)
    assert not any(Polygon(room_outline(mended(broken, mend))).is_valid for mend in crossed)


def test_corners_need_no_walk():
    """A room given by corners is closed by itself."""
    corners = [["0", "0"], ["0", "3 m"], ["3 m", "3 m"]]
    given_by_corners = Room.model_validate({"id": "r", "height": "3 m", "corners": corners})
    assert closing_mends(given_by_corners) == ()


@given(
    index=st.integers(0, 5),
    off=st.one_of(st.integers(-60, -2), st.integers(2, 300)),
)
def test_any_one_wrong_length_is_among_the_mends(index, off):
    """Whichever wall is wrong and however much, its true length is told, and mends do close."""
    walls = [list(each) for each in L_SHAPE]
    true = walls[index][0]
    walls[index][0] = true + off
    broken = room(*map(tuple, walls))
    found = closing_mends(broken)
    told = [m for m in found if (m.wall, m.what) == ("abcdef"[index], "length")]
    assert [m.then / INCH_MM for m in told] == [pytest.approx(true)]
    for mend in found:
        assert math.hypot(*closing_error(mended(broken, mend))) <= CLOSING_MM + 1e-6


@given(index=st.integers(0, 4), off=st.sampled_from([-180, -135, -90, -45, -30, 30, 45, 90, 135]))
def test_any_one_wrong_turn_is_among_the_mends(index, off):
    """Whichever turn is wrong, the true one is told."""
    walls = [list(each) for each in L_SHAPE]
    true = walls[index][1]
    walls[index][1] = ((true + off + 180) % 360) - 180 or 180
    broken = room(*map(tuple, walls))
    told = [m for m in closing_mends(broken) if (m.wall, m.what) == ("abcdef"[index], "turn")]
    assert [m.then for m in told] == [pytest.approx(true)]
