"""Counts the wishes on the places of goods that a finished layout does not meet."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

from shopfit.geometry.faceplace import entrances, face_places, station
from shopfit.geometry.shell import survey
from shopfit.geometry.touching import block_places, groups, touching
from shopfit.geometry.wallface import faces
from shopfit.model.brief import Merchandising
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario
from shopfit.units import TOLERANCE_MM


def wishes(rules: Merchandising) -> bool:
    """Say whether the brief wishes anything of places of goods among one another."""
    return bool(rules.blocks or rules.touch or rules.apart or rules.order)


def disorder(rules: Merchandising, reach: Mapping[str, tuple[float, float]]) -> int:
    """Count the neighbours of lists that do not come one after the other.

    Parameters
    ----------
    rules
        The wishes.
    reach
        Nearest and farthest face of each category shown along the customer's way, mm.
    """
    return sum(
        reach[earlier][1] > reach[later][0] + TOLERANCE_MM
        for chain in rules.order
        for earlier, later in pairwise([name for name in chain if name in reach])
    )


def broken_in(scenario: Scenario, layout: Layout) -> int:
    """Count the wishes on places of goods among one another that a layout does not meet.

    Of a category in too many groups every group too many counts, of all else every pair.

    Parameters
    ----------
    scenario, layout
        Which; every name of the layout is known.
    """
    rules, shell = scenario.brief.merchandising, survey(scenario.shop)
    # How far goods stand out does not matter for where a face is.
    places = face_places(scenario, layout, shell, faces(scenario, layout, 0.0))
    blocks = block_places(layout, places)
    pairs = touching(blocks, places)
    met = {frozenset((one.category, other.category)) for one, other in pairs}
    many = sum(
        max(0, len(groups([b for b in blocks if b.category == name], pairs)) - most)
        for name, most in rules.blocks.items()
    )
    parted = sum(frozenset(pair) not in met for pair in rules.touch)
    together = sum(frozenset(pair) in met for pair in rules.apart)
    doors = entrances(scenario.shop, shell)
    reach: dict[str, tuple[float, float]] = {}
    for block in blocks:
        at = station(places[block.face].middle, rules.way, doors)
        if at is not None:
            near, far = reach.get(block.category, (at, at))
            reach[block.category] = (min(near, at), max(far, at))
    return many + parted + together + disorder(rules, reach)
