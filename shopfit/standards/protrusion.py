"""Clauses on things that stick out into a path, or hang over it."""

from __future__ import annotations

import math

from shopfit.standards.rulebook import Outcome, Rulebook


def projection_limit(rulebook: Rulebook, edge_mm: float, below_mm: float = 0.0) -> float:
    """Give how far a thing may stand out of a wall into a circulation path, mm.

    Parameters
    ----------
    rulebook
        Whose values.
    edge_mm
        Height of its leading edge above the floor, mm.
    below_mm
        How far something that a cane finds, with its edge at 27 in or lower, stands out below it,
        mm.

    Source
    ------
    2010 ADA Standards, 307.2: 4 in at most where the leading edge is more than 27 in and not more
    than 80 in above the floor. Text read.
    """
    if not _in_the_way(rulebook, edge_mm):
        return math.inf
    return max(rulebook.mm("protrusion"), below_mm)


def headroom(rulebook: Rulebook, height_mm: float, closer: bool = False) -> Outcome:
    """Judge the height of what is over a way, mm; a door's closer or stop may be lower.

    Source
    ------
    2010 ADA Standards, 307.4: 80 in; 78 in under closers and stops. Text read.
    """
    return rulebook.outcome("headroom-closer" if closer else "headroom", height_mm)


def post_overhang(rulebook: Rulebook, overhang_mm: float, edge_mm: float) -> Outcome | None:
    """Judge something on a post by its overhang into a way, mm, or none where it may be any.

    Parameters
    ----------
    rulebook
        Whose values.
    overhang_mm
        Beyond the post, mm.
    edge_mm
        Height of its leading edge, mm.

    Source
    ------
    2010 ADA Standards, 307.3: 12 in at most between 27 and 80 in above the floor. Text read.
    """
    if not _in_the_way(rulebook, edge_mm):
        return None
    return rulebook.outcome("post-overhang", overhang_mm)


def handrail_projection(rulebook: Rulebook, projection_mm: float) -> Outcome:
    """Judge how far a handrail stands out into a way, mm.

    Source
    ------
    2010 ADA Standards, 307.2, exception: 4 1/2 in at most. Text read.
    """
    return rulebook.outcome("protrusion-handrail", projection_mm)


def between_posts(rulebook: Rulebook, edge_mm: float, apart_mm: float) -> bool:
    """Say whether what hangs between two posts may hang there.

    Parameters
    ----------
    rulebook
        Whose values.
    edge_mm
        Height of its lowest edge, mm.
    apart_mm
        Clear gap between the posts, mm.

    Source
    ------
    2010 ADA Standards, 307.3: where the posts are more than 12 in apart, at or below 27 in, or at
    or above 80 in. Text read.
    """
    if not rulebook.requirement("posts-apart").holds(apart_mm):
        return True
    low = not rulebook.requirement("protrusion-from").holds(edge_mm)
    return low or rulebook.requirement("headroom").holds(edge_mm)


def _in_the_way(rulebook: Rulebook, edge_mm: float) -> bool:
    above = rulebook.requirement("protrusion-from").holds(edge_mm)
    return above and rulebook.requirement("protrusion-to").holds(edge_mm)
