"""The clause on 180-degree turns round something narrow."""

from __future__ import annotations

from shopfit.standards.rulebook import Requirement, Rulebook
from shopfit.units import TOLERANCE_MM

KEYS = ("turn-element", "turn-leg", "turn-width", "turn-wide")


def turn_matters(rulebook: Rulebook, element_mm: float) -> bool:
    """Say whether a 180-degree turn round an element this wide, mm, wants more than a route.

    Source
    ------
    2010 ADA Standards, 403.5.2: an element that is less than 48 in wide. Text read.
    """
    return element_mm < rulebook.mm("turn-element") - TOLERANCE_MM


def turn_width(rulebook: Rulebook, element_mm: float, leg_mm: float) -> Requirement | None:
    """Give the clear width wanted at a 180-degree turn, or none where the clause wants nothing.

    Parameters
    ----------
    rulebook
        Whose values.
    element_mm
        Width of what the way goes round, mm.
    leg_mm
        Clear width on the way to the turn and away from it, mm; the lesser of the two.

    Source
    ------
    2010 ADA Standards, 403.5.2: 48 in at the turn where the way is 42 in wide coming and going;
    with 60 in at the turn, the width of a route is enough there. Text read.
    """
    if not turn_matters(rulebook, element_mm):
        return None
    wide_legs = leg_mm >= rulebook.mm("turn-leg") - TOLERANCE_MM
    return rulebook.requirement("turn-width" if wide_legs else "turn-wide")
