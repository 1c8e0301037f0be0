"""Areas and lengths of walls as they are finished: gross, openings, feet, heads and corners."""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import pairwise

from shapely import Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit.geometry.openings import OnWall, things_on
from shopfit.geometry.shell import ShellPlan, WallLine
from shopfit.model.layout import Run
from shopfit.model.scenario import Shop
from shopfit.units import TOLERANCE_MM

# Walls that turn by less at a corner are one wall to a moulding.
STRAIGHT_DEG = 1.0


def wall_elevation(wall: WallLine) -> Polygon:
    """Give a wall as it is seen from inside: offsets and heights, mm."""
    inner = [(at, height) for at, height in wall.heights if 0.0 < at < wall.length]
    tops = [(0.0, wall.height_at(0.0)), *inner, (wall.length, wall.height_at(wall.length))]
    return Polygon([(0.0, 0.0), (wall.length, 0.0), *reversed(tops)])


def wall_openings(shop: Shop, wall: WallLine) -> list[OnWall]:
    """List doors and windows of a wall, left to right, and inner doors seen from beyond."""
    found = [thing for thing in things_on(shop, wall.id) if thing.kind in ("door", "window")]
    return sorted(found, key=lambda thing: thing.left)


def openings_shape(openings: Iterable[OnWall]) -> BaseGeometry:
    """Give openings as they are seen from inside, overlaps once, mm."""
    return unary_union(
        [box(thing.left, thing.bottom, thing.right, thing.top) for thing in openings]
    )


def runs_shape(runs: Iterable[Run], wall: WallLine) -> BaseGeometry:
    """Give the slat-wall on a wall as it is seen from inside, mm."""
    return unary_union(
        [
            box(run.from_mm, run.bottom_mm, run.to_mm, run.top_mm)
            for run in runs
            if run.wall == wall.id
        ]
    )


def head_lengths(wall: WallLine) -> list[float]:
    """Give the lengths of a wall's upper edge along its slopes, mm, from the left; steps none."""
    corners = list(wall_elevation(wall).exterior.coords)[1:-1]
    lengths = [
        math.dist(one, other) for one, other in pairwise(corners) if abs(one[0] - other[0]) > 1e-6
    ]
    # The outline goes back along the top.
    return lengths[::-1]


def corners_of(shell: ShellPlan, room: str) -> tuple[int, int]:
    """Count a room's corners: those that turn in (as seen from inside), and those that stand out.

    Parameters
    ----------
    shell, room
        Which; bends of less than a degree are none.
    """
    ring = list(shell.rooms[room].exterior.coords)[:-1]
    if not shell.rooms[room].exterior.is_ccw:
        ring.reverse()
    inside = outside = 0
    for (ax, ay), (bx, by), (cx, cy) in zip(ring[-1:] + ring, ring, ring[1:] + ring, strict=False):
        turn = math.degrees(
            math.atan2(
                (bx - ax) * (cy - by) - (by - ay) * (cx - bx),
                (bx - ax) * (cx - bx) + (by - ay) * (cy - by),
            )
        )
        inside += turn > STRAIGHT_DEG
        outside += turn < -STRAIGHT_DEG
    return inside, outside


def corner_closes(shell: ShellPlan, wall: WallLine, right: bool) -> bool:
    """Say whether the next wall at an end of a wall comes forward into the room."""
    corner = wall.end if right else wall.start
    for other in shell.walls:
        near, far = (other.start, other.end) if right else (other.end, other.start)
        if (
            other.id != wall.id
            and other.room == wall.room
            and math.dist(near, corner) <= TOLERANCE_MM
        ):
            (vx, vy), (dx, dy) = wall.inward, (far[0] - near[0], far[1] - near[1])
            return dx * vx + dy * vy > math.sin(math.radians(STRAIGHT_DEG)) * other.length
    return False
