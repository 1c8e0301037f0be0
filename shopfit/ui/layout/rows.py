"""Rows of the page's tables, as plain text and numbers."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from shopfit import wording
from shopfit.model.finding import Finding
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario, Shop
from shopfit.model.schedule import TakeOff
from shopfit.units import format_length

Cells = dict[str, Any]


def brief_rows(scenario: Scenario) -> list[tuple[str, str]]:
    """Give the brief's main numbers as pairs of name and text."""
    brief, style = scenario.brief, scenario.shop.units
    budget = (
        "no limit" if brief.budget is None else wording.money(brief.budget, scenario.shop.currency)
    )
    minimum = sum(line.min_facings for line in scenario.lines)
    return [
        ("Aisle", format_length(brief.aisle, style)),
        ("Staff aisle", format_length(brief.staff_aisle, style)),
        ("Budget", budget),
        ("Lines", f"{len(scenario.lines)}"),
        ("Facings wanted at least", f"{minimum}"),
        ("Aim", f"most {wording.AIMS[brief.objective]}"),
    ]


def main_numbers(scenario: Scenario, layout: Layout) -> list[tuple[str, str]]:
    """Give a layout's main numbers as pairs of name and text."""
    claims, proof = layout.claims, layout.proof
    _, *further = wording.sums(claims, scenario.brief.objective)
    return [
        ("Facings", f"{claims.facings:,}"),
        ("Units held", f"{claims.units:,}"),
        ("Value", f"{claims.value:,.6g}"),
        *((name.capitalize(), size) for name, size in further),
        ("Cost", wording.money(claims.cost, scenario.shop.currency)),
        ("Gap to the bound", wording.percent(proof.gap if proof else None)),
        ("Time", f"{layout.timing.seconds:.0f} s"),
    ]


def finding_rows(scenario: Scenario, findings: Iterable[Finding]) -> list[Cells]:
    """Give findings, violations first."""
    rows = []
    for finding in wording.ranked(findings):
        required, measured = wording.compared(finding, scenario.shop.units, scenario.shop.currency)
        rows.append(
            {
                "severity": finding.severity,
                "about": finding.subject,
                "finding": _sentence(finding),
                "required": required,
                "measured": measured,
            }
        )
    return rows


def _sentence(finding: Finding) -> str:
    by = f"({finding.clause or finding.source})"
    return " ".join(part for part in (finding.message, finding.mend, by) if part)


def shopping_rows(take_off: TakeOff) -> list[Cells]:
    """Give the shopping list."""
    return [
        {
            "item": row.item,
            "name": row.name,
            "needed": row.needed,
            "owned": row.owned,
            "packs to buy": row.packs,
            "pieces a pack": row.pack,
            "spare": row.spare,
            "price a pack": row.price,
            "total": row.total,
        }
        for row in take_off.shopping
    ]


def money_line(shop: Shop, take_off: TakeOff) -> str:
    """Say what everything costs, and what it may cost."""
    total = wording.money(take_off.total, shop.currency)
    if take_off.budget is None:
        return f"In all {total}."
    return f"In all {total}, of a budget of {wording.money(take_off.budget, shop.currency)}."


def fixture_rows(shop: Shop, take_off: TakeOff) -> list[Cells]:
    """Give the fixture schedule."""
    style = shop.units
    return [
        {
            "tag": row.tag,
            "fixture": row.name or row.fixture,
            "stands": "away from walls"
            if row.wall is None or row.offset_mm is None
            else f"{row.wall} wall, {format_length(row.offset_mm, style)} from its left end",
        }
        for row in take_off.fixtures
    ]


def set_out_rows(shop: Shop, take_off: TakeOff) -> list[Cells]:
    """Give the set-out of brackets and shelves."""
    style = shop.units
    return [
        {
            "where": row.where,
            "run or side": row.run or row.side,
            "datum": row.datum,
            "groove": "" if row.groove is None else str(row.groove),
            "height": format_length(row.height_mm, style),
            "from": format_length(row.from_mm, style),
            "to": format_length(row.to_mm, style),
            "holder": row.holder_name or row.holder or "own shelf",
            "pieces": str(row.brackets or row.boards or ""),
            "line": row.line,
            "facings": row.facings,
            "units": row.units,
        }
        for row in take_off.set_out
    ]
