"""Cuts slat-wall runs from sheets, groove on groove."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from shopfit.cutting.runs import KERF_MM
from shopfit.model.cutting import CutProof
from shopfit.model.layout import CutPiece, Layout, Run
from shopfit.model.scenario import Scenario
from shopfit.quantities.nesting import (
    Size,
    Spot,
    Stock,
    count_sheets,
    fewest_by_area,
    fewest_sheets,
    nest,
)
from shopfit.quantities.references import require_known
from shopfit.quantities.seams import fixture_edges, splits, stud_centres
from shopfit.units import TOLERANCE_MM

Chain = tuple[float, ...]


def cut_runs(scenario: Scenario, layout: Layout) -> tuple[CutPiece, ...]:
    """Split every run into pieces of at most a sheet and nest them on sheets.

    Pieces keep their grooves: each lies on its sheet at a whole number of groove pitches, so
    that its lowest groove is as far above its lower edge as on a whole sheet. Seams lie at edges
    between the fixtures below or at stud centres, unless that costs a sheet. Sheets are numbered
    through all kinds, in the order of the catalogue.

    Parameters
    ----------
    scenario, layout
        Whose runs.

    Returns
    -------
    Pieces by run and from left to right; lengths in mm.

    Raises
    ------
    InputFaults
        If a run is higher than its sheet, or names what does not exist.
    """
    require_known(scenario, layout)
    pieces: dict[str, list[CutPiece]] = {}
    first_number = 1
    for sheet in scenario.catalogue.sheets:
        runs = [run for run in layout.runs if run.sheet == sheet.id]
        if not runs:
            continue
        stock = Stock(sheet.width, sheet.height, sheet.groove_pitch, KERF_MM)
        ways = [
            splits(
                run.to_mm - run.from_mm,
                sheet.width,
                [*fixture_edges(scenario, layout, run), *stud_centres(scenario, run)],
            )
            for run in runs
        ]
        chains = _choose(runs, ways, stock)
        spots = iter(nest(_sizes(runs, chains), stock))
        for run, chain in zip(runs, chains, strict=True):
            pieces[run.id] = [
                _piece(run, left, right, next(spots), first_number)
                for left, right in pairwise(chain)
            ]
        made = [piece.sheet_number for run in runs for piece in pieces[run.id]]
        first_number = max(made) + 1
    return tuple(piece for run in layout.runs for piece in pieces[run.id])


def run_proofs(scenario: Scenario, layout: Layout) -> tuple[CutProof, ...]:
    """Say how many sheets of each kind a layout's pieces take, and how many they take at least.

    The bound holds for these pieces, however they are placed, even where neighbours share a cut;
    a run divided elsewhere may take fewer.

    Parameters
    ----------
    scenario, layout
        Which; the layout holds its cuts.
    """
    proofs = []
    for sheet in scenario.catalogue.sheets:
        cuts = [piece for piece in layout.cuts if layout.run(piece.run).sheet == sheet.id]
        if not cuts:
            continue
        stock = Stock(sheet.width, sheet.height, sheet.groove_pitch)
        taken = len({piece.sheet_number for piece in cuts})
        least = fewest_sheets([(piece.width_mm, piece.height_mm) for piece in cuts], stock)
        proofs.append(
            CutProof(
                material=sheet.id,
                boards=taken,
                cost=round(math.ceil(taken / sheet.pack) * sheet.price, 2),
                measured_in="boards",
                found=taken,
                bound=min(taken, least),
                holds_for="any way of cutting these pieces",
            )
        )
    return tuple(proofs)


def tight_pieces(cuts: Sequence[CutPiece]) -> set[int]:
    """Find pieces with a neighbour on the sheet that is nearer than a saw cut.

    Parameters
    ----------
    cuts
        Pieces.

    Returns
    -------
    Their indices.
    """
    least = KERF_MM - TOLERANCE_MM
    tight = set()
    for i, one in enumerate(cuts):
        for j, other in enumerate(cuts[:i]):
            if one.sheet_number == other.sheet_number and _gap(one, other) < least:
                tight |= {i, j}
    return tight


def _gap(one: CutPiece, other: CutPiece) -> float:
    across = max(one.sheet_x_mm, other.sheet_x_mm) - min(
        one.sheet_x_mm + one.width_mm, other.sheet_x_mm + other.width_mm
    )
    up = max(one.sheet_z_mm, other.sheet_z_mm) - min(
        one.sheet_z_mm + one.height_mm, other.sheet_z_mm + other.height_mm
    )
    # Pieces that only meet corner to corner are parted by the cuts on both of their sides.
    return max(across, up)


def _choose(runs: Sequence[Run], ways: Sequence[Sequence[Chain]], stock: Stock) -> list[Chain]:
    """Take each run's best liked split, and another only where that saves a sheet."""
    chains = [way[0] for way in ways]
    count = _count(runs, chains, stock)
    least = fewest_by_area(_sizes(runs, chains), stock)
    trials = [(index, way[-1]) for index, way in enumerate(ways) if len(way) > 1]
    for index, other in trials:
        if count <= least:
            return chains
        trial = [*chains[:index], other, *chains[index + 1 :]]
        fewer = _count(runs, trial, stock)
        if fewer < count:
            chains, count = trial, fewer
    every = [way[-1] for way in ways]
    return every if trials and _count(runs, every, stock) < count else chains


def _count(runs: Sequence[Run], chains: Sequence[Chain], stock: Stock) -> int:
    return count_sheets(_sizes(runs, chains), stock)


def _sizes(runs: Sequence[Run], chains: Sequence[Chain]) -> list[Size]:
    return [
        (right - left, run.top_mm - run.bottom_mm)
        for run, chain in zip(runs, chains, strict=True)
        for left, right in pairwise(chain)
    ]


def _piece(run: Run, left: float, right: float, spot: Spot, first_number: int) -> CutPiece:
    return CutPiece(
        run=run.id,
        x_mm=left,
        z_mm=0.0,
        width_mm=right - left,
        height_mm=run.top_mm - run.bottom_mm,
        sheet_number=first_number + spot.sheet,
        sheet_x_mm=round(spot.x, 4),
        sheet_z_mm=round(spot.z, 4),
    )
