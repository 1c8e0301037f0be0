"""Counts what extras go with: screws, ends and seams of slat-wall, grooves, brackets, fixtures."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass

from shopfit.geometry.shell import ShellPlan, survey
from shopfit.model.layout import CutPiece, Layout, Run
from shopfit.model.ordering import LENGTHS, Extra
from shopfit.model.scenario import Scenario
from shopfit.quantities.cutting import cut_runs
from shopfit.quantities.fixings import fixings
from shopfit.quantities.takeoff import needed_pieces
from shopfit.units import TOLERANCE_MM, format_length


@dataclass(frozen=True)
class Measured:
    """What extras go with, in a layout.

    Parameters
    ----------
    counts
        How many, by what is counted.
    lengths
        How long, mm, by what is measured.
    """

    counts: dict[str, int]
    lengths: dict[str, float]


def measured_for_extras(scenario: Scenario, layout: Layout) -> Measured:
    """Count and measure everything in a layout that extras may go with.

    Parameters
    ----------
    scenario, layout
        Which; runs are cut first if the layout holds no cuts.
    """
    shell = survey(scenario.shop)
    cuts = layout.cuts or cut_runs(scenario, layout)
    counts: Counter[str] = Counter()
    for row in fixings(scenario, layout):
        counts[row.kind] += row.count
    for run in layout.runs:
        counts["open run end"] += _open_ends(shell, layout, run)
    boards = {board.id for board in scenario.catalogue.shelves}
    brackets = {bracket.id for bracket in scenario.catalogue.brackets}
    for item, number in needed_pieces(scenario, layout).items():
        if item in brackets:
            counts["bracket"] += number
        elif item in boards:
            counts["shelf board"] += number
    for placement in layout.placements:
        counts[scenario.catalogue.fixture(placement.fixture).kind] += 1
    slots = [slot for block in layout.blocks for row in block.rows for slot in row.slots]
    counts["facing"] = sum(slot.facings for slot in slots)
    counts["line"] = len({slot.line for slot in slots})
    along = sum(run.to_mm - run.from_mm for run in layout.runs)
    lengths = {
        "run top": along,
        "run foot": along,
        "seam": sum(_seams(run, cuts) for run in layout.runs),
        "groove": sum(_grooves(scenario, run) for run in layout.runs),
    }
    return Measured(dict(counts), lengths)


def pieces_needed(scenario: Scenario, extra: Extra, measured: Measured) -> tuple[int, str]:
    """Give how many pieces of an extra are needed, and how that was counted, in words."""
    if extra.for_each in LENGTHS:
        assert extra.length is not None
        whole = measured.lengths.get(extra.for_each, 0.0)
        count = math.ceil(whole / extra.length - 1e-9) * extra.pieces
        style = scenario.shop.units
        told = f"{format_length(whole, style)} of {extra.for_each} / "
        told += format_length(extra.length, style)
    else:
        number = measured.counts.get(extra.for_each, 0)
        count = number * extra.pieces
        told = f"{number} × {extra.for_each}"
    return count, f"{told} × {extra.pieces}" if extra.pieces > 1 else told


def _open_ends(shell: ShellPlan, layout: Layout, run: Run) -> int:
    """Count the ends of a run that neither a corner of its room nor another run closes."""
    wall = shell.wall(run.wall)
    others = [other for other in layout.runs if other.wall == run.wall and other.id != run.id]
    count = 0
    for end, corner in ((run.from_mm, 0.0), (run.to_mm, wall.length)):
        closed = abs(end - corner) <= TOLERANCE_MM or any(
            min(abs(end - other.from_mm), abs(end - other.to_mm)) <= TOLERANCE_MM
            and other.bottom_mm < run.top_mm
            and other.top_mm > run.bottom_mm
            for other in others
        )
        count += not closed
    return count


def _seams(run: Run, cuts: tuple[CutPiece, ...]) -> float:
    """Give the length of upright seams between pieces of a run, mm."""
    pieces = [piece for piece in cuts if piece.run == run.id]
    width = run.to_mm - run.from_mm
    return sum(
        piece.height_mm for piece in pieces if piece.x_mm + piece.width_mm < width - TOLERANCE_MM
    )


def _grooves(scenario: Scenario, run: Run) -> float:
    """Give the length of all grooves of a run, mm."""
    pitch = scenario.catalogue.sheet(run.sheet).groove_pitch
    count = math.floor((run.top_mm - run.first_groove_mm) / pitch + 1e-9) + 1
    return max(count, 0) * (run.to_mm - run.from_mm)
