"""Where a shell can be drawn apart: lines that cross nothing but walls along the way it grows."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from shapely import Polygon

from shopfit.geometry.footprint import against_wall, footprint
from shopfit.geometry.openings import things_on
from shopfit.geometry.shell import PlanPoint, ShellPlan, WallLine, survey
from shopfit.model.layout import Layout, Placement
from shopfit.model.scenario import Keep, Scenario
from shopfit.model.shell import Room

Interval = tuple[float, float]
# Kept from corners and things on both sides of a cut; more than a walk round a room may be open.
MARGIN_MM = 30.0
# Items on a wall nearer than this move as one.
TOUCHING_MM = 1.0
_STRAIGHT = 1e-6


@dataclass(frozen=True)
class Cut:
    """A line across the shop at which everything beyond is moved away.

    Parameters
    ----------
    room
        The room that is drawn apart.
    along
        Unit direction in which it grows.
    at
        Where the line is: how far along that direction from the plan's zero, mm.
    walls
        Walls that get longer, of this room or of others that the line crosses.
    zones
        Zones that get longer with them.
    """

    room: str
    along: PlanPoint
    at: float
    walls: tuple[str, ...]
    zones: tuple[str, ...] = ()

    def beyond(self, point: PlanPoint) -> bool:
        """Say whether a place is moved."""
        return on(self.along, point) > self.at

    def moved(self, point: PlanPoint, by_mm: float) -> PlanPoint:
        """Give where a place is after the shell was drawn apart."""
        if not self.beyond(point):
            return point
        return (point[0] + by_mm * self.along[0], point[1] + by_mm * self.along[1])

    def offset(self, wall: WallLine) -> float | None:
        """Give where the line crosses a wall, mm from its left end; none where it does not."""
        if wall.id not in self.walls:
            return None
        start = on(self.along, wall.start)
        return self.at - start if on(self.along, wall.along) > 0 else start - self.at


def on(direction: PlanPoint, point: PlanPoint) -> float:
    """Give how far a place lies along a direction, mm."""
    return direction[0] * point[0] + direction[1] * point[1]


def cuts(scenario: Scenario, layout: Layout | None = None) -> list[Cut]:
    """Find lines at which the shell can be drawn apart, one for each set of walls that grow.

    They cross no opening, nothing on a wall and no column, and no wall or edge of a zone but such
    as run along the way of growth. Lines that cross no zone are preferred, then those that cross
    nothing pinned, then nothing of a layout, then those farthest from anything.

    Parameters
    ----------
    scenario
        Shop and pins.
    layout
        What stands there, if anything.
    """
    plan = survey(scenario.shop)
    best: dict[tuple[str, ...], tuple[tuple[float, ...], Cut]] = {}
    for room in scenario.shop.rooms:
        for along in _directions(plan, room.id):
            taken = sorted(_taken(scenario, plan, along))
            pinned = sorted(_pinned(scenario, plan, along))
            standing = sorted(_standing(scenario, plan, along, layout))
            reach = _span(along, plan.rooms[room.id].exterior.coords)
            for interval in _free(reach, taken):
                inner = [_free(interval, each) for each in (pinned, standing)]
                inner.append(_free(interval, sorted([*pinned, *standing])))
                for low, high in [interval, *inner[0], *inner[1], *inner[2]]:
                    cut = _cut(scenario, plan, room.id, along, (low + high) / 2)
                    parted = [
                        float(any(a < cut.at < b for a, b in each)) for each in (pinned, standing)
                    ]
                    rank = (float(len(cut.zones)), *parted, low - high)
                    if cut.walls and rank < best.get(cut.walls, ((math.inf,), cut))[0]:
                        best[cut.walls] = (rank, cut)
    return [cut for _, cut in best.values()]


def clusters(
    wall: WallLine, scenario: Scenario, layout: Layout
) -> list[tuple[Interval, frozenset[str]]]:
    """Give what stands or hangs on a wall in groups that touch: from where to where, and tags."""
    items = [(run.from_mm, run.to_mm, run.id) for run in layout.runs if run.wall == wall.id]
    for placement in layout.placements:
        if placement.wall == wall.id and placement.offset_mm is not None:
            width = scenario.catalogue.fixture(placement.fixture).width
            items.append((placement.offset_mm, placement.offset_mm + width, placement.id))
    groups: list[tuple[Interval, frozenset[str]]] = []
    for left, right, tag in sorted(items):
        if groups and left <= groups[-1][0][1] + TOUCHING_MM:
            (start, end), tags = groups.pop()
            groups.append(((start, max(end, right)), tags | {tag}))
        else:
            groups.append(((left, right), frozenset({tag})))
    return groups


def _directions(plan: ShellPlan, room: str) -> tuple[PlanPoint, PlanPoint]:
    """Give the two main directions of a room: along most of its walls, and square to them."""
    lengths: dict[float, float] = {}
    for wall in plan.walls:
        if wall.room == room:
            angle = round(wall.angle_deg % 90.0, 3) % 90.0
            lengths[angle] = lengths.get(angle, 0.0) + wall.length
    main = math.radians(max(sorted(lengths), key=lambda angle: lengths[angle]))
    cos, sin = math.cos(main), math.sin(main)
    return (cos, sin), (-sin, cos)


def _taken(scenario: Scenario, plan: ShellPlan, along: PlanPoint) -> Iterator[Interval]:
    """Give the stretches along a direction where no line may be."""
    shop = scenario.shop
    curved = {name for room in shop.rooms for name in _chords(room)}
    for wall in plan.walls:
        if not _parallel(along, wall.start, wall.end) or wall.id in curved:
            yield _span(along, (wall.start, wall.end))
            continue
        # Ends of walls are where other walls begin.
        yield from ((on(along, end),) * 2 for end in (wall.start, wall.end))
        for thing in things_on(shop, wall.id):
            yield _span(along, (wall.point(thing.left), wall.point(thing.right)))
    for column in plan.columns.values():
        yield _span(along, column.exterior.coords)
    for door in shop.doors:
        if door.leads_to is not None:
            wall = plan.wall(door.wall)
            passage = wall.rectangle(door.offset, door.offset + door.width, -door.depth, 0.0)
            yield _span(along, passage.exterior.coords)
    outlines = [zone.corners for zone in shop.zones]
    outlines += [clear.corners for clear in scenario.pins.clear]
    for corners in outlines:
        for start, end in pairwise([*corners, corners[0]]):
            if not _parallel(along, start, end):
                yield _span(along, (start, end))


def _pinned(scenario: Scenario, plan: ShellPlan, along: PlanPoint) -> Iterator[Interval]:
    for keep in scenario.pins.keep:
        yield _span(along, kept_outline(scenario, plan, keep).exterior.coords)


def _standing(
    scenario: Scenario, plan: ShellPlan, along: PlanPoint, layout: Layout | None
) -> Iterator[Interval]:
    """Give the stretches where a line would part what stands together."""
    if layout is None:
        return
    for wall in plan.walls:
        if _parallel(along, wall.start, wall.end):
            for (left, right), _ in clusters(wall, scenario, layout):
                yield _span(along, (wall.point(left), wall.point(right)))
    for placement in layout.placements:
        fixture = scenario.catalogue.fixture(placement.fixture)
        yield _span(along, footprint(fixture, placement).exterior.coords)


def _cut(scenario: Scenario, plan: ShellPlan, room: str, along: PlanPoint, at: float) -> Cut:
    def crossed(points: Iterable[PlanPoint]) -> bool:
        low, high = _span(along, points)
        return low < at < high

    walls = tuple(wall.id for wall in plan.walls if crossed((wall.start, wall.end)))
    zones = tuple(zone.id for zone in scenario.shop.zones if crossed(zone.corners))
    return Cut(room, along, at, walls, zones)


def kept_outline(scenario: Scenario, plan: ShellPlan, keep: Keep) -> Polygon:
    """Give the floor under a pinned fixture, mm."""
    fixture = scenario.catalogue.fixture(keep.fixture)
    if keep.wall is not None and keep.offset is not None:
        placement = against_wall("", fixture, plan.wall(keep.wall), keep.offset)
        return footprint(fixture, placement)
    assert keep.at is not None
    x, y = keep.at
    at = Placement(id="", fixture=keep.fixture, x_mm=x, y_mm=y, angle_deg=keep.angle)
    return footprint(fixture, at)


def _chords(room: Room) -> Iterator[str]:
    for wall in room.walls:
        if wall.arc is not None:
            yield from (f"{wall.id}-{number + 1}" for number in range(wall.arc.chords))


def _parallel(along: PlanPoint, start: PlanPoint, end: PlanPoint) -> bool:
    dx, dy = end[0] - start[0], end[1] - start[1]
    return abs(dx * along[1] - dy * along[0]) <= _STRAIGHT * math.hypot(dx, dy)


def _span(along: PlanPoint, points: Iterable[PlanPoint]) -> Interval:
    places = [on(along, (point[0], point[1])) for point in points]
    return min(places), max(places)


def _free(within: Interval, taken: Sequence[Interval]) -> list[Interval]:
    """Give what is left of an interval, a margin away from what is taken; taken in order."""
    found, level = [], within[0]
    for low, high in [*taken, (within[1], within[1])]:
        end = min(low, within[1])
        if end - level > 2 * MARGIN_MM:
            found.append((level + MARGIN_MM, end - MARGIN_MM))
        level = max(level, high)
    return found
