"""Floor and wall taken by doors, windows and things on walls."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shapely import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit.geometry.shell import ShellPlan, WallLine
from shopfit.model.openings import Door
from shopfit.model.rampsite import WayIn
from shopfit.model.scenario import Shop
from shopfit.model.shell import WallObstruction


@dataclass(frozen=True)
class OnWall:
    """A rectangle on a wall that slat-wall must not cover.

    Parameters
    ----------
    id, kind
        Its name and what it is.
    left, right
        Offsets from the wall's left end, mm.
    bottom, top
        Heights above the finished floor, mm.
    """

    id: str
    kind: str
    left: float
    right: float
    bottom: float
    top: float


def things_on(shop: Shop, wall_id: str) -> list[OnWall]:
    """List doors, windows and obstructions on a wall, left to right."""
    things = [
        OnWall(d.id, "door", d.offset, d.offset + d.width, 0.0, d.height)
        for d in shop.doors
        if d.wall == wall_id
    ]
    things += [
        OnWall(w.id, "window", w.offset, w.offset + w.width, w.sill, w.head)
        for w in shop.windows
        if w.wall == wall_id
    ]
    things += [
        OnWall(o.id, o.kind, o.offset, o.offset + o.width, o.bottom, o.top)
        for o in shop.obstructions
        if o.wall == wall_id
    ]
    return sorted(things, key=lambda thing: (thing.left, thing.bottom))


def free_heights(
    shop: Shop, wall: WallLine, left: float, right: float, bottom: float, top: float
) -> list[tuple[float, float]]:
    """Give the stretches of height that are free over a whole stretch of wall.

    Parameters
    ----------
    shop, wall
        Where.
    left, right
        Offsets along the wall, mm.
    bottom, top
        Heights looked at, mm; the ceiling limits the top.

    Returns
    -------
    Pairs of bottom and top, mm, from the lowest up.
    """
    top = min(top, wall.lowest(left, right))
    taken = sorted(
        (thing.bottom, thing.top)
        for thing in things_on(shop, wall.id)
        if thing.left < right - 1e-6 and thing.right > left + 1e-6
    )
    free = []
    level = bottom
    for low, high in taken:
        if low > level:
            free.append((level, min(low, top)))
        level = max(level, high)
    if level < top:
        free.append((level, top))
    return [(low, high) for low, high in free if high - low > 1e-6]


def door_rectangle(
    wall: WallLine, door: Door, hinge_side: float, latch_side: float, depth: float
) -> Polygon:
    """Give the floor before a door, inside its room.

    Parameters
    ----------
    wall, door
        Which door.
    hinge_side, latch_side
        How far beyond the jamb on each side, mm.
    depth
        Out from the wall, mm.
    """
    before, after = (hinge_side, latch_side) if door.hinge == "left" else (latch_side, hinge_side)
    return wall.rectangle(door.offset - before, door.offset + door.width + after, 0.0, depth)


def door_leaves(door: Door) -> tuple[tuple[float, float], ...]:
    """Give each leaf of a door as the offsets of its hinge and of its edge when shut, mm.

    Of two leaves the one on the side told as that of the hinges is the one that is passed alone.
    """
    return leaves_from(door, door.offset)


def leaves_from(door: Door | WayIn, left: float) -> tuple[tuple[float, float], ...]:
    """Give each leaf of a door whose left jamb is told, as `door_leaves` does."""
    right = left + door.width
    hinge, other = (left, right) if door.hinge == "left" else (right, left)
    meet = hinge + math.copysign(door.active_width, other - hinge)
    return ((hinge, meet),) if door.leaves == 1 else ((hinge, meet), (other, meet))


def door_swing(wall: WallLine, door: Door) -> BaseGeometry | None:
    """Give the floor that the door's leaves sweep inside its room, a quarter disc each, or none.

    A circumscribed polygon stands for the arc, so it is never too small; at most 0.3 % too large.
    Of two leaves both are taken to be as wide as the wider one.
    """
    if door.swing != "in":
        return None
    leaves = door_leaves(door)
    width = max(abs(edge - hinge) for hinge, edge in leaves)
    return unary_union(
        [_swept(wall, hinge, math.copysign(width, edge - hinge)) for hinge, edge in leaves]
    )


def _swept(wall: WallLine, hinge: float, leaf: float) -> Polygon:
    """Give what one leaf sweeps; its width is negative where it shuts towards the left."""
    steps = 12
    radius = leaf / math.cos(math.pi / 4 / steps)
    corners = [wall.point(hinge), wall.point(hinge + leaf)]
    for k in range(steps):
        angle = (k + 0.5) * math.pi / 2 / steps
        corners.append(wall.point(hinge + radius * math.cos(angle), abs(radius) * math.sin(angle)))
    corners.append(wall.point(hinge, abs(leaf)))
    return Polygon(corners)


def clear_space(wall: WallLine, thing: WallObstruction) -> Polygon | None:
    """Give the floor that a thing on a wall wants empty, or none."""
    wanted = thing.clear
    if wanted is None or wanted.depth <= 0:
        return None
    left, right = clear_extent(wall, thing, wanted.width)
    return wall.rectangle(left, right, 0.0, wanted.depth)


def clear_extent(wall: WallLine, thing: WallObstruction, width: float) -> tuple[float, float]:
    """Give the offsets between which the floor before a thing is kept empty, mm.

    Centred on the thing, but within the wall where it is long enough: beside a corner the space
    lies to one side.

    Parameters
    ----------
    wall, thing
        Which.
    width
        Wanted, mm; never less than that of the thing.
    """
    width = max(width, thing.width)
    left = thing.offset + thing.width / 2 - width / 2
    if width <= wall.length:
        left = min(max(left, 0.0), wall.length - width)
    return left, left + width


def approached_door(shop: Shop) -> Door | None:
    """Give the door that the way in leads to: the one named, or the customers' entrance."""
    named = [door for door in shop.doors if door.id == shop.approach.door]
    return next(iter(named or [door for door in shop.doors if door.use == "entrance"]), None)


def entrance(shop: Shop, shell: ShellPlan) -> tuple[Door, WallLine] | None:
    """Give the customers' entrance and its wall: the first door marked so, or none."""
    for door in shop.doors:
        if door.use == "entrance":
            return door, shell.wall(door.wall)
    return None
