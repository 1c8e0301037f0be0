"""Clauses on ramps: slope, rise, landings, edges, and where handrails are wanted."""

from __future__ import annotations

import math
from itertools import pairwise

from shopfit.standards.rulebook import Outcome, Requirement, Rulebook
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


def is_ramp(rulebook: Rulebook, slope: float) -> bool:
    """Say whether a floor of this slope, rise over run, is a ramp.

    Source
    ------
    2010 ADA Standards, 106.5 and 403.3: steeper than 1:20. Text read. Approved Document K, 2.3,
    note: 1:20 or steeper. Text read.
    """
    if "ramp-from" in rulebook:
        return rulebook.requirement("ramp-from").holds(slope)
    return not rulebook.requirement("walk-slope").holds(slope)


def runs_needed(rulebook: Rulebook, rise_mm: float) -> int:
    """Give the fewest runs, with landings between them, that climb a rise, mm.

    Source
    ------
    2010 ADA Standards, 405.6: 30 in a run. Text read.
    """
    most = rulebook.requirement("ramp-rise")
    return max(0, math.ceil((rise_mm - most.slack) / most.value))


def run_length(rulebook: Rulebook, rise_mm: float, existing_site: bool) -> float:
    """Give the least level length of a run that climbs a rise, mm.

    Parameters
    ----------
    rulebook, rise_mm, existing_site
        As for `steepest_slope`.

    Source
    ------
    2010 ADA Standards, 405.2: at the steepest slope that may be. Text read.
    """
    return rise_mm / steepest_slope(rulebook, rise_mm, existing_site).value


def longest_going(rulebook: Rulebook, slope: float) -> float:
    """Give the longest level length of one run at a slope, mm; infinite where there is no limit.

    Parameters
    ----------
    rulebook
        Whose values.
    slope
        Rise over run.

    Returns
    -------
    Nought for a slope steeper than any that the rulebook pairs with a going.

    Source
    ------
    Approved Document M, Table 1: 2 m at 1:12, 5 m at 1:15, 10 m at 1:20, and straight between
    these; second-hand. The 2010 ADA Standards have no such limit beside 405.6.
    """
    if "ramp-going" not in rulebook:
        return math.inf
    longest = rulebook.mm("ramp-going")
    if "ramp-going-steepest" not in rulebook:
        return longest
    pairs = [
        (1 / rulebook.slope("ramp-slope"), rulebook.mm("ramp-going-steepest")),
        (1 / rulebook.slope("ramp-slope-middle"), rulebook.mm("ramp-going-middle")),
        (1 / rulebook.slope("ramp-slope-long"), longest),
    ]
    ratio = 1 / slope
    if ratio < pairs[0][0] - 1e-9:
        return 0.0
    for (steep, short), (gentle, far) in pairwise(pairs):
        if ratio <= gentle:
            share = max(0.0, ratio - steep) / (gentle - steep)
            return short + share * (far - short)
    return longest


def longest_run(rulebook: Rulebook, slope: float) -> float:
    """Give the longest level length of one run at a slope, by rise and by going, mm.

    Source
    ------
    2010 ADA Standards, 405.6: 30 in of rise. Text read. Approved Document M, 1.26(c): 500 mm of
    rise; text read; and Table 1, see `longest_going`.
    """
    return min(rulebook.mm("ramp-rise") / slope, longest_going(rulebook, slope))


def cross_slope(rulebook: Rulebook, slope: float) -> Outcome:
    """Judge a ramp by its slope across, rise over run.

    Source
    ------
    2010 ADA Standards, 405.3: 1:48 at most. Text read.
    """
    return rulebook.outcome("ramp-cross-slope", slope)


def clear_width(rulebook: Rulebook, width_mm: float) -> Outcome:
    """Judge a ramp by its clear width, between its handrails where there are any, mm.

    Source
    ------
    2010 ADA Standards, 405.5: 36 in. Text read.
    """
    return rulebook.outcome("ramp-width", width_mm)


def landing_size(rulebook: Rulebook, widest_run_mm: float, turns: bool) -> tuple[float, float]:
    """Give the least width and length of a landing, mm.

    Parameters
    ----------
    rulebook
        Whose values.
    widest_run_mm
        Width of the widest run that leads to it, mm.
    turns
        Whether the way turns on it.

    Source
    ------
    2010 ADA Standards, 405.7.2 to 405.7.4: as wide as the widest run and 60 in long; 60 by 60 in
    where the way turns. Text read.
    """
    width = max(widest_run_mm, rulebook.mm("landing-turn")) if turns else widest_run_mm
    return width, max(rulebook.mm("landing-length"), rulebook.mm("landing-turn") if turns else 0.0)


def landing_slope(rulebook: Rulebook, slope: float) -> Outcome:
    """Judge a landing by its slope, rise over run.

    Source
    ------
    2010 ADA Standards, 405.7.1: 1:48 at most. Text read. Approved Document M, 1.26(k): 1:60 along
    it. Text read.
    """
    return rulebook.outcome("landing-slope", slope)


def landing_edge_free(rulebook: Rulebook, drop_mm: float) -> bool:
    """Say whether a landing's side needs no edge protection because the drop beside it is small.

    Parameters
    ----------
    rulebook
        Whose values.
    drop_mm
        The greatest drop within 10 in of the landing, mm.

    Source
    ------
    2010 ADA Standards, 405.9, exception 3: 1/2 in at most. Text read.
    """
    return rulebook.requirement("ramp-edge-drop").holds(drop_mm)


def edge_protected(rulebook: Rulebook, floor_beyond_mm: float, sphere_passes_mm: float) -> bool:
    """Say whether a side of a ramp is protected in one of the two ways.

    Parameters
    ----------
    rulebook
        Whose values.
    floor_beyond_mm
        How far the floor runs on beyond the inside of the handrail, mm.
    sphere_passes_mm
        Diameter of the largest sphere that rolls off between the floor and a kerb or barrier, mm;
        infinite where there is none.

    Source
    ------
    2010 ADA Standards, 405.9.1 and 405.9.2: 12 in of floor; or a kerb or barrier that a sphere of
    4 in does not pass. Text read.
    """
    floor = rulebook.requirement("ramp-edge-floor").holds(floor_beyond_mm)
    sphere = rulebook.requirement("ramp-edge-sphere")
    return floor or sphere_passes_mm < sphere.value - sphere.slack
