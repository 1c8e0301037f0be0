"""Writes down how good a layout is and how that is known."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shopfit.model.brief import Brief
from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.proof import AFTER_FIRST, FIRST, MISSED, Proof, Stage, Status, Timing
from shopfit.solver.filling import Score
from shopfit.solver.keptwishes import wishes
from shopfit.solver.laterbounds import LaterBounds
from shopfit.solver.scope import RULES, grid_in_words
from shopfit.solver.site import Site
from shopfit.solver.spacing import Spacing

# What the first and the second stage are called, by objective.
NAMES = {
    "facings": ("facings", "value"),
    "value": ("value", "facings"),
    "sales": ("expected sales", "facings"),
}


# What is said of later stages without a bound.
UNPROVED = "better than others that were tried; not proved"
# Bounds of later stages are told in whole parts of so many to one.
_PARTS = 10_000
# A bound of whole things that falls short of the next by no more than this is taken for it.
_WHOLE = 1e-4
# What the last stage is called.
COST = "cost"
# What the stage of wishes on the places of goods is called.
WISHES = "merchandising wishes broken"


@dataclass(frozen=True)
class Reached:
    """What a search came to.

    Parameters
    ----------
    score, cost
        Of the layout, and the least money for all of it.
    bound, gap
        What is proved; none where nothing is.
    later
        What is proved of the stages after the first.
    candidates, spacing
        Number of positions tried, and how islands were spread.
    stopped, repeatable
        Whether a stop was asked for, and whether the same search gives the same layout.
    """

    score: Score
    cost: float
    bound: float
    gap: float | None
    later: LaterBounds
    candidates: int
    spacing: Spacing
    stopped: bool
    repeatable: bool


def proved(
    layout: Layout, site: Site, options: SolveOptions, reached: Reached, took: Timing
) -> Layout:
    """Give a layout with what a search came to and how long it took."""
    return layout.model_copy(update={"proof": proof(site, options, reached), "timing": took})


def timing(seconds: float, first: float | None) -> Timing:
    """Write down the seconds in all, and those until a first complete layout, if there was one."""
    return Timing(
        seconds=round(seconds, 3),
        first_layout_seconds=None if first is None else round(first, 3),
    )


def proof(site: Site, options: SolveOptions, reached: Reached) -> Proof:
    """Write down what a search came to."""
    score, names = reached.score, NAMES[site.brief.objective]
    # The bound holds for layouts that miss no minimum.
    known = score.short <= 0 and math.isfinite(reached.bound)
    bound, gap = (reached.bound, reached.gap) if known else (None, None)
    status: Status = "proved" if gap == 0 and score.complete else "within gap"
    if gap is None:
        status = "not measured"
    if reached.stopped and gap != 0:
        status = "stopped"
    return Proof(
        status=status,
        objective=score.worth,
        bound=bound,
        gap=None if gap is None else round(gap, 6),
        grid=grid_in_words(site, reached.spacing),
        rules=RULES,
        step_mm=site.step,
        candidates=reached.candidates,
        stages=(
            missed_stage(score.short),
            *wishes_stage(site.brief, score.broken),
            Stage(
                objective=names[0],
                value=score.worth,
                bound=bound,
                gap=gap,
                scope=FIRST,
            ),
            _later(names[1], round(score.second, 6), _counted(names[1], reached.later.second)),
            _later(COST, round(reached.cost, 4), reached.later.cost),
        ),
        seed=options.seed,
        workers=options.workers,
        effort=options.seconds,
        repeatable=reached.repeatable and not reached.stopped,
    )


def missed_stage(short: float) -> Stage:
    """Tell how many facings and units are missing from minimums."""
    return Stage(objective=MISSED, value=short, bound=0.0, gap=None, scope="shop")


def _counted(objective: str, bound: float | None) -> float | None:
    """Round a bound of facings down: they are whole."""
    whole = objective == "facings" and bound is not None
    return float(math.floor(bound + _WHOLE)) if whole and bound is not None else bound


def _later(objective: str, value: float, bound: float | None) -> Stage:
    """Tell of a stage after the first."""
    if bound is None:
        return Stage(objective=objective, value=value, bound=None, gap=None, scope=UNPROVED)
    # Rounded away from what was reached, so that the bound still holds.
    away = math.ceil if bound > value else math.floor
    bound = away(round(bound * _PARTS, 3)) / _PARTS
    most = max(value, bound)
    gap = round(abs(value - bound) / most, 6) if most > 0 else 0.0
    return Stage(objective=objective, value=value, bound=bound, gap=gap, scope=AFTER_FIRST)


def wishes_stage(brief: Brief, broken: int) -> tuple[Stage, ...]:
    """Tell how many wishes on the places of goods are broken, where the brief has any."""
    if not wishes(brief.merchandising):
        return ()
    return (Stage(objective=WISHES, value=float(broken), bound=0.0, gap=None, scope="shop"),)
