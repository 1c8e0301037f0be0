"""Positions tried: that each may be taken, and that none that matters is missing."""

from __future__ import annotations

import itertools
import math
from typing import Any

import hypothesis
import pytest
from hypothesis import settings
from hypothesis import strategies as st
from shapely import Polygon, box
from shapely.geometry.base import BaseGeometry

from shopfit.model.fixtures import Fixture
from shopfit.model.scenario import Scenario
from shopfit.solver.candidate import Candidate
from shopfit.solver.candidates import candidates
from shopfit.solver.site import Site
from shopfit.units import INCH_MM

from . import build as b
from . import slowly

ROOM = box(0, 0, 3000, 3000)
# ADA 404.2.4.1, push side: 48 in deep, no latch side without a closer; the door is 900 mm wide.
BEFORE_DOOR = box(1050, 0, 1950, 1219.2)


def positions(given: Scenario, name: str | None = "cab") -> list[Candidate]:
    return [c for c in candidates(Site(given)) if c.fixture == name]


def on_wall(given: Scenario, wall: str, name: str | None = "cab") -> list[float]:
    """List the offsets tried on a wall."""
    return sorted(
        c.placement.offset_mm or 0.0 for c in positions(given, name) if c.placement.wall == wall
    )


def square(wall: str, offset: float, wide: float, near: float, far: float) -> BaseGeometry:
    """Give a rectangle before a wall of the square room."""
    spans = {
        "W": (near, offset, far, offset + wide),
        "N": (offset, 3000 - far, offset + wide, 3000 - near),
        "E": (3000 - far, 3000 - offset - wide, 3000 - near, 3000 - offset),
        "S": (3000 - offset - wide, near, 3000 - offset, far),
    }
    return box(*spans[wall])


ODD: dict[str, Any] = {
    "rooms": [
        {
            **b.shop()["rooms"][0],
            "walls": [
                {"id": "W"},
                {"id": "N", "fixtures": False},
                # Falls from 1800 at its left end to 600 at its right.
                {
                    "id": "E",
                    "heights": [
                        {"offset": b.mm(0.0), "height": b.mm(1800.0)},
                        {"offset": b.mm(3000.0), "height": b.mm(600.0)},
                    ],
                },
                {"id": "S"},
            ],
        }
    ],
    "windows": [
        {"id": "low", "wall": "W", "offset": b.mm(1500.0), "width": b.mm(400.0),
         "sill": b.mm(799.0), "head": b.mm(1800.0)},
    ],
    "columns": [{"id": "post", "at": b.mm(2800.0, 2400.0), "size": b.mm(200.0, 200.0)}],
    "zones": [{"id": "store", "kind": "stock", "corners": b.box(0.0, 2700.0, 900.0, 3000.0)}],
}  # fmt: skip
CLEAR = {"clear": [{"id": "hatch", "corners": b.box(2000.0, 400.0, 2400.0, 700.0)}]}


def free(wall: str, offset: float) -> bool:
    """Say from the odd room's measures alone whether the cabinet may stand at an offset."""
    if wall == "N":
        return False
    body = square(wall, offset, 1000, 0, 500)
    band = square(wall, offset, 1000, 500, 1400)
    taken = [
        BEFORE_DOOR,
        box(2700, 2300, 2900, 2500),
        box(0, 2700, 900, 3000),
        box(2000, 400, 2400, 700),
    ]
    if any(body.intersection(shape).area > 1 for shape in taken):
        return False
    band_taken = taken[1:3]
    if any(band.intersection(shape).area > 1 for shape in band_taken):
        return False
    if not (ROOM.buffer(0.001).covers(body) and ROOM.buffer(0.001).covers(band)):
        return False
    if wall == "W" and offset < 1900 and offset + 1000 > 1500:
        return False  # the window's sill is a millimetre under the cabinet's top
    return not (wall == "E" and 1800 - 0.4 * (offset + 1000) < 800)


