"""Shortest ways of a round traveller, where one can reckon them."""

from __future__ import annotations

import math

import pytest
from shapely import LineString, box

from shopfit.geometry.shortest import Doorstep, Paths, Route

ROOM = box(0, 0, 6000, 4000)
DOOR = Doorstep((0.0, 2000.0), box(0, 1500, 1000, 2500))


def route(free: object, width: float, x: float, y: float) -> Route | None:
    paths = Paths([free], width, [DOOR])  # type: ignore[list-item]
    (found,) = paths.to([(box(x - 50, y - 50, x + 50, y + 50), (x, y))])
    return found


def test_straight_across_an_empty_room() -> None:
    """From the middle of the door straight to the place."""
    found = route(ROOM, 900, 5000, 2000)
    assert found is not None
    assert found.length == pytest.approx(5000)
    assert found.line[0] == (0.0, 2000.0)
    assert found.line[-1] == (5000.0, 2000.0)


def test_round_the_end_of_a_screen() -> None:
    """Two straight lines and an arc of half the traveller's width between them."""
    free = ROOM - box(3000, 0, 3000.5, 3000)
    found = route(free, 900, 5000, 500)
    assert found is not None
    # Tangents from (450, 2000) and (5000, 500) to circles of 450 about the tip at (3000, 3000).
    total = 450.0
    start, tip, end, r = (450.0, 2000.0), (3000.25, 3000.0), (5000.0, 500.0), 450.0
    turned = 0.0
    for place in (start, end):
        apart = math.dist(place, tip)
        total += math.sqrt(apart**2 - r**2)
        turned += math.acos(r / apart)
    a = math.atan2(start[1] - tip[1], start[0] - tip[0])
    b = math.atan2(end[1] - tip[1], end[0] - tip[0])
    around = (a - b) % (2 * math.pi)
    total += r * (around - turned)
    assert found.length == pytest.approx(total, rel=2e-3)
    assert LineString(found.line).distance(box(3000, 0, 3000.5, 3000)) > 445.0


def test_where_it_is_too_narrow_there_is_no_way() -> None:
    """Just as wide passes, a little less does not."""
    free = ROOM - box(3000, 0, 3100, 3000)
    assert route(free, 1000, 5000, 500) is not None
    assert route(free, 1001, 5000, 500) is None


def test_through_an_inner_door() -> None:
    """Rooms are joined by their doors, through the middle of the opening."""
    back = box(6100, 0, 9000, 4000)
    inner = (
        Doorstep((6000.0, 1000.0), box(5000, 500, 6000, 1500)),
        Doorstep((6100.0, 1000.0), box(6100, 500, 7100, 1500)),
    )
    place = (box(8000, 900, 8100, 1100), (8000.0, 1000.0))
    (found,) = Paths([ROOM, back], 900, [DOOR], [inner]).to([place])
    assert found is not None
    assert LineString(found.line).intersects(box(5999, 999, 6101, 1001))
    assert Paths([ROOM, back], 900, [DOOR]).to([place]) == [None]


def test_the_nearest_door_is_taken() -> None:
    """Of two doors the way from the nearer one."""
    other = Doorstep((6000.0, 2000.0), box(5000, 1500, 6000, 2500))
    (found,) = Paths([ROOM], 900, [DOOR, other]).to(
        [(box(4000, 1900, 4100, 2100), (4100.0, 2000.0))]
    )
    assert found is not None
    assert found.length == pytest.approx(1900)


def test_nothing_to_go_to() -> None:
    """No targets, and a target off the floor."""
    assert Paths([ROOM], 900, [DOOR]).to([]) == []
    assert route(ROOM, 900, 20000, 0) is None
