"""Pinches: how narrow, how long, how far apart, on floors where the answer is known."""

from __future__ import annotations

import math

import pytest
from shapely import Point, box
from shapely.affinity import rotate
from shapely.geometry.base import BaseGeometry

from shopfit.geometry.pinches import narrowest_on, passages_on, pinches, pinches_on
from shopfit.geometry.widest import Floors

IN = 25.4
ROUTE = 36 * IN
ROOM = box(0, 0, 6000, 4000)


def turned(angle: float, shape: BaseGeometry) -> BaseGeometry:
    return rotate(shape, angle, origin=(0, 0))


def way(angle: float, *places: tuple[float, float]) -> list[tuple[float, float]]:
    return [tuple(turned(angle, Point(place)).coords[0]) for place in places]  # type: ignore[misc]


@pytest.mark.parametrize("angle", [0.0, 17.0, 90.0])
@pytest.mark.parametrize("long", [6.0, 20.0, 23.9, 24.0, 24.1, 60.0])
def test_between_boxes_a_pinch_is_as_long_as_they_are_deep(long: float, angle: float) -> None:
    """A round traveller stops sooner, but the way is narrow for the depth of the boxes only."""
    low, high = 1500.0, 1500.0 + 32 * IN
    free = ROOM - box(2900, 0, 2900 + long * IN, low) - box(2900, high, 2900 + long * IN, 4000)
    line = way(angle, (500, (low + high) / 2), (5500, (low + high) / 2))
    (found,) = pinches_on(Floors([turned(angle, free)]), line, ROUTE)
    assert found.pinch.gap.width == pytest.approx(32 * IN, abs=1e-3)
    assert found.pinch.length == pytest.approx(long * IN, abs=0.1)
    assert (found.start, found.end) == pytest.approx((2400, 2400 + long * IN), abs=0.2)


def test_beside_a_wall() -> None:
    """A box near a wall makes a pinch as long as itself, however long the wall."""
    free = ROOM - box(2900, 0, 3400, 4000 - 33 * IN)
    line = [(500.0, 3500.0), (5500.0, 3500.0)]
    (found,) = pinches_on(Floors([free]), line, ROUTE)
    assert found.pinch.length == pytest.approx(500.0, abs=0.1)


def test_between_round_columns() -> None:
    """As far as a line straight across is shorter than the width asked about."""
    gap = 32 * IN
    one, other = Point(3000, 1000), Point(3000, 2200 + gap)
    free = ROOM - one.buffer(600, quad_segs=64) - other.buffer(600, quad_segs=64)
    free = free - box(2900, 0, 3100, 500) - box(2900, 3000, 3100, 4000)
    (found,) = pinches_on(Floors([free]), [(500.0, 2006.4), (5500.0, 2006.4)], ROUTE)
    half = (1200 + gap - ROUTE) / 2
    assert found.pinch.length == pytest.approx(2 * math.sqrt(600**2 - half**2), abs=1.0)


def test_at_the_width_asked_about_there_is_no_pinch() -> None:
    """Just under is one; at it and over it is none."""
    for gap, number in ((ROUTE - 0.1, 1), (ROUTE, 0), (ROUTE + 0.1, 0)):
        free = ROOM - box(2900, 0, 3400, 4000 - gap)
        found = pinches_on(Floors([free]), [(500.0, 3500.0), (5500.0, 3500.0)], ROUTE)
        assert len(found) == number


def test_pinches_follow_one_another_along_the_way() -> None:
    """Two pairs of boxes 48 in apart are two pinches, with 48 in between them."""
    aisle = box(0, 0, 8000, 1200)
    free = aisle - box(2000, 0, 2400, 1200 - 33 * IN)
    free = free - box(2400 + 48 * IN, 0, 2800 + 48 * IN, 1200 - 33 * IN)
    first, second = pinches_on(Floors([free]), [(600.0, 780.0), (7400.0, 780.0)], ROUTE)
    assert second.start - first.end == pytest.approx(48 * IN, abs=0.2)


def test_a_bent_aisle_is_measured_leg_by_leg() -> None:
    """Neither leg of a narrow L is short, and both are told."""
    w = 34 * IN
    free = box(0, 0, 3000, w) | box(3000 - w, 0, 3000, 3000)
    free = free | box(-2000, -500, 0, 2500) | box(1500, 3000, 4500, 5000)
    line = [(-1000.0, w / 2), (3000 - w / 2, w / 2), (3000 - w / 2, 4000.0)]
    found = pinches_on(Floors([free]), line, ROUTE)
    assert [round(one.pinch.length) for one in found] == [round(3000 - w)] * 2


def test_all_pinches_of_a_floor() -> None:
    """Corners of the room are narrow too; the one between boxes is among them."""
    free = ROOM - box(2900, 0, 3400, 1500) - box(2900, 1500 + 32 * IN, 3400, 4000)
    found = pinches(Floors([free]), ROUTE, 31 * IN)
    assert any(
        pinch.gap.width == pytest.approx(32 * IN) and pinch.length == pytest.approx(500, abs=0.1)
        for pinch, _ in found
    )


def test_the_narrowest_place_of_a_way() -> None:
    """The least of the gaps it goes through; none where it goes through none."""
    free = ROOM - box(2900, 0, 3100, 3000) - box(4400, 900, 4600, 4000)
    floors = Floors([free])
    line = [(500.0, 3500.0), (3800.0, 3500.0), (3800.0, 400.0), (5500.0, 400.0)]
    gap = narrowest_on(floors, line)
    assert gap is not None
    assert gap.width == pytest.approx(900.0)
    assert narrowest_on(floors, [(500.0, 3500.0)]) is None
    assert passages_on(Floors([]), [(0.0, 0.0), (1.0, 1.0)]) == []