@pytest.mark.parametrize("wall", ["W", "N", "E", "S"])
def test_offsets_on_the_step_are_exactly_those_that_are_free(wall: str):
    """Door spaces, window, falling ceiling, column, zone, pinned floor: each forbids its own."""
    found = on_wall(b.scenario(pins=CLEAR, **ODD), wall)
    stepped = [k * 300.0 for k in range(7)]
    assert [x for x in stepped if free(wall, x)] == [x for x in stepped if x in found]
    assert all(free(wall, x) for x in found)


def test_the_odd_room_leaves_something_on_three_walls():
    """The test above would say nothing of a room in which nothing stands."""
    given = b.scenario(pins=CLEAR, **ODD)
    assert [wall for wall in "WNES" if on_wall(given, wall)] == ["W", "E", "S"]
    assert [wall for wall in "WNES" if on_wall(b.scenario(), wall)] == ["W", "N", "E", "S"]


def test_fixtures_may_stand_flush():
    """Off the step, fixtures still stand flush with corners, jambs, windows and door spaces."""
    given = b.scenario(
        fixtures=[b.fixture(width=b.mm(470.0), depth=b.mm(400.0), height=b.mm(900.0))],
        windows=[
            {"id": "light", "wall": "N", "offset": b.mm(1010.0), "width": b.mm(700.0),
             "sill": b.mm(850.0), "head": b.mm(2000.0)}
        ],
    )  # fmt: skip
    assert {0.0, 2530.0, 1010.0 - 470.0, 1710.0} <= set(on_wall(given, "N"))
    assert {0.0, 2530.0, 1050.0 - 470.0, 1950.0} <= set(on_wall(given, "S"))
    assert {0.0, 2530.0} <= set(on_wall(given, "W"))


@pytest.mark.parametrize(("width", "count"), [(2999.0, 2), (3000.0, 1), (3000.1, 0)])
def test_a_fixture_as_long_as_the_wall_has_one_position(width: float, count: int):
    """A millimetre of play gives both ends, none gives one place, too long none."""
    given = b.scenario(fixtures=[b.fixture(width=b.mm(width))])
    assert len(on_wall(given, "N")) == count


@pytest.mark.parametrize(("sill", "fits"), [(799.9, False), (800.0, True), (800.1, True)])
def test_a_cabinet_stands_below_a_sill(sill: float, fits: bool):
    """A cabinet 800 mm high may stand below a sill of 800 mm."""
    window = {"id": "light", "wall": "N", "offset": b.mm(1200.0), "width": b.mm(600.0)}
    window |= {"sill": b.mm(sill), "head": b.mm(2000.0)}
    given = b.scenario(windows=[window])
    assert (1200.0 in on_wall(given, "N")) is fits


@pytest.mark.parametrize(
    ("kind", "bottom", "fits"),
    [
        ("outlet", 300.0, True),
        ("other", 300.0, True),
        ("switch", 799.0, False),
        ("switch", 800.0, True),
        ("radiator", 100.0, False),
        ("thermostat", 700.0, False),
    ],
)
def test_things_on_walls_that_must_stay_bare(kind: str, bottom: float, fits: bool):
    """Outlets may end up behind a cabinet; switches, thermostats and radiators may not."""
    thing = {"id": "thing", "kind": kind, "wall": "N", "offset": b.mm(1500.0)}
    thing |= {"width": b.mm(100.0), "bottom": b.mm(bottom), "top": b.mm(bottom + 100.0)}
    given = b.scenario(obstructions=[thing])
    assert (1200.0 in on_wall(given, "N")) is fits


def test_floor_before_a_panelboard_stays_clear():
    """30 in wide, 36 in deep from the wall (OSHA 1910.303(g)(1)), also for a fixture beside it."""
    panel = {"id": "panel", "kind": "panelboard", "wall": "W", "offset": b.mm(1400.0)}
    panel |= {"width": b.mm(300.0), "bottom": b.mm(1000.0), "top": b.mm(1600.0)}
    given = b.scenario(obstructions=[panel])
    space = box(0, 1550 - 381, 914.4, 1550 + 381)
    found = positions(given)
    assert all(c.body.intersection(space).area < 1 for c in found)
    assert on_wall(given, "W")[:2] == [0.0, pytest.approx(1550 - 381 - 1000)]


