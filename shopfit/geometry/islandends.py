"""Elements of islands and their ends, as one comes round them.

Islands that touch are one *element*. An end is a side of the element's smallest rectangle in the
frame of its fixtures.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
import shapely
from shapely import LineString, Polygon, STRtree
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit.geometry.freefloor import polygons
from shopfit.geometry.shell import PlanPoint
from shopfit.units import TOLERANCE_MM

Ring = list[tuple[float, float]]


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
        (ring,) = rings_in_frame([self], [0], [self.body])
        back = first_met([(a, -o) for a, o in ring], across)
        return max(back, 0.0) if math.isfinite(back) else 0.0


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


def rings_in_frame(
    ends: Sequence[End], which: Sequence[int], parts: Sequence[Polygon]
) -> list[Ring]:
    """Give outlines as distances along the end and away from it, mm."""
    corners, index = shapely.get_coordinates(shapely.get_exterior_ring(parts), return_index=True)
    owners = np.array(which, dtype=int)[index]
    shifted = corners - np.array([end.corner for end in ends])[owners]
    across = (shifted * np.array([end.along for end in ends])[owners]).sum(axis=1)
    out = (shifted * np.array([end.outward for end in ends])[owners]).sum(axis=1)
    rings: list[Ring] = [[] for _ in parts]
    for k, a, o in zip(index.tolist(), across.tolist(), out.tolist(), strict=True):
        rings[k].append((a, o))
    return rings


def first_met(ring: Ring, across: float) -> float:
    """Give how far away from the end an outline is first met at a distance along it, mm."""
    met = math.inf
    for (a, o), (b, p) in pairwise(ring):
        if min(a, b) - 1e-6 <= across <= max(a, b) + 1e-6:
            if abs(b - a) <= 2e-6:
                met = min(met, o, p)
            else:
                met = min(met, o + (p - o) * min(max((across - a) / (b - a), 0.0), 1.0))
    return met


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
        (ring,) = rings_in_frame([side], [0], [part])
        left, right = min(a for a, _ in ring), max(a for a, _ in ring)
        # The body is grown, except where the side cuts it off.
        left += TOLERANCE_MM if left > TOLERANCE_MM else 0.0
        right -= TOLERANCE_MM if right < side.length - TOLERANCE_MM else 0.0
        corner = side.point(left)
        found.append(End(side.element, corner, side.along, side.outward, right - left, back, part))
    return found
