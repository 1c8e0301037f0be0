"""Checks the height over ways: beams, ducts, sloping ceilings and low walls."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit.checks.cane import found_by_cane
from shopfit.checks.clauses import drawn
from shopfit.checks.notes import join, middle, published
from shopfit.checks.saying import say
from shopfit.checks.scene import Scene, grow
from shopfit.geometry.freefloor import polygons
from shopfit.geometry.shell import WallLine
from shopfit.model.finding import Finding
from shopfit.standards.protrusion import headroom

# Floor that a person's shoulders do not get into; common practice, no source.
BODY_MM = 304.8
# Heights on a tape are read to about this; a ceiling that bends less is one plane.
FLATNESS_MM = 3.0
_FAR = 1e6


@dataclass(frozen=True)
class _Ceiling:
    """A plane over a room: height at a place is east * x + north * y + zero, mm.

    Parameters
    ----------
    east, north, zero
        Its slopes and its height over the plan's zero.
    """

    east: float
    north: float
    zero: float

    def height(self, x: float, y: float) -> float:
        """Give its height over a place, mm."""
        return self.east * x + self.north * y + self.zero

    def below(self, height: float) -> BaseGeometry:
        """Give all of the plan over which it is lower than a height, mm."""
        steep = math.hypot(self.east, self.north)
        if steep < 1e-9:
            return Point(0.0, 0.0).buffer(_FAR) if self.zero < height else Polygon()
        nx, ny = self.east / steep, self.north / steep
        edge = (height - self.zero) / steep
        corners = ((edge, -_FAR), (edge, _FAR), (edge - _FAR, _FAR), (edge - _FAR, -_FAR))
        return Polygon([(a * nx - b * ny, a * ny + b * nx) for a, b in corners])


def check(scene: Scene) -> Iterator[Finding]:
    """Find places where people walk under something lower than the headroom.

    Source
    ------
    2010 ADA Standards, 307.4: 80 in, or a barrier with its edge at 27 in or lower. Text read.
    """
    rooms = scene.shell.floor
    for over in scene.scenario.shop.overheads:
        if headroom(scene.rulebook, over.bottom).met:
            continue
        shape = Polygon(over.corners).buffer(0.0).intersection(rooms)
        yield from _under(scene, over.id, shape, over.bottom)
    for room in scene.shell.rooms:
        yield from _room(scene, room)


def _room(scene: Scene, room: str) -> Iterator[Finding]:
    wanted = scene.rulebook.requirement("headroom")
    walls = [wall for wall in scene.shell.walls if wall.room == room]
    if all(wanted.holds(wall.lowest(0.0, wall.length)) for wall in walls):
        return
    ceiling = _plane(walls)
    outline = scene.shell.rooms[room]
    if ceiling is None:
        drawn_over = unary_union(
            [Polygon(over.corners).buffer(0.0) for over in scene.scenario.shop.overheads]
        )
        edges = [(wall, _low_edge(scene, wall)) for wall in walls]
        drawn_over = grow(drawn_over, 20.0)
        low = [wall for wall, edge in edges if not edge.is_empty and not drawn_over.covers(edge)]
        if low:
            yield _not_known(scene, room, low)
        return
    low_part = ceiling.below(wanted.value - wanted.slack).intersection(outline)
    corners = [p for part in polygons(low_part) for p in part.exterior.coords]
    lowest = min((ceiling.height(x, y) for x, y in corners), default=math.inf)
    yield from _under(scene, f"the ceiling of {room}", low_part, lowest, ceiling)


def _plane(walls: list[WallLine]) -> _Ceiling | None:
    """Give the plane that the tops of the walls lie in, or none."""
    tops = [
        (*wall.point(offset), height)
        for wall in walls
        for offset, height in (
            (0.0, wall.height_at(0.0)),
            *((o, h) for o, h in wall.heights if 0.0 < o < wall.length),
            (wall.length, wall.height_at(wall.length)),
        )
    ]
    places = np.array([(x, y, 1.0) for x, y, _ in tops])
    heights = np.array([height for _, _, height in tops])
    found, *_ = np.linalg.lstsq(places, heights, rcond=None)
    if float(np.abs(places @ found - heights).max()) > FLATNESS_MM:
        return None
    return _Ceiling(*(float(each) for each in found))


def _low_edge(scene: Scene, wall: WallLine) -> BaseGeometry:
    """Give the stretches along a wall, a little out of it, where it is too low."""
    wanted = scene.rulebook.requirement("headroom")
    offsets = sorted({0.0, wall.length, *(o for o, _ in wall.heights if 0.0 < o < wall.length)})
    lines = []
    for left, right in pairwise(offsets):
        low, high = wall.height_at(left + 1e-6), wall.height_at(right - 1e-6)
        if wanted.holds(min(low, high)):
            continue
        # Straight between two points: what is too low begins where the two heights cross.
        cross = right
        if not math.isclose(low, high):
            cross = left + (right - left) * (wanted.value - low) / (high - low)
        start, end = left, right
        if wanted.holds(low):
            start = cross
        elif wanted.holds(high):
            end = cross
        lines.append(LineString([wall.point(start, 10.0), wall.point(end, 10.0)]))
    return unary_union(lines)


def _not_known(scene: Scene, room: str, low: list[WallLine]) -> Finding:
    wanted = scene.rulebook.requirement("headroom")
    x, y = low[0].point(low[0].length / 2)
    return say(
        "headroom-not-checked",
        "not checked",
        room,
        f"The ceiling of {room} is no single plane and lower than {scene.words.say(wanted.value)} "
        f"at {join(wall.id for wall in low)}, so how far people walk under it was not checked.",
        "Draw what is lower under overheads in shop.yaml: corners on the plan, and the height of "
        "its lowest edge (bottom).",
        published(wanted),
        required=wanted.value,
        at_mm=(round(x, 1), round(y, 1)),
    )


def _under(
    scene: Scene,
    name: str,
    shape: BaseGeometry,
    lowest: float,
    ceiling: _Ceiling | None = None,
) -> Iterator[Finding]:
    taken = [*scene.shell.columns.values(), *(found_by_cane(scene, one) for one in scene.stood)]
    free = shape.difference(unary_union(taken))
    half = BODY_MM / 2
    # What a body gets into: floor that a disc of its width fits on.
    floor = scene.shell.floor.difference(unary_union(taken))
    walked = floor.buffer(-half).buffer(half)
    off_limits = scene.shell.off_limits
    for staff, part in ((False, free.difference(off_limits)), (True, free & off_limits)):
        entered = grow(part.intersection(walked), -1.0)
        if entered.is_empty:
            continue
        measured = lowest
        if ceiling is not None:
            corners = [p for each in polygons(entered) for p in each.exterior.coords]
            measured = min(ceiling.height(x, y) for x, y in corners)
        yield _finding(scene, name, entered, measured, staff)


def _finding(
    scene: Scene, name: str, entered: BaseGeometry, measured: float, staff: bool
) -> Finding:
    wanted, words = scene.rulebook.requirement("headroom"), scene.words
    barrier = words.say(scene.rulebook.mm("headroom-barrier"))
    people = "staff" if staff else "people"
    return say(
        "headroom",
        "advice" if staff else "violation",
        name,
        f"{name[0].upper()}{name[1:]} hangs low where {people} walk: "
        f"{words.versus(measured, wanted.value)}.",
        f"Raise it by {words.enough(wanted.value - measured)}, or close off the floor under it "
        f"with something whose lower edge is at {barrier} or lower.",
        published(wanted),
        required=wanted.value,
        measured=measured,
        margin=measured - wanted.value,
        at_mm=middle(entered),
        height_mm=measured,
        drawn_mm=drawn(entered),
    )