@pytest.mark.parametrize(("height", "count"), [(1399.9, 1), (1400.0, 1), (1400.1, 0)])
def test_islands_are_no_taller_than_the_brief_says(height: float, count: int):
    """Sight of the shop is kept by the height of islands."""
    island = b.fixture("isle", stands=["island"], height=b.mm(height), faces=[b.face("table")])
    assert bool(positions(b.scenario(fixtures=[island]), "isle")) is bool(count)


def islands(fixture: Fixture, **changes: Any) -> list[Candidate]:
    return positions(b.scenario(fixtures=[fixture], **changes), fixture.id)


def test_islands_stand_on_the_grid_and_inside():
    """Every free place of the step is tried, in each turn that differs, and no other."""
    isle = b.fixture(
        "isle", width=b.mm(600.0), depth=b.mm(400.0), stands=["island"], faces=[b.face("table")]
    )
    found = islands(isle)
    boxes = {(c.placement.angle_deg, *c.body.bounds) for c in found}
    expected = set()
    for turn, k, m in itertools.product((0, 90, 180, 270), range(11), range(11)):
        wide, deep = (600, 400) if turn % 180 == 0 else (400, 600)
        left, low = k * 300.0, m * 300.0
        body = box(left, low, left + wide, low + deep)
        # Where the front lies, seen from the turn: south, east, north, west.
        x, y = {0: (0, -1), 90: (1, 0), 180: (0, 1), 270: (-1, 0)}[turn]
        reach = {
            0: box(left, low - 900, left + wide, low),
            90: box(left + wide, low, left + wide + 900, low + deep),
            180: box(left, low + deep, left + wide, low + deep + 900),
            270: box(left - 900, low, left, low + deep),
        }[turn]
        assert abs(x) + abs(y) == 1
        if ROOM.covers(body) and ROOM.covers(reach) and body.intersection(BEFORE_DOOR).area < 1:
            expected.add((float(turn), left, low, left + wide, low + deep))
    assert boxes == expected


def test_islands_alike_on_both_sides_are_tried_in_two_turns():
    """A gondola turned right round is the same gondola."""
    sides = [b.face("table", side=side) for side in ("front", "back")]
    isle = b.fixture("isle", width=b.mm(600.0), depth=b.mm(400.0), stands=["island"], faces=sides)
    assert {c.placement.angle_deg for c in islands(isle)} == {0.0, 90.0}


def test_every_customer_side_has_a_band_of_its_own():
    """Bands lie before each display side, a whole aisle deep, and outward."""
    sides = [b.face("table", side=side) for side in ("front", "left")]
    isle = b.fixture("isle", width=b.mm(600.0), depth=b.mm(400.0), stands=["island"], faces=sides)
    for c in islands(isle):
        assert len(c.bands) == 2
        for direction, band, depth in c.bands:
            assert depth == 900.0
            assert band.area == pytest.approx(900.0 * (600.0 if band is c.bands[0][1] else 400.0))
            assert band.intersection(c.body).area < 1
            away = math.radians(direction)
            dx = band.centroid.x - c.body.centroid.x
            dy = band.centroid.y - c.body.centroid.y
            assert dx * math.cos(away) + dy * math.sin(away) == pytest.approx(math.hypot(dx, dy))


STAFF = {"zones": [{"id": "till", "kind": "staff", "corners": b.box(0.0, 1500.0, 3000.0, 3000.0)}]}
COUNTER = b.fixture(
    "counter", kind="counter", width=b.mm(1200.0), depth=b.mm(600.0), stands=["divider"], faces=[]
)


def test_dividers_stand_on_the_staff_edge_with_room_behind():
    """The counter's front lies on the zone's edge and staff have their aisle behind it."""
    given = b.scenario(fixtures=[COUNTER, b.fixture()], **STAFF)
    found = positions(given, "counter")
    assert found
    for c in found:
        left, low, right, high = c.body.bounds
        assert (low, high) == (pytest.approx(1500.0), pytest.approx(2100.0))
        assert 0 <= left < right <= 3000
        assert c.placement.wall is None
        front = next(band for _, band, _ in c.bands if band is not c.staff_band)
        assert front.bounds == pytest.approx((left, 600.0, right, 1500.0))
        assert c.staff_band is not None
        assert c.staff_band.bounds == pytest.approx((left, 2100.0, right, 2900.0))
    lefts = {round(c.body.bounds[0]) for c in found}
    assert {0, 1800} <= lefts


