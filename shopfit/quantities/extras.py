"""Counts what extras go with: screws, ends and seams of slat-wall, grooves, brackets, fixtures."""

from __future__ import annotations

import itertools
import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from shopfit.cutting.plan import cut
from shopfit.geometry.shell import ShellPlan, survey
from shopfit.model.cutting import CutJob, Part, StockPiece
from shopfit.model.layout import CutPiece, Layout, Run
from shopfit.model.ordering import LENGTHS, Extra
from shopfit.model.scenario import Scenario
from shopfit.quantities.cutting import cut_runs
from shopfit.quantities.fixings import fixings
from shopfit.quantities.takeoff import needed_pieces
from shopfit.units import TOLERANCE_MM, format_length

# Work of cutting bars; most is proved with far less.
_EFFORT = 0.15


@dataclass(frozen=True)
class Measured:
    """What extras go with, in a layout.

    Parameters
    ----------
    counts
        How many, by what is counted.
    lengths
        How long each piece is, mm, by what is measured.
    """

    counts: dict[str, int]
    lengths: dict[str, tuple[float, ...]]


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
    along = tuple(run.to_mm - run.from_mm for run in layout.runs)
    lengths = {
        "run top": along,
        "run foot": along,
        "seam": tuple(length for run in layout.runs for length in _seams(run, cuts)),
        "groove": tuple(length for run in layout.runs for length in _grooves(scenario, run)),
    }
    return Measured(dict(counts), lengths)


def pieces_needed(scenario: Scenario, extra: Extra, measured: Measured) -> tuple[int, str]:
    """Give how many pieces of an extra are needed, and how that was counted, in words."""
    if extra.for_each in LENGTHS:
        assert extra.length is not None
        pieces = measured.lengths.get(extra.for_each, ())
        count = bars_needed(pieces, extra.length) * extra.pieces
        style = scenario.shop.units
        told = f"{format_length(sum(pieces), style)} of {extra.for_each} in {len(pieces)} / "
        told += format_length(extra.length, style)
    else:
        number = measured.counts.get(extra.for_each, 0)
        count = number * extra.pieces
        told = f"{number} × {extra.for_each}"
    return count, f"{told} × {extra.pieces}" if extra.pieces > 1 else told


def bars_needed(pieces: Sequence[float], bar: float) -> int:
    """Give how many bars pieces are cut from, kerf and all; no piece is put together of offcuts.

    Parameters
    ----------
    pieces
        Their lengths, mm. What is longer than a bar is whole bars and a rest, end to end.
    bar
        Length of a bar, mm.
    """
    whole, rests = 0, []
    for piece in pieces:
        bars = math.floor((piece + TOLERANCE_MM) / bar)
        whole += bars
        if piece - bars * bar > TOLERANCE_MM:
            rests.append(round(piece - bars * bar, 4))
    return whole + _cut(tuple(sorted(Counter(rests).items())), bar)


@lru_cache(maxsize=64)
def _cut(rests: tuple[tuple[float, int], ...], bar: float) -> int:
    if not rests:
        return 0
    stock = StockPiece.model_validate({"id": "bar", "material": "bar", "length": f"{bar} mm"})
    parts = [
        Part.model_validate(
            {"id": f"rest {n}", "material": "bar", "length": f"{length} mm", "count": count}
        )
        for n, (length, count) in enumerate(rests, start=1)
    ]
    return len(cut(CutJob(stock=(stock,), parts=tuple(parts)), _EFFORT).boards)


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


def _seams(run: Run, cuts: tuple[CutPiece, ...]) -> Iterator[float]:
    """Give the upright seams between pieces of a run, mm each."""
    width = run.to_mm - run.from_mm
    for piece in cuts:
        if piece.run == run.id and piece.x_mm + piece.width_mm < width - TOLERANCE_MM:
            yield piece.height_mm


def _grooves(scenario: Scenario, run: Run) -> Iterator[float]:
    """Give the grooves of a run, mm each."""
    pitch = scenario.catalogue.sheet(run.sheet).groove_pitch
    count = math.floor((run.top_mm - run.first_groove_mm) / pitch + 1e-9) + 1
    return itertools.repeat(run.to_mm - run.from_mm, max(count, 0))
