"""A floor set out by hand for every demo, so that each is known to have a layout at all."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopfit.checks.registry import check, measured_totals
from shopfit.files.scenario import load_scenario
from shopfit.geometry.footprint import against_wall
from shopfit.geometry.shell import survey
from shopfit.model.brief import Wanted
from shopfit.model.finding import Finding
from shopfit.model.layout import Claims, Layout, Placement
from shopfit.model.scenario import Scenario
from shopfit.units import INCH_MM

SCENARIOS = Path(__file__).parents[2] / "scenarios"
# These floors carry no goods and no shopping list.
LEFT_OUT = {"facings-few", "holding", "purchase-missing"}

AtWall = tuple[str, str, float]
Free = tuple[str, float, float, float]


def inches(length: float) -> float:
    return length * INCH_MM


def load(name: str) -> Scenario:
    return load_scenario(SCENARIOS / name)


def set_out(scenario: Scenario, walls: list[AtWall], free: list[Free]) -> Layout:
    """Place fixtures: against walls by offset, and away from them by place and angle."""
    shell, goods = survey(scenario.shop), scenario.catalogue
    kept = {keep.at for keep in scenario.pins.keep}
    placements = [
        against_wall(f"W{number}", goods.fixture(fixture), shell.wall(wall), offset)
        for number, (fixture, wall, offset) in enumerate(walls, 1)
    ] + [
        Placement(id=f"F{n}", fixture=f, x_mm=x, y_mm=y, angle_deg=a, pinned=(x, y) in kept)
        for n, (f, x, y, a) in enumerate(free, 1)
    ]
    empty = Claims(facings=0, units=0, value=0, cost=0)
    layout = Layout(scenario=scenario.folder, placements=tuple(placements), claims=empty)
    cost = measured_totals(scenario, layout).cost
    return layout.model_copy(update={"claims": empty.model_copy(update={"cost": cost})})


def faults(scenario: Scenario, walls: list[AtWall], free: list[Free]) -> list[Finding]:
    """Give what is wrong with a floor, goods and shopping list apart."""
    return [
        finding
        for finding in check(scenario, set_out(scenario, walls, free))
        if finding.severity in ("violation", "barrier to review") and finding.code not in LEFT_OUT
    ]


def test_kiosk_has_a_floor():
    """The smallest demo holds a counter, a case and cabinets on both walls."""
    walls = [
        ("cab-36", "west", 0.0),
        ("cab-36", "west", inches(36)),
        ("case-24", "east", inches(120)),
        ("cab-36", "east", inches(84)),
    ]
    assert faults(load("market-kiosk"), walls, [("counter-36", inches(18), inches(112), 0)]) == []


def test_kiosk_counter_and_case_may_stand_side_by_side():
    """The case may also stand beside the counter, if a cabinet makes way for staff."""
    walls = [("cab-36", "west", 0.0), ("cab-36", "east", inches(84))]
    free: list[Free] = [
        ("counter-36", inches(18), inches(112), 0),
        ("case-24", inches(54), inches(106), 0),
    ]
    assert faults(load("market-kiosk"), walls, free) == []


def chandlery(north: str) -> tuple[list[AtWall], list[Free]]:
    """Give the chandlery's floor with one kind of cabinet on its north wall."""
    edge = 10398.0
    walls: list[AtWall] = [(north, "long north", 1300 + inches(36 * n)) for n in range(8)]
    walls += [("cab-48", "long south", 1600 + inches(44 + 48 * n)) for n in range(7)]
    # Where the pins keep them.
    free = [
        ("counter-36", edge + inches(24), 2330.0, -90.0),
        ("case-20", edge + inches(20), inches(20), -90.0),
    ]
    return walls, free


@pytest.mark.parametrize("north", ["cab-36", "cab-36-deep"])
def test_chandlery_has_a_floor(north: str):
    """Cabinets 18 in deep face others of 18 in or 24 in; staff pass between counter and case."""
    assert faults(load("towpath-chandlery"), *chandlery(north)) == []


