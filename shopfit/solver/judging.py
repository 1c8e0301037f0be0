"""Whether a scenario can be met at all, within the time there is."""

from __future__ import annotations

import math
import time
from collections.abc import Sequence
from dataclasses import dataclass, replace

from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario
from shopfit.solver.candidate import Candidate
from shopfit.solver.candidates import candidates, positions
from shopfit.solver.conflicts import cliques
from shopfit.solver.connect import blockages
from shopfit.solver.floor import FloorProblem, floor_problem
from shopfit.solver.joint import JointProgram
from shopfit.solver.jointanswer import JointAnswer, Limits
from shopfit.solver.range_display import Display, display
from shopfit.solver.shares import COARSE_STEPS, FEW_POSITIONS
from shopfit.solver.showing import Shower
from shopfit.solver.site import Site
from shopfit.solver.wish import with_brief
from shopfit.stopping import StopFlag

_MOST_ROUNDS = 25
# Facings missing that are none, and a worth under which some are missing for certain.
_SHORT = 1e-4
_MISSED = -_SHORT * 1000
_LEAST_SECONDS = 15.0
# The gap at which a search for the least money ends: amounts are told to a part in a hundred.
_CLOSE = 5e-3
# The part of the seconds that one search may take, that of one in haste, and that in which
# layouts are still begun once all are used up.
_MOST_SHARE = 0.1
HASTY_SHARE = 0.03
_SHOWING_SHARE = 0.3
# Positions with more than which a layout is looked for among few of them first.
_MANY_POSITIONS = 1000


@dataclass
class Judge:
    """Tells whether scenarios can be met, within the time there is.

    Parameters
    ----------
    options, stop
        Seconds for the whole explanation, and the stop flag.
    shower
        Who lays out what should be possible; none to leave open whether that can be done.
    """

    options: SolveOptions
    stop: StopFlag
    shower: Shower | None = None

    def __post_init__(self) -> None:
        self._seconds = max(_LEAST_SECONDS, self.options.seconds)
        self._ends = time.monotonic() + self._seconds

    @property
    def out_of_time(self) -> bool:
        """Whether the time for explaining is used up."""
        return self.stop.requested or time.monotonic() >= self._ends

    def possible(self, scenario: Scenario, share: float = _MOST_SHARE) -> bool | None:
        """Say whether some layout meets every minimum; none where that stays open.

        Widths of blocks may be fractions here, so "no" is proved for the positions tried, and
        "yes" holds for floor and space.

        Parameters
        ----------
        scenario
            What is asked about.
        share
            The part of the seconds that one search may take.
        """
        if self.out_of_time:
            return None
        site = Site(scenario)
        found = candidates(site)
        problem = floor_problem(site, found, cliques(found))
        if _nothing_to_choose(problem):
            return False
        if refuted(problem, display(site, problem.classes), self.stop):
            return False
        if len(found) > _MANY_POSITIONS:
            # Among few positions a layout is found sooner where there is one.
            few, _ = positions(site, FEW_POSITIONS, COARSE_STEPS)
            if self._placed(floor_problem(site, few, cliques(few)), share):
                return True
        return self._placed(problem, share)

    def _placed(self, problem: FloorProblem, share: float) -> bool | None:
        """Say whether some of the positions can stand, every minimum met and every way open."""
        program = JointProgram(problem, display(problem.site, problem.classes), {})
        limits = self._limits(share, enough=2 * _MISSED)
        answer, lasting = self._walkable(problem, program, limits)
        if answer.impossible or (answer.bound < _MISSED and answer.finished):
            return False if lasting else None
        return True if answer.floor is not None else None

    def _limits(self, share: float, gap: float = 0.0, enough: float = -math.inf) -> Limits:
        seconds = max(1.0, share * self._seconds)
        return Limits(5000, gap, seconds, self.options.seed, enough=enough)

    def _walkable(
        self, problem: FloorProblem, program: JointProgram, limits: Limits
    ) -> tuple[JointAnswer, bool]:
        """Search until every way is open; gives whether all that was forbidden for it lasts too.

        The answer has no floor where none was found that meets every minimum.
        """
        lasting = True
        for _ in range(_MOST_ROUNDS):
            left = max(1.0, self._ends - time.monotonic())
            now = replace(limits, seconds=min(left, limits.seconds))
            answer = program.solve(now, self.stop)
            if answer.floor is None or answer.short > _SHORT:
                break
            cut_off = blockages(problem, answer.floor)
            if not cut_off:
                return answer, lasting
            for group in cut_off:
                program.exclude(group)
                lasting &= group.lasting
        return replace(answer, floor=None), lasting

    def least_money(self, scenario: Scenario) -> tuple[float, float]:
        """Give what no layout costs less than, and with how much there is one for certain.

        Both by floor and lengths of rows, as for `possible`; infinite where none was found.

        Parameters
        ----------
        scenario
            What is to be bought for, its budget left aside.
        """
        if self.out_of_time:
            return 0.0, math.inf
        site = Site(with_brief(scenario, budget=None))
        found = candidates(site)
        problem = self._thrifty(site, found)
        relaxed = JointProgram(problem, display(site, problem.classes), {}, whole=False)
        relaxed.keep(0.0, None)
        least = -relaxed.relaxed_bound(self.stop)
        many = len(found) > _MANY_POSITIONS
        if many:
            problem = self._thrifty(site, positions(site, FEW_POSITIONS, COARSE_STEPS)[0])
        program = JointProgram(problem, display(site, problem.classes), {})
        program.keep(0.0, None)
        answer, lasting = self._walkable(problem, program, self._limits(_MOST_SHARE, _CLOSE))
        if lasting and not many:
            least = max(least, -answer.bound)
        return max(0.0, least), math.inf if answer.floor is None else -answer.value

    def _thrifty(self, site: Site, found: Sequence[Candidate]) -> FloorProblem:
        return replace(floor_problem(site, found, cliques(found)), thrifty=True)

    def laid(self, scenario: Scenario) -> Layout | None:
        """Give a layout that meets every minimum, with its purchases; none where none was found."""
        over = time.monotonic() - self._ends > _SHOWING_SHARE * self._seconds
        if over or self.stop.requested or self.shower is None:
            return None
        return self.shower.laid(scenario, self.options, self.stop)

    def fits(self, scenario: Scenario, layout: Layout) -> bool:
        """Say whether a layout can be bought in whole sheets and packs."""
        return self.shower is None or self.shower.fits(scenario, layout)


def refuted(problem: FloorProblem, shown: Display, stop: StopFlag) -> bool:
    """Say whether not even divisible positions meet every minimum.

    They often prove at once what whole ones take long to prove.

    Parameters
    ----------
    problem, shown
        The floor, and how lines can be shown.
    stop
        The stop flag.
    """
    return JointProgram(problem, shown, {}, whole=False).relaxed_bound(stop) < _MISSED


def _nothing_to_choose(problem: FloorProblem) -> bool:
    """Say whether a wanted fixture has no position at all."""
    for wanted in problem.site.brief.wanted:
        if wanted.at_least > 0:
            own = [problem.fixture(i) for i in range(len(problem.candidates))]
            if not any(f and (f.id == wanted.fixture or f.kind == wanted.kind) for f in own):
                return True
    return False
