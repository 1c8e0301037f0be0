"""Lays a changed scenario out, to show that the change helps."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Listener, Progress, Solution
from shopfit.model.scenario import Scenario
from shopfit.solver.spending import Bought, sheets_over
from shopfit.stopping import StopFlag

# Seconds asked of a search that ends with the first layout.
_SECONDS = 3.0
# Half a cent: money is counted in floats.
_MONEY_STEP = 0.005


class Solve(Protocol):
    """What lays a scenario out."""

    def __call__(
        self,
        scenario: Scenario,
        options: SolveOptions,
        *,
        listener: Listener,
        stop: StopFlag,
        why: bool,
    ) -> Solution:
        """Give a layout, or none."""


@dataclass(frozen=True)
class Shower:
    """Tells whether a layout is soon found, in whole facings, sheets and packs.

    Parameters
    ----------
    solve, bought
        What lays a scenario out, and what gives a layout with what is bought for it; without it
        purchases are not counted.
    """

    solve: Solve
    bought: Bought | None

    def facings(self, scenario: Scenario, options: SolveOptions, stop: StopFlag) -> int | None:
        """Give the facings of a layout that misses no minimum and can be bought, or none.

        Parameters
        ----------
        scenario
            What is to be laid out.
        options, stop
            Threads and seed, and the stop flag.
        """
        enough = StopFlag(stop)

        def hear(progress: Progress) -> None:
            if progress.objective is not None:
                enough.request()

        seconds = min(_SECONDS, options.seconds)
        own = options.model_copy(update={"seconds": seconds})
        found = self.solve(scenario, own, listener=hear, stop=enough, why=False).layout
        if found is None or found.proof is None or found.proof.missed > 0:
            return None
        return found.claims.facings if self._fits(scenario, found) else None

    def _fits(self, scenario: Scenario, layout: Layout) -> bool:
        """Say whether whole sheets and packs keep to the budget and to what can be had."""
        if self.bought is None:
            return True
        budget, complete = scenario.brief.budget, self.bought(scenario, layout)
        dear = budget is not None and complete.claims.cost > budget + _MONEY_STEP
        return not dear and not sheets_over(scenario, complete)
