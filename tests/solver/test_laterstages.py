"""The end of a search: what is bounded, what is looked for, and for how long."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.solver.bettering import Betterer
from shopfit.solver.effort import Purse
from shopfit.solver.filling import Filling, Score
from shopfit.solver.held import Filled, Held
from shopfit.solver.laterbounds import Floors, LaterBounds
from shopfit.solver.laterstages import LaterStages
from shopfit.solver.thrift import Thrift
from shopfit.solver.worth import worth
from shopfit.stopping import StopFlag

from . import build as b
from .test_spending import apart, filled

OPTIONS = SolveOptions(seconds=100.0, workers=1)


@pytest.fixture
def given() -> Any:
    """Give a shop with goods for one cabinet of three."""
    return b.scenario([b.line(max_facings=20)])


def stages(best: Filled, heard: list[str], **more: Any) -> LaterStages:
    held, stop = Held(), StopFlag()
    held.offer(best)
    betterer = Betterer(OPTIONS, stop, lambda *_: None, lambda: False, lambda: 1e9)
    return LaterStages(betterer, held, more.get("payer"), heard.append)


class Costs:
    """Asks 5 for a layout, and 1 for each fixture; saves nothing, but notes how long it might."""

    def __init__(self) -> None:
        self.asked: list[tuple[Filled, float]] = []

    def saved(self, found: Filled, purse: Purse) -> Filled:
        """Give what was given."""
        self.asked.append((found, purse.left))
        return found

    def cost(self, layout: Layout) -> float:
        """Give what a layout costs."""
        return 5.0 + len(layout.placements)


def floors(given: Any, best: Filled) -> Floors:
    return Floors(best.problem, best.filler.display, worth(given), few=True)


def test_a_floor_that_misses_a_minimum_is_neither_bounded_nor_made_cheaper(given, monkeypatch):
    """Its bounds would be of layouts that miss as much; only what stands is bettered."""
    best, heard = filled(given, apart(given, 3)), list[str]()
    monkeypatch.setattr(Filled, "score", Score(1.0, 20.0, 20.0, 0.0))
    found = stages(best, heard).finished(floors(given, best), Purse(100.0))
    assert found == LaterBounds()
    assert heard == ["value, then cost"]


@pytest.mark.parametrize(
    ("spent", "left_over", "kept", "left"),
    [
        (0.0, 50.0, 8.0, 50.0),
        (3.0, 50.0, 8.0, 50.0),
        (4.0, 50.0, 8.0, 50.0),
        (9.0, 50.0, 8.0, 45.0),
        (4.0, 0.0, 4.0, 0.0),
        (3.0, 1.0, 6.0, 1.0),
    ],
)
def test_bounds_take_half_of_what_is_kept_back_and_then_some_of_what_is_left_over(
    spent, left_over, kept, left, given, monkeypatch
):
    """Of 100 s 8 are kept back, 4 of them for bounds; the last stages get 8 where there are some.

    The search ends with them, so what they get besides is not taken off what is left over.
    """
    best = filled(given, apart(given, 3))
    seen = {}

    def bounds(_: Floors, score: Score, options: SolveOptions, stop: StopFlag, purse: Purse) -> Any:
        seen["bounds"] = purse.left
        purse.spend(spent)
        return LaterBounds()

    def later(_: Betterer, filler: Any, filling: Filling, purse: Purse) -> Filling:
        seen["last"] = purse.left
        return filling

    monkeypatch.setattr(Floors, "bounds", bounds)
    monkeypatch.setattr(Betterer, "later_stages", later)
    monkeypatch.setattr(Thrift, "search", lambda _, best, *rest: best)
    purse = Purse(left_over)
    stages(best, []).finished(floors(given, best), purse)
    assert seen["bounds"] == 4.0 + min(left_over, 10.0)
    assert seen["last"] == pytest.approx(kept)
    assert purse.left == pytest.approx(left)


def test_a_cheaper_floor_is_taken_and_its_price_is_that_of_whole_packs(given, monkeypatch):
    """Thrift is told the least that has to be spent and asks the price that was given."""
    best, other = filled(given, apart(given, 3)), filled(given, apart(given, 1))
    asked = []

    def search(self: Thrift, at: Filled, least: float, purse: Purse) -> Filled:
        asked.append((at, least, purse.left, self.price(at)))
        return other

    monkeypatch.setattr(Thrift, "search", search)
    monkeypatch.setattr(Floors, "bounds", lambda *_: LaterBounds(20.0, 77.0))
    end = stages(best, [], payer=(costs := Costs()))
    assert end.finished(floors(given, best), Purse(100.0)) == LaterBounds(20.0, 77.0)
    assert asked == [(best, 77.0, 30.0, 6.0)], "goods for one cabinet: the others are left out"
    assert end.held.best is other
    assert costs.asked == [(other, 10.0)], "whole packs are saved on the floor taken"
