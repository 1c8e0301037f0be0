"""Recounted totals and claims."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfit.checks import Totals, check, measured_totals
from shopfit.checks.totals import line_worth, row_weight
from shopfit.model.brief import Band, Brief
from shopfit.model.layout import Row
from shopfit.model.proof import Proof

from . import build as b


def test_totals_are_recounted() -> None:
    """Counted by hand from the drawing: goods 40*.05+18*.4+9*.5+20*.02+20*.1+24*.01+4*1 kg."""
    totals = measured_totals(b.scenario(), b.layout())
    assert (totals.facings, totals.units, totals.value, totals.cost) == (26, 135, 32.0, 1664.0)
    assert totals.mass_kg == pytest.approx(30 * 2 + 50 + 25 + 60 + 35 * 2 + 20.34)


@pytest.mark.parametrize(
    ("change", "found"),
    [
        ({"facings": 27}, ["claim-facings"]),
        ({"units": 134}, ["claim-units"]),
        ({"value": 32.001}, ["claim-value"]),
        ({"cost": 1664.01}, ["claim-cost"]),
        ({"cost": 1664.004}, []),
        ({"cost": float("nan")}, ["claim-cost"]),
        ({"value": float("inf")}, ["claim-value"]),
    ],
)
def test_false_claims_are_found(change: dict[str, Any], found: list[str]) -> None:
    """Every number that the layout says of itself is compared."""
    claims = b.layout().claims.model_copy(update=change)
    layout = b.layout().model_copy(update={"claims": claims})
    assert b.codes(check(b.scenario(), layout)) == found


def test_a_crooked_room_has_no_totals() -> None:
    """Nothing is counted where nothing can be measured."""
    room = {**b.SHOP["rooms"][0]}
    a, c, d, e = room["corners"]
    scenario = b.scenario(rooms=[{**room, "corners": [a, d, c, e]}])
    assert measured_totals(scenario, b.layout()) == Totals(0, 0, 0.0, 0.0, 0.0)
    assert [f.code for f in check(scenario, b.layout())] == ["outline"]


SHELF = Row(bottom_mm=1200.0, top_mm=1400.0)


def band(low: float, high: float, weight: float, name: str = "eye") -> Band:
    """Make a height band that counts so much."""
    return Band.model_validate(
        {"id": name, "bottom": b.mm(low), "top": b.mm(high)} | {"weight": weight}
    )


@pytest.mark.parametrize(
    ("bands", "weight"),
    [
        ([], 1.0),
        ([(1300.0, 1400.0, 2.0)], 2.0),
        ([(1300.02, 1400.0, 2.0)], 1.0),
        ([(1200.0, 1300.0, 0.5)], 0.5),
        ([(1200.0, 1299.98, 0.5)], 1.0),
        ([(1000.0, 1500.0, 0.0)], 0.0),
        ([(1000.0, 1500.0, 0.5), (1200.0, 1400.0, 0.25)], 0.5),
        ([(1000.0, 1500.0, 3.0), (1200.0, 1400.0, 7.0), (0.0, 100.0, 9.0)], 7.0),
    ],
)
def test_a_row_counts_by_its_greatest_band(bands: list[Any], weight: float) -> None:
    """The middle of the row is at 1300; bands that it is not in do not matter."""
    made = tuple(band(*each, name=f"b{number}") for number, each in enumerate(bands))
    assert row_weight(Brief(bands=made), SHELF) == weight


def brief(objective: str, **more: Any) -> Brief:
    """Make a brief with an objective and the elasticities of two categories."""
    elasticity = {"default": 0.17, "categories": {"home": 0.5}}
    return Brief.model_validate({"objective": objective, "elasticity": elasticity, **more})


@pytest.mark.parametrize(
    ("objective", "line", "counted", "worth"),
    [
        ("facings", "tag", 3.5, 3.5),
        ("value", "tag", 3.5, 8.75),
        ("sales", "tag", 0.0, 0.0),
        ("sales", "tag", 1.0, 2.5),
        ("sales", "tag", 0.5, 1.25),
        ("sales", "tag", 4.0, 2.5 * 4**0.17),
        ("sales", "mug", 4.0, 2.0),
        ("sales", "mug", 9.0, 3.0),
        ("sales", "mug", 6.5, (6**0.5 + 7**0.5) / 2),
    ],
)
def test_lines_count_as_the_brief_asks(
    objective: str, line: str, counted: float, worth: float
) -> None:
    """Tags are worth 2.5 each; mugs 1 each, and are home goods."""
    sold = b.scenario().line(line)
    assert line_worth(brief(objective), sold, counted) == pytest.approx(worth)


@given(
    power=st.floats(0.01, 1.0),
    value=st.floats(0.0, 1e4),
    counts=st.tuples(st.floats(0, 500), st.floats(0, 500), st.floats(0, 1)),
)
def test_each_further_facing_sells_less(
    power: float, value: float, counts: tuple[float, float, float]
) -> None:
    """Expected sales grow with the facings and bend down, so a bound on them stays one."""
    made = Brief.model_validate({"objective": "sales", "elasticity": {"default": power}})
    line = b.scenario().line("tag").model_copy(update={"value": value})
    low, high = sorted(counts[:2])
    between = low + counts[2] * (high - low)
    at, straight = (line_worth(made, line, low), line_worth(made, line, high)), counts[2]
    slack = 1e-9 * max(1.0, at[1])
    assert at[0] <= at[1] + slack
    assert line_worth(made, line, between) >= at[0] + straight * (at[1] - at[0]) - slack
    whole = round(high)
    assert line_worth(made, line, whole) == pytest.approx(value * whole**power)


# Facings 4 cards, 6 mugs, 3 umbrellas, 4 tags at 2.5, 4 yarn, 3 rings, 2 bowls.
SALES = 4**0.17 + 6**0.5 + 3**0.5 + 2.5 * 4**0.17 + 4**0.17 + 3**0.17 + 2**0.17


@pytest.mark.parametrize(
    ("objective", "weight", "counted"),
    [
        ("facings", 1.0, 26.0),
        ("facings", 2.0, 26.0 + 3),
        ("value", 2.0, 32.0 + 3),
        ("sales", 1.0, SALES),
        ("sales", 2.0, SALES - 3**0.5 + 6**0.5),
        ("sales", 0.5, SALES - 3**0.5 + (1 + 2**0.5) / 2),
    ],
)
def test_the_objective_is_recounted(objective: str, weight: float, counted: float) -> None:
    """Only the umbrellas, whose middle is at 1193.8, stand in the band that counts otherwise."""
    bands = (band(1150.0, 1200.0, weight),)
    given_brief = brief(objective)
    scenario = b.briefed(
        b.scenario(), objective=objective, elasticity=given_brief.elasticity, bands=bands
    )
    totals = measured_totals(scenario, b.layout())
    assert totals.objective == pytest.approx(counted)
    assert totals.sales == pytest.approx(SALES)
    assert (totals.facings, totals.value) == (26, 32.0)


@pytest.mark.parametrize(
    ("claim", "off", "found"),
    [
        ("sales", 0.0, []),
        ("sales", 0.00005, []),
        ("sales", 0.001, ["claim-sales"]),
        ("sales", math.nan, ["claim-sales"]),
        ("objective", 0.0, []),
        ("objective", -0.001, ["claim-objective"]),
        ("proof", 0.00005, []),
        ("proof", 1.0, ["claim-proof"]),
        ("proof", math.inf, ["claim-proof"]),
    ],
)
def test_false_claims_of_the_objective_are_found(claim: str, off: float, found: list[str]) -> None:
    """Sales, the weighted objective and the proof's own number are recounted where told."""
    scenario = b.briefed(b.scenario(), objective="sales", elasticity=brief("sales").elasticity)
    layout = b.layout()
    if claim == "proof":
        proof = Proof.model_construct(objective=SALES + off, bound=SALES)
        layout = layout.model_copy(update={"proof": proof})
    else:
        claims = layout.claims.model_copy(update={claim: SALES + off})
        layout = layout.model_copy(update={"claims": claims})
    assert b.codes(check(scenario, layout)) == found
