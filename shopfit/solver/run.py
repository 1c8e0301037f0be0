"""The way in: solve a scenario."""

from __future__ import annotations

from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Listener, Solution
from shopfit.model.scenario import Scenario
from shopfit.solver.search import Search
from shopfit.stopping import StopFlag


def solve(
    scenario: Scenario,
    options: SolveOptions,
    *,
    listener: Listener,
    stop: StopFlag,
    start: Layout | None = None,
) -> Solution:
    """Solve a scenario.

    Parameters
    ----------
    scenario
        What is given, free of faults.
    options
        Time budget, threads, seed and the gap that is good enough.
    listener
        Told of every step and every better layout; called from this thread.
    stop
        Raise it to end early with the best so far.
    start
        A layout to start from; kept if its fixtures may still stand where they do and nothing
        better is found.

    Returns
    -------
    A layout without purchases, or the clash of wishes that leaves none.
    """
    return Search(scenario, options, listener, stop, start).run()
