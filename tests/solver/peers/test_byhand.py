"""The shopfitter's hand: what goods get first, which place is next, and what is never closed."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario
from shopfit.solver.filling import PER_MM
from shopfit.solver.peers.answers import Course
from shopfit.solver.peers.byhand import Floorwork, Habit
from shopfit.solver.peers.stock import Aim, Stock

from .. import build as b
from .judge import HOOK

MOST = Aim(least=False)
LEAST = Aim(least=True)


def course(given: Scenario) -> Course:
    return Course(given, SolveOptions(seconds=5.0, workers=1), lambda *event: None)


def stock(*lines: Any) -> Stock:
    return Stock(course(b.scenario(list(lines))))


def test_what_must_be_there_comes_first():
    """Of a line wanted twice at least and often at most, a walk for the least puts out two."""
    shelves = stock(b.line(min_facings=2, max_facings=50), b.line("tin", min_facings=1))
    laid = shelves.lay("goods", 0, 1000 * PER_MM, LEAST, None)
    assert laid is not None
    assert sum(n for (_, name), n in laid.facings.items() if name == "jar") == 2
    assert sum(n for (_, name), n in laid.facings.items() if name == "tin") == 1
    shelves.take(laid)
    assert shelves.wanting("goods", LEAST) == []
    assert [line.line for line in shelves.wanting("goods", MOST)] == ["jar", "tin"]
    shelves.take(laid, -1)
    assert len(shelves.wanting("goods", LEAST)) == 2


def test_units_to_be_held_count_as_much():
    """Ten units with four a facing take three facings."""
    shelves = stock(b.line(holding=10, max_facings=50))
    laid = shelves.lay("goods", 0, 1000 * PER_MM, LEAST, None)
    assert laid is not None
    assert sum(laid.facings.values()) == 3


@pytest.mark.parametrize(("wanted", "width"), [(4, 200), (5, 300), (20, 1000)])
def test_blocks_are_no_wider_than_they_need(wanted: int, width: int):
    """Two rows of jars 100 mm wide share what is wanted, and leave the rest of the face free."""
    laid = stock(b.line(max_facings=wanted)).lay("goods", 0, 1000 * PER_MM, MOST, None)
    assert laid is not None
    assert sum(laid.facings.values()) == wanted
    assert laid.width == width * PER_MM


def test_money_ends_what_is_hung():
    """Hooks of 2 each: for 7 three facings hang, though there is room for more."""
    cloth = b.line(ways=["hook"], height=b.mm(100.0), max_facings=50)
    given = b.scenario([cloth], [b.fixture(slat_above=True)], sheets=[b.SHEET], brackets=[HOOK])
    shelves = Stock(course(given))
    kind = min(shelves.kinds(shelves.wanting("goods", MOST)))
    laid = shelves.lay("goods", kind, 900 * PER_MM, MOST, 7.0)
    assert laid is not None
    assert sum(laid.facings.values()) == 3
    assert laid.cost == pytest.approx(6.0)


def test_categories_that_want_most_width_come_first():
    """Thirty narrow jars want more than five wide trays."""
    shelves = stock(
        b.line("tray", category="trays", width=b.mm(400.0), max_facings=5),
        b.line("jar", category="jars", max_facings=30),
    )
    assert shelves.categories == ["jars", "trays"]


def test_kinds_come_with_the_narrowest_line():
    """Of a tray and a jar on the same shelves the jar says what room is of use."""
    shelves = stock(b.line("tray", width=b.mm(400.0)), b.line("jar", width=b.mm(90.0)))
    assert shelves.kinds(shelves.wanting("goods", MOST)) == {0: 90 * PER_MM}


def test_a_line_that_no_height_serves_has_no_kind_of_face():
    """A band over the top of every face leaves a line without a place."""
    bands = [{"id": "sky", "bottom": b.mm(2200.0), "top": b.mm(2400.0)}]
    given = b.scenario([b.line(band="sky")], brief={"bands": bands})
    shelves = Stock(course(given))
    assert shelves.kinds(shelves.wanting("goods", MOST)) == {}


def floorwork(given: Scenario, habit: Habit | None = None) -> tuple[Course, Floorwork]:
    own = course(given)
    return own, Floorwork(own, habit or Habit())


def test_the_biggest_that_fits_stands_next_to_the_last():
    """On the longest wall from its left end: a wide cabinet, the next flush with it."""
    small = b.fixture("small", width=b.mm(600.0))
    own, work = floorwork(b.scenario(fixtures=[small, b.fixture()], width=4500.0))
    assert work.start()
    taken = []
    for _ in range(2):
        index = work.pick(range(len(own.problem.classes)), None)
        assert index is not None
        assert work.place(index)
        taken.append(own.problem.candidates[index].placement)
    assert [p.fixture for p in taken] == ["cab", "cab"]
    assert taken[0].wall == taken[1].wall == "N"
    assert (taken[1].offset_mm or 0.0) - (taken[0].offset_mm or 0.0) == pytest.approx(
        1000.0, abs=301
    )


def test_thrift_takes_what_shows_most_for_its_money():
    """Of two cabinets as wide, the one at a tenth of the price stands first."""
    cheap = b.fixture("cheap", width=b.mm(600.0), price=10)
    for thrifty, first in ((False, "cab"), (True, "cheap")):
        own, work = floorwork(b.scenario(fixtures=[b.fixture(), cheap]), Habit(thrifty=thrifty))
        index = work.pick(range(len(own.problem.classes)), None)
        assert index is not None
        assert own.problem.candidates[index].fixture == first


def test_what_costs_too_much_is_not_picked():
    """With 99 left nothing of 100 is picked, with 100 it is; what is owned costs nothing."""
    for owned, money, picked in ((0, 99.0, False), (0, 100.0, True), (1, 0.0, True)):
        own, work = floorwork(b.scenario(fixtures=[b.fixture(owned=owned)]))
        found = work.pick(range(len(own.problem.classes)), money)
        assert (found is not None) is picked


def test_a_place_that_closes_a_way_is_refused_and_not_asked_for_again():
    """A block wanted in a passage: where it cuts the shop off it is refused."""
    block = b.fixture("block", kind="plinth", depth=b.mm(1500.0), faces=[])
    given = b.scenario(
        fixtures=[b.fixture(), block], width=2000.0, depth=5000.0, brief={"step": b.mm(500.0)}
    )
    own, work = floorwork(given)
    (north,) = [
        i
        for i, c in enumerate(own.problem.candidates)
        if (c.fixture, c.placement.wall, c.placement.offset_mm) == ("cab", "N", 500.0)
    ]
    assert work.place(north)
    blocks = [
        i
        for i, c in enumerate(own.problem.candidates)
        if c.fixture == "block" and c.placement.wall == "W" and c.placement.offset_mm == 2000.0
    ]
    assert not work.place(blocks[0])
    assert work.chosen == [north]


def test_what_the_brief_wants_stands_first():
    """Two racks wanted stand before anything is picked."""
    rack = b.fixture("rack", kind="rack", width=b.mm(600.0))
    wanted = [{"fixture": "rack", "at_least": 2}]
    own, work = floorwork(b.scenario(fixtures=[b.fixture(), rack], brief={"wanted": wanted}))
    assert work.start()
    assert [own.problem.candidates[i].fixture for i in work.chosen] == ["rack", "rack"]


def test_what_cannot_all_stand_is_said():
    """Forty racks have no room."""
    rack = b.fixture("rack", kind="rack", width=b.mm(600.0))
    wanted = [{"fixture": "rack", "at_least": 40}]
    _, work = floorwork(b.scenario(fixtures=[rack], brief={"wanted": wanted}))
    assert not work.start()
