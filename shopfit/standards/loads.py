"""Loads of fixtures and goods on floors, walls and grooves, and what may tip.

What a floor, a wall or a fixing carries is for the makers and a licensed person to say; these only
set what is planned against usual figures.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from shopfit.model.building import Storey
from shopfit.standards.rulebook import GRAVITY, Outcome, Rulebook
from shopfit.units import INCH_MM, TOLERANCE_MM

# Common practice, no source.
SCREW_EDGE_MM = INCH_MM

_FLOORS = {"first": "floor-load", "upper": "floor-load-upper", "wholesale": "floor-load-wholesale"}
# The concentrated load stands on 2 1/2 ft square: International Building Code, 1607.4, from memory.
_SPOT_M2 = (2.5 * 0.3048) ** 2


def floor_key(storey: Storey) -> str:
    """Give the key of the live load that the floor of a shop is planned for."""
    return _FLOORS[storey]


def on_one_spot(mass_kg: float, area_m2: float) -> float:
    """Give the mass, kg, that stands on 2 1/2 ft square of the floor.

    Parameters
    ----------
    mass_kg, area_m2
        Of a fixture with its goods, spread evenly, and of its footprint.

    Source
    ------
    International Building Code, 1607.4: 2 1/2 ft square. From memory.
    """
    return mass_kg * min(1.0, _SPOT_M2 / area_m2)


def pressure(mass_kg: float, area_m2: float) -> float:
    """Give the load of a mass spread over an area: kPa."""
    return mass_kg * GRAVITY / area_m2 / 1000


def mass_under(kpa: float, area_m2: float) -> float:
    """Give the mass, kg, that weighs so many kPa on an area: `pressure` the other way round."""
    return kpa * 1000 * area_m2 / GRAVITY


def within_floor_load(rulebook: Rulebook, mass_kg: float, area_m2: float, storey: Storey) -> bool:
    """Say whether fixtures and goods stay within the live load that shop floors are planned for.

    Parameters
    ----------
    rulebook
        Whose values.
    mass_kg, area_m2
        Of fixtures and goods, and of the floor that they stand on, with the aisles before them.
    storey
        The first floor, an upper one, or that of a wholesale shop.

    Source
    ------
    International Building Code, Table 1607.1: 100, 75 and 125 psf. From memory.
    """
    limit = rulebook.requirement(_FLOORS[storey])
    return pressure(mass_kg, area_m2) <= limit.value + limit.slack


def within_point_load(rulebook: Rulebook, mass_kg: float) -> bool:
    """Say whether a mass on one small spot, kg, stays within the concentrated load of shop floors.

    Source
    ------
    International Building Code, Table 1607.1: 1,000 lb. From memory.
    """
    limit = rulebook.requirement("floor-load-point")
    return mass_kg <= limit.value + limit.slack


def stud_lines(
    left_mm: float, right_mm: float, first_stud_mm: float, spacing_mm: float
) -> list[float]:
    """List the studs behind a stretch of wall: their offsets, mm.

    Parameters
    ----------
    left_mm, right_mm
        Ends of the stretch along the wall, mm.
    first_stud_mm, spacing_mm
        Where any one stud is, and how far the others are apart, mm.
    """
    first = math.ceil((left_mm - first_stud_mm - TOLERANCE_MM) / spacing_mm)
    last = math.floor((right_mm - first_stud_mm + TOLERANCE_MM) / spacing_mm)
    return [first_stud_mm + k * spacing_mm for k in range(first, last + 1)]


def shares(lines_mm: Sequence[float], at_mm: float) -> list[float]:
    """Share out a load between lines of screws: by the lever between the two nearest.

    What hangs beyond the outermost line is carried by it alone.

    Parameters
    ----------
    lines_mm
        Offsets of the lines in order, mm; at least one.
    at_mm
        Offset of the load, mm.

    Returns
    -------
    The part that each line carries; together 1.
    """
    found = [0.0] * len(lines_mm)
    if at_mm <= lines_mm[0]:
        found[0] = 1.0
    elif at_mm >= lines_mm[-1]:
        found[-1] = 1.0
    else:
        for k, (left, right) in enumerate(pairwise(lines_mm)):
            if left <= at_mm <= right:
                found[k + 1] = (at_mm - left) / (right - left)
                found[k] = 1.0 - found[k + 1]
                break
    return found


def spread(lines_mm: Sequence[float], left_mm: float, right_mm: float) -> list[float]:
    """Share out a load spread evenly from one offset to another: see `shares`."""
    middles = [(a + b) / 2 for a, b in pairwise(lines_mm)]
    edges = [left_mm, *(min(max(middle, left_mm), right_mm) for middle in middles), right_mm]
    return [(b - a) / (right_mm - left_mm) for a, b in pairwise(edges)]


def screws_up(rulebook: Rulebook, height_mm: float) -> int:
    """Count the screws up one stud in a sheet of some height, mm; one in a strip too low for two.

    Source
    ------
    Common practice, no source: a screw every foot, the first and the last an inch from the edges.
    """
    between = height_mm - 2 * SCREW_EDGE_MM
    if between <= 0:
        return 1
    return max(2, math.ceil(between / rulebook.mm("screw-spacing") - 1e-9) + 1)


def pull_at_top(moment_nm: float, height_mm: float) -> float:
    """Give the force, N, that a moment, Nm, pulls the upper edge of a sheet off the wall with.

    The sheet turns about its lower edge.
    """
    return moment_nm / (height_mm / 1000)


def screw_lines(rulebook: Rulebook, left_mm: float, right_mm: float, first_stud_mm: float) -> int:
    """Count the studs that a stretch of slat-wall is screwed to.

    Parameters
    ----------
    rulebook
        Whose values.
    left_mm, right_mm
        Ends of the stretch along the wall, mm.
    first_stud_mm
        Where any one stud is, mm; the others follow at the usual spacing.

    Source
    ------
    Common practice, no source: a screw at every stud, 16 in apart. Find the studs.
    """
    spacing = rulebook.mm("stud-spacing")
    slack = rulebook.requirement("stud-spacing").slack
    before = (left_mm - first_stud_mm - slack) // spacing
    return max(0, round((right_mm - first_stud_mm + slack) // spacing - before))


def load_per_line(mass_kg: float, lines: int) -> float | None:
    """Give the mass that each line of screws carries, kg, or none where there is no line."""
    return mass_kg / lines if lines > 0 else None


def groove_margin(groove_load_kg_per_m: float, mass_kg: float, length_mm: float) -> float:
    """Give how much more a groove carries, kg; negative where it carries too much.

    Parameters
    ----------
    groove_load_kg_per_m
        What the maker says that a groove carries, kg per metre.
    mass_kg, length_mm
        Goods and brackets on it, and the length that they take up.
    """
    return groove_load_kg_per_m * length_mm / 1000 - mass_kg


def bracket_margin(bracket_load_kg: float, brackets: int, mass_kg: float) -> float:
    """Give how much more some brackets carry, kg; negative where they carry too much.

    Parameters
    ----------
    bracket_load_kg
        What the maker says that one carries, kg.
    brackets, mass_kg
        How many share the goods, and their mass.
    """
    return bracket_load_kg * brackets - mass_kg


def tipping(rulebook: Rulebook, height_mm: float, depth_mm: float) -> Outcome:
    """Set the height of something loose against its depth, mm: what is slender can be pulled over.

    Source
    ------
    Common practice, no source: fasten what is more than three times as high as it is deep.
    """
    return rulebook.outcome("tipping", height_mm / depth_mm)


def push_to_tip(mass_kg: float, base_mm: float, at_mm: float) -> float:
    """Give the sideways force, N, that tips something over, if it does not slide first.

    Parameters
    ----------
    mass_kg
        Its mass with its goods, kg.
    base_mm
        From under the middle of its mass to the edge that it tips over, mm.
    at_mm
        Height at which it is pushed, mm.
    """
    return mass_kg * GRAVITY * max(base_mm, 0.0) / at_mm
