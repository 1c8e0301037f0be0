"""Clauses on the clear height below sprinklers and ceilings."""

from __future__ import annotations

from dataclasses import dataclass

from shopfit.standards.rulebook import Requirement, Rulebook


@dataclass(frozen=True)
class GoodsTop:
    """How high goods may stand.

    Parameters
    ----------
    most_mm
        Above the floor, mm.
    requirement
        The gap that it comes from.
    """

    most_mm: float
    requirement: Requirement


def below_sprinklers(rulebook: Rulebook, deflector_mm: float) -> GoodsTop:
    """Give how high goods may stand anywhere in a room with sprinklers.

    The gap is taken as a plane over the whole room. The fire code lets shelves along walls that are
    not under a sprinkler rise above it; the one who looks after the sprinklers decides.

    Parameters
    ----------
    rulebook
        Whose values.
    deflector_mm
        Height of the lowest deflector above the floor, mm.

    Source
    ------
    29 CFR 1910.159(c)(10): 18 in, read in an OSHA letter of 2008. International Fire Code, 2018,
    315.3.1, exception 2: not along walls. Text read.
    """
    gap = rulebook.requirement("sprinkler-gap")
    return GoodsTop(deflector_mm - gap.value, gap)


def below_ceiling(rulebook: Rulebook, ceiling_mm: float, along_wall: bool) -> GoodsTop | None:
    """Give how high goods may stand in a room without sprinklers, or none along walls.

    Parameters
    ----------
    rulebook
        Whose values.
    ceiling_mm
        Height of the ceiling, mm.
    along_wall
        Whether they stand on shelves along a wall.

    Source
    ------
    International Fire Code, 2018, 315.3.1: 24 in below the ceiling, exception 1: not along walls.
    Text read.
    """
    if along_wall:
        return None
    gap = rulebook.requirement("ceiling-gap")
    return GoodsTop(ceiling_mm - gap.value, gap)
