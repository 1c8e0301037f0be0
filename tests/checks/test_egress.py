"""Ways out: people, exits, widths and how far it is, just under, at and just over.

International Building Code as adopted locally, mostly from memory, as each finding says of itself.
"""

from __future__ import annotations

from typing import Any

import pytest
from shapely import LineString

from shopfit.checks import egress
from shopfit.checks.doors import opening
from shopfit.checks.scene import Scene
from shopfit.geometry.shell import survey
from shopfit.model.finding import Finding
from shopfit.model.layout import Claims, Layout, Placement
from shopfit.model.ownvalues import OwnValue, OwnValues
from shopfit.model.scenario import Scenario
from shopfit.standards import load, with_own

from . import build as b

EMPTY = Layout(scenario="test-shop", claims=Claims(facings=0, units=0, value=0, cost=0))
FT = 304.8
PLAIN: dict[str, Any] = {"windows": [], "obstructions": [], "columns": [], "zones": []}


def _room(east: float, north: float) -> Any:
    corners = [b.mm(0.0, 0.0), b.mm(0.0, north), b.mm(east, north), b.mm(east, 0.0)]
    return {**b.SHOP["rooms"][0], "corners": corners}


def _door(name: str, wall: str, offset: float, width: float = 914.4, **more: Any) -> Any:
    return {
        **b.SHOP["doors"][0],
        "id": name,
        "wall": wall,
        "offset": b.mm(offset),
        "width": b.mm(width),
        "swing": "out",
        **more,
    }


def _shop(east: float, north: float, *doors: Any, **more: Any) -> Scenario:
    return b.scenario(rooms=[_room(east, north)], doors=list(doors), **{**PLAIN, **more})


def check(scenario: Scenario, layout: Layout) -> list[Finding]:
    """Run the checks of ways out alone: long shops take the others long."""
    return list(egress.check(Scene(scenario, layout, load("us"), survey(scenario.shop))))


def _found(scenario: Scenario, code: str, layout: Layout = EMPTY) -> list[Finding]:
    return [one for one in check(scenario, layout) if one.code == code]


@pytest.mark.parametrize(
    ("people", "exits", "found"),
    [(49, 1, 0), (50, 1, 1), (50, 2, 0), (500, 2, 0), (501, 2, 1), (1000, 3, 0), (1001, 3, 1)],
)
def test_exits_by_the_number_of_people(people: int, exits: int, found: int) -> None:
    """IBC 1006.2.1 and 1006.3.2, from memory: two from 50, three over 500, four over 1,000."""
    doors = [_door(f"d{k}", "S", 500.0 + 1200.0 * k) for k in range(exits)]
    scenario = _shop(9000.0, 6000.0, *doors, building={"occupants": people})
    findings = _found(scenario, "egress-exits")
    assert [one.severity for one in findings] == ["violation"] * found
    assert all("building department" in one.mend for one in findings)


@pytest.mark.parametrize(("east", "people"), [(2940.0, 49), (2941.0, 50)])
def test_people_are_reckoned_by_floor_area(east: float, people: int) -> None:
    """IBC 2015, Table 1004.1.2: 60 sq ft gross a person; 2,940 sq ft are 49."""
    scenario = _shop(east * FT / 49, 49 * FT, _door("d", "S", 1000.0))
    (told,) = _found(scenario, "egress-not-checked")
    assert f"{people} people" in told.message
    assert bool(_found(scenario, "egress-exits")) is (people > 49)


@pytest.mark.parametrize(("stock", "people"), [(0.0, 10), (300.0, 6)])
def test_stock_rooms_hold_fewer(stock: float, people: int) -> None:
    """IBC 2015, Table 1004.1.2: 300 sq ft gross a person in stock rooms; 300 + 300 sq ft."""
    zone = {
        "id": "store",
        "kind": "stock",
        "corners": [
            b.mm(0.0, 0.0),
            b.mm(0.0, stock / 20 * FT),
            b.mm(20 * FT, stock / 20 * FT),
            b.mm(20 * FT, 0.0),
        ],
    }
    zones = [zone] if stock else []
    scenario = _shop(20 * FT, 30 * FT, _door("d", "N", 1000.0), zones=zones)
    (told,) = _found(scenario, "egress-not-checked")
    assert f"with {people} people" in told.message


def _straight(length: float) -> float:
    """Give how long a room 1200 mm wide is whose farthest corner is so far from its end door."""
    # From the corner to where a person can stand, 14 in off both walls, and on to the door, whose
    # free middle spans 457.2 - 355.6 on both sides of 600 mm.
    lateral = (600.0 - 101.6) - 355.6
    corner = 355.6 * 2**0.5
    return float(((length - corner) ** 2 - lateral**2) ** 0.5 + 355.6)


