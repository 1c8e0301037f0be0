"""Further searches: a floor and its goods, without the bound and all that nobody asks of them."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from shopfit.affording import within_budget
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Solution
from shopfit.model.scenario import Scenario
from shopfit.quantities.takeoff import complete
from shopfit.solver import search
from shopfit.solver.choosing import FloorChooser
from shopfit.solver.firstfloor import FirstFloor, first_floor
from shopfit.solver.laterstages import LaterStages
from shopfit.solver.run import solve_again
from shopfit.solver.search import Search
from shopfit.stopping import StopFlag

from . import build as b


def poor(budget: float = 400.0) -> Scenario:
    """Give a room for five cabinets of 100 with money for some of them."""
    lines = [b.line(f"l{n}", width=b.mm(w), max_facings=40) for n, w in enumerate((70, 110, 190))]
    fixtures = [b.fixture(price=100)]
    return b.scenario(lines, fixtures=fixtures, brief={"budget": budget})


def again(given: Scenario, sold: Scenario | None = None) -> Solution:
    return solve_again(
        given,
        SolveOptions(seconds=1.0, workers=1),
        listener=lambda _: None,
        stop=StopFlag(),
        bought=complete,
        within=within_budget,
        sold=given if sold is None else sold,
    )


@pytest.fixture
def floors(monkeypatch: pytest.MonkeyPatch) -> list[bool]:
    """Note which floors are filled, quickly or not."""
    filled: list[bool] = []
    fill = Search._fill

    def noted(self: Search, problem: Any, shown: Any, answer: Any, quick: bool = False) -> None:
        filled.append(quick)
        fill(self, problem, shown, answer, quick)

    monkeypatch.setattr(Search, "_fill", noted)
    return filled


def test_only_a_careful_floor_is_filled_and_nothing_is_bounded(
    floors: list[bool], monkeypatch: pytest.MonkeyPatch
):
    """There is a first layout with a bound already, so neither is made again."""

    def never(*_: Any) -> Any:
        raise AssertionError

    monkeypatch.setattr(FloorChooser, "bounded", never)
    monkeypatch.setattr(FloorChooser, "relaxed_bound", never)
    monkeypatch.setattr(LaterStages, "finished", never)
    found = again(poor())
    assert found.layout is not None
    assert found.layout.proof is not None
    assert found.layout.proof.missed == 0
    assert floors
    assert True not in floors


def test_a_coarse_floor_is_filled_where_there_is_no_other(
    floors: list[bool], monkeypatch: pytest.MonkeyPatch
):
    """Where no careful floor is found the coarse one is better than nothing."""
    choose, asked = FloorChooser.choose, []

    def coarse_only(self: FloorChooser, gap: float) -> Any:
        asked.append(gap)
        problem, answer = choose(self, gap)
        return problem, answer if len(asked) == 1 else None

    monkeypatch.setattr(FloorChooser, "choose", coarse_only)
    found = again(poor())
    assert len(asked) == 2
    assert found.layout is not None
    assert floors[0] is True


def test_a_coarse_floor_is_filled_where_another_costs_more_than_is_left(
    floors: list[bool], monkeypatch: pytest.MonkeyPatch
):
    """A floor of all positions takes longer the more there are."""

    def dear(*given: Any) -> FirstFloor:
        return replace(first_floor(*given), each=1e6)

    monkeypatch.setattr(search, "first_floor", dear)
    found = again(poor())
    assert found.layout is not None
    assert floors == [True]


def test_without_any_floor_there_is_no_layout_and_no_reason():
    """The first search tells why; a further one only says that it found none."""
    given = poor()
    brief = given.brief.model_copy(update={"wanted": b.scenario(brief=MANY).brief.wanted})
    none = given.model_copy(update={"shop": given.shop.model_copy(update={"brief": brief})})
    found = again(none)
    assert found.outcome == "no layout"
    assert found.layout is None
    assert found.clash is None


MANY = {"wanted": [{"fixture": "cab", "at_least": 6, "at_most": None}]}


def test_goods_are_chosen_for_the_prices_that_hold():
    """The budget that is sold by is kept, and not the one that is reckoned with."""
    given, sold = poor(400.0), poor(250.0)
    found = again(given, sold)
    assert found.paid is not None
    best = found.within or found.paid
    assert complete(sold, best).claims.cost <= 250.0


def test_equal_searches_give_equal_layouts():
    """The work is counted, not timed."""
    first, second = again(poor(), poor(250.0)), again(poor(), poor(250.0))
    assert first.paid is not None
    assert second.paid is not None
    assert first.paid.blocks == second.paid.blocks
    assert first.paid.placements == second.paid.placements


def test_without_a_budget_later_stages_are_not_left(monkeypatch: pytest.MonkeyPatch):
    """Where only sheets are too few nothing is chosen anew, so cost is looked at as ever."""
    asked: list[bool] = []
    finished = LaterStages.finished

    def noted(self: LaterStages, *given: Any) -> Any:
        asked.append(True)
        return finished(self, *given)

    monkeypatch.setattr(LaterStages, "finished", noted)
    given = b.scenario([b.line("jar", max_facings=10)], brief={"budget": None})
    found = again(given)
    assert found.layout is not None
    assert found.paid is None
    assert asked == [True]
