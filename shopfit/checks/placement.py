"""Checks where fixtures stand: inside rooms, off each other, off zones, as the brief asks."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator

from shapely import Point, Polygon
from shapely.geometry.base import BaseGeometry

from shopfit.checks.between import move_off
from shopfit.checks.notes import (
    BRIEF,
    CATALOGUE,
    PINS,
    SHELL,
    compass,
    middle,
    more,
    way_out,
)
from shopfit.checks.scene import Scene, Stood
from shopfit.geometry.footprint import against_wall, place_point
from shopfit.geometry.shell import PlanPoint
from shopfit.model.finding import Finding
from shopfit.model.layout import Placement
from shopfit.model.scenario import Keep
from shopfit.units import TOLERANCE_MM


def check(scene: Scene) -> Iterator[Finding]:
    """Find fixtures outside rooms, overlaps, zones stood upon, heights, counts and pins."""
    for one in scene.stood:
        yield from _inside(scene, one)
    yield from _overlaps(scene)
    for one in scene.stood:
        yield from _on_columns(scene, one)
        yield from _on_zones(scene, one)
        yield from _role(scene, one)
    yield from _wanted(scene)
    yield from _available(scene)
    yield from _pins(scene)


def _inside(scene: Scene, one: Stood) -> Iterator[Finding]:
    if scene.room_of(one.shape) is not None:
        return
    name, room = max(
        scene.shell.rooms.items(), key=lambda item: item[1].intersection(one.shape).area
    )
    beyond, direction = _beyond(one.shape, room)
    yield Finding(
        code="outside-room",
        severity="violation",
        subject=one.name,
        message=f"{one.name} reaches {scene.words.fine(beyond)} out of room {name}.",
        mend=f"Move it {scene.words.enough(beyond)} {direction}.",
        required=0.0,
        measured=beyond,
        source=SHELL.source,
        at_mm=middle(one.shape),
    )


def _beyond(shape: Polygon, room: Polygon) -> tuple[float, str]:
    outside = shape.difference(room)
    farthest, direction = 0.0, (0.0, 0.0)
    for x, y in _corners(outside):
        edge = room.exterior.interpolate(room.exterior.project(Point(x, y)))
        distance = math.dist((x, y), (edge.x, edge.y))
        if distance > farthest:
            farthest, direction = distance, (edge.x - x, edge.y - y)
    return farthest, compass(direction)


def _corners(shape: BaseGeometry) -> list[PlanPoint]:
    parts = getattr(shape, "geoms", [shape])
    return [
        (x, y) for part in parts if isinstance(part, Polygon) for x, y in list(part.exterior.coords)
    ]


def _overlaps(scene: Scene) -> Iterator[Finding]:
    for one, other in scene.overlapping():
        distance = way_out(other.shape, one.shape)
        yield Finding(
            code="overlap",
            severity="violation",
            subject=f"{one.name} and {other.name}",
            message=f"{one.name} and {other.name} overlap by {scene.words.fine(distance)}.",
            mend=f"{move_off(scene, other, one.shape)}.",
            required=0.0,
            measured=distance,
            source=CATALOGUE.source,
            at_mm=middle(one.shape.intersection(other.shape)),
        )


def _on_columns(scene: Scene, one: Stood) -> Iterator[Finding]:
    for column in scene.columns_in(one.shape):
        distance = way_out(one.shape, scene.shell.columns[column])
        yield Finding(
            code="overlap",
            severity="violation",
            subject=f"{one.name} and column {column}",
            message=f"{one.name} stands {scene.words.fine(distance)} into column {column}.",
            mend=f"{move_off(scene, one, scene.shell.columns[column])}.",
            required=0.0,
            measured=distance,
            source=SHELL.source,
            at_mm=middle(one.shape.intersection(scene.shell.columns[column])),
        )


def _on_zones(scene: Scene, one: Stood) -> Iterator[Finding]:
    if one.role == "divider":
        return
    for zone in scene.zones_in(one.shape):
        distance = way_out(one.shape, zone.shape)
        yield Finding(
            code="in-zone",
            severity="violation",
            subject=f"{one.name} and zone {zone.id}",
            message=f"{one.name} stands {scene.words.fine(distance)} inside the {zone.kind} "
            f"zone {zone.id}; only a divider may stand there.",
            mend=f"{move_off(scene, one, zone.shape)}.",
            required=0.0,
            measured=distance,
            source=SHELL.source,
            at_mm=middle(one.shape.intersection(zone.shape)),
        )


def _role(scene: Scene, one: Stood) -> Iterator[Finding]:
    # What the user pinned is the user's own choice, so that it is only pointed out.
    pinned = any(_keeps(scene, keep, one) for keep in scene.scenario.pins.keep)
    severity = "advice" if pinned else "violation"
    if one.role not in one.fixture.stands:
        yield Finding(
            code="stands",
            severity=severity,
            subject=one.name,
            message=f"{one.name} stands as {_as(one.role)}, but it is made to stand as "
            f"{' or '.join(_as(stand) for stand in one.fixture.stands)}.",
            mend=f"Move {one.tag}, or allow {one.role!r} under its stands.",
            source=CATALOGUE.source,
            at_mm=middle(one.shape),
        )
    height, limit = one.fixture.height, scene.brief.island_height
    if one.role == "island" and more(height, limit):
        yield Finding(
            code="island-height",
            severity=severity,
            subject=one.name,
            message=f"{one.name} stands away from the walls and hides the shop: "
            f"{scene.words.versus(height, limit)}.",
            mend=f"Choose one {scene.words.enough(height - limit)} lower, or stand it at a wall.",
            required=limit,
            measured=height,
            source=BRIEF.source,
            at_mm=middle(one.shape),
        )
    if one.placement.pinned and not pinned:
        yield Finding(
            code="pin-unknown",
            severity="advice",
            subject=one.name,
            message=f"{one.name} is marked as pinned, but no pin asks for it there.",
            mend="Add the pin, or take the mark away.",
            source=PINS.source,
            at_mm=middle(one.shape),
        )


def _as(stand: str) -> str:
    return {"wall": "a wall fixture", "island": "an island", "divider": "a divider"}[stand]


def _wanted(scene: Scene) -> Iterator[Finding]:
    for wanted in scene.brief.wanted:
        count = sum(
            one.fixture.id == wanted.fixture
            if wanted.fixture is not None
            else one.fixture.kind == wanted.kind
            for one in scene.stood
        )
        most = wanted.at_most
        if count < wanted.at_least or (most is not None and count > most):
            few = count < wanted.at_least
            limit = wanted.at_least if few or most is None else most
            yield Finding(
                code="wanted",
                severity="violation",
                subject=wanted.subject,
                message=f"The brief wants {'at least' if few else 'at most'} {limit} of "
                f"{wanted.subject}; the layout has {count}.",
                mend=f"{'Add' if few else 'Take away'} {abs(limit - count)}.",
                required=float(limit),
                measured=float(count),
                unit="pieces",
                source=BRIEF.source,
            )


def _available(scene: Scene) -> Iterator[Finding]:
    counts = Counter(one.fixture.id for one in scene.stood)
    for fixture in scene.scenario.catalogue.fixtures:
        most = fixture.available + fixture.owned
        if counts[fixture.id] > most:
            yield Finding(
                code="available",
                severity="violation",
                subject=fixture.id,
                message=f"{counts[fixture.id]} of {fixture.id} stand in the layout, but only "
                f"{most} can be had: {fixture.available} to buy and {fixture.owned} owned.",
                mend=f"Take away {counts[fixture.id] - most}.",
                required=float(most),
                measured=float(counts[fixture.id]),
                unit="pieces",
                source=CATALOGUE.source,
            )


def _pins(scene: Scene) -> Iterator[Finding]:
    used: set[int] = set()
    for keep in scene.scenario.pins.keep:
        match = next(
            (
                index
                for index, one in enumerate(scene.stood)
                if index not in used and _keeps(scene, keep, one)
            ),
            None,
        )
        if match is not None:
            used.add(match)
            continue
        where = f"{keep.wall}, {scene.words.say(keep.offset or 0.0)}" if keep.wall else "its place"
        yield Finding(
            code="pin-missing",
            severity="violation",
            subject=keep.fixture,
            message=f"{keep.fixture} is pinned at {where}, but does not stand there.",
            mend="Put it back, or take the pin away.",
            source=PINS.source,
            at_mm=keep.at,
        )
    for clear in scene.scenario.pins.clear:
        outline = Polygon(clear.corners)
        if not outline.is_valid:
            outline = outline.buffer(0)
        for one in scene.standing_in(outline):
            distance = way_out(one.shape, outline)
            yield Finding(
                code="keep-clear",
                severity="violation",
                subject=f"{one.name} and {clear.id}",
                message=f"{one.name} stands {scene.words.fine(distance)} inside {clear.id}, "
                "which must stay empty.",
                mend=f"{move_off(scene, one, outline)}.",
                required=0.0,
                measured=distance,
                source=PINS.source,
                at_mm=middle(one.shape.intersection(outline)),
            )


def _keeps(scene: Scene, keep: Keep, one: Stood) -> bool:
    if keep.fixture != one.fixture.id:
        return False
    if keep.wall is not None:
        wall = scene.walls.get(keep.wall)
        if wall is None:
            return False
        asked = against_wall("", one.fixture, wall, keep.offset or 0.0)
    else:
        x, y = keep.at or (0.0, 0.0)
        asked = Placement(id="", fixture=keep.fixture, x_mm=x, y_mm=y, angle_deg=keep.angle)
    return all(
        math.dist(place_point(asked, across, 0.0), place_point(one.placement, across, 0.0))
        <= TOLERANCE_MM
        for across in (0.0, one.fixture.width)
    )
