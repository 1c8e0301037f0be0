"""Searches for the best layout whose whole sheets and packs keep to budget and stock."""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from dataclasses import dataclass, replace

from shopfit.affording.asked import Asked
from shopfit.affording.keptback import KeptBack
from shopfit.affording.lightening import lightened
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
from shopfit.solver.spending import MONEY_STEP, buyable
from shopfit.stopping import StopFlag

_TRIES = 3
# The part of the seconds that one of them has where there is a budget, and how many it has at
# least, as far as that is not more than half of those asked for.
_AGAIN_SHARE = 1 / 6
_AGAIN_SECONDS = 2.0
# Part of the worth that may be lost without another search, where the first did not end by itself.
LITTLE = 0.05
# What of an answer is no longer needed once what is bought keeps to the budget.
_DONE_WITH = {"paid": None, "within": None, "bound": None}


@dataclass(frozen=True)
class Again:
    """What it takes to solve again with money or sheets kept back.

    Parameters
    ----------
    scenario, options, listener, stop
        As given to `solve`.
    search
        The solver, for further searches.
    first
        The completed answer for the whole budget.
    bound
        What the first search proved, for where its own layout misses a minimum and is told without.
    """

    scenario: Scenario
    options: SolveOptions
    listener: Listener
    stop: StopFlag
    search: Callable[..., Solution]
    first: Layout
    bound: float | None = None

    @property
    def budget(self) -> float:
        """Most that a layout may cost."""
        given = self.scenario.brief.budget
        return math.inf if given is None else given

    def solve(self, asked: Asked, seconds: float) -> Solution:
        """Solve with less money, dearer packs or fewer sheets of some kinds, shortly.

        Progress tells the bound of the first answer.
        """
        bound = self.first.proof.bound if self.first.proof else None

        def hear(progress: Progress) -> None:
            value = progress.objective
            self.listener(
                replace(
                    progress,
                    stage=f"{progress.stage}, {asked.told}",
                    seconds=seconds + progress.seconds,
                    bound=bound,
                    gap=None if value is None else gap_between(value, bound),
                )
            )

        return self.search(
            asked.of(self.scenario),
            self.options.model_copy(update={"seconds": self._each}),
            listener=hear,
            stop=self.stop,
            bought=complete,
            within=within_budget,
            sold=self.scenario,
        )

    @property
    def _each(self) -> float:
        """Seconds of a further search, which are doubled where goods are chosen anew for money."""
        asked = self.options.seconds
        if self.scenario.brief.budget is None:
            return asked / 2
        return max(_AGAIN_SHARE * asked, min(_AGAIN_SECONDS, asked / 2))

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
            missed = missing(self.scenario, layout)
            told = missed_stage(missed), *wishes_stage(self.scenario.brief, broken)
            # Bounds are of layouts that miss no minimum.
            bound = self.bound if first.bound is None else first.bound
            known = first.model_copy(update={"bound": bound if missed <= 0 else None})
            proof = _against(known, reached, how, layout.claims.cost, told)
        return layout.model_copy(update={"proof": proof, "timing": timing})


def afford(again: Again, first: Solution) -> Solution:
    """Where whole sheets and packs are too dear or too many, take out, or solve with less.

    Taking out what is worth least for its money mostly loses little. Where it loses much, or
    anything and the first search ended because it was good enough, or it cannot be done without
    giving up a minimum, the search is asked a few times more, each time shortly: with every item
    at what whole packs of it came to, and with ever more of the overshoot kept back. The best
    layout within the budget and the sheets to be had is kept.
    """
    reached = again.first
    if buyable(again.scenario, reached):
        return first.model_copy(update={"layout": reached, **_DONE_WITH})
    again = replace(again, bound=first.bound)
    seconds, began = reached.timing.seconds, time.monotonic()
    asked, layout = Asked(), _paid(again, first, reached)
    money = KeptBack(again.budget, layout.claims.cost - again.budget)
    found, best = first, _trimmed(again, first, layout, seconds + time.monotonic() - began)
    nearest = _nearest(again, reached, layout)
    for attempt in range(_TRIES):
        if again.stop.requested or (best is not None and _little_lost(again, best)):
            break
        if found.layout is not None:
            asked = asked.after(again.scenario, layout)
            if attempt:
                worse = missing(again.scenario, layout) > missing(again.scenario, again.first)
                money.after(layout.claims.cost - again.budget, worse, 2 ** (attempt - 1))
        elif not money.refused():
            # Whole sheets cannot be halved, and fewer still would be no help.
            break
        elif money.plain:
            asked = replace(asked, times={})
        asked = replace(asked, kept_back=money.now)
        found = again.solve(asked, seconds + time.monotonic() - began)
        if found.layout is None:
            continue
        reached = complete(again.scenario, found.layout)
        layout = _paid(again, found, reached)
        nearest = _nearest(again, nearest, reached, layout)
        later = _trimmed(again, found, layout, seconds + time.monotonic() - began)
        best = max((each for each in (best, later) if each is not None), key=_worth, default=None)
    return _given(again, first, best, nearest)


def carried(again: Again, solution: Solution) -> Solution:
    """Give an answer with goods taken out of what is too heavy for a raised floor.

    The search does not know what the floor carries, so its bound holds for more than this layout.
    On a slab on the ground too much is advice, and nothing is taken out.

    Parameters
    ----------
    again, solution
        What was asked for, and the answer within budget and stock.
    """
    layout = solution.layout
    if layout is None or (less := lightened(again.scenario, layout)) is layout:
        return solution
    judged = again.judged(less, layout.timing.seconds, _lighter(layout, less))
    return solution.model_copy(update={"layout": judged})


