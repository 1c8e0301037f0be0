"""Sales and weights of bands are claimed as the witness recounts them, and made largest."""

from __future__ import annotations

from itertools import product
from typing import Any

import pytest

from shopfit.checks import check, measured_totals
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario
from shopfit.quantities.takeoff import complete

from . import build as b

BANDS = [
    {"id": "low", "bottom": b.mm(0.0), "top": b.mm(340.0), "weight": 0.5},
    {"id": "high", "bottom": b.mm(340.0), "top": b.mm(900.0), "weight": 2.0},
]


def small(**brief: Any) -> Scenario:
    """Give one cabinet with two rows of 1000 mm, and two lines of goods for them."""
    lines = [
        b.line("cup", width=b.mm(200.0), height=b.mm(200.0), value=5, max_facings=8),
        b.line("pot", width=b.mm(300.0), height=b.mm(200.0), value=7, max_facings=8),
    ]
    return b.scenario(lines, [b.fixture(available=1)], brief=brief)


def solved(given: Scenario) -> Layout:
    solution = b.run(given, seconds=0.5)
    assert solution.layout is not None
    return complete(given, solution.layout)


def best_by_hand(given: Scenario) -> float:
    """Try every number of cups and pots in both rows."""
    bands, power = given.brief.bands, given.brief.elasticity.default
    weights = [bands[0].weight, bands[1].weight] if bands else [1.0, 1.0]
    rows = [(c, p) for c, p in product(range(6), range(4)) if 200 * c + 300 * p <= 1000]
    best = 0.0
    for low, high in product(rows, rows):
        total = 0.0
        for k, line in enumerate(given.lines):
            count = weights[0] * low[k] + weights[1] * high[k]
            if low[k] + high[k] > line.max_facings:
                break
            if given.brief.objective == "facings":
                total += count
            elif given.brief.objective == "value":
                total += line.value * count
            else:
                whole = int(count)
                part = count - whole
                total += line.value * ((1 - part) * whole**power + part * (whole + 1) ** power)
        else:
            best = max(best, total)
    return best


@pytest.mark.parametrize("bands", [[], BANDS], ids=["even", "weighted"])
@pytest.mark.parametrize("objective", ["facings", "value", "sales"])
def test_the_best_by_hand_is_found_and_claimed(objective: str, bands: list[dict[str, Any]]):
    """The solver reaches the best of all ways to fill two rows; witness and proof count alike."""
    given = small(objective=objective, bands=bands, elasticity={"default": 0.5})
    layout = solved(given)
    totals = measured_totals(given, layout)
    assert layout.proof is not None
    assert layout.proof.objective == pytest.approx(best_by_hand(given), abs=1e-5)
    assert totals.objective == pytest.approx(layout.proof.objective, abs=1e-5)
    assert [each.code for each in check(given, layout) if each.code.startswith("claim")] == []
    if objective == "sales":
        assert layout.claims.sales == pytest.approx(totals.sales, abs=1e-5)
    else:
        assert layout.claims.sales is None
    if bands:
        assert layout.claims.objective == pytest.approx(totals.objective, abs=1e-5)
    else:
        assert layout.claims.objective is None


def test_a_false_claim_of_sales_is_found():
    """The witness sees claims that were raised after the solve."""
    given = small(objective="sales", bands=BANDS)
    layout = solved(given)
    claims = layout.claims.model_copy(
        update={
            "sales": (layout.claims.sales or 0.0) + 1.0,
            "objective": (layout.claims.objective or 0.0) + 1.0,
        }
    )
    found = check(given, layout.model_copy(update={"claims": claims}))
    assert {"claim-sales", "claim-objective"} <= {each.code for each in found}
