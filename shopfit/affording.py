"""Keeps a layout within the budget where whole sheets and packs cost more than the pieces used."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Change, Clash, Listener, Progress, Solution
from shopfit.model.proof import Proof
from shopfit.model.scenario import Scenario
from shopfit.stopping import StopFlag

# Half a cent: money is counted in floats.
_MONEY_STEP = 0.005
TRIES = 3
# Part of the budget that may be left without another try.
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
            value = progress.facings if self.scenario.brief.objective == "facings" else None
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

    def judged(self, layout: Layout, kept_back: float, seconds: float) -> Layout:
        """Measure a later answer against the bound of the first, which holds for the budget."""
        first, proof = self.first.proof, layout.proof
        timing = layout.timing.model_copy(
            update={
                "seconds": seconds,
                "first_layout_seconds": self.first.timing.first_layout_seconds,
            }
        )
        if first is not None and proof is not None:
            proof = _against(first, proof, f"with {kept_back:,.2f} of the budget kept for packs")
        return layout.model_copy(update={"proof": proof, "timing": timing})


def afford(again: Again, first: Solution) -> Solution:
    """Where the true cost is over the budget, solve again with money kept back.

    The money kept back is searched for between what was too little and what was more than
    needed, a few times; the best layout within the budget is kept.
    """
    from shopfit.quantities.takeoff import complete

    nearest, budget = again.first, again.scenario.brief.budget
    if budget is None or not _over(nearest, budget):
        return first.model_copy(update={"layout": nearest})
    over_cost, too_little, too_much = nearest.claims.cost - budget, 0.0, math.inf
    seconds = nearest.timing.seconds
    best: Solution | None = None
    for _ in range(TRIES):
        if again.stop.requested or (best is not None and _hardly_better(best, budget)):
            break
        kept_back = too_little + over_cost
        if kept_back >= too_much:
            kept_back = (too_little + too_much) / 2
        found = again.solve(kept_back, seconds)
        if found.layout is None:
            too_much = kept_back
            continue
        seconds += found.layout.timing.seconds
        layout = again.judged(complete(again.scenario, found.layout), kept_back, seconds)
        if _over(layout, budget):
            too_little, over_cost = kept_back, layout.claims.cost - budget
            nearest = min(nearest, layout, key=lambda each: each.claims.cost)
        else:
            too_much = kept_back
            found = found.model_copy(update={"layout": layout})
            best = found if best is None else max(best, found, key=_worth)
    if best is not None:
        return best.model_copy(update={"stopped": again.stop.requested})
    if again.stop.requested:
        return first.model_copy(update={"layout": nearest, "stopped": True})
    return Solution(outcome="no layout", clash=_too_dear(again.scenario, nearest))


def _hardly_better(solution: Solution, budget: float) -> bool:
    """Say whether little money is left, or nothing better is possible."""
    layout = solution.layout
    assert layout is not None
    proved = layout.proof is not None and layout.proof.gap == 0
    return proved or budget - layout.claims.cost <= LITTLE * budget


def _worth(solution: Solution) -> tuple[float, float]:
    layout = solution.layout
    assert layout is not None
    worth = layout.proof.objective if layout.proof else float(layout.claims.facings)
    return worth, -layout.claims.cost


def _over(layout: Layout, budget: float) -> bool:
    return layout.claims.cost > budget + _MONEY_STEP


def _too_dear(scenario: Scenario, nearest: Layout) -> Clash:
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


def _against(first: Proof, later: Proof, scope: str) -> Proof:
    gap = _gap(later.objective, first.bound)
    status = later.status
    if status == "proved" and gap != 0.0:
        status = "not measured" if gap is None else "within gap"
    honest = [
        stage.model_copy(update={"value": later.objective, "gap": gap})
        for stage in first.stages
        if stage.bound is not None and stage.bound == first.bound
    ][:1]
    lowered = [
        stage.model_copy(update={"scope": f"{stage.scope}, {scope}"}) for stage in later.stages
    ]
    return later.model_copy(
        update={
            "status": status,
            "bound": first.bound,
            "gap": gap,
            "stages": (*honest, *lowered),
        }
    )
