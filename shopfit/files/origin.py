"""Says for which shop a layout was made, where it was made for another or an earlier one."""

from __future__ import annotations

from pathlib import Path
from typing import get_args

from shopfit.errors import Fault, InputFaults
from shopfit.files.layouts import fingerprint, read_layout
from shopfit.files.wording import shortened
from shopfit.geometry.shell import survey
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario
from shopfit.units import LengthStyle


def read_for(path: Path, scenario: Scenario, strict: bool) -> tuple[Layout, str]:
    """Read a layout beside a scenario, with what `origin` says of it.

    Parameters
    ----------
    path
        A file, or the folder of a ``layout.json``.
    scenario
        What is given now.
    strict
        Whether one that shows nothing that is sold is refused, or only one that stands at none of
        the walls either.

    Raises
    ------
    InputFaults
        With every fault of the file; with one where it has nothing in common with the scenario.
    """
    path = path / "layout.json" if path.is_dir() else path
    try:
        layout = read_layout(path)
    except InputFaults:
        # With the names that are not known, where these matter: all faults are told at once.
        layout = read_layout(path, scenario if strict else None)
    strange = stranger(path.name, scenario, layout, walls_too=not strict)
    if strange is not None:
        raise InputFaults([strange])
    return layout, origin(scenario, layout)


def made_for(scenario: Scenario, layout: Layout) -> bool:
    """Say whether a layout was made for exactly this scenario, or does not tell.

    In which unit lengths are written changes nothing of what is given.
    """
    return layout.fingerprint in ("", fingerprint(scenario)) or any(
        layout.fingerprint == fingerprint(in_units(scenario, units))
        for units in get_args(LengthStyle)
        if units != scenario.shop.units
    )


def in_units(scenario: Scenario, units: LengthStyle) -> Scenario:
    """Give a scenario whose lengths are written in other units."""
    return scenario.model_copy(update={"shop": scenario.shop.model_copy(update={"units": units})})


def origin(scenario: Scenario, layout: Layout) -> str:
    """Say in a sentence what a layout was made for; nothing where that is this or not told.

    Parameters
    ----------
    scenario, layout
        What is given now, and the layout read beside it.
    """
    if made_for(scenario, layout):
        return ""
    if _elsewhere(scenario, layout):
        made, here = shortened(layout.scenario), shortened(scenario.folder)
        return (
            f"this layout was made for {made} and is taken as one of {here}; if that is a slip, "
            f"name the folder of {made} with it."
        )
    return "the scenario has changed since this layout was made."


def stranger(file: str, scenario: Scenario, layout: Layout, walls_too: bool) -> Fault | None:
    """Give the one fault of a layout that has nothing in common with a shop, or none.

    Parameters
    ----------
    file
        Name of the file of the layout.
    scenario, layout
        What is given now, and the layout read beside it.
    walls_too
        Whether it is one only if it stands at none of the walls either.
    """
    lines = {slot.line for block in layout.blocks for row in block.rows for slot in row.slots}
    walls = {place.wall for place in layout.placements if place.wall is not None}
    walls |= {run.wall for run in layout.runs}
    sold = lines & {line.line for line in scenario.lines}
    there = walls & {wall.id for wall in survey(scenario.shop).walls}
    if not (lines or walls) or sold or (there and (walls_too or not lines)):
        return None
    here = shortened(scenario.folder)
    missing = [f"none of its {len(lines)} lines is in the range"] if lines else []
    missing += [f"none of its {len(walls)} walls is in the shop"] if walls and not there else []
    made = f"a layout made for {shortened(layout.scenario)}" if layout.scenario else "a layout"
    mend = "Lay this shop out: `shopfit solve`; to keep what stands: `shopfit rearrange`."
    if _elsewhere(scenario, layout):
        mend = f"Name the folder of {shortened(layout.scenario)} with it, or lay this shop out: "
        mend += "`shopfit solve`."
    given = f"{made}; {' and '.join(missing)}"
    return Fault(file, "whole file", given, f"a layout made for {here}", mend)


def _elsewhere(scenario: Scenario, layout: Layout) -> bool:
    return bool(layout.scenario) and layout.scenario != scenario.folder
