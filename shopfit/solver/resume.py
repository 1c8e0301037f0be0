"""Takes up a layout that stands: its goods on the faces of a floor."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from shopfit.model.layout import Block, Layout, Row
from shopfit.model.range import Line
from shopfit.solver.connect import blockages
from shopfit.solver.fill import Filler
from shopfit.solver.filling import PER_MM, BlockPlan, Cell, Filling, grains
from shopfit.solver.fixing import Fixed, fix
from shopfit.solver.floor import FloorAnswer, FloorProblem, numbers
from shopfit.solver.held import Filled
from shopfit.solver.patterns import division
from shopfit.solver.places import Dropped, floor_from, paired, same_place
from shopfit.solver.range_display import Display, band_span
from shopfit.solver.site import Site
from shopfit.units import TOLERANCE_MM

__all__ = [
    "Dropped",
    "Resumed",
    "filling_from",
    "floor_from",
    "paired",
    "same_place",
    "still_standing",
]

# Layouts hold lengths to 4 decimals; levels are told apart by far more.
_LEVEL_MM = 0.05


@dataclass(frozen=True)
class Resumed:
    """The goods of a layout on the faces of a chosen floor.

    Parameters
    ----------
    filling
        What stands where.
    blocks
        For each block of the filling, the tag it has in the layout.
    lefts
        For each block of the filling, where its left end stands today, mm from that of the face.
    dropped
        What fits no more.
    lost
        Face and category of each block that has no place any more, but whose fixture or run has.
    """

    filling: Filling
    blocks: tuple[str, ...]
    lefts: tuple[float, ...]
    dropped: tuple[Dropped, ...]
    lost: tuple[tuple[int, str], ...] = ()


def filling_from(
    layout: Layout, site: Site, fixed: Fixed, shown: Display, money: float | None = None
) -> Resumed:
    """Put a layout's goods on the faces of a chosen floor, as far as they fit.

    Goods of a fixture that has moved go with it. Facings above a line's most, beyond the width of
    their block or face, on a face that cannot show them, or beyond the money are dropped.

    Parameters
    ----------
    layout
        The layout that stands.
    site, fixed, shown
        The shop, the floor chosen, and how lines can be shown.
    money
        Money left for brackets and shelves, or none.
    """
    return _Goods(layout, site, fixed, shown).taken_up(money)


@dataclass(frozen=True)
class _Spot:
    """Where something of an old host is found now: the new host, and how far that has moved, mm."""

    tag: str
    shift: float
    left: float
    right: float


class _Goods:
    """The goods of a layout on their way to the faces of a floor."""

    def __init__(self, layout: Layout, site: Site, fixed: Fixed, shown: Display) -> None:
        self._layout, self._site, self._fixed, self._shown = layout, site, fixed, shown
        self._numbers = {(face.host, face.side): n for n, face in enumerate(fixed.faces)}
        self._room = [int(face.width * PER_MM + 1e-6) for face in fixed.faces]
        self._lines = {line.line: line for line in site.scenario.lines}
        self._left = {line.line: line.max_facings for line in site.scenario.lines}
        self._plans: list[BlockPlan] = []
        self._widths: list[int] = []
        self._facings: dict[Cell, int] = {}
        self._tags: list[str] = []
        self._lefts: list[float] = []
        self._dropped: list[Dropped] = []
        self._lost: list[tuple[int, str]] = []

    def taken_up(self, money: float | None) -> Resumed:
        hosts = _hosts(self._layout, self._fixed)
        order = sorted(self._layout.blocks, key=lambda b: (b.host, b.side, b.from_mm))
        for block in order:
            spot = _nearest(hosts.get(block.host, ()), block)
            number = None if spot is None else self._numbers.get((spot.tag, block.side))
            if spot is None or number is None:
                self._drop(block, "its face is gone")
                self._note_lost(block, hosts.get(block.host, ()))
            elif block.category not in self._site.scenario.categories:
                self._drop(block, f"{block.category} is no longer in the range")
            else:
                self._add(block, number)
                self._lefts.append(block.from_mm - spot.shift)
        filling = Filling(self._plans, self._widths, self._facings)
        if money is not None:
            self._keep_to(money, filling)
        told = tuple(self._tags), tuple(self._lefts), tuple(self._dropped), tuple(self._lost)
        return Resumed(filling, *told)

    def _note_lost(self, block: Block, spots: Sequence[_Spot]) -> None:
        """Remember the face that is left of a lost block's own: the widest piece of its run."""
        own = max(spots, key=lambda spot: spot.right - spot.left, default=None)
        number = None if own is None else self._numbers.get((own.tag, block.side))
        if number is not None:
            self._lost.append((number, block.category))

    def _drop(self, block: Block, why: str, line: str | None = None, facings: int = 0) -> None:
        if line is None:
            facings = sum(slot.facings for row in block.rows for slot in row.slots)
        what = f"{line or block.category} on {block.host}"
        self._dropped.append(Dropped(block.id, what, why, facings))

    def _add(self, block: Block, number: int) -> None:
        face = self._shown.classes[self._fixed.faces[number].kind]
        placed = sorted(self._levels(block, number), key=lambda entry: entry[0])
        steps: list[int] = []
        rows: list[tuple[int, Row]] = []
        for level, count, row in placed:
            if level < sum(steps) or count < 1 or level + count > face.levels:
                for slot in row.slots:
                    self._drop(block, "its row fits no more", slot.line, slot.facings)
                continue
            if level > sum(steps):
                steps.append(level - sum(steps))
            rows.append((len(steps), row))
            steps.append(count)
        # What is left above may hold a row as well.
        if sum(steps) < face.levels:
            steps.append(face.levels - sum(steps))
        bands = self._shown.bands[block.category]
        spans = [band_span(self._site.scenario, band) for band in bands]
        pattern = division(face, steps, spans)
        b = len(self._plans)
        width = min(int((block.to_mm - block.from_mm) * PER_MM + 1e-3), self._room[number])
        self._plans.append(BlockPlan(number, block.category, pattern))
        self._tags.append(block.id)
        used = [self._fill(block, b, r, row, width) for r, row in rows]
        self._widths.append(max([width, *used]))
        self._room[number] -= self._widths[b]

    def _levels(self, block: Block, number: int) -> Iterator[tuple[int, int, Row]]:
        """Give the lowest level step and the level steps of each row that lies on levels."""
        face = self._shown.classes[self._fixed.faces[number].kind]
        run = next((run for run in self._layout.runs if run.id == block.host), None)
        bottom = face.bottom if run is None else run.first_groove_mm
        for row in block.rows:
            low = (row.bottom_mm - bottom) / face.pitch
            count = (row.top_mm - row.bottom_mm) / face.pitch
            off = max(abs(low - round(low)), abs(count - round(count))) * face.pitch
            # A row off the levels gets no level steps, so that it is dropped and told.
            yield round(low), round(count) if off <= _LEVEL_MM else 0, row

    def _fill(self, block: Block, b: int, r: int, row: Row, width: int) -> int:
        """Put in a row's facings, as many as fit; gives the width they take, as programs count."""
        plan, used = self._plans[b], 0
        # Every facing is rounded up, so goods that fill a block to the hair need a little more.
        hair = sum(slot.facings for slot in row.slots)
        room = min(width + hair, self._room[plan.face])
        for slot in row.slots:
            line = self._lines.get(slot.line)
            why = self._unfit(line, plan, r)
            count = 0
            if line is not None and not why:
                count = min(slot.facings, self._left[line.line])
                if count < slot.facings:
                    why = f"at most {line.max_facings} facings are wanted"
                fitting = (room - used) // grains(line.width)
                if fitting < count:
                    count, why = fitting, "the row is too narrow for them"
            if count > 0 and line is not None:
                cell = (b, r, line.line)
                self._facings[cell] = self._facings.get(cell, 0) + count
                self._left[line.line] -= count
                used += count * grains(line.width)
            if count < slot.facings:
                self._drop(block, why, slot.line, slot.facings - count)
        return used

    def _unfit(self, line: Line | None, plan: BlockPlan, r: int) -> str:
        """Say why a line cannot stand in a row, or nothing where it can."""
        if line is None:
            return "it is no longer in the range"
        if line.category != plan.category:
            return f"it belongs to {line.category} now"
        face = self._fixed.faces[plan.face]
        showing = self._shown.showings.get((line.line, face.kind))
        if line.new and not face.near:
            return "it is new and wants a place nearer to the entrance"
        if showing is None:
            return "this kind of face cannot show it"
        if showing.levels > plan.pattern.rows[r]:
            return "it needs a higher row"
        if not self._shown.allowed(line, plan.pattern.groups[r]):
            return "its height band is elsewhere"
        return ""

    def _keep_to(self, money: float, filling: Filling) -> None:
        """Drop the dearest goods to hold until the rest keeps to the money."""
        costs = {
            cell: self._shown.showings[cell[2], self._fixed.faces[filling.plans[cell[0]].face].kind]
            for cell in filling.facings
        }
        spent = sum(costs[cell].cost * count for cell, count in filling.facings.items())
        for cell in sorted(costs, key=lambda cell: (-costs[cell].cost, cell)):
            over, cost = spent - money, costs[cell].cost
            if over <= 1e-6 or cost <= 0.0:
                return
            gone = min(filling.facings[cell], math.ceil(over / cost - 1e-9))
            spent -= gone * cost
            filling.facings[cell] -= gone
            if not filling.facings[cell]:
                del filling.facings[cell]
            tag, line = self._tags[cell[0]], cell[2]
            self._dropped.append(Dropped(tag, line, "its brackets break the budget", gone))


