"""Purchases are counted as a buyer would count them by hand."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopfit.errors import InputFaults
from shopfit.model.layout import Block, Layout, Row, Slot
from shopfit.model.scenario import Scenario
from shopfit.quantities.shelving import boards_needed, shelf_segments
from shopfit.quantities.takeoff import complete, purchases, take_off

IN = 25.4


def test_worked_example(scenario: Scenario, layout: Layout) -> None:
    """Counted by hand: 360 cabinets, 160 sheets, 9 hooks, 14 cradles, 30 boards, 573 in all."""
    done = complete(scenario, layout)
    counted = [(p.item, p.kind, p.needed, p.owned, p.packs, p.total) for p in done.purchases]
    assert counted == [
        ("CAB", "fixture", 4, 1, 3, 360.0),
        ("SLAT", "sheet", 2, 0, 2, 160.0),
        ("HOOK", "bracket", 3, 0, 2, 9.0),
        ("CRAD", "bracket", 2, 0, 2, 14.0),
        ("BOARD", "shelf", 2, 0, 1, 30.0),
    ]
    assert done.claims.cost == 573.0
    assert done.claims.facings == layout.claims.facings
    assert (done.placements, done.runs, done.blocks) == (
        layout.placements,
        layout.runs,
        layout.blocks,
    )


def test_take_off_of_the_worked_example(scenario: Scenario, layout: Layout) -> None:
    """The take-off adds names, packs and spares, and the money matches the purchases."""
    off = take_off(scenario, layout)
    assert (off.total, off.budget) == (573.0, 1000.0)
    assert [(row.name, row.pack, row.spare) for row in off.shopping] == [
        ("Low cabinet", 1, 0),
        ("Slat-wall 8 by 4", 1, 0),
        ("HOOK", 2, 1),
        ("CRAD", 1, 0),
        ("BOARD", 2, 0),
    ]
    assert [row.tag for row in off.fixtures] == ["F1", "F2", "F3", "F4"]
    assert off.fixtures[1].offset_mm == pytest.approx(48 * IN)
    assert take_off(scenario, complete(scenario, layout)) == off


def test_cut_list_says_where_each_piece_hangs(scenario: Scenario, layout: Layout) -> None:
    """Pieces are numbered sheet by sheet and carry their place on the wall and their joint."""
    rows = take_off(scenario, layout).cuts
    assert sorted((row.sheet_number, row.number) for row in rows) == [(1, 1), (2, 1), (2, 2)]
    on_north = sorted((row for row in rows if row.wall == "north"), key=lambda row: row.from_mm)
    assert [(row.from_mm, row.to_mm) for row in on_north] == [
        (pytest.approx(12 * IN), pytest.approx(60 * IN)),
        (pytest.approx(60 * IN), pytest.approx(156 * IN)),
    ]
    assert [row.joint for row in on_north] == ["end of run", "between studs"]
    assert [row.tight for row in on_north] == [True, False]
    assert (on_north[0].bottom_mm, on_north[0].top_mm) == (
        pytest.approx(32 * IN),
        pytest.approx(80 * IN),
    )
    assert on_north[0].datum == "left end of north, at west"


def test_more_owned_than_needed_costs_nothing(scenario: Scenario, layout: Layout) -> None:
    """Fixtures owned beyond need are spare and never make the price negative."""
    cabinet = scenario.catalogue.fixture("CAB").model_copy(update={"owned": 6})
    catalogue = scenario.catalogue.model_copy(update={"fixtures": (cabinet,)})
    rich = scenario.model_copy(update={"catalogue": catalogue})
    row = take_off(rich, layout).shopping[0]
    assert (row.needed, row.owned, row.packs, row.spare, row.total) == (4, 6, 0, 2, 0.0)


def test_sheets_count_only_once_cut(scenario: Scenario, layout: Layout) -> None:
    """Sheets are those that the cuts number: none before cutting."""
    assert "SLAT" not in [purchase.item for purchase in purchases(scenario, layout)]


@pytest.mark.parametrize(("length", "boards"), [(23.99, 1), (24, 1), (24.01, 2), (48, 2), (49, 3)])
def test_boards_end_to_end(scenario: Scenario, length: float, boards: int) -> None:
    """A length of shelf needs a second board once it is longer than one board of 24 in."""
    slot = Slot(line="Mugs", facings=1, from_mm=0.0, to_mm=length * IN, way="shelf", holder="BOARD")
    assert boards_needed([slot], scenario.catalogue.shelf("BOARD")) == boards


def test_shelf_segments_break_at_gaps_and_other_boards() -> None:
    """A gap, another board, or a hook between them ends a length of shelf."""

    def slot(left: float, right: float, holder: str | None, way: str = "shelf") -> Slot:
        return Slot.model_validate(
            {
                "line": "Mugs",
                "facings": 1,
                "from_mm": left,
                "to_mm": right,
                "way": way,
                "holder": holder,
            }
        )

    row = Row(
        bottom_mm=0,
        top_mm=300,
        slots=(
            slot(0, 100, "BOARD"),
            slot(100.005, 200, "BOARD"),
            slot(200, 300, "LONG"),
            slot(301, 400, "LONG"),
            slot(400, 450, "HOOK", "hook"),
            slot(450, 500, None),
        ),
    )
    assert [[s.from_mm for s in segment] for segment in shelf_segments(row)] == [
        [0, 100.005],
        [200],
        [301],
    ]


def test_every_unknown_name_is_told_at_once(scenario: Scenario, layout: Layout) -> None:
    """Unknown fixture, host, line and holder are all named in one pass."""
    ghost = layout.placements[0].model_copy(update={"fixture": "GHOST"})
    slot = Slot(line="Socks", facings=1, from_mm=0, to_mm=10, way="hook", holder="NAIL")
    block = Block(
        id="B9",
        host="R9",
        side="front",
        category="Hats",
        from_mm=0,
        to_mm=10,
        rows=(Row(bottom_mm=0, top_mm=10, slots=(slot,)),),
    )
    piece = complete(scenario, layout).cuts[0]
    bad = layout.model_copy(
        update={"placements": (ghost,), "runs": (), "blocks": (block,), "cuts": (piece,)}
    )
    with pytest.raises(InputFaults) as caught:
        purchases(scenario, bad)
    assert [fault.given for fault in caught.value.faults] == [
        "'NAIL'",
        "'R9'",
        "'Socks'",
        "'R1'",
        "'GHOST'",
    ]


@settings(max_examples=50, deadline=None)
@given(
    counts=st.lists(st.integers(1, 9), min_size=1, max_size=6),
    pack=st.integers(1, 12),
    price=st.integers(0, 9999),
)
def test_packs_hold_enough_and_no_pack_too_many(
    scenario_of_the_trade: Scenario, counts: list[int], pack: int, price: int
) -> None:
    """Packs of brackets are the fewest that hold all brackets of all slots."""
    hook = scenario_of_the_trade.catalogue.bracket("HOOK").model_copy(
        update={"pack": pack, "price": price / 100}
    )
    catalogue = scenario_of_the_trade.catalogue.model_copy(update={"brackets": (hook,)})
    priced = scenario_of_the_trade.model_copy(update={"catalogue": catalogue})
    slots = tuple(
        Slot(
            line="Caps",
            facings=count,
            from_mm=1000.0 * k,
            to_mm=1000.0 * k + count * 6 * IN,
            way="hook",
            holder="HOOK",
            brackets=count,
        )
        for k, count in enumerate(counts)
    )
    layout = _hung(slots)
    (purchase,) = purchases(priced, layout)
    assert purchase.needed == sum(counts)
    assert (purchase.packs - 1) * pack < sum(counts) <= purchase.packs * pack
    assert math.isclose(purchase.total, purchase.packs * price / 100, abs_tol=0.005)


def _hung(slots: tuple[Slot, ...]) -> Layout:
    run = {
        "id": "R1",
        "wall": "north",
        "from_mm": 0,
        "to_mm": 6000,
        "bottom_mm": 800,
        "top_mm": 1800,
        "sheet": "SLAT",
        "first_groove_mm": 838.1,
    }
    row = Row(bottom_mm=838.1, top_mm=1143, low_groove=1, high_groove=4, slots=slots)
    block = Block(
        id="B1", host="R1", side="front", category="Hats", from_mm=0, to_mm=6000, rows=(row,)
    )
    return Layout.model_validate(
        {
            "scenario": "small",
            "runs": [run],
            "blocks": [block],
            "claims": {"facings": 0, "units": 0, "value": 0, "cost": 0},
        }
    )
