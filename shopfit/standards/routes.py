"""Clauses on ways: their width, slope and passing spaces, and what has to be on one."""

from __future__ import annotations

import math

from shopfit.standards.rulebook import Outcome, Rulebook


def clear_width(
    rulebook: Rulebook,
    width_mm: float,
    length_mm: float = math.inf,
    apart_mm: float = math.inf,
) -> Outcome:
    """Judge a stretch of a way by its clear width; a short one may be a pinch.

    Parameters
    ----------
    rulebook
        Whose values.
    width_mm
        Clear width of the stretch, mm.
    length_mm
        Its length, mm.
    apart_mm
        How far the nearest other pinch is, along a way of full width, mm.

    Source
    ------
    2010 ADA Standards, 403.5.1: 36 in; 32 in for at most 24 in, such pinches at least 48 in apart.
    Text read.
    """
    short = rulebook.requirement("pinch-length").holds(length_mm)
    apart = rulebook.requirement("pinch-apart").holds(apart_mm)
    return rulebook.outcome("pinch-width" if short and apart else "route-width", width_mm)


def passing_spaces(rulebook: Rulebook, width_mm: float, length_mm: float) -> int:
    """Give how many passing spaces a way wants.

    Parameters
    ----------
    rulebook
        Whose values.
    width_mm
        Its least clear width, mm.
    length_mm
        Its length without a passing space, mm.

    Source
    ------
    2010 ADA Standards, 403.5.3: on ways less than 60 in wide at most 200 ft apart. Text read.
    """
    if not rulebook.requirement("passing-width").holds(width_mm):
        return 0
    interval = rulebook.requirement("passing-interval")
    return max(0, math.ceil((length_mm - interval.slack) / interval.value) - 1)


def passing_space(rulebook: Rulebook, width_mm: float, length_mm: float) -> tuple[Outcome, ...]:
    """Judge a rectangular passing space by its sides, mm.

    Source
    ------
    2010 ADA Standards, 403.5.3: 60 in by 60 in. Text read.
    """
    return (
        rulebook.outcome("passing-side", width_mm),
        rulebook.outcome("passing-side", length_mm),
    )


def walking_surface(rulebook: Rulebook, slope: float, cross_slope: float) -> tuple[Outcome, ...]:
    """Judge a floor that is no ramp by its slopes along and across, rise over run.

    Source
    ------
    2010 ADA Standards, 403.3: 1:20 along and 1:48 across at most. Text read.
    """
    return (
        rulebook.outcome("walk-slope", slope),
        rulebook.outcome("cross-slope", cross_slope),
    )


def staff_path_wanted(rulebook: Rulebook, area_m2: float, fixed_bounds: bool) -> bool:
    """Say whether a staff area wants an accessible path through it.

    One has to be able to approach, enter and leave it all the same.

    Parameters
    ----------
    rulebook
        Whose values.
    area_m2
        Its floor, square metres.
    fixed_bounds
        Whether permanently installed counters, casework or partitions bound it.

    Source
    ------
    2010 ADA Standards, 206.2.8, exception 1: none in areas of less than 1,000 sq ft bounded by what
    is permanently installed; 203.9. Text read.
    """
    return not (fixed_bounds and rulebook.requirement("staff-area").holds(area_m2))


def raised_area_exempt(rulebook: Rulebook, area_m2: float, height_mm: float) -> bool:
    """Say whether a raised staff area, whose height its work needs, may be off the route.

    Parameters
    ----------
    rulebook
        Whose values.
    area_m2, height_mm
        Its floor, square metres, and how high it is raised, mm.

    Source
    ------
    2010 ADA Standards, 203.9: less than 300 sq ft, raised 7 in or more. Text read.
    """
    small = rulebook.requirement("raised-area").holds(area_m2)
    return small and rulebook.requirement("raised-height").holds(height_mm)


def entrances_wanted(rulebook: Rulebook, entrances: int) -> int:
    """Give how many of the public entrances have to be accessible.

    Source
    ------
    2010 ADA Standards, 206.4.1 and 206.4.5: 60 per cent, and at least one for each tenant; 104.2:
    counted up. Text read.
    """
    share = rulebook.number("entrances", "percent") / 100
    least = round(rulebook.number("entrances-tenant", "count"))
    return min(entrances, max(least, math.ceil(entrances * share - 1e-9)))


def fitting_rooms_wanted(rulebook: Rulebook, rooms: int) -> int:
    """Give how many fitting rooms of one kind in one group have to be accessible.

    Source
    ------
    2010 ADA Standards, 222.1: 5 per cent, and at least one; 104.2: counted up. Text read.
    """
    share = rulebook.number("fitting-share", "percent") / 100
    least = round(rulebook.number("fitting-least", "count"))
    return min(rooms, max(least, math.ceil(rooms * share - 1e-9)))
