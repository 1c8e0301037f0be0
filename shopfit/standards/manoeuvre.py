"""Clauses on the floor before doors: the whole tables of manoeuvring clearances, and recesses."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from shopfit.standards.rulebook import Outcome, Rulebook

Approach = Literal["front", "hinge", "latch"]


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
    depth_key, beside_key
        Keys of the depth, and of what is wanted beyond a jamb, if anything is.
    """

    hinge_side_mm: float
    latch_side_mm: float
    depth_mm: float
    clause: str
    depth_key: str = ""
    beside_key: str = ""


def swinging_door(
    rulebook: Rulebook, approach: Approach, pull: bool, closer: bool, latch: bool
) -> tuple[Manoeuvre, ...]:
    """Give the floor kept clear before a swinging door; any one of those given is enough.

    Parameters
    ----------
    rulebook
        Whose values.
    approach
        From the front, or along the wall from the hinge side or the latch side.
    pull
        Whether on the side where it is pulled.
    closer, latch
        Whether it has them.

    Source
    ------
    2010 ADA Standards, Table 404.2.4.1 with its notes: 12 in more beside a pushed door with closer
    and latch (1), 6 in more depth at the hinge side with both (2), and at the latch side with a
    closer (4). Text read; where a figure differs, the table governs (104.3).
    """
    if approach == "front":
        latch_key = "door-push-latch-closer" if closer and latch else "door-push-latch"
        if pull:
            return (_floor(rulebook, "door-pull-depth", latch="door-pull-latch"),)
        return (_floor(rulebook, "door-push-depth", latch=latch_key),)
    with_closer = "-closer" if closer else ""
    if approach == "latch":
        depth = f"door-latch-{'pull' if pull else 'push'}-depth{with_closer}"
        return (_floor(rulebook, depth, latch="door-latch-beyond"),)
    if pull:
        return (
            _floor(rulebook, "door-hinge-pull-depth", latch="door-hinge-pull-latch"),
            _floor(rulebook, "door-hinge-pull-depth-wide", latch="door-hinge-pull-latch-wide"),
        )
    both = "-closer" if closer and latch else ""
    return (_floor(rulebook, f"door-hinge-push-depth{both}", hinge="door-hinge-push-hinge"),)


def other_doorway(
    rulebook: Rulebook, approach: Approach, width_mm: float, sliding: bool
) -> tuple[Manoeuvre, ...]:
    """Give the floor kept clear before a sliding or folding door, or a doorway without a door.

    Parameters
    ----------
    rulebook
        Whose values.
    approach
        From the front, or along the wall: from the side into which the door slides or folds
        (``hinge``), or from the other (``latch``); both are alike where there is no door.
    width_mm
        Width of the doorway, mm.
    sliding
        Whether there is a sliding or folding door.

    Returns
    -------
    Nothing for a doorway that is wide and has no door.

    Source
    ------
    2010 ADA Standards, Table 404.2.4.2, for doorways less than 36 in wide without doors, and for
    sliding and folding doors. Text read.
    """
    if not sliding and not rulebook.requirement("doorway-wide").holds(width_mm):
        return ()
    if approach == "front":
        return (_floor(rulebook, "doorway-depth", latch="doorway-beside"),)
    if not sliding:
        return (_floor(rulebook, "doorway-side-depth", latch="doorway-beside"),)
    if approach == "hinge":
        return (_floor(rulebook, "doorway-side-depth", hinge="doorway-pocket-beyond"),)
    return (_floor(rulebook, "doorway-side-depth", latch="doorway-latch-beyond"),)


def is_recessed(rulebook: Rulebook, stands_out_mm: float, beside_mm: float) -> bool:
    """Say whether something beside the latch makes a door recessed.

    A recessed door wants the floor of an approach from the front, whatever way one comes.

    Parameters
    ----------
    rulebook
        Whose values.
    stands_out_mm
        How far the thing stands out beyond the face of the door, on the side one comes from, mm.
    beside_mm
        How far it is from the latch side of the doorway, mm.

    Source
    ------
    2010 ADA Standards, 404.2.4.3: within 18 in of the latch side, and more than 8 in beyond the
    face of the door. Text read.
    """
    near = rulebook.requirement("recess-beside").holds(beside_mm)
    return near and rulebook.requirement("recess-deep").holds(stands_out_mm)


def room_between(rulebook: Rulebook, leaves_mm: float) -> float:
    """Give the room wanted between two doors in series, mm.

    Parameters
    ----------
    rulebook
        Whose values.
    leaves_mm
        Width of the leaves that swing into the room between, added up, mm.

    Source
    ------
    2010 ADA Standards, 404.2.6: 48 in and the width of any door that swings into the space. Text
    read.
    """
    return rulebook.mm("doors-apart") + leaves_mm


def floor_slope(rulebook: Rulebook, slope: float) -> Outcome:
    """Judge the floor kept clear before a door by its slope, rise over run.

    Source
    ------
    2010 ADA Standards, 404.2.4.4: 1:48 at most. Text read.
    """
    return rulebook.outcome("door-floor-slope", slope)


def _floor(rulebook: Rulebook, depth: str, hinge: str = "", latch: str = "") -> Manoeuvre:
    return Manoeuvre(
        rulebook.mm(hinge) if hinge else 0.0,
        rulebook.mm(latch) if latch else 0.0,
        rulebook.mm(depth),
        rulebook.requirement(depth).clause,
        depth,
        hinge or latch,
    )
