"""Loads of fixtures and goods on floors, walls and grooves, and what may tip.

What a floor, a wall or a fixing carries is for the makers and a licensed person to say; these only
set what is planned against usual figures.
"""

from __future__ import annotations

from typing import Literal

from shopfit.standards.rulebook import GRAVITY, Outcome, Rulebook

Storey = Literal["first", "upper", "wholesale"]
_FLOORS = {"first": "floor-load", "upper": "floor-load-upper", "wholesale": "floor-load-wholesale"}


def pressure(mass_kg: float, area_m2: float) -> float:
    """Give the load of a mass spread over an area: kPa."""
    return mass_kg * GRAVITY / area_m2 / 1000


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
