"""Footprints of fixtures, their sides, and the floor in front of them."""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely import Polygon

from shopfit.geometry.shell import PlanPoint, WallLine
from shopfit.model.fixtures import Fixture, Side
from shopfit.model.layout import Placement


def _direction(angle_deg: float) -> PlanPoint:
    angle = math.radians(angle_deg)
    cos, sin = math.cos(angle), math.sin(angle)
    # Right angles are made exact, so that fixtures side by side touch and do not overlap.
    if abs(cos) < 1e-12:
        return 0.0, math.copysign(1.0, sin)
    if abs(sin) < 1e-12:
        return math.copysign(1.0, cos), 0.0
    return cos, sin


def place_point(placement: Placement, across: float, out: float) -> PlanPoint:
    """Turn a fixture's own measures into a plan place.

    Parameters
    ----------
    placement
        Where the fixture stands.
    across, out
        From its back left corner: along its width, and from back to front, mm.
    """
    cos, sin = _direction(placement.angle_deg)
    return (
        placement.x_mm + across * cos + out * sin,
        placement.y_mm + across * sin - out * cos,
    )


def rectangle(placement: Placement, left: float, right: float, near: float, far: float) -> Polygon:
    """Give a rectangle in a fixture's own measures as a plan shape, mm."""
    return Polygon(
        [
            place_point(placement, left, near),
            place_point(placement, right, near),
            place_point(placement, right, far),
            place_point(placement, left, far),
        ]
    )


def rectangles(
    x: ArrayLike, y: ArrayLike, angle_deg: float, left: float, right: float, near: float, far: float
) -> NDArray[np.float64]:
    """Give the corners of the same rectangle, in a fixture's own measures, at many places.

    Parameters
    ----------
    x, y
        Back left corners, mm.
    angle_deg
        Direction of the width at all of them, degrees.
    left, right, near, far
        As for `rectangle`, mm.

    Returns
    -------
    An array of shape (places, 4, 2), mm.
    """
    cos, sin = _direction(angle_deg)
    across = np.array([left, right, right, left])
    out = np.array([near, near, far, far])
    east = np.asarray(x, dtype=float)[:, None] + across * cos + out * sin
    north = np.asarray(y, dtype=float)[:, None] + across * sin - out * cos
    return np.stack([east, north], axis=2)


def shapes(corners: NDArray[np.float64]) -> NDArray[np.object_]:
    """Make plan shapes of many rectangles' corners, an array of shape (rectangles, 4, 2)."""
    count = len(corners)
    rings = np.concatenate([corners, corners[:, :1]], axis=1).reshape(-1, 2)
    each = np.arange(count + 1)
    made: NDArray[np.object_] = shapely.from_ragged_array(
        shapely.GeometryType.POLYGON, rings, (5 * each, each)
    )
    return made


def footprint(fixture: Fixture, placement: Placement) -> Polygon:
    """Give the floor that a fixture covers, mm."""
    return rectangle(placement, 0.0, fixture.width, 0.0, fixture.depth)


def side_length(fixture: Fixture, side: Side) -> float:
    """Give the length of a side, mm."""
    return fixture.width if side in ("front", "back") else fixture.depth


def side_span(fixture: Fixture, side: Side, depth: float) -> tuple[float, float, float, float]:
    """Give the floor in front of a side in the fixture's own measures: left, right, near, far."""
    w, d = fixture.width, fixture.depth
    spans: dict[Side, tuple[float, float, float, float]] = {
        "front": (0.0, w, d, d + depth),
        "back": (0.0, w, -depth, 0.0),
        "left": (-depth, 0.0, 0.0, d),
        "right": (w, w + depth, 0.0, d),
    }
    return spans[side]


def side_band(fixture: Fixture, placement: Placement, side: Side, depth: float) -> Polygon:
    """Give the floor in front of a side, as long as the side and so deep, mm."""
    return rectangle(placement, *side_span(fixture, side, depth))


def side_ends(fixture: Fixture, placement: Placement, side: Side) -> tuple[PlanPoint, PlanPoint]:
    """Give the left and right ends of a side as a customer faces it.

    ``left`` and ``right`` name sides as seen from the front, so the left side's own right end is
    the front corner.
    """
    w, d = fixture.width, fixture.depth
    ends: dict[Side, tuple[tuple[float, float], tuple[float, float]]] = {
        "front": ((0.0, d), (w, d)),
        "back": ((w, 0.0), (0.0, 0.0)),
        "left": ((0.0, 0.0), (0.0, d)),
        "right": ((w, d), (w, 0.0)),
    }
    first, second = ends[side]
    return place_point(placement, *first), place_point(placement, *second)


def against_wall(
    tag: str, fixture: Fixture, wall: WallLine, offset: float, pinned: bool = False
) -> Placement:
    """Place a fixture with its back against a wall, its left side at an offset, mm."""
    x, y = wall.point(offset)
    return Placement(
        id=tag,
        fixture=fixture.id,
        x_mm=round(x, 4),
        y_mm=round(y, 4),
        angle_deg=round(wall.angle_deg, 6),
        wall=wall.id,
        offset_mm=round(offset, 4),
        pinned=pinned,
    )
