"""The least change of each wish of a clash that makes a layout possible."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass, field

from shopfit.model.progress import Change
from shopfit.model.scenario import Scenario
from shopfit.solver.alterations import alterations
from shopfit.solver.judging import Judge
from shopfit.solver.wish import Way, Wish, with_brief

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


def eased(judge: Judge, scenario: Scenario, clash: Iterable[Wish]) -> Eased:
    """Ease each wish of a clash, all other wishes kept, and then the shell.

    Parameters
    ----------
    judge
        Who tells what is possible.
    scenario, clash
        An impossible scenario, and the wishes of it that clash.
    """
    known = Eased()
    found: list[tuple[float, Change]] = []
    for wish in clash:
        dropped = wish.drop(scenario)
        verdict = judge.possible(dropped)
        if verdict is False:
            known.not_alone.append(wish.words)
        known.tried &= verdict is not None
        for way in wish.ways(scenario) if verdict else ():
            least = _least(judge, way, dropped, known)
            if least is not None:
                shown = _shown(judge, way, least)
                told = {least: None} if shown is None else {least: None, shown[0]: shown[1]}
                for n, facings in told.items():
                    change = Change(wish=wish.words, change=way[n].words, facings=facings)
                    found.append((way[n].part, change))
                break
    known.changes += [change for _, change in sorted(found, key=lambda entry: entry[0])]
    for other, change in alterations(scenario):
        verdict = judge.possible(other)
        known.tried &= verdict is not None
        if verdict:
            layout = judge.laid(other)
            fits = layout is not None and judge.fits(other, layout)
            facings = layout.claims.facings if layout is not None and fits else None
            known.changes.append(change.model_copy(update={"facings": facings}))
    return known


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


def _least(judge: Judge, way: Way, dropped: Scenario, known: Eased) -> int | None:
    """Give the number of the least easing of a way that is known to help, or none."""
    if not way:
        return None
    # Greater easings only help more, so the least one is found by halving.
    low, high = 0, len(way) - 1
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
        if verdict:
            high = middle
        else:
            low = middle + 1
    return high
