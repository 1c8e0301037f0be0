"""Checks that every side a customer must reach keeps a clear band of floor before it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from shopfit.checks.between import move_off
from shopfit.checks.notes import (
    BRIEF,
    Source,
    compass,
    join,
    less,
    middle,
    published,
    severity_of,
    way_out,
)
from shopfit.checks.scene import Hung, Scene, Stood
from shopfit.geometry.footprint import side_band, side_ends
from shopfit.geometry.shell import PlanPoint
from shopfit.model.finding import Finding, Severity
from shopfit.model.fixtures import Side


@dataclass(frozen=True)
class Front:
    """A side that a customer must reach.

    Parameters
    ----------
    name
        For people.
    owner
        The fixture whose side it is; none for slat-wall with nothing below.
    start
        One end of the line that customers stand before, mm.
    outward
        Unit direction away from it.
    band
        The floor before it as deep as the aisle that the brief wants, mm.
    """

    name: str
    owner: Stood | None
    start: PlanPoint
    outward: PlanPoint
    band: Polygon


def fronts(scene: Scene) -> list[Front]:
    """List every side that a customer must reach: of fixtures, then of runs with nothing below."""
    found = [_of_side(scene, one, side) for one in scene.stood for side in _sides(one)]
    return found + [_of_run(scene, one) for one in scene.hung if not one.below]


def check(scene: Scene) -> Iterator[Finding]:
    """Find fronts without a clear band, and things that stand under slat-wall that is free."""
    yield from _wish(scene)
    for front in fronts(scene):
        yield from _band(scene, front)
    for one in scene.hung:
        if not one.below:
            yield from _strip(scene, one)


def _sides(one: Stood) -> tuple[Side, ...]:
    return one.fixture.customer_sides


def _of_side(scene: Scene, one: Stood, side: Side) -> Front:
    start, end = side_ends(one.fixture, one.placement, side)
    band = side_band(one.fixture, one.placement, side, scene.brief.aisle)
    name = f"the {side} of {one.name}"
    return Front(name, one, start, _outward(start, end, band), band)


def _of_run(scene: Scene, one: Hung) -> Front:
    free = scene.free_projection
    band = one.strip(free, free + scene.brief.aisle)
    start = one.wall.point(one.run.from_mm, free)
    return Front(one.name, None, start, one.wall.inward, band)


def _outward(start: PlanPoint, end: PlanPoint, band: Polygon) -> PlanPoint:
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = math.hypot(dx, dy)
    normal = (dy / length, -dx / length)
    centre = band.centroid
    inside = (centre.x - start[0]) * normal[0] + (centre.y - start[1]) * normal[1]
    return normal if inside > 0 else (-normal[0], -normal[1])


def _wish(scene: Scene) -> Iterator[Finding]:
    route = scene.rulebook.requirement("route-width")
    if less(scene.brief.aisle, route.value):
        source = published(route)
        yield Finding(
            code="aisle-wish",
            severity="violation",
            subject="brief",
            message="The aisle that the brief wants is too narrow: "
            f"{scene.words.versus(scene.brief.aisle, route.value)}.",
            mend=f"Ask for at least {scene.words.say(route.value)}.",
            required=route.value,
            measured=scene.brief.aisle,
            clause=source.clause,
            source=source.source,
            confidence=source.confidence,
        )


def _depth_to(front: Front, pieces: list[BaseGeometry]) -> float:
    depths = [
        (x - front.start[0]) * front.outward[0] + (y - front.start[1]) * front.outward[1]
        for piece in pieces
        for part in getattr(piece, "geoms", [piece])
        if isinstance(part, Polygon)
        for x, y in part.exterior.coords
    ]
    return max(min(depths, default=math.inf), 0.0)


def _band(scene: Scene, front: Front) -> Iterator[Finding]:
    band = front.band
    blockers = [one for one in scene.standing_in(band) if one is not front.owner]
    columns = scene.columns_in(band)
    zones = scene.zones_in(band)
    pieces = [band.intersection(one.shape) for one in blockers]
    pieces += [band.intersection(scene.shell.columns[name]) for name in columns]
    pieces += [band.intersection(zone.shape) for zone in zones]
    names = [one.name for one in blockers]
    names += [f"column {name}" for name in columns]
    names += [f"the {zone.kind} zone {zone.id}" for zone in zones]
    if scene.room_of(band) is None:
        pieces.append(_outside(scene, front))
        names.append("the wall")
    if not names:
        return
    measured = min(_depth_to(front, pieces), scene.brief.aisle)
    yield from _judge(scene, front, blockers, names, measured, pieces)


def _outside(scene: Scene, front: Front) -> BaseGeometry:
    # The room where most of the band lies is the one that its customers stand in.
    room = max(
        scene.shell.rooms.values(), key=lambda outline: outline.intersection(front.band).area
    )
    return front.band.difference(room)


def _judge(
    scene: Scene,
    front: Front,
    blockers: list[Stood],
    names: list[str],
    measured: float,
    pieces: list[BaseGeometry],
) -> Iterator[Finding]:
    aisle = scene.brief.aisle
    route = scene.rulebook.requirement("route-width")
    wide, narrow = less(route.value, aisle), less(aisle, route.value)
    common: dict[str, object] = {
        "subject": join([front.name, *names]),
        "mend": _mend(scene, front, blockers, aisle - measured),
        "at_mm": middle(max(pieces, key=lambda piece: piece.area)),
    }
    if wide or narrow:
        yield _narrow(scene, "aisle", "violation", aisle, measured, front, names, BRIEF, common)
    if not narrow and (not wide or less(measured, route.value)):
        movable = [not one.fixture.fixed for one in blockers]
        if front.owner is not None:
            movable.append(not front.owner.fixture.fixed)
        yield _narrow(
            scene,
            "route-width",
            severity_of(movable),
            route.value,
            measured,
            front,
            names,
            published(route),
            common,
        )


def _narrow(
    scene: Scene,
    code: str,
    severity: Severity,
    required: float,
    measured: float,
    front: Front,
    names: list[str],
    source: Source,
    common: dict[str, object],
) -> Finding:
    message = (
        f"Before {front.name} the floor is clear only as far as {join(names)}: "
        f"{scene.words.versus(measured, required)}."
    )
    return Finding.model_validate(
        {
            "code": code,
            "severity": severity,
            "message": message,
            "required": required,
            "measured": measured,
            "clause": source.clause,
            "source": source.source,
            "confidence": source.confidence,
            **common,
        }
    )


def _mend(scene: Scene, front: Front, blockers: list[Stood], short: float) -> str:
    step = scene.words.enough(max(short, 0.0))
    if blockers:
        return f"Move {blockers[0].tag} {step} {compass(front.outward)}."
    back = compass((-front.outward[0], -front.outward[1]))
    if front.owner is not None:
        return f"Move {front.owner.tag} {step} {back}, or choose a shallower one."
    return f"Shorten {front.name}, or leave it out."


def _strip(scene: Scene, one: Hung) -> Iterator[Finding]:
    strip = one.strip(0.0, scene.free_projection)
    for other in scene.standing_in(strip):
        distance = way_out(other.shape, strip)
        yield Finding(
            code="under-run",
            severity="violation",
            subject=f"{other.name} and {one.name}",
            message=f"{other.name} stands {scene.words.fine(distance)} under {one.name}, which "
            "is planned with nothing below it.",
            mend=f"{move_off(scene, other, strip)}, or plan the run over it.",
            required=0.0,
            measured=distance,
            source=BRIEF.source,
            at_mm=middle(strip.intersection(other.shape)),
            wall=one.wall.id,
        )
