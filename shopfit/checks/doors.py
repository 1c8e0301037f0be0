"""Checks doors: clear opening, the leaf's swing, and the floor kept clear before them."""

from __future__ import annotations

import math
from collections.abc import Iterator

from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from shopfit.checks.notes import (
    SHELL,
    Source,
    less,
    middle,
    published,
    severity_of,
    way_out,
)
from shopfit.checks.scene import Scene, grow
from shopfit.geometry.freefloor import polygons
from shopfit.geometry.shell import WallLine
from shopfit.model.finding import Finding
from shopfit.model.shell import Door
from shopfit.standards import Requirement
from shopfit.standards.doors import approach_keys, clear_opening, front_approach
from shopfit.units import TOLERANCE_MM


def check(scene: Scene) -> Iterator[Finding]:
    """Find doors that are too narrow or low, and what stands in their way."""
    for door in scene.scenario.shop.doors:
        if door.wall not in scene.walls:
            yield Finding(
                code="door-not-checked",
                severity="not checked",
                subject=f"door {door.id}",
                message=f"Door {door.id} names wall {door.wall!r}, which is not there.",
                mend=f"Name a wall of a room as the wall of door {door.id}.",
                source=SHELL.source,
            )
    for door, wall in scene.doors:
        yield from _opening(scene, door, wall)
        for inside in _sides(door):
            yield from _space(scene, door, wall, inside)
            yield from _leaf(scene, door, wall, inside)


def manoeuvring(scene: Scene, door: Door, wall: WallLine, inside: bool = True) -> BaseGeometry:
    """Give the floor kept clear on one side of a door, as far as its room reaches, mm.

    Parameters
    ----------
    scene, door, wall
        Which door.
    inside
        Whether on the side of its own room, or beyond it in the room that it leads to.
    """
    whole = _whole_space(scene, door, wall, inside)
    room = scene.shell.rooms.get(wall.room if inside else door.leads_to or "")
    if room is None:
        return Polygon()
    threshold = _strip(wall, door, 0.0, 0.0, 1.0, inside)
    # A space that a corner of the room cuts in two is only what can be reached from the door.
    parts = [p for p in polygons(whole.intersection(room)) if p.intersects(threshold)]
    return parts[0] if parts else Polygon()


def _sides(door: Door) -> tuple[bool, ...]:
    return (True, False) if door.leads_to is not None else (True,)


def _strip(
    wall: WallLine, door: Door, before: float, after: float, depth: float, inside: bool
) -> Polygon:
    near, far = (0.0, depth) if inside else (-door.depth - depth, -door.depth)
    return wall.rectangle(door.offset - before, door.offset + door.width + after, near, far)


def _beside(scene: Scene, door: Door, inside: bool) -> tuple[float, float, float]:
    space = front_approach(scene.rulebook, door, inside)
    sides = (space.hinge_side_mm, space.latch_side_mm)
    before, after = sides if door.hinge == "left" else sides[::-1]
    return before, after, space.depth_mm


def _whole_space(scene: Scene, door: Door, wall: WallLine, inside: bool) -> Polygon:
    before, after, depth = _beside(scene, door, inside)
    return _strip(wall, door, before, after, depth, inside)


def _opening(scene: Scene, door: Door, wall: WallLine) -> Iterator[Finding]:
    wanted = clear_opening(scene.rulebook, door)
    headroom = scene.rulebook.requirement("headroom")
    for code, measured, requirement, side in (
        ("door-width", door.width, wanted, "wide"),
        ("door-height", door.height, headroom, "high"),
    ):
        if less(measured, requirement.value):
            yield _on_door(
                code,
                door,
                wall,
                f"Door {door.id} is not {side} enough: "
                f"{scene.words.versus(measured, requirement.value)}.",
                f"Make the opening {scene.words.enough(requirement.value - measured)} more {side}.",
                requirement,
                measured,
            )


def _on_door(
    code: str,
    door: Door,
    wall: WallLine,
    message: str,
    mend: str,
    requirement: Requirement,
    measured: float,
    advice: bool = False,
) -> Finding:
    source = published(requirement)
    x, y = wall.point(door.offset + door.width / 2)
    return Finding(
        code=code,
        severity="advice" if advice else "violation",
        subject=f"door {door.id}",
        message=message,
        mend=mend,
        required=requirement.value,
        measured=measured,
        clause=source.clause,
        source=source.source,
        confidence=source.confidence,
        at_mm=(round(x, 1), round(y, 1)),
        wall=wall.id,
    )


