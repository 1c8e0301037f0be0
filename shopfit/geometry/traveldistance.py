"""How far people walk: shortest ways over the free floor, from its farthest point too.

A shortest way between obstacles is a taut string: straight from one corner of what is in the way
to the next. Where the middle of a person may be is free floor eroded by half their width, so its
corners are those of the string. Lengths are exact for that floor.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit.geometry.freefloor import polygons, travel
from shopfit.geometry.shell import PlanPoint, ShellPlan, WallLine
from shopfit.model.shell import Door
from shopfit.units import TOLERANCE_MM

# Chords a quarter circle round a corner: 30 degrees each, at most 0.034 of the radius inside it.
_SEGMENTS = 3
# Floor is grown by this before lines are asked whether they lie in it, mm.
_HAIR_MM = 1e-3
# Sine of the least bend that counts as a corner.
_STRAIGHT = 1e-9
# Outlines are made plainer by this, mm; else every chord of a round column has corners of its own.
_PLAIN_MM = 1.0
# The farthest point is found to within this, mm.
_FOUND_TO_MM = 100.0
_FIRST_CELL_MM = 1000.0
# Corners looked at for a quick limit on how far a place is.
_NEAREST = 4

Floats = NDArray[np.float64]


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


@dataclass(frozen=True)
class Opening:
    """A door on the plan, as a place to walk to or through.

    Parameters
    ----------
    door, wall
        Which, and the wall it is in.
    """

    door: Door
    wall: WallLine

    def opened(self, room: str, radius: float) -> Polygon | None:
        """Give the doorway and the floor beyond it, as seen from a room, or none from others.

        Parameters
        ----------
        room
            Which.
        radius
            Half the width of a person, mm: so far beyond the doorway their middle gets.
        """
        door = self.door
        left, right = door.offset, door.offset + door.width
        beyond = 2 * radius + 1.0
        if room == self.wall.room:
            return self.wall.rectangle(left, right, -door.depth - beyond, 1.0)
        if room == door.leads_to:
            return self.wall.rectangle(left, right, -door.depth - 1.0, beyond)
        return None

    def slit(self, radius: float) -> Polygon | None:
        """Give a way through the middle of a doorway narrower than a person, or none."""
        door = self.door
        if door.width > 2 * radius + TOLERANCE_MM:
            return None
        middle = door.offset + door.width / 2
        beyond = door.depth + radius + 1.0 if door.leads_to is not None else 1.0
        left, right = middle - TOLERANCE_MM, middle + TOLERANCE_MM
        return self.wall.rectangle(left, right, -beyond, radius + 1.0)

    @property
    def line(self) -> LineString:
        """The line of the wall across the doorway, mm."""
        ends = (self.door.offset, self.door.offset + self.door.width)
        return LineString([self.wall.point(offset) for offset in ends])


class WalkingFloor:
    """The floor that people walk on, and how far each place is from the nearest way out.

    Parameters
    ----------
    shell
        The shell on the plan.
    obstacles
        What stands on the floor besides columns, mm.
    exits
        Doors that lead out.
    inner
        Doors between rooms.
    width
        Of a person, mm: narrower gaps are no way.
    """

    def __init__(
        self,
        shell: ShellPlan,
        obstacles: Iterable[BaseGeometry],
        exits: Sequence[Opening],
        inner: Sequence[Opening],
        width: float,
    ) -> None:
        self._radius = width / 2 - TOLERANCE_MM
        self._exits = tuple(exits)
        taken = unary_union([*shell.columns.values(), *obstacles])
        openings = (*exits, *inner)
        self._free: list[BaseGeometry] = []
        areas: list[BaseGeometry] = []
        for name, room in shell.rooms.items():
            self._free.append(room.difference(taken))
            beyond = [each.opened(name, self._radius) for each in openings]
            floor = unary_union([room, *(each for each in beyond if each is not None)])
            # Outlines closer than a hair are not known to touch.
            free = floor.buffer(_HAIR_MM, join_style="mitre").difference(taken)
            areas += [shapely.simplify(area, _PLAIN_MM) for area in travel(free, width, _SEGMENTS)]
        grown = taken.buffer(self._radius, quad_segs=_SEGMENTS)
        slits = [each.slit(self._radius) for each in openings]
        areas += [slit.difference(grown) for slit in slits if slit is not None]
        self.region = unary_union(areas)
        self._roomy = self.region.buffer(_HAIR_MM, join_style="mitre")
        shapely.prepare(self._roomy)

    @cached_property
    def ends(self) -> tuple[tuple[str, LineString | Point], ...]:
        """Where ways end: the free pieces of the lines across the exits, with their door."""
        found: list[tuple[str, LineString | Point]] = []
        for opening in self._exits:
            shared = self.region.intersection(opening.line)
            parts = getattr(shared, "geoms", [shared])
            found += [
                (opening.door.id, part)
                for part in parts
                if isinstance(part, LineString | Point) and not part.is_empty
            ]
        return tuple(found)

    def ways(self, places: Sequence[PlanPoint]) -> list[Way | None]:
        """Give the shortest way out from each place where the middle of a person may be, mm.

        None where there is no way, or where the place is not on the floor.
        """
        points = np.asarray(places, dtype=float).reshape(-1, 2)
        lengths, after = self._reach(points)
        return [
            self._way((float(point[0]), float(point[1])), float(length), int(step))
            for point, length, step in zip(points, lengths, after, strict=True)
        ]

    def farthest(self) -> Way | None:
        """Give the longest of all shortest ways out, or none where no way leads out.

        It begins at the most remote point of the free floor from which one gets out: in a corner
        where the middle of a person does not get to, the last steps lead straight into it. Found
        to within 100 mm; the way told is a real one, never longer than the longest.
        """
        if not self.ends:
            return None
        corners = _corners_of(self.region)
        places = np.concatenate([corners, *(self._samples())])
        lengths, after = self._reach(places)
        lengths[~np.isfinite(lengths)] = -1.0
        best = int(np.argmax(lengths))
        if lengths[best] < 0:
            return None
        place, length, step = places[best], float(lengths[best]), int(after[best])
        place, length, step = self._search(place, length, step)
        way = self._way((float(place[0]), float(place[1])), length, step)
        into = self._into_corners(length)
        return way if into is None or (way and into.length_mm < way.length_mm) else into

    def cut_off(self) -> list[Polygon]:
        """List the floors where the middle of a person may be and from which no way leads out."""
        ends = [end for _, end in self.ends]
        return [
            area
            for area in polygons(self.region)
            if not any(area.distance(end) <= 2 * _HAIR_MM for end in ends)
        ]

    def _way(self, place: PlanPoint, length: float, step: int) -> Way | None:
        if not math.isfinite(length):
            return None
        line = [place]
        count = len(self._nodes)
        while step < count:
            line.append((float(self._nodes[step, 0]), float(self._nodes[step, 1])))
            step = self._next[step]
        door, end = self.ends[step - count]
        line.append(_foot(end, line[-1]))
        return Way(length, tuple(_without_stops(line)), door)

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
        one, other = np.triu_indices(len(nodes), 1)
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
        feet = _feet(end, places)
        apart = np.hypot(*(places - feet).T)
        return np.where(self._sees(places, feet), apart, np.inf)

    def _reach(self, places: Floats) -> tuple[Floats, NDArray[np.intp]]:
        """Give the way out from each place: its length, mm, and where it goes first.

        What comes first is a corner by its number, or past them an end by its own.
        """
        count = len(self._nodes)
        settled = np.isfinite(self._lengths)
        nodes = np.flatnonzero(settled)
        lengths = np.full(len(places), np.inf)
        after = np.full(len(places), -1, dtype=np.intp)
        for index, (_, end) in enumerate(self.ends):
            straight = self._straight_to(places, end)
            nearer = straight < lengths
            lengths[nearer], after[nearer] = straight[nearer], count + index
        if not len(nodes) or not len(places):
            return lengths, after
        # Corners are tried from the one that could give the shortest way on.
        through = self._through(nodes, places)
        order = np.argsort(through, axis=1)
        open_ = np.arange(len(places))
        for rank in range(len(nodes)):
            tried = order[open_, rank]
            length = through[open_, tried]
            worth = length < lengths[open_] - 1e-9
            open_, tried, length = open_[worth], tried[worth], length[worth]
            if not len(open_):
                break
            seen = self._sees(places[open_], self._nodes[nodes[tried]])
            lengths[open_[seen]] = length[seen]
            after[open_[seen]] = nodes[tried[seen]]
            open_ = open_[~seen]
        return lengths, after

    def _through(self, nodes: NDArray[np.intp], places: Floats) -> Floats:
        """Give how long the way out from each place is by each corner, mm, if it sees it.

        Infinity where the string would not be taut there: it bends towards what makes the corner.
        """
        corners, from_ = nodes[None, :], places[:, None, :]
        way = self._nodes[corners] - from_
        bend = _cross(way, self._onward[corners])
        left, right = self._sides(corners, from_)
        length = np.hypot(way[..., 0], way[..., 1])
        slack = 1e-6 * (1.0 + length)
        taut = (left & (bend >= -slack)) | (right & (bend <= slack))
        return np.where(taut, length + self._lengths[nodes][None, :], np.inf)

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
                found[node] = _feet(end, self._nodes[node : node + 1])[0] - self._nodes[node]
        size = np.hypot(found[:, 0], found[:, 1])
        onward: Floats = found / np.where(size > 0, size, 1.0)[:, None]
        return onward

    def _samples(self) -> list[Floats]:
        """Give middles of long edges of the floor, where a way round either side may be longest."""
        found = []
        for area in polygons(self.region):
            for ring in (area.exterior, *area.interiors):
                points = np.asarray(ring.coords)
                middles = (points[1:] + points[:-1]) / 2
                long = np.hypot(*(points[1:] - points[:-1]).T) > _FIRST_CELL_MM
                found.append(middles[long])
        return found

    def _search(self, place: Floats, length: float, step: int) -> tuple[Floats, float, int]:
        """Search edges and the inside of the floor for a longer way, halving what may hold one.

        From one point of a line or square on the floor to another is no farther than the straight
        way, so a way is never longer than that from the middle and half the line's or square's
        breadth.
        """
        best = (place, length, step)
        for area in polygons(self.region):
            rings = [np.asarray(ring.coords) for ring in (area.exterior, *area.interiors)]
            spans = np.concatenate([np.concatenate([r[:-1], r[1:]], axis=1) for r in rings])
            best = self._search_spans(spans, best)
            best = self._search_squares(area, best)
        return best

    def _better(
        self, places: Floats, best: tuple[Floats, float, int], breadth: Floats
    ) -> tuple[NDArray[np.bool_], tuple[Floats, float, int]]:
        """Say in which of some pieces, by their middles and half breadths, a longer way begins."""
        keep = self._at_most(places) + breadth > best[1] + _FOUND_TO_MM
        hopeful = np.flatnonzero(keep)
        if len(hopeful):
            lengths, after = self._reach(places[hopeful])
            known = np.where(np.isfinite(lengths), lengths, -np.inf)
            top = int(np.argmax(known))
            if known[top] > best[1]:
                best = (places[hopeful[top]], float(known[top]), int(after[top]))
            keep[hopeful] = known + breadth[hopeful] > best[1] + _FOUND_TO_MM
        return keep, best

    def _at_most(self, places: Floats) -> Floats:
        """Give a length that the way out from each place is not longer than, mm."""
        nodes = np.flatnonzero(np.isfinite(self._lengths))
        found = np.full(len(places), np.inf)
        near = min(_NEAREST, len(nodes))
        if not near or not len(places):
            return found
        apart = places[:, None, :] - self._nodes[nodes][None, :, :]
        length = np.hypot(apart[..., 0], apart[..., 1])
        nearest = np.argpartition(length, near - 1, axis=1)[:, :near]
        rows = np.repeat(np.arange(len(places)), near)
        tried = nearest.ravel()
        seen = self._sees(places[rows], self._nodes[nodes[tried]])
        through = length[rows, tried] + self._lengths[nodes[tried]]
        np.minimum.at(found, rows[seen], through[seen])
        return found

    def _search_spans(
        self, spans: Floats, best: tuple[Floats, float, int]
    ) -> tuple[Floats, float, int]:
        while len(spans):
            middles = (spans[:, :2] + spans[:, 2:]) / 2
            half = np.hypot(*(spans[:, 2:] - spans[:, :2]).T) / 2
            keep, best = self._better(middles, best, half)
            spans, middles = spans[keep], middles[keep]
            spans = np.concatenate(
                [np.hstack([spans[:, :2], middles]), np.hstack([middles, spans[:, 2:]])]
            )
        return best

    def _search_squares(
        self, area: Polygon, best: tuple[Floats, float, int]
    ) -> tuple[Floats, float, int]:
        west, south, east, north = area.bounds
        half = _FIRST_CELL_MM / 2
        xs = np.arange(west + half, east + half, 2 * half)
        ys = np.arange(south + half, north + half, 2 * half)
        centres = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)
        shapely.prepare(area)
        # What lies within a square that an edge passes is near that edge, which is searched.
        while len(centres) and half * 2 * math.sqrt(2) > _FOUND_TO_MM:
            squares = shapely.box(*(centres - half).T, *(centres + half).T)
            touching = shapely.intersects(area, squares)
            centres, squares = centres[touching], squares[touching]
            if not len(centres):
                break
            whole = shapely.covers(area, squares)
            keep = np.ones(len(centres), dtype=bool)
            if whole.any():
                breadth = np.full(int(whole.sum()), half * math.sqrt(2))
                keep[whole], best = self._better(centres[whole], best, breadth)
            centres = centres[keep]
            half /= 2
            corners = np.array([[-half, -half], [-half, half], [half, -half], [half, half]])
            centres = (centres[:, None, :] + corners[None, :, :]).reshape(-1, 2)
        return best

    def _into_corners(self, least: float) -> Way | None:
        """Give the longest way that begins in a corner of the free floor, if longer than another.

        Parameters
        ----------
        least
            Length of the other, mm.
        """
        corners = [
            (float(x), float(y))
            for free in self._free
            for area in polygons(free)
            for ring in (area.exterior, *area.interiors)
            for x, y in list(ring.coords)[:-1]
        ]
        if not corners or self.region.is_empty:
            return None
        feet = _feet(self.region, np.asarray(corners))
        steps = np.hypot(*(np.asarray(corners) - feet).T).tolist()
        lengths, after = self._reach(feet)
        whole = [
            (length + step, index)
            for index, (length, step) in enumerate(zip(lengths.tolist(), steps, strict=True))
            if math.isfinite(length) and length + step > least
        ]
        for length, index in sorted(whole, reverse=True):
            place = (float(feet[index, 0]), float(feet[index, 1]))
            last = LineString([corners[index], place])
            # A corner behind something that stands there is no one's place.
            if any(free.buffer(_HAIR_MM).covers(last) for free in self._free):
                way = self._way(place, float(lengths[index]), int(after[index]))
                if way is not None:
                    line = _without_stops([corners[index], *way.line])
                    return Way(length, tuple(line), way.door)
        return None


def _corners_of(shape: BaseGeometry) -> Floats:
    return np.asarray(shapely.get_coordinates(shape), dtype=float).reshape(-1, 2)


def _cross(one: Floats, other: Floats) -> Floats:
    found: Floats = one[..., 0] * other[..., 1] - one[..., 1] * other[..., 0]
    return found


def _feet(end: BaseGeometry, places: Floats) -> Floats:
    """Give the point of a shape that is nearest to each place, mm."""
    shapely.prepare(end)
    lines = shapely.shortest_line(end, shapely.points(places))
    found: Floats = shapely.get_coordinates(lines).reshape(-1, 2, 2)[:, 0]
    return found


def _foot(end: BaseGeometry, place: PlanPoint) -> PlanPoint:
    (x, y) = _feet(end, np.asarray([place]))[0]
    return (float(x), float(y))


def _without_stops(line: list[PlanPoint]) -> list[PlanPoint]:
    kept = line[:1] + [b for a, b in pairwise(line) if math.dist(a, b) > TOLERANCE_MM]
    return kept if len(kept) > 1 else line[:2]
