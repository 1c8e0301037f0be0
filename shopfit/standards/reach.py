"""Clauses on reach and handling from a wheelchair."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shopfit.standards.rulebook import Outcome, Requirement, Rulebook


@dataclass(frozen=True)
class Reach:
    """Heights within reach.

    Parameters
    ----------
    low, high
        The lowest and the highest.
    """

    low: Requirement
    high: Requirement

    def holds(self, height_mm: float) -> bool:
        """Say whether a height, mm, is within reach."""
        return self.low.holds(height_mm) and self.high.holds(height_mm)


def forward_reach(rulebook: Rulebook, over_mm: float = 0.0) -> Reach | None:
    """Give the heights within reach straight ahead, or none where it is too deep.

    Parameters
    ----------
    rulebook
        Whose values.
    over_mm
        Depth reached over, with clear floor below it, mm.

    Source
    ------
    2010 ADA Standards, 308.2: 15 to 48 in; 44 in where it is more than 20 in deep; 25 in deep at
    most. Text read.
    """
    if not rulebook.requirement("forward-depth").holds(over_mm):
        return None
    deep = rulebook.requirement("forward-deep").holds(over_mm)
    high = "forward-high-deep" if deep else "forward-high"
    return Reach(rulebook.requirement("forward-low"), rulebook.requirement(high))


def side_reach(rulebook: Rulebook, over_mm: float = 0.0, height_mm: float = 0.0) -> Reach | None:
    """Give the heights within reach alongside, or none where something is in the way.

    Parameters
    ----------
    rulebook
        Whose values.
    over_mm, height_mm
        Depth and height of what is reached over, mm.

    Source
    ------
    2010 ADA Standards, 308.3: 15 to 48 in with up to 10 in between; over something up to 34 in
    high and 24 in deep, 46 in. Text read.
    """
    low = rulebook.requirement("reach-low")
    if rulebook.requirement("side-free").holds(over_mm):
        return Reach(low, rulebook.requirement("reach-high"))
    if not rulebook.requirement("side-over-height").holds(height_mm):
        return None
    if not rulebook.requirement("side-depth").holds(over_mm):
        return None
    return Reach(low, rulebook.requirement("side-high-deep"))


def food_shelves_within_reach(rulebook: Rulebook, shelves: int) -> int:
    """Give how many self-service shelves for food, of one kind, have to be within reach.

    Shelves of other goods have to be on an accessible route, and need not be within reach.

    Source
    ------
    2010 ADA Standards, 227.4: 50 per cent, at least one of each kind; 225.2.2 for other goods;
    104.2: counted up. Text read.
    """
    share = rulebook.number("food-shelves", "percent") / 100
    return min(shelves, max(1, math.ceil(shelves * share - 1e-9)))


def handling(rulebook: Rulebook, force_n: float) -> Outcome:
    """Judge a part that is worked by hand by the force it takes, N.

    Source
    ------
    2010 ADA Standards, 309.4: 5 lbf at most. Text read.
    """
    return rulebook.outcome("handling-force", force_n)
