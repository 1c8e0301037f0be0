"""Medians over seeds, best bounds, and layouts worth more than was proved possible."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from shopfit.bench.measure import Case, Record
from shopfit.bench.summary import best_bounds, contradictions, median, summaries

Make = Callable[..., Record]


@pytest.mark.parametrize(
    ("sizes", "middle"),
    [
        ([3.0], 3.0),
        ([1.0, 9.0, 2.0], 2.0),
        ([1.0, 3.0], 2.0),
        ([1.0, None, 2.0], 2.0),
        ([1.0, None, None], None),
        ([1.0, None], None),
        ([None], None),
    ],
)
def test_what_was_never_reached_is_worse_than_everything(
    sizes: list[float | None], middle: float | None
) -> None:
    """Leaving out the runs that never got there would flatter."""
    assert median(sizes) == middle


def test_a_summary_takes_medians_over_seeds(record: Make) -> None:
    """Each number is the middle one; a layout that is missing counts as the worst."""
    found = summaries(
        [
            record(seed=0, value=80.0, first_seconds=1.0, seconds=3.0),
            record(seed=1, value=90.0, first_seconds=4.0, seconds=5.0),
            record(seed=2, value=None, first_seconds=None, seconds=9.0, violations=2),
        ]
    )
    assert len(found) == 1
    only = found[0]
    assert (only.runs, only.layouts, only.violations) == (3, 2, 2)
    assert (only.value, only.first_seconds, only.seconds) == (80.0, 4.0, 5.0)
    assert only.proof_seconds is None


def test_everybody_is_set_against_the_best_bound(record: Make) -> None:
    """A solver that proves nothing is measured by what others proved of the same shop."""
    greedy = record(solver="greedy", value=88.0, bound=None, gap=None)
    found = {each.solver: each for each in summaries([record(bound=110.0), greedy])}
    assert found["greedy"].gap is None
    assert found["greedy"].short == pytest.approx(0.2)
    assert found["shopfit"].short == pytest.approx(20 / 110)


def test_a_known_optimum_bounds_as_well(record: Make) -> None:
    """Where the optimum is known no bound needs to be trusted."""
    made = record(known=True, bound=120.0, optimum=100)
    assert best_bounds([made]) == {Case("stall", 0, known=True): 100.0}


def test_small_shops_come_first(record: Make) -> None:
    """Rows stand in the order of sizes and solvers, however records came."""
    made = [record(size=size, solver=who) for size in ("hall", "stall") for who in ("a", "b")]
    rows = [(each.shops, each.solver) for each in summaries(made)]
    assert rows == [("stall", "a"), ("stall", "b"), ("hall", "a"), ("hall", "b")]


@pytest.mark.parametrize(("value", "said"), [(99.0, 0), (100.0, 0), (101.0, 1)])
def test_more_than_somebody_proved_possible_is_said(value: float, said: int, record: Make) -> None:
    """Just under, at and over another solver's bound: one of the two would be wrong."""
    other = record(solver="other", value=None, bound=100.0)
    mine = record(value=value, bound=None)
    assert len(contradictions([mine, other])) == said


def test_more_than_the_optimum_is_said(record: Make) -> None:
    """A worth above a known optimum is a mistake of checks or construction."""
    assert len(contradictions([record(known=True, optimum=89, bound=None)])) == 1
    assert contradictions([record(known=True, optimum=90, bound=None)]) == ()


def test_bounds_of_other_shops_do_not_matter(record: Make) -> None:
    """A bound is for one shop."""
    assert contradictions([record(seed=0, bound=None), record(seed=1, value=None, bound=5.0)]) == ()
