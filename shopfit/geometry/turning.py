"""Turns round the ends of islands: where the ends are, what stands before them, what closes them.

Islands that touch are one *element*. An end is a side of the element's smallest rectangle in the
frame of its fixtures. Whether an end is too narrow, or the floor before it too shallow, is for the
caller to say: limits are passed in.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Polygon, STRtree
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit.geometry.freefloor import polygons
from shopfit.geometry.shell import PlanPoint
from shopfit.units import TOLERANCE_MM

# Stands for the wall among the things before an end.
WALL = -1
# Half the width of the cut along a barrier: far under any tape measure, far over rounding.
_CUT_MM = 0.5
_SPECK_MM2 = 1e-6

# Number of an end, number of a thing, and what of the thing lies before the end.
_Piece = tuple[int, int, BaseGeometry]
_Ring = list[tuple[float, float]]


@dataclass(frozen=True)
class End:
    """An end of an element, as a segment on the plan.

    Parameters
    ----------
    element
        Number of the element.
    corner
        Where the segment begins, mm.
    along, outward
        Unit directions: along the segment, from left to right as one faces the end, and away from
        the element.
    length
        Of the segment, mm; the width of the element as one goes round this end.
    back
        How far the element, or its leg, runs back from the end, mm.
    body
        The part of the element behind the end where that is no plain rectangle; else none.
    """

    element: int
    corner: PlanPoint
    along: PlanPoint
    outward: PlanPoint
    length: float
    back: float
    body: Polygon | None = None

    def point(self, across: float, out: float = 0.0) -> PlanPoint:
        """Give a plan place from distances along the segment and away from it, mm."""
        (ux, uy), (vx, vy) = self.along, self.outward
        return (
            self.corner[0] + across * ux + out * vx,
            self.corner[1] + across * uy + out * vy,
        )

    @property
    def segment(self) -> LineString:
        """The end itself."""
        return LineString([self.corner, self.point(self.length)])

    @property
    def middle(self) -> PlanPoint:
        """The middle of the segment, mm."""
        return self.point(self.length / 2)

    def floor(self, depth: float) -> Polygon:
        """Give the floor before the end, as wide as it and so deep, mm."""
        return Polygon(
            [
                self.corner,
                self.point(self.length),
                self.point(self.length, depth),
                self.point(0.0, depth),
            ]
        )

    def set_back(self, across: float) -> float:
        """Give how far behind the end's line the element begins at a place along it, mm."""
        if self.body is None:
            return 0.0
        (ring,) = _rings_in_frame([self], [0], [self.body])
        back = _first_met([(a, -o) for a, o in ring], across)
        return max(back, 0.0) if math.isfinite(back) else 0.0


@dataclass(frozen=True)
class Tight:
    """An end with something nearer before it than was asked for.

    Parameters
    ----------
    end
        Which end.
    depth
        Clear depth before the end, mm.
    barrier
        From the element straight outward to what is in the way: at the middle of the end, or as
        near to the middle as that thing comes.
    things
        Numbers of what is in the way, in the order given; `WALL` for the wall.
    """

    end: End
    depth: float
    barrier: LineString
    things: tuple[int, ...]


_Closed = tuple[End, float, tuple[int, ...], tuple[PlanPoint, PlanPoint]]


@dataclass(frozen=True)
class Islands:
    """Free-standing fixtures on the plan.

    Parameters
    ----------
    shapes
        Their footprints, mm.
    angles
        Direction of each one's width, degrees; any quarter turn of it serves as well.
    """

    shapes: Sequence[Polygon]
    angles: Sequence[float]

    @cached_property
    def elements(self) -> tuple[tuple[int, ...], ...]:
        """Groups of islands that touch, each in order, by their first."""
        return elements(self.shapes)

    @cached_property
    def element_of(self) -> tuple[int, ...]:
        """For each island, the number of its element."""
        found = [0] * len(self.shapes)
        for number, group in enumerate(self.elements):
            for island in group:
                found[island] = number
        return tuple(found)


