"""Floor and wall taken by doors, windows and things on walls."""

from __future__ import annotations

import math

import pytest
from shapely import Point

from shopfit.geometry.openings import (
    clear_space,
    door_leaves,
    door_rectangle,
    door_swing,
    entrance,
    free_heights,
    things_on,
)
from shopfit.geometry.shell import WallLine, survey
from shopfit.model.openings import Door
from shopfit.model.scenario import Shop
from shopfit.model.shell import WallObstruction

# A north wall: its left end is the west one, and the room lies to the south.
WALL = WallLine("north", "shop", (0.0, 0.0), (5000.0, 0.0), ((0.0, 3000.0),))


def door(**fields: object) -> Door:
    """Make a door 900 mm wide, its left jamb at 1 m."""
    given = {"id": "d", "wall": "north", "offset": "1 m", "width": "900 mm", "height": "2 m"}
    return Door.model_validate({**given, **fields})


def shop(**fields: object) -> Shop:
    """Make a shop with a north wall 5 m long and 3 m high."""
    corners = [["0", "4 m"], ["5 m", "4 m"], ["5 m", "0"], ["0", "0"]]
    names = [{"id": name} for name in ("north", "east", "south", "west")]
    room = {"id": "shop", "height": "3 m", "corners": corners, "walls": names}
    return Shop.model_validate({"name": "Test", "rooms": [room], **fields})


@pytest.mark.parametrize(("hinge", "quarter"), [("left", (1000, 1900)), ("right", (1900, 1000))])
def test_a_leaf_sweeps_a_quarter_disc(hinge: str, quarter: tuple[float, float]) -> None:
    """The swing holds the quarter disc round its hinge and is at most 0.3 % larger."""
    swing = door_swing(WALL, door(hinge=hinge))
    assert swing is not None
    assert swing.is_valid
    disc = math.pi / 4 * 900**2
    assert disc <= swing.area <= disc * 1.003
    centre, other = quarter
    toward = math.copysign(1, other - centre)
    for k in range(91):
        angle = math.radians(k)
        x = centre + toward * 899.99 * math.cos(angle)
        y = -899.99 * math.sin(angle)
        assert swing.buffer(1e-6).covers(Point(x, y))


@pytest.mark.parametrize(("leaf", "wide"), [(None, 450.0), ("600 mm", 600.0)])
def test_two_leaves_sweep_a_quarter_disc_each(leaf: str | None, wide: float) -> None:
    """Neither reaches out further than the wider one, and both sides of the opening are swept."""
    double = door(leaves=2, leaf_width=leaf)
    swing = door_swing(WALL, double)
    assert swing is not None
    west, south, east, north = swing.bounds
    assert (west, east, north) == pytest.approx((1000.0, 1900.0, 0.0))
    assert south == pytest.approx(-wide, rel=0.003)
    for x in (1000.0 + 20.0, 1900.0 - 20.0):
        assert swing.covers(Point(x, -wide * 0.99))
    if leaf is None:
        assert not swing.intersects(Point(1450.0, -200.0))


def test_leaves_meet_where_the_one_passed_alone_ends() -> None:
    """On the side of the hinges stands the leaf whose opening is told."""
    assert door_leaves(door(hinge="right")) == ((1900.0, 1000.0),)
    told = door(hinge="right", leaves=2, leaf_width="600 mm")
    assert door_leaves(told) == ((1900.0, 1300.0), (1000.0, 1300.0))


@pytest.mark.parametrize("swing", ["out", "sliding", "none"])
def test_other_leaves_sweep_nothing_inside(swing: str) -> None:
    """Only a leaf that opens inward takes floor of the room."""
    assert door_swing(WALL, door(swing=swing)) is None


@pytest.mark.parametrize(
    ("hinge", "bounds"), [("left", (900, -1500, 2350, 0)), ("right", (550, -1500, 2000, 0))]
)
def test_the_floor_before_a_door_follows_its_hinge(
    hinge: str, bounds: tuple[float, float, float, float]
) -> None:
    """The latch side's addition lies opposite the hinges."""
    assert door_rectangle(WALL, door(hinge=hinge), 100, 450, 1500).bounds == pytest.approx(bounds)


