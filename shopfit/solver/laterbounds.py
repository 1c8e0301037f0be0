"""Bounds what later stages could come to on any floor that keeps what the first one reached."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from shopfit.model.options import SolveOptions
from shopfit.solver.effort import Purse
from shopfit.solver.filling import Score
from shopfit.solver.floor import FloorProblem
from shopfit.solver.joint import JointProgram
from shopfit.solver.jointanswer import Limits
from shopfit.solver.range_display import Display
from shopfit.solver.worth import Worth
from shopfit.stopping import StopFlag

# Seconds of a slow core that a search with whole positions takes for each of them, and nodes of it
# for each second asked for where there are so many.
_WHOLE_SECONDS = 2.0e-3
_ONE_NODE = 550
# The gap at which a search with whole positions ends.
_GAP = 5e-4
_EPS = 1e-6


@dataclass(frozen=True)
class LaterBounds:
    """What is proved of the later stages.

    Parameters
    ----------
    second
        What the second objective cannot exceed, or none.
    cost
        What has to be spent at least, whole packs and sheets not counted, or none.
    """

    second: float | None = None
    cost: float | None = None


@dataclass(frozen=True)
class Floors:
    """All floors on the grid, of which those that keep what was reached are bounded.

    Parameters
    ----------
    problem, shown, worth
        The positions, how lines can be shown, and what facings are worth.
    few
        Whether positions are few enough for programs of the whole shop, and these quick enough.
    """

    problem: FloorProblem
    shown: Display
    worth: Worth
    few: bool

    def bounds(
        self, score: Score, options: SolveOptions, stop: StopFlag, purse: Purse
    ) -> LaterBounds:
        """Bound the second objective and the cost of layouts worth as much as one that is found.

        Parameters
        ----------
        score
            Of the one found; it misses no minimum.
        options, stop
            How hard to search, and the stop flag.
        purse
            Seconds of a slow core.
        """
        if not self.few:
            return LaterBounds()
        cost = self._cost(score, None, stop, purse)
        second = self._second(score, stop, purse)
        limits = self._limits(options)
        if cost is not None and purse.left > _WHOLE_SECONDS * len(self.problem.candidates):
            cost = max(cost, self._cost(score, limits, stop, purse) or 0.0)
        return LaterBounds(second, cost)

    def _limits(self, options: SolveOptions) -> Limits:
        nodes = options.seconds * (_ONE_NODE / max(1, len(self.problem.candidates))) ** 2
        return Limits(1 + int(nodes), _GAP, max(10.0, options.seconds), options.seed)

    def _second(self, score: Score, stop: StopFlag, purse: Purse) -> float:
        lines = self.problem.site.scenario.lines
        most = sum(self.worth.second[line.line] * line.max_facings for line in lines)
        if score.second >= most - _EPS or purse.left <= 0 or stop.requested:
            return most
        program = self._program(self.problem, whole=False)
        program.keep(score.worth, self.worth.second)
        found = program.relaxed_bound(stop)
        purse.spend(program.worked)
        return max(score.second, min(most, found))

    def _cost(
        self, score: Score, limits: Limits | None, stop: StopFlag, purse: Purse
    ) -> float | None:
        """Bound the money with whole positions within limits, or with divisible ones."""
        if purse.left <= 0 or stop.requested:
            return None
        program = self._program(replace(self.problem, thrifty=True), whole=limits is not None)
        program.keep(score.worth, self.worth.second)
        program.keep(score.second, None)
        if limits is None:
            bound = program.relaxed_bound(stop)
            purse.spend(program.worked)
        else:
            bound = program.solve(limits, stop).bound
            # So many nodes take about as long whatever they find.
            purse.spend(_WHOLE_SECONDS * len(self.problem.candidates))
        return max(0.0, -bound) if math.isfinite(bound) else None

    def _program(self, problem: FloorProblem, whole: bool) -> JointProgram:
        return JointProgram(problem, self.shown, self.worth, whole=whole)
