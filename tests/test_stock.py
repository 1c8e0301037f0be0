"""Slat-wall keeps to the whole sheets that can be had."""

from __future__ import annotations

import pytest

from shopfit import planning
from shopfit.affording.stock import too_few_sheets, trim_sheets
from shopfit.affording.trim import missing
from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario
from shopfit.planning import Plan
from shopfit.solver.spending import sheets_over
from tests.solver import build as b

HOOK = {"id": "hook", "kind": "hook", "depth": b.mm(150.0), "load": "4 kg", "price": 1}


def _shop(available: int, least: int = 0) -> Scenario:
    """Give two cabinets with slat-wall over them, 1290 mm wide and more than half a sheet high."""
    line = b.line(ways=["hook"], min_facings=least, max_facings=200, depth=b.mm(50.0))
    cabinet = b.fixture(width=b.mm(1290.0), slat_above=True, available=2)
    return b.scenario([line], [cabinet], [{**b.SHEET, "available": available}], [HOOK])


def _plan(given: Scenario) -> Plan:
    return planning.solve(given, SolveOptions(seconds=2, workers=1))


def _packs(plan: Plan) -> int:
    assert plan.layout is not None
    return sum(one.packs for one in plan.layout.purchases if one.item == b.SHEET["id"])


@pytest.fixture(scope="module")
def ample() -> Plan:
    """Lay the shop out with as many sheets as are wanted."""
    return _plan(_shop(1000))


def test_more_than_one_sheet_is_wanted(ample: Plan) -> None:
    """Or else the tests below say nothing."""
    assert _packs(ample) > 1


@pytest.mark.parametrize("fewer", [0, 1])
def test_no_more_sheets_are_bought_than_there_are(ample: Plan, fewer: int) -> None:
    """At the number wanted nothing changes; with one less a layout keeps to it and shows less."""
    plan = _plan(_shop(_packs(ample) - fewer))
    assert plan.layout is not None
    assert ample.layout is not None
    assert "available" not in {finding.code for finding in plan.violations}
    assert _packs(plan) <= _packs(ample) - fewer
    assert (plan.layout.claims.facings < ample.layout.claims.facings) is bool(fewer)
    assert plan.layout.proof is not None
    assert plan.layout.proof.bound is not None
    assert plan.layout.proof.bound >= plan.layout.claims.facings


def test_runs_are_taken_out_for_sheets_that_lack(ample: Plan) -> None:
    """As much slat-wall stays as there are sheets for, and no minimum is given up for it."""
    assert ample.layout is not None
    have = _packs(ample) - 1
    given = _shop(have)
    assert sheets_over(given, ample.layout) == {b.SHEET["id"]: 1}
    left = trim_sheets(given, ample.layout)
    assert left is not None
    assert sheets_over(given, left) == {}
    assert 0 < left.claims.facings < ample.layout.claims.facings
    needed = _shop(have, least=ample.layout.claims.facings)
    assert missing(needed, ample.layout) == 0
    assert trim_sheets(needed, ample.layout) is None
    clash = too_few_sheets(needed, ample.layout)
    assert not clash.proved
    assert [change.change for change in clash.changes] == [f"{have + 1}"]


def test_a_minimum_that_wants_more_sheets_than_there_are_leaves_no_layout(ample: Plan) -> None:
    """All facings of the ample shop are wanted, and there is a sheet too few for them."""
    assert ample.layout is not None
    plan = _plan(_shop(_packs(ample) - 1, least=ample.layout.claims.facings))
    assert plan.layout is None
    assert plan.solution.clash is not None