def elements(shapes: Sequence[BaseGeometry]) -> tuple[tuple[int, ...], ...]:
    """Group shapes that touch, within the tolerance; groups and members in order."""
    root = list(range(len(shapes)))

    def find(i: int) -> int:
        while root[i] != i:
            root[i] = root[root[i]]
            i = root[i]
        return i

    if shapes:
        tree = STRtree(shapes)
        ones, others = tree.query(shapes, predicate="dwithin", distance=TOLERANCE_MM)
        for a, b in zip(ones.tolist(), others.tolist(), strict=True):
            if a < b:
                low, high = sorted((find(a), find(b)))
                root[high] = low
    groups: dict[int, list[int]] = {}
    for i in range(len(shapes)):
        groups.setdefault(find(i), []).append(i)
    return tuple(tuple(group) for group in groups.values())


def narrow_ends(islands: Islands, under: float, step: float) -> list[End]:
    """List the ends of elements that are shorter than a limit.

    Parameters
    ----------
    islands
        What stands free.
    under
        Only ends shorter than this, mm.
    step
        Where an element is no plain rectangle: parts that stand back by no more than this belong
        to the end, mm; what stands farther back is gone round on its own.
    """
    found = []
    for number, group in enumerate(islands.elements):
        for end in _ends(islands, number, group, step):
            if end.length < under - TOLERANCE_MM:
                found.append(end)
    return found


def tight_ends(
    ends: Sequence[End],
    islands: Islands,
    others: Sequence[BaseGeometry],
    rooms: Sequence[Polygon],
    needed: float,
) -> list[Tight]:
    """List the ends with less clear depth before them than is needed, with what closes them.

    Looks straight outward, over the width of the end and no farther to either side. What stands
    apart before an end gives a barrier of its own.

    Parameters
    ----------
    ends
        From `narrow_ends`.
    islands, others
        What is in the way: numbered from 0 through the islands, then through the others; columns,
        fixtures against walls and floor closed to customers belong to the others.
    rooms
        Outlines; an end looks as far as the walls of its own room.
    needed
        Clear depth, mm; exactly as much is enough.
    """
    if not ends:
        return []
    floors = _floors(ends, needed)
    found = _things_met(ends, floors, islands, others)
    found += _walls_met(ends, floors, islands, rooms)
    which, what, pieces = _parts(sorted(found, key=lambda piece: piece[:2]))
    rings = _rings_in_frame(ends, which, pieces)
    closed: list[_Closed] = []
    for k in sorted(set(which)):
        first, last = bisect_left(which, k), bisect_right(which, k)
        members = range(first, last)
        # Things that touch before the end are one obstacle and need one barrier.
        groups = elements(pieces[first:last]) if last - first > 1 else ((0,),)
        for group in groups:
            closed += _closed(ends[k], [(what[members[i]], rings[members[i]]) for i in group])
    lines = shapely.linestrings(np.array([one[3] for one in closed]).reshape(-1, 2, 2))
    return [
        Tight(end, depth, line, things)
        for (end, depth, things, _), line in zip(closed, lines, strict=True)
    ]


def barriers(
    islands: Islands,
    others: Sequence[BaseGeometry],
    rooms: Sequence[Polygon],
    under: float,
    needed: float,
    step: float,
) -> list[LineString]:
    """Give the lines that nobody is counted on to cross: see `narrow_ends` and `tight_ends`."""
    ends = narrow_ends(islands, under, step)
    return [tight.barrier for tight in tight_ends(ends, islands, others, rooms, needed)]