def panel(**fields: object) -> WallObstruction:
    """Make a panelboard 400 mm wide at 2 m."""
    given = {"id": "p", "kind": "panelboard", "wall": "north", "offset": "2 m", "width": "400 mm"}
    return WallObstruction.model_validate({**given, "bottom": "1 m", "top": "2 m", **fields})


def test_the_floor_before_a_panelboard_is_centred_on_it() -> None:
    """A clear space wider than the thing reaches as far on both sides."""
    space = clear_space(WALL, panel(clear={"width": "762 mm", "depth": "914 mm"}))
    assert space is not None
    assert space.bounds == pytest.approx((1819, -914, 2581, 0))


def test_a_clear_space_is_never_narrower_than_the_thing() -> None:
    """A width of nought or under the thing's own means the thing's own."""
    for width in ("0", "300 mm"):
        space = clear_space(WALL, panel(clear={"width": width, "depth": "500 mm"}))
        assert space is not None
        assert space.bounds == pytest.approx((2000, -500, 2400, 0))


@pytest.mark.parametrize(
    ("offset", "left"), [("0", 0), ("100 mm", 0), ("181 mm", 0), ("200 mm", 19)]
)
def test_beside_a_corner_a_clear_space_lies_to_one_side(offset: str, left: float) -> None:
    """Centred it would reach past the end of the wall, where no floor is."""
    space = clear_space(WALL, panel(offset=offset, clear={"width": "762 mm", "depth": "914 mm"}))
    assert space is not None
    assert space.bounds == pytest.approx((left, -914, left + 762, 0))


@pytest.mark.parametrize("clear", [None, {"depth": "0"}])
def test_nothing_wanted_is_nothing(clear: object) -> None:
    """Without a clear space, or with one of no depth, there is none."""
    assert clear_space(WALL, panel(clear=clear)) is None


WINDOW = {"id": "w", "wall": "north", "offset": "3 m", "width": "1 m", "sill": "1 m", "head": "2 m"}
OUTLET = {
    "id": "o",
    "kind": "outlet",
    "wall": "north",
    "offset": "3.2 m",
    "width": "100 mm",
    "bottom": "300 mm",
    "top": "400 mm",
}


@pytest.mark.parametrize(
    ("left", "right", "free"),
    [
        (0, 1000, [(0, 2400)]),
        (0, 1000.1, [(2000, 2400)]),
        (1900, 3000, [(0, 2400)]),
        (3000, 3100, [(0, 1000), (2000, 2400)]),
        (3000, 3250, [(0, 300), (400, 1000), (2000, 2400)]),
        (1500, 3500, [(2000, 2400)]),
    ],
)
def test_free_heights_lie_between_what_is_on_the_wall(
    left: float, right: float, free: list[tuple[float, float]]
) -> None:
    """Only what overlaps the stretch counts; touching it at an end does not."""
    given = shop(doors=[door()], windows=[WINDOW], obstructions=[OUTLET])
    wall = survey(given).wall("north")
    assert free_heights(given, wall, left, right, 0, 2400) == free


def test_the_ceiling_limits_free_heights() -> None:
    """Above the wall there is nothing to hang on."""
    given = shop()
    assert free_heights(given, survey(given).wall("north"), 0, 500, 800, 9000) == [(800, 3000)]


def test_heights_over_a_window_to_the_ceiling_are_none() -> None:
    """A window from the floor to above the top leaves nothing."""
    given = shop(windows=[{**WINDOW, "sill": "0", "head": "2.9 m"}])
    assert free_heights(given, survey(given).wall("north"), 3000, 3100, 0, 2900) == []


def test_things_on_a_wall_come_left_to_right() -> None:
    """Doors, windows and obstructions of one wall are listed together."""
    given = shop(doors=[door()], windows=[WINDOW, {**WINDOW, "id": "x", "wall": "east"}])
    assert [(t.id, t.kind, t.left, t.right) for t in things_on(given, "north")] == [
        ("d", "door", 1000, 1900),
        ("w", "window", 3000, 4000),
    ]


def test_the_first_entrance_is_the_entrance() -> None:
    """Staff doors are passed over; without an entrance there is none."""
    doors = [door(id="a", use="staff"), door(id="b", offset="3 m"), door(id="c", wall="east")]
    given = shop(doors=doors)
    found = entrance(given, survey(given))
    assert found is not None
    assert (found[0].id, found[1].id) == ("b", "north")
    given = shop(doors=doors[:1])
    assert entrance(given, survey(given)) is None