@pytest.mark.parametrize(("feet", "found"), [(74.9, 0), (74.99, 0), (75.01, 1), (75.1, 1)])
def test_the_way_with_one_exit(feet: float, found: int) -> None:
    """IBC 1006.2.1, from memory: common path of 75 ft."""
    scenario = _shop(_straight(feet * FT), 1200.0, _door("d", "W", 600.0 - 457.2))
    findings = _found(scenario, "egress-one-exit-path")
    assert [one.severity for one in findings] == ["violation"] * found
    for one in findings:
        assert one.measured == pytest.approx(feet * FT, abs=2.0)
        assert LineString(one.drawn_mm[0]).length == pytest.approx(one.measured, abs=1.0)


@pytest.mark.parametrize(
    ("feet", "sprinklers", "code"),
    [
        (199.9, False, None),
        (200.1, False, "egress-travel"),
        (200.1, None, "egress-travel-not-checked"),
        (249.9, None, "egress-travel-not-checked"),
        (249.9, True, None),
        (250.1, True, "egress-travel"),
        (250.1, None, "egress-travel"),
    ],
)
def test_the_way_to_the_nearest_exit(
    feet: float, sprinklers: bool | None, code: str | None
) -> None:
    """IBC 1017.2, from memory: 200 ft, 250 ft with sprinklers; if nobody knows, that is told."""
    doors = [_door("d", "W", 600.0 - 457.2), _door("e", "S", 100.0, use="exit")]
    # Wall S runs from the east end: the second exit is taken out again by what stands before it.
    length = _straight(feet * FT)
    scenario = _shop(length, 1200.0, doors[0], building={"sprinklered": sprinklers})
    found = {one.code for one in check(scenario, EMPTY) if one.code.startswith("egress-travel")}
    assert found == ({code} if code else set())
    both = _shop(length, 1200.0, *doors, building={"sprinklered": sprinklers})
    assert not [one for one in check(both, EMPTY) if one.code.startswith("egress-travel")]


def test_the_way_leads_round_what_stands_there() -> None:
    """A fixture across the room makes the way longer than the straight one."""
    scenario = _shop(8000.0, 6000.0, _door("d", "W", 500.0))
    wide = b.refitted(scenario, "table-4", width=4500.0, depth=200.0)
    barrier = Placement(id="F1", fixture="table-4", x_mm=4000.0, y_mm=4500.0, angle_deg=-90)
    layout = EMPTY.model_copy(update={"placements": (barrier,)})
    (straight,) = _found(scenario, "egress-not-checked")
    (round_it,) = _found(wide, "egress-not-checked", layout)
    one, other = (LineString(each.drawn_mm[0]).length for each in (straight, round_it))
    assert other > one + 1000.0


@pytest.mark.parametrize(
    ("apart", "sprinklers", "code"),
    [
        (5000.0, False, None),
        (4999.0, False, "exits-apart"),
        (4999.0, None, "exits-apart-not-checked"),
        (3333.4, True, None),
        (3332.0, True, "exits-apart"),
        (3332.0, None, "exits-apart"),
    ],
)
def test_exits_are_apart(apart: float, sprinklers: bool | None, code: str | None) -> None:
    """IBC 1007.1.1, from memory: half the diagonal of 10 m, a third with sprinklers."""
    doors = [_door("d", "S", 500.0), _door("e", "S", 500.0 + apart, use="exit")]
    told = {"occupants": 60, "sprinklered": sprinklers}
    scenario = _shop(8000.0, 6000.0, *doors, building=told)
    found = {one.code for one in check(scenario, EMPTY) if one.code.startswith("exits-apart")}
    assert found == ({code} if code else set())
    few = _shop(8000.0, 6000.0, *doors, building={**told, "occupants": 49})
    assert not [one for one in check(few, EMPTY) if one.code.startswith("exits-apart")]


@pytest.mark.parametrize(("people", "found"), [(360, 0), (361, 1)])
def test_exits_are_wide_enough_together(people: int, found: int) -> None:
    """IBC 1005.3: 0.2 in a person; two doors of 36 in are enough for 360."""
    doors = [_door("d", "S", 500.0), _door("e", "N", 500.0, use="exit")]
    scenario = _shop(8000.0, 6000.0, *doors, building={"occupants": people})
    assert len(_found(scenario, "egress-width")) == found


