"""Cheaper floors: as much is shown for less money, or the floor stays as it is."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario
from shopfit.solver import thrift
from shopfit.solver.bettering import Betterer
from shopfit.solver.connect import all_reached
from shopfit.solver.effort import Purse
from shopfit.solver.held import Filled
from shopfit.solver.spending import laid_out, least_cost
from shopfit.solver.thrift import Thrift
from shopfit.solver.worth import worth
from shopfit.stopping import StopFlag

from . import build as b
from .test_spending import apart, filled

OPTIONS = SolveOptions(seconds=20.0, workers=1)


def thrifty(
    given: Scenario,
    stop: StopFlag | None = None,
    price: Callable[[Filled], float] = least_cost,
) -> Thrift:
    stop = stop or StopFlag()
    betterer = Betterer(OPTIONS, stop, lambda *_: None, lambda: False, lambda: 1e9)
    return Thrift(betterer, worth(given), price)


def dear_and_cheap(**goods: object) -> Scenario:
    """Give two cabinets alike, one four times as dear, and goods for one."""
    dear = b.fixture(price=400)
    return b.scenario([b.line(max_facings=20, **goods)], [dear, b.fixture("plain", price=100)])


def test_the_cheaper_of_two_alike_is_taken():
    """All twenty facings fit in one cabinet at 100; three at 400 stand at first."""
    given = dear_and_cheap(value=3)
    best = filled(given, apart(given, 3))
    assert best.score.worth == 20
    found = thrifty(given).search(best, 0.0, Purse(10.0))
    assert found.score.key()[:4] == best.score.key()[:4]
    assert least_cost(found) == pytest.approx(100.0)
    (cabinet,) = laid_out(found).placements
    assert cabinet.fixture == "plain"
    assert all_reached(found.problem, found.floor.chosen)


def test_pins_stand_however_dear_they_are():
    """A pinned cabinet stays where it is, and goods go on using it."""
    pins = {"keep": [{"fixture": "cab", "wall": "N", "offset": b.mm(1000.0)}]}
    given = b.scenario([b.line(max_facings=20)], dear_and_cheap().catalogue.fixtures, pins=pins)
    problem, _ = b.floor(given)
    (pin,) = [i for i, c in enumerate(problem.candidates) if c.pinned]
    found = thrifty(given).search(filled(given, (pin,)), 0.0, Purse(5.0))
    assert found.floor.chosen == (pin,)


def test_nothing_cheaper_than_is_proved_is_looked_for(monkeypatch: pytest.MonkeyPatch):
    """Half a cent above what has to be spent no floor is tried; one cent above one is."""
    given = dear_and_cheap()
    best = filled(given, apart(given, 1))
    tried = []
    monkeypatch.setattr(Thrift, "_tried", lambda *_: tried.append(1))
    cost = least_cost(best)
    assert thrifty(given).search(best, cost - 0.004, Purse(5.0)) is best
    assert not tried
    assert thrifty(given).search(best, cost - 0.01, Purse(5.0)) is best
    assert tried


def test_a_stop_keeps_the_floor():
    """What was being tried is not taken."""
    given, stop = dear_and_cheap(), StopFlag()
    stop.request()
    best = filled(given, apart(given, 3))
    assert thrifty(given, stop).search(best, 0.0, Purse(10.0)) is best


def test_whole_sheets_and_packs_have_the_last_word():
    """A floor that is cheaper by the piece, and not by what is bought, is not taken."""
    given = dear_and_cheap()
    best = filled(given, apart(given, 3))
    assert thrifty(given, price=lambda _: 7.0).search(best, 0.0, Purse(10.0)) is best


@pytest.mark.parametrize("shown", [19.0, 20.0])
def test_a_floor_that_shows_less_is_not_taken(shown: float, monkeypatch: pytest.MonkeyPatch):
    """One facing fewer is one too few, whatever is saved; room is left over instead."""
    given = dear_and_cheap()
    best = filled(given, apart(given, 3))
    cheaper = filled(b.scenario([b.line(max_facings=int(shown))], [b.fixture()]), (0,))
    rooms = []

    def tried(self: Thrift, at: Filled, room: float, purse: Purse) -> Filled | None:
        rooms.append(room)
        purse.spend(1.0)
        return cheaper if len(rooms) == 1 else None

    monkeypatch.setattr(Thrift, "_tried", tried)
    found = thrifty(given).search(best, 0.0, Purse(10.0))
    assert found is (cheaper if shown == 20.0 else best)
    assert rooms[1] < rooms[0] if shown == 20.0 else rooms[1] > rooms[0]


def test_room_is_halved_between_what_was_enough_and_what_was_not():
    """Steps of one until both are known, then halves."""
    inf = float("inf")
    assert thrift._between(2.0, inf) == 3.0
    assert thrift._between(-inf, 2.0) == 1.0
    assert thrift._between(1.0, 2.0) == 1.5


def test_no_try_is_begun_with_less_than_half_of_what_it_takes(monkeypatch: pytest.MonkeyPatch):
    """A try takes 0.095 of the seconds asked for: 1.9 of 20 s."""
    given = dear_and_cheap()
    best = filled(given, apart(given, 3))
    tried = []
    monkeypatch.setattr(Thrift, "_tried", lambda *_: tried.append(1))
    thrifty(given).search(best, 0.0, Purse(0.94))
    assert not tried
    thrifty(given).search(best, 0.0, Purse(0.96))
    assert tried
