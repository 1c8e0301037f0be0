"""Clauses on handrails and on steps."""

from __future__ import annotations

from collections.abc import Sequence

from shopfit.standards.rulebook import Outcome, Rulebook


def handrail_height(rulebook: Rulebook, height_mm: float) -> tuple[Outcome, ...]:
    """Judge a handrail by the height of its top above slope, landing or nosings, mm.

    Source
    ------
    2010 ADA Standards, 505.4: 34 to 38 in, the same all along. Text read.
    """
    return (
        rulebook.outcome("handrail-low", height_mm),
        rulebook.outcome("handrail-high", height_mm),
    )


def handrail_clearance(rulebook: Rulebook, clear_mm: float) -> Outcome:
    """Judge a handrail by the clear space between it and what is beside it, mm.

    Source
    ------
    2010 ADA Standards, 505.5: 1 1/2 in. Text read.
    """
    return rulebook.outcome("handrail-clear", clear_mm)


def handrail_support(rulebook: Rulebook, share_percent: float) -> Outcome:
    """Judge a handrail by the share of its underside that is obstructed, per cent of its length.

    Source
    ------
    2010 ADA Standards, 505.6: 20 per cent at most. Text read.
    """
    return rulebook.outcome("handrail-supported", share_percent)


def round_section(rulebook: Rulebook, diameter_mm: float) -> tuple[Outcome, ...]:
    """Judge a round handrail by its diameter, mm.

    Source
    ------
    2010 ADA Standards, 505.7.1: 1 1/4 to 2 in. Text read.
    """
    return (
        rulebook.outcome("handrail-round-least", diameter_mm),
        rulebook.outcome("handrail-round-most", diameter_mm),
    )


def other_section(rulebook: Rulebook, perimeter_mm: float, across_mm: float) -> tuple[Outcome, ...]:
    """Judge a handrail that is not round by its perimeter and its greatest width, mm.

    Source
    ------
    2010 ADA Standards, 505.7.2: 4 to 6 1/4 in round, and 2 1/4 in across at most. Text read.
    """
    return (
        rulebook.outcome("handrail-perimeter-least", perimeter_mm),
        rulebook.outcome("handrail-perimeter-most", perimeter_mm),
        rulebook.outcome("handrail-section", across_mm),
    )


def ramp_extension(rulebook: Rulebook, beyond_mm: float) -> Outcome:
    """Judge how far a handrail runs on level beyond a ramp run, mm.

    Source
    ------
    2010 ADA Standards, 505.10.1: 12 in at top and bottom. Text read.
    """
    return rulebook.outcome("handrail-extension", beyond_mm)


def stair_extensions(rulebook: Rulebook, tread_mm: float) -> tuple[float, float]:
    """Give how far a handrail runs on beyond the top and the bottom of steps, mm.

    Parameters
    ----------
    rulebook
        Whose values.
    tread_mm
        Depth of a tread, mm.

    Source
    ------
    2010 ADA Standards, 505.10.2 and 505.10.3: 12 in level at the top; one tread, sloping on, at
    the bottom. Text read.
    """
    return rulebook.mm("handrail-extension-stair"), tread_mm


def flight(
    rulebook: Rulebook, risers_mm: Sequence[float], treads_mm: Sequence[float]
) -> tuple[Outcome, ...]:
    """Judge a flight of steps by its risers and treads, mm; the least and greatest count.

    Source
    ------
    2010 ADA Standards, 504.2: risers of 4 to 7 in, treads of 11 in at least. Text read.
    """
    found = []
    if risers_mm:
        found.append(rulebook.outcome("riser-low", min(risers_mm)))
        found.append(rulebook.outcome("riser-high", max(risers_mm)))
    if treads_mm:
        found.append(rulebook.outcome("tread", min(treads_mm)))
    return tuple(found)


def uneven(rulebook: Rulebook, sizes_mm: Sequence[float]) -> bool:
    """Say whether risers, or treads, of one flight differ from one another, mm.

    Source
    ------
    2010 ADA Standards, 504.2: uniform in a flight. Text read.
    """
    slack = rulebook.requirement("tread").slack
    return bool(sizes_mm) and max(sizes_mm) - min(sizes_mm) > slack


def nosing(rulebook: Rulebook, radius_mm: float, projection_mm: float) -> tuple[Outcome, ...]:
    """Judge a nosing by its radius and its projection, mm.

    Source
    ------
    2010 ADA Standards, 504.5: 1/2 in and 1 1/2 in at most. Text read.
    """
    return (
        rulebook.outcome("nosing-radius", radius_mm),
        rulebook.outcome("nosing-projection", projection_mm),
    )