def cut(areas: Sequence[Polygon], lines: Sequence[LineString]) -> list[Polygon]:
    """Cut travel areas along barriers, so that the two sides are no longer joined there.

    Parameters
    ----------
    areas
        Where the centre of a traveller may be.
    lines
        Barriers, from one obstacle to another. The centre keeps away from both ends of each, so a
        barrier that an area crosses is crossed wholly.
    """
    if not lines or not areas:
        return list(areas)
    tree = STRtree(lines)
    found: list[Polygon] = []
    for area in areas:
        near = tree.query(area, predicate="intersects")
        if not len(near):
            found.append(area)
            continue
        slits = shapely.buffer([lines[i] for i in sorted(near.tolist())], _CUT_MM, quad_segs=1)
        found += polygons(area.difference(unary_union(list(slits))))
    return found


def _ends(islands: Islands, number: int, group: tuple[int, ...], step: float) -> list[End]:
    shapes = [islands.shapes[i] for i in group]
    corners = [corner for shape in shapes for corner in shape.exterior.coords]
    frames = {round(islands.angles[i] % 90.0, 6) % 90.0: islands.angles[i] % 90.0 for i in group}
    boxes = [_box(corners, angle) for angle in frames.values()]
    area, along, (left, right, down, up) = min(boxes, key=lambda box: round(box[0], 3))
    across = (-along[1], along[0])
    spare = area - sum(shape.area for shape in shapes)
    plain = spare <= TOLERANCE_MM * (right - left + up - down)
    body = None if plain else _joined(shapes)
    found = []
    back_along, back_across = (-along[0], -along[1]), (-across[0], -across[1])
    wide, deep = right - left, up - down
    for run, out, start, far, length, back in (
        (across, along, down, right, deep, wide),
        (along, back_across, left, -down, wide, deep),
        (back_across, back_along, -up, -left, deep, wide),
        (back_along, across, -right, up, wide, deep),
    ):
        corner = (start * run[0] + far * out[0], start * run[1] + far * out[1])
        side = End(number, corner, run, out, length, back)
        found += [side] if body is None else _stepped(side, body, step)
    return found


def _box(
    corners: Sequence[tuple[float, ...]], angle: float
) -> tuple[float, PlanPoint, tuple[float, float, float, float]]:
    """Give the rectangle round corners in a turned frame: area, direction and spans, mm."""
    turn = math.radians(angle)
    cos, sin = (1.0, 0.0) if angle in (0.0, 90.0) else (math.cos(turn), math.sin(turn))
    along = [x * cos + y * sin for x, y, *_ in corners]
    across = [y * cos - x * sin for x, y, *_ in corners]
    left, right, down, up = min(along), max(along), min(across), max(across)
    return (right - left) * (up - down), (cos, sin), (left, right, down, up)


def _joined(shapes: Sequence[Polygon]) -> BaseGeometry:
    # Grown a little, so that what only touches is one.
    return unary_union([shape.buffer(TOLERANCE_MM, join_style="mitre") for shape in shapes])


def _stepped(side: End, body: BaseGeometry, step: float) -> list[End]:
    """Give the ends on one side of an element that is no plain rectangle."""
    found = []
    back = min(step, side.back)
    for part in polygons(body.intersection(side.floor(-back))):
        (ring,) = _rings_in_frame([side], [0], [part])
        left, right = min(a for a, _ in ring), max(a for a, _ in ring)
        # The body is grown, except where the side cuts it off.
        left += TOLERANCE_MM if left > TOLERANCE_MM else 0.0
        right -= TOLERANCE_MM if right < side.length - TOLERANCE_MM else 0.0
        corner = side.point(left)
        found.append(End(side.element, corner, side.along, side.outward, right - left, back, part))
    return found


def _floors(ends: Sequence[End], depth: float) -> NDArray[np.object_]:
    """Give the floors before ends, less the tolerance at the sides and the far edge."""
    corner = np.array([end.corner for end in ends])
    along = np.array([end.along for end in ends])
    outward = np.array([end.outward for end in ends]) * (depth - TOLERANCE_MM)
    length = np.array([[end.length] for end in ends])
    near = corner + along * TOLERANCE_MM
    far = corner + along * (length - TOLERANCE_MM)
    rings = np.stack([near, far, far + outward, near + outward], axis=1)
    found: NDArray[np.object_] = shapely.polygons(rings)
    return found


