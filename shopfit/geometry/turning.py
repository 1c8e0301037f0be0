"""What stands too near before the ends of islands for one to turn there, and what that closes.

Whether an end is too narrow, or the floor before it too shallow, is for the caller to say: limits
are passed in.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Polygon, STRtree
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit.geometry.freefloor import polygons
from shopfit.geometry.islandends import (
    End,
    Islands,
    Ring,
    elements,
    first_met,
    narrow_ends,
    rings_in_frame,
)
from shopfit.geometry.shell import PlanPoint
from shopfit.units import TOLERANCE_MM

__all__ = [
    "WALL",
    "End",
    "Islands",
    "Tight",
    "barriers",
    "cut",
    "elements",
    "narrow_ends",
    "tight_ends",
]

# Stands for the wall among the things before an end.
WALL = -1
# Half the width of the cut along a barrier: far under any tape measure, far over rounding.
_CUT_MM = 0.5
_SPECK_MM2 = 1e-6

# Number of an end, number of a thing, and what of the thing lies before the end.
_Piece = tuple[int, int, BaseGeometry]


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
        Numbers of what is in the way, the nearest first; `WALL` for the wall.
    """

    end: End
    depth: float
    barrier: LineString
    things: tuple[int, ...]


_Closed = tuple[End, float, tuple[int, ...], tuple[PlanPoint, PlanPoint]]


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
    rings = rings_in_frame(ends, which, pieces)
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


def _closed(end: End, things: list[tuple[int, Ring]]) -> list[_Closed]:
    """Close the way between an end and one obstacle; nothing to close where they touch."""
    middle = end.length / 2
    left = min(a for _, ring in things for a, _ in ring)
    right = max(a for _, ring in things for a, _ in ring)
    across = min(max(left, middle), right)
    out = min(first_met(ring, across) for _, ring in things)
    if out <= TOLERANCE_MM:
        return []
    depth = max(0.0, min(o for _, ring in things for _, o in ring))
    line = (end.point(across, -end.set_back(across)), end.point(across, out))
    nearest = sorted(things, key=lambda thing: min(o for _, o in thing[1]))
    return [(end, depth, tuple(dict.fromkeys(number for number, _ in nearest)), line)]
