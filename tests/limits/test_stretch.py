"""Shells drawn apart: what grows, what moves, and that the shop stays a sound one."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from solver import build as b

from shopfit.files.crosscheck import crosscheck
from shopfit.files.parts import Parts
from shopfit.geometry.footprint import against_wall, footprint
from shopfit.geometry.shell import survey
from shopfit.limits.cuts import Cut, cuts
from shopfit.limits.stretch import carried, stretch
from shopfit.model.layout import Claims, Layout, Placement, Run
from shopfit.model.scenario import Scenario
from shopfit.quantities.takeoff import complete
from shopfit.sweep.work import meets

FOOT = 304.8


def faults(scenario: Scenario) -> list[Any]:
    """Give what the files would have against a scenario."""
    lines = dict(enumerate(scenario.lines, 2))
    return crosscheck(Parts(scenario.shop, scenario.catalogue, scenario.pins, lines))


def room(corners: list[tuple[float, float]], turn: float = 0.0) -> dict[str, Any]:
    """Give a room by its corners, turned about the plan's zero."""
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    places = [(x * cos - y * sin, x * sin + y * cos) for x, y in corners]
    return {
        "id": "room",
        "height": b.mm(2500.0),
        "corners": [b.mm(round(x, 6), round(y, 6)) for x, y in places],
        "walls": [{"id": f"w{number + 1}"} for number in range(len(corners))],
    }


def door(wall: str, offset: float = 400.0) -> dict[str, Any]:
    """Give an entrance 900 mm wide."""
    return {
        "id": "door",
        "wall": wall,
        "offset": b.mm(offset),
        "width": b.mm(900.0),
        "height": b.mm(2100.0),
        "swing": "out",
    }


SQUARE = [(0.0, 0.0), (0.0, 3000.0), (4000.0, 3000.0), (4000.0, 0.0)]


def square(**more: Any) -> Scenario:
    """Give a room of 4 m by 3 m with its door in the south wall."""
    more = {"rooms": [room(SQUARE)], "doors": [door("w4", 3000.0)], **more}
    return b.scenario(**more)


def one(scenario: Scenario, wall: str, layout: Layout | None = None) -> Cut:
    """Give the only line that makes a wall longer."""
    (found,) = [cut for cut in cuts(scenario, layout) if wall in cut.walls]
    return found


def test_a_plain_room_grows_in_both_directions() -> None:
    """Each direction makes the two walls along it longer, and the floor by a strip."""
    given = square()
    found = cuts(given)
    assert {cut.walls for cut in found} == {("w1", "w3"), ("w2", "w4")}
    areas = {cut.walls: survey(stretch(given, cut, FOOT).shop).floor.area for cut in found}
    assert areas["w1", "w3"] == pytest.approx(12e6 + FOOT * 4000)
    assert areas["w2", "w4"] == pytest.approx(12e6 + FOOT * 3000)


def test_what_lies_beyond_the_line_moves_and_nothing_else() -> None:
    """Columns, zones, pins and things on walls go along, each by the same foot."""
    given = square(
        columns=[
            {"id": "near", "at": b.mm(200.0, 1500.0), "diameter": b.mm(100.0)},
            {"id": "far", "at": b.mm(3800.0, 1500.0), "diameter": b.mm(100.0)},
        ],
        windows=[
            {"id": "pane", "wall": "w2", "offset": b.mm(3000.0), "width": b.mm(500.0)}
            | {"sill": b.mm(900.0), "head": b.mm(1800.0)}
        ],
        zones=[{"id": "staff", "kind": "staff", "corners": b.box(3000.0, 2000.0, 4000.0, 3000.0)}],
        pins={
            "keep": [{"fixture": "cab", "wall": "w2", "offset": b.mm(100.0)}],
            "clear": [{"id": "prams", "corners": b.box(3500.0, 200.0, 3900.0, 900.0)}],
        },
    )
    cut = one(given, "w2")
    assert 1200.0 < cut.at < 2900.0
    assert cut.zones == ()
    wide = stretch(given, cut, FOOT)
    near, far = wide.shop.columns
    assert near.at == (200.0, 1500.0)
    assert far.at == pytest.approx((3800.0 + FOOT, 1500.0))
    assert wide.shop.windows[0].offset == pytest.approx(3000.0 + FOOT)
    # The south wall begins in the east, so its door stays at the same offset and moves with it.
    assert wide.shop.doors[0].offset == pytest.approx(3000.0 + FOOT)
    assert min(x for x, _ in wide.shop.zones[0].corners) == pytest.approx(3000.0 + FOOT)
    assert wide.pins.keep == given.pins.keep
    assert min(x for x, _ in wide.pins.clear[0].corners) == pytest.approx(3500.0 + FOOT)
    assert wide.lines == given.lines
    assert wide.catalogue == given.catalogue


