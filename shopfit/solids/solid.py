"""A solid: a flat outline somewhere in the shop, as thick as it is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon, constrained_delaunay_triangles, get_parts

Kind = Literal[
    "floor",
    "wall",
    "door",
    "window",
    "thing on a wall",
    "column",
    "fixture",
    "glass",
    "shelf",
    "slat-wall",
    "bracket",
    "goods",
]
Vector = tuple[float, float, float]
UP: Vector = (0.0, 0.0, 1.0)


@dataclass(frozen=True)
class Solid:
    """An outline in a plane of its own, swept square to that plane.

    Parameters
    ----------
    tag, name
        Tag in the layout or the shop, and what it is in words.
    kind
        What it is.
    outline
        In its own plane, mm; it may have holes.
    origin
        Where the plane's own corner lies: east, north and above the floor, mm.
    across, along
        Unit directions of the plane's two measures, square to one another. The outline is swept
        along ``across`` x ``along``.
    thick
        How far it is swept, mm.
    owner
        Tag of the fixture, run or wall that it is part of; its own tag if left out.
    category
        Of goods.
    """

    tag: str
    name: str
    kind: Kind
    outline: Polygon
    origin: Vector
    across: Vector
    along: Vector
    thick: float
    owner: str = ""
    category: str = ""

    @property
    def volume(self) -> float:
        """Volume, mm3."""
        return float(self.outline.area) * self.thick

    def mesh(self) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
        """Give its surface as triangles that face outwards.

        Returns
        -------
        Corners, an array of shape (corners, 3), mm; and triangles, of shape (triangles, 3), by the
        number of their corners, anticlockwise from outside.
        """
        corners, caps = _flat(self.outline)
        count = len(corners)
        frame = np.array([self.across, self.along])
        normal = np.cross(frame[0], frame[1])
        low = np.asarray(self.origin) + corners @ frame
        points = np.concatenate([low, low + normal * self.thick])
        sides = [_band(ring, count) for ring in _rings(self.outline)]
        faces = np.concatenate([caps[:, ::-1], caps + count, *sides])
        return points, faces


def upright(
    tag: str, name: str, kind: Kind, footprint: Polygon, bottom: float, top: float, **more: str
) -> Solid:
    """Give what stands upright over a place on the plan, mm."""
    return Solid(
        tag,
        name,
        kind,
        footprint,
        (0.0, 0.0, bottom),
        (1.0, 0.0, 0.0),
        (0.0, 1.0, 0.0),
        top - bottom,
        **more,
    )


def joined(
    solids: Iterable[Solid],
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Give the surfaces of several solids as one list of corners and triangles, mm."""
    points, faces, count = [], [], 0
    for solid in solids:
        corners, triangles = solid.mesh()
        points.append(corners)
        faces.append(triangles + count)
        count += len(corners)
    return np.concatenate(points), np.concatenate(faces)


def _rings(outline: Polygon) -> list[NDArray[np.int64]]:
    """Give the numbers of every ring's corners: the outer anticlockwise, holes clockwise."""
    found: list[NDArray[np.int64]] = []
    count = 0
    for ring in (outline.exterior, *outline.interiors):
        size = len(ring.coords) - 1
        numbers = np.arange(count, count + size)
        outer = ring is outline.exterior or not found
        found.append(numbers if ring.is_ccw == outer else numbers[::-1])
        count += size
    return found


def _flat(outline: Polygon) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Cut an outline into triangles, anticlockwise, by the numbers of its own corners."""
    corners = np.concatenate(
        [
            np.asarray(ring.coords, dtype=float)[:-1, :2]
            for ring in (outline.exterior, *outline.interiors)
        ]
    )
    numbers = {tuple(corner): n for n, corner in enumerate(corners.tolist())}
    triangles = []
    for part in get_parts(constrained_delaunay_triangles(outline)):
        a, b, c = (numbers[tuple(corner)] for corner in part.exterior.coords[:3])
        triangles.append((a, b, c) if part.exterior.is_ccw else (a, c, b))
    return corners, np.array(triangles, dtype=np.int64)


def _band(ring: NDArray[np.int64], count: int) -> NDArray[np.int64]:
    """Give the sides over one ring, two triangles an edge."""
    after = np.roll(ring, -1)
    lower = np.stack([ring, after, after + count], axis=1)
    upper = np.stack([ring, after + count, ring + count], axis=1)
    return np.concatenate([lower, upper])
