"""The shell on the plan: walls, openings, columns, zones, and the way in from outside."""

from __future__ import annotations

import math

from shapely import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit.drawing import style
from shopfit.drawing.scene import Arc, Fill, Group, Item, Line, Pen, Place, Shape, Strokes
from shopfit.geometry.freefloor import polygons
from shopfit.geometry.openings import approached_door, clear_space, door_leaves, door_rectangle
from shopfit.geometry.shell import ShellPlan, WallLine
from shopfit.geometry.wayin import Laid, WayInPlan, lay, turns_told
from shopfit.model.approach import Ramp
from shopfit.model.openings import Door, Window
from shopfit.model.scenario import Scenario, Shop
from shopfit.standards.doors import front_approach
from shopfit.standards.panels import wanted_space
from shopfit.standards.rulebook import Rulebook
from shopfit.units import LengthStyle, format_length

WALL_PRINT = 1.4
UNTOLD = "turns between runs are not told: they are drawn in one line"

# Name, title, outline in mm and, for slopes and steps, the line from their foot up.
ApproachPart = tuple[str, str, Polygon, tuple[Place, Place] | None]


def area(shape: BaseGeometry, pen: Pen | None, fill: Fill | None = None) -> list[Item]:
    """Turn a plan shape into primitives, holes and all."""
    return [
        Shape(
            _ring(part.exterior.coords),
            pen,
            fill,
            True,
            tuple(_ring(hole.coords) for hole in part.interiors),
        )
        for part in polygons(shape)
    ]


def _ring(coordinates: object) -> tuple[Place, ...]:
    points = [(float(x), float(y)) for x, y, *_ in coordinates]  # type: ignore[attr-defined]
    return tuple(points[:-1])


def wall_mass(shop: Shop, shell: ShellPlan, scale: float) -> BaseGeometry:
    """Give the walls as a band outside the rooms, openings left out.

    Parameters
    ----------
    shop, shell
        Which.
    scale
        How many times smaller the plan prints; the band has a printed thickness, since the
        thickness of walls is not measured.
    """
    thick = WALL_PRINT * scale
    rooms = unary_union(list(shell.rooms.values()))
    band = unary_union([room.buffer(thick, join_style="mitre") for room in shell.rooms.values()])
    openings = [(d.wall, d.offset, d.width, max(thick, d.depth)) for d in shop.doors]
    openings += [(w.wall, w.offset, w.width, thick) for w in shop.windows]
    gaps = [
        shell.wall(wall).rectangle(left, left + width, 0.5, -deep - 0.5)
        for wall, left, width, deep in openings
    ]
    return band.difference(rooms).difference(unary_union(gaps)) if gaps else band.difference(rooms)


def walls(shop: Shop, shell: ShellPlan, scale: float) -> list[Item]:
    """Draw walls and windows."""
    items: list[Item] = area(wall_mass(shop, shell, scale), style.THIN, style.WALL)
    for window in shop.windows:
        items.append(_window(window, shell.wall(window.wall), WALL_PRINT * scale, shop.units))
    return items


def _window(window: Window, wall: WallLine, thick: float, units: LengthStyle) -> Group:
    left, right = window.offset, window.offset + window.width
    lines = tuple(
        (wall.point(left, -thick * part), wall.point(right, -thick * part))
        for part in (0.0, 0.4, 0.6, 1.0)
    )
    sizes = f"sill {format_length(window.sill, units)}, head {format_length(window.head, units)}"
    return Group(window.id, f"Window {window.id}: {sizes}", (Strokes(lines, style.THIN),))


def door(given: Door, wall: WallLine, scale: float, units: LengthStyle) -> Group:
    """Draw a door: jambs, its leaves and the arcs of their swing."""
    thick = max(WALL_PRINT * scale, given.depth)
    left, right = given.offset, given.offset + given.width
    items: list[Item] = [
        Line(wall.point(left), wall.point(left, -thick), style.OUTLINE),
        Line(wall.point(right), wall.point(right, -thick), style.OUTLINE),
    ]
    if given.swing in ("in", "out"):
        base, turned = (0.0, 1.0) if given.swing == "in" else (-thick, -1.0)
        for hinge, edge in door_leaves(given):
            centre = wall.point(hinge, base)
            tip = wall.point(hinge, base + turned * abs(edge - hinge))
            items.append(Line(centre, tip, style.CUT))
            items.append(_swing(centre, wall.point(edge, base), tip))
    elif given.swing == "sliding":
        near = -thick * 0.5
        items.append(Line(wall.point(left, near), wall.point(right, near), style.CUT))
    words = f"{given.use} door" if given.swing != "none" else "doorway"
    size = f"{format_length(given.width, units)} wide, {format_length(given.height, units)} high"
    return Group(given.id, f"{given.id}: {words}, {size}", tuple(items))


