"""What goes by length on slat-wall: tops, feet, ends, seams and grooves, run by run."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shopfit.geometry.shell import ShellPlan
from shopfit.geometry.wallareas import corner_closes
from shopfit.model.layout import CutPiece, Layout, Run
from shopfit.model.ordering import ForEach
from shopfit.model.scenario import Scenario
from shopfit.units import TOLERANCE_MM


@dataclass(frozen=True)
class Wanted:
    """Equal lengths that are wanted in one place.

    Parameters
    ----------
    where
        The place, such as ``R1 top``.
    length
        Of each, mm.
    count
        How many.
    """

    where: str
    length: float
    count: int = 1


def run_lengths(
    scenario: Scenario, shell: ShellPlan, layout: Layout, cuts: Sequence[CutPiece]
) -> dict[ForEach, list[Wanted]]:
    """List what trims, end profiles and inserts are cut to.

    Parameters
    ----------
    scenario, shell, layout
        Which.
    cuts
        Pieces of slat-wall, between which seams are.

    Returns
    -------
    Lengths by what they go along, in the order of the runs.
    """
    found: dict[ForEach, list[Wanted]] = {
        "run top": [],
        "run foot": [],
        "open run end": [],
        "seam": [],
        "groove": [],
    }
    for run in layout.runs:
        along, up = run.to_mm - run.from_mm, run.top_mm - run.bottom_mm
        found["run top"].append(Wanted(f"{run.id} top", along))
        found["run foot"].append(Wanted(f"{run.id} foot", along))
        ends = open_ends(shell, layout, run)
        if ends:
            found["open run end"].append(Wanted(f"{run.id} end", up, ends))
        found["seam"] += [Wanted(f"{run.id} seam", height) for height in _seams(run, cuts)]
        grooves = _grooves(scenario, run)
        if grooves:
            found["groove"].append(Wanted(f"{run.id} groove", along, grooves))
    return found


def open_ends(shell: ShellPlan, layout: Layout, run: Run) -> int:
    """Count the ends of a run that neither an inside corner nor another run closes."""
    wall = shell.wall(run.wall)
    others = [other for other in layout.runs if other.wall == run.wall and other.id != run.id]
    count = 0
    for end, corner in ((run.from_mm, 0.0), (run.to_mm, wall.length)):
        meets = abs(end - corner) <= TOLERANCE_MM and corner_closes(shell, wall, corner > 0)
        closed = meets or any(
            min(abs(end - other.from_mm), abs(end - other.to_mm)) <= TOLERANCE_MM
            and other.bottom_mm < run.top_mm
            and other.top_mm > run.bottom_mm
            for other in others
        )
        count += not closed
    return count


def _seams(run: Run, cuts: Sequence[CutPiece]) -> list[float]:
    """Give the lengths of upright seams between pieces of a run, mm."""
    width = run.to_mm - run.from_mm
    return [
        piece.height_mm
        for piece in cuts
        if piece.run == run.id and piece.x_mm + piece.width_mm < width - TOLERANCE_MM
    ]


def _grooves(scenario: Scenario, run: Run) -> int:
    pitch = scenario.catalogue.sheet(run.sheet).groove_pitch
    count = math.floor((run.top_mm - run.first_groove_mm) / pitch + 1e-9) + 1
    return max(count, 0)
