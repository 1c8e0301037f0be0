"""What the range asks for by category, beside what the shell may give and what was shown."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from shopfit.model.layout import Layout
from shopfit.model.range import Line
from shopfit.model.scenario import Scenario
from shopfit.units import FOOT_MM


@dataclass(frozen=True)
class CategoryTotal:
    """What one category asks for.

    Parameters
    ----------
    category, lines
        Its name, and how many lines it has.
    fewest, most
        Facings wanted.
    face_fewest, face_most
        The face these take, width times height of a row, mm².
    shown
        Facings in the layout, or none before there is one.
    """

    category: str
    lines: int
    fewest: int
    most: int
    face_fewest: float
    face_most: float
    shown: int | None


def category_totals(lines: Iterable[Line], layout: Layout | None) -> list[CategoryTotal]:
    """Add up what each category asks for, in the order of the range."""
    from shopfit.bench.capacity import hangs, wanted_area

    groups: dict[str, list[Line]] = {}
    for line in lines:
        groups.setdefault(line.category, []).append(line)
    shown = facings_shown(layout) if layout is not None else None
    return [
        CategoryTotal(
            category,
            len(group),
            sum(line.min_facings for line in group),
            sum(line.max_facings for line in group),
            sum(line.min_facings * wanted_area(line, hangs(line)) for line in group),
            sum(line.max_facings * wanted_area(line, hangs(line)) for line in group),
            None if shown is None else sum(shown.get(line.line, 0) for line in group),
        )
        for category, group in groups.items()
    ]


def facings_shown(layout: Layout) -> dict[str, int]:
    """Count the facings of each line in a layout."""
    found: dict[str, int] = {}
    for block in layout.blocks:
        for row in block.rows:
            for slot in row.slots:
                found[slot.line] = found.get(slot.line, 0) + slot.facings
    return found


def face_possible(scenario: Scenario) -> float | None:
    """Estimate the face that the shell can give, mm²; none where that cannot be told.

    The estimate is of base cabinets along walls, slat-wall above them, and rows of islands.
    """
    from shopfit.bench.capacity import capacity

    catalogue = scenario.catalogue
    cabinets = [f for f in catalogue.fixtures if f.kind == "base-cabinet"]
    if not catalogue.sheets or not cabinets or not cabinets[0].faces:
        return None
    return capacity(scenario.shop, catalogue).total


def area_words(area_mm2: float, metric: bool) -> str:
    """Write a face's area in square feet or square metres."""
    if metric:
        return f"{_rounded(area_mm2 / 1e6, 1)} m²"
    return f"{_rounded(area_mm2 / FOOT_MM**2, 0)} sq ft"


def _rounded(area: float, decimals: int) -> str:
    """Write an area with few decimals; what is there but would be written as nought has more."""
    least = 10**-decimals
    return f"{area:,.{decimals}f}" if not 0 < area < least else f"{area:.1g}"
