"""Keeps a rearrangement within the budget where whole sheets and packs cost more."""

from __future__ import annotations

from collections.abc import Callable

from shopfit.affording.budget import too_dear
from shopfit.model.layout import Layout
from shopfit.model.progress import Solution
from shopfit.model.proof import Proof
from shopfit.model.scenario import Scenario
from shopfit.quantities.takeoff import complete

# Half a cent: money is counted in floats.
_MONEY_STEP = 0.005
_TRIES = 3


def rearrange_within(scenario: Scenario, search: Callable[[Scenario], Solution]) -> Solution:
    """Rearrange, and do so again with the overshoot kept back where whole packs cost too much.

    Nothing is taken out afterwards, for that would be one more move or one more changed block.

    Parameters
    ----------
    scenario
        What is given.
    search
        The solver; asked of the scenario, or of one with a smaller budget.
    """
    budget, kept_back = scenario.brief.budget, 0.0
    first: Layout | None = None
    nearest: Layout | None = None
    for _ in range(1 + _TRIES):
        found = search(_with_budget(scenario, kept_back) if kept_back else scenario)
        if found.layout is None:
            break
        layout = complete(scenario, found.layout)
        first = first or layout
        if nearest is None or layout.claims.cost < nearest.claims.cost:
            nearest = layout
        over = 0.0 if budget is None else layout.claims.cost - budget
        if over <= _MONEY_STEP or found.stopped:
            if layout is not first:
                layout = layout.model_copy(update={"proof": _against(first.proof, layout.proof)})
            return found.model_copy(update={"layout": layout})
        kept_back += over
    if nearest is None:
        return found
    return Solution(outcome="no layout", clash=too_dear(scenario, nearest))


def _with_budget(scenario: Scenario, kept_back: float) -> Scenario:
    budget = max(0.0, (scenario.brief.budget or 0.0) - kept_back)
    brief = scenario.brief.model_copy(update={"budget": budget})
    shop = scenario.shop.model_copy(update={"brief": brief})
    return scenario.model_copy(update={"shop": shop})


def _against(first: Proof | None, later: Proof | None) -> Proof | None:
    """Tell only what holds for the whole budget: the fewest moves of the first answer.

    The bound on worth was for as many moves as the first answer took, or for less money.
    """
    if first is None or later is None:
        return None
    least = next((s.bound for s in first.stages if s.objective == "moves"), None)
    stages = []
    for stage in later.stages:
        bound = least if stage.objective == "moves" else None
        gap = None
        if bound is not None:
            gap = round((stage.value - bound) / stage.value, 6) if stage.value > bound else 0.0
        honest = {"bound": bound, "gap": gap}
        stages.append(stage.model_copy(update={} if stage.bound == 0.0 else honest))
    status = later.status if later.status == "stopped" else "not measured"
    update = {"bound": None, "gap": None, "status": status, "stages": tuple(stages)}
    return later.model_copy(update=update)