@pytest.mark.parametrize(("deep", "fits"), [(1399.9, False), (1400.0, True), (1400.1, True)])
def test_dividers_need_the_staff_aisle_inside_the_zone(deep: float, fits: bool):
    """A counter 600 mm deep and an aisle of 800 mm want a zone 1400 mm deep."""
    zone = {"id": "till", "kind": "staff", "corners": b.box(0.0, 3000.0 - deep, 3000.0, 3000.0)}
    given = b.scenario(fixtures=[COUNTER], zones=[zone])
    assert bool(positions(given, "counter")) is fits


def test_no_fixture_for_customers_in_staff_or_stock_zones():
    """Neither body nor the customers' floor before it lies in a zone."""
    for kind in ("staff", "stock"):
        zone = {"id": "back", "kind": kind, "corners": b.box(0.0, 1500.0, 3000.0, 3000.0)}
        found = positions(b.scenario(zones=[zone]))
        assert found
        for c in found:
            for shape in (c.body, *(band for _, band, _ in c.bands)):
                assert shape.intersection(box(0, 1500, 3000, 3000)).area < 1


def test_pins_come_first_off_the_grid_and_once():
    """What the user pinned is there exactly as pinned, even where the grid has the same place."""
    pins = {
        "keep": [
            {"fixture": "cab", "wall": "N", "offset": b.mm(123.4)},
            {"fixture": "cab", "at": b.mm(700.0, 2000.0), "angle": "30"},
        ]
    }
    found = candidates(Site(b.scenario(pins=pins)))
    assert [c.pinned for c in found[:3]] == [True, True, False]
    assert found[0].placement.offset_mm == 123.4
    assert (found[1].placement.x_mm, found[1].placement.y_mm) == (700.0, 2000.0)
    assert found[1].placement.angle_deg == 30.0
    on_grid = {"keep": [{"fixture": "cab", "wall": "N", "offset": b.mm(300.0)}]}
    same = [
        c for c in positions(b.scenario(pins=on_grid)) if c.placement.offset_mm == 300.0
        and c.placement.wall == "N"
    ]  # fmt: skip
    assert [c.pinned for c in same] == [True]


@pytest.mark.parametrize(("out", "wall"), [(0.0, "N"), (0.02, "N"), (0.03, None)])
def test_a_pin_by_its_place_may_stand_against_a_wall(out: float, wall: str | None):
    """What a layout tells of a cabinet at a wall pins it there, with the slat-wall over it."""
    room = Site(b.scenario()).shell.wall("N")
    x, y = room.point(600.0, out)
    keep = {"fixture": "cab", "at": b.mm(x, y), "angle": room.angle_deg}
    given = b.scenario(
        fixtures=[b.fixture(slat_above=True)],
        sheets=[b.SHEET],
        brackets=[{**HOOK, "depth": b.mm(100.0)}],
        pins={"keep": [keep]},
    )
    first = candidates(Site(given))[0]
    assert first.pinned
    assert first.placement.wall == wall
    assert bool(first.slat) is (wall is not None)


def test_what_cannot_be_had_is_not_tried():
    """A fixture with none available is left out unless one is owned."""
    assert not positions(b.scenario(fixtures=[b.fixture(available=0)]))
    assert positions(b.scenario(fixtures=[b.fixture(available=0, owned=1)]))


HOOK = {"id": "hook", "kind": "hook", "load": "2 kg", "price": 1}


def test_slat_wall_over_fixtures_is_as_tall_as_the_wall_leaves():
    """It starts a gap above the cabinet and ends at the ceiling, the brief's top or a sheet."""
    for ceiling, top in ((2500.0, 2000.0), (1900.0, 1900.0)):
        room = {**b.shop()["rooms"][0], "height": b.mm(ceiling)}
        given = b.scenario(fixtures=[b.fixture(slat_above=True)], sheets=[b.SHEET], rooms=[room])
        for c in positions(given):
            assert [part.wall_span[2:] for part in c.slat if part.wall_span] == [(850.0, top)]
    low = {**b.SHEET, "height": b.mm(900.0)}
    for c in positions(b.scenario(fixtures=[b.fixture(slat_above=True)], sheets=[low])):
        assert [part.wall_span[2:] for part in c.slat if part.wall_span] == [(850.0, 1750.0)]


