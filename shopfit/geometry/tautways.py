"""Shortest ways over a floor with obstacles, as taut strings.

A shortest way is straight from one corner of what is in the way to the next. Of all straight ways
between two corners only those matter at which a string may bend at both ends, which are few however
many chords stand for a round corner.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Point, STRtree
from shapely.geometry.base import BaseGeometry

from shopfit.geometry.freefloor import polygons
from shopfit.geometry.shell import PlanPoint
from shopfit.units import TOLERANCE_MM

# Floor is grown by this before lines are asked whether they lie in it, mm.
HAIR_MM = 1e-3
# Sine of the least bend that counts as a corner.
_STRAIGHT = 1e-9
# Corners looked at for a quick limit on how far a place is.
_NEAREST = 4
_NEAR_MM = 3000.0
# Up to so many corners every straight way between two of them is looked at.
_MANY = 800

Floats = NDArray[np.float64]
End = tuple[str, LineString | Point]


@dataclass(frozen=True)
class Way:
    """A shortest way.

    Parameters
    ----------
    length_mm
        Its length, mm.
    line
        Its corners, from where it begins to the door.
    door
        Name of the door it leads to.
    """

    length_mm: float
    line: tuple[PlanPoint, ...]
    door: str


class TautWays:
    """The shortest ways over a floor to the nearest of some ends.

    Parameters
    ----------
    region
        Where the middle of a person may be, mm.
    ends
        Where ways end: lines or points of the region, with the name of the door they are in.
    """

    def __init__(self, region: BaseGeometry, ends: Sequence[End]) -> None:
        self.region = region
        self.ends = tuple(ends)
        self._roomy = region.buffer(HAIR_MM, join_style="mitre")
        shapely.prepare(self._roomy)

    def way(self, place: PlanPoint, length: float, step: int) -> Way | None:
        """Give the way from a place whose length and first step are known from `reach`."""
        if not math.isfinite(length):
            return None
        line = [place]
        count = len(self._nodes)
        while step < count:
            line.append((float(self._nodes[step, 0]), float(self._nodes[step, 1])))
            step = self._next[step]
        door, end = self.ends[step - count]
        line.append(nearest_point(end, line[-1]))
        return Way(length, tuple(without_stops(line)), door)

    def at_most(self, places: Floats) -> Floats:
        """Give a length that the way out from each place is not longer than, mm."""
        found = np.full(len(places), np.inf)
        if not len(self._nodes) or not len(places):
            return found
        rows, nodes = self._tree.query(
            shapely.points(places), predicate="dwithin", distance=min(_NEAR_MM, self._sight / 3)
        )
        apart = np.hypot(*(places[rows] - self._nodes[nodes]).T)
        through = apart + self._lengths[nodes]
        # Of the corners near a place the best few are looked at.
        order = np.lexsort((through, rows))
        rows, nodes, through = rows[order], nodes[order], through[order]
        few = _rank(rows) < _NEAREST
        rows, nodes, through = rows[few], nodes[few], through[few]
        seen = self._sees(places[rows], self._nodes[nodes])
        np.minimum.at(found, rows[seen], through[seen])
        return found

    @cached_property
    def _tree(self) -> STRtree:
        return STRtree(shapely.points(self._nodes))

    @cached_property
    def _sight(self) -> float:
        """How far straight ways between corners are looked for, mm.

        On a floor with very many corners a long straight way passes others; the few that do not
        make a way told a little longer than the shortest.
        """
        count = len(self._nodes)
        if count <= _MANY:
            return math.inf
        return math.sqrt(_MANY / 4 * self.region.area / (math.pi * count))

    def _near(self, places: Floats) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
        """Give pairs of a place and a corner in sight of it, by their numbers."""
        if math.isinf(self._sight):
            rows, nodes = np.indices((len(places), len(self._nodes))).reshape(2, -1)
            return rows, nodes
        found: NDArray[np.intp] = self._tree.query(
            shapely.points(places), predicate="dwithin", distance=self._sight
        )
        return found[0], found[1]

    @cached_property
    def _nodes(self) -> Floats:
        """Corners round which a string may bend."""
        return self._bends[0]

    @cached_property
    def _bends(self) -> tuple[Floats, Floats, Floats]:
        """Corners that stick out into the floor, and the corners before and after each."""
        found: list[tuple[Floats, Floats, Floats]] = []
        for area in polygons(self.region):
            for number, ring in enumerate((area.exterior, *area.interiors)):
                points = np.asarray(shapely.simplify(ring, 1e-6).coords)[:-1]
                before, after = np.roll(points, 1, axis=0), np.roll(points, -1, axis=0)
                # The floor lies to the left of its outline walked anticlockwise, and to the left
                # of a hole walked clockwise.
                turn = _cross(points - before, after - points)
                sign = 1.0 if ring.is_ccw == (number == 0) else -1.0
                scale = np.hypot(*(points - before).T) * np.hypot(*(after - points).T)
                out = sign * turn < -_STRAIGHT * scale
                found.append((points[out], before[out], after[out]))
        if not found:
            none = np.zeros((0, 2))
            return none, none, none
        one, two, three = (np.concatenate(parts) for parts in zip(*found, strict=True))
        return one, two, three

    @cached_property
    def _lengths(self) -> Floats:
        """Length of the shortest way out from each corner, mm."""
        return self._settled[0]

    @cached_property
    def _next(self) -> list[int]:
        """Where the shortest way out from each corner goes next: a corner, or past them an end."""
        return self._settled[1]

    @cached_property
    def _settled(self) -> tuple[Floats, list[int]]:
        count = len(self._nodes)
        lengths = np.full(count, np.inf)
        after = [-1] * count
        edges = self._edges()
        for index, (_, end) in enumerate(self.ends):
            straight = self._straight_to(self._nodes, end)
            for node in np.flatnonzero(np.isfinite(straight) & (straight < lengths)).tolist():
                lengths[node], after[node] = straight[node], count + index
        heap = [(float(lengths[k]), k) for k in np.flatnonzero(np.isfinite(lengths)).tolist()]
        heapq.heapify(heap)
        while heap:
            length, node = heapq.heappop(heap)
            if length > lengths[node]:
                continue
            for other, apart in edges[node]:
                if length + apart < lengths[other] - 1e-9:
                    lengths[other], after[other] = length + apart, node
                    heapq.heappush(heap, (length + apart, other))
        return lengths, after

    def _edges(self) -> list[list[tuple[int, float]]]:
        """Give the straight ways between corners that a taut string may take, mm."""
        nodes = self._nodes
        edges: list[list[tuple[int, float]]] = [[] for _ in range(len(nodes))]
        if len(nodes) < 2:
            return edges
        one, other = self._near(nodes)
        one, other = one[one < other], other[one < other]
        keep = self._bends_round(one, nodes[other]) & self._bends_round(other, nodes[one])
        one, other = one[keep], other[keep]
        seen = self._sees(nodes[one], nodes[other])
        one, other = one[seen], other[seen]
        apart = np.hypot(*(nodes[one] - nodes[other]).T)
        for a, b, length in zip(one.tolist(), other.tolist(), apart.tolist(), strict=True):
            edges[a].append((b, length))
            edges[b].append((a, length))
        return edges

    def _bends_round(self, corners: NDArray[np.intp], places: Floats) -> NDArray[np.bool_]:
        """Say whether a string from some places may bend at corners, and not only end there.

        It only bends where it touches: where the corner's neighbours lie to one side of it.
        """
        left, right = self._sides(corners, places)
        return left | right

    def _sides(
        self, corners: NDArray[np.intp], places: Floats
    ) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
        """Say whether all that makes a corner lies to the left of the way to it, or to the right.

        Corners and places are set against one another as numpy does.
        """
        nodes, before, after = self._bends
        way = nodes[corners] - places
        one = _cross(way, before[corners] - nodes[corners])
        other = _cross(way, after[corners] - nodes[corners])
        slack = 1e-6 * (1.0 + np.hypot(way[..., 0], way[..., 1]))
        return (one >= -slack) & (other >= -slack), (one <= slack) & (other <= slack)

    def _sees(self, starts: Floats, ends: Floats) -> NDArray[np.bool_]:
        """Say which straight ways lie on the floor."""
        if not len(starts):
            return np.zeros(0, dtype=bool)
        lines = shapely.linestrings(np.stack([starts, ends], axis=1))
        seen: NDArray[np.bool_] = shapely.covers(self._roomy, lines)
        return seen

    def _straight_to(self, places: Floats, end: LineString | Point) -> Floats:
        """Give how far an end is straight from places, mm; infinity where it is not seen."""
        if not len(places):
            return np.zeros(0)
        feet = nearest_points(end, places)
        apart = np.hypot(*(places - feet).T)
        near = apart <= self._sight
        found = np.full(len(places), np.inf)
        found[near] = np.where(self._sees(places[near], feet[near]), apart[near], np.inf)
        return found

    def reach(self, places: Floats) -> tuple[Floats, NDArray[np.intp]]:
        """Give the way out from each place: its length, mm, and where it goes first.

        What comes first is a corner by its number, or past them an end by its own.
        """
        count = len(self._nodes)
        lengths = np.full(len(places), np.inf)
        after = np.full(len(places), -1, dtype=np.intp)
        for index, (_, end) in enumerate(self.ends):
            straight = self._straight_to(places, end)
            nearer = straight < lengths
            lengths[nearer], after[nearer] = straight[nearer], count + index
        if not count or not len(places):
            return lengths, after
        rows, nodes, through = self._through(places)
        rank = _rank(rows)
        # Corners are tried from the one that could give the shortest way on.
        for tried in range(int(rank.max(initial=-1)) + 1):
            now = (rank == tried) & (through < lengths[rows] - 1e-9)
            if tried and not now.any():
                break
            row, node, length = rows[now], nodes[now], through[now]
            seen = self._sees(places[row], self._nodes[node])
            lengths[row[seen]], after[row[seen]] = length[seen], node[seen]
        return lengths, after

    def _through(self, places: Floats) -> tuple[NDArray[np.intp], NDArray[np.intp], Floats]:
        """Give how long the way out from places is by corners, mm, if they are seen.

        Only where the string would be taut: where it bends towards what makes the corner.

        Returns
        -------
        Numbers of places and of corners, and lengths, by place and from the shortest up.
        """
        rows, nodes = self._near(places)
        known = np.isfinite(self._lengths[nodes])
        rows, nodes = rows[known], nodes[known]
        way = self._nodes[nodes] - places[rows]
        bend = _cross(way, self._onward[nodes])
        left, right = self._sides(nodes, places[rows])
        length = np.hypot(way[:, 0], way[:, 1])
        slack = 1e-6 * (1.0 + length)
        taut = (left & (bend >= -slack)) | (right & (bend <= slack))
        rows, nodes = rows[taut], nodes[taut]
        through = length[taut] + self._lengths[nodes]
        order = np.lexsort((through, rows))
        return rows[order], nodes[order], through[order]

    @cached_property
    def _onward(self) -> Floats:
        """From each corner, the direction in which the shortest way out goes on."""
        count = len(self._nodes)
        found = np.zeros((count, 2))
        for node, step in enumerate(self._next):
            if 0 <= step < count:
                found[node] = self._nodes[step] - self._nodes[node]
            elif step >= count:
                _, end = self.ends[step - count]
                found[node] = (
                    nearest_points(end, self._nodes[node : node + 1])[0] - self._nodes[node]
                )
        size = np.hypot(found[:, 0], found[:, 1])
        onward: Floats = found / np.where(size > 0, size, 1.0)[:, None]
        return onward


def _rank(rows: NDArray[np.intp]) -> NDArray[np.intp]:
    """Give each entry its number within its row, from 0; rows come in order."""
    count = np.arange(len(rows))
    first = np.concatenate([[True], rows[1:] != rows[:-1]]) if len(rows) else rows == rows
    rank: NDArray[np.intp] = count - np.maximum.accumulate(np.where(first, count, 0))
    return rank


def _cross(one: Floats, other: Floats) -> Floats:
    found: Floats = one[..., 0] * other[..., 1] - one[..., 1] * other[..., 0]
    return found


def nearest_points(end: BaseGeometry, places: Floats) -> Floats:
    """Give the point of a shape that is nearest to each place, mm."""
    shapely.prepare(end)
    lines = shapely.shortest_line(end, shapely.points(places))
    found: Floats = shapely.get_coordinates(lines).reshape(-1, 2, 2)[:, 0]
    return found


def nearest_point(end: BaseGeometry, place: PlanPoint) -> PlanPoint:
    """Give the point of a shape that is nearest to a place, mm."""
    (x, y) = nearest_points(end, np.asarray([place]))[0]
    return (float(x), float(y))


def without_stops(line: list[PlanPoint]) -> list[PlanPoint]:
    """Give a line without corners that lie on one another."""
    kept = line[:1] + [b for a, b in pairwise(line) if math.dist(a, b) > TOLERANCE_MM]
    return kept if len(kept) > 1 else line[:2]
