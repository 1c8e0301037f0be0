"""What ways through the shop are measured on: their beginnings, what is in the way, doors."""

from __future__ import annotations

from collections.abc import Sequence

from shapely import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit.checks.doors import manoeuvring
from shopfit.checks.fronts import Front
from shopfit.checks.scene import Scene
from shopfit.geometry.freefloor import standing_place, travel
from shopfit.model.shell import DoorUse

Link = tuple[BaseGeometry, BaseGeometry]


def starts(scene: Scene, uses: Sequence[DoorUse]) -> list[BaseGeometry]:
    """List the floors before doors of some uses."""
    spaces = [manoeuvring(scene, door, wall) for door, wall in scene.doors if door.use in uses]
    return [space for space in spaces if not space.is_empty]


def links(scene: Scene) -> list[Link]:
    """List the floors on both sides of inner doors."""
    return [
        (manoeuvring(scene, door, wall), manoeuvring(scene, door, wall, inside=False))
        for door, wall in scene.doors
        if door.leads_to is not None
    ]


def areas(scene: Scene, obstacles: Sequence[BaseGeometry], width: float) -> list[Polygon]:
    """Give where the centre of a traveller may be, mm; room by room.

    Rooms that touch on the plan are still parted by a wall.
    """
    taken = unary_union([*scene.shell.columns.values(), *obstacles])
    return [
        area
        for room in scene.shell.rooms.values()
        for area in travel(room.difference(taken), width)
    ]


def obstacles(scene: Scene, only_fixed: bool = False) -> list[BaseGeometry]:
    """List what is in a customer's way besides columns: fixtures, strips of runs, closed zones."""
    taken: list[BaseGeometry] = [
        one.shape for one in scene.stood if one.fixture.fixed or not only_fixed
    ]
    taken += strips(scene)
    return taken + [zone.shape for zone in scene.zones]


def strips(scene: Scene) -> list[Polygon]:
    """List the floor that goods on slat-wall with nothing below it may stand out over."""
    return [one.strip(0.0, scene.free_projection) for one in scene.hung if not one.below]


def missed(wanted: Sequence[Front], found: Sequence[BaseGeometry], width: float) -> list[Front]:
    """List the fronts before which no traveller comes to stand.

    Parameters
    ----------
    wanted
        Fronts asked about.
    found
        Where the centre of a traveller comes.
    width
        Of the traveller, mm.
    """
    places = [standing_place(front.band, front.outward, width) for front in wanted]
    return [
        front
        for front, place in zip(wanted, places, strict=True)
        if not any(area.intersects(place) for area in found)
    ]
