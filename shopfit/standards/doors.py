"""Clauses on doors: clear opening, and floor kept clear before a door."""

from __future__ import annotations

from dataclasses import replace

from shopfit.model.openings import Door
from shopfit.standards.manoeuvre import Approach, Manoeuvre, other_doorway, swinging_door
from shopfit.standards.rulebook import Requirement, Rulebook

APPROACHES: tuple[Approach, ...] = ("front", "hinge", "latch")


def is_pulled(door: Door, inside: bool) -> bool:
    """Say whether a swinging door is pulled by who comes from one side; inside is its own room."""
    return (door.swing == "in") == inside


def front_approach(rulebook: Rulebook, door: Door, inside: bool) -> Manoeuvre:
    """Give the floor that a layout keeps clear before a door, mm.

    It is that of a front approach, unless the door says that people come along the wall.

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
    stated = door.approach if inside else door.approach_beyond
    return floors_for(rulebook, door, inside, "front" if stated == "any" else stated)[0]


def floors_for(
    rulebook: Rulebook, door: Door, inside: bool, approach: Approach
) -> tuple[Manoeuvre, ...]:
    """Give the floors before a door for one way of coming to it; any one of them is enough, mm.

    Parameters
    ----------
    rulebook, door, inside
        As for `front_approach`.
    approach
        From the front, or along the wall.

    Source
    ------
    2010 ADA Standards, Tables 404.2.4.1 and 404.2.4.2; 404.2.2: one leaf of a double door. Text
    read. Wide doorways without a door keep the floor of narrow ones: a rule of the house, for what
    stands in a doorway is in everybody's way.
    """
    if door.swing in ("in", "out"):
        pull = is_pulled(door, inside)
        found = swinging_door(rulebook, approach, pull, door.closer, door.latch)
    else:
        narrow = min(door.width, rulebook.mm("doorway-wide") - 1.0)
        found = other_doorway(rulebook, approach, narrow, door.swing == "sliding")
    # The other leaf gives the room beside the latch of the first.
    spare = door.width - door.active_width
    return tuple(replace(one, latch_side_mm=max(one.latch_side_mm - spare, 0.0)) for one in found)


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
