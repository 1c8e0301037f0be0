"""Why there is no layout: the smallest clash of wishes and the least change that helps."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass

from shopfit.model.options import SolveOptions
from shopfit.model.progress import Change, Clash
from shopfit.model.scenario import Scenario
from shopfit.solver.alterations import alterations
from shopfit.solver.candidates import candidates
from shopfit.solver.conflicts import cliques
from shopfit.solver.connect import blockages
from shopfit.solver.floor import FloorProblem, floor_problem
from shopfit.solver.joint import JointProgram
from shopfit.solver.jointanswer import Limits
from shopfit.solver.range_display import display
from shopfit.solver.site import Site
from shopfit.solver.wishes import Wish, wishes
from shopfit.stopping import StopFlag

_MOST_ROUNDS = 25
_SHORT = 1e-4


@dataclass
class _Judge:
    """Tells whether scenarios can be met, within the time there is.

    Parameters
    ----------
    options, stop
        Seconds for the whole explanation, and the stop flag.
    """

    options: SolveOptions
    stop: StopFlag

    def __post_init__(self) -> None:
        self._ends = time.monotonic() + max(15.0, self.options.seconds)
        self.sure = True

    @property
    def out_of_time(self) -> bool:
        """Whether the time for explaining is used up."""
        return self.stop.requested or time.monotonic() >= self._ends

    def possible(self, scenario: Scenario) -> bool | None:
        """Say whether some layout meets every minimum; none where that stays open.

        Widths of blocks may be fractions here, so "no" is proved for the positions tried, and
        "yes" holds for floor and space.
        """
        if self.out_of_time:
            self.sure = False
            return None
        site = Site(scenario)
        found = candidates(site)
        problem = floor_problem(site, found, cliques(found))
        if _nothing_to_choose(problem):
            return False
        program = JointProgram(problem, display(site, problem.classes), {})
        lasting = True
        for _ in range(_MOST_ROUNDS):
            left = max(1.0, self._ends - time.monotonic())
            answer = program.solve(Limits(5000, 0.0, left, self.options.seed), self.stop)
            if answer.impossible or (answer.bound < -_SHORT * 1000 and answer.finished):
                if lasting:
                    return False
                break
            if answer.floor is None or answer.short > _SHORT:
                self.sure = False
                return None
            cut_off = blockages(problem, answer.floor)
            if not cut_off:
                return True
            for group in cut_off:
                program.exclude(group)
                lasting &= group.lasting
        self.sure = False
        return None


def _nothing_to_choose(problem: FloorProblem) -> bool:
    """Say whether a wanted fixture has no position at all."""
    for wanted in problem.site.brief.wanted:
        if wanted.at_least > 0:
            own = [problem.fixture(i) for i in range(len(problem.candidates))]
            if not any(f and (f.id == wanted.fixture or f.kind == wanted.kind) for f in own):
                return True
    return False


def explain(scenario: Scenario, options: SolveOptions, stop: StopFlag) -> Clash:
    """Find the smallest clash of wishes by leaving out one after the other, and what would help.

    Parameters
    ----------
    scenario
        A scenario for which no layout was found.
    options, stop
        Time, seed and the stop flag.

    Returns
    -------
    The clash; not proved where time ran out or only whole facings do not fit.
    """
    judge = _Judge(options, stop)
    verdict = judge.possible(scenario)
    if verdict is not False:
        return Clash(
            reason=(
                "Floor and face widths suffice, but no way was found to hold every minimum in "
                "whole facings. More seconds may find one; so may fewer or narrower minimums."
                if verdict
                else "No layout was found in the time given, nor a proof that there is none."
            ),
            proved=False,
        )
    kept = wishes(scenario)
    least = scenario
    for wish in list(kept):
        without = wish.drop(least)
        if judge.possible(without) is False:
            kept.remove(wish)
            least = without
    if not kept:
        return Clash(
            reason="Even with every wish given up, the shell itself leaves no layout: "
            "look at the walls, doors and zones.",
            proved=judge.sure,
        )
    changes = _changes(judge, scenario, kept)
    sure = judge.sure
    nearest = [change for _, change in sorted(changes, key=lambda entry: entry[0])]
    return Clash(
        reason=_reason(scenario, kept, changes),
        wishes=tuple(wish.words for wish in kept),
        changes=(*nearest, *_alterations(judge, scenario)),
        proved=sure,
    )


def _alterations(judge: _Judge, scenario: Scenario) -> list[Change]:
    """Find what of the shell, put otherwise, makes a layout possible with every wish kept."""
    return [change for other, change in alterations(scenario) if judge.possible(other) is True]


def _changes(judge: _Judge, scenario: Scenario, kept: Sequence[Wish]) -> list[tuple[float, Change]]:
    """Find, for each wish of the clash, the least easing that makes a layout possible."""
    found = []
    for wish in kept:
        easings = wish.easings(scenario)
        # Greater easings only help more, so the least one is found by halving.
        low, high = 0, len(easings) - 1
        if not easings or judge.possible(easings[high][0]) is not True:
            continue
        while low < high:
            middle = (low + high) // 2
            if judge.possible(easings[middle][0]) is True:
                high = middle
            else:
                low = middle + 1
        part = (high + 1) / len(easings)
        found.append((part, Change(wish=wish.words, change=easings[high][1])))
    return found


def _reason(
    scenario: Scenario, kept: Sequence[Wish], changes: Sequence[tuple[float, Change]]
) -> str:
    names = [wish.words for wish in kept]
    together = names[0] if len(names) == 1 else ", ".join(names[:-1]) + " and " + names[-1]
    text = f"In {scenario.shop.name}, {together} cannot all be had: no positions of the grid fit."
    if len(names) == 1:
        text = f"In {scenario.shop.name}, {together} cannot be had: no positions of the grid fit."
    if not changes:
        text += " Giving up one of them alone is not enough; other wishes clash as well."
    return text
