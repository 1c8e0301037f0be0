"""Walls walked, corners given, curves, heights, columns: where the shell is."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfit.geometry.shell import (
    ShellPlan,
    closing_error,
    column_outline,
    room_outline,
    survey,
    walk,
)
from shopfit.model.scenario import Shop
from shopfit.model.shell import Column, Room


def room(**fields: object) -> Room:
    """Make a room 3 m high."""
    return Room.model_validate({"id": "shop", "height": "3 m", **fields})


def plan(*rooms: Room, **fields: object) -> ShellPlan:
    """Survey a shop of some rooms."""
    return survey(Shop.model_validate({"name": "Test", "rooms": rooms, **fields}))


def oblong(width: str = "4 m", depth: str = "3 m", **fields: object) -> Room:
    """Make a room walked clockwise from its south-west corner: west wall first."""
    sides = {"west": depth, "north": width, "east": depth, "south": width}
    walls = [{"id": name, "length": size} for name, size in sides.items()]
    return room(walls=walls, heading=90, **fields)


def test_walls_walked_clockwise_make_the_corners() -> None:
    """Turning right with the wall at the left hand goes round clockwise."""
    assert room_outline(oblong()) == [(0, 0), (0, 3000), (4000, 3000), (4000, 0)]


def test_start_and_heading_place_the_room() -> None:
    """A room walked from elsewhere, northward first, lies where it was said to."""
    outline = room_outline(oblong(start=["1 m", "2 m"]))
    assert outline == [(1000, 2000), (1000, 5000), (5000, 5000), (5000, 2000)]


def test_walls_run_left_to_right_as_faced_from_inside() -> None:
    """Facing the north wall, its left end is the west one; facing south, the east one."""
    walls = plan(oblong())
    assert (walls.wall("north").start, walls.wall("north").end) == ((0, 3000), (4000, 3000))
    assert walls.wall("south").start == (4000, 0)
    assert walls.wall("west").start == (0, 0)
    assert walls.wall("east").start == (4000, 3000)


@pytest.mark.parametrize("backwards", [False, True])
def test_corners_in_either_order_give_the_same_walls(backwards: bool) -> None:
    """Corners may be listed clockwise or anticlockwise; inside stays inside."""
    corners = [["0", "0"], ["0", "3 m"], ["4 m", "3 m"], ["4 m", "0"]]
    names = ["west", "north", "east", "south"]
    if backwards:
        corners, names = corners[::-1], [names[i] for i in (2, 1, 0, 3)]
    surveyed = plan(room(corners=corners, walls=[{"id": name} for name in names]))
    assert surveyed.wall("north").start == (0, 3000)
    assert surveyed.wall("north").end == (4000, 3000)
    for wall in surveyed.walls:
        middle = wall.point(wall.length / 2, 10)
        assert 0 < middle[0] < 4000
        assert 0 < middle[1] < 3000


def test_walls_of_corners_without_names_are_numbered() -> None:
    """Corners alone are enough; the walls are called after the room."""
    surveyed = plan(room(corners=[["0", "0"], ["0", "3 m"], ["4 m", "0"]]))
    assert [wall.id for wall in surveyed.walls] == ["shop-1", "shop-2", "shop-3"]


def test_a_left_turn_makes_an_inside_corner() -> None:
    """An L-shaped room has 12 m² less its notch of 2 m²."""
    lengths = [("a", 3000, 90), ("b", 2000, 90), ("c", 1000, -90), ("d", 2000, 90)]
    lengths += [("e", 2000, 90), ("f", 4000, 90)]
    walls = [{"id": n, "length": f"{size} mm", "turn": turn} for n, size, turn in lengths]
    surveyed = plan(room(walls=walls, heading=90))
    assert surveyed.rooms["shop"].area == pytest.approx(10e6)
    assert surveyed.rooms["shop"].is_valid


def test_an_open_walk_is_measured() -> None:
    """The error is where the walk ends, seen from where it began, east and north."""
    walls = [("west", "3 m"), ("north", "4 m"), ("east", "3.02 m"), ("south", "3.9 m")]
    open_room = room(walls=[{"id": n, "length": size} for n, size in walls], heading=90)
    assert closing_error(open_room) == pytest.approx((100, -20))


def test_the_last_wall_takes_up_a_small_error() -> None:
    """A walk 20 mm open still gives a closed outline; its last wall ends at the first corner."""
    walls = [("west", "3 m"), ("north", "4 m"), ("east", "3 m"), ("south", "3.98 m")]
    surveyed = plan(room(walls=[{"id": n, "length": size} for n, size in walls], heading=90))
    assert surveyed.wall("south").end == (0, 0)
    assert surveyed.wall("south").length == pytest.approx(4000)
    assert surveyed.rooms["shop"].area == pytest.approx(12e6)


def bay(sweep: int, chords: int) -> Room:
    """Make a room whose north wall is a curve of radius 1 m."""
    # Chords of a half circle span the diameter whatever their number.
    walls: list[dict[str, object]] = [
        {"id": "west", "length": "2 m", "turn": 0 if sweep > 0 else 180},
        {"id": "bay", "arc": {"radius": "1 m", "sweep": sweep, "chords": chords}, "turn": 0},
        {"id": "east", "length": "2 m"},
        {"id": "south", "length": "2 m"},
    ]
    if sweep < 0:
        walls[1]["turn"] = 180
    return room(walls=walls, heading=90)


@pytest.mark.parametrize("chords", [1, 2, 8, 90])
def test_a_curve_bent_to_the_right_bows_out(chords: int) -> None:
    """A half circle of chords adds their area, n r² sin(180°/n) / 2, to the oblong's 4 m²."""
    surveyed = plan(bay(180, chords))
    added = chords * 1e6 * math.sin(math.pi / chords) / 2
    assert surveyed.rooms["shop"].area == pytest.approx(4e6 + added)
    assert [wall.id for wall in surveyed.walls][1:-2] == [f"bay-{k + 1}" for k in range(chords)]
    assert closing_error(bay(180, chords)) == pytest.approx((0, 0), abs=1e-6)


