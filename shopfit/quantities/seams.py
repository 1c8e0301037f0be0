"""Chooses where a run wider than a sheet is joined."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from shopfit.model.layout import Layout, Run
from shopfit.model.scenario import Scenario
from shopfit.model.schedule import Joint
from shopfit.units import TOLERANCE_MM

# Narrower pieces split and are hard to fasten; common practice, no source.
LEAST_PIECE_MM = 152.4

Cost = tuple[float, ...]


def fixture_edges(scenario: Scenario, layout: Layout, run: Run) -> list[float]:
    """List the edges of fixtures below a run, inside it, mm from the run's left end."""
    edges = set()
    for tag in run.over:
        placement = layout.placement(tag)
        if placement.offset_mm is not None:
            left = placement.offset_mm - run.from_mm
            edges |= {left, left + scenario.catalogue.fixture(placement.fixture).width}
    return _inside(edges, run.to_mm - run.from_mm)


def stud_centres(scenario: Scenario, run: Run) -> list[float]:
    """List the stud centres behind a run, mm from the run's left end."""
    studs = scenario.shop.studs
    first = math.ceil((run.from_mm - studs.first) / studs.spacing)
    last = math.floor((run.to_mm - studs.first) / studs.spacing)
    places = (studs.first + k * studs.spacing - run.from_mm for k in range(first, last + 1))
    return _inside(places, run.to_mm - run.from_mm)


def joint_at(scenario: Scenario, layout: Layout, run: Run, x: float) -> Joint:
    """Say where a seam falls.

    Parameters
    ----------
    scenario, layout, run
        Which run.
    x
        The seam, mm from the run's left end.
    """
    if _near(x, (0.0, run.to_mm - run.from_mm)):
        return "end of run"
    if _near(x, fixture_edges(scenario, layout, run)):
        return "fixture edge"
    return "stud centre" if _near(x, stud_centres(scenario, run)) else "between studs"


def splits(width: float, sheet_width: float, liked: Sequence[float]) -> list[tuple[float, ...]]:
    """Give ways to split a run, best first.

    Every way has as few pieces as can be and avoids slivers. The first has as many seams at
    liked places as can be, and then leaves the largest offcut; the second leaves the largest
    offcut first.

    Parameters
    ----------
    width, sheet_width
        Of the run and of a sheet, mm.
    liked
        Places for seams, mm from the run's left end.

    Returns
    -------
    Tuples of places from 0 to the width; one where the run is not wider than a sheet.
    """
    if width <= sheet_width + TOLERANCE_MM:
        return [(0.0, width)]
    pieces = math.ceil((width - TOLERANCE_MM) / sheet_width)
    others: list[float] = []
    for k in range(pieces + 1):
        full = k * sheet_width
        others += [full, width - full, k * width / pieces]
        others += [full + LEAST_PIECE_MM, width - full - LEAST_PIECE_MM]
    places = _inside(liked, width)
    places += [place for place in _inside(others, width) if not _near(place, places)]
    ends = [*sorted(places), width]
    studs_first = _cheapest(ends, sheet_width, liked, largest_first=False)
    largest_first = _cheapest(ends, sheet_width, liked, largest_first=True)
    return list(dict.fromkeys((studs_first, largest_first)))


def _cheapest(
    ends: Sequence[float], sheet_width: float, liked: Sequence[float], largest_first: bool
) -> tuple[float, ...]:
    """Find the cheapest chain of pieces: each cost is a sum over pieces, compared in order."""
    best: dict[float, tuple[Cost, tuple[float, ...]]] = {0.0: ((0.0,) * 4, (0.0,))}
    for end in ends:
        found: list[tuple[Cost, tuple[float, ...]]] = []
        for start, (cost, chain) in best.items():
            piece = end - start
            if TOLERANCE_MM < piece <= sheet_width + TOLERANCE_MM:
                off = 0.0 if end == ends[-1] or _near(end, liked) else 1.0
                used = -round((piece / sheet_width) ** 2, 9)
                sliver = 1.0 if piece < LEAST_PIECE_MM - TOLERANCE_MM else 0.0
                more = (1.0, sliver, used, off) if largest_first else (1.0, sliver, off, used)
                total = tuple(round(a + b, 9) for a, b in zip(cost, more, strict=True))
                found.append((total, (*chain, end)))
        if found:
            best[end] = min(found)
    return best[ends[-1]][1]


def _inside(places: Iterable[float], width: float) -> list[float]:
    inside: list[float] = []
    for place in sorted(places):
        if TOLERANCE_MM < place < width - TOLERANCE_MM and not _near(place, inside[-1:]):
            inside.append(round(place, 4))
    return inside


def _near(place: float, places: Iterable[float]) -> bool:
    return any(abs(place - other) <= TOLERANCE_MM for other in places)
