"""Finds the fixtures and runs of a layout among the positions, or those of another layout."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from shopfit.model.layout import Layout, Placement, Run
from shopfit.solver.candidates import Candidate
from shopfit.solver.floor import FloorAnswer, FloorProblem
from shopfit.solver.nearness import side_by_side
from shopfit.units import TOLERANCE_MM

# Directions this near are one.
SAME_ANGLE_DEG = 0.01


@dataclass(frozen=True)
class Dropped:
    """Something of a layout that fits no more.

    Parameters
    ----------
    tag, what
        Tag of the fixture, run or block, and what of it in words.
    why
        In words.
    facings
        How many facings go with it.
    """

    tag: str
    what: str
    why: str
    facings: int = 0


def same_place(one: Placement, other: Placement) -> bool:
    """Say whether two placements are one: the same fixture at the same place and angle."""
    turn = (other.angle_deg - one.angle_deg + 180.0) % 360.0 - 180.0
    apart = math.hypot(other.x_mm - one.x_mm, other.y_mm - one.y_mm)
    return one.fixture == other.fixture and apart <= TOLERANCE_MM and abs(turn) <= SAME_ANGLE_DEG


def floor_from(problem: FloorProblem, layout: Layout) -> tuple[FloorAnswer, tuple[Dropped, ...]]:
    """Find a layout's fixtures and runs among the positions.

    Parameters
    ----------
    problem, layout
        The floor, and the layout made by whomever.

    Returns
    -------
    The positions found, and what has none. Slat-wall counts as hung over a fixture wherever a run
    names it or, where leaving it out cannot pay, wherever it may hang.
    """
    slat: list[int] = []
    dropped: list[Dropped] = []
    below = {tag for run in layout.runs for tag in run.over}
    by_fixture: dict[str | None, list[int]] = {}
    for i, candidate in enumerate(problem.candidates):
        by_fixture.setdefault(candidate.fixture, []).append(i)
    places = _places(problem, by_fixture, layout.placements)
    for placement in layout.placements:
        number = places.get(placement.id)
        if number is None:
            why = "its place is not among the positions tried"
            dropped.append(Dropped(placement.id, placement.fixture, why))
        elif placement.id in below or not problem.separate_slat:
            slat += [number] if problem.candidates[number].slat else []
    chosen = list(dict.fromkeys(places.values()))
    for run in layout.runs:
        if run.over:
            continue
        bays = _bays(problem.candidates, by_fixture.get(None, ()), run)
        if not bays:
            dropped.append(Dropped(run.id, "slat-wall", "no bays of whole or half sheets make it"))
        chosen += bays
        slat += bays
    return FloorAnswer(tuple(sorted(chosen)), tuple(sorted(slat))), tuple(dropped)


def _places(
    problem: FloorProblem,
    by_fixture: Mapping[str | None, Sequence[int]],
    placements: Sequence[Placement],
) -> dict[str, int]:
    """Find the position of each fixture by its tag: alone first, or else in a row of islands."""
    found: dict[str, int] = {}
    taken: set[int] = set()
    for placement in placements:
        for i in by_fixture.get(placement.fixture, ()):
            candidate = problem.candidates[i]
            alone = candidate.row == 1 and i not in taken
            if alone and same_place(candidate.placement, placement):
                found[placement.id] = i
                taken.add(i)
                break
    kinds = dict.fromkeys(p.fixture for p in placements if p.id not in found)
    rows = [i for kind in kinds for i in by_fixture.get(kind, ()) if problem.candidates[i].row > 1]
    free = list(placements)
    for i in sorted(rows, key=lambda i: (-problem.candidates[i].row, i)):
        first = problem.candidates[i].placement
        if not any(same_place(first, placement) for placement in free):
            continue
        members = [
            next((p for p in free if same_place(place, p)), None)
            for place in side_by_side(problem.site, problem.candidates[i])
        ]
        whole = [placement for placement in members if placement is not None]
        if len(whole) == len(members) and any(p.id not in found for p in whole):
            found |= {placement.id: i for placement in whole}
            free = [placement for placement in free if placement not in whole]
    return found


def _bays(candidates: Sequence[Candidate], bare: Iterable[int], run: Run) -> list[int]:
    """Cover a run with nothing below it by bays, the widest first; none where that fails."""
    spans: list[tuple[float, float, int]] = []
    for i in bare:
        part = candidates[i].slat[0]
        if candidates[i].placement.wall != run.wall or part.wall_span is None:
            continue
        left, right, bottom, top = part.wall_span
        if abs(bottom - run.bottom_mm) <= TOLERANCE_MM and abs(top - run.top_mm) <= TOLERANCE_MM:
            spans.append((left, right, i))
    found: list[int] = []
    at = run.from_mm
    while at < run.to_mm - TOLERANCE_MM:
        fitting = [
            (right, i)
            for left, right, i in spans
            if abs(left - at) <= TOLERANCE_MM and right <= run.to_mm + TOLERANCE_MM
        ]
        if not fitting:
            return []
        at, i = max(fitting)
        found.append(i)
    return found


def paired(before: Sequence[Placement], after: Sequence[Placement]) -> dict[str, str]:
    """Pair fixtures of two layouts by tag: those that stand alike first, then the nearest."""
    pairs: dict[str, str] = {}
    taken: set[str] = set()
    kinds: dict[str, list[Placement]] = {}
    for other in after:
        kinds.setdefault(other.fixture, []).append(other)
    apart = []
    for one in before:
        for other in kinds.get(one.fixture, ()):
            alike = same_place(one, other)
            if alike and one.id not in pairs and other.id not in taken:
                pairs[one.id] = other.id
                taken.add(other.id)
            far = math.hypot(other.x_mm - one.x_mm, other.y_mm - one.y_mm)
            apart.append((far, one.id, other.id))
    for _, one_tag, other_tag in sorted(apart):
        if one_tag not in pairs and other_tag not in taken:
            pairs[one_tag] = other_tag
            taken.add(other_tag)
    return pairs
