"""Searches for the best layout whose whole sheets and packs keep to budget and stock."""

from __future__ import annotations

import math
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, replace

from shopfit.affording.stock import too_few_sheets, trim_sheets
from shopfit.affording.trim import missing, trim, worth
from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Change, Clash, Listener, Progress, Solution
from shopfit.model.proof import FIRST, Proof, Stage, gap_between
from shopfit.model.scenario import Scenario
from shopfit.quantities.takeoff import complete
from shopfit.solver.keptwishes import broken_in
from shopfit.solver.proving import missed_stage, wishes_stage
from shopfit.solver.spending import MONEY_STEP, buyable, sheets_over
from shopfit.stopping import StopFlag

_TRIES = 3
# Part of the worth that may be lost without another search, where the first did not end by itself.
LITTLE = 0.05


@dataclass(frozen=True)
class Again:
    """What it takes to solve again with money or sheets kept back.

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

    @property
    def budget(self) -> float:
        """Most that a layout may cost."""
        given = self.scenario.brief.budget
        return math.inf if given is None else given

    def solve(self, kept_back: float, sheets: dict[str, int], seconds: float) -> Solution:
        """Solve with less money, or with fewer sheets of some kinds, in half the time.

        Progress tells the bound of the first answer.
        """
        brief = self.scenario.brief
        if brief.budget is not None:
            brief = brief.model_copy(update={"budget": max(0.0, brief.budget - kept_back)})
        shop = self.scenario.shop.model_copy(update={"brief": brief})
        fewer = tuple(
            sheet.model_copy(
                update={"available": max(0, sheet.available - sheets.get(sheet.id, 0))}
            )
            for sheet in self.scenario.catalogue.sheets
        )
        catalogue = self.scenario.catalogue.model_copy(update={"sheets": fewer})
        bound = self.first.proof.bound if self.first.proof else None
        what = f"{kept_back:,.2f}" if kept_back else "some slat-wall"

        def hear(progress: Progress) -> None:
            value = progress.objective
            self.listener(
                replace(
                    progress,
                    stage=f"{progress.stage}, keeping {what} for whole sheets and packs",
                    seconds=seconds + progress.seconds,
                    bound=bound,
                    gap=None if value is None else gap_between(value, bound),
                )
            )

        return self.search(
            self.scenario.model_copy(update={"shop": shop, "catalogue": catalogue}),
            self.options.model_copy(update={"seconds": self.options.seconds / 2}),
            listener=hear,
            stop=self.stop,
            why=False,
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
            told = (
                missed_stage(missing(self.scenario, layout)),
                *wishes_stage(self.scenario.brief, broken),
            )
            proof = _against(first, reached, how, layout.claims.cost, told)
        return layout.model_copy(update={"proof": proof, "timing": timing})


def afford(again: Again, first: Solution) -> Solution:
    """Where whole sheets and packs are too dear or too many, take out, or solve with less.

    Taking out what is worth least for its money mostly loses little. Where it loses much, or
    anything and the first search ended because it was good enough, the search is asked once more
    with the overshoot kept back, and where much is lost all the same or it cannot be done without
    giving up a minimum, a few times.
    The best layout within the budget and the sheets to be had is kept.
    """
    layout = again.first
    if buyable(again.scenario, layout):
        return first.model_copy(update={"layout": layout})
    seconds, began = layout.timing.seconds, time.monotonic()
    kept_back, too_little, too_much = 0.0, 0.0, again.budget
    sheets: Counter[str] = Counter()
    nearest, found, best = layout, first, _trimmed(again, first, layout, seconds)
    most_missing = missing(again.scenario, layout)
    for attempt in range(_TRIES):
        if again.stop.requested or (best is not None and _little_lost(again, best, layout)):
            break
        if found.layout is not None:
            too_little = kept_back
            # What costs as much in whole packs is mostly found again unless ever more is kept back.
            kept_back += 2**attempt * max(0.0, layout.claims.cost - again.budget)
            sheets += Counter(sheets_over(again.scenario, layout))
        if kept_back >= too_much:
            kept_back = (too_little + too_much) / 2
        found = again.solve(kept_back, sheets, seconds + time.monotonic() - began)
        if found.layout is not None and missing(again.scenario, found.layout) > most_missing:
            # With so little money or slat-wall something is missed that need not be.
            found = found.model_copy(update={"outcome": "no layout", "layout": None})
        if found.layout is None:
            if sheets and not kept_back:
                # Whole sheets cannot be halved, and fewer still would be no help.
                break
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
    return Solution(outcome="no layout", clash=_too_much(again, nearest))


def _trimmed(again: Again, found: Solution, layout: Layout, seconds: float) -> Solution | None:
    """Give an answer with as much taken out as budget and stock ask for, or none."""
    left = trim_sheets(again.scenario, layout)
    left = left and trim(again.scenario, left, again.budget)
    if left is None:
        return None
    return found.model_copy(update={"layout": again.judged(left, seconds, _how(layout, left))})


def _how(layout: Layout, left: Layout) -> str:
    gone = layout.claims.facings - left.claims.facings
    if not gone:
        return "searched again with some kept back for whole sheets and packs"
    return f"{gone} facings taken out so that whole sheets and packs keep to budget and stock"


def _little_lost(again: Again, best: Solution, layout: Layout) -> bool:
    """Say whether taking out lost too little of what was reached last to search again.

    Parameters
    ----------
    again
        What was asked for.
    best
        The best answer so far with enough taken out.
    layout
        The last answer before that: once it is not the first any more a little may be lost.
    """
    proof = again.first.proof
    # By the gap and not by a clock, so that equal searches give equal layouts.
    ended = proof is not None and proof.gap is not None and proof.gap <= again.options.gap + 1e-9
    least = 1.0 if ended and layout is again.first else 1.0 - LITTLE
    return _worth(best)[1] >= least * worth(again.scenario, layout)


def _worth(solution: Solution) -> tuple[float, float, float]:
    layout = solution.layout
    assert layout is not None
    value = layout.proof.objective if layout.proof else float(layout.claims.facings)
    missed = layout.proof.missed if layout.proof else 0.0
    return -missed, value, -layout.claims.cost


def _too_much(again: Again, nearest: Layout) -> Clash:
    """Say what no layout that was found keeps to: the budget, or the sheets to be had."""
    if nearest.claims.cost > again.budget + MONEY_STEP:
        return too_dear(again.scenario, nearest)
    return too_few_sheets(again.scenario, nearest)


def too_dear(scenario: Scenario, nearest: Layout) -> Clash:
    """Say that no layout within the budget was found, and what the cheapest costs."""
    currency, budget = scenario.shop.currency, scenario.brief.budget or 0.0
    cost = math.ceil(nearest.claims.cost * 100 - 1e-6) / 100
    facings = None if missing(scenario, nearest) > 0 else nearest.claims.facings
    return Clash(
        reason=(
            f"The cheapest layout found costs {currency} {cost:,.2f} with whole sheets and packs; "
            f"the budget is {currency} {budget:,.2f}. No layout within it was found."
        ),
        wishes=(f"a budget of {currency} {budget:,.2f}",),
        changes=(Change(wish="budget", change=f"{cost:.2f}", facings=facings),),
        proved=False,
    )


def _against(first: Proof, later: Proof, how: str, cost: float, before: tuple[Stage, ...]) -> Proof:
    gap = gap_between(later.objective, first.bound)
    status = later.status
    broken = any(stage.value > 0 for stage in before)
    if status == "proved" and (gap != 0.0 or broken):
        status = "not measured" if gap is None else "within gap"
    honest = [
        stage.model_copy(update={"value": later.objective, "gap": gap})
        for stage in first.stages
        if stage.scope == FIRST
    ]
    kept = Stage(
        objective="cost of whole sheets and packs", value=cost, bound=None, gap=None, scope=how
    )
    return later.model_copy(
        update={
            "status": status,
            "bound": first.bound,
            "gap": gap,
            "stages": (*before, *honest, kept),
        }
    )
