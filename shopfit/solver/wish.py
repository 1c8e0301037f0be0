"""A wish that could be given up or eased, and scenarios with something changed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from shopfit.model.base import Frozen
from shopfit.model.range import Line
from shopfit.model.scenario import Keep, Scenario

Given = TypeVar("Given", bound=Frozen)
Changed = Callable[[Scenario], Scenario]


@dataclass(frozen=True)
class Easing:
    """One way of easing a wish by so much.

    Parameters
    ----------
    words
        What to change the wish to.
    part
        How great the change is, from 0 to 1, where to give up is 1.
    make
        Gives the scenario.
    """

    words: str
    part: float
    make: Callable[[], Scenario]


# Ever greater easings of one kind: what a less one helps a greater one helps too.
Way = list[Easing]


def _whole() -> list[Wish]:
    return []


@dataclass(frozen=True)
class Wish:
    """Something the owner wants that could be given up or eased.

    Parameters
    ----------
    words
        The wish in trade words.
    drop
        Gives the scenario without it.
    ways
        Gives the ways to ease it, each by ever more; the first that helps is told.
    split
        Gives the smaller wishes that it is made of, if any.
    pin
        The pinned fixture that it is about, if any.
    money
        Whether it is how much may be spent.
    """

    words: str
    drop: Changed
    ways: Callable[[Scenario], list[Way]]
    split: Callable[[], list[Wish]] = _whole
    pin: Keep | None = None
    money: bool = False


def with_(model: Given, **changes: object) -> Given:
    """Give a model with fields changed."""
    return model.model_copy(update=changes)


def with_brief(scenario: Scenario, **changes: object) -> Scenario:
    """Give a scenario with fields of its brief changed."""
    return with_(scenario, shop=with_(scenario.shop, brief=with_(scenario.brief, **changes)))


def with_lines(scenario: Scenario, change: Callable[[Line], Line]) -> Scenario:
    """Give a scenario with each line changed."""
    return with_(scenario, lines=tuple(change(line) for line in scenario.lines))


def without(scenario: Scenario, given_up: Sequence[Wish]) -> Scenario:
    """Give a scenario without some wishes."""
    for wish in given_up:
        scenario = wish.drop(scenario)
    return scenario


def given_up(drop: Changed, words: str = "give it up") -> Callable[[Scenario], list[Way]]:
    """Give the one way of a wish that can only be given up."""
    return lambda scenario: [[Easing(words, 1.0, lambda: drop(scenario))]]


def share(one: float, other: float) -> float:
    """Give by how much two sizes differ, as a part of the greater."""
    most = max(one, other)
    return abs(one - other) / most if most > 0 else 1.0
