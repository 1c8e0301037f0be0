"""How good a layout is, and how that is known."""

from __future__ import annotations

import math
from typing import Literal

from shopfit.model.base import Frozen

Status = Literal["proved", "within gap", "stopped", "not measured"]

# What the first stage of all is called.
MISSED = "minimums missed"
# What the bound of the first stage after the minimums holds for.
FIRST = "grid and rules"
# What bounds of the stages after the first hold for.
AFTER_FIRST = "grid and rules, among layouts that keep what the stages before have reached"


def gap_between(value: float, bound: float | None) -> float | None:
    """Give the distance of a worth from its bound as a part of it; none where that says nothing.

    Parameters
    ----------
    value, bound
        What was reached, and what is proved to be out of reach beyond, if anything is.
    """
    if bound is None or not math.isfinite(bound) or bound < 0:
        return None
    return max(0.0, (bound - value) / bound) if bound > 0 else 0.0


class Stage(Frozen):
    """One stage of the lexicographic search.

    Parameters
    ----------
    objective
        What the stage made largest or smallest.
    value, bound
        Reached, and proved to be out of reach beyond.
    gap
        Distance of the two, as a part of the greater one; 0 is proved.
    scope
        What the bound holds for.
    """

    objective: str
    value: float
    bound: float | None
    gap: float | None
    scope: str


class Proof(Frozen):
    """What is known of a layout's worth.

    Parameters
    ----------
    status
        ``proved`` where value equals bound.
    objective, bound, gap
        Of the first stage after the minimums; no bound and no gap where minimums are missed, for
        bounds hold for layouts that miss none.
    grid
        The positions that the bound holds for, in words.
    rules
        The rules that the bound holds for, in words.
    step_mm
        Step of the position grid, millimetres.
    candidates
        Number of fixture positions tried.
    stages
        Every stage.
    seed, workers, effort
        What was asked of the solver; effort is the deterministic budget.
    repeatable
        Whether the same scenario, seed and budget give this layout again.
    """

    status: Status
    objective: float
    bound: float | None
    gap: float | None
    grid: str
    rules: str
    step_mm: float
    candidates: int
    stages: tuple[Stage, ...] = ()
    seed: int = 0
    workers: int = 1
    effort: float = 0.0
    repeatable: bool = True

    @property
    def missed(self) -> float:
        """Facings and units that minimums want and the layout does not have."""
        return sum(stage.value for stage in self.stages if stage.objective == MISSED)


class Timing(Frozen):
    """When and how long; the only part of a layout that differs between equal runs.

    Parameters
    ----------
    made
        Moment of making, ISO 8601, UTC.
    seconds, first_layout_seconds
        In all, and until the first layout that meets every rule.
    """

    made: str = ""
    seconds: float = 0.0
    first_layout_seconds: float | None = None
