"""Keeps a rearrangement within the budget where whole sheets and packs cost more."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from shopfit.affording.budget import too_dear
from shopfit.affording.trim import trim
from shopfit.checks import measured_totals
from shopfit.model.layout import Layout
from shopfit.model.moves import Moves
from shopfit.model.progress import Solution
from shopfit.model.proof import Proof, Stage, Status
from shopfit.model.scenario import Scenario
from shopfit.quantities.takeoff import complete
from shopfit.solver.proving import NAMES
from shopfit.solver.rearranged import BLOCKS
from shopfit.solver.spending import MONEY_STEP

_TRIES = 3


def rearrange_within(
    scenario: Scenario,
    search: Callable[[Scenario], Solution],
    enough: Callable[[Layout], bool],
) -> Solution:
    """Rearrange within the budget where whole sheets and packs cost more than the pieces used.

    Goods are taken out that are worth least for their money; where too little is left then, the
    search is asked again with the overshoot kept back. Fixtures and runs are not taken out, for
    that would be one more move.

    Parameters
    ----------
    scenario
        What is given.
    search
        The solver; asked of the scenario, or of one with a smaller budget.
    enough
        Says whether a layout still shows as much as was asked for.
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
        if budget is not None and over > MONEY_STEP:
            left = trim(scenario, layout, budget, goods_only=True)
            layout = left if left is not None and enough(left) else layout
        if layout.claims.cost <= (budget or 0.0) + MONEY_STEP or budget is None or found.stopped:
            return found.model_copy(update={"layout": _judged(scenario, first, layout, kept_back)})
        kept_back += over
    if nearest is None:
        return found
    return Solution(outcome="no layout", clash=too_dear(scenario, nearest))


def counted(proof: Proof | None, moves: Moves) -> Proof | None:
    """Tell in a proof how many moves and changed blocks the list of moves comes to.

    Fewest blocks that the list comes below were counted in another way, and prove nothing.
    """
    if proof is None:
        return None
    stages = []
    for stage in proof.stages:
        if stage.objective == "moves":
            stage = _against(stage, moves.count, stage.bound)
        elif stage.objective == BLOCKS:
            held = stage.bound is not None and stage.bound <= moves.blocks_changed
            stage = _against(stage, moves.blocks_changed, stage.bound if held else None)
        stages.append(stage)
    return proof.model_copy(update={"stages": tuple(stages)})


def _against(stage: Stage, value: float, bound: float | None) -> Stage:
    """Measure a count against the fewest that are proved."""
    gap = None
    if bound is not None:
        gap = round((value - bound) / value, 6) if value > bound else 0.0
    return stage.model_copy(update={"value": float(value), "bound": bound, "gap": gap})


def _judged(scenario: Scenario, first: Layout, layout: Layout, kept_back: float) -> Layout:
    """Tell of a layout only what holds for the whole budget and for what it shows now.

    For that the fewest moves of the first answer stay proved. Its bound on worth was for as many
    moves as it took, and that of a later answer is for less money.
    """
    proof = layout.proof
    if proof is None or first.proof is None:
        return layout
    worth = measured_totals(scenario, layout).objective
    first_stages = {stage.objective: stage for stage in first.proof.stages}
    stages = []
    for stage in proof.stages:
        if stage.objective == "moves":
            stage = _against(stage, stage.value, first_stages["moves"].bound)
        elif stage.objective == BLOCKS and (kept_back or worth < proof.objective):
            stage = _against(stage, stage.value, None)
        elif stage.objective == NAMES[scenario.brief.objective][0]:
            bound = None if kept_back else stage.bound
            told = {"value": worth, "bound": bound, "gap": _gap(worth, bound)}
            stage = stage.model_copy(update=told)
        stages.append(stage)
    bound = None if kept_back else proof.bound
    status: Status = proof.status
    if status != "stopped":
        gap = _gap(worth, bound)
        status = "not measured" if gap is None else "proved" if gap == 0.0 else "within gap"
    update: dict[str, Any] = {
        "objective": worth,
        "bound": bound,
        "gap": _gap(worth, bound),
        "status": status,
        "stages": tuple(stages),
    }
    return layout.model_copy(update={"proof": proof.model_copy(update=update)})


def _gap(worth: float, bound: float | None) -> float | None:
    if bound is None:
        return None
    return round(max(0.0, (bound - worth) / bound), 6) if bound > 0 else 0.0


def _with_budget(scenario: Scenario, kept_back: float) -> Scenario:
    budget = max(0.0, (scenario.brief.budget or 0.0) - kept_back)
    brief = scenario.brief.model_copy(update={"budget": budget})
    shop = scenario.shop.model_copy(update={"brief": brief})
    return scenario.model_copy(update={"shop": shop})
