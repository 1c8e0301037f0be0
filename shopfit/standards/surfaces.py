"""Clauses on floors: openings, changes in level, turning and clear spaces, room under things."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from shopfit.standards.rulebook import Outcome, Rulebook

Treatment = Literal["none", "bevel", "ramp"]


@dataclass(frozen=True)
class ClearFloor:
    """Floor kept clear for one wheelchair.

    Parameters
    ----------
    across_mm, along_mm
        Across the chair and along it, mm.
    clause
        Where the values come from.
    """

    across_mm: float
    along_mm: float
    clause: str


def opening(rulebook: Rulebook, sphere_mm: float) -> Outcome:
    """Judge an opening in a floor by the diameter of the sphere that passes it, mm.

    Source
    ------
    2010 ADA Standards, 302.3: 1/2 in at most. Text read.
    """
    return rulebook.outcome("floor-opening", sphere_mm)


def carpet(rulebook: Rulebook, pile_mm: float) -> Outcome:
    """Judge a carpet by the height of its pile, mm.

    Source
    ------
    2010 ADA Standards, 302.2: 1/2 in at most. Text read.
    """
    return rulebook.outcome("carpet-pile", pile_mm)


def level_change(rulebook: Rulebook, rise_mm: float) -> Treatment:
    """Say what a change in level of so much, mm, wants: nothing, a bevel, or a ramp.

    Source
    ------
    2010 ADA Standards, 303.2 to 303.4: up to 1/4 in vertical, up to 1/2 in bevelled, above that a
    ramp. Text read.
    """
    if rulebook.requirement("level-vertical").holds(rise_mm):
        return "none"
    return "bevel" if rulebook.requirement("level-without-ramp").holds(rise_mm) else "ramp"


def bevel(rulebook: Rulebook, slope: float) -> Outcome:
    """Judge a bevel by its slope, rise over run.

    Source
    ------
    2010 ADA Standards, 303.3: not steeper than 1:2. Text read.
    """
    return rulebook.outcome("level-bevel", slope)


def turning_circle(rulebook: Rulebook, diameter_mm: float) -> Outcome:
    """Judge a round turning space by its diameter, mm.

    Source
    ------
    2010 ADA Standards, 304.3.1: 60 in. Text read.
    """
    return rulebook.outcome("turning-circle", diameter_mm)


def turning_tee(
    rulebook: Rulebook,
    square_mm: float,
    lane_mm: float,
    arm_length_mm: float,
    base_length_mm: float,
) -> tuple[Outcome, ...]:
    """Judge a T-shaped turning space; all of its measures have to be met.

    Parameters
    ----------
    rulebook
        Whose values.
    square_mm
        Side of the square that it lies in, mm.
    lane_mm
        Width of its arms and its base, the least of them, mm.
    arm_length_mm, base_length_mm
        Clear length of each arm, the lesser, and of the base, mm.

    Source
    ------
    2010 ADA Standards, 304.3.2: within a square of 60 in; arms and base 36 in wide, arms clear for
    12 in each way and the base for 24 in. Text read.
    """
    return (
        rulebook.outcome("turning-tee", square_mm),
        rulebook.outcome("turning-tee-arm", lane_mm),
        rulebook.outcome("turning-tee-arm-length", arm_length_mm),
        rulebook.outcome("turning-tee-base-length", base_length_mm),
    )


def clear_floor(rulebook: Rulebook, forward: bool, alcove_mm: float = 0.0) -> ClearFloor:
    """Give the clear floor that one wheelchair needs before something.

    Parameters
    ----------
    rulebook
        Whose values.
    forward
        Whether one drives up to it forward, or stands alongside.
    alcove_mm
        How deep the floor is enclosed on three sides, mm.

    Source
    ------
    2010 ADA Standards, 305.3 and 305.7: 30 by 48 in; in an alcove more than 24 in deep, entered
    forward, 36 in wide; in one more than 15 in deep, entered sideways, 60 in along. Text read.
    """
    across, along = rulebook.requirement("clear-width"), rulebook.requirement("clear-length")
    if forward and rulebook.requirement("alcove-forward-deep").holds(alcove_mm):
        wide = rulebook.requirement("alcove-forward-width")
        return ClearFloor(wide.value, along.value, wide.clause)
    if not forward and rulebook.requirement("alcove-side-deep").holds(alcove_mm):
        wide = rulebook.requirement("alcove-side-width")
        return ClearFloor(across.value, wide.value, wide.clause)
    return ClearFloor(across.value, along.value, across.clause)


def knee_room(
    rulebook: Rulebook, width_mm: float, depth_low_mm: float, depth_high_mm: float
) -> tuple[Outcome, ...]:
    """Judge the room for knees under something.

    Parameters
    ----------
    rulebook
        Whose values.
    width_mm
        Of the room, mm.
    depth_low_mm, depth_high_mm
        Its depth 9 in and 27 in above the floor, mm.

    Source
    ------
    2010 ADA Standards, 306.3.3 and 306.3.5: 30 in wide; 11 in deep 9 in up and 8 in deep 27 in
    up. Text read.
    """
    return (
        rulebook.outcome("knee-width", width_mm),
        rulebook.outcome("knee-depth-low", depth_low_mm),
        rulebook.outcome("knee-depth-high", depth_high_mm),
    )


def counted_toe_depth(rulebook: Rulebook, toe_mm: float, knee_mm: float) -> float:
    """Give how much of the depth for toes counts, mm.

    Parameters
    ----------
    rulebook
        Whose values.
    toe_mm
        Depth up to 9 in above the floor, mm.
    knee_mm
        Depth for knees, 9 in above the floor, mm.

    Source
    ------
    2010 ADA Standards, 306.2.2 and 306.2.4: 25 in at most, and no more than 6 in beyond the room
    for knees. Text read.
    """
    most = rulebook.mm("toe-depth-counted")
    return min(toe_mm, most, knee_mm + rulebook.mm("toe-beyond-knee"))


def toe_room(
    rulebook: Rulebook, width_mm: float, toe_mm: float, knee_mm: float
) -> tuple[Outcome, ...]:
    """Judge the room for toes under something; depths as in `counted_toe_depth`.

    Source
    ------
    2010 ADA Standards, 306.2.3 and 306.2.5: 17 in deep and 30 in wide. Text read.
    """
    return (
        rulebook.outcome("toe-width", width_mm),
        rulebook.outcome("toe-depth", counted_toe_depth(rulebook, toe_mm, knee_mm)),
    )
