"""Tables for the terminal, made to read well in 100 columns."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from rich import box
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from shopfit import gathering, wording
from shopfit.model.finding import Finding, Severity
from shopfit.model.layout import Layout
from shopfit.model.progress import Clash
from shopfit.model.scenario import Scenario
from shopfit.planning import Plan

if TYPE_CHECKING:
    from rich.console import Console

_TITLES: dict[Severity, str] = {
    "violation": "Violations",
    "barrier to review": "Barriers to review",
    "advice": "Advice",
    "not checked": "Not checked",
}
_STYLES: dict[Severity, str] = {
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
    _show_reasons(screen, plan.solution.clash, plan.solution.stopped)
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
        rows += wording.later_bounds(proof, shop.currency)
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


def show_findings(
    screen: Console, scenario: Scenario, findings: Iterable[Finding], full: bool = False
) -> None:
    """Print every finding by severity, worst first, what they come to, and the caution.

    Parameters
    ----------
    screen, scenario, findings
        What is printed where.
    full
        Whether what was not checked is told with what to measure, or only named.
    """
    found = gathering.entries(findings)
    for severity in wording.SEVERITIES:
        of_it = [entry for entry in found if entry.worst.severity == severity]
        if of_it and severity == "not checked" and not full:
            screen.print(_in_brief(of_it))
        elif of_it:
            screen.print(findings_table(scenario, severity, of_it))
    screen.print(wording.verdict(finding for entry in found for finding in entry.findings))
    screen.print(Text(wording.CAUTION, style="dim"))


def findings_table(
    scenario: Scenario, severity: Severity, found: Sequence[gathering.Entry]
) -> Table:
    """Give findings of one severity as a table, with numbers where any of them has some.

    Parameters
    ----------
    scenario
        Whose units and currency are used.
    severity
        Of all of them.
    found
        At least one.
    """
    style, currency = scenario.shop.units, scenario.shop.currency
    measures = [
        (
            *wording.compared(entry.worst, style, currency),
            wording.spare(entry.worst, style, currency),
        )
        for entry in found
    ]
    headings = ("required", "measured", "margin")
    filled = [k for k in range(3) if any(row[k] for row in measures)]
    count = sum(len(entry.findings) for entry in found)
    table = plain_table(
        f"{_TITLES[severity]} ({count})",
        [("no.", True), ("what was found", False), *((headings[k], True) for k in filled)],
    )
    table.title_style = _STYLES[severity] or "bold"
    table.columns[1].ratio = 1
    table.expand = True
    for entry, row in zip(found, measures, strict=True):
        table.add_row(entry.numbers, _sentence(entry), *(row[k] for k in filled))
    return table


def _in_brief(found: Sequence[gathering.Entry]) -> Table:
    """Name what was not checked; what to measure for it stands in the lists that are written."""
    count = sum(len(entry.findings) for entry in found)
    table = plain_table(
        f"Not checked ({count}); what to measure: shopfit check --full, or -o FOLDER",
        [("no.", True), ("what", False)],
    )
    table.title_style = _STYLES["not checked"]
    table.columns[1].ratio = 1
    table.expand = True
    for entry in found:
        first, dot, _ = gathering.sentence(entry.worst).partition(". ")
        table.add_row(entry.numbers, Text(first + dot.strip()))
    return table


def _sentence(entry: gathering.Entry) -> Text:
    worst = entry.worst
    told = Text(gathering.sentence(worst))
    if entry.others:
        told.append(f" {entry.others}")
    if worst.mend:
        told.append(f" {worst.mend}", style="italic")
    # The lists that are written name the source in full.
    told.append(f" ({worst.code}; {gathering.standing(worst)})", style="dim")
    return told


def show_clash(screen: Console, clash: Clash | None, stopped: bool = False) -> None:
    """Print why there is no layout, the fewest wishes that clash, and the least changes."""
    screen.print(wording.no_layout(clash, stopped))
    _show_reasons(screen, clash, stopped)


def _show_reasons(screen: Console, clash: Clash | None, stopped: bool) -> None:
    """Print what clashes, and what would help."""
    if clash is None:
        return
    if told := wording.reason(clash, stopped):
        screen.print(told)
    if clash.wishes:
        screen.print()
        screen.print(wording.clashing(clash))
        for wish in clash.wishes:
            screen.print(Padding(Text(f"- {wish}"), (0, 0, 0, 2)))
    if clash.changes:
        screen.print()
        names = [("wish", False), ("change to", False), ("layout with it", False)]
        table = plain_table(wording.helping(clash), names)
        for change in clash.changes:
            table.add_row(change.wish, change.change, wording.found_with(change))
        screen.print(table)
    if told := wording.not_alone(clash):
        screen.print(told)