def test_a_line_crosses_no_opening_and_no_column() -> None:
    """Where door and window leave no room for a line, there is none that way."""
    windows = [
        {"id": "pane", "wall": "w2", "offset": b.mm(40.0), "width": b.mm(3000.0)}
        | {"sill": b.mm(900.0), "head": b.mm(1800.0)}
    ]
    free = square(windows=windows)
    assert one(free, "w2").at > 3040.0
    column = {"id": "post", "at": b.mm(3520.0, 1500.0), "size": b.mm(955.0, 300.0)}
    assert [
        cut for cut in cuts(square(windows=windows, columns=[column])) if "w2" in cut.walls
    ] == []


def test_a_zone_grows_only_where_no_other_line_is() -> None:
    """A line beside the zone is preferred; across a zone as long as the room there is no such."""
    beside = square(
        zones=[{"id": "back", "kind": "staff", "corners": b.box(0.0, 2000.0, 2500.0, 3000.0)}]
    )
    assert one(beside, "w2").zones == ()
    across = square(
        zones=[{"id": "back", "kind": "staff", "corners": b.box(0.0, 2000.0, 4000.0, 3000.0)}]
    )
    cut = one(across, "w2")
    assert cut.zones == ("back",)
    wide = stretch(across, cut, FOOT)
    assert max(x for x, _ in wide.shop.zones[0].corners) == pytest.approx(4000.0 + FOOT)
    assert faults(wide) == []


def test_walked_walls_grow_with_their_heights_and_curves_do_not() -> None:
    """A room given by lengths still closes; a sloping wall gets a level piece let in."""
    walls = [
        {"id": "west", "length": b.mm(3000.0)},
        {
            "id": "north",
            "length": b.mm(4000.0),
            "turn": 0,
            "heights": [
                {"offset": b.mm(0.0), "height": b.mm(2000.0)},
                {"offset": b.mm(4000.0), "height": b.mm(3000.0)},
            ],
        },
        {"id": "bow", "arc": {"radius": b.mm(1500.0), "sweep": 180, "chords": 6}, "turn": 0},
        {"id": "south", "length": b.mm(4000.0)},
    ]
    rooms = [{"id": "room", "height": b.mm(2500.0), "heading": 90, "walls": walls}]
    given = b.scenario(rooms=rooms, doors=[door("west", 900.0)])
    assert faults(given) == []
    cut = one(given, "north")
    assert cut.walls == ("north", "south")
    wide = stretch(given, cut, FOOT)
    assert faults(wide) == []
    north, before = survey(wide.shop).wall("north"), survey(given.shop).wall("north")
    assert north.length == pytest.approx(4000.0 + FOOT)
    assert north.height_at(cut.at) == pytest.approx(before.height_at(cut.at))
    assert north.height_at(cut.at + FOOT) == pytest.approx(before.height_at(cut.at))
    assert north.height_at(4000.0 + FOOT) == pytest.approx(3000.0)
    assert all("bow" not in wall for each in cuts(given) for wall in each.walls)


def test_rooms_side_by_side_keep_their_door_between_them() -> None:
    """No line runs through the thickness of the wall that an inner door passes."""
    second = {**room([(4100.0, 0.0), (4100.0, 3000.0), (6000.0, 3000.0), (6000.0, 0.0)])}
    second |= {"id": "annexe", "walls": [{"id": f"a{number}"} for number in range(1, 5)]}
    inner = door("w3", 1000.0) | {
        "id": "inner",
        "use": "inner",
        "leads_to": "annexe",
        "depth": b.mm(100.0),
    }
    given = square(rooms=[room(SQUARE), second], doors=[door("w4", 3000.0), inner])
    assert faults(given) == []
    for cut in cuts(given):
        assert faults(stretch(given, cut, FOOT)) == []
    assert ("w1", "w3", "a1", "a3") in {cut.walls for cut in cuts(given)}


@st.composite
def shops(draw: st.DrawFn) -> Scenario:
    """Draw a turned L of whole decimetres with a door, perhaps a column, a zone and a pin."""
    decimetres = st.integers(20, 60)
    width, depth = draw(decimetres) * 100.0, draw(decimetres) * 100.0
    notch = (draw(st.integers(8, 15)) * 100.0, draw(st.integers(8, 15)) * 100.0)
    corners = [
        (0.0, 0.0),
        (0.0, depth),
        (width - notch[0], depth),
        (width - notch[0], depth - notch[1]),
        (width, depth - notch[1]),
        (width, 0.0),
    ]
    turn = draw(st.sampled_from([0.0, 90.0, 30.0, -17.5]))
    more: dict[str, Any] = {}
    if turn == 0.0 and draw(st.booleans()):
        at = (draw(st.integers(3, 8)) * 100.0, draw(st.integers(3, 8)) * 100.0)
        more["columns"] = [{"id": "post", "at": b.mm(*at), "size": b.mm(200.0, 150.0)}]
    if turn == 0.0 and draw(st.booleans()):
        edge = draw(st.integers(5, 9)) * 100.0
        zone = b.box(0.0, 0.0, edge, depth)
        more["zones"] = [{"id": "back", "kind": "staff", "corners": zone}]
    if draw(st.booleans()):
        offset = draw(st.integers(0, 5)) * 100.0
        more["pins"] = {"keep": [{"fixture": "cab", "wall": "w1", "offset": b.mm(offset)}]}
    most = int((width - 900.0) / 100.0)
    doors = [door("w6", draw(st.integers(0, most)) * 100.0)]
    return b.scenario(rooms=[room(corners, turn)], doors=doors, **more)


