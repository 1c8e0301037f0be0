"""Easing wishes: the least easing by floor and rows, and the least with which a layout is found."""

from __future__ import annotations

import math
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from shopfit.model.scenario import Scenario
from shopfit.solver.easing import Easer
from shopfit.solver.wish import Easing, Wish, with_brief

from . import build as b


class Judging:
    """Stands for who judges: some widths are possible, some are laid out, some can be bought."""

    def __init__(self, possible: float, laid: float, cost: float = 0.0) -> None:
        self.limits, self.cost = (possible, laid), cost
        self.tried: list[float] = []

    def possible(self, scenario: Scenario) -> bool:
        """Say whether the aisle is narrow enough, or the budget large enough, by floor and rows."""
        budget = scenario.brief.budget
        return scenario.brief.aisle <= self.limits[0] and (budget is None or budget >= 110.0)

    def laid(self, scenario: Scenario) -> Any:
        """Give a layout of 7 facings where the aisle is narrow enough."""
        self.tried.append(scenario.brief.budget or scenario.brief.aisle)
        budget = scenario.brief.budget
        enough = budget is None or budget >= 150.0
        if scenario.brief.aisle > self.limits[1] or not enough:
            return None
        return SimpleNamespace(claims=SimpleNamespace(facings=7))

    def fits(self, scenario: Scenario, layout: object) -> bool:
        """Say whether the budget is as much as it costs."""
        return (scenario.brief.budget or math.inf) >= self.cost


def narrower() -> Wish:
    """Wish for an aisle of 1000 mm, to be eased by 10 mm at a time down to 800."""

    def easing(n: int, given: Scenario) -> Easing:
        aisle = 1000.0 - 10 * n
        return Easing(f"{aisle:.0f}", n / 21, lambda: with_brief(given, aisle=aisle))

    return Wish(
        "an aisle",
        lambda given: with_brief(given, aisle=0.0),
        lambda given: [[easing(n, given) for n in range(1, 21)]],
    )


def dearer() -> Wish:
    """Wish for a budget of 100, to be raised by one at a time up to 300."""

    def easing(n: int, given: Scenario) -> Easing:
        budget = 100.0 + n
        return Easing(f"{budget:.0f}", n / 201, lambda: with_brief(given, budget=budget))

    return Wish(
        "a budget",
        lambda given: with_brief(given, budget=None),
        lambda given: [[easing(n, given) for n in range(1, 201)]],
    )


def told(judge: Any, wish: Wish, **brief: Any) -> list[tuple[str, int | None]]:
    known = Easer(judge, b.scenario(brief=brief)).eased([wish])
    assert known.tried
    return [(each.change, each.facings) for each in known.changes]


@pytest.mark.parametrize(
    ("possible", "laid", "changes", "tried"),
    [
        (950.0, 950.0, [("950", 7)], [950.0]),
        (950.0, 900.0, [("950", None), ("880", 7)], [950.0, 800.0, 880.0, 920.0]),
        (950.0, 790.0, [("950", None)], [950.0, 800.0]),
        (800.0, 790.0, [("800", None)], [800.0]),
        (810.0, 800.0, [("810", None), ("800", 7)], [810.0, 800.0]),
    ],
)
def test_the_least_easing_with_which_a_layout_is_found(
    possible: float,
    laid: float,
    changes: list[tuple[str, int | None]],
    tried: list[float],
):
    """The least by floor and rows is laid out, then the greatest, then two between."""
    judge = Judging(possible, laid)
    assert told(judge, narrower(), aisle="1000 mm") == changes
    assert judge.tried == tried


@pytest.mark.parametrize(
    ("cost", "changes", "tried"),
    [
        (0.0, [("110", 7)], [110.0, 300.0]),
        (111.0, [("110", None), ("111", 7)], [110.0, 300.0]),
        (180.0, [("110", None), ("180", 7)], [110.0, 300.0, 145.0, 162.0]),
        (300.0, [("110", None), ("300", 7)], [110.0, 300.0, 205.0, 252.0]),
        (301.0, [("110", None)], [110.0, 300.0]),
    ],
)
def test_money_is_eased_to_what_a_layout_costs(
    cost: float, changes: list[tuple[str, int | None]], tried: list[float]
):
    """What was laid out with more money may be bought with less: its cost is told."""
    judge = Judging(1000.0, 1000.0, cost)
    assert told(judge, dearer(), budget=100.0) == changes
    assert judge.tried == tried


