"""The shop as the solver sees it: floor that may be taken, edges, and what can be bought."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit import standards
from shopfit.geometry.openings import (
    OnWall,
    clear_space,
    door_rectangle,
    door_swing,
    things_on,
)
from shopfit.geometry.shell import PlanPoint, ShellPlan, WallLine, survey
from shopfit.model.brief import Brief
from shopfit.model.fixtures import Fixture, Sheet, Stand
from shopfit.model.openings import Door, DoorUse
from shopfit.model.scenario import Scenario
from shopfit.standards.doors import front_approach
from shopfit.standards.panels import wanted_space

# How near a blocked piece of floor must come to a wall to end a stretch of it, mm.
_NEAR_WALL_MM = 25.0


@dataclass(frozen=True)
class Ground:
    """Floor that shapes may stand on, room by room, so that nothing straddles a wall.

    Parameters
    ----------
    rooms
        One shape a room, grown by a hair so that shapes may touch its edge.
    """

    rooms: tuple[BaseGeometry, ...]

    def covers(self, shape: BaseGeometry) -> bool:
        """Say whether a shape lies wholly in one room's share."""
        return any(room.covers(shape) for room in self.rooms)

    def covers_each(self, shapes: NDArray[np.object_]) -> NDArray[np.bool_]:
        """Say for each of many shapes whether it lies wholly in one room's share."""
        inside = np.zeros(len(shapes), dtype=bool)
        for room in self.rooms:
            left = np.flatnonzero(~inside)
            inside[left] = shapely.covers(room, shapes[left])
        return inside


