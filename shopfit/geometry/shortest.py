"""The shortest ways of a round traveller from doors to places on the free floor."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from shopfit.geometry.freefloor import polygons
from shopfit.geometry.shell import PlanPoint
from shopfit.geometry.tautways import End, TautWays

# Ways round a corner keep to chords of a circle; 8 a quarter cut it by 0.5 % of the radius.
_CHORDS = 8
# Where a way is just as wide as the traveller, so much floor is left for its middle, mm.
_SPARE_MM = 0.5
_THREAD_MM = 0.02


@dataclass(frozen=True)
class Doorstep:
    """Where ways begin, or go through a wall.

    Parameters
    ----------
    at
        The middle of the opening, mm.
    floor
        The floor before it that the traveller comes in by, mm.
    """

    at: PlanPoint
    floor: BaseGeometry


@dataclass(frozen=True)
class Route:
    """A shortest way.

    Parameters
    ----------
    line
        From the door to where it ends, mm.
    length
        Its length, mm.
    free
        The parts of the line on which the traveller is wholly on the floor: all of it but the
        steps through doors.
    """

    line: tuple[PlanPoint, ...]
    length: float
    free: tuple[tuple[PlanPoint, ...], ...] = ()


class Paths:
    """Shortest ways from some doors.

    Parameters
    ----------
    floors
        Free floors, each parted from the others, mm.
    width
        Diameter of the traveller, mm; a way just so wide lets it through.
    starts
        Doors that ways begin at.
    links
        Inner doors, by their two sides.
    """

    def __init__(
        self,
        floors: Sequence[BaseGeometry],
        width: float,
        starts: Sequence[Doorstep],
        links: Sequence[tuple[Doorstep, Doorstep]] = (),
    ) -> None:
        radius = max((width - _SPARE_MM) / 2, 0.0)
        self._areas = [
            part for floor in floors for part in polygons(floor.buffer(-radius, quad_segs=_CHORDS))
        ]
        threads: list[BaseGeometry] = []
        ends: list[End] = []
        for step in starts:
            threads += self._threads(step)
            ends.append(("", Point(step.at)))
        for here, there in links:
            ones, others = self._threads(here), self._threads(there)
            if ones and others:
                threads += [*ones, *others, _thread([here.at, there.at])]
        region = shapely.union_all([*self._areas, *threads])
        self._ways = TautWays(region, ends)
        self._roomy = shapely.union_all(self._areas).buffer(_THREAD_MM, join_style="mitre")
        shapely.prepare(self._roomy)

    def _inside(self, line: Sequence[PlanPoint]) -> tuple[tuple[PlanPoint, ...], ...]:
        if len(line) < 2:
            return ()
        ends = np.array(line)
        steps = shapely.linestrings(np.stack([ends[:-1], ends[1:]], axis=1))
        parts: list[list[PlanPoint]] = [[]]
        for number, inside in enumerate(shapely.covers(self._roomy, steps).tolist()):
            if inside:
                parts[-1] += line[number : number + 2] if not parts[-1] else [line[number + 1]]
            elif parts[-1]:
                parts.append([])
        return tuple(tuple(part) for part in parts if part)

    def _threads(self, step: Doorstep) -> list[Polygon]:
        """Give a hair of floor from the middle of a door to where the traveller may come in."""
        places = [_nearest(area, step.floor, step.at) for area in self._areas]
        return [_thread([step.at, place]) for place in places if place is not None]

    def to(self, targets: Sequence[tuple[BaseGeometry, PlanPoint]]) -> list[Route | None]:
        """Give the shortest way to each target, or none.

        Parameters
        ----------
        targets
            Where the centre of the traveller has to come, and a point that it comes as near to
            there as it can, mm.
        """
        asked: list[tuple[int, PlanPoint]] = []
        for number, (floor, point) in enumerate(targets):
            places = [_nearest(area, floor, point) for area in self._areas]
            asked += [(number, place) for place in places if place is not None]
        found: list[Route | None] = [None] * len(targets)
        if not asked:
            return found
        lengths, steps = self._ways.reach(np.array([place for _, place in asked]))
        for (number, place), length, step in zip(asked, lengths, steps, strict=True):
            known = found[number]
            if known is not None and known.length <= length:
                continue
            way = self._ways.way(place, float(length), int(step))
            if way is not None:
                line = way.line[::-1]
                found[number] = Route(line, way.length_mm, self._inside(line))
        return found


def _thread(line: Sequence[PlanPoint]) -> Polygon:
    made: Polygon = LineString(line).buffer(_THREAD_MM, cap_style="square", join_style="mitre")
    return made


def _nearest(area: Polygon, floor: BaseGeometry, point: PlanPoint) -> PlanPoint | None:
    if not area.intersects(floor):
        return None
    place, _ = shapely.shortest_line(area.intersection(floor), Point(point)).coords
    return (place[0], place[1])
