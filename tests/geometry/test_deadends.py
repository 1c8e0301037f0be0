"""Dead ends on floors where one sees them."""

from __future__ import annotations

import pytest
from shapely import box

from shopfit.geometry.deadends import DeadEnd, dead_ends
from shopfit.geometry.widest import Floors

IN = 25.4
HALL = box(0, 0, 4000, 4000)
DOOR = box(0, 0, 900, 900)


def found(*parts: object, width: float = 36 * IN) -> list[DeadEnd]:
    floor = HALL
    for part in parts:
        floor = floor | part  # type: ignore[operator]
    return dead_ends(Floors([floor]), [DOOR], width, 60 * IN, 48 * IN)


def test_an_aisle_to_a_wall_is_a_dead_end() -> None:
    """It begins where a circle no longer fits, and ends before the wall."""
    (end,) = found(box(1000, 4000, 2000, 8000))
    assert end.end == pytest.approx((1500, 7500), abs=30)
    # A circle touches the corners of the opening at 500 mm on each side of the middle.
    reach = (762**2 - 500**2) ** 0.5
    assert end.length == pytest.approx(4000 + reach - 762, abs=60)
    assert end.floor.intersects(box(1400, 7000, 1600, 7400))


def test_an_alcove_is_none() -> None:
    """What is no deeper than a wheelchair is long one comes out of as one went in."""
    assert found(box(1000, 4000, 2000, 4000 + 30 * IN)) == []
    assert len(found(box(1000, 4000, 2000, 4000 + 90 * IN))) == 1


def test_a_wide_bay_is_none() -> None:
    """Where a circle fits, one turns."""
    assert found(box(1000, 4000, 1000 + 60 * IN, 8000)) == []
    assert len(found(box(1000, 4000, 1000 + 59.5 * IN, 8000))) == 1


def test_a_loop_is_none_but_what_hangs_on_it_is() -> None:
    """Round an island one comes back; an aisle off the loop does not."""
    loop = box(1000, 4000, 5000, 8000) - box(2000, 4500, 4000, 7000)
    assert [round(one.length, -2) for one in found(loop)] != []
    ring = box(500, 4000, 1500, 7000) | box(500, 6000, 3500, 7000) | box(2500, 4000, 3500, 7000)
    assert found(ring) == []
    assert len(found(ring, box(3500, 6000, 6500, 7000))) == 1


def test_narrower_ways_are_no_ways() -> None:
    """A slot nobody enters is no dead end."""
    assert found(box(1000, 4000, 1000 + 35 * IN, 8000)) == []


def test_a_door_at_the_end_leads_on() -> None:
    """An aisle to another door is a way through."""
    floor = HALL | box(1000, 4000, 2000, 8000)
    doors = [DOOR, box(1000, 7200, 2000, 8000)]
    assert dead_ends(Floors([floor]), doors, 36 * IN, 60 * IN, 48 * IN) == []


def test_branches_are_told_one_by_one() -> None:
    """A dead end that forks has two ends."""
    assert len(found(box(1000, 4000, 2000, 7000), box(-1500, 6000, 4500, 7000))) == 2


def test_no_floor_no_dead_end() -> None:
    """Nothing to look at."""
    assert dead_ends(Floors([]), [DOOR], 900.0, 1500.0, 1200.0) == []
