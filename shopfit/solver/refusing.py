"""Tells that there is no layout and why, at once where that is plain."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from shopfit.model.options import SolveOptions
from shopfit.model.progress import Clash, Solution
from shopfit.model.scenario import Scenario
from shopfit.solver.explain import explain
from shopfit.solver.floor import FloorProblem
from shopfit.solver.judging import refuted
from shopfit.solver.range_display import Display
from shopfit.solver.showing import Shower
from shopfit.stopping import StopFlag


@dataclass
class Refuser:
    """Refuses a scenario that no layout is found for, or none can be.

    Parameters
    ----------
    scenario, options, stop
        What is searched, how hard, and the stop flag.
    shower
        Who lays out what would help.
    why
        Whether to find out why there is no layout.
    tell
        Told before it is found out.

    Attributes
    ----------
    clash
        What was found out so far; none before.
    """

    scenario: Scenario
    options: SolveOptions
    stop: StopFlag
    shower: Shower
    why: bool
    tell: Callable[[str], None]
    clash: Clash | None = field(default=None, init=False)

    def plain(self, problem: FloorProblem, shown: Display) -> bool:
        """Say whether it is plain that every layout misses a minimum, if that is to be told.

        Parameters
        ----------
        problem, shown
            The positions of the search, and how lines can be shown.
        """
        return self.why and refuted(problem, shown, self.stop)

    def proved(self) -> Solution | None:
        """Find out once why there is no layout; gives it only where that is proved."""
        if not self.why or self.clash is not None:
            return None
        refused = self.no_layout()
        return refused if self.clash is not None and self.clash.proved else None

    def no_layout(self) -> Solution:
        """Say that there is no layout, and why."""
        if self.why and self.clash is None:
            self.tell("finding out why nothing fits")
            self.clash = explain(self.scenario, self.options, self.stop, self.shower)
        return Solution(outcome="no layout", clash=self.clash, stopped=self.stop.requested)
