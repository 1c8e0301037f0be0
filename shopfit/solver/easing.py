"""The least change of each wish of a clash that makes a layout possible."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from shopfit.model.progress import Change
from shopfit.model.scenario import Scenario
from shopfit.solver.alterations import alterations
from shopfit.solver.judging import Judge
from shopfit.solver.wish import Way, Wish

# Easings of one wish, ever greater ones, with which a layout is looked for.
_MOST_SHOWN = 4


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
                n, facings = _shown(judge, way, least)
                change = Change(wish=wish.words, change=way[n].words, facings=facings)
                found.append((way[n].part, change))
                break
    known.changes += [change for _, change in sorted(found, key=lambda entry: entry[0])]
    for other, change in alterations(scenario):
        verdict = judge.possible(other)
        known.tried &= verdict is not None
        if verdict:
            shown = change.model_copy(update={"facings": judge.shown(other)})
            known.changes.append(shown)
    return known


def _shown(judge: Judge, way: Way, least: int) -> tuple[int, int | None]:
    """Give the least easing with which a layout is found, and its facings.

    Where none is found, it is the least with which floor and lengths of rows are enough.
    """
    further = 0
    for _ in range(_MOST_SHOWN):
        n = min(least + further, len(way) - 1)
        facings = judge.shown(way[n].make())
        if facings is not None:
            return n, facings
        if n == len(way) - 1:
            break
        # Whole facings and packs mostly want little more.
        further = 2 * further + 1
    return least, None


def _least(judge: Judge, way: Way, dropped: Scenario, known: Eased) -> int | None:
    """Give the number of the least easing of a way that helps, or none."""
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
        known.tried &= verdict is not None
        if verdict is True:
            high = middle
        else:
            low = middle + 1
    return high
