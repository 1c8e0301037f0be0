"""Says what a layout names that its scenario does not hold, before anything is drawn."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from shopfit.errors import Fault, InputFaults
from shopfit.geometry.shell import survey
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario


def require_known(scenario: Scenario, layout: Layout) -> None:
    """Refuse a layout that cannot be drawn.

    Parameters
    ----------
    scenario, layout
        Which.

    Raises
    ------
    InputFaults
        With every name that the scenario does not hold.
    """
    faults = list(_faults(scenario, layout))
    if faults:
        raise InputFaults(faults)


def _faults(scenario: Scenario, layout: Layout) -> Iterator[Fault]:
    walls = {wall.id for wall in survey(scenario.shop).walls}
    fixtures = {fixture.id: fixture for fixture in scenario.catalogue.fixtures}
    sheets = {sheet.id for sheet in scenario.catalogue.sheets}
    lines = {line.line for line in scenario.lines}
    faces = {(run.id, "front") for run in layout.runs}
    for placement in layout.placements:
        where = f"placements > {placement.id}"
        yield from _unknown(where, "fixture", placement.fixture, fixtures)
        if placement.wall is not None:
            yield from _unknown(where, "wall", placement.wall, walls)
        if placement.fixture in fixtures:
            faces |= {(placement.id, face.side) for face in fixtures[placement.fixture].faces}
    tags = {placement.id for placement in layout.placements}
    for run in layout.runs:
        yield from _unknown(f"runs > {run.id}", "wall", run.wall, walls)
        yield from _unknown(f"runs > {run.id}", "sheet", run.sheet, sheets)
        for tag in run.over:
            yield from _unknown(f"runs > {run.id} > over", "placement", tag, tags)
    for block in layout.blocks:
        where = f"blocks > {block.id}"
        if (block.host, block.side) not in faces:
            yield _fault(where, f"{block.host} {block.side}", "a face of the layout")
        yield from _unknown(where, "category", block.category, scenario.categories)
        for row in block.rows:
            for slot in row.slots:
                yield from _unknown(where, "line", slot.line, lines)


def _unknown(where: str, kind: str, given: str, known: Iterable[str]) -> Iterator[Fault]:
    if given not in known:
        yield _fault(where, given, f"a {kind} that exists")


def _fault(where: str, given: str, allowed: str) -> Fault:
    return Fault(
        "layout.json", where, repr(given), allowed, "Correct the name, or make the layout again."
    )
