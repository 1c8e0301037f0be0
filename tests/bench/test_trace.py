"""When a search had reached what, from what it told."""

from __future__ import annotations

import pytest

from shopfit.bench.trace import Event, Reached, gap, improvements, reached, seconds_to


def test_nothing_told_is_nothing_reached() -> None:
    """A search that never says anything has reached nothing."""
    assert reached([]) == Reached()


def test_times_are_those_of_the_first_message_that_is_good_enough() -> None:
    """First layout, 1 % and proof each have a moment of their own."""
    told = [
        Event(1.0, None, 200.0),
        Event(2.0, 90.0, 200.0),
        Event(3.0, 99.0, 101.0),
        Event(4.0, None, 100.0),
        Event(5.0, 100.0, None),
        Event(6.0, 100.0, 100.0),
    ]
    assert reached(told) == Reached(100.0, 100.0, 0.0, first=2.0, one_percent=4.0, proof=5.0)


@pytest.mark.parametrize(("value", "near"), [(98.9, None), (99.0, 1.0), (99.1, 1.0)])
def test_one_percent_is_met_at_one_percent(value: float, near: float | None) -> None:
    """Just under, at and just over a gap of 1 %."""
    assert reached([Event(1.0, value, 100.0)]).one_percent == near


def test_worse_news_does_not_undo_better() -> None:
    """A later message may be about a poorer floor; the best so far stays."""
    told = [Event(1.0, 80.0, 100.0), Event(2.0, 60.0, 120.0)]
    found = reached(told)
    assert (found.value, found.bound) == (80.0, 100.0)
    assert found.gap == pytest.approx(0.2)


@pytest.mark.parametrize(
    ("value", "bound", "wanted"),
    [(None, 5.0, None), (5.0, None, None), (0.0, 0.0, 0.0), (4.0, 5.0, 0.2), (6.0, 5.0, 0.0)],
)
def test_gap(value: float | None, bound: float | None, wanted: float | None) -> None:
    """A gap wants both ends, and is a part of the bound."""
    assert gap(value, bound) == (None if wanted is None else pytest.approx(wanted))


def test_only_improvements_are_kept() -> None:
    """Records stay small though a search tells the same many times."""
    told = [Event(k, 5.0 + (k >= 3), 9.0) for k in range(6)]
    assert improvements(told) == (Event(0, 5.0, 9.0), Event(3, 6.0, 9.0))


def test_when_a_worth_was_there() -> None:
    """The moment of any worth can be read from a trace."""
    told = [Event(1.0, 5.0), Event(2.0, None, 9.0), Event(3.0, 7.0)]
    assert [seconds_to(told, worth) for worth in (5.0, 5.1, 7.0, 7.1)] == [1.0, 3.0, 3.0, None]
