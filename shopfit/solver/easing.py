"""The least change of each wish of a clash that makes a layout possible."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from shopfit.model.progress import Change
from shopfit.model.scenario import Scenario
from shopfit.solver.alterations import alterations
from shopfit.solver.judging import Judge
from shopfit.solver.wish import Easing, Way, Wish, with_brief

# Easings between one with which no layout was found and one with which there was, that are tried.
_BETWEEN = 2


@dataclass
class Eased:
    """What was found out about changes.

    Parameters
    ----------
    changes
        Those that help, the nearest first; those of the shell last.
    not_alone
        Wishes whose giving up alone does not help.
    tried
        Whether all was looked at before time ran out.
    """

    changes: list[Change] = field(default_factory=list[Change])
    not_alone: list[str] = field(default_factory=list[str])
    tried: bool = True


@dataclass
class OneEased:
    """What was found out about one wish, all others kept.

    Parameters
    ----------
    helps
        Whether giving it up is enough; none where that stays open.
    tried
        Whether all was looked at before time ran out.
    way, least
        The way to ease it that helps, and the number of its least easing that does, if any.
    """

    helps: bool | None
    tried: bool = True
    way: Way = field(default_factory=list[Easing])
    least: int = 0


class Easer:
    """Eases wishes of an impossible scenario one by one, all others kept, and then the shell.

    Parameters
    ----------
    judge
        Who tells what is possible.
    scenario
        The impossible scenario.
    """

    def __init__(self, judge: Judge, scenario: Scenario) -> None:
        self._judge, self._scenario = judge, scenario
        self._known: dict[Wish, OneEased] = {}

    def ease(self, wish: Wish) -> OneEased:
        """Find the least easing of a wish by floor and rows; known from then on."""
        if wish not in self._known:
            self._known[wish] = self._ease(wish)
        return self._known[wish]

    def _ease(self, wish: Wish) -> OneEased:
        dropped = wish.drop(self._scenario)
        verdict = self._judge.possible(dropped)
        known = OneEased(verdict, tried=verdict is not None)
        for way in wish.ways(self._scenario) if verdict else ():
            span = _priced(self._judge, way, dropped) if wish.money else _whole(way)
            least = _least(self._judge, way, dropped, span, known)
            if least is not None:
                known.way, known.least = way, least
                break
        return known

    def eased(self, clash: Iterable[Wish]) -> Eased:
        """Ease each wish of a clash and alter the shell; then what helps is laid out.

        Parameters
        ----------
        clash
            The wishes that clash.
        """
        every = [(wish, self.ease(wish)) for wish in clash]
        altered, settled = self._altered()
        found: list[tuple[float, Change]] = []
        for wish, one in every:
            found += _told(self._judge, wish, one.way, one.least) if one.way else ()
        nearest = sorted(found, key=lambda entry: entry[0])
        return Eased(
            [*(change for _, change in nearest), *(self._laid(*each) for each in altered)],
            [wish.words for wish, one in every if one.helps is False],
            settled and all(one.tried for _, one in every),
        )

    def _altered(self) -> tuple[list[tuple[Scenario, Change]], bool]:
        """Give the shells altered by one thing that help, and whether all could be judged."""
        every = [(self._judge.possible(each[0]), each) for each in alterations(self._scenario)]
        settled = all(verdict is not None for verdict, _ in every)
        return [each for verdict, each in every if verdict], settled

    def _laid(self, altered: Scenario, change: Change) -> Change:
        layout = self._judge.laid(altered)
        fits = layout is not None and self._judge.fits(altered, layout)
        facings = layout.claims.facings if layout is not None and fits else None
        return change.model_copy(update={"facings": facings})


def _told(judge: Judge, wish: Wish, way: Way, least: int) -> Iterator[tuple[float, Change]]:
    """Give the least easing, and the least with which a layout is found, each with how great."""
    shown = _shown(judge, way, least)
    told = {least: None} if shown is None else {least: None, shown[0]: shown[1]}
    for n, facings in told.items():
        yield way[n].part, Change(wish=wish.words, change=way[n].words, facings=facings)


def _shown(judge: Judge, way: Way, least: int) -> tuple[int, int] | None:
    """Give the least easing with which a layout is found that can be bought, and its facings.

    Where none is found with what is least by floor and lengths of rows, the greatest easing comes
    next. Then what lies between is tried, also where what was found costs more than the least.
    """
    found, low, last = _laid(judge, way, least, least), least, len(way) - 1
    if found is None and last > least:
        found = _laid(judge, way, last, least)
    for _ in range(_BETWEEN):
        if found is None or low >= found[0] - 1:
            break
        middle = (low + found[0]) // 2
        nearer = _laid(judge, way, middle, least)
        if nearer is None or nearer[0] >= found[0]:
            low = middle
        else:
            found = nearer
    return found


def _laid(judge: Judge, way: Way, number: int, least: int) -> tuple[int, int] | None:
    """Lay out with one easing; give the least of all with which that can be bought."""
    given = way[number].make()
    layout = judge.laid(given)
    if layout is None:
        return None
    # What was laid out with more money may stand with less, if that buys it.
    first = least if _but_money(way[least].make()) == _but_money(given) else number
    every = range(first, len(way))
    further = bisect_left(every, True, key=lambda n: judge.fits(way[n].make(), layout))
    return None if further == len(every) else (every[further], layout.claims.facings)


def _but_money(scenario: Scenario) -> Scenario:
    return with_brief(scenario, budget=None)


@dataclass(frozen=True)
class _Span:
    """Easings among which the least one is that helps.

    Parameters
    ----------
    low, high
        The first that may help, and one that helps if any does.
    helps
        Whether it is known that the last one helps.
    """

    low: int
    high: int
    helps: bool = False


def _whole(way: Way) -> _Span:
    return _Span(0, len(way) - 1)


def _priced(judge: Judge, way: Way, dropped: Scenario) -> _Span:
    """Narrow budgets down by what has to be spent at least, and what is enough."""
    least, enough = judge.least_money(dropped)
    budgets = [easing.make().brief.budget or math.inf for easing in way]
    low, high = bisect_left(budgets, least), bisect_left(budgets, enough)
    last = len(way) - 1
    return _Span(min(low, last), min(high, last), high <= last)


def _least(judge: Judge, way: Way, dropped: Scenario, span: _Span, known: OneEased) -> int | None:
    """Give the number of the least easing of a way that is known to help, or none."""
    if not way:
        return None
    # Greater easings only help more, so the least one is found by halving.
    low, high = span.low, span.high
    if not span.helps:
        last = way[high].make()
        verdict = True if last == dropped else judge.possible(last)
        known.tried &= verdict is not None
        if verdict is not True:
            return None
    while low < high:
        middle = (low + high) // 2
        verdict = judge.possible(way[middle].make())
        # What is hard to tell is near the least one, and a greater easing is told more easily.
        known.tried &= verdict is not None
        if verdict is None and span.helps:
            # The search for the least money has come as near already.
            break
        if verdict:
            high = middle
        else:
            low = middle + 1
    return high
