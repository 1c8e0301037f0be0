"""Sets two layouts side by side."""

from __future__ import annotations

import math

from shopfit.model.layout import Layout, Placement, Slot
from shopfit.model.scenario import Scenario
from shopfit.model.schedule import (
    CategoryChange,
    Comparison,
    FixtureChange,
    ShoppingChange,
    ShoppingRow,
)
from shopfit.quantities.takeoff import take_off
from shopfit.units import TOLERANCE_MM

SAME_ANGLE_DEG = 0.01


def compare(
    scenario_a: Scenario, layout_a: Layout, scenario_b: Scenario, layout_b: Layout
) -> Comparison:
    """Compare two layouts, of one scenario or of two.

    Facings, value and cost are recounted, whatever the layouts claim. Fixtures are matched by
    their id in the catalogue, first where they stand alike and then by the least distance, so
    that other tags alone are no difference.

    Parameters
    ----------
    scenario_a, layout_a
        The first.
    scenario_b, layout_b
        The second.

    Raises
    ------
    InputFaults
        If a layout names what its scenario does not hold.
    """
    off_a, off_b = take_off(scenario_a, layout_a), take_off(scenario_b, layout_b)
    facings_a, facings_b = _by_category(layout_a), _by_category(layout_b)
    categories = dict.fromkeys((*scenario_a.categories, *scenario_b.categories))
    for category in (*facings_a, *facings_b):
        categories.setdefault(category)
    return Comparison(
        facings=(sum(facings_a.values()), sum(facings_b.values())),
        units=(
            sum(slot.units for slot in _slots(layout_a)),
            sum(slot.units for slot in _slots(layout_b)),
        ),
        value=(_value(scenario_a, layout_a), _value(scenario_b, layout_b)),
        cost=(off_a.total, off_b.total),
        categories=tuple(
            CategoryChange(
                category=category,
                before=facings_a.get(category, 0),
                after=facings_b.get(category, 0),
            )
            for category in categories
        ),
        fixtures=_fixture_changes(scenario_a, layout_a, scenario_b, layout_b),
        shopping=_shopping_changes(off_a.shopping, off_b.shopping),
    )


def _slots(layout: Layout) -> list[Slot]:
    return [slot for block in layout.blocks for row in block.rows for slot in row.slots]


def _by_category(layout: Layout) -> dict[str, int]:
    facings: dict[str, int] = {}
    for block in layout.blocks:
        shown = sum(slot.facings for row in block.rows for slot in row.slots)
        facings[block.category] = facings.get(block.category, 0) + shown
    return facings


def _value(scenario: Scenario, layout: Layout) -> float:
    values = {line.line: line.value for line in scenario.lines}
    return sum(slot.facings * values[slot.line] for slot in _slots(layout))


def _fixture_changes(
    scenario_a: Scenario, layout_a: Layout, scenario_b: Scenario, layout_b: Layout
) -> tuple[FixtureChange, ...]:
    names = {
        fixture.id: fixture.name or fixture.id
        for scenario in (scenario_b, scenario_a)
        for fixture in scenario.catalogue.fixtures
    }
    changes: list[FixtureChange] = []
    kinds = dict.fromkeys(p.fixture for p in (*layout_a.placements, *layout_b.placements))
    for kind in kinds:
        before = [p for p in layout_a.placements if p.fixture == kind]
        after = [p for p in layout_b.placements if p.fixture == kind]
        for one, other in matched(before, after):
            distance, turn = apart(one, other), turned(one, other)
            before.remove(one)
            after.remove(other)
            if distance > TOLERANCE_MM or abs(turn) > SAME_ANGLE_DEG:
                changes.append(
                    FixtureChange(
                        change="moved",
                        fixture=kind,
                        name=names[kind],
                        tag_before=one.id,
                        tag_after=other.id,
                        moved_mm=distance,
                        turned_deg=turn,
                    )
                )
        changes += [
            FixtureChange(change="removed", fixture=kind, name=names[kind], tag_before=p.id)
            for p in before
        ]
        changes += [
            FixtureChange(change="added", fixture=kind, name=names[kind], tag_after=p.id)
            for p in after
        ]
    return tuple(changes)


def matched(before: list[Placement], after: list[Placement]) -> list[tuple[Placement, Placement]]:
    """Pair placements, the least distance and turn first."""
    pairs = sorted(
        (apart(one, other), abs(turned(one, other)), i, j)
        for i, one in enumerate(before)
        for j, other in enumerate(after)
    )
    taken_before: set[int] = set()
    taken_after: set[int] = set()
    matched = []
    for _, _, i, j in pairs:
        if i not in taken_before and j not in taken_after:
            taken_before.add(i)
            taken_after.add(j)
            matched.append((before[i], after[j]))
    return matched


def apart(one: Placement, other: Placement) -> float:
    """Give how far the back left corners of two placements are apart, mm."""
    return math.hypot(other.x_mm - one.x_mm, other.y_mm - one.y_mm)


def turned(one: Placement, other: Placement) -> float:
    """Give how far one placement is turned to be the other, from -180 to 180 degrees."""
    return (other.angle_deg - one.angle_deg + 180.0) % 360.0 - 180.0


def _shopping_changes(
    before: tuple[ShoppingRow, ...], after: tuple[ShoppingRow, ...]
) -> tuple[ShoppingChange, ...]:
    first, second = ({row.item: row for row in rows} for rows in (before, after))
    changes = []
    for item in dict.fromkeys((*first, *second)):
        one, other = first.get(item), second.get(item)
        named = one or other
        assert named is not None
        packs = (one.packs if one else 0, other.packs if other else 0)
        totals = (one.total if one else 0.0, other.total if other else 0.0)
        if packs[0] != packs[1] or abs(totals[0] - totals[1]) > 0.005:
            changes.append(
                ShoppingChange(
                    item=item,
                    name=named.name,
                    kind=named.kind,
                    packs_before=packs[0],
                    packs_after=packs[1],
                    total_before=totals[0],
                    total_after=totals[1],
                )
            )
    return tuple(changes)
