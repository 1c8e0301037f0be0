"""Checks long narrow ways for spaces where two wheelchairs pass."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from shapely import LineString, Point
from shapely.geometry.base import BaseGeometry

from shopfit.checks import ways
from shopfit.checks.fronts import Front, fronts
from shopfit.checks.notes import middle, published, severity_of
from shopfit.checks.saying import say
from shopfit.checks.scene import Scene
from shopfit.geometry.pinches import narrowest_on
from shopfit.geometry.shell import PlanPoint
from shopfit.geometry.shortest import Route
from shopfit.geometry.turnspaces import fit, square, tee
from shopfit.model.finding import Finding
from shopfit.standards.routes import passing_spaces

KEYS = ("passing-width", "passing-interval", "passing-side", "passing-tee")
# Passing spaces are looked for at steps of this along a way, mm.
_STEP_MM = 1000.0
_FAR_MM = 1e9


def check(scene: Scene) -> Iterator[Finding]:
    """Find ways so long and narrow that they want passing spaces, and have none.

    Source
    ------
    2010 ADA Standards, 403.5.3: on ways less than 60 in wide at most 200 ft apart; 60 by 60 in,
    or a T whose base and arms go 48 in beyond the crossing. Text read.
    """
    lacking = scene.rulebook.why_without(*KEYS)
    if lacking:
        yield _not_checked(scene, lacking)
        return
    width = scene.rulebook.mm("route-width")
    # Quick and on the safe side: no way on the whole floor is so long.
    if not passing_spaces(
        scene.rulebook, 0.0, ways.widest(scene, "customers", ways.ROUGH_MM).longest(width)
    ):
        return
    wanted = _far(scene, fronts(scene), width)
    if not wanted:
        return
    targets = [(ways.standing(one, width), middle(one.band) or one.start) for one in wanted]
    found = ways.paths(scene, "customers", width).to(targets)
    long = [
        (one, route, between)
        for one, route in zip(wanted, found, strict=True)
        if route is not None and (between := _longest(scene, route)) is not None
    ]
    if long:
        yield _finding(scene, long)


def _far(scene: Scene, wanted: Sequence[Front], width: float) -> list[Front]:
    """List the fronts to which the way may be long: by a way no shorter than the shortest."""
    if not wanted:
        return []
    places = np.array([middle(one.band) or one.start for one in wanted])
    lengths = ways.widest(scene, "customers", ways.ROUGH_MM).at_most(places, width)
    # The way ends anywhere before the front.
    spare = [sum(one.band.bounds[2:]) - sum(one.band.bounds[:2]) for one in wanted]
    return [
        one
        for one, length, more in zip(wanted, lengths.tolist(), spare, strict=True)
        if passing_spaces(scene.rulebook, 0.0, min(length + more, _FAR_MM))
    ]


def _longest(scene: Scene, route: Route) -> tuple[float, PlanPoint] | None:
    """Give the longest stretch of a way without a passing space that is too long, or none."""
    book, floors = scene.rulebook, ways.floors(scene, "customers", ways.ROUGH_MM)
    if not passing_spaces(book, 0.0, route.length):
        return None
    narrowest = narrowest_on(floors, *route.free)
    if narrowest is None or not passing_spaces(book, narrowest.width, route.length):
        return None
    interval = book.requirement("passing-interval")
    line = LineString(route.line)
    at = 0.0
    while not interval.holds(line.length - at):
        # The farthest space within the interval; none of the nearer ones matters then.
        spot = at + interval.value
        while spot > at and not _passes(scene, line.interpolate(spot)):
            spot -= _STEP_MM
        if spot <= at:
            place = line.interpolate(min(at + interval.value / 2, line.length))
            return _stretch(scene, line, at), (round(place.x, 1), round(place.y, 1))
        at = spot
    return None


def _stretch(scene: Scene, line: LineString, at: float) -> float:
    """Give how far it is from one passing space to the next, or to the end of the way, mm."""
    spot = at + scene.rulebook.mm("passing-interval")
    while spot < line.length and not _passes(scene, line.interpolate(spot)):
        spot += _STEP_MM
    return float(min(spot, line.length) - at)


def _passes(scene: Scene, place: Point) -> bool:
    """Say whether two wheelchairs pass at a place of a way."""
    book = scene.rulebook
    side, lane, beyond = (
        book.mm(key) for key in ("passing-side", "turning-tee-arm", "passing-tee")
    )
    here = (place.x, place.y)
    for floor in ways.floors(scene, "customers", ways.ROUGH_MM).polygons:
        if floor.distance(place) > 0.0:
            continue
        near: BaseGeometry = place.buffer(side / 2).intersection(floor)
        if fit(floor, square(side), here, side / 2, near) is not None:
            return True
        if fit(floor, tee(lane, beyond, lane, beyond), here, side / 2, near) is not None:
            return True
    return False


def _finding(scene: Scene, long: Sequence[tuple[Front, Route, tuple[float, PlanPoint]]]) -> Finding:
    words = scene.words
    front, route, (stretch, place) = max(long, key=lambda one: one[2][0])
    limit = scene.rulebook.requirement("passing-interval")
    side = words.say(scene.rulebook.mm("passing-side"))
    others = f" and {len(long) - 1} more fronts" if len(long) > 1 else ""
    return say(
        "passing",
        severity_of(not one.fixture.fixed for one in scene.stood),
        f"the way to {front.name}{others}",
        f"On the way to {front.name} two wheelchairs cannot pass for {words.say(stretch)}: "
        f"{words.versus(stretch, limit.value)}.",
        f"Leave a space of {side} by {side} free within {words.say(limit.value)} of the last one, "
        "about half way.",
        published(limit),
        required=limit.value,
        measured=stretch,
        margin=limit.value - stretch,
        at_mm=place,
        drawn_mm=(tuple((round(x, 1), round(y, 1)) for x, y in route.line),),
    )


def _not_checked(scene: Scene, why: str) -> Finding:
    return Finding(
        code="passing-not-checked",
        severity="not checked",
        subject="shop",
        message=f"Passing spaces on long ways were not checked: {why}.",
        mend="Walk the longest ways on the plan, and see where two wheelchairs would meet.",
        source=f"rulebook {scene.rulebook.title}",
    )
