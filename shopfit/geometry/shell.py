"""Rooms, walls and zones as measured shapes: walks the walls and lays out the plan."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

from shapely import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit.model.base import Point
from shopfit.model.scenario import Shop
from shopfit.model.shell import Column, Room, Wall

PlanPoint = tuple[float, float]


@dataclass(frozen=True)
class WallLine:
    """One straight wall on the plan.

    Parameters
    ----------
    id, room
        Names of the wall and its room.
    start, end
        Its left and right ends as one faces it from inside, mm in the shop's frame.
    heights
        Pairs of offset and height, mm, in order along the wall.
    slat_wall, fixtures
        Whether slat-wall may hang on it and whether fixtures may stand against it.
    """

    id: str
    room: str
    start: PlanPoint
    end: PlanPoint
    heights: tuple[tuple[float, float], ...]
    slat_wall: bool = True
    fixtures: bool = True

    @cached_property
    def length(self) -> float:
        """Length, mm."""
        return math.dist(self.start, self.end)

    @cached_property
    def along(self) -> PlanPoint:
        """Unit direction from the left end to the right end, as one faces the wall."""
        length = self.length
        return ((self.end[0] - self.start[0]) / length, (self.end[1] - self.start[1]) / length)

    @cached_property
    def inward(self) -> PlanPoint:
        """Unit direction out of the wall into the room."""
        ux, uy = self.along
        return (uy, -ux)

    @cached_property
    def angle_deg(self) -> float:
        """Direction of the wall, degrees anticlockwise from east."""
        ux, uy = self.along
        return math.degrees(math.atan2(uy, ux))

    def point(self, offset: float, out: float = 0.0) -> PlanPoint:
        """Give the plan place at an offset along the wall and a distance out of it, mm."""
        (ux, uy), (vx, vy) = self.along, self.inward
        return (
            self.start[0] + offset * ux + out * vx,
            self.start[1] + offset * uy + out * vy,
        )

    def rectangle(self, left: float, right: float, near: float, far: float) -> Polygon:
        """Give the floor between two offsets and two distances out of the wall, mm."""
        return Polygon(
            [
                self.point(left, near),
                self.point(right, near),
                self.point(right, far),
                self.point(left, far),
            ]
        )

    def height_at(self, offset: float) -> float:
        """Give the wall's height at an offset, mm; straight between the points given."""
        points = self.heights
        if offset <= points[0][0]:
            return points[0][1]
        for (a, height_a), (b, height_b) in pairwise(points):
            if a <= offset <= b:
                part = 0.0 if b == a else (offset - a) / (b - a)
                return height_a + part * (height_b - height_a)
        return points[-1][1]

    def lowest(self, left: float, right: float) -> float:
        """Give the least height between two offsets, mm."""
        inside = [height for offset, height in self.heights if left < offset < right]
        return min([self.height_at(left), self.height_at(right), *inside])


@dataclass(frozen=True)
class ShellPlan:
    """The shell on the plan.

    Parameters
    ----------
    rooms
        Outline of each room, mm.
    walls
        Every wall, in walking order.
    columns
        Outline of each column.
    zones
        Outline of each zone that is not for sales: staff and stock, by name.
    """

    rooms: dict[str, Polygon]
    walls: tuple[WallLine, ...]
    columns: dict[str, Polygon]
    zones: dict[str, Polygon]

    def wall(self, wall_id: str) -> WallLine:
        """Give a wall by id; raises KeyError."""
        for wall in self.walls:
            if wall.id == wall_id:
                return wall
        raise KeyError(wall_id)

    @property
    def floor(self) -> BaseGeometry:
        """Floor of all rooms, columns included."""
        return unary_union(list(self.rooms.values()))

    @property
    def off_limits(self) -> BaseGeometry:
        """Floor of staff and stock zones, where no customer goes."""
        return unary_union(list(self.zones.values()))


def walk(room: Room) -> Iterator[tuple[str, PlanPoint, PlanPoint, Wall | None]]:
    """Walk a room's walls in the order given, before any mending of direction or closing.

    Yields
    ------
    Wall id, where it starts, where it ends, and its description if there is one.
    """
    if room.corners:
        count = len(room.corners)
        for index, corner in enumerate(room.corners):
            wall = room.walls[index] if room.walls else None
            name = wall.id if wall else f"{room.id}-{index + 1}"
            yield name, corner, room.corners[(index + 1) % count], wall
        return
    place, heading = room.start, room.heading
    for wall in room.walls:
        for name, length, bend in _stretches(wall):
            # A chord stands at half its bend to the tangent on each side.
            heading -= bend / 2
            radians = math.radians(heading)
            after = (place[0] + length * math.cos(radians), place[1] + length * math.sin(radians))
            yield name, place, after, wall
            heading -= bend / 2
            place = after
        heading -= wall.turn


