"""Purchases and money."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.checks import check
from shopfit.model.layout import Layout, Purchase

from . import build as b


def _codes(layout: Layout, scenario: Any = None) -> list[str]:
    return b.codes(check(scenario or b.scenario(), layout))


@pytest.mark.parametrize(("budget", "found"), [(1664.0, []), (1663.99, ["budget"]), (None, [])])
def test_the_budget_holds(budget: float | None, found: list[str]) -> None:
    """The layout costs 1664."""
    assert _codes(b.layout(), b.briefed(b.scenario(), budget=budget)) == found


@pytest.mark.parametrize("item", [purchase.item for purchase in b.layout().purchases])
def test_a_dropped_purchase_is_missed(item: str) -> None:
    """Whatever the layout needs is on the list."""
    kept = tuple(p for p in b.layout().purchases if p.item != item)
    codes = _codes(b.layout().model_copy(update={"purchases": kept}))
    assert codes == ["purchase-missing"]


@pytest.mark.parametrize(
    "change", [{"needed": 3}, {"packs": 2}, {"price": 201.0}, {"total": 199.0}, {"kind": "shelf"}]
)
def test_a_wrong_number_on_the_list_is_found(change: dict[str, Any]) -> None:
    """Pieces, packs, price and total are each recounted."""
    assert _codes(b.rebought(b.layout(), "base-48", **change)) == ["purchase-wrong"]


def test_what_is_not_needed_is_not_bought() -> None:
    """An item that the layout does not use is found, unless nothing is bought of it."""
    extra = Purchase(item="crown", kind="fixture", needed=0, packs=1, price=9, total=9)
    layout = b.layout().model_copy(update={"purchases": (*b.layout().purchases, extra)})
    assert _codes(layout) == ["purchase-extra"]
    none = extra.model_copy(update={"packs": 0, "total": 0.0})
    layout = b.layout().model_copy(update={"purchases": (*b.layout().purchases, none)})
    assert _codes(layout) == []


def test_an_item_listed_twice_is_found() -> None:
    """The list names an item once."""
    twice = (*b.layout().purchases, b.layout().purchases[0])
    codes = _codes(b.layout().model_copy(update={"purchases": twice}))
    assert "purchase-twice" in codes


def test_owned_fixtures_cost_nothing() -> None:
    """With both cabinets owned the line may be left out."""
    scenario = b.refitted(b.scenario(), "base-48", owned=2)
    kept = tuple(p for p in b.layout().purchases if p.item != "base-48")
    claims = b.layout().claims.model_copy(update={"cost": 1464.0})
    layout = b.layout().model_copy(update={"purchases": kept, "claims": claims})
    assert _codes(layout, scenario) == []


@pytest.mark.parametrize(("available", "found"), [(2, []), (1, ["available"])])
def test_no_more_sheets_than_can_be_had(available: int, found: list[str]) -> None:
    """Two sheets are cut."""
    sheet = b.scenario().catalogue.sheets[0].model_copy(update={"available": available})
    catalogue = b.scenario().catalogue.model_copy(update={"sheets": (sheet,)})
    scenario = b.scenario().model_copy(update={"catalogue": catalogue})
    assert _codes(b.layout(), scenario) == found


def test_neighbours_share_a_board_and_others_do_not() -> None:
    """Mugs moved apart need two boards of their own, one each; together 720 mm need two."""
    apart = b.reslotted(b.layout(), "B2", slot=1, from_mm=1650.0, to_mm=2010.0)
    assert _codes(apart) == []
    # Two facings each: 480 mm together fit one board, apart they need two.
    together = b.layout()
    for slot, start in ((0, 1230.0), (1, 1470.0)):
        together = b.reslotted(
            together, "B2", slot=slot, facings=2, units=6, from_mm=start, to_mm=start + 240.0
        )
    claims = b.layout().claims.model_copy(update={"facings": 24, "units": 129, "value": 30.0})
    together = b.rebought(together.model_copy(update={"claims": claims}), "board", needed=1)
    assert _codes(together) == []
    moved = b.reslotted(together, "B2", slot=1, from_mm=1471.0, to_mm=1711.0)
    assert _codes(moved) == ["purchase-wrong"]


@pytest.mark.parametrize(("length", "needed"), [(720.0, 1), (719.9, 2), (360.0, 2), (359.9, 3)])
def test_boards_are_counted_to_the_tolerance(length: float, needed: int) -> None:
    """Mugs on 720 mm of shelf need 720 mm / length boards, rounded up."""
    board = b.scenario().catalogue.shelves[0].model_copy(update={"length": length, "pack": 1})
    catalogue = b.scenario().catalogue.model_copy(update={"shelves": (board,)})
    scenario = b.scenario().model_copy(update={"catalogue": catalogue})
    layout = b.rebought(b.layout(), "board", needed=needed, packs=needed, total=15.0 * needed)
    claims = layout.claims.model_copy(update={"cost": 1649.0 + 15.0 * needed})
    assert _codes(layout.model_copy(update={"claims": claims}), scenario) == []
