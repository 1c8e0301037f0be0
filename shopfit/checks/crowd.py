"""The people in the shop, the doors by which they leave, and the floor that they walk on."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

from shapely import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit.checks import ways
from shopfit.checks.scene import Scene
from shopfit.geometry.shell import ShellPlan, WallLine
from shopfit.geometry.tautways import Way
from shopfit.geometry.traveldistance import Opening, WalkingFloor
from shopfit.model.openings import Door
from shopfit.standards import egress

Shapes = tuple[tuple[str, Polygon], ...]


@lru_cache(maxsize=ways.KEPT_FLOORS)
def _floor(
    rooms: Shapes,
    columns: Shapes,
    taken: tuple[BaseGeometry, ...],
    exits: tuple[Opening, ...],
    inner: tuple[Opening, ...],
    width: float,
) -> WalkingFloor:
    return WalkingFloor(ShellPlan(dict(rooms), (), dict(columns), {}), taken, exits, inner, width)


@dataclass
class Crowd:
    """The people in the shop and their ways out.

    Parameters
    ----------
    scene
        Where.
    """

    scene: Scene

    @cached_property
    def exits(self) -> tuple[tuple[Door, WallLine], ...]:
        """Doors by which everybody may leave: entrances and exits, not doors for staff."""
        return tuple(
            (door, wall) for door, wall in self.scene.doors if door.use in ("entrance", "exit")
        )

    @cached_property
    def areas(self) -> tuple[float, float]:
        """Gross floor of the shop and of its stock zones, m2."""
        rooms = unary_union(list(self.scene.shell.rooms.values()))
        stock = [zone.shape for zone in self.scene.zones if zone.kind == "stock"]
        kept = rooms.intersection(unary_union(stock)).area if stock else 0.0
        return (rooms.area - kept) / 1e6, kept / 1e6

    @cached_property
    def people(self) -> int:
        """How many people the shop holds."""
        told = self.scene.scenario.shop.building.occupants
        return told if told is not None else egress.occupants(self.scene.rulebook, *self.areas)

    @cached_property
    def reckoned(self) -> str:
        """How the number of people was come by, in words."""
        people = f"{self.people} {'person' if self.people == 1 else 'people'}"
        if self.scene.scenario.shop.building.occupants is not None:
            return f"{people} as the building department has said"
        factor = self.scene.rulebook.requirement("occupant-area").written
        return f"{people} by floor area, one on {factor}"

    @cached_property
    def floor(self) -> WalkingFloor:
        """The floor that they walk on; strips of slat-wall count as taken."""
        scene = self.scene
        taken = [one.shape for one in scene.stood] + ways.strips(scene)
        inner = [Opening(door, wall) for door, wall in scene.doors if door.leads_to is not None]
        exits = [Opening(door, wall) for door, wall in self.exits]
        return _floor(
            tuple(scene.shell.rooms.items()),
            tuple(scene.shell.columns.items()),
            tuple(taken),
            tuple(exits),
            tuple(inner),
            scene.rulebook.mm("exit-width"),
        )

    @cached_property
    def farthest(self) -> Way | None:
        """The longest way out."""
        return self.floor.farthest()

    @property
    def sprinklers(self) -> bool | None:
        """Whether there are sprinklers all over; none if nobody said."""
        return self.scene.scenario.shop.building.has_sprinklers