def _space(scene: Scene, door: Door, wall: WallLine, inside: bool) -> Iterator[Finding]:
    space = manoeuvring(scene, door, wall, inside)
    depth_key, _ = approach_keys(door, inside)
    requirement = scene.rulebook.requirement(depth_key)
    source = published(requirement)
    yield from _short_of_room(scene, door, wall, inside, space)
    for one in scene.standing_in(space):
        distance, direction = way_out(one.shape, space)
        yield Finding(
            code="door-space",
            severity=severity_of([not one.fixture.fixed]),
            subject=f"{one.name} and door {door.id}",
            message=f"{one.name} stands {scene.words.fine(distance)} inside the floor kept clear "
            f"before door {door.id}, {scene.words.say(requirement.value)} deep.",
            mend=f"Move {one.tag} {scene.words.enough(distance)} {direction}.",
            required=requirement.value,
            measured=_depth_left(wall, door, inside, space.intersection(one.shape)),
            clause=source.clause,
            source=source.source,
            confidence=source.confidence,
            at_mm=middle(space.intersection(one.shape)),
        )
    for column in scene.columns_in(space):
        blocked = space.intersection(scene.shell.columns[column])
        yield _on_door(
            "door-space",
            door,
            wall,
            f"Column {column} stands in the floor kept clear before door {door.id}.",
            "Ask a licensed designer about another door or an automatic one.",
            requirement,
            _depth_left(wall, door, inside, blocked),
        )


def _depth_left(wall: WallLine, door: Door, inside: bool, blocked: BaseGeometry) -> float:
    outs = [_out(wall, x, y) for p in polygons(blocked) for x, y in p.exterior.coords]
    if not inside:
        outs = [-door.depth - out for out in outs]
    return max(min(outs, default=0.0), 0.0)


def _out(wall: WallLine, x: float, y: float) -> float:
    vx, vy = wall.inward
    return (x - wall.start[0]) * vx + (y - wall.start[1]) * vy


def _short_of_room(
    scene: Scene, door: Door, wall: WallLine, inside: bool, space: BaseGeometry
) -> Iterator[Finding]:
    whole = _whole_space(scene, door, wall, inside)
    if grow(space, TOLERANCE_MM).covers(whole):
        return
    depth_key, latch_key = approach_keys(door, inside)
    requirement = scene.rulebook.requirement(depth_key)
    lacking = whole.area - space.area
    side = "inside" if inside else f"in {door.leads_to}"
    yield _on_door(
        "door-space-shell",
        door,
        wall,
        f"The walls leave less floor before door {door.id} ({side}) than a wheelchair user wants: "
        f"{lacking / whole.area:.0%} of a space {scene.words.say(requirement.value)} deep and "
        f"{scene.words.say(scene.rulebook.mm(latch_key))} beyond the latch is missing.",
        "No layout can mend this: ask a licensed designer about moving the door, its hinges, or "
        "an automatic opener.",
        requirement,
        requirement.value * space.area / whole.area,
        advice=True,
    )


def leaf_sweep(wall: WallLine, door: Door, inside: bool) -> Polygon | None:
    """Give the floor that a door's leaf sweeps on one side of its wall, or none.

    A circumscribed polygon stands for the arc, so it is never too small.
    """
    if door.swing not in ("in", "out") or (door.swing == "in") != inside:
        return None
    left, right = door.offset, door.offset + door.width
    hinge, jamb = (left, right) if door.hinge == "left" else (right, left)
    toward = 1.0 if jamb > hinge else -1.0
    steps = 16
    radius = door.width / math.cos(math.pi / 4 / steps)
    turns = [(k + 0.5) * math.pi / 2 / steps for k in range(steps)]
    arc = [
        (jamb, 0.0),
        *((hinge + toward * radius * math.cos(t), radius * math.sin(t)) for t in turns),
        (hinge, door.width),
    ]
    corners = [(hinge, 0.0), *arc]
    if inside:
        return Polygon([wall.point(along, out) for along, out in corners])
    return Polygon([wall.point(along, -door.depth - out) for along, out in corners])


def _leaf(scene: Scene, door: Door, wall: WallLine, inside: bool) -> Iterator[Finding]:
    sweep = leaf_sweep(wall, door, inside)
    if sweep is None:
        return
    source = Source(SHELL.source)
    for one in scene.standing_in(sweep):
        distance, direction = way_out(one.shape, sweep)
        yield Finding(
            code="door-swing",
            severity="violation",
            subject=f"{one.name} and door {door.id}",
            message=f"The leaf of door {door.id} strikes {one.name}.",
            mend=f"Move {one.tag} {scene.words.enough(distance)} {direction}.",
            required=0.0,
            measured=distance,
            source=source.source,
            at_mm=middle(sweep.intersection(one.shape)),
        )
    for column in scene.columns_in(sweep):
        yield Finding(
            code="door-swing",
            severity="violation",
            subject=f"door {door.id} and column {column}",
            message=f"The leaf of door {door.id} strikes column {column}.",
            mend="Hang the door on its other side, or make it swing out or slide.",
            source=source.source,
            at_mm=middle(sweep.intersection(scene.shell.columns[column])),
        )
