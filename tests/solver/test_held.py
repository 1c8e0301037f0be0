"""What a search holds: the best, and what it goes on from."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import pytest

from shopfit.solver.filling import Score
from shopfit.solver.held import Filled, Held, promise


@dataclass
class Scored:
    """Stands for what fills faces: it knows the worth of the one filling there is."""

    known: Score

    def score(self, filling: Shown) -> Score:
        """Give that worth."""
        return self.known


@dataclass
class Shown:
    """Stands for a filling of so many facings."""

    facings: dict[str, int] = field(default_factory=dict)


def filled(short: float, worth: float, facings: int = 100) -> Filled:
    """Give a filled floor."""
    there: Any = None
    scored: Any = Scored(Score(short, worth, 0.0, 0.0))
    shown: Any = Shown({"all": facings})
    return Filled(there, there, there, scored, shown)


def test_nothing_is_held_at_first():
    """There is nothing to give, and nothing to go on from."""
    assert Held().best is None
    assert Held().onward is None


def test_the_best_misses_least_whatever_else_it_shows():
    """A layout that keeps more minimums is better than one that shows more."""
    held, few = Held(), filled(1, 50.0)
    assert held.offer(few)
    assert not held.offer(filled(2, 90.0))
    assert held.best is few


@pytest.mark.parametrize(("worth", "from_fuller"), [(51.0, False), (52.0, True), (90.0, True)])
def test_search_goes_on_from_what_promises_most_while_minimums_are_missed(worth, from_fuller):
    """Of 100 facings, one missed more weighs a hundredth of the worth: 50 x 0.99 = 49.5.

    51 x 0.97 is just less than that, 52 x 0.97 just more.
    """
    held, few, fuller = Held(), filled(1, 50.0), filled(3, worth)
    held.offer(few)
    held.offer(fuller)
    assert held.best is few
    assert held.onward is (fuller if from_fuller else few)


def test_search_goes_on_from_the_best_once_minimums_are_met():
    """A floor that misses some is then no more to be bettered, however full."""
    held, met = Held(), filled(0, 50.0)
    held.offer(filled(1, 90.0))
    held.offer(met)
    assert held.onward is met


def test_missing_more_than_is_shown_promises_nothing_good():
    """Nothing shown is no fault of the reckoning."""
    assert promise(Score(5, 0.0, 0.0, 0.0), 0) == 0.0
    assert promise(Score(200, 80.0, 0.0, 0.0), 100) < 0.0


@pytest.mark.parametrize(
    ("short", "broken", "asked", "shows"),
    [
        (0.0, 0, 49.9, True),
        (0.0, 0, 50.0, True),
        (0.0, 0, 50.1, False),
        (1.0, 0, 50.0, False),
        (0.0, 1, 50.0, False),
    ],
)
def test_it_shows_so_much_once_nothing_is_missed_or_broken(
    short: float, broken: int, asked: float, shows: bool
):
    """One facing short of a minimum, or one wish broken, is one too many."""
    held, there = Held(), filled(short, 50.0)
    assert not held.shows()
    there.filler.known = Score(short, 50.0, 0.0, 0.0, broken)
    held.offer(there)
    assert held.shows(asked) is shows


@pytest.mark.parametrize(
    ("short", "worth", "outshone"), [(0, 48.9, True), (0, 49.0, False), (1, 48.9, False)]
)
def test_a_floor_is_outshone_by_another_that_misses_nothing(
    short: int, worth: float, outshone: bool
):
    """Of 50.0 it has to show 98 %, 49.0; a best that misses a minimum is no measure."""
    held, best, other = Held(), filled(short, 50.0), filled(0, worth)
    assert not held.outshines(other.filler, other.filling, 0.98)
    held.offer(best)
    assert held.outshines(other.filler, other.filling, 0.98) is outshone
    assert not held.outshines(best.filler, other.filling, 1.5)
