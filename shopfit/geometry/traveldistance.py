"""How far people walk to a way out, from the farthest point of the free floor too.

Where the middle of a person may be is free floor eroded by half their width; lengths are exact for
that floor.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit.geometry.freefloor import polygons, travel
from shopfit.geometry.shell import PlanPoint, ShellPlan, WallLine
from shopfit.geometry.tautways import (
    HAIR_MM,
    End,
    Floats,
    TautWays,
    Way,
    nearest_points,
    without_stops,
)
from shopfit.model.openings import Door
from shopfit.units import TOLERANCE_MM

# Chords a quarter circle round a corner: 30 degrees each, at most 0.034 of the radius inside it.
_SEGMENTS = 3
# Outlines are made plainer by this, mm; else every chord of a round column has corners of its own.
_PLAIN_MM = 1.0
# The farthest point is found to within this, mm, or this part of its way.
_FOUND_TO_MM = 100.0
_FOUND_TO_PART = 0.01
_FIRST_CELL_MM = 1000.0
# Places looked at together, those that may be farthest first.
_AT_ONCE = 256

# Where a way begins, how long it is, mm, and where it goes first.
Found = tuple[Floats, float, int]


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
            free = floor.buffer(HAIR_MM, join_style="mitre").difference(taken)
            areas += [shapely.simplify(area, _PLAIN_MM) for area in travel(free, width, _SEGMENTS)]
        grown = taken.buffer(self._radius, quad_segs=_SEGMENTS)
        slits = [each.slit(self._radius) for each in openings]
        areas += [slit.difference(grown) for slit in slits if slit is not None]
        self.region = unary_union(areas)
        self._strings = TautWays(self.region, self.ends)

    @cached_property
    def ends(self) -> tuple[End, ...]:
        """Where ways end: the free pieces of the lines across the exits, with their door."""
        found: list[End] = []
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
        lengths, after = self._strings.reach(points)
        return [
            self._strings.way((float(point[0]), float(point[1])), float(length), int(step))
            for point, length, step in zip(points, lengths, after, strict=True)
        ]

    def farthest(self) -> Way | None:
        """Give the longest of all shortest ways out, or none where no way leads out.

        It begins at the most remote point of the free floor from which one gets out: in a corner
        where the middle of a person does not get to, the last steps lead straight into it. Found
        to within 100 mm or 1 %, from corners of the floor exactly; the way told is a real one.
        """
        return self._farthest

    @cached_property
    def _farthest(self) -> Way | None:
        if not self.ends:
            return None
        best: Found = (np.zeros(2), -1.0, -1)
        places = np.concatenate([_corners_of(self.region), *self._samples()])
        _, best = self._better(places, best, np.zeros(len(places)), 0.0)
        if best[1] < 0:
            return None
        place, length, step = self._search(best)
        way = self._strings.way((float(place[0]), float(place[1])), length, step)
        into = self._into_corners(length)
        return way if into is None or (way and into.length_mm < way.length_mm) else into

    def cut_off(self) -> list[Polygon]:
        """List the floors where the middle of a person may be and from which no way leads out."""
        ends = [end for _, end in self.ends]
        return [
            area
            for area in polygons(self.region)
            if not any(area.distance(end) <= 2 * HAIR_MM for end in ends)
        ]

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

    def _search(self, best: Found) -> Found:
        """Search edges and the inside of the floor for a longer way, halving what may hold one.

        From one point of a line or square on the floor to another is no farther than the straight
        way, so a way is never longer than that from the middle and half the line's or square's
        breadth.
        """
        for area in polygons(self.region):
            rings = [np.asarray(ring.coords) for ring in (area.exterior, *area.interiors)]
            spans = np.concatenate([np.concatenate([r[:-1], r[1:]], axis=1) for r in rings])
            best = self._search_spans(spans, best)
            best = self._search_squares(area, best)
        return best

    def _better(
        self, places: Floats, best: Found, breadth: Floats, slack: float | None = None
    ) -> tuple[NDArray[np.bool_], Found]:
        """Say in which of some pieces, by their middles and half breadths, a longer way begins.

        Longer than the best by more than some slack, mm.
        """
        if slack is None:
            slack = max(_FOUND_TO_MM, _FOUND_TO_PART * best[1])
        most = self._strings.at_most(places) + breadth
        keep = np.zeros(len(places), dtype=bool)
        order = np.argsort(-most)
        for first in range(0, len(order), _AT_ONCE):
            some = order[first : first + _AT_ONCE]
            some = some[most[some] > best[1] + slack]
            if not len(some):
                break
            lengths, after = self._strings.reach(places[some])
            known = np.where(np.isfinite(lengths), lengths, -np.inf)
            top = int(np.argmax(known))
            if known[top] > best[1]:
                best = (places[some[top]], float(known[top]), int(after[top]))
            keep[some] = known + breadth[some] > best[1] + slack
        return keep, best

    def _search_spans(self, spans: Floats, best: Found) -> Found:
        while len(spans):
            middles = (spans[:, :2] + spans[:, 2:]) / 2
            half = np.hypot(*(spans[:, 2:] - spans[:, :2]).T) / 2
            keep, best = self._better(middles, best, half)
            spans, middles = spans[keep], middles[keep]
            spans = np.concatenate(
                [np.hstack([spans[:, :2], middles]), np.hstack([middles, spans[:, 2:]])]
            )
        return best

    def _search_squares(self, area: Polygon, best: Found) -> Found:
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
        feet = nearest_points(self.region, np.asarray(corners))
        steps = np.hypot(*(np.asarray(corners) - feet).T).tolist()
        lengths, after = self._strings.reach(feet)
        whole = [
            (length + step, index)
            for index, (length, step) in enumerate(zip(lengths.tolist(), steps, strict=True))
            if math.isfinite(length) and length + step > least
        ]
        roomy = [free.buffer(HAIR_MM, join_style="mitre") for free in self._free]
        for length, index in sorted(whole, reverse=True):
            place = (float(feet[index, 0]), float(feet[index, 1]))
            last = LineString([corners[index], place])
            # A corner behind something that stands there is no one's place.
            if any(free.covers(last) for free in roomy):
                way = self._strings.way(place, float(lengths[index]), int(after[index]))
                if way is not None:
                    line = without_stops([corners[index], *way.line])
                    return Way(length, tuple(line), way.door)
        return None


def _corners_of(shape: BaseGeometry) -> Floats:
    return np.asarray(shapely.get_coordinates(shape), dtype=float).reshape(-1, 2)
