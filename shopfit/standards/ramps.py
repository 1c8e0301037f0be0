"""Clauses on ramps: slope, rise and handrails."""

from __future__ import annotations

from shopfit.standards.rulebook import Requirement, Rulebook
from shopfit.units import TOLERANCE_MM


def steepest_slope(rulebook: Rulebook, rise_mm: float, existing_site: bool) -> Requirement:
    """Give the steepest running slope for a rise, as rise over run.

    Parameters
    ----------
    rulebook
        Whose values.
    rise_mm
        Rise of the ramp run, mm.
    existing_site
        Whether it is an existing site where space limits make a steeper slope necessary.

    Source
    ------
    2010 ADA Standards, 405.2 and Table 405.2: 1:12; on existing sites 1:10 up to 6 in rise and
    1:8 up to 3 in rise. Text read.
    """
    if existing_site:
        if rise_mm <= rulebook.mm("ramp-rise-steepest") + TOLERANCE_MM:
            return rulebook.requirement("ramp-slope-steepest")
        if rise_mm <= rulebook.mm("ramp-rise-existing") + TOLERANCE_MM:
            return rulebook.requirement("ramp-slope-existing")
    return rulebook.requirement("ramp-slope")


def handrails_needed(rulebook: Rulebook, rise_mm: float) -> bool:
    """Say whether a ramp run of this rise, mm, needs handrails.

    Source
    ------
    2010 ADA Standards, 405.8: where the rise is greater than 6 in. Text read.
    """
    return rise_mm > rulebook.mm("ramp-handrail-rise") + TOLERANCE_MM