def _nearest(spots: Iterable[_Spot], block: Block) -> _Spot | None:
    """Give the spot that shares most width with a block."""

    def shared(spot: _Spot) -> float:
        left, right = block.from_mm - spot.shift, block.to_mm - spot.shift
        return min(right, spot.right) - max(left, spot.left)

    best = max(spots, key=shared, default=None)
    return best if best is not None and shared(best) > TOLERANCE_MM else None


def _hosts(layout: Layout, fixed: Fixed) -> dict[str, list[_Spot]]:
    """Find for each fixture and run of a layout where it is now."""
    twins = paired(layout.placements, fixed.placements)
    hosts = {old: [_Spot(new, 0.0, 0.0, math.inf)] for old, new in twins.items()}
    taken: set[str] = set()
    for run in layout.runs:
        for other in fixed.runs:
            shared = min(run.to_mm, other.to_mm) - max(run.from_mm, other.from_mm)
            level = abs(run.first_groove_mm - other.first_groove_mm) <= TOLERANCE_MM
            if other.wall == run.wall and level and shared > TOLERANCE_MM:
                shift = other.from_mm - run.from_mm
                spot = _Spot(other.id, shift, 0.0, other.to_mm - other.from_mm)
                hosts.setdefault(run.id, []).append(spot)
                taken.add(other.id)
    # Slat-wall over a fixture that has moved goes with the fixture.
    for run in layout.runs:
        over = {twins.get(tag) for tag in run.over}
        for other in fixed.runs if run.id not in hosts else ():
            if other.id not in taken and over & set(other.over):
                hosts[run.id] = [_Spot(other.id, 0.0, 0.0, other.to_mm - other.from_mm)]
                taken.add(other.id)
                break
    return hosts


