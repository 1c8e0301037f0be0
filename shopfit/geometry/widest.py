"""The widest ways through free floors: how large a round traveller may be and still get there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from shapely import Polygon, STRtree
from shapely.geometry.base import BaseGeometry

from shopfit.geometry.freefloor import polygons
from shopfit.geometry.gaps import PANEL_MM, Floats, Gap, Ints, Mesh, mesh, without_slits
from shopfit.units import TOLERANCE_MM

Link = tuple[BaseGeometry, BaseGeometry]

_SPECK_MM2 = 1.0
_OPEN_MM = 1e7
# How far off an edge may be and still count as met, as a part of the radius.
_MET_SHARE = 0.02


@dataclass(frozen=True)
class Widest:
    """The widest way to a place.

    Parameters
    ----------
    width
        Diameter of the largest round traveller that gets there, mm; 0 where none does.
    gap
        The narrowest place of the way; none where there is no way.
    """

    width: float
    gap: Gap | None


class Floors:
    """Free floors, triangulated once and asked many questions.

    Parameters
    ----------
    shapes
        Free floor, mm. Shapes that touch are still parted, as rooms are.
    panel
        As for `shopfit.geometry.gaps.mesh`, mm.
    """

    def __init__(self, shapes: Sequence[BaseGeometry], panel: float = PANEL_MM) -> None:
        self.polygons: list[Polygon] = [
            part
            for shape in shapes
            for part in polygons(without_slits(shape))
            if part.area > _SPECK_MM2
        ]
        self.meshes: list[Mesh] = [mesh(part, panel) for part in self.polygons]
        counts = [len(one.clear) for one in self.meshes]
        self._first = np.cumsum([0, *counts])

    @property
    def count(self) -> int:
        """How many triangles there are."""
        return int(self._first[-1])

    @cached_property
    def centres(self) -> Floats:
        """The place that stands for each triangle, mm."""
        return np.concatenate([np.empty((0, 2)), *(one.centres for one in self.meshes)])

    @cached_property
    def clear(self) -> Floats:
        """The clear width at that place, mm."""
        return np.concatenate([np.empty(0), *(one.clear for one in self.meshes)])

    @cached_property
    def ends(self) -> tuple[Ints, Ints]:
        """The two triangles of each passage."""
        none = np.empty(0, dtype=np.int64)
        pairs = list(zip(self._first[:-1], self.meshes, strict=True))
        return (
            np.concatenate([none, *(begin + one.ones for begin, one in pairs)]),
            np.concatenate([none, *(begin + one.others for begin, one in pairs)]),
        )

    @cached_property
    def widths(self) -> Floats:
        """The clear width of each passage, mm."""
        return np.concatenate([np.empty(0), *(one.widths for one in self.meshes)])

    @cached_property
    def tips(self) -> Floats:
        """The two points that each passage lies between, shape (passages, 2, 2), mm."""
        return np.concatenate([np.empty((0, 2, 2)), *(one.tips for one in self.meshes)])

    @cached_property
    def crossings(self) -> STRtree:
        """Every passage as a line from side to side."""
        return STRtree(shapely.linestrings(self.tips))

    def triangle(self, number: int) -> Polygon:
        """Give a triangle as a shape."""
        for one in self.meshes:
            if number < len(one.clear):
                shape: Polygon = one.triangles.geometries[number]
                return shape
            number -= len(one.clear)
        raise IndexError(number)

    def gap(self, passage: int) -> Gap:
        """Give the nearest points across a passage."""
        for one in self.meshes:
            if passage < len(one.widths):
                return one.gap(passage)
            passage -= len(one.widths)
        raise IndexError(passage)

    def located(self, places: Floats) -> tuple[Ints, Floats]:
        """Give the triangle of each place, or -1, and the clear width there, mm."""
        triangle = np.full(len(places), -1, dtype=np.int64)
        clear = np.zeros(len(places))
        for begin, one in zip(self._first[:-1], self.meshes, strict=True):
            found = one.find(places)
            here = np.flatnonzero((found >= 0) & (triangle < 0))
            triangle[here] = found[here] + begin
            clear[here] = 2 * one.clearance(places[here])
        return triangle, clear

    def joined(self, place: BaseGeometry) -> tuple[Ints, Floats, Floats]:
        """Give where a traveller in a place joins the ways through the floor.

        The largest traveller of a place stands in a corner of it, at the centre of a triangle, or
        where the line between two such centres goes over its edge.

        Parameters
        ----------
        place
            Where its centre may be, mm.

        Returns
        -------
        Triangles, the clear widths at the spots where they are joined, mm, and the spots.
        """
        spots = [shapely.get_coordinates(place)]
        if self.count and not place.is_empty:
            spots.append(self.centres[self._spots.query(place, predicate="intersects")])
            rim = place.boundary
            near = self._ridges.query(rim, predicate="intersects")
            met = shapely.intersection(self._ridges.geometries[near], rim)
            spots.append(shapely.get_coordinates(met))
        where = np.concatenate(spots)
        triangle, clear = self.located(where)
        kept = triangle >= 0
        return triangle[kept], clear[kept], where[kept]

    @cached_property
    def _ridges(self) -> STRtree:
        ones, others = self.ends
        lines = np.stack([self.centres[ones], self.centres[others]], axis=1)
        return STRtree(shapely.linestrings(lines))

    @cached_property
    def _spots(self) -> STRtree:
        return STRtree(shapely.points(self.centres))


class Ways:
    """The widest ways from some places to all others.

    Parameters
    ----------
    floors
        The floors.
    starts
        Where travellers come in.
    links
        Pairs of places joined by an inner door, however wide.
    widths
        Clear width of each passage in place of the measured one, mm: to count a pinch as wide.
    """

    def __init__(
        self,
        floors: Floors,
        starts: Sequence[BaseGeometry],
        links: Sequence[Link] = (),
        widths: Floats | None = None,
    ) -> None:
        self.floors = floors
        self.widths = floors.widths if widths is None else widths
        count = floors.count
        self._hubs = 1 + len(links)
        ones, others = floors.ends
        rows, columns, wide = [ones], [others], [self.widths]
        joints, leads = [np.empty((0, 2))], [np.empty(0)]
        for number, places in enumerate([starts, *links]):
            # From the middle of a door to a spot, or half the way from one side to the other.
            for place in places:
                triangle, clear, spots = floors.joined(place)
                joints.append(spots)
                away = spots - floors.centres[triangle]
                reach = _spread_of([place]) if number == 0 else _spread_of(places) / 2
                leads.append(np.hypot(away[:, 0], away[:, 1]) + reach)
                rows.append(np.full(len(triangle), count + number))
                columns.append(triangle)
                wide.append(clear)
        self._from, self._to = np.concatenate(rows), np.concatenate(columns)
        self._wide, self._joints = np.concatenate(wide), np.concatenate(joints)
        self._leads = np.concatenate(leads)
        self._known: dict[float, Floats] = {}
        self.width, self._before, self._by = self._spread()

    def _spread(self) -> tuple[Floats, Ints, Ints]:
        """Give the widest way to each triangle, the one before it on it, and the passage."""
        from scipy.sparse import coo_array, csgraph

        nodes = self.floors.count + self._hubs
        # The tree of the widest passages; of passages side by side the widest.
        order = np.lexsort((-self._wide,))
        low, high = np.minimum(self._from, self._to), np.maximum(self._from, self._to)
        _, first = np.unique((low * nodes + high)[order], return_index=True)
        kept = order[first]
        kept = kept[low[kept] != high[kept]]
        cost = _OPEN_MM - np.minimum(self._wide[kept], _OPEN_MM / 2)
        graph = coo_array((cost, (low[kept], high[kept])), shape=(nodes, nodes)).tocsr()
        tree = csgraph.minimum_spanning_tree(graph)
        source = self.floors.count
        sequence, before = csgraph.breadth_first_order(tree, source, directed=False)
        passage_of = dict(
            zip((low[kept] * nodes + high[kept]).tolist(), kept.tolist(), strict=True)
        )
        width = np.zeros(nodes)
        by = np.full(nodes, -1, dtype=np.int64)
        width[source] = np.inf
        for node in sequence[1:].tolist():
            back = int(before[node])
            passage = passage_of[min(node, back) * nodes + max(node, back)]
            by[node] = passage
            width[node] = min(width[back], float(self._wide[passage]))
        return width, before.astype(np.int64), by

    def passages_to(self, place: BaseGeometry) -> list[int]:
        """List the passages of the widest way to a place, from its beginning on.

        Parameters
        ----------
        place
            Where the centre of the traveller has to come, mm.
        """
        triangle, clear, _ = self.floors.joined(place)
        if not len(triangle):
            return []
        node = int(triangle[np.argmax(np.minimum(clear, self.width[triangle]))])
        found = []
        while node >= 0 and self._by[node] >= 0:
            if self._by[node] < len(self.floors.widths):
                found.append(int(self._by[node]))
            node = int(self._before[node])
        return found[::-1]

    def at_most(self, places: Floats, width: float) -> Floats:
        """Give lengths that the shortest ways to some places are not longer than, mm.

        They are those of ways along the middles of passages; infinite where none is wide enough.

        Parameters
        ----------
        places
            Points on the floor, mm.
        width
            Least width of a passage, mm.
        """
        triangle, _ = self.floors.located(places)
        far = self._lengths(width)[triangle]
        step = places - self.floors.centres[triangle]
        return np.where(triangle >= 0, far + np.hypot(step[:, 0], step[:, 1]), np.inf)

    def longest(self, width: float) -> float:
        """Give a length that no shortest way is longer than, for passages so wide, mm."""
        far = self._lengths(width)[: self.floors.count]
        wide = self.floors.clear.max(initial=0.0)
        return float(far[np.isfinite(far)].max(initial=0.0) + wide)

    def _lengths(self, width: float) -> Floats:
        if width not in self._known:
            self._known[width] = self._walked(width)
        return self._known[width]

    def _walked(self, width: float) -> Floats:
        from scipy.sparse import coo_array, csgraph

        wide = np.flatnonzero(self._wide >= width - TOLERANCE_MM)
        a, b = self._from[wide], self._to[wide]
        count = self.floors.count
        passages = len(self.floors.widths)
        inner = wide < passages
        length = np.empty(len(wide))
        centres = self.floors.centres
        length[inner] = np.hypot(*(centres[a[inner]] - centres[b[inner]]).T)
        length[~inner] = self._leads[wide[~inner] - passages]
        length = np.maximum(length, 1e-9)
        nodes = count + self._hubs
        order = np.lexsort((length,))
        low, high = np.minimum(a, b), np.maximum(a, b)
        _, first = np.unique((low * nodes + high)[order], return_index=True)
        kept = order[first]
        graph = coo_array((length[kept], (low[kept], high[kept])), shape=(nodes, nodes)).tocsr()
        far: Floats = csgraph.dijkstra(graph, directed=False, indices=count)
        return far

    def to(self, place: BaseGeometry) -> Widest:
        """Give the widest way to a place.

        Parameters
        ----------
        place
            Where the centre of the traveller has to come, mm.
        """
        triangle, clear, spots = self.floors.joined(place)
        if not len(triangle):
            return Widest(0.0, None)
        wide = np.minimum(clear, self.width[triangle])
        best = int(np.argmax(wide))
        if wide[best] <= 0.0:
            return Widest(0.0, None)
        if clear[best] <= self.width[triangle[best]]:
            return Widest(float(wide[best]), self._about(spots[best]))
        return Widest(float(wide[best]), self._narrowest(int(triangle[best])))

    def _narrowest(self, triangle: int) -> Gap | None:
        node, wanted = triangle, self.width[triangle]
        while node >= 0 and self._by[node] >= 0:
            passage = int(self._by[node])
            if self._wide[passage] <= wanted:
                if passage < len(self.floors.widths):
                    return self.floors.gap(passage)
                return self._about(self._joints[passage - len(self.floors.widths)])
            node = int(self._before[node])
        return None

    def _about(self, spot: Floats) -> Gap | None:
        """Give the gap that a spot is in the middle of: between the nearest edge and another."""
        return gap_about(self.floors, (float(spot[0]), float(spot[1])))


def _spread_of(places: Sequence[BaseGeometry]) -> float:
    """Give how far two points of some places are apart at most, mm."""
    bounds = np.array([place.bounds for place in places if not place.is_empty])
    if not len(bounds):
        return 0.0
    low, high = bounds[:, :2].min(axis=0), bounds[:, 2:].max(axis=0)
    return float(np.hypot(*(high - low)))


def gap_about(floors: Floors, spot: tuple[float, float]) -> Gap | None:
    """Give the gap across a spot, straight from the nearest edge of the floor through it.

    Where no edge is met on the other side it is one-sided.
    """
    here = shapely.Point(spot)
    for one in floors.polygons:
        if not one.intersects(here):
            continue
        edge = one.boundary
        near, _ = shapely.shortest_line(edge, here).coords
        free = here.distance(edge)
        if free <= 0.0:
            return Gap(0.0, spot, spot)
        out = ((spot[0] - near[0]) / free, (spot[1] - near[1]) / free)
        far = (spot[0] + out[0] * free, spot[1] + out[1] * free)
        met = edge.distance(shapely.Point(far)) <= _MET_SHARE * free
        return Gap(2 * free, (near[0], near[1]), far, one_sided=not met)
    return None
