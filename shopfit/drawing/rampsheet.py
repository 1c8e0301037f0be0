"""Sheets of ramps: plan, section, parts and quantities of each arrangement, to print."""

from __future__ import annotations

from collections.abc import Sequence

from shopfit.drawing.pdf import pdf
from shopfit.drawing.rampplan import plan_of_ramp, turned_bounds
from shopfit.drawing.rampsection import section_of_ramp
from shopfit.drawing.scene import Scene, Table
from shopfit.drawing.sheet import (
    PAGES,
    Page,
    Sheet,
    compose,
    default_page,
    fits_together,
    scales,
    table_sheets,
)
from shopfit.drawing.svg import svg
from shopfit.drawing.titleblock import TitleBlock, finish
from shopfit.model.rampplan import Arrangement, QuantityRow
from shopfit.model.rampsite import RampTask
from shopfit.standards import Rulebook
from shopfit.units import FOOT_MM, LengthStyle, format_length

_LARGER = {"letter": "tabloid", "a4": "a3"}
_SMALL = 128  # a ramp that would print smaller asks for the next larger paper


def draw_ramps(
    chosen: Sequence[Arrangement], task: RampTask, book: Rulebook, date: str = ""
) -> dict[str, bytes]:
    """Draw arrangements in plan and section, to scale, with their parts and quantities.

    Parameters
    ----------
    chosen, task, book
        What is drawn, what was asked, and whose values handrails are drawn at.
    date
        For the title blocks, as it is to be printed.

    Returns
    -------
    Contents by file name: an SVG for each sheet, and ``ramps.pdf`` with all of them.
    """
    sheets: list[Sheet] = []
    for one in chosen:
        sheets += _sheets(one, task, book)
    block = TitleBlock(task.name, "ramp", "", date, task.units)
    finished = finish(sheets, block)
    files = {f"{each.file}.svg": svg(each.scene, each.page).encode("utf-8") for each in finished}
    files["ramps.pdf"] = pdf(finished)
    return files


def _sheets(one: Arrangement, task: RampTask, book: Rulebook) -> list[Sheet]:
    name = default_page(task.units)
    scenes = _scenes(one, task, book, PAGES[name])
    if scenes[0].scale > _SMALL and name in _LARGER:
        name = _LARGER[name]
        scenes = _scenes(one, task, book, PAGES[name])
    page, file = PAGES[name], f"ramp-{one.id}"
    first, *others = scenes
    tables = (*first.tables, _parts(one, task), *_quantities(one, task), *_facts(one, task))
    first = Scene(first.title, first.about, first.scale, first.layers, tables)
    if fits_together([first, *others], page):
        sheet, rest = compose([first, *others], page, file)
        return [sheet, *table_sheets(rest, page, first.title, file)]
    sheet, rest = compose([first], page, file)
    second, more = compose(others, page, f"{file}-section")
    return [sheet, second, *table_sheets((*rest, *more), page, first.title, file)]


def _scenes(one: Arrangement, task: RampTask, book: Rulebook, page: Page) -> list[Scene]:
    """Draw plan and section at the largest usual scale at which both go on the page."""
    room = page.room_size
    wide = turned_bounds(one, task)[0]
    both: list[Scene] = []
    for scale in scales(task.units):
        if wide / scale > room[0]:
            continue
        both = [plan_of_ramp(one, task, scale), section_of_ramp(one, task, book, scale)]
        if fits_together(both, page):
            return both
    scale = scales(task.units)[-1]
    return both or [plan_of_ramp(one, task, scale), section_of_ramp(one, task, book, scale)]


def _parts(one: Arrangement, task: RampTask) -> Table:
    say = task.units
    rows = [
        (
            part.id,
            format_length(part.length_mm, say),
            format_length(part.width_mm, say),
            format_length(part.top_mm, say),
            f"1:{one.ratio:g}" if part.kind == "run" else "level",
        )
        for part in one.parts
        if part.kind != "steps"
    ]
    if one.steps is not None:
        steps = one.steps
        riser, tread = format_length(steps.riser_mm, say), format_length(steps.tread_mm, say)
        rows.append(
            (
                f"steps: {steps.count} risers",
                f"tread {tread}",
                format_length(steps.width_mm, say),
                format_length(task.rise, say),
                f"riser {riser}",
            )
        )
    return Table("Parts, clear", ("part", "along", "across", "top at", "slope"), tuple(rows))


def _quantities(one: Arrangement, task: RampTask) -> tuple[Table, ...]:
    rows = []
    for item in dict.fromkeys(row.item for row in one.quantities):
        same = [row for row in one.quantities if row.item == item]
        price = sum(row.cost or 0.0 for row in same)
        cells = (item, _amount(same, task.units))
        rows.append((*cells, f"{price:,.2f}") if one.cost is not None else cells)
    if one.cost is not None:
        rows.append(("total", task.currency, f"{one.cost:,.2f}"))
    head = ("item", "how much", *(("cost",) if one.cost is not None else ()))
    return (Table("Quantities", head, tuple(rows)),)


def _amount(rows: Sequence[QuantityRow], units: LengthStyle) -> str:
    first = rows[0]
    if first.area_m2 is not None:
        return area_words(sum(row.area_m2 or 0.0 for row in rows), units)
    if first.length_mm is not None and first.width_mm is None:
        return format_length(sum(row.length_mm or 0.0 for row in rows), units)
    return str(sum(row.count for row in rows))


def area_words(area_m2: float, units: LengthStyle) -> str:
    """Write an area in square feet beside inches, in square metres beside metres."""
    if units in ("ft-in", "in"):
        return f"{area_m2 / (FOOT_MM / 1000) ** 2:.1f} sq ft"
    return f"{area_m2:.2f} m²"


def _facts(one: Arrangement, task: RampTask) -> tuple[Table, ...]:
    say = task.units
    rows = [
        ("ground covered", area_words(one.footprint_m2, say)),
        (
            "rectangle round it",
            f"{format_length(one.along_mm, say)} along, {format_length(one.out_mm, say)} out",
        ),
        ("rise", format_length(task.rise, say)),
        ("clear width", format_length(one.width_mm, say)),
    ]
    if one.guard_mm > 0:
        rows.append(("guard wanted on", format_length(one.guard_mm, say)))
    return (Table("In all", (), tuple(rows)),)