def test_less_money_is_tried_where_the_first_layout_costs_more_than_the_least():
    """Layouts cost a tenth more than there is: with 110 one of 121, so 115 is tried, then 118."""

    class Dear(Judging):
        def possible(self, scenario: Scenario) -> bool:
            """Say that 110 is the least by floor and rows."""
            return (scenario.brief.budget or math.inf) >= 110.0

        def laid(self, scenario: Scenario) -> Any:
            """Give a layout that costs more than the budget."""
            budget = scenario.brief.budget or math.inf
            self.tried.append(budget)
            return SimpleNamespace(claims=SimpleNamespace(facings=7, cost=11 * budget / 10))

        def fits(self, scenario: Scenario, layout: Any) -> bool:
            """Say whether the budget is as much as it costs."""
            return (scenario.brief.budget or math.inf) >= layout.claims.cost

    judge = Dear(1000.0, 1000.0)
    changes = told(judge, dearer(), budget=100.0)
    assert changes == [("110", None), ("121", 7)]
    assert judge.tried == [110.0, 115.0, 118.0]


def test_where_it_stays_open_whether_an_easing_helps_greater_ones_are_asked():
    """Budgets from 150 to 180 are hard to tell: 181 is the least that is known to help."""

    class Unsure(Judging):
        def possible(self, scenario: Scenario) -> Any:
            """Say no under 150, and leave it open up to 180."""
            budget = scenario.brief.budget or math.inf
            return budget >= 150.0 and (True if budget > 180.0 else None)

    known = Easer(Unsure(1000.0, 1000.0), b.scenario(brief={"budget": 100.0})).eased([dearer()])
    assert not known.tried
    assert [(each.change, each.facings) for each in known.changes] == [("181", 7)]


class Priced(Judging):
    """Stands for who judges, and knows what has to be spent at least and what is enough."""

    def __init__(self, least: float, enough: float, hard: tuple[float, ...] = ()) -> None:
        super().__init__(1000.0, 1000.0)
        self.money, self.hard = (least, enough), hard
        self.asked: list[float | None] = []

    def possible(self, scenario: Scenario) -> Any:
        """Say whether the budget is 110 or more; some stay open."""
        budget = scenario.brief.budget
        self.asked.append(budget)
        return None if budget in self.hard else super().possible(scenario)

    def least_money(self, scenario: Scenario) -> tuple[float, float]:
        """Give both, for the scenario without its budget."""
        assert scenario.brief.budget is None
        return self.money


@pytest.mark.parametrize(
    ("least", "enough", "asked"),
    [
        (110.0, 110.0, []),
        (109.5, 110.0, []),
        (109.0, 110.0, [109.0]),
        (108.0, 111.0, [109.0, 110.0]),
        (0.0, 111.0, [106.0, 109.0, 110.0]),
        # Nothing is known of what is enough: the greatest is asked about first.
        (109.0, math.inf, [300.0, 204.0, 156.0, 132.0, 120.0, 114.0, 111.0, 110.0, 109.0]),
    ],
)
def test_money_is_asked_about_only_where_it_is_not_known(
    least: float, enough: float, asked: list[float]
):
    """The least is 110: only amounts between what must be spent and what is enough are asked."""
    judge: Any = Priced(least, enough)
    found = Easer(judge, b.scenario(brief={"budget": 100.0})).ease(replace(dearer(), money=True))
    assert found.way[found.least].words == "110"
    assert judge.asked == [None, *asked]
    assert found.tried


def test_what_is_enough_is_told_where_less_stays_open():
    """Of 106 it stays open whether it helps: what is enough for certain is told."""
    judge: Any = Priced(101.0, 112.0, hard=(106.0,))
    found = Easer(judge, b.scenario(brief={"budget": 100.0})).ease(replace(dearer(), money=True))
    assert found.way[found.least].words == "112"
    assert judge.asked == [None, 106.0]
    assert not found.tried


def test_what_was_found_out_of_a_wish_is_not_asked_again():
    """Money is looked at first, and known when the clash is eased."""
    judge: Any = Priced(110.0, 110.0)
    easer = Easer(judge, b.scenario(brief={"budget": 100.0}))
    wish = replace(dearer(), money=True)
    assert easer.ease(wish) is easer.ease(wish)
    assert [each.change for each in easer.eased([wish]).changes] == ["110"]
    assert judge.asked == [None]


def test_wishes_that_read_alike_are_eased_one_by_one():
    """Two wishes in the same words may want different things."""
    judge: Any = Judging(950.0, 950.0)
    far = Wish("an aisle", lambda given: with_brief(given, aisle=2000.0), lambda _: [])
    easer = Easer(judge, b.scenario(brief={"aisle": b.mm(1000.0)}))
    assert [easer.ease(each).helps for each in (narrower(), far)] == [True, False]
