"""Clauses on doors: clear opening, and floor kept clear before a door."""

from __future__ import annotations

from dataclasses import dataclass

from shopfit.model.shell import Door
from shopfit.standards.rulebook import Requirement, Rulebook


@dataclass(frozen=True)
class Manoeuvre:
    """Floor that a wheelchair user needs before a door.

    Parameters
    ----------
    hinge_side_mm, latch_side_mm
        How far beyond the jambs, mm.
    depth_mm
        Out from the wall, mm.
    clause
        Where the values come from.
    """

    hinge_side_mm: float
    latch_side_mm: float
    depth_mm: float
    clause: str


def approach_keys(door: Door, inside: bool) -> tuple[str, str]:
    """Give the keys of the depth and of the latch-side value that apply to one side of a door.

    Parameters
    ----------
    door
        Which.
    inside
        Whether the side inside the door's own room is asked for; a door that swings in is pulled
        on that side.
    """
    if door.swing in ("sliding", "none"):
        return "doorway-depth", "doorway-beside"
    if (door.swing == "in") == inside:
        return "door-pull-depth", "door-pull-latch"
    latch = "door-push-latch-closer" if door.closer and door.latch else "door-push-latch"
    return "door-push-depth", latch


def front_approach(rulebook: Rulebook, door: Door, inside: bool) -> Manoeuvre:
    """Give the floor to be kept clear before a door for a front approach, mm.

    Parameters
    ----------
    rulebook
        Whose values.
    door
        Which door.
    inside
        Whether on the side of the door's own room, or beyond it.

    Source
    ------
    2010 ADA Standards, Table 404.2.4.1 (swing doors; pull 60 in deep and 18 in beyond the latch,
    push 48 in deep and, with closer and latch, 12 in) and Table 404.2.4.2 (sliding doors and open
    doorways; 48 in deep). Text read.
    """
    depth, latch = approach_keys(door, inside)
    return Manoeuvre(
        0.0, rulebook.mm(latch), rulebook.mm(depth), rulebook.requirement(depth).clause
    )


def clear_opening(rulebook: Rulebook, door: Door) -> Requirement:
    """Give the least clear opening of a door, mm; the widest that applies.

    Source
    ------
    2010 ADA Standards, 404.2.3: 32 in; 36 in where the opening is more than 24 in deep. Text
    read. Where the rulebook has a value for doors used by the public (Approved Document M,
    volume 2, Table 2), that one for an entrance.
    """
    keys = ["door-width"]
    if door.depth > rulebook.mm("door-deep"):
        keys.append("door-width-deep")
    if door.use == "entrance" and "door-width-public" in rulebook:
        keys.append("door-width-public")
    return max((rulebook.requirement(key) for key in keys), key=lambda wanted: wanted.value)
