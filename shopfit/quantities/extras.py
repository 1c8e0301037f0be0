"""Counts what extras go with: screws, ends and seams of slat-wall, grooves, brackets, fixtures."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from shopfit.geometry.shell import survey
from shopfit.model.cutting import CutPlan
from shopfit.model.layout import Layout
from shopfit.model.ordering import BY_LENGTH, Extra, ForEach
from shopfit.model.scenario import Scenario
from shopfit.quantities.cutting import cut_runs
from shopfit.quantities.fixings import fixings
from shopfit.quantities.lengths import bars
from shopfit.quantities.runlengths import run_lengths
from shopfit.quantities.takeoff import needed_pieces
from shopfit.units import format_length


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
    lengths: dict[ForEach, tuple[float, ...]]


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
    wanted = run_lengths(scenario, shell, layout, cuts)
    counts["open run end"] = sum(each.count for each in wanted["open run end"])
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
    lengths = {
        name: tuple(each.length for each in wanted[name] for _ in range(each.count))
        for name in BY_LENGTH
    }
    return Measured(dict(counts), lengths)


def pieces_needed(
    scenario: Scenario, extra: Extra, measured: Measured, plan: CutPlan
) -> tuple[int, str]:
    """Give how many pieces of an extra are needed, and how that was counted, in words.

    Parameters
    ----------
    scenario, extra, measured
        Which, and what extras go with.
    plan
        How those bought by the length are cut.
    """
    if extra.length is None:
        number = measured.counts.get(extra.for_each, 0)
        told = f"{number} × {extra.for_each}"
        more = f" × {extra.pieces}" if extra.pieces > 1 else ""
        return number * extra.pieces, told + more
    pieces = measured.lengths.get(extra.for_each, ()) * extra.pieces
    style, count = scenario.shop.units, len(bars(plan, extra.id))
    told = f"{format_length(sum(pieces), style)} of {extra.for_each} for {len(pieces)} places, "
    told += f"cut from lengths of {format_length(extra.length, style)}"
    for proof in plan.proofs:
        if proof.material == extra.id:
            told += ", proved fewest" if proof.proved else f", at least {proof.bound:g} needed"
    return count, told
