"""Draws the plan in a light tone with every finding marked by its number, and lists them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from shopfit import gathering, wording
from shopfit.drawing import plan, planlabels
from shopfit.drawing.desk import Desk
from shopfit.drawing.drawings import Drawings, PageName, larger_page
from shopfit.drawing.findingmarks import MARKS, finding_lines, finding_numbers, places
from shopfit.drawing.findingroutes import route_lines, route_words
from shopfit.drawing.pdf import pdf
from shopfit.drawing.references import require_known
from shopfit.drawing.scene import Fill, Group, Item, Layer, Line, Pen, Scene, Shape, Table, Text
from shopfit.drawing.sheet import (
    PAGES,
    Page,
    TitleBlock,
    compose,
    default_page,
    finish,
    table_sheets,
)
from shopfit.drawing.svg import svg
from shopfit.model.finding import Finding
from shopfit.model.layout import Layout
from shopfit.model.route import MeasuredRoutes
from shopfit.model.scenario import Scenario

_LIGHT = 0.5  # how far lines of the floor are moved towards white
_LETTERS = "#5b626c"


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
    scene, paper = _on_paper(desk, ordered, page, routes)
    sheet, rest = compose([scene], paper, "findings")
    listed = PAGES[page or default_page(scenario.shop.units)]
    tables = [*rest, _full_list(desk, ordered)] if ordered else list(rest)
    sheets = [sheet, *table_sheets(tables, listed, scene.title, "findings")]
    shop = scenario.shop
    block = TitleBlock(shop.name, layout.scenario, layout.fingerprint, date, shop.units)
    finished = finish(sheets, block)
    files = {f"{s.file}.svg": svg(s.scene, s.page).encode("utf-8") for s in finished}
    files["findings.pdf"] = pdf(finished)
    return Drawings(files, tuple(finished))


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


def _on_paper(
    desk: Desk,
    findings: Sequence[Finding],
    page: PageName | None,
    routes: MeasuredRoutes | None,
) -> tuple[Scene, Page]:
    west, south, east, north = desk.shell.floor.bounds
    name = page or default_page(desk.shop.units)
    while True:
        sheet = PAGES[name]
        papers = [sheet, sheet.turned] if north - south > east - west else [sheet]
        drawn = [
            (findings_scene(desk.scenario, desk.layout, findings, p, routes), p) for p in papers
        ]
        scene, chosen = min(drawn, key=lambda choice: choice[0].scale)
        bigger = larger_page(name, scene.scale)
        if page is not None or bigger is None:
            return scene, chosen
        name = bigger


def _scene(desk: Desk, findings: Sequence[Finding], routes: MeasuredRoutes | None) -> Scene:
    floor = plan.Floor.of(desk)
    tags = planlabels.fixture_tags(desk)
    runs = plan.runs_drawn(desk)
    names = planlabels.shell_names(desk, floor.spaces)
    names += planlabels.approach_names(desk, floor.approach)
    names += planlabels.floor_names(desk)
    lines = finding_lines(findings)
    ways = route_lines(desk, routes) if routes is not None else []
    leaders, numbers = finding_numbers(desk, findings)
    ground = (*floor.layers(desk, tags), Layer("runs", tuple(runs)))
    layers = (
        *(replace(each, items=tuple(map(_light, each.items))) for each in ground),
        Layer("routes", tuple(ways)),
        Layer("lettering", tuple(_light(name, halo=True) for name in names)),
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


def _light(item: Item, halo: bool = False) -> Item:
    """Give a primitive in a lighter tone; lettering stays dark enough to be read."""
    if isinstance(item, Group):
        return replace(item, items=tuple(_light(part, halo) for part in item.items))
    if isinstance(item, Text):
        return replace(item, colour=_LETTERS, halo=halo or item.halo)
    if isinstance(item, Shape):
        pen = None if item.pen is None else _light_pen(item.pen)
        return replace(item, pen=pen, fill=None if item.fill is None else _light_fill(item.fill))
    if isinstance(item, Line):
        return replace(item, pen=_light_pen(item.pen))
    return replace(item, pen=_light_pen(item.pen))


def _light_pen(pen: Pen) -> Pen:
    return replace(pen, colour=_towards_white(pen.colour), width=min(pen.width, 0.35))


def _light_fill(fill: Fill) -> Fill:
    colour = None if fill.colour is None else _towards_white(fill.colour)
    return replace(fill, colour=colour, pen=_light_pen(fill.pen))


def _towards_white(colour: str) -> str:
    parts = (int(colour[k : k + 2], 16) for k in (1, 3, 5))
    return "#" + "".join(f"{round(part + (255 - part) * _LIGHT):02x}" for part in parts)


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
