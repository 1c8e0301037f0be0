"""Changes a clean shop inside its margins: whatever is found afterwards is invented."""

from __future__ import annotations

import math
from collections.abc import Callable
from random import Random
from typing import Any

from shopfit.model.layout import Block, Layout
from shopfit.model.openings import Window
from shopfit.model.scenario import Scenario

from . import build as b

Pair = tuple[Scenario, Layout]
Change = Callable[[Scenario, Layout, Random], Pair]
ROUTE_MM = 36 * 25.4  # 2010 ADA Standards, 403.5.1


def turned(scenario: Scenario, layout: Layout, degrees: float, east: float, north: float) -> Pair:
    """Carry a whole shop somewhere else on the plan and turn it, mm and degrees."""
    turn = math.radians(degrees)
    cos, sin = math.cos(turn), math.sin(turn)

    def carried(point: tuple[float, float]) -> tuple[float, float]:
        x, y = point
        return (cos * x - sin * y + east, sin * x + cos * y + north)

    shop = scenario.shop
    rooms = tuple(
        room.model_copy(
            update={
                "corners": tuple(carried(corner) for corner in room.corners),
                "start": carried(room.start),
                "heading": room.heading + degrees,
            }
        )
        for room in shop.rooms
    )
    zones = tuple(
        zone.model_copy(update={"corners": tuple(carried(corner) for corner in zone.corners)})
        for zone in shop.zones
    )
    columns = tuple(
        one.model_copy(update={"at": carried(one.at), "turn": one.turn + degrees})
        for one in shop.columns
    )
    moved = shop.model_copy(update={"rooms": rooms, "zones": zones, "columns": columns})
    placements = []
    for one in layout.placements:
        x, y = carried((one.x_mm, one.y_mm))
        update = {"x_mm": x, "y_mm": y, "angle_deg": one.angle_deg + degrees}
        placements.append(one.model_copy(update=update))
    return (
        scenario.model_copy(update={"shop": moved}),
        layout.model_copy(update={"placements": tuple(placements)}),
    )


def carried_off(scenario: Scenario, layout: Layout, dice: Random) -> Pair:
    """Turn the plan by any angle, and carry it as far as ten metres."""
    east, north = dice.uniform(-1e4, 1e4), dice.uniform(-1e4, 1e4)
    return turned(scenario, layout, dice.uniform(-180.0, 180.0), east, north)


def modest_aisle(scenario: Scenario, layout: Layout, dice: Random) -> Pair:
    """Ask for a narrower aisle than is there."""
    brief = scenario.shop.brief
    aisle = dice.uniform(min(ROUTE_MM, brief.aisle), brief.aisle)
    staff = dice.uniform(0.9, 1.0) * brief.staff_aisle
    return b.briefed(scenario, aisle=aisle, staff_aisle=staff), layout


def slimmer_goods(scenario: Scenario, layout: Layout, dice: Random) -> Pair:
    """Measure every line a little lower, shallower and lighter."""
    lines = tuple(
        line.model_copy(
            update={
                name: getattr(line, name) * dice.uniform(0.8, 1.0)
                for name in ("height", "depth", "weight")
            }
        )
        for line in scenario.lines
    )
    return scenario.model_copy(update={"lines": lines}), layout


def easier_range(scenario: Scenario, layout: Layout, dice: Random) -> Pair:
    """Ask for fewer facings and units at least, and allow more."""
    lines = tuple(
        line.model_copy(
            update={
                "min_facings": dice.randrange(0, line.min_facings + 1),
                "max_facings": line.max_facings + dice.randrange(0, 5),
                "holding": dice.randrange(0, line.holding + 1),
            }
        )
        for line in scenario.lines
    )
    return scenario.model_copy(update={"lines": lines}), layout


def stronger_things(scenario: Scenario, layout: Layout, dice: Random) -> Pair:
    """Buy brackets and sheets that carry more, and find more of everything to be had."""
    catalogue = scenario.catalogue
    more = dice.uniform(1.0, 3.0)
    changed = catalogue.model_copy(
        update={
            "fixtures": tuple(
                one.model_copy(update={"available": one.available + dice.randrange(0, 9)})
                for one in catalogue.fixtures
            ),
            "brackets": tuple(
                one.model_copy(update={"load": one.load * more}) for one in catalogue.brackets
            ),
            "sheets": tuple(
                one.model_copy(update={"groove_load": one.groove_load * more})
                for one in catalogue.sheets
            ),
        }
    )
    return scenario.model_copy(update={"catalogue": changed}), layout


