"""Checks doors: clear opening, height, two doors in series, and the leaf's swing."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import combinations

from shapely import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit.checks import doorfloor
from shopfit.checks.between import move_off
from shopfit.checks.clauses import drawn, judge
from shopfit.checks.notes import SHELL, less, middle, published, way_out
from shopfit.checks.saying import say
from shopfit.checks.scene import Scene
from shopfit.geometry.shell import WallLine
from shopfit.model.finding import Finding
from shopfit.model.openings import Door
from shopfit.standards.doors import clear_opening
from shopfit.standards.manoeuvre import room_between
from shopfit.standards.protrusion import headroom
from shopfit.standards.rulebook import Outcome

Facing = tuple[Door, WallLine, bool]


def check(scene: Scene) -> Iterator[Finding]:
    """Find what stands in the way of doors, and doors too near to one another."""
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
        for inside in doorfloor.sides(door):
            yield from _leaf(scene, door, wall, inside)
    yield from doorfloor.check(scene)
    yield from _series(scene)


def opening(scene: Scene, door: Door, wall: WallLine) -> Iterator[Finding]:
    """Find what an opening lacks in width and height.

    Source
    ------
    2010 ADA Standards, 404.2.2 and 404.2.3 (width, of one leaf) and 307.4 (height, and that of
    closers and stops). Text read.
    """
    x, y = wall.point(door.offset + door.width / 2)
    at_mm = (round(x, 1), round(y, 1))
    head = headroom(scene.rulebook, door.height)
    width = Outcome(clear_opening(scene.rulebook, door), door.active_width)
    one_leaf = " with one leaf open" if door.leaves > 1 else ""
    for code, outcome, side, bigger in (
        ("door-width", width, "wide", "wider"),
        ("door-height", head, "high", "higher"),
    ):
        wanted = outcome.requirement
        if outcome.met:
            continue
        yield say(
            code,
            "violation",
            f"door {door.id}",
            f"Door {door.id} is not {side} enough{one_leaf if side == 'wide' else ''}: "
            f"{scene.words.versus(outcome.measured, wanted.value)}.",
            f"Make the opening {scene.words.enough(wanted.value - outcome.measured)} {bigger}.",
            published(wanted),
            required=wanted.value,
            measured=outcome.measured,
            margin=outcome.margin,
            at_mm=at_mm,
            wall=wall.id,
        )
    if door.closer_height is not None:
        yield from judge(
            scene,
            headroom(scene.rulebook, door.closer_height, closer=True),
            "door-closer-height",
            f"door {door.id}",
            "Raise the closer or stop by {short}.",
            at_mm=at_mm,
            wall=wall.id,
        )


def _series(scene: Scene) -> Iterator[Finding]:
    """Find doors in series, opposite one another, that leave too little room between them.

    Source
    ------
    2010 ADA Standards, 404.2.6: two hinged doors. Text read.
    """
    hinged: list[Facing] = [
        (door, wall, inside)
        for door, wall in scene.doors
        if door.swing in ("in", "out")
        for inside in doorfloor.sides(door)
    ]
    for one, other in combinations(hinged, 2):
        if one[0] is other[0] or _room(one) != _room(other):
            continue
        between = _between(one, other)
        if between is None:
            continue
        leaves = sum(_leaf_into(each) for each in (one, other))
        wanted = room_between(scene.rulebook, leaves)
        apart, line = between
        if not less(apart, wanted):
            continue
        (x0, y0), (x1, y1) = line
        yield say(
            "doors-in-series",
            "violation",
            f"doors {one[0].id} and {other[0].id}",
            f"Between doors {one[0].id} and {other[0].id} "
            f"{scene.words.versus(apart, wanted)} ({scene.words.say(leaves)} of it for leaves "
            "that swing into it).",
            f"Move them {scene.words.enough(wanted - apart)} farther apart, or let them swing the "
            "other way.",
            published(scene.rulebook.requirement("doors-apart")),
            required=wanted,
            measured=apart,
            margin=apart - wanted,
            at_mm=(round((x0 + x1) / 2, 1), round((y0 + y1) / 2, 1)),
            drawn_mm=(line,),
        )


def _room(side: Facing) -> str | None:
    door, wall, inside = side
    return wall.room if inside else door.leads_to


def _leaf_into(side: Facing) -> float:
    door, _, inside = side
    return _leaf_width(door) if (door.swing == "in") == inside else 0.0


def _leaf_width(door: Door) -> float:
    """Give the width of a door's widest leaf, mm."""
    return max(door.active_width, door.width - door.active_width)


