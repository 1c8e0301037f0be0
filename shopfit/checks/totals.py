"""Recounts what a layout amounts to, and compares it with what the layout claims."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from shopfit.checks.money import CENT, bought, cost
from shopfit.checks.notes import LAYOUT, less, more, plain_number, tame
from shopfit.checks.scene import Scene
from shopfit.model.brief import Brief
from shopfit.model.finding import Finding
from shopfit.model.layout import Row
from shopfit.model.range import Line

# Files keep four decimals.
ROUNDING = 1e-4


@dataclass(frozen=True)
class Totals:
    """What a layout amounts to, counted afresh.

    Parameters
    ----------
    facings, units
        Product fronts and units held.
    value
        Sum of facings times the line's value.
    cost
        Money for all that is bought.
    mass_kg
        Of fixtures, whole sheets and goods, kg.
    sales
        Expected sales: sum of value times facings to the power of the category's elasticity.
    objective
        What the brief makes largest, with the weights of height bands.
    """

    facings: int
    units: int
    value: float
    cost: float
    mass_kg: float
    sales: float = 0.0
    objective: float = 0.0


def row_weight(brief: Brief, row: Row) -> float:
    """Give what a facing in a row counts: the greatest weight of the bands that the row is in.

    Parameters
    ----------
    brief, row
        A row is in a band if its middle is; in none its facings count 1.
    """
    middle = (row.bottom_mm + row.top_mm) / 2
    weights = [
        band.weight
        for band in brief.bands
        if not less(middle, band.bottom) and not more(middle, band.top)
    ]
    return max(weights, default=1.0)


def line_worth(brief: Brief, line: Line, counted: float) -> float:
    """Give what a line's facings add to the objective of the brief.

    Parameters
    ----------
    brief, line
        Expected sales are value times facings to the power of the category's elasticity at whole
        numbers of facings, and lie on a straight line between two of these.
    counted
        Sum of facings times the weight of their row.
    """
    if brief.objective == "facings":
        return counted
    if brief.objective == "value":
        return line.value * counted
    counted = max(counted, 0.0)
    whole = math.floor(counted)
    power = brief.elasticity.of(line.category)
    below, above = whole**power, (whole + 1) ** power
    return line.value * float(below + (counted - whole) * (above - below))


def totals_of(scene: Scene) -> Totals:
    """Recount a layout whose names and numbers have been looked through."""
    facings: dict[str, int] = defaultdict(int)
    counted: dict[str, float] = defaultdict(float)
    units, goods = 0, 0.0
    for block in scene.layout.blocks:
        for row in block.rows:
            weight = row_weight(scene.brief, row)
            for slot in row.slots:
                facings[slot.line] += slot.facings
                counted[slot.line] += weight * slot.facings
                units += slot.units
                goods += slot.units * scene.lines[slot.line].weight
    shown = [(scene.lines[name], count) for name, count in facings.items()]
    elasticity = scene.brief.elasticity
    fixtures = sum(one.fixture.weight for one in scene.stood)
    sheets = sum(
        one.needed * scene.sheets[one.item].weight for one in bought(scene) if one.kind == "sheet"
    )
    return Totals(
        facings=sum(facings.values()),
        units=units,
        value=sum(line.value * count for line, count in shown),
        cost=cost(scene),
        mass_kg=fixtures + sheets + goods,
        sales=sum(
            line.value * float(max(count, 0) ** elasticity.of(line.category))
            for line, count in shown
        ),
        objective=sum(
            line_worth(scene.brief, scene.lines[name], count) for name, count in counted.items()
        ),
    )


def check(scene: Scene) -> Iterator[Finding]:
    """Find claims of the layout that do not stand up to a recount."""
    found, claimed, proof = totals_of(scene), scene.layout.claims, scene.layout.proof
    for what, unit, counted, said, slack in (
        ("facings", "facings", found.facings, claimed.facings, 0.0),
        ("units", "units", found.units, claimed.units, 0.0),
        ("value", "value", found.value, claimed.value, _rounding(found.value)),
        ("cost", "money", found.cost, claimed.cost, CENT),
        ("sales", "expected sales", found.sales, claimed.sales, _rounding(found.sales)),
        ("objective", "", found.objective, claimed.objective, _rounding(found.objective)),
    ):
        if said is not None and not abs(counted - tame(said)) <= slack:
            text = f"The layout claims {what} {tame(said):.12g}; recounted: {counted:.12g}."
            yield _false(what, text, counted, said, unit)
    said = None if proof is None else tame(proof.objective)
    if said is not None and not abs(found.objective - said) <= _rounding(found.objective):
        text = f"The layout's proof speaks of {said:.12g}; recounted: {found.objective:.12g}."
        yield _false("proof", text, found.objective, said, "")


def _rounding(size: float) -> float:
    return ROUNDING + 1e-6 * abs(size)


def _false(what: str, message: str, counted: float, said: float, unit: str) -> Finding:
    return Finding(
        code=f"claim-{what}",
        severity="violation",
        subject="layout",
        message=message,
        mend=f"Write {counted:.12g}, or find what was lost on the way.",
        required=float(counted),
        measured=plain_number(tame(said)),
        unit=unit,
        source=LAYOUT.source,
    )
