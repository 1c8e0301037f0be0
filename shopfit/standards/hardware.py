"""Clauses on doors themselves: leaves, projections, thresholds, handles, closers and glass."""

from __future__ import annotations

import math
from collections.abc import Sequence

from shopfit.standards.rulebook import Outcome, Rulebook


def double_door(rulebook: Rulebook, active_leaves_mm: Sequence[float]) -> Outcome:
    """Judge a double door by the clear widths that its active leaves leave, one at a time, mm.

    Source
    ------
    2010 ADA Standards, 404.2.2 and 404.2.3: one active leaf leaves 32 in. Text read.
    """
    return rulebook.outcome("door-width", max(active_leaves_mm, default=0.0))


def projection_into_doorway(
    rulebook: Rulebook, height_mm: float, stop_or_closer: bool = False
) -> float:
    """Give how far something may project into the clear opening of a doorway, mm.

    Parameters
    ----------
    rulebook
        Whose values.
    height_mm
        Height of its lower edge, mm.
    stop_or_closer
        Whether it is a door's stop or closer.

    Source
    ------
    2010 ADA Standards, 404.2.3: nothing lower than 34 in; 4 in between 34 and 80 in; stops and
    closers from 78 in. Text read.
    """
    if stop_or_closer and rulebook.requirement("door-stop-height").holds(height_mm):
        return math.inf
    if rulebook.requirement("door-projection-from").holds(height_mm):
        return 0.0
    above = not rulebook.requirement("protrusion-to").holds(height_mm)
    return math.inf if above else rulebook.mm("door-projection")


def threshold(rulebook: Rulebook, height_mm: float, existing: bool, bevelled: bool) -> Outcome:
    """Judge a threshold by its height, mm.

    Parameters
    ----------
    rulebook
        Whose values.
    height_mm
        Its height, mm.
    existing
        Whether it was there before, or is altered.
    bevelled
        Whether both sides are bevelled, not steeper than 1:2.

    Source
    ------
    2010 ADA Standards, 404.2.5: 1/2 in; existing ones 3/4 in where bevelled on both sides. Text
    read.
    """
    key = "threshold-existing" if existing and bevelled else "threshold"
    return rulebook.outcome(key, height_mm)


def handle(rulebook: Rulebook, height_mm: float) -> tuple[Outcome, ...]:
    """Judge the parts that work a door by their height, mm.

    Source
    ------
    2010 ADA Standards, 404.2.7: 34 to 48 in. Text read.
    """
    return (
        rulebook.outcome("door-hardware-low", height_mm),
        rulebook.outcome("door-hardware-high", height_mm),
    )


def closing(rulebook: Rulebook, seconds: float, spring_hinge: bool = False) -> Outcome:
    """Judge a closer, or a spring hinge, by the time it takes, s.

    Source
    ------
    2010 ADA Standards, 404.2.8: 5 s from 90 to 12 degrees; spring hinges 1.5 s from 70 degrees.
    Text read.
    """
    return rulebook.outcome("door-closing-spring" if spring_hinge else "door-closing", seconds)


def opening_force(rulebook: Rulebook, force_n: float) -> Outcome:
    """Judge an inner door, no fire door, by the force that opens it, N.

    Source
    ------
    2010 ADA Standards, 404.2.9: 5 lbf at most. Text read.
    """
    return rulebook.outcome("door-force", force_n)


def smooth_push_side(rulebook: Rulebook, height_mm: float) -> Outcome:
    """Judge the push side of a door by how far up from the floor it is smooth, mm.

    Source
    ------
    2010 ADA Standards, 404.2.10: 10 in. Text read.
    """
    return rulebook.outcome("door-smooth", height_mm)


def glass_to_look_through(rulebook: Rulebook, bottom_mm: float) -> Outcome | None:
    """Judge glass in a door by its lower edge, mm, or none where it is so high that it may be.

    Source
    ------
    2010 ADA Standards, 404.2.11: 43 in at most, unless the lowest part is above 66 in. Text read.
    """
    if rulebook.requirement("door-glass-free").holds(bottom_mm):
        return None
    return rulebook.outcome("door-glass-low", bottom_mm)
