"""Bounds of later stages: none is passed by any layout that shows as much."""

from __future__ import annotations

import itertools
from functools import cache

import pytest

from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario
from shopfit.solver.effort import Purse
from shopfit.solver.filling import Score
from shopfit.solver.joint import JointProgram
from shopfit.solver.laterbounds import Floors, LaterBounds
from shopfit.solver.worth import worth
from shopfit.stopping import StopFlag

from . import build as b
from .test_run import awkward

OPTIONS = SolveOptions(seconds=10.0, workers=1)


def floors(given: Scenario, few: bool = True) -> Floors:
    problem, shown = b.floor(given)
    return Floors(problem, shown, worth(given), few)


def bounds(
    given: Scenario, score: Score, seconds: float = 100.0, few: bool = True, stopped: bool = False
) -> LaterBounds:
    stop = StopFlag()
    if stopped:
        stop.request()
    return floors(given, few).bounds(score, OPTIONS, stop, Purse(seconds))


def choice(value: float = 5.0) -> Scenario:
    """Give goods for two cabinets, one kind dearer than the other and worth more in value."""
    lines = [b.line("plain", value=1, max_facings=20), b.line("fine", value=value, max_facings=20)]
    return b.scenario(lines, [b.fixture(price=400), b.fixture("plain", price=100, available=1)])


def test_least_cost_is_that_of_the_cheapest_floor():
    """Twenty facings stand in the one cabinet at 100; forty need one at 400 too."""
    assert bounds(choice(), Score(0, 20.0, 20.0, 0.0)).cost == pytest.approx(100.0, rel=1e-3)
    assert bounds(choice(), Score(0, 40.0, 120.0, 0.0)).cost == pytest.approx(500.0, rel=1e-3)


def test_cost_keeps_what_the_second_stage_reached():
    """Ten wide facings of 5 and ten of 1 take more than the cabinet that holds twenty of 1."""
    wide = b.line("fine", width=b.mm(200.0), value=5, max_facings=10)
    lines = [b.line("plain", value=1, max_facings=20), wide]
    given = b.scenario(lines, choice().catalogue.fixtures)
    assert bounds(given, Score(0, 20.0, 20.0, 0.0)).cost == pytest.approx(100.0, rel=1e-3)
    assert bounds(given, Score(0, 20.0, 60.0, 0.0)).cost == pytest.approx(500.0, rel=1e-3)


@pytest.mark.parametrize(("owned", "cost"), [(0, 400.0), (1, 300.0), (4, 0.0), (9, 0.0)])
def test_fixtures_owned_need_not_be_bought(owned: int, cost: float):
    """Eighty facings need four cabinets of 100; those owned take nothing from the money."""
    given = b.scenario([b.line(max_facings=80)], [b.fixture(owned=owned)])
    found = bounds(given, Score(0, 80.0, 80.0, 0.0))
    assert found.cost == pytest.approx(cost, rel=1e-3, abs=1e-2)


@pytest.mark.parametrize("shown", [20.0, 40.0])
def test_most_value_is_that_of_all_that_is_wanted(shown: float):
    """Value is bounded among layouts with so many facings or more: all of it could be shown."""
    found = bounds(choice(), Score(0, shown, 20.0, 0.0))
    assert found.second == pytest.approx(120.0, rel=1e-3)


def test_value_is_bounded_by_room():
    """One cabinet holds twenty facings of 100 mm, or ten of 200 mm: all twenty and the dearest."""
    lines = [b.line("plain", value=1), b.line("fine", value=5, max_facings=5)]
    given = b.scenario(lines, [b.fixture(available=1)])
    found = bounds(given, Score(0, 20.0, 20.0, 0.0))
    assert found.second == pytest.approx(15 * 1 + 5 * 5, rel=1e-3)


def test_where_all_is_shown_nothing_is_asked(monkeypatch: pytest.MonkeyPatch):
    """The value of all that is wanted needs no program."""
    monkeypatch.setattr(JointProgram, "relaxed_bound", lambda *_: pytest.fail("asked"))
    monkeypatch.setattr(Floors, "_cost", lambda *_: None)
    assert bounds(choice(), Score(0, 40.0, 120.0, 0.0)).second == 120.0


@pytest.mark.parametrize("why", ["many", "stopped", "spent"])
def test_what_is_not_known_is_not_told(why: str):
    """Too many positions, a stop, or no seconds: no bound, but for what is wanted at most."""
    score = Score(0, 20.0, 20.0, 0.0)
    seconds = 0.0 if why == "spent" else 100.0
    found = bounds(choice(), score, seconds, few=why != "many", stopped=why == "stopped")
    assert found.cost is None
    assert found.second == (None if why == "many" else 120.0)


def test_whole_positions_are_asked_for_only_with_the_seconds_they_take(
    monkeypatch: pytest.MonkeyPatch,
):
    """A bound with divisible positions alone is lower: of two cabinets a part is enough."""
    score = Score(0, 30.0, 30.0, 0.0)
    divisible = bounds(choice(), score, 0.01).cost
    whole = bounds(choice(), score, 100.0).cost
    assert divisible is not None
    assert whole is not None
    assert divisible < 400.0 < whole == pytest.approx(500.0, rel=1e-3)


@cache
def laid_out(objective: str, seed: int) -> Layout:
    layout = b.run(awkward(objective=objective), seconds=2.0, seed=seed).layout
    assert layout is not None
    return layout


@pytest.mark.parametrize("objective", ["facings", "value", "sales"])
def test_no_layout_passes_the_bounds_of_another_that_shows_as_much(objective: str):
    """Searches with other seeds: none that shows as much or more is cheaper or worth more."""
    found = [laid_out(objective, seed) for seed in range(4)]
    compared = 0
    for one, other in itertools.product(found, repeat=2):
        assert one.proof is not None
        assert other.proof is not None
        _, first, second, cost = one.proof.stages
        _, first_there, second_there, cost_there = other.proof.stages
        assert second.bound is not None
        assert cost.bound is not None
        if first_there.value >= first.value:
            assert second_there.value <= second.bound + 1e-6
            if second_there.value >= second.value:
                compared += 1
                assert cost_there.value >= cost.bound - 1e-6
    assert compared >= 4