def _lighter(layout: Layout, less: Layout) -> str:
    gone = layout.claims.facings - less.claims.facings
    return f"{gone} facings taken out so that the floor carries what stands on it"


def _paid(again: Again, found: Solution, reached: Layout) -> Layout:
    """Give what a search filled for whole packs, or what it reached where it did not."""
    return reached if found.paid is None else complete(again.scenario, found.paid)


def _nearest(again: Again, *layouts: Layout) -> Layout:
    """Give the layout that misses least of minimums, and of those the cheapest."""
    return min(layouts, key=lambda each: (missing(again.scenario, each), each.claims.cost))


def _given(again: Again, first: Solution, best: Solution | None, nearest: Layout) -> Solution:
    """Give the best that can be bought, and say so where only a dearer one misses no minimum."""
    stopped = again.stop.requested
    if best is not None and best.layout is not None:
        missed, clash = missing(again.scenario, best.layout), None
        if missed > missing(again.scenario, nearest):
            clash = _too_much(again, nearest, missed)
        elif missed > 0:
            clash = best.clash or first.clash
        return best.model_copy(update={"clash": clash, "stopped": stopped})
    if stopped:
        return first.model_copy(update={"layout": nearest, **_DONE_WITH, "stopped": True})
    return Solution(outcome="no layout", clash=_too_much(again, nearest))


def _trimmed(again: Again, found: Solution, layout: Layout, seconds: float) -> Solution | None:
    """Give an answer with as much taken out as budget and stock ask for, or none.

    Where it cannot be done without giving up minimums, as few of them as can be are given up.
    """
    nearer = layout if found.within is None else complete(again.scenario, found.within)
    left = trim_sheets(again.scenario, nearer)
    left = left and within_budget(again.scenario, left)
    if left is None:
        return None
    judged = again.judged(left, seconds, _how(found, nearer, left))
    # Of two answers that one counts which shows more once the floor carries it.
    return carried(again, found.model_copy(update={"layout": judged, **_DONE_WITH}))


def within_budget(scenario: Scenario, layout: Layout) -> Layout | None:
    """Take out of a layout what is worth least for its money, minimums only if it has to be.

    Parameters
    ----------
    scenario, layout
        Which; the layout with its purchases.

    Returns
    -------
    None where the budget cannot be kept so.
    """
    budget = math.inf if scenario.brief.budget is None else scenario.brief.budget
    return trim(scenario, layout, budget) or trim(scenario, layout, budget, giving_up=True)


def _how(found: Solution, layout: Layout, left: Layout) -> str:
    gone = layout.claims.facings - left.claims.facings
    if gone:
        return f"{gone} facings taken out so that whole sheets and packs keep to budget and stock"
    if found.paid is not None:
        return "goods chosen so that whole sheets and packs keep to the budget"
    return "searched again at what whole sheets and packs come to"


def _little_lost(again: Again, best: Solution) -> bool:
    """Say whether taking out lost too little of what the first answer shows to search again.

    Parameters
    ----------
    again
        What was asked for, and the first answer.
    best
        What is left of it for the budget.
    """
    proof = again.first.proof
    # By the gap and not by a clock, so that equal searches give equal layouts.
    ended = proof is not None and proof.gap is not None and proof.gap <= again.options.gap + 1e-9
    least = 1.0 if ended else 1.0 - LITTLE
    assert best.layout is not None
    if missing(again.scenario, best.layout) > 0:
        # Another floor may miss less, even if it shows less.
        return False
    # Its floor was chosen for money by the piece, so another may be far better.
    most = worth(again.scenario, again.first)
    most = max(most, proof.bound if proof is not None and proof.bound is not None else most)
    return _worth(best)[1] >= least * most


def _worth(solution: Solution) -> tuple[float, float, float]:
    layout = solution.layout
    assert layout is not None
    value = layout.proof.objective if layout.proof else float(layout.claims.facings)
    missed = layout.proof.missed if layout.proof else 0.0
    return -missed, value, -layout.claims.cost


def _too_much(again: Again, nearest: Layout, missed: float = math.inf) -> Clash:
    """Say what no layout that was found keeps to: the budget, or the sheets to be had.

    Parameters
    ----------
    again, nearest
        What was asked for, and the cheapest layout found.
    missed
        What the layout that is given misses of minimums, more than the cheapest; infinite where
        none is given.
    """
    if nearest.claims.cost > again.budget + MONEY_STEP:
        return too_dear(again.scenario, nearest, missed)
    return too_few_sheets(again.scenario, nearest)


def too_dear(scenario: Scenario, nearest: Layout, missed: float = math.inf) -> Clash:
    """Say that no layout within the budget was found, and what the cheapest costs."""
    currency, budget = scenario.shop.currency, scenario.brief.budget or 0.0
    cost = math.ceil(nearest.claims.cost * 100 - 1e-6) / 100
    short = missing(scenario, nearest)
    facings = None if short > 0 else nearest.claims.facings
    which = "nearest layout found" if short > 0 else "cheapest layout found that misses no minimum"
    which += ", which misses less," if math.isfinite(missed) and short > 0 else ""
    return Clash(
        reason=(
            f"The {which} costs "
            f"{currency} {cost:,.2f} with whole sheets and packs; the budget is "
            f"{currency} {budget:,.2f}. No such layout within it was found."
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
        stage.model_copy(update={"value": later.objective, "bound": first.bound, "gap": gap})
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