def test_slat_wall_passes_windows_and_doors():
    """No piece of slat-wall covers an opening, and the piece beside one is kept."""
    window = {"id": "light", "wall": "N", "offset": b.mm(1300.0), "width": b.mm(400.0)}
    window |= {"sill": b.mm(1000.0), "head": b.mm(1900.0)}
    given = b.scenario(
        fixtures=[b.fixture(slat_above=True)],
        sheets=[b.SHEET],
        brackets=[{**HOOK, "depth": b.mm(100.0)}],
        windows=[window],
    )
    light, door = box(1300, 1000, 1700, 1900), box(1050, 0, 1950, 2100)
    pieces = 0
    for c in candidates(Site(given)):
        for part in c.slat:
            assert part.wall_span is not None
            left, right, low, high = part.wall_span
            shape = box(left, low, right, high)
            assert part.width == pytest.approx(right - left)
            pieces += 1
            if c.placement.wall == "N":
                assert shape.intersection(light).area < 1
            if c.placement.wall == "S":
                assert shape.intersection(door).area < 1
    assert pieces
    (beside,) = [c for c in positions(given) if c.placement.wall == "N"
                 and c.placement.offset_mm == 600.0]  # fmt: skip
    assert (600.0, 1300.0, 850.0, 2000.0) in [part.wall_span for part in beside.slat]


@pytest.mark.parametrize(("deep", "fits"), [(101.6, True), (101.7, False)])
def test_bare_slat_wall_hangs_for_a_shallow_board_too(deep: float, fits: bool):
    """Where no bracket is shallow enough a shelf board may be."""
    board = {"id": "ledge", "length": b.mm(900.0), "depth": b.mm(deep), "load": "9 kg", "price": 3}
    given = b.scenario(sheets=[b.SHEET], brackets=[{**HOOK, "depth": b.mm(300.0)}], shelves=[board])
    assert bool(positions(given, None)) is fits


def test_sheets_that_cannot_be_had_are_not_used():
    """The cheapest of those to be had is taken, and none where none is to be had."""
    gone = {**b.SHEET, "id": "gone", "price": 1, "available": 0}
    assert Site(b.scenario(sheets=[gone])).sheet is None
    site = Site(b.scenario(sheets=[gone, b.SHEET]))
    assert site.sheet is not None
    assert site.sheet.id == b.SHEET["id"]


@pytest.mark.parametrize(("deep", "fits"), [(101.5, True), (101.6, True), (101.7, False)])
def test_bare_slat_wall_stands_out_four_inches_at_most(deep: float, fits: bool):
    """With nothing below, a bracket over 4 in (ADA 307.2) hangs nowhere, so nothing is tried."""
    given = b.scenario(sheets=[b.SHEET], brackets=[{**HOOK, "depth": b.mm(deep)}])
    found = positions(given, None)
    assert bool(found) is fits
    for c in found:
        (part,) = c.slat
        assert part.kind.depth == deep
        assert part.wall_span is not None
        assert part.wall_span[2] == 400.0
        (_, band, _), out = c.bands[0], 101.6
        assert band.distance(c.body) < 1e-6
        assert band.area == pytest.approx(900.0 * part.width)
        assert c.body.area == pytest.approx(out * part.width)


def test_walls_that_want_no_slat_wall_get_none():
    """The user's word about a wall holds for slat-wall over fixtures and for bare runs."""
    room = dict(b.shop()["rooms"][0])
    room["walls"] = [{"id": w, "slat_wall": w != "N"} for w in "WNES"]
    given = b.scenario(
        fixtures=[b.fixture(slat_above=True)],
        sheets=[b.SHEET],
        brackets=[{**HOOK, "depth": b.mm(100.0)}],
        rooms=[room],
    )
    with_slat = {c.placement.wall for c in candidates(Site(given)) if c.slat}
    assert "N" not in with_slat
    assert {"W", "E"} <= with_slat
    assert "N" in {c.placement.wall for c in positions(given)}


