"""Makes sure that a layout only speaks of things that exist, before it is measured."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from shopfit.errors import Fault, InputFaults
from shopfit.geometry.shell import ShellPlan, survey
from shopfit.model.layout import Block, Layout
from shopfit.model.scenario import Scenario
from shopfit.units import TOLERANCE_MM, format_length

LAYOUT_FILE = "layout.json"


def require_known(scenario: Scenario, layout: Layout) -> None:
    """Refuse a layout that names what the scenario or the layout itself does not hold.

    Parameters
    ----------
    scenario, layout
        Which.

    Raises
    ------
    InputFaults
        With every unknown name, and every run that one course of its sheet cannot cover.
    """
    shell = survey(scenario.shop)
    faults = [*_placement_faults(scenario, layout, shell), *_run_faults(scenario, layout, shell)]
    faults += _cut_faults(layout)
    lines = {line.line for line in scenario.lines}
    for block in layout.blocks:
        faults += _block_faults(scenario, layout, block, lines)
    if faults:
        raise InputFaults(faults)


def _placement_faults(scenario: Scenario, layout: Layout, shell: ShellPlan) -> Iterator[Fault]:
    fixtures = [fixture.id for fixture in scenario.catalogue.fixtures]
    walls = [wall.id for wall in shell.walls]
    for placement in layout.placements:
        where = f"placements > {placement.id}"
        yield from _unknown(f"{where} > fixture", placement.fixture, fixtures)
        if placement.wall is not None:
            yield from _unknown(f"{where} > wall", placement.wall, walls)


def _run_faults(scenario: Scenario, layout: Layout, shell: ShellPlan) -> Iterator[Fault]:
    sheets = {sheet.id: sheet for sheet in scenario.catalogue.sheets}
    walls = [wall.id for wall in shell.walls]
    tags = [placement.id for placement in layout.placements]
    for run in layout.runs:
        where = f"runs > {run.id}"
        yield from _unknown(f"{where} > wall", run.wall, walls)
        yield from _unknown(f"{where} > sheet", run.sheet, list(sheets))
        for tag in run.over:
            yield from _unknown(f"{where} > over", tag, tags)
        if run.to_mm - run.from_mm <= TOLERANCE_MM or run.top_mm - run.bottom_mm <= TOLERANCE_MM:
            yield Fault(
                LAYOUT_FILE,
                where,
                f"from {run.from_mm:g} to {run.to_mm:g} mm, {run.bottom_mm:g} to {run.top_mm:g} mm",
                "to_mm over from_mm and top_mm over bottom_mm",
                "Give the run a width and a height.",
            )
        elif run.sheet in sheets:
            height, most = run.top_mm - run.bottom_mm, sheets[run.sheet].height
            if height > most + TOLERANCE_MM:
                units = scenario.shop.units
                yield Fault(
                    LAYOUT_FILE,
                    where,
                    f"{format_length(height, units)} high",
                    f"at most {format_length(most, units)}, one course of {run.sheet}",
                    "Lower the top of the run, or cut it from a higher sheet.",
                )


def _cut_faults(layout: Layout) -> Iterator[Fault]:
    runs = [run.id for run in layout.runs]
    for number, piece in enumerate(layout.cuts, 1):
        yield from _unknown(f"cuts > piece {number} > run", piece.run, runs)


def _block_faults(
    scenario: Scenario, layout: Layout, block: Block, lines: set[str]
) -> Iterator[Fault]:
    catalogue = scenario.catalogue
    holders = [bracket.id for bracket in catalogue.brackets]
    holders += [board.id for board in catalogue.shelves]
    runs = [run.id for run in layout.runs]
    tags = [placement.id for placement in layout.placements]
    where = f"blocks > {block.id}"
    yield from _unknown(f"{where} > host", block.host, [*runs, *tags])
    for row in block.rows:
        for slot in row.slots:
            yield from _unknown(f"{where} > line", slot.line, lines)
            if slot.holder is not None:
                yield from _unknown(f"{where} > holder", slot.holder, holders)
    for placement in layout.placements:
        if placement.id != block.host:
            continue
        fixture = next((f for f in catalogue.fixtures if f.id == placement.fixture), None)
        if fixture is not None:
            sides = [face.side for face in fixture.faces]
            yield from _unknown(f"{where} > side", block.side, sides)


def _unknown(where: str, given: str, known: Collection[str]) -> Iterator[Fault]:
    if given not in known:
        names = ", ".join(sorted(known)[:8]) + (", …" if len(known) > 8 else "")
        yield Fault(
            LAYOUT_FILE,
            where,
            repr(given),
            names or "nothing, as there is none",
            "Use one of these names, or make the layout again from this scenario.",
        )
