"""Taking goods out of what is too heavy for a raised floor, and of nothing else."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit import planning
from shopfit.affording.lightening import lightened
from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario
from shopfit.planning import Plan
from tests.solver import build as b


def given(floor: dict[str, Any], jar: dict[str, Any] | None = None, **brief: Any) -> Scenario:
    """One cabinet of 10 kg on half a square metre, with room for twenty facings of four jars.

    Jars of 2.5 kg fill it to 200 kg, which is 210 kg with the cabinet, or 4.1188 kPa.
    """
    lines = [b.line(weight="2.5 kg", max_facings=20, **(jar or {}))]
    cabinet = b.fixture(available=1, weight="10 kg")
    return b.scenario(lines, [cabinet], building={"floor": floor}, brief=brief)


def raised(live_load: float) -> dict[str, Any]:
    return {"live_load": f"{live_load} kPa", "under": "raised"}


def solved(scenario: Scenario) -> Plan:
    return planning.solve(scenario, SolveOptions(seconds=1, workers=1))


def found(plan: Plan) -> Layout:
    assert plan.layout is not None
    return plan.layout


def codes(plan: Plan) -> set[str]:
    return {finding.code for finding in plan.violations}


@pytest.mark.parametrize(
    ("live_load", "facings"),
    [(4.2, 20), (4.119, 20), (4.118, 19), (3.93, 19), (3.92, 18), (2.0, 9)],
)
def test_no_more_stands_on_a_raised_floor_than_it_carries(live_load: float, facings: int):
    """By hand: 2 kPa on half a square metre are 101.97 kg, so nine facings of 10 kg."""
    plan = solved(given(raised(live_load)))
    assert found(plan).claims.facings == facings
    assert "floor-load" not in codes(plan)
    proof = found(plan).proof
    assert proof is not None
    assert proof.objective == facings
    # The bound is that of the search, which does not know the floor.
    assert proof.bound == 20
    assert (proof.status == "proved") is (facings == 20)
    told = [stage.scope for stage in proof.stages]
    gone = f"{20 - facings} facings taken out so that the floor carries what stands on it"
    assert (gone in told) is (facings < 20)


def test_a_floor_of_which_nobody_said_what_is_under_it_counts_as_raised():
    """The checks call too much on it a violation as well."""
    plan = solved(given({"live_load": "2 kPa"}))
    assert found(plan).claims.facings == 9
    assert "floor-load" not in codes(plan)


@pytest.mark.parametrize(
    "floor",
    [{"live_load": "2 kPa", "under": "slab"}, {"under": "raised"}, {}],
)
def test_goods_stay_where_the_floor_is_a_slab_or_nobody_said_what_it_carries(
    floor: dict[str, Any],
):
    """On the ground too much is advice; without a figure it is told as not checked."""
    plan = solved(given(floor))
    assert found(plan).claims.facings == 20
    assert "floor-load" not in codes(plan)


@pytest.mark.parametrize(
    ("jar", "facings"),
    [
        ({"min_facings": 9}, 9),
        ({"min_facings": 10}, 20),
        ({"holding": 36}, 9),
        ({"holding": 37}, 20),
    ],
)
def test_no_minimum_is_given_up_for_the_floor(jar: dict[str, Any], facings: int):
    """Where minimums keep the cabinet too heavy it stays full, and the checks tell of it."""
    plan = solved(given(raised(2.0), jar))
    assert found(plan).claims.facings == facings
    assert ("floor-load" in codes(plan)) is (facings == 20)


def test_what_is_worth_least_for_its_mass_goes_first():
    """A facing of vases is worth five of jars: jars go, though vases are as heavy."""
    lines = [
        b.line(weight="2.5 kg", max_facings=10),
        b.line("vase", weight="2.5 kg", max_facings=10, value=5),
    ]
    cabinet = b.fixture(available=1, weight="10 kg")
    scenario = b.scenario(
        lines, [cabinet], building={"floor": raised(3.0)}, brief={"objective": "value"}
    )
    layout = found(solved(scenario))
    shown = {"jar": 0, "vase": 0}
    for block in layout.blocks:
        for row in block.rows:
            for slot in row.slots:
                shown[slot.line] += slot.facings
    # 3 kPa on half a square metre are 152.96 kg: 142.96 kg of goods, fourteen facings.
    assert shown == {"jar": 4, "vase": 10}


def test_what_is_light_enough_is_left_as_it_is():
    """The same layout comes back, not one like it."""
    scenario = given(raised(5.0))
    layout = found(solved(scenario))
    assert lightened(scenario, layout) is layout
