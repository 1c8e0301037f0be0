"""Floor left free by what stands on it, and how far a person of a given width gets."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit.geometry.shell import ShellPlan
from shopfit.units import TOLERANCE_MM

# Error of the arcs at a corner of a 48 in aisle: 610 mm * (1 - cos(pi / 256)) < 0.05 mm.
ARC_SEGMENTS = 64


def free_floor(shell: ShellPlan, obstacles: Iterable[BaseGeometry]) -> BaseGeometry:
    """Give the floor of all rooms that nothing covers, mm; columns count as obstacles."""
    taken = unary_union([*shell.columns.values(), *obstacles])
    return unary_union([room.difference(taken) for room in shell.rooms.values()])


def polygons(shape: BaseGeometry) -> list[Polygon]:
    """List the polygons of a shape, in a fixed order."""
    parts = getattr(shape, "geoms", [shape])
    found = [part for part in parts if isinstance(part, Polygon) and not part.is_empty]
    return sorted(found, key=lambda part: (part.bounds, part.area))


def travel(free: BaseGeometry, width: float, segments: int = ARC_SEGMENTS) -> list[Polygon]:
    """Give where the centre of a round traveller may be.

    Parameters
    ----------
    free
        Free floor, mm.
    width
        Diameter of the traveller, mm; an aisle of exactly this width lets it through.
    segments
        Chords a quarter circle.

    Returns
    -------
    Separate areas; whoever starts in one stays in it.
    """
    radius = max(width / 2 - TOLERANCE_MM, 0.0)
    return polygons(free.buffer(-radius, quad_segs=segments))


def standing_place(band: Polygon, outward: tuple[float, float], width: float) -> Polygon:
    """Give where the centre of a traveller before a front may be.

    A traveller wider than the front overlaps it on both sides, so the band before a narrow front
    is widened to the traveller's own width.

    Parameters
    ----------
    band
        Rectangle of floor before the front, mm.
    outward
        Unit direction away from the front.
    width
        Diameter of the traveller, mm.
    """
    (ox, oy), (ux, uy) = outward, (-outward[1], outward[0])
    corners = list(band.exterior.coords)
    out = [x * ox + y * oy for x, y in corners]
    along = [x * ux + y * uy for x, y in corners]
    spare = max(0.0, width - (max(along) - min(along))) / 2
    left, right = min(along) - spare, max(along) + spare
    return Polygon(
        [
            (a * ux + b * ox, a * uy + b * oy)
            for a, b in ((left, min(out)), (right, min(out)), (right, max(out)), (left, max(out)))
        ]
    )


def standing_places(
    bands: NDArray[np.float64], directions: NDArray[np.float64], width: float
) -> NDArray[np.object_]:
    """Give where the centre of a traveller may be before many fronts: see `standing_place`.

    Parameters
    ----------
    bands
        Corners of rectangles of floor, an array of shape (bands, 4, 2), mm.
    directions
        Away from each front, degrees anticlockwise from east.
    width
        Diameter of the traveller, mm.
    """
    turn = np.radians(directions)
    outward = np.stack([np.cos(turn), np.sin(turn)], axis=1)[:, None]
    sideways = np.stack([-np.sin(turn), np.cos(turn)], axis=1)[:, None]
    out, along = (bands * outward).sum(axis=2), (bands * sideways).sum(axis=2)
    near, far = out.min(axis=1), out.max(axis=1)
    left, right = along.min(axis=1), along.max(axis=1)
    spare = np.maximum(0.0, width - (right - left)) / 2
    across = np.stack([left - spare, right + spare, right + spare, left - spare], axis=1)
    deep = np.stack([near, near, far, far], axis=1)
    places: NDArray[np.object_] = shapely.polygons(
        across[:, :, None] * sideways + deep[:, :, None] * outward
    )
    return places


def reached(
    areas: Sequence[Polygon],
    starts: Sequence[BaseGeometry],
    links: Sequence[tuple[BaseGeometry, BaseGeometry]] = (),
) -> list[Polygon]:
    """Give the travel areas that can be reached.

    Parameters
    ----------
    areas
        From `travel`.
    starts
        Where travellers come in: an area that touches one of them is reached.
    links
        Pairs of places joined by an inner door: areas that touch the two are joined.
    """
    found = {index for index, area in enumerate(areas) if any(area.intersects(s) for s in starts)}
    while True:
        more = set(found)
        for one, other in links:
            sides = [
                {index for index, area in enumerate(areas) if area.intersects(end)}
                for end in (one, other)
            ]
            if any(side & more for side in sides):
                more |= sides[0] | sides[1]
        if more == found:
            return [areas[index] for index in sorted(found)]
        found = more