def still_standing(problem: FloorProblem, layout: Layout) -> FloorAnswer | None:
    """Give the floor of a layout if all of it may still stand, as far as ways do not matter.

    Parameters
    ----------
    problem, layout
        The floor as it is given now, and the layout.
    """
    floor, dropped = floor_from(problem, layout)
    standing = set(floor.chosen)
    if dropped or any(
        sum(1 for i in group.tolist() if i in standing) > 1 for group in problem.cliques
    ):
        return None
    for low, high, members in numbers(problem):
        if not low <= sum(1 for i in members if i in standing) <= high:
            return None
    return floor


def taken_up(problem: FloorProblem, shown: Display, layout: Layout) -> Filled | None:
    """Give a layout as a filled floor to start from, if all its fixtures may stand where they do.

    Parameters
    ----------
    problem, shown
        The floor and its positions, and how lines can be shown.
    layout
        The layout.
    """
    floor = still_standing(problem, layout)
    if floor is None or blockages(problem, floor):
        return None
    money = problem.money_left(floor.chosen, floor.slat)
    if money is not None and money < 0:
        return None
    return _on_floor(problem, shown, layout, floor, money)


def left_of(found: Filled, layout: Layout) -> Filled | None:
    """Give what is left of a filled floor after some fixtures, runs and goods were taken out.

    What it costs is not looked at.

    Parameters
    ----------
    found, layout
        The filled floor, and what is left of it.

    Returns
    -------
    None where less stands than is wanted.
    """
    floor = still_standing(found.problem, layout)
    if floor is None:
        return None
    return _on_floor(found.problem, found.filler.display, layout, floor, None)


def _on_floor(
    problem: FloorProblem, shown: Display, layout: Layout, floor: FloorAnswer, money: float | None
) -> Filled:
    fixed = fix(problem, floor)
    filler = Filler(problem.site, shown, fixed.faces, money)
    resumed = filling_from(layout, problem.site, fixed, shown, money)
    return Filled(problem, floor, fixed, filler, resumed.filling)
