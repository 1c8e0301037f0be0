"""Tables for the terminal, made to read well in 100 columns."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from rich import box
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from shopfit import wording
from shopfit.model.finding import Finding
from shopfit.model.layout import Layout
from shopfit.model.progress import Clash
from shopfit.model.scenario import Scenario
from shopfit.planning import Plan

if TYPE_CHECKING:
    from rich.console import Console

_STYLES = {
    "violation": "bold red",
    "barrier to review": "yellow",
    "advice": "",
    "not checked": "dim",
}


def plain_table(title: str, columns: Sequence[tuple[str, bool]]) -> Table:
    """Give an empty table; each column has a heading and may hold numbers."""
    table = Table(title=title, title_justify="left", box=box.SIMPLE_HEAD, pad_edge=False)
    for heading, numbers in columns:
        table.add_column(
            heading, justify="right" if numbers else "left", no_wrap=numbers, overflow="fold"
        )
    return table


def show_plan(screen: Console, plan: Plan) -> None:
    """Print the main numbers of a solve, or why there is no layout."""
    if plan.layout is None:
        show_clash(screen, plan.solution.clash, plan.solution.stopped)
        return
    screen.print(wording.outcome(plan.solution))
    screen.print(layout_summary(plan.scenario, plan.layout))
    show_findings(screen, plan.scenario, plan.findings)


def layout_summary(scenario: Scenario, layout: Layout) -> Table:
    """Give the main numbers of a layout as a table of two columns."""
    shop, claims, proof = scenario.shop, layout.claims, layout.proof
    budget = shop.brief.budget
    cost = wording.money(claims.cost, shop.currency)
    rows = [
        ("facings", f"{claims.facings:,}"),
        ("units held", f"{claims.units:,}"),
        *wording.sums(claims, shop.brief.objective),
        ("cost", cost + (f" of {wording.money(budget, shop.currency)}" if budget else "")),
        ("fixtures", f"{len(layout.placements)}"),
        ("slat-wall runs", f"{len(layout.runs)}"),
    ]
    if proof is not None:
        bound = "not known" if proof.bound is None else f"{proof.bound:,.6g}"
        rows.append(("bound", f"{bound}, gap {wording.percent(proof.gap)}"))
        rows.append(("bound holds for", f"{proof.grid}; {proof.rules}"))
    rows.append(("time", f"{layout.timing.seconds:.1f} s"))
    table = Table(
        title=f"{shop.name}: layout", title_justify="left", box=box.SIMPLE, pad_edge=False
    )
    table.show_header = False
    table.add_column(no_wrap=True, style="dim")
    table.add_column()
    for row in rows:
        table.add_row(*row)
    return table


def show_findings(screen: Console, scenario: Scenario, findings: Iterable[Finding]) -> None:
    """Print every finding, violations first, what they come to, and the caution."""
    found = wording.ranked(findings)
    if found:
        screen.print(findings_table(scenario, found))
    screen.print(wording.verdict(found))
    screen.print(Text(wording.CAUTION, style="dim"))


def findings_table(scenario: Scenario, findings: Sequence[Finding]) -> Table:
    """Give findings as a table: what was found, required and measured, and by which clause."""
    table = plain_table(
        "Findings",
        [("severity", False), ("finding", False), ("required", True), ("measured", True)],
    )
    table.columns[1].ratio = 1
    table.expand = True
    style, currency = scenario.shop.units, scenario.shop.currency
    for finding in findings:
        table.add_row(
            Text(finding.severity, style=_STYLES[finding.severity]),
            _sentence(finding),
            *wording.compared(finding, style, currency),
        )
    return table


def _sentence(finding: Finding) -> Text:
    told = Text()
    if finding.subject.lower() not in finding.message.lower():
        told.append(f"{finding.subject}: ")
    told.append(finding.message)
    if finding.mend:
        told.append(f" {finding.mend}", style="italic")
    # The lists that are written name the source in full.
    known = f", {finding.confidence}" if finding.clause and finding.confidence else ""
    told.append(f" ({finding.code}; {finding.clause or finding.source}{known})", style="dim")
    return told


def show_clash(screen: Console, clash: Clash | None, stopped: bool = False) -> None:
    """Print why there is no layout, the fewest wishes that clash, and the least changes."""
    screen.print(wording.no_layout(clash, stopped))
    if clash is None:
        return
    if told := wording.reason(clash, stopped):
        screen.print(told)
    if clash.wishes:
        screen.print()
        screen.print(
            "These wishes cannot all be met; without any one of them the rest can:"
            if clash.proved
            else "These wishes are the ones in the way:"
        )
        for wish in clash.wishes:
            screen.print(Padding(Text(f"- {wish}"), (0, 0, 0, 2)))
    if clash.changes:
        screen.print()
        table = plain_table(
            "Any one of these changes is enough", [("wish", False), ("change to", False)]
        )
        for change in clash.changes:
            table.add_row(change.wish, change.change)
        screen.print(table)