def test_a_curve_bent_to_the_left_bows_in() -> None:
    """A negative sweep takes the same area away."""
    surveyed = plan(bay(-180, 8))
    taken = 8 * 1e6 * math.sin(math.pi / 8) / 2
    assert surveyed.rooms["shop"].area == pytest.approx(4e6 - taken)
    assert closing_error(bay(-180, 8)) == pytest.approx((0, 0), abs=1e-6)


def test_every_chord_touches_the_circle() -> None:
    """All ends of chords lie on the circle of the curve's radius."""
    for name, start, end, _ in walk(bay(180, 6)):
        if name.startswith("bay"):
            assert math.dist(start, (1000, 2000)) == pytest.approx(1000)
            assert math.dist(end, (1000, 2000)) == pytest.approx(1000)


def sloped(*heights: tuple[int, int]) -> Room:
    """Make an oblong whose north wall, 4 m long, has heights at offsets, mm."""
    given = [{"offset": f"{offset} mm", "height": f"{height} mm"} for offset, height in heights]
    sides = [("west", "3 m"), ("north", "4 m"), ("east", "3 m"), ("south", "4 m")]
    walls = [
        {"id": name, "length": size, "heights": given if name == "north" else []}
        for name, size in sides
    ]
    return room(walls=walls, heading=90)


@pytest.mark.parametrize(
    ("offset", "height"), [(-5, 2000), (0, 2000), (1000, 2250), (4000, 3000), (9000, 3000)]
)
def test_a_sloping_wall_is_straight_between_its_heights(offset: float, height: float) -> None:
    """Between two points the height is in proportion, beyond them it stays."""
    wall = plan(sloped((4000, 3000), (0, 2000))).wall("north")
    assert wall.height_at(offset) == pytest.approx(height)


def test_the_lowest_height_is_found_inside_a_stretch() -> None:
    """A dip between the ends of a stretch counts, one beside it does not."""
    wall = plan(sloped((0, 3000), (2000, 2000), (4000, 3000))).wall("north")
    assert wall.lowest(1000, 3000) == pytest.approx(2000)
    assert wall.lowest(2500, 3000) == pytest.approx(2250)
    assert plan(oblong()).wall("north").lowest(0, 4000) == 3000


@pytest.mark.parametrize(("left", "right"), [(3000, 2200), (2200, 3000)])
def test_a_step_in_a_wall_keeps_its_order(left: int, right: int) -> None:
    """Two heights at one offset are a step; a step down once became a slope."""
    wall = plan(sloped((0, left), (2000, left), (2000, right), (4000, right))).wall("north")
    assert wall.height_at(1999) == left
    assert wall.height_at(2001) == right
    assert wall.lowest(0, 1900) == left
    assert wall.lowest(2100, 4000) == right
    assert wall.lowest(1900, 2100) == 2200


