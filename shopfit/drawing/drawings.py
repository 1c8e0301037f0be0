"""Makes the whole set of drawings of a layout: plan, walls, islands and cuts, to print."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from shopfit.drawing.approachsheet import approach_sheets
from shopfit.drawing.binding import Drawings, bound, finished_set
from shopfit.drawing.cover import cover_sheets
from shopfit.drawing.cutplan import draw_boards, draw_cuts
from shopfit.drawing.desk import Desk
from shopfit.drawing.elevation import drawn_walls, wall_parts
from shopfit.drawing.findingplan import findings_sheets
from shopfit.drawing.islands import draw_islands
from shopfit.drawing.paper import PageName, plan_on_paper
from shopfit.drawing.plan import plan_scene
from shopfit.drawing.planlabels import LISTED
from shopfit.drawing.references import require_known
from shopfit.drawing.scene import Scene, Table
from shopfit.drawing.sheet import (
    PAGES,
    Page,
    Sheet,
    compose,
    default_page,
    fits_together,
    table_sheets,
)
from shopfit.drawing.titleblock import TitleBlock
from shopfit.drawing.waysplan import ways_sheets
from shopfit.geometry.shell import WallLine
from shopfit.model.cutting import CutBoard
from shopfit.model.finding import Finding
from shopfit.model.layout import Layout
from shopfit.model.route import MeasuredRoutes
from shopfit.model.scenario import Scenario
from shopfit.units import LengthStyle

__all__ = ["Drawings", "PageName", "draw", "draw_cutting", "draw_plan"]


def draw(
    scenario: Scenario,
    layout: Layout,
    findings: Sequence[Finding] | None = None,
    page: PageName | None = None,
    date: str = "",
    made: Sequence[CutBoard] = (),
    routes: MeasuredRoutes | None = None,
) -> Drawings:
    """Draw the whole set to scale: plan, ways, walls, islands, way in, cut sheets and findings.

    Parameters
    ----------
    scenario, layout
        What is drawn.
    findings
        In the order of their numbers. Marked by number where they have a place, listed beside the
        plan, and drawn on the last sheets; those sheets are left out where nothing was checked.
    page
        The paper; if left out Letter or A4 by the shop's units, and the next larger one for a
        plan that would print smaller than 1:75.
    date
        For the title blocks, as it is to be printed.
    made
        Boards that what is made is cut from, drawn with the slat-wall.
    routes
        The ways as measured, drawn on a plan of their own if given.

    Returns
    -------
    An SVG a sheet, ``drawings.pdf`` with all sheets, and ``findings.pdf`` with the last ones.

    Raises
    ------
    InputFaults
        If the layout names what the scenario does not hold.
    """
    require_known(scenario, layout)
    desk = Desk.of(scenario, layout)
    name = page or default_page(scenario.shop.units)
    told = () if findings is None else findings
    sheets = _plan(desk, told, page)
    if routes is not None:
        sheets += ways_sheets(desk, routes, page)
    used = {sheet.file for sheet in sheets}
    for wall in drawn_walls(desk):
        sheets += _wall(desk, wall, PAGES[name], told, used)
    sheets += _together(draw_islands(desk, PAGES[name]).values(), PAGES[name], "islands", used)
    sheets += approach_sheets(desk, PAGES[name])
    sheets += _cutting(draw_cuts(desk, PAGES[name], made), PAGES[name], used)
    found = [] if findings is None else findings_sheets(desk, findings, page, routes)
    sheets += found
    sheets = [*cover_sheets(desk, PAGES[name], sheets), *sheets]
    whole = bound(sheets, desk, date, "drawings.pdf")
    if found:
        # The same sheets, numbered on their own.
        alone = bound(found, desk, date, "findings.pdf").files["findings.pdf"]
        whole.files["findings.pdf"] = alone
    return whole


def draw_plan(scenario: Scenario, layout: Layout) -> Drawings:
    """Draw the plan alone, without findings: its sheet, its tables, and ``plan.pdf``.

    Raises
    ------
    InputFaults
        As for `draw`.
    """
    require_known(scenario, layout)
    desk = Desk.of(scenario, layout)
    return bound(_plan(desk, (), None), desk, "", "plan.pdf")


def draw_cutting(
    boards: Sequence[CutBoard],
    units: LengthStyle,
    title: str = "",
    date: str = "",
    page: PageName | None = None,
) -> dict[str, bytes]:
    """Draw boards with their cuts: one SVG a sheet of paper, and ``cutting.pdf`` with all.

    Parameters
    ----------
    boards
        What is drawn.
    units
        How lengths are written.
    title, date
        For the title blocks.
    page
        The paper; Letter or A4 by the units if left out.
    """
    if not boards:
        return {}
    paper = PAGES[page or default_page(units)]
    sheets = _cutting(draw_boards(boards, units, paper), paper, set())
    block = TitleBlock(title or "Cutting", "", "", date, units)
    return finished_set(sheets, block, "cutting.pdf").files


def _plan(desk: Desk, findings: Sequence[Finding], fixed: PageName | None) -> list[Sheet]:
    scene, paper = plan_on_paper(
        desk, fixed, lambda page: plan_scene(desk.scenario, desk.layout, findings, page)
    )
    sheet, rest = compose([scene], paper, "plan")
    if any(table.title.startswith(LISTED) for table in rest):
        # A list that does not fit stands whole on the sheets of findings alone.
        others = [table for table in scene.tables if not table.title.startswith(LISTED)]
        told = Table(LISTED, (), (("numbers in frames: listed on the last sheets",),))
        sheet, rest = compose([replace(scene, tables=(*others, told))], paper, "plan")
    return [sheet, *table_sheets(rest, paper, "Plan", "plan")]


def _wall(
    desk: Desk, wall: WallLine, page: Page, findings: Sequence[Finding], used: set[str]
) -> list[Sheet]:
    """Put a wall on its sheets, and what its tables leave over on sheets after them."""
    paper, parts = wall_parts(desk, wall, page, findings)
    stem = _free_name(f"wall-{wall.id}", used)
    sheets: list[Sheet] = []
    over: list[Table] = []
    for number, scene in enumerate(parts, start=1):
        file = stem if number == 1 else _free_name(f"{stem}-part-{number}", used)
        sheet, rest = compose([scene], paper, file)
        sheets.append(sheet)
        over += rest
    return [*sheets, *table_sheets(over, page, f"Wall {wall.id}", stem)]


def _together(drawn: Iterable[Scene], page: Page, stem: str, used: set[str]) -> list[Sheet]:
    """Put scenes of one scale on as few sheets of paper as hold them in order."""
    sheets: list[Sheet] = []
    together: list[Scene] = []
    over: list[Table] = []
    scenes = list(drawn)
    for scene in [*scenes, None]:
        if scene is not None and fits_together([*together, scene], page):
            together.append(scene)
            continue
        if together:
            sheet, rest = compose(together, page, _free_name(stem, used))
            sheets.append(replace(sheet, scene=replace(sheet.scene, title=_titles(together))))
            over += rest
        together = [scene] if scene is not None else []
    titles = {scene.title for scene in scenes}
    # One title for the tables of drawings that are called differently.
    title = titles.pop() if len(titles) == 1 else stem.capitalize().replace("-", " of ")
    return [*sheets, *table_sheets(over, page, title, stem)]


def _titles(scenes: Sequence[Scene]) -> str:
    """Join the titles of scenes on one sheet; words that all begin with are said once."""
    titles = [title.split() for title in dict.fromkeys(scene.title for scene in scenes)]
    alike = [len(set(words)) == 1 for words in zip(*titles, strict=False)]
    same = [*alike, False].index(False)
    return "; ".join([" ".join(titles[0]), *(" ".join(words[same:]) for words in titles[1:])])


def _cutting(scenes: list[Scene], page: Page, used: set[str]) -> list[Sheet]:
    """Put sheets that are cut on paper, and lengths, which have a scale of their own."""
    scales = dict.fromkeys(scene.scale for scene in scenes)
    found: list[Sheet] = []
    for number, scale in enumerate(scales):
        alike = [scene for scene in scenes if scene.scale == scale]
        found += _together(alike, page, "cutting" if not number else "cutting-lengths", used)
    return found


def _free_name(wanted: str, used: set[str]) -> str:
    """Give a file name that no other sheet has; names of walls may hold spaces."""
    stem = wanted.replace(" ", "-")
    name, number = stem, 1
    while name in used:
        number += 1
        name = f"{stem}-{number}"
    used.add(name)
    return name