class Site:
    """A scenario with everything that the solver asks of it again and again.

    Parameters
    ----------
    scenario
        A checked scenario.
    """

    def __init__(self, scenario: Scenario) -> None:
        self.scenario = scenario
        self.shell: ShellPlan = survey(scenario.shop)
        self.rulebook = standards.of(scenario)
        self._things: dict[str, list[OnWall]] = {}
        self._edges: dict[str, list[float]] = {}

    @property
    def brief(self) -> Brief:
        """The brief."""
        return self.scenario.brief

    @property
    def step(self) -> float:
        """Step of the position grid, mm."""
        return self.brief.step

    @cached_property
    def protrusion(self) -> float:
        """How far goods may stand out of a wall with nothing below them, mm (ADA 307.2)."""
        return self.rulebook.mm("protrusion")

    def fixtures(self, stand: Stand) -> list[Fixture]:
        """List the fixtures that may stand so and can be had."""
        return [
            fixture
            for fixture in self.scenario.catalogue.fixtures
            if stand in fixture.stands and fixture.available + fixture.owned > 0
        ]

    @cached_property
    def sheet(self) -> Sheet | None:
        """The slat-wall sheet used: of those to be had the cheapest by area, or none."""
        return cheapest(sheet for sheet in self.scenario.catalogue.sheets if sheet.available > 0)

    @cached_property
    def slat_to_be_had(self) -> float | None:
        """Slat-wall that all sheets to be had make, mm², or none where that is no matter."""
        sheet = self.sheet
        if sheet is None or sheet.available >= type(sheet).model_fields["available"].default:
            return None
        return sheet.available * sheet.pack * sheet.width * sheet.height

    @cached_property
    def _holder_depths(self) -> list[float]:
        catalogue = self.scenario.catalogue
        depths = [bracket.depth for bracket in catalogue.brackets]
        return [*depths, *(board.depth for board in catalogue.shelves)]

    @cached_property
    def deepest_holder(self) -> float:
        """How far the deepest bracket or shelf board stands out of slat-wall, mm."""
        return max(self._holder_depths, default=0.0)

    @cached_property
    def shallowest_holder(self) -> float:
        """How far the shallowest bracket or shelf board stands out, mm; infinite without any."""
        return min(self._holder_depths, default=math.inf)

    def slat_cost(self, area: float) -> float:
        """Give the least that so much slat-wall costs, offcuts and whole packs not counted."""
        if self.sheet is None:
            return 0.0
        return area * self.sheet.price / self.sheet.pack / (self.sheet.width * self.sheet.height)

    def approach(self, door: Door, inside: bool) -> Polygon:
        """Give the floor kept clear before a door, on one side of it."""
        wall = self.shell.wall(door.wall)
        space = front_approach(self.rulebook, door, inside)
        if inside:
            return door_rectangle(
                wall, door, space.hinge_side_mm, space.latch_side_mm, space.depth_mm
            )
        before, after = space.hinge_side_mm, space.latch_side_mm
        if door.hinge == "right":
            before, after = after, before
        return wall.rectangle(
            door.offset - before,
            door.offset + door.width + after,
            -door.depth - space.depth_mm,
            -door.depth,
        )

    @cached_property
    def kept_clear(self) -> BaseGeometry:
        """Floor that no fixture may take: before doors and panelboards, columns, pinned empty."""
        shapes: list[BaseGeometry] = list(self.shell.columns.values())
        for door in self.scenario.shop.doors:
            shapes.append(self.approach(door, True))
            swing = door_swing(self.shell.wall(door.wall), door)
            if swing is not None:
                shapes.append(swing)
            if door.leads_to is not None:
                shapes.append(self.approach(door, False))
        for thing in self.scenario.shop.obstructions:
            wanted = wanted_space(self.rulebook, thing)
            space = clear_space(
                self.shell.wall(thing.wall), thing.model_copy(update={"clear": wanted})
            )
            if space is not None:
                shapes.append(space)
        shapes += [Polygon(clear.corners) for clear in self.scenario.pins.clear]
        return unary_union(shapes)

    @cached_property
    def _blocked(self) -> BaseGeometry:
        return unary_union([self.kept_clear, self.staff_zones])

    @cached_property
    def staff_zones(self) -> BaseGeometry:
        """Staff and stock zones."""
        return self.shell.off_limits

    @cached_property
    def customer_floor(self) -> Ground:
        """Where fixtures for customers may stand."""
        return self._ground(self.shell.rooms.values(), self._blocked)

    @cached_property
    def staff_floor(self) -> Ground:
        """Where dividers and the floor behind them may lie."""
        rooms = [room.intersection(self.staff_zones) for room in self.shell.rooms.values()]
        return self._ground(rooms, self.kept_clear)

    @cached_property
    def staff_band_floor(self) -> Ground:
        """Where the clear floor behind a divider may lie: door spaces may be part of it."""
        rooms = [room.intersection(self.staff_zones) for room in self.shell.rooms.values()]
        return self._ground(rooms, unary_union(list(self.shell.columns.values())))

    @cached_property
    def passable(self) -> Ground:
        """Floor that people may walk on before any fixture stands."""
        return self._ground(
            self.shell.rooms.values(), unary_union(list(self.shell.columns.values()))
        )

    @cached_property
    def band_floor(self) -> Ground:
        """Where the clear bands before customer sides may lie."""
        taken = unary_union([*self.shell.columns.values(), self.staff_zones])
        return self._ground(self.shell.rooms.values(), taken)

    @staticmethod
    def _ground(rooms: object, taken: BaseGeometry) -> Ground:
        shapes = []
        for room in rooms:  # type: ignore[attr-defined]
            shape = room.difference(taken).buffer(1e-3, join_style="mitre")
            shapely.prepare(shape)
            shapes.append(shape)
        return Ground(tuple(shapes))

    def things_on(self, wall: WallLine) -> list[OnWall]:
        """List doors, windows and things on a wall, left to right."""
        if wall.id not in self._things:
            self._things[wall.id] = things_on(self.scenario.shop, wall.id)
        return self._things[wall.id]

    def wall_edges(self, wall: WallLine) -> list[float]:
        """Give offsets where something ends a stretch of wall: openings, and floor kept clear."""
        if wall.id not in self._edges:
            self._edges[wall.id] = self._wall_edges(wall)
        return self._edges[wall.id]

    def _wall_edges(self, wall: WallLine) -> list[float]:
        edges = {edge for thing in self.things_on(wall) for edge in (thing.left, thing.right)}
        (ux, uy), strip = wall.along, wall.rectangle(0.0, wall.length, 0.0, _NEAR_WALL_MM)
        part = strip.intersection(self._blocked)
        for piece in getattr(part, "geoms", [part]):
            if isinstance(piece, Polygon) and not piece.is_empty:
                along = [
                    (x - wall.start[0]) * ux + (y - wall.start[1]) * uy
                    for x, y in piece.exterior.coords
                ]
                edges |= {min(along), max(along)}
        return sorted(edges)

    @cached_property
    def main_angle(self) -> float:
        """Direction of most of the walls' length, degrees from 0 up to 90."""
        lengths: dict[float, float] = {}
        for wall in self.shell.walls:
            angle = round(wall.angle_deg % 90.0, 3) % 90.0
            lengths[angle] = lengths.get(angle, 0.0) + wall.length
        return max(sorted(lengths), key=lambda angle: lengths[angle])

    @cached_property
    def divider_edges(self) -> list[tuple[PlanPoint, PlanPoint]]:
        """Edges of staff zones that face the sales floor, zone to the left of the direction."""
        edges = []
        staff = [zone for zone in self.scenario.shop.zones if zone.kind == "staff"]
        for zone in staff:
            ring = shapely.geometry.polygon.orient(Polygon(zone.corners), 1.0).exterior.coords
            for start, end in itertools.pairwise(ring):
                length = math.dist(start, end)
                middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
                outward = ((end[1] - start[1]) / length, -(end[0] - start[0]) / length)
                outside = shapely.Point(middle[0] + outward[0] * 10, middle[1] + outward[1] * 10)
                if self.shell.floor.contains(outside) and not self.staff_zones.contains(outside):
                    edges.append((start, end))
        return edges

    @cached_property
    def open_floor(self) -> tuple[BaseGeometry, ...]:
        """What columns leave free of each room."""
        columns = unary_union(list(self.shell.columns.values()))
        return tuple(room.difference(columns) for room in self.shell.rooms.values())

    @cached_property
    def open_sales_floor(self) -> tuple[BaseGeometry, ...]:
        """What columns, staff and stock zones leave free of each room."""
        return tuple(room.difference(self.staff_zones) for room in self.open_floor)

    def ways_in(self, *uses: DoorUse) -> list[BaseGeometry]:
        """Give the floors inside before doors of some uses."""
        doors = self.scenario.shop.doors
        return [self.approach(door, True) for door in doors if door.use in uses]

    @cached_property
    def links(self) -> list[tuple[BaseGeometry, BaseGeometry]]:
        """The floors on both sides of inner doors."""
        return [
            (self.approach(door, True), self.approach(door, False))
            for door in self.scenario.shop.doors
            if door.leads_to is not None
        ]

    @cached_property
    def staff_doors(self) -> list[Door]:
        """Doors by which staff may come into a staff zone from outside."""
        return [door for door in self.scenario.shop.doors if door.use == "staff"]


def cheapest(sheets: Iterable[Sheet]) -> Sheet | None:
    """Give the sheet that is cheapest by area, or none where there is none."""
    return min(
        sheets,
        key=lambda s: (s.price / s.pack / (s.width * s.height), s.id),
        default=None,
    )