def test_walls_at_any_angle_have_positions():
    """In a room turned by 30 degrees every wall has the positions of the square room."""
    cos, sin = math.cos(math.radians(30)), math.sin(math.radians(30))
    corners = [(0.0, 0.0), (0.0, 3000.0), (3000.0, 3000.0), (3000.0, 0.0)]
    turned = [b.mm(x * cos - y * sin, x * sin + y * cos) for x, y in corners]
    isle = b.fixture("isle", stands=["island"], faces=[b.face("table")])
    plain = b.scenario(fixtures=[b.fixture(), isle])
    odd = b.scenario(
        fixtures=[b.fixture(), isle], rooms=[{**b.shop()["rooms"][0], "corners": turned}]
    )
    for wall in "WNES":
        assert on_wall(odd, wall) == pytest.approx(on_wall(plain, wall))
    assert len(positions(odd, "isle")) == len(positions(plain, "isle"))
    floor = Polygon([(x, y) for x, y in ((float(p[0][:-3]), float(p[1][:-3])) for p in turned)])
    assert all(floor.buffer(0.01).covers(c.body) for c in candidates(Site(odd)))


KINDS = {
    "wall": b.fixture("base", slat_above=True),
    "low": b.fixture("low", width=b.mm(730.0), depth=b.mm(300.0), height=b.mm(500.0)),
    "isle": b.fixture("isle", width=b.mm(600.0), depth=b.mm(400.0), stands=["island", "wall"],
                      faces=[b.face("table"), b.face("table", side="left")]),
    "two": b.fixture("two", width=b.mm(900.0), stands=["island"],
                     faces=[b.face("table", side=side) for side in ("front", "back")]),
    "till": b.fixture("till", kind="counter", stands=["divider"], faces=[]),
}  # fmt: skip


@st.composite
def shops(draw: st.DrawFn) -> Scenario:
    """Draw a room of an odd shape, turned or not, with things in it."""
    step = 50.0
    wide = draw(st.integers(70, 90)) * step
    deep = draw(st.integers(70, 90)) * step
    notch_x, notch_y = (draw(st.integers(20, 45)) * step for _ in range(2))
    slant = draw(st.sampled_from([0.0, 0.0, 700.0]))
    turn = math.radians(draw(st.sampled_from([0.0, 0.0, 20.0])))
    outline = [(0.0, 0.0), (0.0, deep), (wide - notch_x, deep), (wide - notch_x, notch_y)]
    outline += [(wide, notch_y - slant), (wide, 0.0)]
    cos, sin = math.cos(turn), math.sin(turn)
    corners = [b.mm(round(x * cos - y * sin, 3), round(x * sin + y * cos, 3)) for x, y in outline]
    falling = [{"offset": b.mm(0.0), "height": b.mm(2400.0)}]
    falling += [{"offset": b.mm(1500.0), "height": b.mm(draw(st.sampled_from([2400.0, 700.0])))}]
    walls: list[dict[str, Any]] = [{"id": name} for name in ("W", "N", "I", "J", "E", "S")]
    walls[0]["heights"] = falling
    window = {"id": "light", "wall": "N", "offset": b.mm(draw(st.integers(0, 10)) * step)}
    window |= {"width": b.mm(300.0), "sill": b.mm(draw(st.sampled_from([700.0, 1200.0])))}
    zone = b.box(0.0, deep - 1400.0, 1500.0, deep) if turn == 0.0 else None
    return b.scenario(
        fixtures=[
            KINDS[name] for name in draw(st.sets(st.sampled_from(sorted(KINDS)), min_size=1))
        ],
        sheets=[b.SHEET],
        brackets=[{**HOOK, "depth": b.mm(draw(st.sampled_from([90.0, 200.0])))}],
        rooms=[{"id": "room", "height": b.mm(2500.0), "corners": corners, "walls": walls}],
        doors=[{**b.shop()["doors"][0], "offset": b.mm(100.0)}],
        windows=[{**window, "head": b.mm(1900.0)}],
        zones=[{"id": "till", "kind": "staff", "corners": zone}] if zone else [],
        columns=[{"id": "post", "at": b.mm(900.0, 800.0), "size": b.mm(150.0, 150.0)}],
        brief={
            "step": b.mm(draw(st.sampled_from([290.0, 400.0]))),
            "aisle": b.mm(draw(st.sampled_from([900.0, 900.0, 1100.0]))),
        },
    )


