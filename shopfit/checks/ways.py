"""What ways through the shop are measured on: their beginnings, what is in the way, doors."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Literal

from shapely import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit.checks.doorfloor import manoeuvring
from shopfit.checks.fronts import Front
from shopfit.checks.scene import Scene
from shopfit.geometry.freefloor import standing_place, travel
from shopfit.geometry.gaps import PANEL_MM
from shopfit.geometry.shell import WallLine
from shopfit.geometry.shortest import Doorstep, Paths
from shopfit.geometry.widest import Floors, Ways
from shopfit.model.openings import Door, DoorUse

Link = tuple[BaseGeometry, BaseGeometry]
# Whose way: customers round everything, round fixed things alone, and staff through their zones.
Who = Literal["customers", "past fixed", "staff"]
ROUGH_MM = 150.0
# How many floors are remembered from one layout to the next: many changes leave the floor alone.
KEPT_FLOORS = 8
CUSTOMERS: tuple[DoorUse, ...] = ("entrance",)
STAFF: tuple[DoorUse, ...] = ("entrance", "staff")


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
    return [area for floor in _free(scene, obstacles) for area in travel(floor, width)]


def free(scene: Scene, who: Who) -> list[BaseGeometry]:
    """Give the free floor of each room, mm, as somebody finds it."""

    def make() -> list[BaseGeometry]:
        if who == "staff":
            return _free(scene, [one.shape for one in scene.stood])
        return _free(scene, obstacles(scene, only_fixed=who == "past fixed"))

    return scene.once(("free", who), make)


def areas_of(scene: Scene, who: Who, width: float) -> list[Polygon]:
    """Give where the centre of a traveller may be, mm, for somebody so wide; worked out once."""
    return scene.once(
        ("areas", who, width),
        lambda: [area for floor in free(scene, who) for area in travel(floor, width)],
    )


def floors(scene: Scene, who: Who, panel: float = PANEL_MM) -> Floors:
    """Give the free floors cut into triangles; worked out once.

    Parameters
    ----------
    scene, who
        Whose floor.
    panel
        Longest panel of its edge, mm: `ROUGH_MM` where widths need not be true to 1 mm beside
        round and slanting things.
    """
    return scene.once(("floors", who, panel), lambda: _floors(tuple(free(scene, who)), panel))


_floors = lru_cache(maxsize=KEPT_FLOORS)(Floors)


def widest(scene: Scene, who: Who, panel: float = PANEL_MM) -> Ways:
    """Give the widest ways from the doors that somebody comes in by; worked out once.

    Parameters
    ----------
    scene, who, panel
        As for `floors`.
    """
    uses = STAFF if who == "staff" else CUSTOMERS
    return scene.once(
        ("widest", who, panel),
        lambda: _widest(floors(scene, who, panel), tuple(starts(scene, uses)), tuple(links(scene))),
    )


_widest = lru_cache(maxsize=KEPT_FLOORS)(Ways)


def exits(scene: Scene) -> Ways:
    """Give the widest ways from the entrances through all floors, for people who leave."""
    return scene.once(
        "exits", lambda: Ways(floors(scene, "staff"), starts(scene, CUSTOMERS), links(scene))
    )


def paths(scene: Scene, who: Who, width: float, from_: Who | None = None) -> Paths:
    """Give the shortest ways of somebody so wide, mm; worked out once.

    Parameters
    ----------
    scene, who, width
        Over whose floor, for whom.
    from_
        By whose doors ways begin; left out, by those of the same.
    """

    def make() -> Paths:
        uses = STAFF if (from_ or who) == "staff" else CUSTOMERS
        steps = [doorstep(scene, door, wall) for door, wall in scene.doors if door.use in uses]
        inner = [
            (doorstep(scene, door, wall), doorstep(scene, door, wall, inside=False))
            for door, wall in scene.doors
            if door.leads_to is not None
        ]
        return Paths(free(scene, who), width, steps, inner)

    return scene.once(("paths", who, width, from_ or who), make)


def doorstep(scene: Scene, door: Door, wall: WallLine, inside: bool = True) -> Doorstep:
    """Give one side of a door as a place where ways begin."""
    out = 0.0 if inside else -door.depth
    return Doorstep(
        wall.point(door.offset + door.width / 2, out), manoeuvring(scene, door, wall, inside)
    )


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


def standing(front: Front, width: float) -> Polygon:
    """Give where the centre of a traveller before a front may be, mm."""
    return standing_place(front.band, front.outward, width)


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
    places = [standing(front, width) for front in wanted]
    return [
        front
        for front, place in zip(wanted, places, strict=True)
        if not any(area.intersects(place) for area in found)
    ]


def _free(scene: Scene, taken: Sequence[BaseGeometry]) -> list[BaseGeometry]:
    covered = unary_union([*scene.shell.columns.values(), *taken])
    return [room.difference(covered) for room in scene.shell.rooms.values()]