def _swing(centre: Place, shut: Place, opened: Place) -> Arc:
    start = math.degrees(math.atan2(shut[1] - centre[1], shut[0] - centre[0]))
    end = math.degrees(math.atan2(opened[1] - centre[1], opened[0] - centre[0]))
    sweep = (end - start + 180.0) % 360.0 - 180.0
    return Arc(centre, math.dist(centre, shut), start, sweep, style.THIN)


def clear_spaces(
    scenario: Scenario, shell: ShellPlan, rulebook: Rulebook
) -> list[tuple[str, str, Polygon]]:
    """List the floor that doors and things on walls want empty: tag, title and outline, mm.

    Door spaces are those of a front approach, cut to the room.
    """
    found = []
    for given in scenario.shop.doors:
        wall = shell.wall(given.wall)
        space = front_approach(rulebook, given, inside=True)
        shape = door_rectangle(
            wall, given, space.hinge_side_mm, space.latch_side_mm, space.depth_mm
        ).intersection(shell.rooms[wall.room])
        title = f"Clear space before {given.id} ({space.clause})"
        found += [(given.id, title, part) for part in polygons(shape)]
    for thing in scenario.shop.obstructions:
        wall = shell.wall(thing.wall)
        clear = wanted_space(rulebook, thing)
        shape = clear_space(wall, thing.model_copy(update={"clear": clear}))
        if shape is not None:
            title = f"Clear space before {thing.kind} {thing.id}"
            parts = polygons(shape.intersection(shell.rooms[wall.room]))
            found += [(thing.id, title, part) for part in parts]
    return found


def approach_parts(shop: Shop, shell: ShellPlan) -> list[ApproachPart]:
    """Lay out landings, ramps and steps outside the door they serve, as they are told.

    Parameters
    ----------
    shop, shell
        Which.
    """
    served = approached_door(shop)
    if served is None:
        return []
    plan = WayInPlan(shell.wall(served.wall), served)
    return [
        (*_words(laid, shop), plan.shape(laid.rect), _rise(laid, plan))
        for laid in lay(shop.approach, served.width)
    ]


def _words(laid: Laid, shop: Shop) -> tuple[str, str]:
    """Give the short name and the title of a part of the way in."""
    steps, ramps, units = shop.approach.steps, shop.approach.ramps, shop.units
    if laid.kind == "steps" and steps is not None:
        riser, tread = format_length(steps.riser, units), format_length(steps.tread, units)
        return "steps", f"Steps: {steps.count} of {riser} rise and {tread} going"
    size = _size(laid.length, laid.width, units)
    if laid.ramp is None:
        return "landing", f"Landing at the top of {ramps[0].id}: {size}"
    ramp = ramps[laid.ramp]
    if laid.kind == "run":
        return f"1:{ramp.run / ramp.rise:.3g}", ramp_title(ramp, units)
    return "landing", f"Landing at the foot of {ramp.id}: {size}"


def _rise(laid: Laid, plan: WayInPlan) -> tuple[Place, Place] | None:
    """Give the line from the foot of a slope or of steps up."""
    if laid.kind not in ("run", "steps"):
        return None
    top, foot = laid.ends
    return plan.place(foot), plan.place(top)


def untold(shop: Shop) -> list[tuple[str, str]]:
    """Give a row that says so where a ramp is drawn whose turns are not told."""
    drawn = approached_door(shop) is not None
    return [("Ramp", UNTOLD)] if drawn and not turns_told(shop.approach) else []


def _size(length: float, width: float, units: LengthStyle) -> str:
    return f"{format_length(length, units)} long, {format_length(width, units)} wide"


def ramp_title(ramp: Ramp, units: LengthStyle) -> str:
    """Say a ramp's slope in words."""
    rise, run = format_length(ramp.rise, units), format_length(ramp.run, units)
    return f"{ramp.id}: ramp 1:{ramp.run / ramp.rise:.3g}, rise {rise} in {run}"


def arrow(tail: Place, head: Place, size: float, pen: Pen) -> list[Item]:
    """Draw an arrow; the size of its head is in mm."""
    angle = math.atan2(head[1] - tail[1], head[0] - tail[0])
    barbs = [
        (head[0] - size * math.cos(angle + turn), head[1] - size * math.sin(angle + turn))
        for turn in (0.42, -0.42)
    ]
    return [
        Line(tail, head, pen),
        Shape((head, *barbs), pen, Fill(pen.colour)),
    ]