def closing_error(room: Room) -> PlanPoint:
    """Give how far the walk round a room ends from where it began, mm east and north."""
    steps = list(walk(room))
    return (steps[-1][2][0] - steps[0][1][0], steps[-1][2][1] - steps[0][1][1])


def room_outline(room: Room) -> list[PlanPoint]:
    """Give the room's corners in the order given, mm, with the last wall closed on the first."""
    return [_clean(start) for _, start, _, _ in walk(room)]


def survey(shop: Shop) -> ShellPlan:
    """Lay out a shop's shell on the plan.

    Parameters
    ----------
    shop
        A shop whose rooms close and do not cross themselves.

    Returns
    -------
    Rooms, walls (left to right as one faces them from inside), columns and zones, mm.
    """
    rooms = {room.id: Polygon(room_outline(room)) for room in shop.rooms}
    walls = [line for room in shop.rooms for line in _wall_lines(room)]
    columns = {column.id: column_outline(column) for column in shop.columns}
    zones = {
        zone.id: Polygon(zone.corners) for zone in shop.zones if zone.kind in ("staff", "stock")
    }
    return ShellPlan(rooms, tuple(walls), columns, zones)


def column_outline(column: Column) -> Polygon:
    """Give a column's outline, mm; a round one as a circumscribed 64-gon, so never too small."""
    x, y = column.at
    if column.diameter is not None:
        sides = 64
        radius = column.diameter / 2 / math.cos(math.pi / sides)
        return Polygon(
            [
                (
                    x + radius * math.cos(2 * math.pi * (k + 0.5) / sides),
                    y + radius * math.sin(2 * math.pi * (k + 0.5) / sides),
                )
                for k in range(sides)
            ]
        )
    assert column.size is not None
    half_w, half_d = column.size[0] / 2, column.size[1] / 2
    cos, sin = math.cos(math.radians(column.turn)), math.sin(math.radians(column.turn))
    return Polygon(
        [
            (x + cos * a - sin * b, y + sin * a + cos * b)
            for a, b in ((-half_w, -half_d), (half_w, -half_d), (half_w, half_d), (-half_w, half_d))
        ]
    )


def _stretches(wall: Wall) -> Iterable[tuple[str, float, float]]:
    if wall.arc is None:
        assert wall.length is not None
        return [(wall.id, wall.length, 0.0)]
    bend = wall.arc.sweep / wall.arc.chords
    chord = 2 * wall.arc.radius * math.sin(math.radians(abs(bend)) / 2)
    return [(f"{wall.id}-{k + 1}", chord, bend) for k in range(wall.arc.chords)]


def _clean(point: Point) -> PlanPoint:
    # Cosines of right angles leave 1e-13 mm behind, which would make walls not quite square.
    return (round(point[0], 6) + 0.0, round(point[1], 6) + 0.0)


def _wall_lines(room: Room) -> list[WallLine]:
    steps = list(walk(room))
    corners = [_clean(start) for _, start, _, _ in steps]
    clockwise = not Polygon(corners).exterior.is_ccw
    lines = []
    for index, (name, _, _, wall) in enumerate(steps):
        first, second = corners[index], corners[(index + 1) % len(corners)]
        start, end = (first, second) if clockwise else (second, first)
        lines.append(
            WallLine(
                id=name,
                room=room.id,
                start=start,
                end=end,
                heights=_heights(room, wall),
                slat_wall=wall.slat_wall if wall else True,
                fixtures=wall.fixtures if wall else True,
            )
        )
    chords = {wall.id: wall.arc.chords for wall in room.walls if wall.arc and wall.heights}
    for wall_id, count in chords.items():
        names = [f"{wall_id}-{k + 1}" for k in range(count)]
        lines = _bent_heights(lines, names if clockwise else names[::-1])
    return lines


def _heights(room: Room, wall: Wall | None) -> tuple[tuple[float, float], ...]:
    if wall is None or not wall.heights:
        return ((0.0, room.height),)
    # By offset alone: two heights at one offset are a step, in the order given.
    points = sorted(wall.heights, key=lambda point: point.offset)
    return tuple((point.offset, point.height) for point in points)


def _bent_heights(lines: list[WallLine], left_to_right: list[str]) -> list[WallLine]:
    """Share out the heights given along a curve among its chords."""
    by_id = {line.id: line for line in lines}
    left = 0.0
    for name in left_to_right:
        chord = by_id[name]
        right = left + chord.length
        between = [(at - left, height) for at, height in chord.heights if left < at < right]
        ends = (0.0, chord.height_at(left)), (chord.length, chord.height_at(right))
        by_id[name] = replace(chord, heights=(ends[0], *between, ends[1]))
        left = right
    return [by_id[line.id] for line in lines]