@pytest.mark.parametrize("mirrored", [False, True])
def test_heights_along_a_curve_are_shared_out(mirrored: bool) -> None:
    """Heights run from the curve's left end over all its chords, whichever way it was walked."""
    shape = bay(180, 4)
    chord = 2 * 1000 * math.sin(math.radians(22.5))
    heights = [("0 mm", "2 m"), (f"{4 * chord:.6f} mm", "3 m")]
    given = [{"offset": offset, "height": height} for offset, height in heights]
    data = shape.model_dump(mode="json")
    data["walls"][1]["heights"] = given
    if mirrored:
        data["heading"] = 90
        for wall in data["walls"]:
            wall["turn"] = -wall["turn"]
            if wall["arc"]:
                wall["arc"]["sweep"] = -wall["arc"]["sweep"]
    surveyed = plan(Room.model_validate(data))
    order = [f"bay-{k}" for k in (1, 2, 3, 4)]
    chords = [surveyed.wall(name) for name in (order[::-1] if mirrored else order)]
    for index, wall in enumerate(chords):
        assert wall.heights[0] == pytest.approx((0, 2000 + 250 * index), abs=0.01)
        assert wall.heights[-1] == pytest.approx((chord, 2250 + 250 * index), abs=0.01)
        assert wall.lowest(0, wall.length) == pytest.approx(2000 + 250 * index, abs=0.01)


def test_a_place_on_a_wall_is_found_from_its_left_end() -> None:
    """Offsets run to the right as one faces the wall, and out of it into the room."""
    wall = plan(oblong()).wall("east")
    assert wall.point(1000, 200) == pytest.approx((3800, 2000))
    assert wall.rectangle(0, 1000, 0, 500).bounds == pytest.approx((3500, 2000, 4000, 3000))
    assert wall.angle_deg == pytest.approx(-90)


def test_an_unknown_wall_is_refused() -> None:
    """Asking for a wall that is not there is an error."""
    with pytest.raises(KeyError):
        plan(oblong()).wall("attic")


def test_columns_are_never_too_small() -> None:
    """A round column's polygon holds the whole circle and little more."""
    shape = column_outline(Column.model_validate({"id": "a", "at": ["0", "0"], "diameter": "1 m"}))
    circle = math.pi * 500**2
    assert circle < shape.area < circle * 1.001
    assert shape.exterior.distance(shape.centroid) == pytest.approx(500, abs=1e-6)


def test_a_turned_column_keeps_its_size() -> None:
    """A quarter turn swaps width and depth on the plan."""
    given = {"id": "a", "at": ["1 m", "2 m"], "size": ["400 mm", "200 mm"], "turn": 90}
    shape = column_outline(Column.model_validate(given))
    assert shape.bounds == pytest.approx((900, 1800, 1100, 2200))


def test_zones_for_sales_set_no_limits() -> None:
    """Only staff and stock zones are out of bounds for customers."""
    corners = [["0", "0"], ["1 m", "0"], ["1 m", "1 m"], ["0", "1 m"]]
    zones = [{"id": kind, "kind": kind, "corners": corners} for kind in ("sales", "staff", "stock")]
    surveyed = plan(oblong(), zones=zones)
    assert list(surveyed.zones) == ["staff", "stock"]
    assert surveyed.off_limits.area == pytest.approx(1e6)
    assert surveyed.floor.area == pytest.approx(12e6)


@given(
    st.integers(1000, 20_000),
    st.integers(1000, 20_000),
    st.floats(-180, 180),
    st.booleans(),
)
def test_a_room_is_the_same_however_it_lies(
    width: int, depth: int, heading: float, right: bool
) -> None:
    """Area, lengths and the side that is inside do not depend on heading or hand."""
    turn = 90 if right else -90
    walls = [
        {"id": f"w{k}", "length": f"{size} mm", "turn": turn}
        for k, size in enumerate((width, depth, width, depth))
    ]
    surveyed = plan(room(walls=walls, heading=heading))
    outline = surveyed.rooms["shop"]
    assert outline.area == pytest.approx(width * depth, rel=1e-6)
    for wall in surveyed.walls:
        middle = wall.rectangle(wall.length * 0.4, wall.length * 0.6, 1, 100)
        assert outline.covers(middle)
