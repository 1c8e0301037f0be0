"""Recounts what a layout amounts to, and compares it with what the layout claims."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from shopfit.checks.money import CENT, bought, cost
from shopfit.checks.notes import LAYOUT, plain_number, tame
from shopfit.checks.scene import Scene
from shopfit.model.finding import Finding


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
    """

    facings: int
    units: int
    value: float
    cost: float
    mass_kg: float


def totals_of(scene: Scene) -> Totals:
    """Recount a layout whose names and numbers have been looked through."""
    facings, units, value, goods = 0, 0, 0.0, 0.0
    for block in scene.layout.blocks:
        for row in block.rows:
            for slot in row.slots:
                line = scene.lines[slot.line]
                facings += slot.facings
                units += slot.units
                value += slot.facings * line.value
                goods += slot.units * line.weight
    fixtures = sum(one.fixture.weight for one in scene.stood)
    sheets = sum(
        one.needed * scene.sheets[one.item].weight for one in bought(scene) if one.kind == "sheet"
    )
    return Totals(facings, units, value, cost(scene), fixtures + sheets + goods)


def check(scene: Scene) -> Iterator[Finding]:
    """Find claims of the layout that do not stand up to a recount."""
    found, claimed = totals_of(scene), scene.layout.claims
    for what, unit, counted, said, slack in (
        ("facings", "facings", found.facings, tame(claimed.facings), 0.0),
        ("units", "units", found.units, tame(claimed.units), 0.0),
        ("value", "value", found.value, tame(claimed.value), 1e-6 * max(1.0, abs(found.value))),
        ("cost", "money", found.cost, tame(claimed.cost), CENT),
    ):
        if not abs(counted - said) <= slack:
            yield Finding(
                code=f"claim-{what}",
                severity="violation",
                subject="layout",
                message=f"The layout claims {what} {said:.12g}; recounted: {counted:.12g}.",
                mend=f"Write {counted:.12g}, or find what was lost on the way.",
                required=float(counted),
                measured=plain_number(said),
                unit=unit,
                source=LAYOUT.source,
            )
