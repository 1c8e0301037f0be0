"""Clauses on people in a shop and their ways out.

Model code and federal rules for employees; what applies is what the place has adopted, and the
building department or a licensed designer decides.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from shopfit.standards.rulebook import Outcome, Rulebook


def occupants(rulebook: Rulebook, sales_m2: float, stock_m2: float = 0.0) -> int:
    """Give how many people a shop is reckoned to hold; parts of a person are counted up.

    Parameters
    ----------
    rulebook
        Whose values.
    sales_m2, stock_m2
        Gross floor of the shop and of its stock rooms, square metres.

    Source
    ------
    International Building Code, 2015, Table 1004.1.2: 60 sq ft a person, 300 in stock rooms.
    Change summary read; the rule of rounding was not read.
    """
    people = sales_m2 / rulebook.number("occupant-area", "m2")
    people += stock_m2 / rulebook.number("occupant-area-stock", "m2")
    return math.ceil(people - 1e-9)


def exits_wanted(rulebook: Rulebook, people: int) -> int:
    """Give the least number of exits by the number of people.

    One exit has to keep its way short as well: see `one_exit`.

    Source
    ------
    International Building Code, 1006.2.1 and 1006.3.2: two from 50 people, three over 500, four
    over 1,000. From memory.
    """
    keys = ("one-exit-people", "two-exits-people", "three-exits-people")
    return 1 + sum(not rulebook.requirement(key).holds(people) for key in keys)


def exits_apart(
    rulebook: Rulebook, apart_mm: float, diagonal_mm: float, sprinklers: bool
) -> Outcome:
    """Judge the distance between two exits that are both wanted.

    Parameters
    ----------
    rulebook
        Whose values.
    apart_mm
        Straight between the two, mm.
    diagonal_mm
        Greatest straight distance across the floor that they serve, mm.
    sprinklers
        Whether there are sprinklers all over.

    Source
    ------
    International Building Code, 1007.1.1: half the diagonal, a third with sprinklers. From memory.
    """
    key = "exits-apart-sprinklers" if sprinklers else "exits-apart"
    return rulebook.outcome(key, apart_mm / diagonal_mm)


def balance(rulebook: Rulebook, widths_mm: Sequence[float], wanted_mm: float) -> Outcome:
    """Judge what is left of the width wanted of ways out when the widest of several is lost.

    Source
    ------
    International Building Code, 1005.5: half. From memory.
    """
    left = sum(widths_mm) - max(widths_mm)
    return rulebook.outcome("egress-balance", 100 * left / wanted_mm)


def way_out_width(rulebook: Rulebook, people: int, stairs: bool = False) -> float:
    """Give the least width of a way out by the number of people, mm.

    The least of the part itself, such as 32 in for a door, still holds.

    Source
    ------
    International Building Code, 1005.3: 0.2 in a person, 0.3 in on stairs. Older text read.
    """
    return people * rulebook.mm("egress-width-stairs" if stairs else "egress-width-person")


def one_exit(rulebook: Rulebook, people: int, path_mm: float) -> tuple[Outcome, ...]:
    """Judge a space with one exit; both have to be met.

    Parameters
    ----------
    rulebook
        Whose values.
    people
        In the space.
    path_mm
        Common path of egress travel: the longest way on which there is no choice, mm.

    Source
    ------
    International Building Code, 1006.2.1, Group M: 49 people and 75 ft. From memory.
    """
    return (
        rulebook.outcome("one-exit-people", people),
        rulebook.outcome("one-exit-path", path_mm),
    )


def travel_distance(rulebook: Rulebook, distance_mm: float, sprinklers: bool) -> Outcome:
    """Judge the longest way to an exit, along the way really walked, mm.

    Source
    ------
    International Building Code, 1017.2, Group M: 200 ft, or 250 ft with sprinklers. From memory.
    """
    key = "travel-distance-sprinklers" if sprinklers else "travel-distance"
    return rulebook.outcome(key, distance_mm)


def dead_end(rulebook: Rulebook, length_mm: float, sprinklers: bool) -> Outcome:
    """Judge a dead end by its length, mm.

    Source
    ------
    International Building Code, 1020.5: 20 ft, or 50 ft in Groups B and M with sprinklers. From
    memory.
    """
    return rulebook.outcome("dead-end-sprinklers" if sprinklers else "dead-end", length_mm)


def corridor(rulebook: Rulebook, width_mm: float, people: int) -> Outcome:
    """Judge a corridor by its width, mm, and the people that it serves.

    Source
    ------
    International Building Code, 1020.3: 44 in, or 36 in for under 50 people. From memory.
    """
    few = rulebook.requirement("egress-few").holds(people)
    return rulebook.outcome("corridor-width-few" if few else "corridor-width", width_mm)


def aisle(rulebook: Rulebook, width_mm: float, people: int, public: bool = True) -> Outcome:
    """Judge an aisle as a way out by its clear width, mm.

    Parameters
    ----------
    rulebook
        Whose values.
    width_mm
        Clear width, mm.
    people
        That it serves.
    public
        Whether others than staff use it.

    Source
    ------
    International Building Code, 1018.3, as adopted by California in 2013: 36 in; 28 in where it
    serves under 50 people and not the public. Text read.
    """
    few = not public and rulebook.requirement("egress-few").holds(people)
    return rulebook.outcome("egress-aisle-staff" if few else "egress-aisle", width_mm)


def door_swings_out(rulebook: Rulebook, people: int) -> bool:
    """Say whether a door has to swing the way that people leave.

    Source
    ------
    International Building Code, 1010.1.2.1: from 50 people. From memory.
    """
    return rulebook.requirement("door-swings-out").holds(people)


def exit_access(rulebook: Rulebook, width_mm: float, ceiling_mm: float) -> tuple[Outcome, ...]:
    """Judge a way to an exit for employees by its width and its ceiling, mm.

    Source
    ------
    29 CFR 1910.36(g): 28 in wide, 7 ft 6 in high. Text read in a reprint.
    """
    return (
        rulebook.outcome("exit-width", width_mm),
        rulebook.outcome("exit-ceiling", ceiling_mm),
    )


def guard_wanted(rulebook: Rulebook, drop_mm: float) -> bool:
    """Say whether a drop, mm, within 36 in of an open edge wants a guard.

    Source
    ------
    International Building Code, 1015.2: more than 30 in. Text read as adopted by New York City.
    """
    return rulebook.requirement("guard-drop").holds(drop_mm)


def guard(rulebook: Rulebook, height_mm: float, sphere_passes_mm: float) -> tuple[Outcome, ...]:
    """Judge a guard by its height and by the largest sphere that passes it, mm.

    Source
    ------
    International Building Code, 1015.3 and 1015.4: 42 in high; a sphere of 4 in does not pass, up
    to 36 in high. From memory.
    """
    return (
        rulebook.outcome("guard-height", height_mm),
        rulebook.outcome("guard-sphere", sphere_passes_mm),
    )
