"""Answers the question of a ramp: all that fit, the smallest, the cheapest, or what is lacking."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from shopfit.access.ground import Ground, plan_shape
from shopfit.access.lacking import lacking
from shopfit.access.measure import arrangement
from shopfit.access.pieces import Found
from shopfit.access.search import Search, size_choices
from shopfit.access.sizes import heads, ratios, steps_of
from shopfit.access.telling import cautions, family, grid, notes
from shopfit.geometry.doorframe import Frame, frame_of
from shopfit.model.rampplan import Arrangement, RampAnswer, StepsPlan
from shopfit.model.rampsite import RampTask
from shopfit.standards import Rulebook

Key = tuple[float, tuple[int, int, tuple[tuple[str, int], ...]]]


@dataclass
class _Heap:
    """What fits for one slope and way: how many, and the smallest of each kind of equal cost."""

    count: int = 0
    kept: dict[object, Found] = field(default_factory=dict)


@dataclass
class Enumeration:
    """All that was found, and how many were tried.

    Parameters
    ----------
    tried, fitted
        How many arrangements were tried, and how many of them fit.
    best
        By slope and way, how many fit, and the smallest of each kind.
    """

    tried: int = 0
    fitted: int = 0
    best: dict[Key, _Heap] = field(default_factory=dict)


def ramps(task: RampTask, book: Rulebook) -> RampAnswer:
    """Give all arrangements of a ramp that fit the ground.

    Parameters
    ----------
    task
        What is asked.
    book
        The rulebook of that name, or one with a user's own values on top.

    Returns
    -------
    One arrangement for each slope and way, with the smallest and the cheapest of all that were
    tried; where nothing fits, what would help.
    """
    if not _wanted(task, book):
        return RampAnswer(task=task, needed=False, notes=notes(task, book), cautions=cautions(book))
    frame = frame_of(task)
    site = local_site(task, frame)
    steps, left_out = _steps(task, book), ""
    found = _enumerate(task, book, site, steps)
    if not found.best and steps is not None and not _steps_asked(task, book):
        steps, left_out = None, "There is no room for steps as well."
        found = _enumerate(task, book, site, None)
    listed = _listed(found, task, book, frame, steps)
    return RampAnswer(
        task=task,
        arrangements=tuple(listed),
        smallest=listed[0].id if listed else None,
        cheapest=_cheapest(listed),
        tried=found.tried,
        fitted=found.fitted,
        family=family(task, book),
        grid=grid(task, book),
        notes=(*((left_out,) if left_out and listed else ()), *notes(task, book, listed)),
        cautions=cautions(book, listed),
        lacking=None if listed else lacking(task, site, lambda t, s: fits(t, book, s)),
    )


def local_site(task: RampTask, frame: Frame) -> BaseGeometry:
    """Give the ground that may be used in the door's frame, mm."""
    return shapely.transform(
        plan_shape(task), lambda xy: np.array([frame.from_plan((x, y)) for x, y in xy])
    )


def fits(task: RampTask, book: Rulebook, site: BaseGeometry) -> bool:
    """Say whether anything fits some ground of the door's frame; steps count where they must be."""
    if not _wanted(task, book):
        return True
    steps = _steps(task, book) if _steps_asked(task, book) else None
    plain, steep = ratios(task, book)
    return any(
        next(_found(task, book, Ground(site), ratio, steps, Enumeration()), None) is not None
        for ratio in (*plain, *steep)
    )


def _wanted(task: RampTask, book: Rulebook) -> bool:
    return task.rise > book.mm("level-without-ramp") + book.requirement("level-without-ramp").slack


def _steps_asked(task: RampTask, book: Rulebook) -> bool:
    """Say whether steps have to be there: the user or the rulebook wants them."""
    if task.limits.steps == "if they fit":
        return "ramp-steps-rise" in book and book.requirement("ramp-steps-rise").holds(task.rise)
    return task.limits.steps == "yes"


