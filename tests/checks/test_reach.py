"""Controls on walls, locks of cases, and goods: reach, force and floor before them."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.checks import check
from shopfit.model.finding import Finding
from shopfit.model.layout import Placement
from shopfit.units import INCH_MM

from . import build as b


def _control(**change: Any) -> dict[str, Any]:
    """Give a thermostat on wall W, 2,700 mm from its south end, with nothing before it."""
    thing = {
        "id": "dial",
        "kind": "thermostat",
        "wall": "W",
        "offset": b.mm(2700.0),
        "width": "4 in",
        "bottom": "40 in",
        "top": "44 in",
        "used_by": "customers",
    }
    return {**thing, **change}


def _found(code: str, *placements: Placement, **change: Any) -> list[Finding]:
    scenario = b.scenario(obstructions=[_control(**change)])
    findings = check(scenario, b.added(b.layout(), *placements) if placements else b.layout())
    return [f for f in findings if f.code == code]


@pytest.mark.parametrize(
    ("height", "found"),
    [("14.99 in", True), ("15 in", False), ("48 in", False), ("48.01 in", True)],
)
def test_reach_at_the_wall(height: str, found: bool) -> None:
    """2010 ADA Standards, 308.2.1 and 308.3.1: 15 to 48 in."""
    got = _found("control-reach", control_height=height)
    assert bool(got) is found
    for each in got:
        assert each.severity == "violation"
        assert "308." in each.clause
        assert each.margin is not None


@pytest.mark.parametrize(
    ("bottom", "top", "reach", "asked"),
    [
        ("40 in", "48 in", False, False),
        ("46 in", "52 in", False, True),
        ("48 in", "52 in", False, True),
        ("48.01 in", "52 in", True, False),
        ("10 in", "14.99 in", True, False),
        ("10 in", "15 in", False, True),
        ("10 in", "16 in", False, True),
        ("10 in", "60 in", False, True),
    ],
)
def test_without_its_own_height_a_control_is_judged_by_its_edges(
    bottom: str, top: str, reach: bool, asked: bool
) -> None:
    """Wholly within or wholly outside is clear; what straddles a limit is to be measured."""
    assert bool(_found("control-reach", bottom=bottom, top=top)) is reach
    assert bool(_found("control-not-checked", bottom=bottom, top=top)) is asked


@pytest.mark.parametrize(
    ("bottom", "top", "mend"),
    [("50 in", "53 in", 'Move it 5" down.'), ("8 in", "12 in", 'Move it 7" up.')],
)
def test_a_control_is_moved_wholly_within_reach(bottom: str, top: str, mend: str) -> None:
    """2010 ADA Standards, 308.3.1: its far edge to 48 in or to 15 in."""
    (told,) = _found("control-reach", bottom=bottom, top=top)
    assert told.mend == mend


def test_what_stands_too_high_at_the_greatest_depth_is_called_high() -> None:
    """2010 ADA Standards, 308.3.2: 24 in deep is not too deep, 34.01 in is too high."""
    scenario = b.scenario(obstructions=[_control(control_height="46 in")])
    scenario = b.refitted(scenario, "case-48", depth=609.6, height=34.01 * INCH_MM)
    case = Placement(
        id="X", fixture="case-48", x_mm=0, y_mm=2200, angle_deg=90, wall="W", offset_mm=2200
    )
    found = check(scenario, b.added(b.layout(), case))
    (told,) = (f for f in found if f.code == "control-reach")
    assert "too high to reach over" in told.message
    assert told.measured == pytest.approx(34.01 * INCH_MM)


@pytest.mark.parametrize(
    ("depth", "height", "control", "found"),
    [
        # 308.3.1: up to 10 in do not count.
        (254.0, 760.0, "48 in", False),
        (254.1, 760.0, "48 in", True),
        # 308.3.2: over something up to 24 in deep and 34 in high, 46 in.
        (609.6, 760.0, "46 in", False),
        (609.6, 760.0, "46.01 in", True),
        (609.7, 760.0, "46 in", True),
        (609.6, 863.6, "46 in", False),
        (609.6, 863.7, "46 in", True),
    ],
)
def test_reach_over_a_cabinet(depth: float, height: float, control: str, found: bool) -> None:
    """2010 ADA Standards, 308.3: depth, height and reach over what stands before a control."""
    scenario = b.scenario(obstructions=[_control(control_height=control)])
    scenario = b.refitted(scenario, "case-48", depth=depth, height=height)
    # The back left corner lies at the wall; the front looks east.
    case = Placement(
        id="X", fixture="case-48", x_mm=0, y_mm=2200, angle_deg=90, wall="W", offset_mm=2200
    )
    got = [
        f
        for f in check(scenario, b.added(b.layout(), case))
        if f.code == "control-reach" and "X" in f.message
    ]
    assert bool(got) is found
    assert {f.severity for f in got} <= {"barrier to review"}


@pytest.mark.parametrize(
    ("used_by", "severity"), [("customers", ["violation"]), ("staff", ["advice"]), ("service", [])]
)
def test_who_works_a_control(used_by: str, severity: list[str]) -> None:
    """What only staff work is advice (203.9); what is for service is left alone."""
    got = _found("control-reach", control_height="60 in", used_by=used_by)
    assert [f.severity for f in got] == severity


def test_controls_are_for_staff_unless_said() -> None:
    """Switches, outlets and thermostats of a shop are worked by those who keep it."""
    got = _found("control-reach", control_height="60 in", used_by=None)
    assert [f.severity for f in got] == ["advice"]
    got = _found("control-reach", control_height="60 in", used_by=None, kind="other")
    assert [f.severity for f in got] == ["violation"]
    assert _found("control-reach", kind="other", bottom="60 in", top="64 in") == []


@pytest.mark.parametrize(("force", "found"), [("5 lbf", False), ("5.01 lbf", True)])
def test_force_of_controls(force: str, found: bool) -> None:
    """2010 ADA Standards, 309.4: 5 lbf."""
    assert bool(_found("control-force", force=force)) is found


@pytest.mark.parametrize(
    # A table before wall W leaves a lane between it and the wall: 30 in is enough alongside.
    ("west", "found"),
    [(762.0, False), (761.9, True)],
)
def test_clear_floor_before_a_control(west: float, found: bool) -> None:
    """2010 ADA Standards, 309.2 and 305.3: 30 by 48 in, alongside or forward."""
    table = Placement(id="X", fixture="table-4", x_mm=west, y_mm=3300, angle_deg=0)
    got = _found("control-floor", table, control_height="44 in")
    assert bool(got) is found
    assert {f.severity for f in got} <= {"barrier to review"}


@pytest.mark.parametrize(
    ("height", "found"),
    [("14.99", True), ("15", False), ("48", False), ("48.01", True)],
)
def test_locks_of_cases(height: str, found: bool) -> None:
    """2010 ADA Standards, 308: 15 to 48 in, as advice, for staff open them."""
    scenario = b.refitted(b.scenario(), "case-48", lock_height=float(height) * INCH_MM)
    got = [f for f in check(scenario, b.layout()) if f.code == "lock-reach"]
    assert [f.severity for f in got] == ["advice"] * found


def test_locks_that_were_not_measured_are_named_once() -> None:
    """A case without the height of its lock."""
    got = [f for f in check(b.scenario(), b.layout()) if f.code == "lock-not-checked"]
    assert [f.subject for f in got] == ["case-48"]
    assert "fixtures.yaml" in got[0].mend


@pytest.mark.parametrize(
    ("depth", "height", "said"),
    [
        # Cards on hooks of 150 mm over cabinets: 459.6 mm are reached over, up to 34 in high.
        (609.6, 863.6, None),
        (609.6, 863.7, "13 behind"),
        (759.6, 762.0, None),
        (759.7, 762.0, "4 behind"),
    ],
)
def test_goods_behind_deep_or_high_cabinets(depth: float, height: float, said: str | None) -> None:
    """2010 ADA Standards, 308.3.2: over 24 in deep or 34 in high there is no reach."""
    scenario = b.refitted(b.scenario(), "base-48", depth=depth, height=height)
    got = [f for f in check(scenario, b.layout()) if f.code == "reach"]
    assert bool(got) is (said is not None)
    if said is not None:
        assert said in got[0].message
        assert "225.2.2" in got[0].message
        assert got[0].severity == "advice"