@settings(max_examples=15)
@hypothesis.given(shops())
def test_positions_tried_at_once_are_those_tried_one_by_one(given: Scenario):
    """The same positions in the same order, with the same floor and faces to the last bit."""
    site = Site(given)
    assert [slowly.told(candidate) for candidate in candidates(site)] == slowly.positions(site)


@settings(max_examples=15)
@hypothesis.given(shops(), st.integers(2, 4))
def test_a_coarser_grid_is_part_of_the_whole(given: Scenario, every: int):
    """Each position of every so-manieth step is one of the whole grid, and flush places stay."""
    site = Site(given)
    whole, part = candidates(site), iter(candidates(site, every))
    wanted = next(part, None)
    left_out = []
    for candidate in whole:
        if wanted is not None and candidate == wanted:
            assert slowly.told(candidate) == slowly.told(wanted)
            wanted = next(part, None)
        else:
            left_out.append(candidate)
    assert wanted is None
    on_step = [c for c in left_out if c.placement.offset_mm is not None]
    assert all(
        (c.placement.offset_mm or 0.0) % given.brief.step == pytest.approx(0.0, abs=1e-3)
        or (c.placement.offset_mm or 0.0) % given.brief.step == pytest.approx(given.brief.step)
        for c in on_step
    )


def test_a_coarser_grid_has_each_so_manieth_step():
    """Every third step along walls with both flush ends, every third both ways for islands."""
    isle = b.fixture("isle", width=b.mm(600.0), stands=["island"], faces=[b.face("table")])
    site = Site(b.scenario(fixtures=[b.fixture(), isle], doors=[], depth=3200.0))
    found = candidates(site, 3)
    along = [c.placement.offset_mm for c in found if c.placement.wall == "W"]
    assert along == [0.0, 900.0, 1800.0, 2200.0]
    places = {c.body.bounds[:2] for c in found if c.fixture == "isle"}
    assert {x for x, _ in places} == {0.0, 900.0, 1800.0}
    assert {y for _, y in places} == {0.0, 900.0, 1800.0, 2700.0}
    assert candidates(site, 1) == candidates(site)


@pytest.mark.parametrize(
    ("aisle", "width", "kept"),
    [
        (41.9, 40.0, 41.9),
        (42.0, 40.0, 48.0),
        (47.9, 47.9, 48.0),
        (48.0, 40.0, 48.0),
        (48.1, 40.0, 48.1),
        (42.0, 48.0, 42.0),
    ],
)
def test_islands_keep_room_to_turn_back(aisle: float, width: float, kept: float):
    """403.5.2: before an end under 48 in, and only where the aisle is 42 in, are 48 in kept."""
    isle = b.fixture(
        "isle", width=b.mm(1300.0), depth=b.mm(width * INCH_MM), stands=["island"],
        faces=[b.face("table")],
    )  # fmt: skip
    aisle, kept = aisle * INCH_MM, kept * INCH_MM
    for free, hemmed_in in ((kept - 0.1, True), (kept, False)):
        given = b.scenario(fixtures=[isle], width=2 * free + 1300.0, depth=6000.0,
                           brief={"aisle": b.mm(aisle), "step": b.mm(free)})  # fmt: skip
        (one, *_) = [
            c
            for c in positions(given, "isle")
            if c.placement.angle_deg == 0.0
            and c.body.bounds[0] == pytest.approx(free)
            and c.body.bounds[1] > aisle
        ]
        assert one.around is not None
        left, low, right, high = one.around.bounds
        assert (right - left, high - low) == pytest.approx((1300.0 + kept, width * INCH_MM + aisle))
        assert one.hemmed_in is hemmed_in
