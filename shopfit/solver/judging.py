"""Whether a scenario can be met at all, within the time there is."""

from __future__ import annotations

import time
from dataclasses import dataclass

from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario
from shopfit.solver.candidates import candidates
from shopfit.solver.conflicts import cliques
from shopfit.solver.connect import blockages
from shopfit.solver.floor import FloorProblem, floor_problem
from shopfit.solver.joint import JointProgram
from shopfit.solver.jointanswer import Limits
from shopfit.solver.range_display import display
from shopfit.solver.showing import Shower
from shopfit.solver.site import Site
from shopfit.stopping import StopFlag

_MOST_ROUNDS = 25
_SHORT = 1e-4
_LEAST_SECONDS = 15.0


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
        self._ends = time.monotonic() + max(_LEAST_SECONDS, self.options.seconds)

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
                return False if lasting else None
            if answer.floor is None or answer.short > _SHORT:
                return None
            cut_off = blockages(problem, answer.floor)
            if not cut_off:
                return True
            for group in cut_off:
                program.exclude(group)
                lasting &= group.lasting
        return None

    def shown(self, scenario: Scenario) -> int | None:
        """Give the facings of a layout that meets every minimum; none where none was found."""
        if self.out_of_time or self.shower is None:
            return None
        return self.shower.facings(scenario, self.options, self.stop)


def _nothing_to_choose(problem: FloorProblem) -> bool:
    """Say whether a wanted fixture has no position at all."""
    for wanted in problem.site.brief.wanted:
        if wanted.at_least > 0:
            own = [problem.fixture(i) for i in range(len(problem.candidates))]
            if not any(f and (f.id == wanted.fixture or f.kind == wanted.kind) for f in own):
                return True
    return False
