"""What fixtures and goods weigh on the floor."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.checks import floorload
from shopfit.checks.scene import Scene
from shopfit.geometry.shell import survey
from shopfit.model.finding import Finding
from shopfit.model.scenario import Scenario
from shopfit.standards import load
from shopfit.standards.rulebook import GRAVITY

from . import build as b

# The heaviest on its footprint: the till, 60 kg on 1.2 by 0.6 m; then the table, 25 kg and 4 kg of
# bowls on 1.2 by 0.8 m.
TILL_KPA = 60 * GRAVITY / (1.2 * 0.6) / 1000


def _found(scenario: Scenario) -> list[Finding]:
    scene = Scene(scenario, b.layout(), load("us"), survey(scenario.shop))
    return list(floorload.check(scene))


def _floor(kpa: float, **more: Any) -> Scenario:
    scenario = b.scenario(building={"floor": {"live_load": f"{kpa!r} kPa", **more}})
    # Everything but the till is light.
    for fixture in ("base-48", "case-48", "table-4"):
        scenario = b.refitted(scenario, fixture, weight=1.0)
    return scenario


@pytest.mark.parametrize(
    ("more", "subjects"), [(0.0, []), (0.001, []), (-0.001, ["counter F5 (till)"])]
)
def test_a_fixture_with_its_goods_stays_within_the_live_load(
    more: float, subjects: list[str]
) -> None:
    """The user's own value from the drawings; International Building Code, Table 1607.1."""
    found = [one for one in _found(_floor(TILL_KPA + more)) if one.code == "floor-load"]
    assert [one.subject for one in found] == subjects
    for one in found:
        assert one.severity == "violation"
        assert one.measured == pytest.approx(TILL_KPA)
        assert one.margin == pytest.approx(-0.001)
        assert "engineer" in one.mend


def test_on_a_slab_it_is_advice() -> None:
    """A slab lies on the ground."""
    found = [one for one in _found(_floor(TILL_KPA / 2, under="slab")) if one.code == "floor-load"]
    assert {one.severity for one in found} == {"advice"}


def test_the_whole_floor_is_summed() -> None:
    """By hand: cabinets and yarn, case, rings, table, bowls, till, sheets, goods on R1 and R2."""
    kg = 1 + 1 + 2 + 1.24 + 5 + 60 + 70 + 13.7 + 0.4
    kpa = kg * GRAVITY / (6.0 * 4.8) / 1000
    for limit, found in ((kpa + 1e-5, False), (kpa - 1e-5, True)):
        codes = {one.code for one in _found(_floor(limit))}
        assert ("floor-load-whole" in codes) is found


@pytest.mark.parametrize(
    ("storey", "psf", "found"),
    [
        ("first", 100, False),
        ("first", 99, True),
        ("upper", 75, False),
        ("upper", 74, True),
        ("wholesale", 125, False),
        ("wholesale", 124, True),
    ],
)
def test_a_weak_floor_is_pointed_out(storey: str, psf: int, found: bool) -> None:
    """International Building Code, Table 1607.1, from memory: 100, 75 and 125 psf."""
    floor = {"live_load": f"{psf} psf", "storey": storey}
    codes = {one.code for one in _found(b.scenario(building={"floor": floor}))}
    assert ("floor-live-load" in codes) is found


@pytest.mark.parametrize(("pounds", "found"), [(999.0, False), (1000.0, False), (1001.0, True)])
def test_heavy_spots_are_pointed_out(pounds: float, found: bool) -> None:
    """International Building Code, Table 1607.1 and 1607.4, from memory: 1,000 lb on 30 in square.

    The till covers 0.72 m2, and 30 in square are 0.58.
    """
    whole = pounds * 0.45359237 * 0.72 / 0.762**2
    scenario = b.refitted(b.scenario(), "till", weight=whole)
    codes = {one.code for one in _found(scenario)}
    assert ("floor-load-spot" in codes) is found


def test_a_floor_nobody_knows_is_told() -> None:
    """The finding says what is heaviest, what is usual, and which field to fill in."""
    (told,) = [one for one in _found(b.scenario()) if one.severity == "not checked"]
    assert told.code == "floor-load-not-checked"
    assert "live_load" in told.mend
    assert told.measured == pytest.approx(TILL_KPA, rel=0.2)


def test_what_was_not_weighed_is_told() -> None:
    """A fixture or a line without a weight makes every sum too small."""
    scenario = b.relined(b.refitted(b.scenario(), "till", weight=0.0), "mug", weight=0.0)
    told = [one for one in _found(scenario) if one.code == "weights-not-checked"]
    assert [("till" in one.message, "mug" in one.message) for one in told] == [
        (True, False),
        (False, True),
    ]
