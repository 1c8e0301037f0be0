"""What whole packs come to, and shops asked for again at that."""

from __future__ import annotations

from collections import Counter

import pytest

from shopfit.affording.asked import Asked
from shopfit.affording.paid import midway, reckoned, times_paid
from shopfit.affording.trim import shown
from shopfit.quantities.takeoff import complete


@pytest.fixture
def bought(kiosk, kiosk_layout):
    return complete(kiosk, kiosk_layout)


def test_what_is_paid_is_counted_by_hand(kiosk, bought):
    """Brackets by the pack, boards by the length and sheets by the area that they give."""
    times = times_paid(kiosk, bought)
    packs = {each.item: each.packs for each in bought.purchases}
    slots = [slot for block in bought.blocks for row in block.rows for slot in row.slots]
    seen = set()
    for bracket in kiosk.catalogue.brackets:
        needed = sum(slot.brackets for slot in slots if slot.holder == bracket.id)
        if needed:
            assert times[bracket.id] == pytest.approx(packs[bracket.id] * bracket.pack / needed)
            seen.add(bracket.id)
    for board in kiosk.catalogue.shelves:
        length = sum(s.to_mm - s.from_mm for s in slots if s.holder == board.id)
        if length:
            used = length / board.length
            assert times[board.id] == pytest.approx(max(1.0, packs[board.id] * board.pack / used))
            seen.add(board.id)
    for sheet in kiosk.catalogue.sheets:
        runs = [run for run in bought.runs if run.sheet == sheet.id]
        area = sum((run.to_mm - run.from_mm) * (run.top_mm - run.bottom_mm) for run in runs)
        if area:
            used = area / (sheet.width * sheet.height)
            assert times[sheet.id] == pytest.approx(max(1.0, packs[sheet.id] * sheet.pack / used))
            seen.add(sheet.id)
    assert set(times) == seen
    assert len(seen) >= 2
    assert all(each >= 1.0 for each in times.values())


def test_what_lies_between_two_layouts():
    """Half of each step; what only one of them uses is taken from it."""
    assert midway({}, {"a": 3.0}) == {"a": 3.0}
    assert midway({"a": 1.0, "b": 4.0}, {"a": 3.0}) == {"a": 2.0, "b": 4.0}


def test_a_dearer_catalogue_changes_prices_and_what_boards_give(kiosk):
    """Goods use up to a whole board, and what nothing is known of is as dear as its kind."""
    board, *_ = kiosk.catalogue.shelves
    sheet, *_ = kiosk.catalogue.sheets
    first, *others = kiosk.catalogue.brackets
    dear = reckoned(kiosk, {board.id: 4.0, sheet.id: 1.5, first.id: 2.0}).catalogue
    length, price = board.length, board.price / board.pack
    for parts, cost in ((0.2, 0.8), (0.25, 1.0), (0.3, 1.0), (1.0, 1.0), (1.5, 1.5)):
        assert board.cost_of(parts * length) == pytest.approx(parts * price)
        assert dear.shelves[0].cost_of(parts * length) == pytest.approx(cost * price)
    assert (dear.shelves[0].length, dear.shelves[0].load) == (length, board.load)
    assert dear.sheets[0].price == sheet.price * 1.5
    assert dear.sheets[0].width == sheet.width
    assert [each.price for each in dear.brackets] == [b.price * 2.0 for b in (first, *others)]
    assert reckoned(kiosk, {}) == kiosk


def test_a_line_missed_is_asked_for_with_a_facing_more(kiosk, bought):
    """What was not held in whole facings gets more room, up to the most facings wanted."""
    line = next(each for each in kiosk.lines if shown(bought)[0][each.line])
    count = shown(bought)[0][line.line]
    most = count + 1
    wanting = line.model_copy(update={"holding": 10_000, "max_facings": most})
    lines = tuple(wanting if each.line == line.line else each for each in kiosk.lines)
    given = kiosk.model_copy(update={"lines": lines})
    asked = Asked().after(given, bought)
    assert asked.least[line.line] == count + 1
    # Of others that are missed too, and no more than so many.
    others = {each.line: each for each in given.lines}
    assert all(others[name].min_facings <= least for name, least in asked.least.items())
    assert all(least <= others[name].max_facings for name, least in asked.least.items())
    searched = asked.of(given)
    own = next(each for each in searched.lines if each.line == line.line)
    assert (own.min_facings, own.holding) == (count + 1, 10_000)
    # Never more than are wanted.
    assert asked.after(given, bought).least[line.line] == most


def test_money_kept_back_may_be_less_than_nothing(kiosk):
    """Where packs are reckoned too dear, more money than there is makes up for it."""
    budget = kiosk.brief.budget
    assert Asked(kept_back=50.0).of(kiosk).brief.budget == budget - 50.0
    assert Asked(kept_back=-50.0).of(kiosk).brief.budget == budget + 50.0
    assert Asked(kept_back=2 * budget).of(kiosk).brief.budget == 0.0
    assert Asked().of(kiosk) == kiosk
    assert Asked(kept_back=50.0).told == "keeping 50.00 for whole sheets and packs"
    assert Asked(kept_back=-50.0).told == "at what whole sheets and packs come to"
    assert (
        Asked(sheets=Counter({"a": 1})).told == "keeping some slat-wall for whole sheets and packs"
    )