def _things_met(
    ends: Sequence[End],
    floors: NDArray[np.object_],
    islands: Islands,
    others: Sequence[BaseGeometry],
) -> list[_Piece]:
    things = np.array([*islands.shapes, *others], dtype=object)
    which, what = STRtree(things).query(floors, predicate="intersects")
    own = np.array([*islands.element_of, *(WALL for _ in others)])
    mine = np.array([end.element for end in ends])
    keep = own[what] != mine[which]
    which, what = which[keep], what[keep]
    pieces = shapely.intersection(floors[which], things[what])
    return list(zip(which.tolist(), what.tolist(), pieces.tolist(), strict=True))


def _walls_met(
    ends: Sequence[End],
    floors: NDArray[np.object_],
    islands: Islands,
    rooms: Sequence[Polygon],
) -> list[_Piece]:
    middles = shapely.centroid([islands.shapes[islands.elements[end.element][0]] for end in ends])
    free = np.ones(len(ends), dtype=bool)
    found: list[_Piece] = []
    for room in rooms:
        shapely.prepare(room)
        here = free & shapely.intersects(room, middles)
        free &= ~here
        beyond = np.flatnonzero(here & ~shapely.covers(room, floors)).tolist()
        found += [(k, WALL, floors[k].difference(room)) for k in beyond]
    return found


def _parts(pieces: list[_Piece]) -> tuple[list[int], list[int], list[Polygon]]:
    """Take pieces apart into polygons with some area, each with its end and its thing."""
    parts, index = shapely.get_parts([piece for _, _, piece in pieces], return_index=True)
    solid = np.flatnonzero(shapely.area(parts) > _SPECK_MM2).tolist()
    return (
        [pieces[index[k]][0] for k in solid],
        [pieces[index[k]][1] for k in solid],
        [parts[k] for k in solid],
    )


def _rings_in_frame(
    ends: Sequence[End], which: Sequence[int], parts: Sequence[Polygon]
) -> list[_Ring]:
    """Give outlines as distances along the end and away from it, mm."""
    corners, index = shapely.get_coordinates(shapely.get_exterior_ring(parts), return_index=True)
    owners = np.array(which, dtype=int)[index]
    shifted = corners - np.array([end.corner for end in ends])[owners]
    across = (shifted * np.array([end.along for end in ends])[owners]).sum(axis=1)
    out = (shifted * np.array([end.outward for end in ends])[owners]).sum(axis=1)
    rings: list[_Ring] = [[] for _ in parts]
    for k, a, o in zip(index.tolist(), across.tolist(), out.tolist(), strict=True):
        rings[k].append((a, o))
    return rings


def _closed(end: End, things: list[tuple[int, _Ring]]) -> list[_Closed]:
    """Close the way between an end and one obstacle; nothing to close where they touch."""
    middle = end.length / 2
    left = min(a for _, ring in things for a, _ in ring)
    right = max(a for _, ring in things for a, _ in ring)
    across = min(max(left, middle), right)
    out = min(_first_met(ring, across) for _, ring in things)
    if out <= TOLERANCE_MM:
        return []
    depth = max(0.0, min(o for _, ring in things for _, o in ring))
    line = (end.point(across, -end.set_back(across)), end.point(across, out))
    return [(end, depth, tuple(dict.fromkeys(number for number, _ in things)), line)]


def _first_met(ring: _Ring, across: float) -> float:
    """Give how far away from the end an outline is first met at a distance along it, mm."""
    met = math.inf
    for (a, o), (b, p) in pairwise(ring):
        if min(a, b) - 1e-6 <= across <= max(a, b) + 1e-6:
            if abs(b - a) <= 2e-6:
                met = min(met, o, p)
            else:
                met = min(met, o + (p - o) * min(max((across - a) / (b - a), 0.0), 1.0))
    return met
