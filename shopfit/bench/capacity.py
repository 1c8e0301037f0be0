"""Estimates how much the faces of a shell can hold, and how much a range asks for."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit.geometry.openings import clear_space, things_on
from shopfit.geometry.shell import ShellPlan, WallLine, survey
from shopfit.model.fixtures import Catalogue
from shopfit.model.range import Line
from shopfit.model.scenario import Scenario, Shop
from shopfit.units import FOOT_MM, INCH_MM

_LOOK_MM = 3 * INCH_MM
_SMALLEST_MM = 2 * FOOT_MM
# What short solves of 1.6 times the goods that fit have shown of slat-wall: rows rarely use up its
# height. What shelves lose to rows, racks and boards on slat-wall give back.
_SLAT_FILLED = 0.72
_CROSS_AISLES = 0.8  # of a row of islands that is islands, the rest being aisles across


@dataclass(frozen=True)
class Capacity:
    """Estimated usable area of faces, mm² (width times height).

    Parameters
    ----------
    slat
        On slat-wall.
    shelf
        On shelves and tables.
    """

    slat: float
    shelf: float

    @property
    def total(self) -> float:
        """Both together, mm²."""
        return self.slat + self.shelf


def capacity(shop: Shop, catalogue: Catalogue, filled: float = 1.0) -> Capacity:
    """Estimate what the faces of a shell can hold.

    Walls count where base cabinets of the catalogue have their clear band, in stretches of whole
    feet; islands by the area that is left inside, in rows an aisle apart.

    Parameters
    ----------
    shop, catalogue
        The shell with its brief, and what may be bought.
    filled
        What shops of its size hold over this estimate, from short solves; see `Size.filled`.
    """
    plan, brief = survey(shop), shop.brief
    cabinets = [f for f in catalogue.fixtures if f.kind == "base-cabinet"]
    depth = min(fixture.depth for fixture in cabinets)
    tall = cabinets[0].faces[0]
    slat_bottom = cabinets[0].height + brief.run_gap
    keep = _kept_clear(shop, plan, brief.aisle)
    free = plan.floor.difference(unary_union([*plan.columns.values(), plan.off_limits]))
    wall_mm = slat_mm = 0.0
    for wall in plan.walls:
        if wall.fixtures:
            places = _places(wall, plan, free, keep, depth, brief.aisle)
            wall_mm += sum(_whole_feet(len(stretch) * _LOOK_MM) for stretch in places)
            slat_mm += _under_slat_wall(shop, wall, places, slat_bottom)
    cases = [f for f in catalogue.fixtures if f.kind == "glass-case" and "wall" in f.stands]
    lost = sum(f.width * f.available for f in cases)
    wall_mm, slat_mm = max(0.0, wall_mm - lost), max(0.0, slat_mm - lost)
    slat_high = min(
        brief.display_top - slat_bottom,
        min(room.height for room in shop.rooms) - slat_bottom,
        max(sheet.height for sheet in catalogue.sheets),
    )
    shelf = wall_mm * 0.96 * (tall.top - tall.bottom)
    shelf += _islands(shop, catalogue, free, keep, depth)
    return Capacity(slat_mm * slat_high * _SLAT_FILLED * filled, shelf * filled)


def _kept_clear(shop: Shop, plan: ShellPlan, aisle: float) -> BaseGeometry:
    """Give the floor before doors and panelboards, roughly."""
    kept: list[Polygon] = []
    for door in shop.doors:
        wall = plan.wall(door.wall)
        kept.append(
            wall.rectangle(door.offset, door.offset + door.width + 12 * INCH_MM, 0, 48 * INCH_MM)
        )
    for thing in shop.obstructions:
        space = clear_space(plan.wall(thing.wall), thing)
        if space is not None:
            kept.append(space)
    return unary_union(kept)


def _places(
    wall: WallLine,
    plan: ShellPlan,
    free: BaseGeometry,
    keep: BaseGeometry,
    depth: float,
    aisle: float,
) -> list[list[float]]:
    """Give the offsets along a wall where a cabinet may stand, in unbroken stretches."""
    others = unary_union(
        [
            each.rectangle(0, each.length, 0, depth - 1)
            for each in plan.walls
            if each is not wall and each.fixtures
        ]
    )
    stretches: list[list[float]] = [[]]
    for number in range(int(wall.length / _LOOK_MM)):
        offset = (number + 0.5) * _LOOK_MM
        body = LineString([wall.point(offset, 1), wall.point(offset, depth)])
        reach = LineString([wall.point(offset, 1), wall.point(offset, depth + aisle)])
        taken = body.intersects(keep) or body.intersects(others)
        if not taken and reach.within(free):
            stretches[-1].append(offset)
        elif stretches[-1]:
            stretches.append([])
    return [stretch for stretch in stretches if stretch]


def _whole_feet(length: float) -> float:
    return 0.0 if length < _SMALLEST_MM - 1 else math.floor(length / FOOT_MM + 1e-6) * FOOT_MM


def _under_slat_wall(shop: Shop, wall: WallLine, places: list[list[float]], bottom: float) -> float:
    """Count the length of a wall where slat-wall may hang above cabinets, mm."""
    things = [thing for thing in things_on(shop, wall.id) if thing.top > bottom + 6 * INCH_MM]
    free = [
        offset
        for stretch in places
        if _whole_feet(len(stretch) * _LOOK_MM)
        for offset in stretch
        if not any(thing.left <= offset <= thing.right for thing in things)
    ]
    return len(free) * _LOOK_MM if wall.slat_wall else 0.0


def _islands(
    shop: Shop, catalogue: Catalogue, free: BaseGeometry, keep: BaseGeometry, depth: float
) -> float:
    gondolas = [f for f in catalogue.fixtures if "island" in f.stands and f.kind == "gondola"]
    if not gondolas:
        return 0.0
    chosen, aisle = gondolas[-1], shop.brief.aisle
    inside = free.difference(keep).buffer(-(depth + aisle)).buffer(aisle / 2)
    rows_mm = float(inside.area) / (chosen.depth + aisle) * _CROSS_AISLES
    face = chosen.faces[0]
    return rows_mm * len(chosen.faces) * (face.top - face.bottom)


def wanted_area(line: Line, on_slat: bool) -> float:
    """Give the face that one facing of a line takes, mm²: its width times its row's height.

    Parameters
    ----------
    line
        The line.
    on_slat
        Whether it hangs on slat-wall, or stands on shelves.
    """
    if on_slat:
        pitch = 3 * INCH_MM
        steps = math.ceil((line.height + 0.5 * INCH_MM) / pitch - 1e-6) + 1
        return line.width * steps * pitch
    pitch = 2 * INCH_MM
    return line.width * math.ceil((line.height + 1.75 * INCH_MM) / pitch - 1e-6) * pitch


def hangs(line: Line) -> bool:
    """Say whether a line is meant for slat-wall first."""
    return line.ways[0] in ("hook", "face-out", "cradle")


def scarcity(scenario: Scenario, filled: float = 1.0) -> float:
    """Give the face that all facings wanted take over the face that the shell can give.

    Lines locked in cases are left out on both sides.

    Parameters
    ----------
    scenario
        A drawn one.
    filled
        As for `capacity`.
    """
    room = capacity(scenario.shop, scenario.catalogue, filled)
    wanted = sum(
        line.max_facings * wanted_area(line, hangs(line))
        for line in scenario.lines
        if not line.secured
    )
    return wanted / room.total