def _steps(task: RampTask, book: Rulebook) -> StepsPlan | None:
    return None if task.limits.steps == "no" else steps_of(task, book)


def _enumerate(
    task: RampTask, book: Rulebook, site: BaseGeometry, steps: StepsPlan | None
) -> Enumeration:
    """Try the usual slopes; steeper ones of an existing site only as far as space asks for them."""
    result, ground = Enumeration(), Ground(site)
    plain, steep = ratios(task, book)
    for ratio in plain:
        for found in _found(task, book, ground, ratio, steps, result):
            _keep(result, found, task, book)
    for ratio in steep:
        if result.best:
            break
        for found in _found(task, book, ground, ratio, steps, result):
            _keep(result, found, task, book)
    return result


def _found(
    task: RampTask,
    book: Rulebook,
    ground: Ground,
    ratio: float,
    steps: StepsPlan | None,
    result: Enumeration,
) -> Iterator[Found]:
    for size in size_choices(task, book):
        search = Search(task, book, ground, ratio, size, steps)
        yield from search.all(tuple(heads(task, book, size, ground)))
        result.tried += search.tried


def _keep(result: Enumeration, found: Found, task: RampTask, book: Rulebook) -> None:
    result.fitted += 1
    heap = result.best.setdefault((found.ratio, found.way), _Heap())
    heap.count += 1
    kind = _kind(found, task, book) if task.prices is not None else None
    best = heap.kept.get(kind)
    if best is None or _size(found) < _size(best):
        heap.kept[kind] = found


def _kind(found: Found, task: RampTask, book: Rulebook) -> object:
    """Give what cost depends on: how the rise is shared out matters only to drops with guards."""
    drop = book.requirement("guard-drop") if "guard-drop" in book else None
    climbed, high = 0.0, []
    for leg, flights in zip(found.legs, found.flights, strict=True):
        for _ in range(flights):
            climbed += leg / flights / found.ratio
            high.append(drop is not None and drop.holds(task.rise - climbed))
    head = (found.head.axis, found.head.sign, found.head.clear, found.head.low)
    return (head, found.corner, found.flights, tuple(high))


def _size(found: Found) -> tuple[float, float, float]:
    u0, u1, v0, v1 = found.bounds
    # Equal in ground, then in the rectangle round it, then evenly shared out.
    uneven = max(found.legs) - min(found.legs)
    return round(found.covered, 0), round((u1 - u0) * (v1 - v0), 0), round(uneven, 3)


def _listed(
    found: Enumeration,
    task: RampTask,
    book: Rulebook,
    frame: Frame,
    steps: StepsPlan | None,
) -> list[Arrangement]:
    """Give the smallest for each slope and way, and the cheapest of all if it is none of them."""
    listed, rest = [], []
    for heap in found.best.values():
        first, *others = sorted(heap.kept.values(), key=_size)
        listed.append(arrangement(first, task, book, frame, steps, heap.count))
        rest += [arrangement(each, task, book, frame, steps, heap.count) for each in others]
    cheapest = min((*listed, *rest), key=_price, default=None)
    if cheapest is not None and cheapest.cost is not None and cheapest not in listed:
        listed.append(cheapest)
    listed.sort(key=_rank)
    return [each.model_copy(update={"id": f"R{n}"}) for n, each in enumerate(listed, start=1)]


def _price(each: Arrangement) -> tuple[float, tuple[float, float, float, str]]:
    return round(each.cost or 0.0, 2), _rank(each)


def _rank(each: Arrangement) -> tuple[float, float, float, str]:
    rectangle = each.along_mm * each.out_mm
    return round(each.footprint_m2, 6), round(rectangle, 0), each.cost or 0.0, each.way


def _cheapest(listed: list[Arrangement]) -> str | None:
    if not any(each.cost for each in listed):
        return None
    return min(listed, key=_price).id