def enough_money(scenario: Scenario, layout: Layout, dice: Random) -> Pair:
    """Have just the money that it costs, or more."""
    cost = sum(one.total for one in layout.purchases)
    return b.briefed(scenario, budget=cost * dice.choice((1.0, dice.uniform(1.0, 2.0)))), layout


def slid(scenario: Scenario, layout: Layout, dice: Random) -> Pair:
    """Slide goods along their row as far as the next goods or the end of the block."""
    return scenario, _each_block(layout, lambda block: _slid(block, dice))


def _slid(block: Block, dice: Random) -> Block:
    rows = []
    for row in block.rows:
        slots = sorted(row.slots, key=lambda slot: slot.from_mm)
        start = block.from_mm
        for n, slot in enumerate(slots):
            left = sum(later.to_mm - later.from_mm for later in slots[n:])
            room = max(block.to_mm - start - left, 0.0)
            begin = start + room * dice.random() if room > 0.01 else slot.from_mm
            width = slot.to_mm - slot.from_mm
            slots[n] = slot.model_copy(update={"from_mm": begin, "to_mm": begin + width})
            start = begin + width
        rows.append(row.model_copy(update={"slots": tuple(slots)}))
    return block.model_copy(update={"rows": tuple(rows)})


def hung_higher(scenario: Scenario, layout: Layout, dice: Random) -> Pair:
    """Raise every run and its rows, and the highest place of goods with them."""
    by = dice.uniform(0.0, 150.0)
    lifted = layout
    for run in layout.runs:
        lifted = b.rehung(
            lifted,
            run.id,
            bottom_mm=run.bottom_mm + by,
            top_mm=run.top_mm + by,
            first_groove_mm=run.first_groove_mm + by,
        )
    hosts = {run.id for run in layout.runs}

    def raised(block: Block) -> Block:
        if block.host not in hosts:
            return block
        rows = tuple(
            row.model_copy(update={"bottom_mm": row.bottom_mm + by, "top_mm": row.top_mm + by})
            for row in block.rows
        )
        return block.model_copy(update={"rows": rows})

    top = scenario.shop.brief.display_top + by
    return b.briefed(scenario, display_top=top), _each_block(lifted, raised)


def shuffled(scenario: Scenario, layout: Layout, dice: Random) -> Pair:
    """Write everything down in another order."""
    update: dict[str, Any] = {}
    for name in ("placements", "runs", "blocks", "cuts", "purchases"):
        items = list(getattr(layout, name))
        dice.shuffle(items)
        update[name] = tuple(items)
    return scenario, layout.model_copy(update=update)


def hair(scenario: Scenario, layout: Layout, dice: Random) -> Pair:
    """Round every place on the floor to less than the tolerance."""
    placements = tuple(
        one.model_copy(
            update={
                "x_mm": one.x_mm + dice.uniform(-0.002, 0.002),
                "y_mm": one.y_mm + dice.uniform(-0.002, 0.002),
            }
        )
        for one in layout.placements
    )
    return scenario, layout.model_copy(update={"placements": placements})


def window_elsewhere(scenario: Scenario, layout: Layout, dice: Random) -> Pair:
    """Find a window just over a run, touching it."""
    if not layout.runs:
        return scenario, layout
    run = dice.choice(layout.runs)
    window = Window(
        id="elsewhere",
        wall=run.wall,
        offset=b.mm(run.from_mm),
        width=b.mm(run.to_mm - run.from_mm),
        sill=b.mm(run.top_mm),
        head=b.mm(run.top_mm + dice.uniform(1.0, 400.0)),
    )
    shop = scenario.shop.model_copy(update={"windows": (*scenario.shop.windows, window)})
    return scenario.model_copy(update={"shop": shop}), layout


def _each_block(layout: Layout, change: Callable[[Block], Block]) -> Layout:
    return layout.model_copy(update={"blocks": tuple(change(block) for block in layout.blocks)})


CHANGES: tuple[Change, ...] = (
    carried_off,
    modest_aisle,
    slimmer_goods,
    easier_range,
    stronger_things,
    enough_money,
    slid,
    hung_higher,
    shuffled,
    hair,
    window_elsewhere,
)


def changed(scenario: Scenario, layout: Layout, dice: Random) -> Pair:
    """Change a clean shop in one to six ways, each inside its margins."""
    # In a fixed order, since a window may stand only over where its run hangs in the end.
    for index in sorted(dice.sample(range(len(CHANGES)), dice.randrange(1, 7))):
        change = CHANGES[index]
        scenario, layout = change(scenario, layout, dice)
    return scenario, layout