def test_chandlery_cannot_have_deep_cabinets_on_both_sides():
    """24 in + 44 in + 24 in is more than the shell, so the witness must object."""
    walls, free = chandlery("cab-36-deep")
    walls = [w for w in walls if w[1] == "long north"]
    walls += [("cab-36-deep", "long south", 1600 + inches(44 + 36 * n)) for n in range(8)]
    assert faults(load("towpath-chandlery"), walls, free)


def test_yarn_shop_has_a_floor():
    """Racks, benches below the windows, islands between the columns, and the pinned counter."""
    walls: list[AtWall] = [("rack-1000", "east", 400.0 + 1000 * n) for n in range(4)]
    walls += [("rack-1000", "stair wall", 500), ("rack-600", "stair wall", 1500)]
    walls += [("rack-1000", "north", 0), ("rack-1000", "north", 1000), ("rack-600", "north", 2000)]
    walls += [("bench-1200", "south front", 1400), ("bench-1200", "south front", 2600)]
    walls += [("bench-1200", "west front", 2900), ("case-600", "hall wall", 1900)]
    free: list[Free] = [
        ("counter-1200", 2800, 6210, 0),
        ("gondola-1220", 5800, 3100, 0),
        ("gondola-1220", 3600, 3100, 0),
        ("table-1200", 1450, 4500, 0),
    ]
    assert faults(load("corner-yarn"), walls, free) == []


def test_museum_shop_has_a_floor():
    """Five rows of gondolas in the hall, tables and cases in the annexe, two counters."""
    walls: list[AtWall] = [("rack-48", "hall north", inches(120 + 48 * n)) for n in range(4)]
    walls += [("rack-48", "hall south", inches(24 + 48 * n)) for n in range(6)]
    walls += [("case-48", "annexe west", 0.0), ("case-48", "annexe west", inches(450))]
    walls += [("cab-48", "annexe west", inches(60 + 48 * n)) for n in range(5)]
    free: list[Free] = [("counter-72", inches(70), inches(y), 90.0) for y in (492, 576)]
    free += [("table-72", inches(950), inches(y), 0.0) for y in (300, 400, 500)]
    for row in range(5):
        # The last row makes way for the tills.
        places = (336, 432, 616) if row == 4 else (80, 176, 336, 432, 616)
        free += [("gondola-96", inches(x), inches(136 + 84 * row), 0.0) for x in places]
    assert faults(load("museum-gift"), walls, free) == []


CASES: list[AtWall] = [("case-48", "west", 0.0), ("case-48", "east", inches(96))]
COUNTER: list[Free] = [("counter-84", inches(36), inches(112), 0.0)]


def wishing(**changes: object) -> Scenario:
    """Give the impossible kiosk with some wishes changed."""
    scenario = load("market-kiosk-impossible")
    brief = scenario.brief.model_copy(update=changes)
    shop = scenario.shop.model_copy(update={"brief": brief})
    return scenario.model_copy(update={"shop": shop})


def test_impossible_kiosk_objects_to_all_wishes_together():
    """Two cases and the counter with the wide aisle must not pass."""
    assert faults(wishing(), CASES, COUNTER)


def test_impossible_kiosk_has_a_floor_with_one_case():
    """Giving up one case helps."""
    wanted = (Wanted(kind="counter", at_least=1, at_most=1), Wanted(kind="glass-case", at_least=1))
    assert faults(wishing(wanted=wanted), CASES[:1], COUNTER) == []


def test_impossible_kiosk_has_a_floor_without_a_counter():
    """Giving up the counter helps."""
    assert faults(wishing(wanted=(Wanted(kind="glass-case", at_least=2),)), CASES, []) == []


@pytest.mark.parametrize(("aisle", "works"), [(40.0, True), (40.1, False)])
def test_impossible_kiosk_has_a_floor_with_a_narrower_aisle(aisle: float, works: bool):
    """Giving up the wide aisle helps, at exactly the width that the comment names."""
    assert (faults(wishing(aisle=inches(aisle)), CASES, COUNTER) == []) is works
