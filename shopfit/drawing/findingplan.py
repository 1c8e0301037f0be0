"""Draws the plan in a light tone with every finding marked by its number, and lists them."""

from __future__ import annotations

from collections.abc import Sequence

from shopfit import gathering, wording
from shopfit.drawing import plan, planshell
from shopfit.drawing.binding import Drawings, bound
from shopfit.drawing.desk import Desk
from shopfit.drawing.findingmarks import MARKS, finding_lines, finding_numbers, places
from shopfit.drawing.findingroutes import route_lines, route_words
from shopfit.drawing.lightplan import light_ground
from shopfit.drawing.paper import PageName, plan_on_paper
from shopfit.drawing.references import require_known
from shopfit.drawing.scene import Layer, Scene, Table
from shopfit.drawing.sheet import PAGES, Page, Sheet, compose, default_page, table_sheets
from shopfit.model.finding import Finding
from shopfit.model.layout import Layout
from shopfit.model.route import MeasuredRoutes
from shopfit.model.scenario import Scenario


def draw_findings(
    scenario: Scenario,
    layout: Layout,
    findings: Sequence[Finding],
    page: PageName | None = None,
    date: str = "",
    routes: MeasuredRoutes | None = None,
) -> Drawings:
    """Draw the plan with every finding marked, and the numbered list on sheets that follow.

    Parameters
    ----------
    scenario, layout
        What was checked.
    findings
        In any order; their numbers are those of `gathering.in_order`.
    page
        The paper; if left out, as for the plan.
    date
        For the title blocks, as it is to be printed.
    routes
        Drawn with the narrowest place, if given.

    Returns
    -------
    ``findings.svg`` and ``findings-tables-1.svg`` and so on, and all of them as ``findings.pdf``.

    Raises
    ------
    InputFaults
        If the layout names what the scenario does not hold.
    """
    require_known(scenario, layout)
    ordered = gathering.in_order(findings)
    desk = Desk.of(scenario, layout)
    return bound(findings_sheets(desk, ordered, page, routes), desk, date, "findings.pdf")


def findings_sheets(
    desk: Desk,
    ordered: Sequence[Finding],
    page: PageName | None = None,
    routes: MeasuredRoutes | None = None,
) -> list[Sheet]:
    """Make the sheets of findings without their title blocks, as the last of a set or alone.

    Parameters
    ----------
    desk
        What was checked.
    ordered
        In the order of their numbers.
    page, routes
        As for `draw_findings`.
    """
    scene, paper = plan_on_paper(
        desk, page, lambda p: findings_scene(desk.scenario, desk.layout, ordered, p, routes)
    )
    sheet, rest = compose([scene], paper, "findings")
    listed = PAGES[page or default_page(desk.shop.units)]
    tables = [*rest, _full_list(desk, ordered)] if ordered else list(rest)
    return [sheet, *table_sheets(tables, listed, scene.title, "findings")]


def findings_scene(
    scenario: Scenario,
    layout: Layout,
    findings: Sequence[Finding],
    page: Page,
    routes: MeasuredRoutes | None = None,
) -> Scene:
    """Draw the plan with findings in the order of their numbers, at full size in mm."""
    desk = Desk.of(scenario, layout)
    return plan.at_largest_scale(desk, page, lambda laid: _scene(laid, findings, routes))


def _scene(desk: Desk, findings: Sequence[Finding], routes: MeasuredRoutes | None) -> Scene:
    ground, lettering = light_ground(desk)
    lines = finding_lines(findings)
    ways = route_lines(desk, routes) if routes is not None else []
    leaders, numbers = finding_numbers(desk, findings)
    layers = (
        *ground,
        Layer("routes", tuple(ways)),
        lettering,
        Layer("lines", tuple(lines)),
        Layer("leaders", tuple(leaders)),
        Layer("findings", tuple(numbers)),
    )
    return Scene(
        "Findings",
        f"Plan of {desk.shop.name} with {len(findings)} findings marked by number; "
        f"{wording.verdict(findings)}",
        desk.scale,
        layers,
        (_key(desk, findings, routes), _short_list(desk, findings)),
    )


def _key(desk: Desk, findings: Sequence[Finding], routes: MeasuredRoutes | None) -> Table:
    counts = wording.severity_counts(findings)
    rows = [
        (MARKS[severity].capitalize(), f"{severity}: {counts[severity]}")
        for severity in wording.SEVERITIES
        if counts[severity]
    ]
    loose = [
        str(number) for number, finding in enumerate(findings, start=1) if not places(desk, finding)
    ]
    if loose:
        rows.append(("Not marked", f"about the whole shop: {_ranges(loose)}"))
    rows += route_words(desk, routes) if routes is not None else []
    rows += planshell.untold(desk.shop)
    rows.append(("In all", wording.verdict(findings)))
    return Table("Findings by number", (), tuple(rows))


def _ranges(numbers: Sequence[str]) -> str:
    """Write ascending numbers shortly, such as ``3, 5–8``."""
    runs: list[list[int]] = []
    for number in map(int, numbers):
        if runs and runs[-1][-1] == number - 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(f"{run[0]}–{run[-1]}" if len(run) > 1 else f"{run[0]}" for run in runs)


def _short_list(desk: Desk, findings: Sequence[Finding]) -> Table:
    rows = [
        (entry.numbers, entry.worst.code.replace("-", " "), _margin(desk, entry.worst))
        for entry in gathering.entries(findings)
    ]
    return Table("In short", ("No.", "Check", "Margin"), tuple(rows))


def _margin(desk: Desk, finding: Finding) -> str:
    return wording.spare(finding, desk.shop.units, desk.shop.currency).replace("−", "-")


def _full_list(desk: Desk, findings: Sequence[Finding]) -> Table:
    rows = []
    for entry in gathering.entries(findings):
        worst = entry.worst
        told = " ".join(
            part for part in (gathering.sentence(worst), entry.others, worst.mend) if part
        )
        required, measured = wording.compared(worst, desk.shop.units, desk.shop.currency)
        standing = gathering.standing(worst)
        rows.append(
            (
                entry.numbers,
                worst.severity,
                told,
                required,
                measured,
                _margin(desk, worst),
                f"{standing} ({worst.code})",
            )
        )
    head = ("No.", "Severity", "Found, and what to do", "Required", "Measured", "Margin", "By")
    return Table("List of findings", head, tuple(rows))