def _between(
    one: Facing, other: Facing
) -> tuple[float, tuple[tuple[float, float], tuple[float, float]]] | None:
    """Give how far apart two openings opposite one another are, mm, and a line between them."""
    ends = [_face(side) for side in (one, other)]
    (a0, a1, (vx, vy)), (b0, b1, (wx, wy)) = ends
    if vx * wx + vy * wy > -0.99:
        return None
    ux, uy = -vy, vx

    def along(point: tuple[float, float]) -> float:
        return point[0] * ux + point[1] * uy

    left = max(min(along(a0), along(a1)), min(along(b0), along(b1)))
    right = min(max(along(a0), along(a1)), max(along(b0), along(b1)))
    apart = min((p[0] - a0[0]) * vx + (p[1] - a0[1]) * vy for p in (b0, b1))
    if right <= left or apart <= 0:
        return None
    shift = (left + right) / 2 - along(a0)
    start = (round(a0[0] + shift * ux, 1), round(a0[1] + shift * uy, 1))
    return apart, (start, (round(start[0] + apart * vx, 1), round(start[1] + apart * vy, 1)))


def _face(side: Facing) -> tuple[tuple[float, float], tuple[float, float], tuple[float, float]]:
    """Give the ends of the face of a door on one side, and the direction away from it."""
    door, wall, inside = side
    vx, vy = wall.inward
    out = -(door.recess or 0.0) if inside else -door.depth
    ends = (wall.point(door.offset, out), wall.point(door.offset + door.width, out))
    return (*ends, (vx, vy) if inside else (-vx, -vy))


def leaf_sweep(wall: WallLine, door: Door, inside: bool) -> BaseGeometry | None:
    """Give the floor that a door's leaf sweeps on one side of its wall, or none.

    A circumscribed polygon stands for the arc, so it is never too small. Of a double door both
    leaves are counted as wide as the wider one.
    """
    if door.swing not in ("in", "out") or (door.swing == "in") != inside:
        return None
    left, right = door.offset, door.offset + door.width
    wide = _leaf_width(door)
    leaves = [(left, left + wide), (right, right - wide)]
    if door.leaves == 1:
        leaves = [leaves[0] if door.hinge == "left" else leaves[1]]
    turned = 1.0 if inside else -1.0
    back = 0.0 if inside else -door.depth
    return unary_union(
        [
            Polygon([wall.point(along, back + turned * out) for along, out in _quarter(*leaf)])
            for leaf in leaves
        ]
    )


def _quarter(hinge: float, jamb: float) -> list[tuple[float, float]]:
    """Give the corners of a quarter disc: at the jamb, along the arc, and at the hinge."""
    toward = 1.0 if jamb > hinge else -1.0
    steps, width = 16, abs(jamb - hinge)
    radius = width / math.cos(math.pi / 4 / steps)
    turns = [(k + 0.5) * math.pi / 2 / steps for k in range(steps)]
    arc = [
        (jamb, 0.0),
        *((hinge + toward * radius * math.cos(t), radius * math.sin(t)) for t in turns),
        (hinge, width),
    ]
    return [(hinge, 0.0), *arc]


def _leaf(scene: Scene, door: Door, wall: WallLine, inside: bool) -> Iterator[Finding]:
    sweep = leaf_sweep(wall, door, inside)
    if sweep is None:
        return
    for one in scene.standing_in(sweep):
        distance = way_out(one.shape, sweep)
        yield say(
            "door-swing",
            "violation",
            f"{one.name} and door {door.id}",
            f"The leaf of door {door.id} strikes {one.name}.",
            f"{move_off(scene, one, sweep)}.",
            SHELL,
            required=0.0,
            measured=distance,
            at_mm=middle(sweep.intersection(one.shape)),
            drawn_mm=drawn(sweep),
        )
    for column in scene.columns_in(sweep):
        yield say(
            "door-swing",
            "violation",
            f"door {door.id} and column {column}",
            f"The leaf of door {door.id} strikes column {column}.",
            "Hang the door on its other side, or make it swing out or slide.",
            SHELL,
            at_mm=middle(sweep.intersection(scene.shell.columns[column])),
            drawn_mm=drawn(sweep),
        )
