"""Sheets of the way in as told: plan and section, for the set of drawings."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from shopfit.drawing.approachplan import plan_of_approach
from shopfit.drawing.approachsection import section_of_approach, section_of_steps
from shopfit.drawing.approachtold import Told, told_tables
from shopfit.drawing.desk import Desk
from shopfit.drawing.scene import Scene, Table
from shopfit.drawing.sheet import Page, Sheet, compose, fits_together, scales, table_sheets

_FILE = "approach"
_LARGE = 50  # plan and section go on one sheet where that prints no smaller than this


def approach_sheets(desk: Desk, page: Page) -> list[Sheet]:
    """Make the sheets of the way in; none where the floor is level with the ground outside.

    Parameters
    ----------
    desk, page
        What is drawn, and the paper.
    """
    told = Told.of(desk)
    if told is None:
        return []
    sheets: list[Sheet] = []
    over: list[Table] = []
    for number, scenes in enumerate(_on_paper(told, desk, page), start=1):
        file = _FILE if number == 1 else f"{_FILE}-{number}"
        sheet, rest = compose(scenes, page, file)
        sheets.append(sheet)
        over += rest
    return [*sheets, *table_sheets(over, page, sheets[0].scene.title, _FILE)]


def _on_paper(told: Told, desk: Desk, page: Page) -> list[list[Scene]]:
    """Put all on one sheet where that is large enough, else each on a sheet of its own."""
    usual = scales(desk.shop.units)
    for scale in usual:
        scenes = _scenes(told, desk, scale)
        if scale <= _LARGE and fits_together(scenes, page):
            return [scenes]
    for scale in usual:
        scenes = _scenes(told, desk, scale)
        if all(fits_together([scene], page) for scene in scenes):
            break
    return [[scene] for scene in scenes]


def _scenes(told: Told, desk: Desk, scale: float) -> list[Scene]:
    found = list(_views(told, desk, scale))
    first = replace(found[0], tables=(*told_tables(told, desk), *found[0].tables))
    return [first, *found[1:]]


def _views(told: Told, desk: Desk, scale: float) -> Iterator[Scene]:
    if told.parts:
        yield plan_of_approach(told, desk, scale)
    if told.way or told.approach.steps is None:
        yield section_of_approach(told, desk, scale)
    steps = section_of_steps(told, desk, scale)
    if steps is not None:
        yield steps
