"""Clear bands before every side a customer must reach."""

from __future__ import annotations

import math

import pytest

from shopfit.checks import check
from shopfit.model.layout import Layout, Placement

from . import build as b

CABINET_FRONT = 4800.0 - 609.6


def _gap(gap: float) -> Layout:
    """Give the layout with the table's back so far from the cabinets' fronts."""
    return b.moved(b.layout(), "F4", y_mm=CABINET_FRONT - gap)


@pytest.mark.parametrize(
    ("gap", "found"),
    [(b.AISLE + 1, []), (b.AISLE, []), (b.AISLE - 1, ["aisle"] * 3)],
)
def test_facing_fronts_keep_the_aisle_between_them(gap: float, found: list[str]) -> None:
    """Two cabinets and the table's back each want 42 in (F4)."""
    codes = [code for code in b.codes(check(b.scenario(), _gap(gap))) if code == "aisle"]
    assert codes == found


def test_a_narrow_aisle_says_by_how_much_and_what_to_move() -> None:
    """The message carries what was found, what is wanted and the margin."""
    finding = next(f for f in check(b.scenario(), _gap(b.AISLE - 6.35)) if f.code == "aisle")
    assert finding.measured == pytest.approx(b.AISLE - 6.35)
    assert finding.required == pytest.approx(b.AISLE)
    assert '1/4" under it' in finding.message
    assert finding.mend == 'Move F4 1/4" south.'
    assert finding.source == "brief"


@pytest.mark.parametrize(("gap", "found"), [(914.4, 0), (914.3, 3)])
def test_under_36_in_the_published_width_is_missed_too(gap: float, found: int) -> None:
    """2010 ADA Standards, 403.5.1: 36 in."""
    codes = b.codes(check(b.scenario(), _gap(gap)))
    assert codes.count("route-width") == found
    assert codes.count("aisle") == 3


@pytest.mark.parametrize(("fixed", "severity"), [(False, "barrier to review"), (True, "violation")])
def test_a_brief_of_36_in_is_judged_by_what_is_fixed(fixed: bool, severity: str) -> None:
    """Only loose fixtures in the way of a published width are a barrier to review."""
    scenario = b.refitted(b.briefed(b.scenario(), aisle=914.4), "table-4", fixed=fixed)
    findings = [f for f in check(scenario, _gap(914.0)) if f.code == "route-width"]
    assert len(findings) == 3
    assert {f.severity for f in findings} == {severity}


def test_a_brief_narrower_than_published_is_found() -> None:
    """The wish itself is under 36 in."""
    codes = b.codes(check(b.briefed(b.scenario(), aisle=900.0), b.layout()))
    assert codes == ["aisle-wish"]


@pytest.mark.parametrize(("y", "found"), [(1866.8, False), (1866.7, True)])
def test_the_band_lies_inside_the_room(y: float, found: bool) -> None:
    """The table's front at y - 800 wants the aisle before the wall at y 0 (F4)."""
    layout = b.moved(b.layout(), "F4", x_mm=1200.0, y_mm=y)
    findings = check(b.scenario(columns=[], doors=[]), layout)
    assert ("aisle" in b.codes(findings)) is found


def test_the_band_keeps_out_of_the_staff_zone() -> None:
    """Customers do not stand in the staff zone (F4)."""
    layout = b.moved(b.layout(), "F4", x_mm=4000.0, y_mm=3500.0, angle_deg=0)
    codes = b.codes(check(b.scenario(), layout))
    assert "aisle" in codes


def test_a_column_before_a_front_is_found() -> None:
    """A column narrows the aisle as much as a fixture (F4)."""
    column = {"id": "post", "at": b.mm(2600.0, 1700.0), "diameter": b.mm(200.0)}
    findings = check(b.scenario(columns=[column]), b.layout())
    finding = next(f for f in findings if f.code == "aisle")
    assert finding.measured == pytest.approx(100.0, abs=0.2)
    assert "column post" in finding.subject


@pytest.mark.parametrize(("x", "found"), [(101.6, []), (101.5, ["under-run"])])
def test_the_strip_under_a_free_run_stays_empty(x: float, found: list[str]) -> None:
    """Run R2 on wall W has nothing below; its goods stand out 4 in (F4)."""
    table = Placement(id="T", fixture="table-4", x_mm=x, y_mm=1100.0, angle_deg=0)
    codes = b.codes(check(b.scenario(), b.added(b.layout(), table)))
    assert [code for code in codes if code == "under-run"] == found


@pytest.mark.parametrize(("x", "found"), [(101.6 + b.AISLE, False), (101.5 + b.AISLE, True)])
def test_the_band_of_a_free_run_lies_before_its_strip(x: float, found: bool) -> None:
    """The aisle is measured from where the goods end (F4)."""
    layout = b.moved(b.layout(), "F4", x_mm=x, y_mm=2500.0)
    findings = [f for f in check(b.scenario(), layout) if f.code == "aisle"]
    assert any("slat-wall run R2" in f.subject for f in findings) is found


@pytest.mark.parametrize("angle", [0.0, 17.3, 45.0, 90.0, 200.0, -60.0])
@pytest.mark.parametrize(("gap", "found"), [(b.AISLE, 0), (b.AISLE - 0.1, 2)])
def test_fixtures_at_any_angle_are_measured_square_to_their_fronts(
    angle: float, gap: float, found: int
) -> None:
    """Two tables face each other in a large room, turned together."""
    corners = [b.mm(0.0, 0.0), b.mm(0.0, 20e3), b.mm(20e3, 20e3), b.mm(20e3, 0.0)]
    room = {**b.SHOP["rooms"][0], "corners": corners}
    turn, out = math.radians(angle), 800.0 + gap
    one = Placement(id="T1", fixture="table-4", x_mm=9e3, y_mm=9e3, angle_deg=angle)
    other = one.model_copy(
        update={
            "id": "T2",
            "x_mm": 9e3 + out * math.sin(turn),
            "y_mm": 9e3 - out * math.cos(turn),
        }
    )
    layout = Layout(scenario="", placements=(one, other), claims=b.layout().claims)
    findings = check(b.scenario(rooms=[room]), layout)
    assert b.codes(findings).count("aisle") == found
