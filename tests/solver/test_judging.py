"""Judging: what is possible by floor and rows, and what has to be spent at least."""

from __future__ import annotations

import math
from typing import Any

import pytest

from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario
from shopfit.solver import judging
from shopfit.solver.judging import Judge
from shopfit.solver.wish import with_brief
from shopfit.stopping import StopFlag

from . import build as b


def judge(stop: StopFlag | None = None) -> Judge:
    return Judge(SolveOptions(seconds=5, workers=1), stop or StopFlag())


def wanting(number: int, **fixture: Any) -> Scenario:
    """Want so many cabinets at 100 each; a budget is there to be left aside."""
    wanted = [{"fixture": "cab", "at_least": number}]
    return b.scenario(fixtures=[b.fixture(**fixture)], brief={"wanted": wanted, "budget": 1.0})


@pytest.mark.parametrize(
    ("number", "fixture", "money"),
    [(0, {}, 0.0), (1, {}, 100.0), (3, {}, 300.0), (3, {"owned": 2}, 100.0), (3, {"owned": 3}, 0)],
)
@pytest.mark.parametrize("many", [0, 1000])
def test_what_has_to_be_spent_at_least(
    monkeypatch: pytest.MonkeyPatch, number: int, fixture: dict[str, Any], money: float, many: int
):
    """Three cabinets at 100 cost 300, less what is owned; with few positions asked first too."""
    monkeypatch.setattr(judging, "_MANY_POSITIONS", many)
    assert judge().least_money(wanting(number, **fixture)) == pytest.approx((money, money), abs=0.1)


def test_what_is_enough_is_possible_and_less_is_not():
    """Both are asked the same way: a hundredth less than what has to be spent is no layout."""
    line = b.line(min_facings=25)
    given = b.scenario([line], brief={"wanted": [{"fixture": "cab", "at_least": 1}]})
    least, enough = judge().least_money(given)
    assert 100.0 < least <= enough < math.inf
    assert judge().possible(with_brief(given, budget=enough + 0.01)) is True
    assert judge().possible(with_brief(given, budget=0.99 * least)) is False


def test_no_money_is_enough_where_nothing_fits():
    """Seven cabinets do not go into the room, whatever is spent."""
    assert judge().least_money(wanting(7))[1] == math.inf


def test_after_a_stop_nothing_is_known_of_money():
    """Stopped, it is not told that something has to be spent."""
    stop = StopFlag()
    stop.request()
    assert judge(stop).least_money(wanting(3)) == (0.0, math.inf)
    assert judge(stop).possible(wanting(3)) is None
