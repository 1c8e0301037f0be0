"""The ground as seen from the door, and how far a strip of it is free."""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import pairwise

import shapely
from shapely import Polygon, box
from shapely.geometry.base import BaseGeometry

from shopfit.geometry.doorframe import Place, Rect
from shopfit.model.rampsite import RampTask
from shopfit.units import TOLERANCE_MM

_FAR = 1e7


def plan_shape(task: RampTask) -> BaseGeometry:
    """Give the ground that may be used, in the plan, mm."""
    ground = task.ground
    if ground.corners:
        whole: BaseGeometry = Polygon(ground.corners)
    else:
        whole = box(0.0, -(ground.away or 0.0), ground.along or 0.0, 0.0)
    kept = shapely.union_all([Polygon(each) for each in ground.keep_free])
    return shapely.difference(whole, kept)


def grown(site: BaseGeometry, side: str, more: float) -> BaseGeometry:
    """Give ground of the door's frame with more of it at one side, mm.

    Parameters
    ----------
    site
        In the door's frame.
    side
        ``left``, ``right`` or ``out``.
    more
        How much, mm.
    """
    du, dv = {"left": (-1.0, 0.0), "right": (1.0, 0.0), "out": (0.0, 1.0)}[side]
    return _swept(site, du * more, dv * more)


def _swept(site: BaseGeometry, du: float, dv: float) -> BaseGeometry:
    parts = [site, shapely.affinity.translate(site, du, dv)]
    for piece in getattr(site, "geoms", [site]):
        ring = list(piece.exterior.coords)
        for (ax, ay), (bx, by) in pairwise(ring):
            quad = Polygon([(ax, ay), (bx, by), (bx + du, by + dv), (ax + du, ay + dv)])
            if quad.area > 0:
                parts.append(quad if quad.is_valid else quad.buffer(0))
    return shapely.union_all(parts)


class Ground:
    """Ground in the door's frame, asked which rectangles of it are free.

    Parameters
    ----------
    site
        What may be used; the first axis runs along the wall, the second out of it, mm.
    """

    def __init__(self, site: BaseGeometry) -> None:
        self.site = site
        u0, v0, u1, v1 = site.bounds
        self.sides = (u1 - u0, v1 - v0)
        edge = max(self.sides) + 1000.0
        self._outside = shapely.difference(box(u0 - edge, v0 - edge, u1 + edge, v1 + edge), site)
        self._limits = (u0 - edge, u1 + edge, v0 - edge, v1 + edge)
        self._bands: dict[tuple[int, float, float], tuple[Place, ...]] = {}
        full = (u1 - u0) * (v1 - v0)
        # A plain rectangle, as most ground is, needs no geometry.
        self._plain = (u0, u1, v0, v1) if math.isclose(site.area, full, rel_tol=1e-12) else None

    def blocked(self, axis: int, low: float, high: float) -> tuple[Place, ...]:
        """Give the stretches along an axis where a band is not wholly free, mm.

        Parameters
        ----------
        axis
            0 along the wall, 1 out of it.
        low, high
            The band, on the other axis, mm.
        """
        if self._plain is not None:
            return _of_rectangle(self._plain, axis, low, high)
        key = (axis, round(low, 4), round(high, 4))
        found = self._bands.get(key)
        if found is None:
            found = self._bands[key] = self._look(axis, low + TOLERANCE_MM, high - TOLERANCE_MM)
        return found

    def free(self, rect: Rect, axis: int = 0) -> bool:
        """Say whether a rectangle is free, within the tolerance."""
        u0, u1, v0, v1 = rect
        low, high, start, end = (v0, v1, u0, u1) if axis == 0 else (u0, u1, v0, v1)
        if end - start <= 2 * TOLERANCE_MM or high - low <= 2 * TOLERANCE_MM:
            return True
        return not any(
            a < end - TOLERANCE_MM and b > start + TOLERANCE_MM
            for a, b in self.blocked(axis, low, high)
        )

    def reach(self, axis: int, low: float, high: float, start: float, sign: int) -> float:
        """Give how far a band is free from a place on, in a direction along an axis, mm."""
        nearest = _FAR
        for a, b in self.blocked(axis, low, high):
            ahead, behind = (a, b) if sign > 0 else (-b, -a)
            if behind > sign * start + TOLERANCE_MM:
                nearest = min(nearest, ahead - sign * start)
        return nearest

    def _look(self, axis: int, low: float, high: float) -> tuple[Place, ...]:
        u0, u1, v0, v1 = self._limits
        band = box(u0, low, u1, high) if axis == 0 else box(low, v0, high, v1)
        if low >= high or low < (v0 if axis == 0 else u0) or high > (v1 if axis == 0 else u1):
            return ((-_FAR, _FAR),)
        cut = shapely.intersection(self._outside, band)
        side = 0 if axis == 0 else 1
        found = [
            (part.bounds[side], part.bounds[side + 2])
            for part in getattr(cut, "geoms", [cut])
            if part.area > 0
        ]
        ends = ((-_FAR, u0), (u1, _FAR)) if axis == 0 else ((-_FAR, v0), (v1, _FAR))
        return tuple(_merged([*found, *ends]))


def _of_rectangle(rect: Rect, axis: int, low: float, high: float) -> tuple[Place, ...]:
    u0, u1, v0, v1 = rect
    start, end, bottom, top = (u0, u1, v0, v1) if axis == 0 else (v0, v1, u0, u1)
    if low < bottom - TOLERANCE_MM or high > top + TOLERANCE_MM:
        return ((-_FAR, _FAR),)
    return ((-_FAR, start), (end, _FAR))


def _merged(stretches: Iterable[Place]) -> list[Place]:
    merged: list[Place] = []
    for a, b in sorted(stretches):
        if merged and a <= merged[-1][1] + TOLERANCE_MM:
            merged[-1] = (merged[-1][0], max(b, merged[-1][1]))
        else:
            merged.append((a, b))
    return merged
