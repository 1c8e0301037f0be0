"""Reckons brackets, boards and sheets at what whole packs of them came to in a layout."""

from __future__ import annotations

import statistics
from collections.abc import Mapping, Sequence
from typing import TypeVar

from shopfit.model.fixtures import Bracket, Sheet, ShelfBoard
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario

_Item = TypeVar("_Item", Bracket, Sheet)
# How many times the price of the pieces used is paid for each item, by its id.
Times = dict[str, float]


class _DearBoard(ShelfBoard):
    """A board of which goods are taken to use several times their width, or all of it at most.

    Parameters
    ----------
    times
        How many times.
    """

    times: float = 1.0

    def cost_of(self, width: float) -> float:
        """Give the money for goods so wide, mm, as boards came before."""
        whole = max(super().cost_of(width), self.price / self.pack)
        return min(self.times * super().cost_of(width), whole)


def times_paid(scenario: Scenario, layout: Layout) -> Times:
    """Give how many times the price of the pieces used is paid for what a layout buys.

    A length of shelf takes a board of its own however short it is, a hook a pack, and what is cut
    off a sheet is lost. The solver reckons pieces, so that its bound holds for every layout; what
    they come to shows in a layout only.

    Parameters
    ----------
    scenario, layout
        Which; the layout with its purchases.

    Returns
    -------
    By item, 1 at least; items that the layout does not use are left out.
    """
    used, catalogue = _pieces_used(scenario, layout), scenario.catalogue
    items: list[Bracket | ShelfBoard | Sheet] = [
        *catalogue.brackets,
        *catalogue.shelves,
        *catalogue.sheets,
    ]
    packs = {bought.item: bought.packs for bought in layout.purchases}
    return {
        item.id: max(1.0, packs.get(item.id, 0) * item.pack / used[item.id])
        for item in items
        if used.get(item.id, 0.0) > 0.0
    }


def _pieces_used(scenario: Scenario, layout: Layout) -> dict[str, float]:
    """Count the parts of brackets, boards and sheets that a layout uses."""
    lengths = {board.id: board.length for board in scenario.catalogue.shelves}
    areas = {sheet.id: sheet.width * sheet.height for sheet in scenario.catalogue.sheets}
    used: dict[str, float] = {}
    for slot in (slot for block in layout.blocks for row in block.rows for slot in row.slots):
        if slot.holder is not None:
            length = lengths.get(slot.holder)
            part = slot.brackets if length is None else (slot.to_mm - slot.from_mm) / length
            used[slot.holder] = used.get(slot.holder, 0.0) + part
    for run in layout.runs:
        area = (run.to_mm - run.from_mm) * (run.top_mm - run.bottom_mm)
        used[run.sheet] = used.get(run.sheet, 0.0) + area / areas[run.sheet]
    return used


def midway(before: Mapping[str, float], now: Mapping[str, float]) -> Times:
    """Give what lies between two layouts; items that only one of them uses are taken from it.

    Where a board has become dear few are used, each for less, and it seems dearer still; half of
    each step keeps that from going to and fro.
    """
    return {
        item: (before.get(item, now.get(item, 1.0)) + now.get(item, before.get(item, 1.0))) / 2
        for item in dict.fromkeys([*before, *now])
    }


def reckoned(scenario: Scenario, times: Mapping[str, float]) -> Scenario:
    """Give a scenario in which brackets, boards and sheets cost so many times as much.

    Of a board goods are taken to use as many times the length, but never more than all of it. An
    item of which nothing is known is taken to be as those of its kind are on average.
    """
    if not times:
        return scenario
    catalogue = scenario.catalogue
    boards = _all(times, [board.id for board in catalogue.shelves])
    brackets = _all(times, [bracket.id for bracket in catalogue.brackets])
    sheets = _all(times, [sheet.id for sheet in catalogue.sheets])
    dear = {
        "brackets": tuple(_dearer(each, brackets[each.id]) for each in catalogue.brackets),
        "shelves": tuple(_as_it_came(each, boards[each.id]) for each in catalogue.shelves),
        "sheets": tuple(_dearer(each, sheets[each.id]) for each in catalogue.sheets),
    }
    return scenario.model_copy(update={"catalogue": catalogue.model_copy(update=dear)})


def _all(times: Mapping[str, float], items: Sequence[str]) -> Times:
    """Give the times of all items of a kind."""
    known = [times[item] for item in items if item in times]
    usual = statistics.fmean(known) if known else 1.0
    return {item: times.get(item, usual) for item in items}


def _dearer(item: _Item, times: float) -> _Item:
    return item.model_copy(update={"price": item.price * times})


def _as_it_came(board: ShelfBoard, times: float) -> ShelfBoard:
    return _DearBoard.model_construct(**{**dict(board), "times": times})
