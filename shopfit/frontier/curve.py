"""Solves the points of a curve, and lets what is known of one tell of the others."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from shopfit.files.layouts import fingerprint
from shopfit.frontier.axis import Axis
from shopfit.model.base import Frozen
from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.proof import AFTER_FIRST, FIRST, Stage
from shopfit.model.scenario import Scenario
from shopfit.model.study import CaseStatus
from shopfit.sweep.cases import Case
from shopfit.sweep.naming import folder_name
from shopfit.sweep.settle import Runner, Settled, settle
from shopfit.sweep.store import Store
from shopfit.sweep.work import Answer, meets

Meets = Callable[[Scenario, Layout], bool]
_EPS = 1e-6


class CurvePoint(Frozen):
    """One point of a curve.

    Parameters
    ----------
    at, label
        The value, in mm, money or fixtures, and how it is written.
    folder
        Where its layout is.
    status
        How its own search ended.
    facings, value, worth, cost, violations
        Of the best layout for it: facings, their value, what the objective comes to, money, and
        values checked that are not met.
    bound, gap, proved
        What no layout there exceeds, how far the layout is from it, and whether it is reached.
    grid
        The positions that the bound holds for, in words.
    layout_of, bound_of
        The points that layout and bound were found at, where it was not this one.
    seconds
        How long its own search took.
    message
        Why there is no layout, or what failed.
    """

    at: float
    label: str
    folder: str = ""
    status: CaseStatus = "layout"
    facings: int | None = None
    value: float | None = None
    worth: float | None = None
    cost: float | None = None
    violations: int | None = None
    bound: float | None = None
    gap: float | None = None
    proved: bool = False
    grid: str | None = None
    layout_of: str | None = None
    bound_of: str | None = None
    seconds: float = 0.0
    message: str = ""


@dataclass(frozen=True)
class Solved:
    """A value of the curve with what its own search came to.

    Parameters
    ----------
    at
        The value.
    scenario
        The shop at it.
    answer
        What came of it.
    folder
        Where its files go.
    """

    at: float
    scenario: Scenario
    answer: Answer
    folder: str = ""


def levels(count: int) -> list[list[int]]:
    """Give the order in which points are solved: both ends, then ever finer middles.

    Points of one level are solved side by side, from layouts of the levels before. The order
    does not depend on how many processes there are, so neither do the layouts.
    """
    if count <= 2:
        return [list(range(count))]
    found, done = [[0, count - 1]], [0, count - 1]
    while len(done) < count:
        middles = [(a + b) // 2 for a, b in pairwise(done) if b - a > 1]
        found.append(middles)
        done = sorted([*done, *middles])
    return found


def trace(
    axis: Axis,
    values: Sequence[float],
    options: SolveOptions,
    by: Runner,
    store: Store | None = None,
    told: Callable[[Settled], None] | None = None,
) -> list[Solved]:
    """Solve every point, each from the best layout known that meets its rules.

    Parameters
    ----------
    axis, values
        What the curve runs over, and where.
    options
        How hard each point is searched.
    by, store, told
        As in `shopfit.sweep.settle.settle`.

    Returns
    -------
    The points in the order given; those that a stop left out are missing.
    """
    hard_first = sorted(values, reverse=axis.more_is_harder)
    taken: set[str] = set()
    folders = {value: folder_name(f"{axis.over} {axis.label(value)}", taken) for value in values}
    found: dict[float, Solved] = {}
    for level in levels(len(hard_first)):
        cases = {}
        for place in level:
            value = hard_first[place]
            scenario = axis.at(value)
            start = best_start(scenario, list(found.values()))
            name = f"{axis.title} {axis.label(value)}"
            folder = folders[value]
            source = axis.scenario.folder
            cases[name] = value, Case(name, folder, source, {}, scenario, options, start)
        for each in settle([case for _, case in cases.values()], by, store, told):
            value, case = cases[each.case.name]
            found[value] = Solved(value, case.scenario, each.answer, case.folder)
    return [found[value] for value in values if value in found]


def best_start(scenario: Scenario, known: Sequence[Solved], judge: Meets = meets) -> Layout | None:
    """Give the best layout of other points that meets the rules of one, or none."""
    sound = [each for each in known if each.answer.sound]
    for each in sorted(sound, key=lambda each: -(each.answer.worth or 0.0)):
        layout = each.answer.layout
        if layout is not None and judge(scenario, layout):
            return layout
    return None


def told_of_each_other(
    axis: Axis, solved: Sequence[Solved], judge: Meets = meets
) -> list[tuple[CurvePoint, Layout | None]]:
    """Let points take over layouts and bounds of others, so that the curve is as logic demands.

    Every layout for a harder point is one for an easier point too: a wider aisle never shows
    more, and more money never less. So a point takes the best layout of any other that meets its
    own rules, where that is better than its own; and a bound of an easier point bounds every
    harder one.

    Parameters
    ----------
    axis
        What the curve runs over.
    solved
        Its points.
    judge
        Says whether a layout meets the values checked of a scenario.

    Returns
    -------
    Points with their layouts, in the order given.
    """
    bounds = _bounds(axis, solved)
    return [_point(axis, each, solved, bounds[each.at], judge) for each in solved]


def _bounds(axis: Axis, solved: Sequence[Solved]) -> dict[float, tuple[float | None, str | None]]:
    """Give each point the least bound of itself and of every easier one, and whose it is.

    A bound says nothing of layouts on other positions: islands in lanes stand elsewhere with every
    other aisle. A point without a layout has the positions that all others have, if they agree.
    """
    grids = {each.answer.grid for each in solved} - {None}
    common = grids.pop() if len(grids) == 1 else None
    found: dict[float, tuple[float | None, str | None]] = {}
    known: dict[str | None, tuple[float, str]] = {}
    for each in sorted(solved, key=lambda each: each.at, reverse=not axis.more_is_harder):
        own, label = each.answer.bound, axis.label(each.at)
        grid = common if each.answer.grid is None else each.answer.grid
        least = known.get(grid)
        if own is not None and (least is None or own <= least[0] + _EPS):
            known[grid] = least = (own if least is None else min(own, least[0])), label
        found[each.at] = (None, None) if least is None else least
        if least is not None and least[1] == label:
            found[each.at] = least[0], None
    return found


def _point(
    axis: Axis,
    mine: Solved,
    solved: Sequence[Solved],
    bound: tuple[float | None, str | None],
    judge: Meets,
) -> tuple[CurvePoint, Layout | None]:
    source = _best(mine, solved, judge)
    answer = source.answer
    point = CurvePoint(
        at=mine.at,
        label=axis.label(mine.at),
        folder=mine.folder,
        status=mine.answer.status,
        seconds=mine.answer.seconds,
        message=mine.answer.message,
    )
    layout, worth = answer.layout, answer.worth
    if layout is None or worth is None:
        return point, None
    gap = None
    grid = answer.grid if mine.answer.grid is None else mine.answer.grid
    elsewhere = mine.answer.grid not in (None, answer.grid)
    beyond = elsewhere and bound[0] is not None and worth > bound[0] + _EPS
    if beyond:  # It stands on positions that the bound does not hold for, so nothing is known.
        bound = None, None
    # What misses a minimum is not one of the layouts that the bound is for.
    if bound[0] is not None and not _misses(layout):
        gap = round(max(0.0, (bound[0] - worth) / bound[0]), 6) if bound[0] > 0 else 0.0
    proved = gap is not None and gap <= _EPS and answer.sound
    told = {
        "facings": layout.claims.facings,
        "value": layout.claims.value,
        "worth": worth,
        "cost": layout.claims.cost,
        "violations": answer.violations,
        "bound": bound[0],
        "bound_of": bound[1],
        "gap": gap,
        "proved": proved,
        "grid": grid,
        "layout_of": None if source is mine else axis.label(source.at),
    }
    if source is not mine:
        told |= {"status": "layout", "message": ""}
    point = point.model_copy(update=told)
    return point, _retold(mine.scenario, layout, point)


def _best(mine: Solved, solved: Sequence[Solved], judge: Meets) -> Solved:
    """Give the point whose layout is best for one: its own, unless another is better."""
    own = mine.answer.worth if mine.answer.sound else None
    others = [each for each in solved if each is not mine and each.answer.sound]
    for each in sorted(others, key=lambda each: (-(each.answer.worth or 0.0), each.at)):
        if own is not None and (each.answer.worth or 0.0) <= own + _EPS:
            break
        layout = each.answer.layout
        if layout is not None and judge(mine.scenario, layout):
            # It meets the rules of this point, whatever it missed of its own.
            return replace(each, answer=replace(each.answer, violations=0))
    return mine


def _misses(layout: Layout) -> bool:
    return layout.proof is not None and layout.proof.missed > 0


def _stage(stage: Stage, point: CurvePoint, bound: float | None) -> Stage:
    """Give a stage the bound that holds for a point; what comes after was bounded for its own."""
    if stage.scope == FIRST:
        return stage.model_copy(update={"bound": bound, "gap": point.gap})
    if stage.scope == AFTER_FIRST and point.layout_of is not None:
        return stage.model_copy(update={"bound": None, "gap": None})
    return stage


def _retold(scenario: Scenario, layout: Layout, point: CurvePoint) -> Layout:
    """Give a layout the proof that holds for its point."""
    if layout.proof is None:
        return layout
    status = layout.proof.status
    bound, gap = None if _misses(layout) else point.bound, point.gap
    if point.proved:
        status = "proved"
    elif status == "proved":
        status = "within gap"
    stages = tuple(_stage(stage, point, bound) for stage in layout.proof.stages)
    grid = layout.proof.grid if point.grid is None else point.grid
    changes = {"bound": bound, "gap": gap, "status": status, "stages": stages, "grid": grid}
    proof = layout.proof.model_copy(update=changes)
    return layout.model_copy(update={"proof": proof, "fingerprint": fingerprint(scenario)})
