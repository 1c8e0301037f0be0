"""Checks ways that lead no farther for a place to turn a wheelchair."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from shapely import LineString, Point
from shapely.geometry.base import BaseGeometry

from shopfit.checks import between, ways
from shopfit.checks.notes import join, published
from shopfit.checks.saying import say
from shopfit.checks.scene import Scene
from shopfit.geometry.deadends import DeadEnd, dead_ends
from shopfit.geometry.turnspaces import Fitted, Shape, fit, tee
from shopfit.geometry.widest import gap_about
from shopfit.model.finding import Finding

KEYS = (
    "turning-circle",
    "turning-tee",
    "turning-tee-arm",
    "turning-tee-arm-length",
    "turning-tee-base-length",
    "clear-length",
)


@dataclass(frozen=True)
class Ending:
    """A way that leads no farther.

    Parameters
    ----------
    way
        Which.
    turning
        Where a T-shaped turning space fits near its end, if it does.
    """

    way: DeadEnd
    turning: Fitted | None


def check(scene: Scene) -> Iterator[Finding]:
    """Find ways that end with no turning space near the end.

    Source
    ------
    2010 ADA Standards, 304.3.1 and 304.3.2, for the sizes. No clause that was read asks for a
    turning space at the end of an aisle, so this is advice.
    """
    lacking = scene.rulebook.why_without(*KEYS)
    if lacking:
        yield _not_checked(scene, lacking)
        return
    for ending in endings(scene):
        if ending.turning is None:
            yield _no_turning(scene, ending.way)


def turning_tee(scene: Scene) -> Shape:
    """Give the T-shaped turning space of the rulebook."""
    book = scene.rulebook
    lane = book.mm("turning-tee-arm")
    return tee(lane, book.mm("turning-tee-arm-length"), lane, book.mm("turning-tee-base-length"))


def endings(scene: Scene) -> list[Ending]:
    """List the ways of customers that lead no farther and are longer than a wheelchair.

    Those that begin at no entrance are left out: no way leads there at all.
    """
    return scene.once("endings", lambda: _endings(scene))


def _endings(scene: Scene) -> list[Ending]:
    book = scene.rulebook
    begins = ways.starts(scene, ways.CUSTOMERS)
    if not begins:
        return []
    doors = ways.starts(scene, ("entrance", "exit", "staff"))
    doors += [side for link in ways.links(scene) for side in link]
    floors = ways.floors(scene, "customers", ways.ROUGH_MM)
    route, chair = book.mm("route-width"), book.mm("clear-length")
    found = _dead_ends(floors, tuple(doors), route, book.mm("turning-circle"), chair)
    along = ways.widest(scene, "customers", ways.ROUGH_MM)
    found = [
        way for way in found if not along.to(Point(way.line[0]).buffer(1.0)).width < route - 1.0
    ]
    shape = turning_tee(scene)
    return [Ending(way, _turning(scene, way, shape, chair)) for way in found]


_dead_ends = lru_cache(maxsize=ways.KEPT_FLOORS)(dead_ends)


def _turning(scene: Scene, way: DeadEnd, shape: Shape, chair: float) -> Fitted | None:
    """Find a T that one backs into from the end by no more than the length of a wheelchair."""
    near = LineString(way.line).buffer(shape.reach) if len(way.line) > 1 else Point(way.end)
    for floor in ways.floors(scene, "customers", ways.ROUGH_MM).polygons:
        if floor.distance(Point(way.end)) <= 0.0:
            origins: BaseGeometry = floor.intersection(near)
            return fit(floor, shape, way.end, chair, origins)
    return None


def _no_turning(scene: Scene, way: DeadEnd) -> Finding:
    words = scene.words
    source = published(scene.rulebook.requirement("turning-tee"))
    circle = scene.rulebook.mm("turning-circle")
    gap = gap_about(ways.floors(scene, "customers", ways.ROUGH_MM), way.end)
    beside = [side.name for side in between.sides(scene, gap)] if gap else []
    where = f" by {join(dict.fromkeys(beside))}" if beside else ""
    return say(
        "dead-end",
        "advice",
        f"the end of a way{where}",
        f"A way {words.say(way.length)} long leads no farther{where}, and no space to turn a "
        "wheelchair was found near its end: one has to back out.",
        f"Leave a circle of {words.say(circle)} or a T-shaped space free at its end, or let the "
        "way lead on. No clause that was read asks for it.",
        source,
        measured=way.length,
        at_mm=(round(way.end[0], 1), round(way.end[1], 1)),
        drawn_mm=(tuple((round(x, 1), round(y, 1)) for x, y in way.line),),
    )


def _not_checked(scene: Scene, why: str) -> Finding:
    return Finding(
        code="turning-spaces-not-checked",
        severity="not checked",
        subject="shop",
        message=f"Turning spaces where ways end were not checked: {why}.",
        mend="Look at the ends of ways on the plan, with someone who uses a wheelchair.",
        source=f"rulebook {scene.rulebook.title}",
    )
