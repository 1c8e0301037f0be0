"""Clauses on counters, check-out aisles, fitting rooms, benches and tables."""

from __future__ import annotations

import math

from shopfit.standards.rulebook import Outcome, Rulebook


def low_part(
    rulebook: Rulebook, length_mm: float, height_mm: float, forward: bool, counter_mm: float
) -> tuple[Outcome, ...]:
    """Judge the low part of a counter, which is as deep as the counter.

    Parameters
    ----------
    rulebook
        Whose values.
    length_mm, height_mm
        Of the low part, mm.
    forward
        Whether one drives up to it forward, with room for knees, or stands alongside.
    counter_mm
        Length of the whole counter, mm: a shorter one is low all along.

    Source
    ------
    2010 ADA Standards, 904.4.1 and 904.4.2: 36 in high at most; 36 in long alongside, or 30 in
    forward. Text read.
    """
    kind = "-forward" if forward else ""
    found = [rulebook.outcome(f"counter-height{kind}", height_mm)]
    wanted = rulebook.requirement(f"counter-width{kind}")
    if wanted.holds(counter_mm) or length_mm < counter_mm - wanted.slack:
        found.append(Outcome(wanted, length_mm))
    return tuple(found)


def altered_low_part(rulebook: Rulebook, length_mm: float) -> Outcome:
    """Judge the low part where an alteration would otherwise cut existing counters, mm.

    Source
    ------
    2010 ADA Standards, 904.4, exception: 24 in long. Text read.
    """
    return rulebook.outcome("counter-width-altered", length_mm)


def checkouts_wanted(rulebook: Rulebook, aisles: int, selling_m2: float) -> int:
    """Give how many check-out aisles of one function have to be accessible.

    Parameters
    ----------
    rulebook
        Whose values.
    aisles
        Check-out aisles of the function.
    selling_m2
        Selling space, square metres.

    Source
    ------
    2010 ADA Standards, 227.2 and Table 227.2: 1 of up to 4, 2 of up to 8, 3 of up to 15, then 20
    per cent of those beyond; 1 where the selling space is under 5,000 sq ft; 104.2: counted up.
    Text read.
    """
    if aisles <= 0:
        return 0
    if rulebook.requirement("checkout-small").holds(selling_m2) or aisles <= 4:
        return 1
    if aisles <= 8:
        return 2
    return 3 + max(0, math.ceil((aisles - 15) / 5))


def checkout_counter(
    rulebook: Rulebook, height_mm: float, edge_mm: float = 0.0
) -> tuple[Outcome, ...]:
    """Judge the counter of a check-out aisle by its height and the edge above it, mm.

    Source
    ------
    2010 ADA Standards, 904.3.2: 38 in, and 2 in of edge. Text read.
    """
    return (
        rulebook.outcome("checkout-height", height_mm),
        rulebook.outcome("checkout-edge", edge_mm),
    )


def fitting_shelf(rulebook: Rulebook, height_mm: float) -> tuple[Outcome, ...]:
    """Judge a shelf in a fitting room by its height, mm.

    Source
    ------
    2010 ADA Standards, 803.5: 40 to 48 in. Text read.
    """
    return (
        rulebook.outcome("fitting-shelf-low", height_mm),
        rulebook.outcome("fitting-shelf-high", height_mm),
    )


def bench(
    rulebook: Rulebook, length_mm: float, depth_mm: float, height_mm: float
) -> tuple[Outcome, ...]:
    """Judge a bench by its length, depth and height, mm.

    Source
    ------
    2010 ADA Standards, 903.3 and 903.5: 42 in long, 20 to 24 in deep, 17 to 19 in high. Text read.
    """
    return (
        rulebook.outcome("bench-length", length_mm),
        rulebook.outcome("bench-depth-least", depth_mm),
        rulebook.outcome("bench-depth-most", depth_mm),
        rulebook.outcome("bench-low", height_mm),
        rulebook.outcome("bench-high", height_mm),
    )


def table_height(rulebook: Rulebook, height_mm: float) -> tuple[Outcome, ...]:
    """Judge a table or work surface for customers by its height, mm.

    Source
    ------
    2010 ADA Standards, 902.3: 28 to 34 in. Text read.
    """
    return (
        rulebook.outcome("table-low", height_mm),
        rulebook.outcome("table-high", height_mm),
    )