@pytest.mark.parametrize(("people", "found"), [(360, 0), (361, 1)])
def test_half_the_width_is_left_when_an_exit_is_lost(people: int, found: int) -> None:
    """IBC 1005.5, from memory: of 72 in for 360 people the other door has half, 36 in."""
    doors = [_door("d", "S", 500.0, 1828.8), _door("e", "N", 500.0, use="exit")]
    scenario = _shop(8000.0, 6000.0, *doors, building={"occupants": people})
    assert len(_found(scenario, "egress-balance")) == found


@pytest.mark.parametrize(
    ("width", "own", "found"),
    [
        (812.8, 812.8, []),
        (812.7, 812.8, ["door-width"]),
        (914.4, 914.4, []),
        (914.3, 914.4, ["egress-door"]),
        (812.7, 914.4, ["door-width", "egress-door"]),
    ],
)
def test_exit_doors_are_wide_enough(width: float, own: float, found: list[str]) -> None:
    """IBC 1010.1.1, from memory: 32 in, which the door itself wants as well (ADA 404.2.3).

    One missing inch is told once; only a way out that is to be wider has a finding of its own.
    """
    scenario = _shop(8000.0, 6000.0, _door("d", "S", 500.0, width))
    value = OwnValue(key="egress-door", value=own, written=f"{own} mm")
    book = with_own("us", OwnValues(values=(value,)), "values.yaml")
    scene = Scene(scenario, EMPTY, book, survey(scenario.shop))
    wall = scene.doors[0][1]
    told = [*opening(scene, scenario.shop.doors[0], wall), *egress.check(scene)]
    codes = [one.code for one in told]
    assert [code for code in codes if code in ("door-width", "egress-door")] == found


@pytest.mark.parametrize(
    ("people", "swing", "codes"),
    [
        (49, "in", set()),
        (50, "in", {"egress-swing"}),
        (50, "out", set()),
        (50, "none", set()),
        (50, "sliding", {"egress-sliding"}),
    ],
)
def test_exit_doors_swing_out(people: int, swing: str, codes: set[str]) -> None:
    """IBC 1010.1.2.1, from memory: from 50 people."""
    scenario = _shop(
        8000.0, 6000.0, _door("d", "S", 500.0, swing=swing), building={"occupants": people}
    )
    found = {one.code for one in check(scenario, EMPTY)}
    assert found & {"egress-swing", "egress-sliding"} == codes


@pytest.mark.parametrize(("gap", "found"), [(914.4, 0), (914.3, 1)])
def test_an_aisle_leads_from_the_entrance_to_an_exit(gap: float, found: int) -> None:
    """IBC 1018.3 as adopted by California in 2013: 36 in."""
    doors = [_door("d", "W", 500.0), _door("e", "E", 500.0, use="exit")]
    scenario = _shop(8000.0, 6000.0, *doors)
    wide = b.refitted(scenario, "table-4", width=6000.0 - gap, depth=200.0)
    barrier = Placement(id="F1", fixture="table-4", x_mm=4000.0, y_mm=6000 - gap, angle_deg=-90)
    layout = EMPTY.model_copy(update={"placements": (barrier,)})
    loose = _found(wide, "egress-aisle", layout)
    assert [one.severity for one in loose] == ["barrier to review"] * found
    fixed = _found(b.refitted(wide, "table-4", fixed=True), "egress-aisle", layout)
    assert [one.severity for one in fixed] == ["violation"] * found


@pytest.mark.parametrize(("gap", "found"), [(711.2, 0), (711.1, 1)])
def test_whoever_is_shut_in_is_told_of(gap: float, found: int) -> None:
    """29 CFR 1910.36(g)(2): a way 28 in wide; a door for staff lets those behind it out."""
    scenario = b.refitted(
        _shop(8000.0, 6000.0, _door("d", "W", 500.0)), "table-4", width=6000.0 - gap, depth=200.0
    )
    barrier = Placement(id="F1", fixture="table-4", x_mm=4000.0, y_mm=6000 - gap, angle_deg=-90)
    layout = EMPTY.model_copy(update={"placements": (barrier,)})
    assert len(_found(scenario, "egress-shut-in", layout)) == found
    doors = (
        *scenario.shop.doors,
        scenario.shop.doors[0].model_copy(update={"id": "s", "wall": "E", "use": "staff"}),
    )
    staffed = scenario.model_copy(
        update={"shop": scenario.shop.model_copy(update={"doors": doors})}
    )
    assert _found(staffed, "egress-shut-in", layout) == []


def test_without_a_door_nothing_is_said_to_be_right() -> None:
    """A shop without an entrance or exit is told as not checked."""
    scenario = _shop(8000.0, 6000.0, _door("d", "W", 500.0, use="staff"))
    (told,) = _found(scenario, "egress-not-checked")
    assert "no entrance and no exit" in told.message
