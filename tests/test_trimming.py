"""Taking things out until the budget is kept: least loss first, and never a minimum given up."""

from __future__ import annotations

import pytest

from shopfit.affording.trim import trim, worth
from shopfit.model.layout import Block, Claims, Layout, Row, Slot
from shopfit.model.scenario import Scenario
from shopfit.quantities.takeoff import complete
from shopfit.units import INCH_MM


def candles(way: str, holder: str, facings: int, brackets: int, low: int, width: float) -> Row:
    slot = Slot(
        line="Pillar candle" if way == "shelf" else "Taper candles pair",
        facings=facings,
        from_mm=0.0,
        to_mm=facings * 3.5 * INCH_MM,
        way=way,
        holder=holder,
        brackets=brackets,
        units=facings * 2,
    )
    bottom = (37.5 + 3 * (low - 1)) * INCH_MM
    return Row(
        bottom_mm=bottom,
        top_mm=bottom + 12 * INCH_MM,
        low_groove=low,
        high_groove=low + 3,
        slots=(slot,),
    )


@pytest.fixture
def easy(kiosk) -> Scenario:
    """Give the kiosk with a range of two candles that asks for little."""
    names = {"Pillar candle", "Taper candles pair"}
    lines = tuple(
        line.model_copy(update={"min_facings": 1, "holding": 2})
        for line in kiosk.lines
        if line.line in names
    )
    return kiosk.model_copy(update={"lines": lines})


@pytest.fixture
def full(easy, kiosk_layout) -> Layout:
    """Give a run with 12 facings on hooks (2 packs of 10) and 7 on two shelf boards."""
    rows = (
        candles("hook", "hook-4", 12, 12, 1, 42.0),
        candles("shelf", "board-10", 4, 0, 5, 14.0),
        candles("shelf", "board-10", 3, 0, 9, 10.5),
    )
    block = Block(
        id="B1",
        host="R1",
        side="front",
        category="Candles",
        from_mm=0.0,
        to_mm=42 * INCH_MM,
        rows=rows,
    )
    run = kiosk_layout.runs[0].model_copy(update={"to_mm": 66 * INCH_MM})
    claims = Claims(facings=19, units=38, value=0.0, cost=0.0)
    update = {"runs": (run,), "blocks": (block,), "claims": claims}
    return complete(easy, kiosk_layout.model_copy(update=update))


def facings(layout: Layout) -> dict[str, int]:
    found: dict[str, int] = {}
    for block in layout.blocks:
        for row in block.rows:
            for slot in row.slots:
                found[slot.line] = found.get(slot.line, 0) + slot.facings
    return found


@pytest.mark.parametrize("room", [0.0, 0.004, 100.0])
def test_a_layout_within_its_budget_is_left_alone(easy, full, room):
    """At the budget and under it nothing is taken out."""
    assert trim(easy, full, full.claims.cost + room) is full


def test_a_cent_over_takes_the_least_out(easy, full):
    """One pack of hooks costs 9 and two facings: less is lost than with a board."""
    left = trim(easy, full, full.claims.cost - 0.01)
    assert left.claims.cost == pytest.approx(full.claims.cost - 9)
    assert facings(left) == {"Taper candles pair": 10, "Pillar candle": 7}
    assert left.claims.facings == 17
    assert left.claims.units == 34
    slot = left.blocks[0].rows[0].slots[0]
    assert (slot.facings, slot.brackets) == (10, 10)
    assert slot.to_mm == pytest.approx(10 * 3.5 * INCH_MM)


def test_more_over_takes_the_emptier_board_out(easy, full):
    """Where 20 must be saved, the board with fewer facings goes, with its row."""
    left = trim(easy, full, full.claims.cost - 20)
    assert facings(left) == {"Taper candles pair": 12, "Pillar candle": 4}
    assert len(left.blocks[0].rows) == 2
    bought = {purchase.item: purchase.packs for purchase in left.purchases}
    assert bought["board-10"] == 1
    assert bought["hook-4"] == 2


def test_minimums_are_never_given_up(easy, full):
    """Whatever the budget, every line keeps its minimum, or the answer is that it cannot be."""
    for budget in range(0, int(full.claims.cost) + 50, 25):
        left = trim(easy, full, budget)
        if left is None:
            continue
        assert left.claims.cost <= budget + 0.005
        shown = facings(left)
        assert all(shown.get(line.line, 0) >= line.min_facings for line in easy.lines)
        assert left.claims.facings == sum(shown.values()) == worth(easy, left)
        assert any(placement.fixture == "counter-48" for placement in left.placements)


def test_what_the_brief_asks_for_stays(easy, full):
    """The one counter wanted is never taken out, and nothing less than its price will do."""
    counter = easy.catalogue.fixture("counter-48").price
    assert trim(easy, full, counter - 1) is None


def test_a_fixture_goes_with_the_run_over_it(easy, full, kiosk_layout):
    """A cabinet that shows nothing is dear, but what hangs over it cannot stay without it."""
    asks_nothing = easy.model_copy(
        update={
            "lines": tuple(
                line.model_copy(update={"min_facings": 0, "holding": 0}) for line in easy.lines
            )
        }
    )
    left = trim(asks_nothing, full, easy.catalogue.fixture("counter-48").price)
    assert [placement.id for placement in left.placements] == ["F1"]
    assert left.runs == ()
    assert left.blocks == ()
    assert left.cuts == ()


def test_a_pinned_fixture_stays(easy, full):
    """What the user pinned is never taken out, however dear."""
    asks_nothing = easy.model_copy(
        update={
            "lines": tuple(
                line.model_copy(update={"min_facings": 0, "holding": 0}) for line in easy.lines
            )
        }
    )
    pinned = tuple(each.model_copy(update={"pinned": True}) for each in full.placements)
    prices = sum(easy.catalogue.fixture(each.fixture).price for each in pinned)
    layout = full.model_copy(update={"placements": pinned})
    assert trim(asks_nothing, layout, prices - 1) is None
    assert trim(asks_nothing, layout, prices).placements == pinned
