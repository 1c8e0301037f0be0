"""Lays changed scenarios out, to show that a change helps."""

from __future__ import annotations

from dataclasses import dataclass
from threading import Timer
from typing import Protocol

from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Listener, Progress, Solution
from shopfit.model.scenario import Scenario
from shopfit.solver.spending import Bought, buyable
from shopfit.stopping import StopFlag

# Seconds asked of a search that ends with the first layout, and the part of those asked for the
# whole search, or the seconds at least, after which a clock ends it.
_SECONDS = 3.0
_GUARD_SHARE = 0.25
_GUARD_SECONDS = 5.0


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
    """Lays scenarios out in whole facings, and tells what can be bought in whole sheets and packs.

    Parameters
    ----------
    solve, bought
        What lays a scenario out, and what gives a layout with what is bought for it; without it
        purchases are not counted.
    """

    solve: Solve
    bought: Bought | None

    def laid(self, scenario: Scenario, options: SolveOptions, stop: StopFlag) -> Layout | None:
        """Give the first layout found that misses no minimum, with its purchases, or none.

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

        own = options.model_copy(update={"seconds": min(_SECONDS, options.seconds)})
        guard = Timer(max(_GUARD_SECONDS, _GUARD_SHARE * options.seconds), enough.request)
        guard.start()
        try:
            found = self.solve(scenario, own, listener=hear, stop=enough, why=False).layout
        finally:
            guard.cancel()
        if found is None or found.proof is None or found.proof.missed > 0:
            return None
        return found if self.bought is None else self.bought(scenario, found)

    def fits(self, scenario: Scenario, layout: Layout) -> bool:
        """Say whether what is bought for a layout keeps to the budget and to what can be had."""
        return self.bought is None or buyable(scenario, layout)
