"""What is asked of the solver: a search, and further ones that reckon money otherwise."""

from __future__ import annotations

from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Listener, Solution
from shopfit.model.scenario import Scenario
from shopfit.solver.search import Search
from shopfit.solver.searchagain import SearchAgain
from shopfit.solver.spending import Bought, Within
from shopfit.stopping import StopFlag


def solve(
    scenario: Scenario,
    options: SolveOptions,
    *,
    listener: Listener,
    stop: StopFlag,
    start: Layout | None = None,
    bought: Bought | None = None,
    why: bool = True,
    within: Within | None = None,
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
        A layout to start from; kept if it may still stand and nothing better is found.
    bought
        Gives a layout with its purchases in whole sheets and packs; none not to count them.
    why
        Whether to find out why there is no layout, where there is none.
    within
        Takes out of a layout with its purchases what is too dear for the budget.

    Returns
    -------
    A layout without purchases, and the same floor filled for the budget in whole packs where there
    is one; or the clash of wishes that leaves none.
    """
    return Search(scenario, options, listener, stop, start, bought, why, within).run()


def solve_again(
    scenario: Scenario,
    options: SolveOptions,
    *,
    listener: Listener,
    stop: StopFlag,
    bought: Bought,
    within: Within,
    sold: Scenario,
) -> Solution:
    """Solve a scenario in which money, packs or sheets are reckoned otherwise than they are sold.

    Parameters
    ----------
    scenario
        What is reckoned with.
    options
        As for `solve`; as many seconds are spent besides on choosing goods for whole packs.
    listener, stop
        As for `solve`.
    bought, within
        Give a layout with its purchases, and what is left of it for the budget.
    sold
        The scenario whose prices and budget hold in the end.

    Returns
    -------
    As `solve` gives it, without a bound of use and without reasons where there is no layout.
    """
    return SearchAgain(scenario, options, listener, stop, None, bought, False, within, sold).run()