@settings(max_examples=60)
@given(shops(), st.sampled_from([FOOT, 300.0, 25.4]))
def test_a_shell_drawn_apart_stays_sound(given: Scenario, by_mm: float) -> None:
    """Whatever the shell, the files find no fault in it, and the floor grows by a strip."""
    assume(not faults(given))
    before = survey(given.shop)
    for cut in cuts(given):
        wide = stretch(given, cut, by_mm)
        assert faults(wide) == []
        after = survey(wide.shop)
        strip = (after.floor.area - before.floor.area) / by_mm
        assert strip >= 500.0 - 1e-3
        for wall in before.walls:
            longer = by_mm if wall.id in cut.walls else 0.0
            assert after.wall(wall.id).length == pytest.approx(wall.length + longer, abs=1e-3)
            assert after.wall(wall.id).angle_deg == pytest.approx(wall.angle_deg, abs=1e-6)
        for name, column in before.columns.items():
            assert after.columns[name].area == pytest.approx(column.area)


def kept(layout: Layout, tag: str) -> float | None:
    """Give the offset of a placement."""
    return layout.placement(tag).offset_mm


def standing(given: Scenario, *offsets: float) -> Layout:
    """Give a layout of cabinets on the north wall, with a run over the first two if there are."""
    wall, cab = survey(given.shop).wall("w2"), given.catalogue.fixture("cab")
    placed = tuple(
        against_wall(f"F{number + 1}", cab, wall, offset) for number, offset in enumerate(offsets)
    )
    claims = Claims(facings=0, units=0, value=0.0, cost=100.0 * len(placed))
    return complete(given, Layout(scenario="nook", placements=placed, claims=claims))


def test_a_layout_is_carried_along() -> None:
    """What stands beyond the line moves with its wall, and meets the rules there as before."""
    given = square(brief={"aisle": b.mm(950.0)})
    layout = standing(given, 0.0, 3000.0)
    cut = one(given, "w2", layout)
    wide = stretch(given, cut, FOOT)
    moved = carried(given, layout, cut, FOOT)
    assert kept(moved, "F1") == 0.0
    assert kept(moved, "F2") == pytest.approx(3000.0 + FOOT)
    assert meets(given, layout)
    assert meets(wide, moved)


def test_what_touches_stays_together() -> None:
    """A row that the line has to cross stays whole, with the run that hangs over it."""
    given = square()
    layout = standing(given, 0.0, 1000.0, 2000.0, 3000.0)
    run = Run(
        id="R1",
        wall="w2",
        from_mm=0.0,
        to_mm=4000.0,
        bottom_mm=900.0,
        top_mm=1800.0,
        sheet="sheet",
        first_groove_mm=940.0,
        over=("F1", "F2", "F3", "F4"),
    )
    layout = layout.model_copy(update={"runs": (run,)})
    moved = carried(given, layout, one(given, "w2", layout), FOOT)
    assert [kept(moved, f"F{number}") for number in range(1, 5)] == [0.0, 1000.0, 2000.0, 3000.0]
    assert moved.runs == (run,)


def test_islands_go_with_their_middle() -> None:
    """An island beyond the line moves, one before it stays; neither is turned."""
    given = square()
    near = Placement(id="F1", fixture="cab", x_mm=300.0, y_mm=2000.0, angle_deg=0.0)
    far = Placement(id="F2", fixture="cab", x_mm=2600.0, y_mm=2000.0, angle_deg=0.0)
    claims = Claims(facings=0, units=0, value=0.0, cost=0.0)
    layout = Layout(scenario="nook", placements=(near, far), claims=claims)
    cut = one(given, "w2", layout)
    outline = footprint(given.catalogue.fixture("cab"), near)
    assert cut.at > outline.bounds[2]
    moved = carried(given, layout, cut, FOOT)
    assert moved.placements[0] == near
    assert moved.placements[1].x_mm == pytest.approx(2600.0 + FOOT)
    assert moved.placements[1].angle_deg == 0.0
