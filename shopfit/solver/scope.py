"""What a bound holds for, in words: the positions tried and the rules as modelled."""

from __future__ import annotations

from shopfit.solver.site import Site
from shopfit.solver.spacing import Spacing, lane_pitch
from shopfit.units import format_length

RULES = (
    "every fixture clear of every other, of doors, panelboards and columns; the aisle's width "
    "clear along every customer front; every front and the staff zone reached at the widths "
    "wanted, staff passing the edge of their zone through a clear square as wide as their aisle, "
    "which also lies behind dividers; rows standing on one another from the lowest level; one "
    "holder a line and kind of face: of those that hold the units wanted in the facings allowed, "
    "or most of them, the one that takes the fewest levels, then the cheapest; new goods on "
    "fixtures and pieces of slat-wall whose middle is within their distance of the entrance; each "
    "facing's goods within the load of the length it takes "
    "up; slat-wall of the sheet cheapest by area, one sheet high, over a fixture or else half a "
    "sheet or a sheet long; islands square with the shop; wishes on where goods stand among one "
    "another and along the way left out, but for heavy goods low, so the bound holds with them too"
)


def grid_in_words(site: Site, spacing: Spacing) -> str:
    """Say which positions are tried, and how islands are spread, alone or in rows too."""
    units = site.scenario.shop.units
    step, apart = format_length(site.step, units), format_length(site.step * spacing.steps, units)
    in_rows = f", and rows of up to {spacing.rows[-1]} gondolas," if spacing.rows else ""
    where = f"every {apart}"
    if spacing.lanes:
        where += f" along lanes {format_length(lane_pitch(site), units)} apart"
    if spacing.beside is not None:
        where += f", and every {format_length(site.step * spacing.beside, units)} both ways"
    return (
        f"fixtures every {step} along walls from their left ends and flush with ends, openings and "
        f"kept-clear floor; dividers every {step}; islands{in_rows} {where}"
    )
