"""Takes goods out of fixtures that are heavier than the floor was designed for."""

from __future__ import annotations

from collections.abc import Iterator

from shopfit.affording.trim import claims_anew, missing, one_facing_less, slots_of, worth
from shopfit.geometry.footprint import footprint
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario
from shopfit.quantities.takeoff import complete
from shopfit.solver.keptwishes import broken_in
from shopfit.standards import loads

# Masses that are as good as none, kg.
_LITTLE_KG = 1e-6


def lightened(scenario: Scenario, layout: Layout) -> Layout:
    """Take out what is worth least for its mass until each fixture is light enough, where it can.

    A fixture that minimums or wishes keep too heavy stays as it is, for the checks to tell.

    Parameters
    ----------
    scenario, layout
        What was designed for what, and what stands where, with cuts and purchases.
    """
    floor = scenario.shop.building.floor
    if floor.live_load is None or floor.under == "slab":
        return layout
    before = layout
    for placement in layout.placements:
        fixture = scenario.catalogue.fixture(placement.fixture)
        area = footprint(fixture, placement).area / 1e6
        most = loads.mass_under(floor.live_load, area) - fixture.weight
        layout = _light_enough(scenario, layout, placement.id, most) or layout
    return before if layout is before else complete(scenario, layout)


def _light_enough(scenario: Scenario, layout: Layout, tag: str, most: float) -> Layout | None:
    """Take out goods of one fixture until they weigh no more than so many kg, or give none."""
    short, broken = missing(scenario, layout), broken_in(scenario, layout)
    while (over := _mass(scenario, layout, tag) - most) > _LITTLE_KG:
        known = worth(scenario, layout)
        found = [
            (known - worth(scenario, less), saved, less)
            for saved, less in _lighter(scenario, layout, tag)
            if missing(scenario, less) <= short and broken_in(scenario, less) <= broken
        ]
        if not found:
            return None
        _, _, layout = max(
            found, key=lambda each: (min(each[1], over) / max(each[0], 1e-6), each[1])
        )
    return layout


def _lighter(scenario: Scenario, layout: Layout, tag: str) -> Iterator[tuple[float, Layout]]:
    """Give every way to take one facing out of a fixture, with the mass that goes, kg."""
    now = _mass(scenario, layout, tag)
    for block in layout.blocks:
        for index, row in enumerate(block.rows if block.host == tag else ()):
            for slot in row.slots:
                less = one_facing_less(layout, block, index, slot)
                saved = now - _mass(scenario, less, tag)
                if saved > _LITTLE_KG:
                    yield saved, claims_anew(scenario, less)


def _mass(scenario: Scenario, layout: Layout, tag: str) -> float:
    """Give the mass of the goods of a fixture, kg."""
    weights = {line.line: line.weight for line in scenario.lines}
    return sum(slot.units * weights[slot.line] for slot in slots_of(layout, tag))
