"""Plants faults whose answer is known by plain arithmetic, without a look at what checks do.

Every plant takes a clean scenario and layout and gives them back with one fault of a known
size, the codes by which it may be called, and a name that the finding has to speak of.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from random import Random
from typing import Any

from shopfit.geometry.footprint import footprint
from shopfit.model.layout import Block, Layout, Placement, Row, Slot
from shopfit.model.openings import Window
from shopfit.model.scenario import Scenario
from shopfit.model.shell import Column

from . import build as b


@dataclass(frozen=True)
class Planted:
    """A fault, and how the witness may call it.

    Parameters
    ----------
    scenario, layout
        With the fault.
    codes
        Any of these names it.
    about
        What the subject or the sentence of the finding must speak of.
    """

    scenario: Scenario
    layout: Layout
    codes: frozenset[str]
    about: str


@dataclass(frozen=True)
class Bed:
    """A clean shop to plant in, and a die.

    Parameters
    ----------
    scenario, layout
        Content in every check, at the very limits.
    dice
        Every choice is drawn from it.
    """

    scenario: Scenario
    layout: Layout
    dice: Random

    def past(self) -> float:
        """Draw how far past a limit, mm: as often a hair as half a metre."""
        return round(0.05 * 10 ** self.dice.uniform(0.0, 4.0), 3)

    def planted(self, codes: str, about: str, **parts: Any) -> Planted:
        """Give the fault with the parts that changed."""
        return Planted(
            parts.get("scenario", self.scenario),
            parts.get("layout", self.layout),
            frozenset(codes.split()),
            about,
        )

    def moved(self, one: Placement, east: float, north: float, along: float = 0.0) -> Layout:
        """Move a placement, and its offset by as much as it goes along its wall."""
        update: dict[str, Any] = {"x_mm": one.x_mm + east, "y_mm": one.y_mm + north}
        if one.offset_mm is not None:
            update["offset_mm"] = one.offset_mm + along
        return b.moved(self.layout, one.id, **update)

    def on_walls(self) -> list[Placement]:
        """List what stands against walls."""
        return [one for one in self.layout.placements if one.wall is not None]

    def width(self, one: Placement) -> float:
        """Give the width of what is placed, mm."""
        return self.scenario.catalogue.fixture(one.fixture).width


Plant = Callable[[Bed], Planted | None]


def _along(one: Placement) -> tuple[float, float]:
    turn = math.radians(one.angle_deg)
    return math.cos(turn), math.sin(turn)


def _out(one: Placement) -> tuple[float, float]:
    """Point from the back of a placement to its front, which lies to the right of its width."""
    east, north = _along(one)
    return north, -east


def _any(bed: Bed, items: list[Any]) -> Any:
    return bed.dice.choice(items) if items else None


# What stands on the floor.


def into_neighbour(bed: Bed) -> Planted | None:
    """Push a fixture along its wall into the one flush beside it."""
    standing = bed.on_walls()
    pairs = [
        (one, other)
        for one in standing
        for other in standing
        if one.wall == other.wall
        and one.offset_mm is not None
        and other.offset_mm is not None
        and abs(one.offset_mm + bed.width(one) - other.offset_mm) < 1e-6
    ]
    pair = _any(bed, pairs)
    if pair is None:
        return None
    one, other = pair
    by = min(bed.past(), bed.width(other) / 2)
    east, north = _along(one)
    return bed.planted("overlap", one.id, layout=bed.moved(one, east * by, north * by, by))


def into_wall(bed: Bed) -> Planted | None:
    """Push a fixture backwards into its wall."""
    one, by = _any(bed, bed.on_walls()), bed.past()
    if one is None:
        return None
    east, north = _out(one)
    return bed.planted(
        "outside-room back-off-wall", one.id, layout=bed.moved(one, -east * by, -north * by)
    )


def off_wall(bed: Bed) -> Planted | None:
    """Pull a fixture off the wall that it says it stands against."""
    one, by = _any(bed, bed.on_walls()), bed.past()
    if one is None:
        return None
    east, north = _out(one)
    return bed.planted("back-off-wall", one.id, layout=bed.moved(one, east * by, north * by))


def askew(bed: Bed) -> Planted | None:
    """Turn a fixture about its back left corner, either way."""
    one = _any(bed, bed.on_walls())
    if one is None:
        return None
    turn = bed.dice.choice((-1, 1)) * bed.dice.uniform(0.2, 60.0)
    layout = b.moved(bed.layout, one.id, angle_deg=one.angle_deg + turn)
    return bed.planted("outside-room back-off-wall overlap", one.id, layout=layout)


def false_offset(bed: Bed) -> Planted | None:
    """Write down another offset than where the fixture stands."""
    one, by = _any(bed, bed.on_walls()), bed.past()
    if one is None or one.offset_mm is None:
        return None
    layout = b.moved(bed.layout, one.id, offset_mm=one.offset_mm + by)
    return bed.planted("offset beyond-wall", one.id, layout=layout)


def onto_another(bed: Bed) -> Planted | None:
    """Stand a fixture where another one stands, turned as that one is."""
    if len(bed.layout.placements) < 2:
        return None
    one, other = bed.dice.sample(bed.layout.placements, 2)
    layout = b.moved(
        bed.layout, one.id, x_mm=other.x_mm, y_mm=other.y_mm, angle_deg=other.angle_deg
    )
    return bed.planted("overlap", one.id, layout=layout)


def out_of_the_shop(bed: Bed) -> Planted | None:
    """Carry a fixture out of the door."""
    one = _any(bed, list(bed.layout.placements))
    away = bed.dice.uniform(50_000.0, 90_000.0)
    return bed.planted("outside-room", one.id, layout=bed.moved(one, away, away))


def column_inside(bed: Bed) -> Planted | None:
    """Find a column in the middle of a fixture."""
    one = _any(bed, list(bed.layout.placements))
    centre = footprint(bed.scenario.catalogue.fixture(one.fixture), one).centroid
    side = bed.dice.uniform(1.0, 300.0)
    post = Column(id="post", at=b.mm(centre.x, centre.y), size=b.mm(side, side))
    shop = bed.scenario.shop.model_copy(update={"columns": (*bed.scenario.shop.columns, post)})
    return bed.planted("overlap", one.id, scenario=bed.scenario.model_copy(update={"shop": shop}))


def column_before(bed: Bed) -> Planted | None:
    """Find a column just before a front, closer than the aisle that is asked for."""
    fixtures = bed.scenario.catalogue
    shown = [
        one
        for one in bed.on_walls()
        if any(face.side == "front" for face in fixtures.fixture(one.fixture).faces)
    ]
    one = _any(bed, shown)
    if one is None:
        return None
    fixture = fixtures.fixture(one.fixture)
    (ae, an), (oe, on) = _along(one), _out(one)
    side = bed.dice.uniform(5.0, 120.0)
    # The nearest edge lies before the front by less than the aisle.
    clear = bed.dice.uniform(0.0, bed.scenario.shop.brief.aisle - 0.1)
    out = fixture.depth + clear + side / 2
    at = bed.dice.uniform(side, fixture.width - side)
    post = Column(
        id="post",
        at=b.mm(one.x_mm + ae * at + oe * out, one.y_mm + an * at + on * out),
        size=b.mm(side, side),
        turn=one.angle_deg,
    )
    shop = bed.scenario.shop.model_copy(update={"columns": (*bed.scenario.shop.columns, post)})
    return bed.planted(
        "aisle route-width", one.id, scenario=bed.scenario.model_copy(update={"shop": shop})
    )


def in_the_doorway(bed: Bed) -> Planted | None:
    """Stand a fixture in the entrance: every door wants 48 in or more of floor before it."""
    door = bed.scenario.shop.doors[0]
    islands = [one for one in bed.layout.placements if one.wall is None]
    one = _any(bed, islands or list(bed.layout.placements))
    before = _before_door(bed, door.wall, door.offset + door.width / 2, bed.dice.uniform(0, 900))
    if before is None:
        return None
    layout = b.moved(bed.layout, one.id, x_mm=before[0], y_mm=before[1], wall=None, offset_mm=None)
    return bed.planted("door-space outside-room", one.id, layout=layout)


def _before_door(bed: Bed, wall: str, at: float, out: float) -> tuple[float, float] | None:
    from shopfit.geometry.shell import survey

    found = {line.id: line for line in survey(bed.scenario.shop).walls}
    return found[wall].point(at, out) if wall in found else None


def deeper(bed: Bed) -> Planted | None:
    """Buy a kind of fixture deeper than drawn, where the aisle before one is only just wide."""
    tight = [one for one in bed.on_walls() if _faces_another(bed, one)]
    one = _any(bed, tight)
    if one is None:
        return None
    by = min(bed.past(), 300.0)
    depth = bed.scenario.catalogue.fixture(one.fixture).depth
    scenario = b.refitted(bed.scenario, one.fixture, depth=depth + by)
    return bed.planted("aisle overlap outside-room", one.id, scenario=scenario)


def _faces_another(bed: Bed, one: Placement) -> bool:
    """Say whether something stands just the aisle away before the front, to a hundredth."""
    catalogue = bed.scenario.catalogue
    own = catalogue.fixture(one.fixture)
    if not any(face.side == "front" for face in own.faces):
        return False
    (ae, an), (oe, on) = _along(one), _out(one)
    for other in bed.layout.placements:
        if other.id == one.id:
            continue
        shape = footprint(catalogue.fixture(other.fixture), other)
        corners = [(x - one.x_mm, y - one.y_mm) for x, y in shape.exterior.coords]
        outs = [x * oe + y * on for x, y in corners]
        alongs = [x * ae + y * an for x, y in corners]
        beside = min(alongs) < own.width - 1.0 and max(alongs) > 1.0
        gap = min(outs) - own.depth
        if beside and abs(gap - bed.scenario.shop.brief.aisle) < 0.01:
            return True
    return False


def wider_aisle(bed: Bed) -> Planted | None:
    """Ask for a wider aisle than was set out."""
    if not any(_faces_another(bed, one) for one in bed.on_walls()):
        return None
    aisle = bed.scenario.shop.brief.aisle + min(bed.past(), 400.0)
    return bed.planted("aisle", "", scenario=b.briefed(bed.scenario, aisle=aisle))


def too_few_to_be_had(bed: Bed) -> Planted | None:
    """Find that fewer of a fixture can be had than stand."""
    one = _any(bed, list(bed.layout.placements))
    count = sum(other.fixture == one.fixture for other in bed.layout.placements)
    owned = bed.scenario.catalogue.fixture(one.fixture).owned
    if owned >= count:
        return None
    left = bed.dice.randrange(0, count - owned)
    scenario = b.refitted(bed.scenario, one.fixture, available=left)
    return bed.planted("available", one.fixture, scenario=scenario)


def one_tag_twice(bed: Bed) -> Planted | None:
    """Give two fixtures one tag."""
    if len(bed.layout.placements) < 2:
        return None
    one, other = bed.dice.sample(bed.layout.placements, 2)
    layout = b.moved(bed.layout, one.id, id=other.id)
    return bed.planted("tag-twice", other.id, layout=layout)


def without_a_host(bed: Bed) -> Planted | None:
    """Take away a fixture that goods stand on."""
    block = _any(bed, [x for x in bed.layout.blocks if not x.host.startswith("R")])
    if block is None:
        return None
    kept = tuple(one for one in bed.layout.placements if one.id != block.host)
    layout = bed.layout.model_copy(update={"placements": kept})
    return bed.planted("unknown-name", block.host, layout=layout)


def unknown_fixture(bed: Bed) -> Planted | None:
    """Name a fixture that the list does not have."""
    one = _any(bed, list(bed.layout.placements))
    layout = b.moved(bed.layout, one.id, fixture="no-such")
    return bed.planted("unknown-name", "no-such", layout=layout)


# What hangs on walls.


def _run(bed: Bed) -> Any:
    return _any(bed, list(bed.layout.runs))


def run_lower(bed: Bed) -> Planted | None:
    """Hang a run lower, grooves and all, than the gap over what stands below allows."""
    run = _any(bed, [one for one in bed.layout.runs if one.over])
    if run is None:
        return None
    tall = max(
        bed.scenario.catalogue.fixture(one.fixture).height
        for one in bed.layout.placements
        if one.id in run.over
    )
    allowed = tall + bed.scenario.shop.brief.run_gap
    by = run.bottom_mm - allowed + bed.past()
    layout = b.rehung(
        bed.layout, run.id, bottom_mm=run.bottom_mm - by, first_groove_mm=run.first_groove_mm - by
    )
    return bed.planted("run-too-low run-over-sheet", run.id, layout=layout)


def run_higher(bed: Bed) -> Planted | None:
    """Let a run reach over the highest place of goods."""
    run = _run(bed)
    top = bed.scenario.shop.brief.display_top + bed.past()
    layout = b.rehung(bed.layout, run.id, top_mm=top)
    return bed.planted("run-over-display-top", run.id, layout=layout)


def run_beyond_wall(bed: Bed) -> Planted | None:
    """Let a run begin before its wall does."""
    run = _run(bed)
    layout = b.rehung(bed.layout, run.id, from_mm=-bed.past())
    return bed.planted("run-beyond-wall", run.id, layout=layout)


def grooves_shifted(bed: Bed) -> Planted | None:
    """Write down a first groove that the sheets do not have."""
    run = _run(bed)
    pitch = bed.scenario.catalogue.sheet(run.sheet).groove_pitch
    by = bed.dice.uniform(0.05, pitch - 0.05)
    layout = b.rehung(bed.layout, run.id, first_groove_mm=run.first_groove_mm + by)
    return bed.planted("first-groove", run.id, layout=layout)


def run_over_window(bed: Bed) -> Planted | None:
    """Find a window behind a run, overlapping it by a little or wholly."""
    run = _run(bed)
    height = run.top_mm - run.bottom_mm
    by = min(bed.past(), height - 1.0)
    window = Window(
        id="planted",
        wall=run.wall,
        offset=b.mm(run.from_mm + (run.to_mm - run.from_mm) * bed.dice.uniform(0.0, 0.5)),
        width=b.mm(bed.dice.uniform(50.0, (run.to_mm - run.from_mm) / 2)),
        sill=b.mm(run.top_mm - by),
        head=b.mm(run.top_mm + 100.0),
    )
    shop = bed.scenario.shop.model_copy(update={"windows": (*bed.scenario.shop.windows, window)})
    return bed.planted(
        "run-over-thing", run.id, scenario=bed.scenario.model_copy(update={"shop": shop})
    )


def cut_lost(bed: Bed) -> Planted | None:
    """Lose a cut piece."""
    index = bed.dice.randrange(len(bed.layout.cuts))
    lost = bed.layout.cuts[index]
    cuts = bed.layout.cuts[:index] + bed.layout.cuts[index + 1 :]
    layout = bed.layout.model_copy(update={"cuts": cuts})
    return bed.planted("cut-missing cut-tiling", lost.run, layout=layout)


def cut_short(bed: Bed) -> Planted | None:
    """Cut a piece too short."""
    index = bed.dice.randrange(len(bed.layout.cuts))
    piece = bed.layout.cuts[index]
    by = min(bed.past(), piece.width_mm / 2)
    layout = b.recut(bed.layout, index, width_mm=piece.width_mm - by)
    return bed.planted("cut-tiling", piece.run, layout=layout)


# What stands and hangs in blocks.


def _slots(bed: Bed) -> Iterator[tuple[Block, int, Row, int, Slot]]:
    for block in bed.layout.blocks:
        for r, row in enumerate(block.rows):
            for s, slot in enumerate(row.slots):
                yield block, r, row, s, slot


def _slot(bed: Bed) -> tuple[Block, int, Row, int, Slot]:
    picked: tuple[Block, int, Row, int, Slot] = bed.dice.choice(list(_slots(bed)))
    return picked


def block_beyond_face(bed: Bed) -> Planted | None:
    """Let a block begin left of its face."""
    block = _any(bed, list(bed.layout.blocks))
    layout = b.reblocked(bed.layout, block.id, from_mm=-bed.past())
    return bed.planted("block-beyond-face", block.id, layout=layout)


def block_on_block(bed: Bed) -> Planted | None:
    """Widen a block over the one beside it, row by row at the same height."""
    pairs = [
        (one, other)
        for one in bed.layout.blocks
        for other in bed.layout.blocks
        if (one.host, one.side) == (other.host, other.side)
        and abs(one.to_mm - other.from_mm) < 1e-6
        and one.rows
        and other.rows
        and any(
            min(x.top_mm, y.top_mm) - max(x.bottom_mm, y.bottom_mm) > 1.0
            for x in one.rows
            for y in other.rows
        )
    ]
    pair = _any(bed, pairs)
    if pair is None:
        return None
    one, other = pair
    by = min(bed.past(), (other.to_mm - other.from_mm) / 2)
    layout = b.reblocked(bed.layout, one.id, to_mm=one.to_mm + by)
    return bed.planted("blocks-overlap", one.id, layout=layout)


def slot_pushed(bed: Bed) -> Planted | None:
    """Push goods over the end of their block."""
    block, r, row, _, _ = _slot(bed)
    last = max(range(len(row.slots)), key=lambda s: row.slots[s].to_mm)
    slot = row.slots[last]
    by = block.to_mm - slot.to_mm + bed.past()
    layout = b.reslotted(
        bed.layout, block.id, r, last, from_mm=slot.from_mm + by, to_mm=slot.to_mm + by
    )
    return bed.planted("slot-beyond-block", block.id, layout=layout)


def slots_together(bed: Bed) -> Planted | None:
    """Push goods into the goods beside them."""
    many = [(x, r, row) for x, r, row, s, _ in _slots(bed) if s == 1]
    picked = _any(bed, many)
    if picked is None:
        return None
    block, r, row = picked
    order = sorted(range(len(row.slots)), key=lambda s: row.slots[s].from_mm)
    one, other = row.slots[order[0]], row.slots[order[1]]
    gap = other.from_mm - one.to_mm
    by = gap + min(bed.past(), (one.to_mm - one.from_mm) / 2)
    layout = b.reslotted(
        bed.layout, block.id, r, order[0], from_mm=one.from_mm + by, to_mm=one.to_mm + by
    )
    return bed.planted("slots-overlap", block.id, layout=layout)


def squeezed(bed: Bed) -> Planted | None:
    """Leave less width than so many facings take."""
    block, r, _, s, slot = _slot(bed)
    by = min(bed.past(), (slot.to_mm - slot.from_mm) / 2)
    layout = b.reslotted(bed.layout, block.id, r, s, to_mm=slot.to_mm - by)
    return bed.planted("slot-width", block.id, layout=layout)


def wider_goods(bed: Bed) -> Planted | None:
    """Measure a line again and find it wider."""
    _, _, _, _, slot = _slot(bed)
    line = next(x for x in bed.scenario.lines if x.line == slot.line)
    spare = (slot.to_mm - slot.from_mm) / slot.facings - line.width
    scenario = b.relined(bed.scenario, slot.line, width=line.width + spare + bed.past())
    return bed.planted("slot-width", slot.line, scenario=scenario)


def taller_goods(bed: Bed) -> Planted | None:
    """Measure a line again and find it taller than the whole row."""
    _, _, row, _, slot = _slot(bed)
    height = row.top_mm - row.bottom_mm + bed.past()
    scenario = b.relined(bed.scenario, slot.line, height=height)
    return bed.planted("row-height", slot.line, scenario=scenario)


def row_off_level(bed: Bed) -> Planted | None:
    """Raise a row by part of a step."""
    block, r, row, _, _ = _slot(bed)
    by = bed.dice.uniform(0.05, 20.0)
    layout = b.rerowed(
        bed.layout, block.id, r, bottom_mm=row.bottom_mm + by, top_mm=row.top_mm + by
    )
    return bed.planted("row-off-level row-grooves row-beyond-face", block.id, layout=layout)


def more_than_fits(bed: Bed) -> Planted | None:
    """Write down one unit for every grain of depth and load, and one more."""
    block, r, _, s, slot = _slot(bed)
    line = next(x for x in bed.scenario.lines if x.line == slot.line)
    deep = max(
        [
            *(face.depth for one in bed.scenario.catalogue.fixtures for face in one.faces),
            *(one.depth for one in bed.scenario.catalogue.brackets),
            *(one.depth for one in bed.scenario.catalogue.shelves),
        ]
    )
    most = (
        slot.facings
        * max(1, math.floor(deep / line.depth))
        * max([1, *(one.units or 1 for one in bed.scenario.catalogue.brackets)])
    )
    layout = b.reslotted(bed.layout, block.id, r, s, units=most * 60 + bed.dice.randrange(1, 50))
    return bed.planted("units", slot.line, layout=layout)


def too_few_units(bed: Bed) -> Planted | None:
    """Write down fewer units than facings."""
    block, r, _, s, slot = _slot(bed)
    layout = b.reslotted(bed.layout, block.id, r, s, units=bed.dice.randrange(0, slot.facings))
    return bed.planted("units-few", slot.line, layout=layout)


def brackets_miscounted(bed: Bed) -> Planted | None:
    """Write down another number of brackets."""
    hung = [each for each in _slots(bed) if each[4].brackets]
    picked = _any(bed, hung)
    if picked is None:
        return None
    block, r, _, s, slot = picked
    by = bed.dice.choice((-1, 1, 2, 5))
    layout = b.reslotted(bed.layout, block.id, r, s, brackets=slot.brackets + by)
    return bed.planted("brackets", slot.line, layout=layout)


def weaker_bracket(bed: Bed) -> Planted | None:
    """Learn that a bracket carries less than hangs on it."""
    heavy = []
    for _, _, _, _, slot in _slots(bed):
        line = next(x for x in bed.scenario.lines if x.line == slot.line)
        if slot.brackets and slot.holder is not None and slot.units * line.weight > 0.01:
            heavy.append((slot, slot.units * line.weight / slot.brackets))
    picked = _any(bed, heavy)
    if picked is None:
        return None
    slot, each = picked
    scenario = b.rebracketed(bed.scenario, slot.holder, load=each * bed.dice.uniform(0.2, 0.999))
    return bed.planted("holder-load", slot.line, scenario=scenario)


def heavier_goods(bed: Bed) -> Planted | None:
    """Weigh a line again and find it heavier than anything in the shop carries."""
    _, _, _, _, slot = _slot(bed)
    scenario = b.relined(bed.scenario, slot.line, weight=bed.dice.uniform(500.0, 5000.0))
    return bed.planted("row-load holder-load", "", scenario=scenario)


def deeper_bracket(bed: Bed) -> Planted | None:
    """Buy a bracket deeper than what stands below allows."""
    hung = [slot for _, _, _, _, slot in _slots(bed) if slot.brackets and slot.holder]
    slot = _any(bed, hung)
    if slot is None:
        return None
    deepest = max(one.depth for one in bed.scenario.catalogue.fixtures)
    scenario = b.rebracketed(bed.scenario, slot.holder, depth=deepest + bed.past())
    return bed.planted("protrusion", slot.line, scenario=scenario)


def wrong_category(bed: Bed) -> Planted | None:
    """Find goods of another category in a block."""
    block, _, _, _, slot = _slot(bed)
    others = [x for x in bed.scenario.categories if x != block.category]
    other = _any(bed, others)
    if other is None:
        return None
    scenario = b.relined(bed.scenario, slot.line, category=other)
    return bed.planted("wrong-category", block.id, scenario=scenario)


def to_be_locked(bed: Bed) -> Planted | None:
    """Learn that a line which stands in the open must be locked in a case."""
    open_ = [slot for _, _, _, _, slot in _slots(bed) if slot.way != "case"]
    slot = _any(bed, open_)
    if slot is None:
        return None
    return bed.planted(
        "secured", slot.line, scenario=b.relined(bed.scenario, slot.line, secured=True)
    )


def way_not_allowed(bed: Bed) -> Planted | None:
    """Learn that a line may not be displayed the way it is."""
    _, _, _, _, slot = _slot(bed)
    other = "table" if slot.way != "table" else "hook"
    scenario = b.relined(bed.scenario, slot.line, ways=(other,))
    return bed.planted("way", slot.line, scenario=scenario)


def line_forgotten(bed: Bed) -> Planted | None:
    """Ask for more facings of a line than there are."""
    _, _, _, _, slot = _slot(bed)
    shown = sum(x.facings for _, _, _, _, x in _slots(bed) if x.line == slot.line)
    by = bed.dice.randrange(1, 9)
    scenario = b.relined(bed.scenario, slot.line, min_facings=shown + by, max_facings=shown + by)
    return bed.planted("facings-few", slot.line, scenario=scenario)


def line_too_often(bed: Bed) -> Planted | None:
    """Ask for fewer facings of a line than there are."""
    _, _, _, _, slot = _slot(bed)
    shown = sum(x.facings for _, _, _, _, x in _slots(bed) if x.line == slot.line)
    most = bed.dice.randrange(0, shown)
    scenario = b.relined(bed.scenario, slot.line, min_facings=0, max_facings=most)
    return bed.planted("facings-many", slot.line, scenario=scenario)


def more_in_stock(bed: Bed) -> Planted | None:
    """Ask for more units of a line to be held than are."""
    _, _, _, _, slot = _slot(bed)
    held = sum(x.units for _, _, _, _, x in _slots(bed) if x.line == slot.line)
    scenario = b.relined(bed.scenario, slot.line, holding=held + bed.dice.randrange(1, 30))
    return bed.planted("holding", slot.line, scenario=scenario)


def unknown_line(bed: Bed) -> Planted | None:
    """Show goods that are not in the range."""
    block, r, _, s, _ = _slot(bed)
    layout = b.reslotted(bed.layout, block.id, r, s, line="no such line")
    return bed.planted("unknown-name", "no such line", layout=layout)


# What is bought and claimed.


def purchase_lost(bed: Bed) -> Planted | None:
    """Forget to buy something."""
    lost = _any(bed, list(bed.layout.purchases))
    kept = tuple(x for x in bed.layout.purchases if x != lost)
    layout = bed.layout.model_copy(update={"purchases": kept})
    return bed.planted("purchase-missing", lost.item, layout=layout)


def purchase_miscounted(bed: Bed) -> Planted | None:
    """Buy another number of packs than are needed."""
    one = _any(bed, list(bed.layout.purchases))
    layout = b.rebought(bed.layout, one.item, packs=one.packs + bed.dice.randrange(1, 9))
    return bed.planted("purchase-wrong", one.item, layout=layout)


def claim_false(bed: Bed) -> Planted | None:
    """Claim another total than is there."""
    name = bed.dice.choice(("facings", "units", "value", "cost"))
    given = bed.layout.claims
    by = bed.dice.choice((-1, 1)) * bed.dice.randrange(1, 50)
    claims = given.model_copy(update={name: getattr(given, name) + by})
    layout = bed.layout.model_copy(update={"claims": claims})
    return bed.planted(f"claim-{name}", "", layout=layout)


def money_short(bed: Bed) -> Planted | None:
    """Have less money than it costs."""
    cost = sum(x.total for x in bed.layout.purchases)
    if cost <= 1.0:
        return None
    budget = cost * bed.dice.uniform(0.2, 0.9999)
    return bed.planted("budget", "", scenario=b.briefed(bed.scenario, budget=budget))


PLANTS: tuple[Plant, ...] = (
    into_neighbour,
    into_wall,
    off_wall,
    askew,
    false_offset,
    onto_another,
    out_of_the_shop,
    column_inside,
    column_before,
    in_the_doorway,
    deeper,
    wider_aisle,
    too_few_to_be_had,
    one_tag_twice,
    without_a_host,
    unknown_fixture,
    run_lower,
    run_higher,
    run_beyond_wall,
    grooves_shifted,
    run_over_window,
    cut_lost,
    cut_short,
    block_beyond_face,
    block_on_block,
    slot_pushed,
    slots_together,
    squeezed,
    wider_goods,
    taller_goods,
    row_off_level,
    more_than_fits,
    too_few_units,
    brackets_miscounted,
    weaker_bracket,
    heavier_goods,
    deeper_bracket,
    wrong_category,
    to_be_locked,
    way_not_allowed,
    line_forgotten,
    line_too_often,
    more_in_stock,
    unknown_line,
    purchase_lost,
    purchase_miscounted,
    claim_false,
    money_short,
)
