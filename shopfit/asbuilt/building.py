"""Makes the finished shop that tape measurements tell of."""

from __future__ import annotations

from collections.abc import Sequence

from shopfit.geometry.built import GAP, Built, Handle, gap
from shopfit.geometry.builtshell import with_walls
from shopfit.geometry.measures import measures
from shopfit.model.measured import Measured

_ROUNDS = 3  # gaps of one fixture to several others are set in turn, until they all hold


def handle_of(built: Built, row: Measured) -> Handle:
    """Give the measure that a row names; raises KeyError where there is none."""
    if row.measure == GAP:
        found = gap(built, row.what, row.to)
        if found is None:
            raise KeyError((row.what, row.to))
        return found
    return measures(built)[row.what, row.measure]


def build(planned: Built, rows: Sequence[Measured]) -> Built:
    """Give the shop with every measure as the tape said, as nearly as they go together.

    Walls come first, all at once, then openings, the way in and sizes, then where fixtures stand,
    then gaps: the fixture that a row names first is the one taken to have moved.

    Parameters
    ----------
    planned
        The shop as planned.
    rows
        Measures that exist, each once.

    Raises
    ------
    ValueError
        If a measure cannot be, with the row in words.
    """
    handles = [(handle_of(planned, row), row) for row in rows]
    walls = {
        row.what.removeprefix("wall "): row.measured_mm
        for _, row in handles
        if row.what.startswith("wall ") and row.measure == "length"
    }
    built = with_walls(planned, walls) if walls else planned
    tags = {placement.id for placement in planned.layout.placements}
    order = sorted(
        (pair for pair in handles if not pair[1].what.startswith("wall ")),
        key=lambda pair: _rank(pair[1], tags),
    )
    for handle, row in order:
        if row.measure != GAP and abs(handle.read(built) - row.measured_mm) > 1e-6:
            built = handle.put(built, row.measured_mm)
    gaps = [pair for pair in order if pair[1].measure == GAP]
    for _ in range(_ROUNDS if len(gaps) > 1 else 1):
        for handle, row in gaps:
            if abs(handle.read(built) - row.measured_mm) > 1e-3:
                built = handle.put(built, row.measured_mm)
    return built


def _rank(row: Measured, tags: set[str]) -> int:
    if row.what not in tags:
        return 0
    return 1 if row.measure in ("width", "depth", "height") else 2
