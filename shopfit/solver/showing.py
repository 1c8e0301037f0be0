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
_GUARD_SHARE = 0.4
_GUARD_SECONDS = 5.0
# A gap from the bound that every layout keeps to: the first that misses no minimum will do.
_ANY_GAP = 1.0


class Solve(Protocol):
    """What lays a scenario out."""

    def __call__(
        self,
        scenario: Scenario,
        options: SolveOptions,
        *,
        listener: Listener,
        stop: StopFlag,
        bought: Bought | None,
        why: bool,
    ) -> Solution:
        """Give a layout, or none; where purchases are counted, one for the budget with it."""


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

        Where there is a budget, its goods are chosen anew for whole packs if they cost more.

        Parameters
        ----------
        scenario
            What is to be laid out.
        options, stop
            Threads and seed, and the stop flag.
        """
        enough = StopFlag(stop)
        guard = Timer(max(_GUARD_SECONDS, _GUARD_SHARE * options.seconds), enough.request)
        guard.start()
        try:
            found = self._first(scenario, options, enough)
        finally:
            guard.cancel()
        every = [each for each in (found.layout, found.paid) if each is not None]
        met = [each for each in every if each.proof is not None and each.proof.missed <= 0]
        if self.bought is None:
            return met[0] if met else None
        whole = [self.bought(scenario, each) for each in met]
        return min(whole, key=lambda each: each.claims.cost, default=None)

    def _first(self, scenario: Scenario, options: SolveOptions, enough: StopFlag) -> Solution:
        """Search until a layout misses no minimum, and on for the money only."""
        money = self.bought is not None and scenario.brief.budget is not None

        def hear(progress: Progress) -> None:
            if progress.objective is not None and not money:
                enough.request()

        changed = {"seconds": min(_SECONDS, options.seconds)}
        own = options.model_copy(update=changed | ({"gap": _ANY_GAP} if money else {}))
        bought = self.bought if money else None
        return self.solve(scenario, own, listener=hear, stop=enough, bought=bought, why=False)

    def fits(self, scenario: Scenario, layout: Layout) -> bool:
        """Say whether what is bought for a layout keeps to the budget and to what can be had."""
        return self.bought is None or buyable(scenario, layout)
