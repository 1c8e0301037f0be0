"""Where shapes such as turning circles and turning Ts fit on free floor, in any direction.

For one direction the places of a shape made of rectangles are exact: the free floor less everything
that the shape, swept along the edge of the floor, would cover.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Point, Polygon
from shapely.affinity import rotate, translate
from shapely.geometry.base import BaseGeometry

from shopfit.geometry.freefloor import ARC_SEGMENTS, polygons
from shopfit.geometry.shell import PlanPoint
from shopfit.units import TOLERANCE_MM

# Directions tried besides those of edges near by, degrees.
_STEP_DEG = 5.0
_SAME_DEG = 1e-4
# Floor that a circle just fits on is lost where less than this is left of it.
_ROUND_MM = 0.1

# Left, low, right and high edges of a rectangle, from the shape's own origin, mm.
Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Shape:
    """A shape made of rectangles that overlap, about an origin inside all of them.

    Parameters
    ----------
    boxes
        The rectangles, mm.
    turns
        Quarter turns that make a different shape: 1 for a square, 2 for a rectangle, 4 for a T.
    """

    boxes: tuple[Box, ...]
    turns: int = 4

    @property
    def reach(self) -> float:
        """How far it reaches from its origin, mm."""
        return max(math.hypot(max(-x0, x1), max(-y0, y1)) for x0, y0, x1, y1 in self.boxes)

    @property
    def inner(self) -> float:
        """Radius of a circle about its origin that lies inside it, mm."""
        return max(min(-x0, -y0, x1, y1) for x0, y0, x1, y1 in self.boxes)

    def at(self, place: PlanPoint, angle_deg: float) -> Polygon:
        """Give it on the plan, mm, turned so many degrees anticlockwise."""
        whole = shapely.union_all([shapely.box(*box) for box in self.boxes])
        turned = rotate(whole, angle_deg, origin=(0.0, 0.0))
        return translate(turned, place[0], place[1])


def tee(arm_width: float, arm_length: float, base_width: float, base_length: float) -> Shape:
    """Give a T: a bar with two arms, and a base down from its middle.

    Parameters
    ----------
    arm_width, arm_length
        How wide the bar is, and how far it goes beyond the base on each side, mm.
    base_width, base_length
        How wide the base is, and how far it goes beyond the bar, mm.
    """
    half = base_width / 2
    bar = (-half - arm_length, -arm_width / 2, half + arm_length, arm_width / 2)
    base = (-half, -arm_width / 2 - base_length, half, arm_width / 2)
    return Shape((bar, base))


def square(side: float) -> Shape:
    """Give a square, mm."""
    return Shape(((-side / 2, -side / 2, side / 2, side / 2),), 1)


@dataclass(frozen=True)
class Fitted:
    """A shape where it fits.

    Parameters
    ----------
    at
        Its origin on the plan, mm.
    angle_deg
        How it is turned, degrees anticlockwise.
    outline
        Its outline, mm.
    """

    at: PlanPoint
    angle_deg: float
    outline: Polygon


def fit(
    floor: BaseGeometry, shape: Shape, near: PlanPoint, within: float, origins: BaseGeometry
) -> Fitted | None:
    """Find a place for a shape on free floor, as near to a point as it is found.

    The directions tried are those of the edges of the floor near by, and every five degrees; in
    each of these the answer is exact. Of the first direction with a place the nearest is taken.

    Parameters
    ----------
    floor
        Free floor, mm.
    shape
        What is to lie on it.
    near, within
        Its origin lies no farther from this point than so much, mm.
    origins
        Where its origin may lie, mm.
    """
    x, y = near
    far = within + shape.reach
    window = shapely.box(x - far, y - far, x + far, y + far)
    local = next((p for p in polygons(floor.intersection(window)) if p.intersects(origins)), None)
    if local is None:
        return None
    roomy = local.buffer(_ROUND_MM - shape.inner, join_style="mitre")
    wanted = roomy.intersection(origins).intersection(Point(near).buffer(within))
    if wanted.is_empty:
        return None
    for angle in directions(_edges(local), shape.turns):
        free = places(local, shape, angle, wanted)
        if not free.is_empty:
            at, _ = shapely.shortest_line(free, Point(near)).coords
            return Fitted((at[0], at[1]), angle, shape.at((at[0], at[1]), angle))
    return None


def places(
    floor: BaseGeometry, shape: Shape, angle_deg: float, within: BaseGeometry | None = None
) -> BaseGeometry:
    """Give where the origin of a shape may lie for it to fit on the floor, mm; touching fits.

    Parameters
    ----------
    floor
        Free floor, mm.
    shape, angle_deg
        What is laid down, and how it is turned, degrees anticlockwise.
    within
        The part of the floor that is asked about; all of it where it is left out.
    """
    asked = floor if within is None else within
    turn = math.radians(angle_deg)
    cos, sin = math.cos(turn), math.sin(turn)
    edges = _edges(floor)
    for x0, y0, x1, y1 in shape.boxes:
        t = TOLERANCE_MM
        corners = np.array([(x0 + t, y0 + t), (x1 - t, y0 + t), (x1 - t, y1 - t), (x0 + t, y1 - t)])
        # The box has its origin wherever, laid back from a point of the edge, it covers that point.
        back = -corners @ np.array([[cos, sin], [-sin, cos]])
        clouds = (edges[:, :, None, :] + back[None, None, :, :]).reshape(len(edges), 8, 2)
        swept = shapely.convex_hull(shapely.multipoints(clouds))
        near = swept[shapely.intersects(asked, swept)]
        if len(near):
            asked = asked.difference(shapely.union_all(near))
        if asked.is_empty:
            break
    return asked


def directions(edges: NDArray[np.float64], turns: int) -> Iterator[float]:
    """Give the directions to try, degrees: along edges, the longest first, then evenly spread."""
    step = edges[:, 1] - edges[:, 0]
    length = np.hypot(step[:, 0], step[:, 1])
    angle = np.degrees(np.arctan2(step[:, 1], step[:, 0])) % 90.0
    tried: list[float] = []
    for k in np.argsort(-length, kind="stable").tolist():
        if length[k] > 10.0:
            yield from _fresh(float(angle[k]), turns, tried)
    for k in range(round(90.0 / _STEP_DEG)):
        yield from _fresh(k * _STEP_DEG, turns, tried)


def _fresh(angle: float, turns: int, tried: list[float]) -> Iterator[float]:
    def apart(other: float) -> float:
        gap = abs(angle - other) % 90.0
        return min(gap, 90.0 - gap)

    if all(apart(other) > _SAME_DEG for other in tried):
        tried.append(angle)
        yield from (angle + 90.0 * quarter for quarter in range(turns))


def _edges(floor: BaseGeometry) -> NDArray[np.float64]:
    """Give the edges of a floor, an array of shape (edges, 2, 2), mm."""
    found = []
    for part in polygons(floor):
        for ring in (part.exterior, *part.interiors):
            places_ = np.asarray(ring.coords, dtype=float)[:, :2]
            found.append(np.stack([places_[:-1], places_[1:]], axis=1))
    return np.concatenate(found) if found else np.empty((0, 2, 2))


def circles(floors: Sequence[BaseGeometry], diameter: float) -> list[Polygon]:
    """Give where the middle of a circle may be for it to fit, mm; touching fits.

    Parameters
    ----------
    floors
        Free floors, each parted from the others.
    diameter
        Of the circle, mm.
    """
    radius = max(diameter / 2 - _ROUND_MM, 0.0)
    return [
        part for floor in floors for part in polygons(floor.buffer(-radius, quad_segs=ARC_SEGMENTS))
    ]
