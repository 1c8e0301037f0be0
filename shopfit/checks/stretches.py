"""Where along a line the floor before it is clear to a depth: room for a wheelchair."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shapely import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit.checks.scene import Scene, Stood
from shopfit.geometry.freefloor import polygons
from shopfit.geometry.shell import PlanPoint
from shopfit.units import TOLERANCE_MM


@dataclass(frozen=True)
class Line:
    """A line with floor before it.

    Parameters
    ----------
    start
        Its left end as one faces it, mm.
    along, outward
        Unit directions along it, and away from it over the floor.
    """

    start: PlanPoint
    along: PlanPoint
    outward: PlanPoint

    def point(self, along: float, out: float) -> PlanPoint:
        """Give the plan place at a distance along the line and out of it, mm."""
        (ux, uy), (vx, vy) = self.along, self.outward
        return self.start[0] + along * ux + out * vx, self.start[1] + along * uy + out * vy

    def rectangle(self, left: float, right: float, near: float, far: float) -> Polygon:
        """Give the floor between two distances along the line and two out of it, mm."""
        corners = ((left, near), (right, near), (right, far), (left, far))
        return Polygon([self.point(*corner) for corner in corners])

    def measures(self, place: PlanPoint) -> PlanPoint:
        """Give how far along the line and out of it a place is, mm."""
        dx, dy = place[0] - self.start[0], place[1] - self.start[1]
        (ux, uy), (vx, vy) = self.along, self.outward
        return dx * ux + dy * uy, dx * vx + dy * vy


@dataclass(frozen=True)
class Stretch:
    """A part of a line before which the floor is clear.

    Parameters
    ----------
    left, right
        From where to where along the line, mm.
    left_wall, right_wall
        How far out whatever bounds it on each side stands, from the line on, mm; 0 where nothing
        stands against the line there.
    """

    left: float
    right: float
    left_wall: float = 0.0
    right_wall: float = 0.0

    @property
    def alcove(self) -> float:
        """How deep the floor is shut in on both sides, mm."""
        return min(self.left_wall, self.right_wall)


def taken(
    scene: Scene, line: Line, span: tuple[float, float], near: float, far: float, but: Stood | None
) -> list[tuple[BaseGeometry, Stood | None]]:
    """List what is in the way before a line, with the fixture that it is, if it is one.

    Parameters
    ----------
    scene
        Where.
    line, span, near, far
        The line, from where to where along it, and from which distance out of it to which, mm.
    but
        A fixture that is not in the way of itself.
    """
    whole = line.rectangle(*span, near, far)
    rooms = unary_union(list(scene.rooms.values()))
    found: list[tuple[BaseGeometry, Stood | None]] = [(whole.difference(rooms), None)]
    found += [(column.intersection(whole), None) for column in scene.shell.columns.values()]
    found += [(one.core & whole, one) for one in scene.standing_in(whole) if one is not but]
    return [(shape, one) for shape, one in found if not shape.is_empty]


def clear_stretches(
    line: Line,
    span: tuple[float, float],
    near: float,
    blocked: Sequence[BaseGeometry],
) -> list[Stretch]:
    """Give the stretches along a line before which nothing is in the way.

    Parameters
    ----------
    line, span, near
        As for `taken`.
    blocked
        What is in the way.
    """
    shadows: list[tuple[float, float, float]] = []
    for part in (p for shape in blocked for p in polygons(shape)):
        places = [line.measures((x, y)) for x, y in part.exterior.coords]
        alongs = [along for along, _ in places]
        outs = [out for _, out in places]
        if max(alongs) - min(alongs) <= 2 * TOLERANCE_MM:
            continue
        # What does not begin at the line shuts nothing in.
        shut = max(outs) - near if min(outs) <= near + 1.0 else 0.0
        shadows.append((min(alongs), max(alongs), shut))
    shadows.sort()
    found, at, wall = [], span[0], 0.0
    for left, right, shut in shadows:
        if left > at + TOLERANCE_MM:
            found.append(Stretch(at, left, wall, shut))
        if right > at:
            at, wall = right, shut
    if span[1] > at + TOLERANCE_MM:
        found.append(Stretch(at, span[1], wall, 0.0))
    return found


def has_room(
    stretches: Sequence[Stretch], part: tuple[float, float], length: float, cover: float = 0.0
) -> bool:
    """Say whether a clear stretch takes a space that lies before a part of the line.

    Parameters
    ----------
    stretches
        From `clear_stretches`.
    part
        From where to where along the line, mm.
    length
        Of the space, along the line, mm.
    cover
        How much of the part it has to lie before, at most the shorter of the two, mm.
    """
    low, high = part
    for each in stretches:
        begin = max(each.left, low + cover - length)
        end = min(each.right, high - cover + length)
        if end - begin >= length - 4 * TOLERANCE_MM:
            return True
    return False
