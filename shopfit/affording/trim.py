"""Takes things out of a layout until it keeps to the budget, at the least loss.

Taking away never breaks a rule of the floor or the walls: it only leaves more room. What hangs
over a fixture goes with it. No minimum of the brief is given up, and of the range only where asked
to.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shopfit.model.layout import Block, Layout, Row, Slot
from shopfit.model.range import Line
from shopfit.model.scenario import Scenario
from shopfit.quantities.takeoff import complete, purchases, total_cost
from shopfit.solver.claiming import claimed, objective_of
from shopfit.solver.keptwishes import broken_in, wishes
from shopfit.solver.spending import MONEY_STEP

_MOST_STEPS = 80
# What a facing or unit missing from a minimum loses, in facings of the dearest line.
_MISSED = 100.0


@dataclass(frozen=True)
class _Step:
    """Something to take out: goods, which leave a layout, or tags of a fixture and runs."""

    saving: float
    loss: float
    left: Layout | None = None
    tags: frozenset[str] = frozenset()

    def apply(self, layout: Layout) -> Layout:
        """Take it out."""
        return self.left if self.left is not None else without_hosts(layout, self.tags)

    def yields(self, over: float) -> tuple[float, float]:
        """Give the money saved for what is lost; more than is over the budget is no use."""
        return min(self.saving, over) / max(self.loss, 1e-6), self.saving


def trim(
    scenario: Scenario,
    layout: Layout,
    budget: float,
    goods_only: bool = False,
    giving_up: bool = False,
) -> Layout | None:
    """Take out what is worth least for its money until the budget is kept.

    Parameters
    ----------
    scenario, layout
        What is trimmed, with its cuts and purchases.
    budget
        Most that it may cost.
    goods_only
        Whether fixtures and runs stay whatever they cost.
    giving_up
        Whether minimums of lines may be given up, as few as can be.

    Returns
    -------
    The layout that is left, with cuts, purchases and claims of its own; none where every way to
    save more would give up a minimum.
    """
    hardware: list[_Step] | None = [] if goods_only else None
    for _ in range(_MOST_STEPS):
        over = layout.claims.cost - budget
        if over <= MONEY_STEP:
            return layout
        if hardware is None:
            # Cutting sheets anew is slow, so what runs and fixtures save is kept for a while.
            hardware = list(_hardware_steps(scenario, layout, giving_up))
        steps = [*_goods_steps(scenario, layout, giving_up), *hardware]
        if not steps:
            return None
        step = _gentlest(scenario, layout, steps, over)
        less = complete(scenario, claims_anew(scenario, step.apply(layout)))
        if step.tags:
            hardware = None
            if not giving_up and shortfalls(scenario, less) - shortfalls(scenario, layout):
                continue
        layout = less
    return None


def _gentlest(scenario: Scenario, layout: Layout, steps: Sequence[_Step], over: float) -> _Step:
    """Give the step that saves most for what is lost, of those that break no more wishes."""
    ranked = sorted(steps, key=lambda each: each.yields(over), reverse=True)
    if not wishes(scenario.brief.merchandising):
        return ranked[0]
    now = broken_in(scenario, layout)
    for step in ranked:
        if broken_in(scenario, step.apply(layout)) <= now:
            return step
    return ranked[0]


def worth(scenario: Scenario, layout: Layout) -> float:
    """Count what the brief makes largest: facings, their value, or expected sales."""
    return objective_of(scenario, layout.blocks)


def missing(scenario: Scenario, layout: Layout) -> float:
    """Count the facings and units that minimums want and a layout does not have."""
    return float(sum(shortfalls(scenario, layout).values()))


def _goods_steps(scenario: Scenario, layout: Layout, giving_up: bool) -> Iterator[_Step]:
    """Give every way to take out goods that saves money and keeps what minimums are to be kept."""
    for maker in (_without_boards, _without_a_pack):
        for less in maker(scenario, layout, giving_up):
            saving = layout.claims.cost - total_cost(purchases(scenario, less))
            loss = _lost(scenario, layout, less, giving_up)
            if saving > MONEY_STEP and loss is not None:
                yield _Step(saving, loss, left=less)


def _hardware_steps(scenario: Scenario, layout: Layout, giving_up: bool) -> Iterator[_Step]:
    """Give every way to take out a run or a fixture that saves money, as for goods."""
    for tags in (*(frozenset({run.id}) for run in layout.runs), *_unasked(scenario, layout)):
        less = complete(scenario, without_hosts(layout, tags))
        saving = layout.claims.cost - less.claims.cost
        loss = _lost(scenario, layout, less, giving_up)
        if saving > MONEY_STEP and loss is not None:
            yield _Step(saving, loss, tags=tags)


def _lost(scenario: Scenario, layout: Layout, less: Layout, giving_up: bool) -> float | None:
    """Give what is lost, or none where a minimum is lost that has to be kept."""
    missed = sum((shortfalls(scenario, less) - shortfalls(scenario, layout)).values())
    if missed and not giving_up:
        return None
    most = max((line.value for line in scenario.lines), default=1.0)
    dearest = 1.0 if scenario.brief.objective == "facings" else max(1.0, most)
    return worth(scenario, layout) - worth(scenario, less) + _MISSED * dearest * missed


def _without_boards(scenario: Scenario, layout: Layout, _: bool) -> Iterator[Layout]:
    """Leave out the goods on the shelf boards of one row."""
    boards = {board.id for board in scenario.catalogue.shelves}
    for block in layout.blocks:
        for index, row in enumerate(block.rows):
            left = tuple(slot for slot in row.slots if slot.holder not in boards)
            if len(left) < len(row.slots):
                yield _with_row(layout, block, index, left)


def _without_a_pack(scenario: Scenario, layout: Layout, giving_up: bool) -> Iterator[Layout]:
    """Leave out the facings whose brackets come from the last, broken pack."""
    lines = {line.line: line for line in scenario.lines}
    by_value = scenario.brief.objective != "facings"
    for bracket in scenario.catalogue.brackets:
        needed = sum(slot.brackets for slot in slots_of(layout) if slot.holder == bracket.id)
        spare = needed % bracket.pack or bracket.pack
        less, gone = layout, 0
        while needed and gone < spare:
            facings, units = shown(less)
            places = [
                (
                    lines[slot.line].value if by_value else 1.0,
                    lines[slot.line].value,
                    block,
                    index,
                    slot,
                )
                for block in less.blocks
                for index, row in enumerate(block.rows)
                for slot in row.slots
                if slot.holder == bracket.id
                and (
                    giving_up
                    or _to_spare(lines[slot.line], facings[slot.line], units[slot.line], slot)
                )
            ]
            if not places:
                break
            *_, block, index, slot = min(places, key=lambda place: place[:2])
            less = one_facing_less(less, block, index, slot)
            gone += slot.brackets // slot.facings
        if needed and gone >= spare:
            yield less


def _unasked(scenario: Scenario, layout: Layout) -> Iterator[frozenset[str]]:
    """Give every fixture that nobody asked for, each with the runs over it, as tags."""
    ids = Counter(placement.fixture for placement in layout.placements)
    kinds: Counter[str] = Counter()
    for fixture_id, count in ids.items():
        kinds[scenario.catalogue.fixture(fixture_id).kind] += count
    for placement in layout.placements:
        kind = scenario.catalogue.fixture(placement.fixture).kind
        asked = any(
            (wish.fixture == placement.fixture and ids[placement.fixture] <= wish.at_least)
            or (wish.kind == kind and kinds[kind] <= wish.at_least)
            for wish in scenario.brief.wanted
        )
        if not placement.pinned and not asked:
            over = (run.id for run in layout.runs if placement.id in run.over)
            yield frozenset({placement.id, *over})


def without_hosts(layout: Layout, tags: frozenset[str]) -> Layout:
    """Take out fixtures and runs with all that stands and hangs on them."""
    return layout.model_copy(
        update={
            "placements": tuple(each for each in layout.placements if each.id not in tags),
            "runs": tuple(each for each in layout.runs if each.id not in tags),
            "blocks": tuple(each for each in layout.blocks if each.host not in tags),
            "cuts": tuple(each for each in layout.cuts if each.run not in tags),
        }
    )


def _with_row(layout: Layout, block: Block, index: int, slots: tuple[Slot, ...]) -> Layout:
    """Give a row other slots; rows and blocks left empty are left out."""
    rows: list[Row] = list(block.rows)
    rows[index] = rows[index].model_copy(update={"slots": slots})
    kept = tuple(row for row in rows if row.slots)
    changed = block.model_copy(update={"rows": kept})
    blocks = tuple(changed if each.id == block.id else each for each in layout.blocks)
    return layout.model_copy(update={"blocks": tuple(each for each in blocks if each.rows)})


def one_facing_less(layout: Layout, block: Block, index: int, slot: Slot) -> Layout:
    """Take one facing of a slot out of a row of a block."""
    slots = tuple(
        less
        for each in block.rows[index].slots
        for less in (_smaller(each) if each == slot else (each,))
    )
    return _with_row(layout, block, index, slots)


def _smaller(slot: Slot) -> tuple[Slot, ...]:
    left = slot.facings - 1
    if not left:
        return ()
    width = (slot.to_mm - slot.from_mm) / slot.facings
    return (
        slot.model_copy(
            update={
                "facings": left,
                "to_mm": slot.from_mm + left * width,
                "brackets": slot.brackets // slot.facings * left,
                "units": slot.units * left // slot.facings,
            }
        ),
    )


def _to_spare(line: Line, facings: int, units: int, slot: Slot) -> bool:
    """Say whether one facing less of a slot leaves its line its minimums."""
    fewer = slot.units - slot.units * (slot.facings - 1) // slot.facings
    return facings - 1 >= line.min_facings and units - fewer >= line.holding


def shown(layout: Layout) -> tuple[Counter[str], Counter[str]]:
    """Count facings and units of each line."""
    facings: Counter[str] = Counter()
    units: Counter[str] = Counter()
    for slot in slots_of(layout):
        facings[slot.line] += slot.facings
        units[slot.line] += slot.units
    return facings, units


def shortfalls(scenario: Scenario, layout: Layout) -> Counter[str]:
    """Count how far each line is under its minimums."""
    facings, units = shown(layout)
    return Counter(
        {
            line.line: max(0, line.min_facings - facings[line.line])
            + max(0, line.holding - units[line.line])
            for line in scenario.lines
        }
    )


def claims_anew(scenario: Scenario, layout: Layout) -> Layout:
    """Count what a layout claims of its goods anew."""
    claims = claimed(scenario, layout.blocks, layout.claims.cost)
    return layout.model_copy(update={"claims": claims})


def slots_of(layout: Layout, host: str | None = None) -> Iterator[Slot]:
    """Give the slots of a layout, or those of one fixture or run by its tag."""
    for block in layout.blocks:
        for row in block.rows if host in (None, block.host) else ():
            yield from row.slots
