"""Clauses on things that stick out of walls into a path."""

from __future__ import annotations

import math

from shopfit.standards.rulebook import Rulebook
from shopfit.units import TOLERANCE_MM


def projection_limit(rulebook: Rulebook, edge_mm: float, below_mm: float = 0.0) -> float:
    """Give how far a thing may stand out of a wall into a circulation path, mm.

    Parameters
    ----------
    rulebook
        Whose values.
    edge_mm
        Height of its leading edge above the floor, mm.
    below_mm
        How far something that a cane finds, with its edge at 27 in or lower, stands out below it,
        mm.

    Source
    ------
    2010 ADA Standards, 307.2: 4 in at most where the leading edge is more than 27 in and not more
    than 80 in above the floor. Text read.
    """
    low, high = rulebook.mm("protrusion-from"), rulebook.mm("protrusion-to")
    if edge_mm <= low + TOLERANCE_MM or edge_mm > high + TOLERANCE_MM:
        return math.inf
    return max(rulebook.mm("protrusion"), below_mm)
