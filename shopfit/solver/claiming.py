"""Counts what blocks of goods come to: claims of a layout, and what the brief makes largest."""

from __future__ import annotations

import math
from collections.abc import Iterable

from shopfit.model.brief import Brief
from shopfit.model.layout import Block, Claims, Row
from shopfit.model.range import Line
from shopfit.model.scenario import Scenario
from shopfit.units import TOLERANCE_MM


def claimed(scenario: Scenario, blocks: Iterable[Block], cost: float) -> Claims:
    """Say what goods come to.

    Parameters
    ----------
    scenario, blocks
        The range and what is shown of it.
    cost
        Money for all that is bought, in the shop's currency.
    """
    own = tuple(blocks)
    values = {line.line: line.value for line in scenario.lines}
    slots = [slot for block in own for row in block.rows for slot in row.slots]
    return Claims(
        facings=sum(slot.facings for slot in slots),
        units=sum(slot.units for slot in slots),
        value=round(sum(values[slot.line] * slot.facings for slot in slots), 6),
        cost=cost,
        sales=expected_sales(scenario, own) if scenario.brief.objective == "sales" else None,
        objective=objective_of(scenario, own) if _weighted(scenario.brief) else None,
    )


def objective_of(scenario: Scenario, blocks: Iterable[Block]) -> float:
    """Add up what the brief makes largest, each facing by the weight of its row."""
    counted: dict[str, float] = {}
    for block in blocks:
        for row in block.rows:
            weight = row_weight(scenario.brief, row)
            for slot in row.slots:
                counted[slot.line] = counted.get(slot.line, 0.0) + weight * slot.facings
    lines = {line.line: line for line in scenario.lines}
    worth = sum(_worth(scenario.brief, lines[name], count) for name, count in counted.items())
    return round(worth, 6)


def _worth(brief: Brief, line: Line, counted: float) -> float:
    """Give the worth of weighted facings, also where they are more than are wanted."""
    if brief.objective == "facings":
        return counted
    if brief.objective == "value":
        return line.value * counted
    whole, power = math.floor(counted), brief.elasticity.of(line.category)
    below, above = float(whole**power), float((whole + 1) ** power)
    return line.value * (below + (counted - whole) * (above - below))


def expected_sales(scenario: Scenario, blocks: Iterable[Block]) -> float:
    """Add up value times facings to the power of the category's elasticity."""
    count: dict[str, int] = {}
    for block in blocks:
        for row in block.rows:
            for slot in row.slots:
                count[slot.line] = count.get(slot.line, 0) + slot.facings
    lines = {line.line: line for line in scenario.lines}
    total = 0.0
    for name, facings in count.items():
        line = lines[name]
        total += line.value * facings ** scenario.brief.elasticity.of(line.category)
    return round(total, 6)


def row_weight(brief: Brief, row: Row) -> float:
    """Give what a facing in a row counts: the greatest weight of the bands its middle lies in."""
    middle = (row.bottom_mm + row.top_mm) / 2
    own = [
        band.weight
        for band in brief.bands
        if band.bottom - TOLERANCE_MM <= middle <= band.top + TOLERANCE_MM
    ]
    return max(own, default=1.0)


def _weighted(brief: Brief) -> bool:
    return any(band.weight != 1.0 for band in brief.bands)
