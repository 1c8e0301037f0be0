"""Searches for the best layout whose whole sheets and packs keep to the budget."""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from dataclasses import dataclass, replace

from shopfit.affording.trim import trim, worth
from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Change, Clash, Listener, Progress, Solution
from shopfit.model.proof import FIRST, Proof, Stage
from shopfit.model.scenario import Scenario
from shopfit.quantities.takeoff import complete
from shopfit.solver.keptwishes import broken_in
from shopfit.solver.proving import wishes_stage
from shopfit.stopping import StopFlag

# Half a cent: money is counted in floats.
_MONEY_STEP = 0.005
_TRIES = 3
# Part of the worth that may be lost without another search, where the first did not end by itself.
LITTLE = 0.05


@dataclass(frozen=True)
class Again:
    """What it takes to solve again with money kept back.

    Parameters
    ----------
    scenario, options, listener, stop
        As given to `solve`.
    search
        The solver.
    first
        The completed answer for the whole budget.
    """

    scenario: Scenario
    options: SolveOptions
    listener: Listener
    stop: StopFlag
    search: Callable[..., Solution]
    first: Layout

    def solve(self, kept_back: float, seconds: float) -> Solution:
        """Solve with less money and half the time; progress tells the bound of the first answer."""
        budget = max(0.0, (self.scenario.brief.budget or 0.0) - kept_back)
        brief = self.scenario.brief.model_copy(update={"budget": budget})
        shop = self.scenario.shop.model_copy(update={"brief": brief})
        bound = self.first.proof.bound if self.first.proof else None

        def hear(progress: Progress) -> None:
            value = progress.objective
            self.listener(
                replace(
                    progress,
                    stage=f"{progress.stage}, keeping {kept_back:,.2f} for whole packs",
                    seconds=seconds + progress.seconds,
                    bound=bound,
                    gap=None if value is None else _gap(value, bound),
                )
            )

        return self.search(
            self.scenario.model_copy(update={"shop": shop}),
            self.options.model_copy(update={"seconds": self.options.seconds / 2}),
            listener=hear,
            stop=self.stop,
        )

    def judged(self, layout: Layout, seconds: float, how: str) -> Layout:
        """Measure a later answer against the bound of the first, which holds for the budget."""
        first, proof = self.first.proof, layout.proof
        timing = layout.timing.model_copy(
            update={
                "seconds": round(seconds, 3),
                "first_layout_seconds": self.first.timing.first_layout_seconds,
            }
        )
        if first is not None and proof is not None:
            value = worth(self.scenario, layout)
            reached = proof.model_copy(update={"objective": value})
            broken = broken_in(self.scenario, layout)
            told = wishes_stage(self.scenario.brief, broken)
            proof = _against(first, reached, how, layout.claims.cost, told)
        return layout.model_copy(update={"proof": proof, "timing": timing})


def afford(again: Again, first: Solution) -> Solution:
    """Where the true cost is over the budget, take things out, or solve again with less money.

    Taking out what is worth least for its money mostly loses little. Where it loses much, or
    anything and the first search ended because it was good enough, the search is asked once more
    with the overshoot kept back; where it cannot be done without giving up a minimum, a few times.
    The best layout within the budget is kept.
    """
    layout, budget = again.first, again.scenario.brief.budget
    if budget is None or not _over(layout, budget):
        return first.model_copy(update={"layout": layout})
    seconds, began = layout.timing.seconds, time.monotonic()
    kept_back, too_little, too_much = 0.0, 0.0, math.inf
    nearest, found, best = layout, first, _trimmed(again, first, layout, seconds)
    for attempt in range(_TRIES):
        if again.stop.requested or (best is not None and (attempt or _little_lost(again, best))):
            break
        if found.layout is not None:
            too_little = kept_back
            kept_back += layout.claims.cost - budget
        if kept_back >= too_much:
            kept_back = (too_little + too_much) / 2
        found = again.solve(kept_back, seconds + time.monotonic() - began)
        if found.layout is None:
            too_much = kept_back
            continue
        layout = complete(again.scenario, found.layout)
        nearest = min(nearest, layout, key=lambda each: each.claims.cost)
        later = _trimmed(again, found, layout, seconds + time.monotonic() - began)
        best = max((each for each in (best, later) if each is not None), key=_worth, default=None)
    if best is not None:
        return best.model_copy(update={"stopped": again.stop.requested})
    if again.stop.requested:
        return first.model_copy(update={"layout": nearest, "stopped": True})
    return Solution(outcome="no layout", clash=too_dear(again.scenario, nearest))


def _trimmed(again: Again, found: Solution, layout: Layout, seconds: float) -> Solution | None:
    """Give an answer with as much taken out as the budget asks for, or none."""
    left = trim(again.scenario, layout, again.scenario.brief.budget or 0.0)
    if left is None:
        return None
    return found.model_copy(update={"layout": again.judged(left, seconds, _how(layout, left))})


def _how(layout: Layout, left: Layout) -> str:
    gone = layout.claims.facings - left.claims.facings
    if not gone:
        return "searched again with money kept back for whole sheets and packs"
    return f"{gone} facings taken out so that whole sheets and packs keep to the budget"


def _little_lost(again: Again, best: Solution) -> bool:
    """Say whether taking out lost too little of what the first answer reached to search again."""
    proof = again.first.proof
    # By the gap and not by a clock, so that equal searches give equal layouts.
    ended = proof is not None and proof.gap is not None and proof.gap <= again.options.gap + 1e-9
    least = 1.0 if ended else 1.0 - LITTLE
    return _worth(best)[0] >= least * worth(again.scenario, again.first)


def _worth(solution: Solution) -> tuple[float, float]:
    layout = solution.layout
    assert layout is not None
    value = layout.proof.objective if layout.proof else float(layout.claims.facings)
    return value, -layout.claims.cost


def _over(layout: Layout, budget: float) -> bool:
    return layout.claims.cost > budget + _MONEY_STEP


def too_dear(scenario: Scenario, nearest: Layout) -> Clash:
    """Say that no layout within the budget was found, and what the cheapest costs."""
    currency, budget = scenario.shop.currency, scenario.brief.budget or 0.0
    cost = math.ceil(nearest.claims.cost * 100 - 1e-6) / 100
    return Clash(
        reason=(
            f"The cheapest layout found costs {currency} {cost:,.2f} with whole sheets and packs; "
            f"the budget is {currency} {budget:,.2f}. No layout within it was found."
        ),
        wishes=(f"a budget of {currency} {budget:,.2f}",),
        changes=(Change(wish="budget", change=f"{cost:.2f}"),),
        proved=False,
    )


def _gap(value: float, bound: float | None) -> float | None:
    if bound is None:
        return None
    return max(0.0, (bound - value) / bound) if bound > 0 else 0.0


def _against(first: Proof, later: Proof, how: str, cost: float, wishes: tuple[Stage, ...]) -> Proof:
    gap = _gap(later.objective, first.bound)
    status = later.status
    broken = any(stage.value > 0 for stage in wishes)
    if status == "proved" and (gap != 0.0 or broken):
        status = "not measured" if gap is None else "within gap"
    honest = [
        stage.model_copy(update={"value": later.objective, "gap": gap})
        for stage in first.stages
        if stage.scope == FIRST
    ]
    kept = Stage(objective="cost within the budget", value=cost, bound=None, gap=None, scope=how)
    return later.model_copy(
        update={
            "status": status,
            "bound": first.bound,
            "gap": gap,
            "stages": (*wishes, *honest, kept),
        }
    )
