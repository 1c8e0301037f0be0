"""Draws a shell while it is being measured: open walks, names, lengths and what is on walls."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from shapely import Polygon

from shopfit.drawing import lettering, planshell, style
from shopfit.drawing.scene import Fill, Group, Item, Layer, Line, Pen, Place, Scene, Shape, Text
from shopfit.drawing.sheet import Page
from shopfit.drawing.svg import svg
from shopfit.geometry.closing import CLOSING_MM
from shopfit.geometry.shell import WallLine, closing_error, column_outline, walk
from shopfit.model.scenario import Shop
from shopfit.model.shell import Room
from shopfit.units import TOLERANCE_MM, format_length

# Small paper with large letters, so that it reads on a narrow screen.
PAPER = Page("screen", 160.0, 120.0)
LETTERS = 3.9
_MARGIN = 14.0
_MARKED = Pen(1.1, style.RUST)
_WALL = Pen(1.0, style.INK)
_GAP = Pen(0.6, style.RUST, (2.0, 1.2))


def measured_svg(shop: Shop, marked: str | None = None) -> str:
    """Draw a shell as measured so far as a picture for the screen; see `measured_scene`."""
    scene = measured_scene(shop, marked)
    west, south, east, north = _bounds(shop)
    lying = (east - west) >= (north - south)
    return svg(scene, PAPER if lying else PAPER.turned)


def measured_scene(shop: Shop, marked: str | None = None) -> Scene:
    """Draw a shell as measured so far.

    Parameters
    ----------
    shop
        Its rooms may be open, cross themselves, or have no walls yet.
    marked
        Name of a wall or thing that is drawn thicker.

    Returns
    -------
    The shell at full size, mm in the shop's frame, not at a usual scale.
    """
    scale = _scale(shop)
    lines = {line.id: line for room in shop.rooms for line in walked_lines(room)}
    layers = (
        Layer("zones", tuple(_zones(shop))),
        Layer("walls", tuple(_walls(shop, lines.values(), scale, marked))),
        Layer("openings", tuple(_openings(shop, lines, scale, marked))),
        Layer("columns", tuple(_columns(shop))),
        Layer("gaps", tuple(item for room in shop.rooms for item in _gap(shop, room))),
        Layer("lettering", tuple(_lettering(shop, lines.values(), scale))),
    )
    return Scene(f"{shop.name}: shell as measured", _about(shop), scale, layers)


def walked_lines(room: Room) -> list[WallLine]:
    """Give the walls of a room where they were walked, without closing the last on the first."""
    steps = [step for step in walk(room) if math.dist(step[1], step[2]) > 0]
    corners = [start for _, start, _, _ in steps]
    if steps and not room.corners:
        corners.append(steps[-1][2])
    backwards = len(corners) >= 3 and Polygon(corners).exterior.is_ccw
    return [
        WallLine(
            name, room.id, *((end, start) if backwards else (start, end)), ((0.0, room.height),)
        )
        for name, start, end, _ in steps
    ]


def _bounds(shop: Shop) -> tuple[float, float, float, float]:
    places: list[Place] = [
        place for room in shop.rooms for _, *ends, _ in walk(room) for place in ends
    ]
    places += [corner for zone in shop.zones for corner in zone.corners]
    places += [place for column in shop.columns for place in column_outline(column).exterior.coords]
    if not places:
        return (0.0, 0.0, 1000.0, 1000.0)
    xs, ys = [x for x, *_ in places], [y for _, y, *_ in places]
    return (min(xs), min(ys), max(xs), max(ys))


def _scale(shop: Shop) -> float:
    west, south, east, north = _bounds(shop)
    wide, high = max(east - west, 500.0), max(north - south, 500.0)
    paper = PAPER if wide >= high else PAPER.turned
    room = (paper.width - 2 * _MARGIN, paper.height - 2 * _MARGIN)
    return max(wide / room[0], high / room[1])


def _zones(shop: Shop) -> Iterator[Item]:
    for zone in shop.zones:
        outline = Polygon(zone.corners)
        if outline.is_valid and zone.kind != "sales":
            title = f"{zone.id}: {zone.kind} zone"
            drawn = planshell.area(outline, style.HIDDEN, style.zone_fill(zone.kind))
            yield Group(zone.id, title, tuple(drawn))


def _walls(
    shop: Shop, lines: Iterable[WallLine], scale: float, marked: str | None
) -> Iterator[Item]:
    for line in lines:
        pen = _MARKED if line.id == marked else _WALL
        title = f"{line.id}: {format_length(line.length, shop.units)}"
        yield Group(line.id, title, (Line(line.start, line.end, pen),))
    for room in shop.rooms:
        first = next(iter(walk(room)), None)
        if first is not None and not room.corners:
            # Where walking began.
            x, y = first[1]
            half = 1.3 * scale
            corners = ((x - half, y - half), (x + half, y - half), (x + half, y + half))
            yield Shape((*corners, (x - half, y + half)), style.THIN, Fill(style.BLUE))


def _openings(
    shop: Shop, lines: dict[str, WallLine], scale: float, marked: str | None
) -> Iterator[Item]:
    for door in shop.doors:
        if door.wall in lines:
            line = lines[door.wall]
            gap = line.rectangle(door.offset, door.offset + door.width, -0.5 * scale, 0.5 * scale)
            yield from planshell.area(gap, None, style.BLANK)
            yield planshell.door(door, line, scale, shop.units)
    for window in shop.windows:
        if window.wall in lines:
            line = lines[window.wall]
            pane = line.rectangle(
                window.offset, window.offset + window.width, -1.0 * scale, 1.0 * scale
            )
            pen = _MARKED if window.id == marked else style.OUTLINE
            title = f"Window {window.id}: {format_length(window.width, shop.units)} wide"
            yield Group(window.id, title, tuple(planshell.area(pane, pen, style.GLASS)))
    for thing in shop.obstructions:
        if thing.wall in lines:
            line = lines[thing.wall]
            deep = max(thing.depth, 1.6 * scale)
            box = line.rectangle(thing.offset, thing.offset + thing.width, 0.0, deep)
            pen = _MARKED if thing.id == marked else style.OUTLINE
            drawn = planshell.area(box, pen, Fill("#e6b8a2", "cross", 1.0))
            yield Group(thing.id, f"{thing.kind} {thing.id}", tuple(drawn))


def _columns(shop: Shop) -> Iterator[Item]:
    for column in shop.columns:
        drawn = planshell.area(column_outline(column), style.THIN, style.WALL)
        yield Group(column.id, f"Column {column.id}", tuple(drawn))


def _gap(shop: Shop, room: Room) -> Iterator[Item]:
    steps = list(walk(room))
    if not steps or room.corners:
        return
    east, north = closing_error(room)
    if math.hypot(east, north) > CLOSING_MM + TOLERANCE_MM:
        ends = (steps[-1][2], steps[0][1])
        title = f"The walk is {format_length(math.hypot(east, north), shop.units)} open"
        yield Group(f"{room.id} open", title, (Line(*ends, _GAP),))


def _lettering(shop: Shop, lines: Iterable[WallLine], scale: float) -> Iterator[Item]:
    for line in lines:
        length = format_length(line.length, shop.units)
        both = f"{line.id}  {length}"
        room = line.length / scale
        fits = lettering.width(both, LETTERS) <= room + 2 * LETTERS
        words = both if fits else length
        if lettering.width(words, LETTERS) <= room + 3 * LETTERS:
            at = line.point(line.length / 2, -(0.9 * LETTERS + 0.8) * scale)
            yield Text(at, words, LETTERS, angle=_upright(line.angle_deg), halo=True)
    for door in shop.doors:
        for line in (each for each in lines if each.id == door.wall):
            at = line.point(door.offset + door.width / 2, 0.9 * LETTERS * scale)
            angle = _upright(line.angle_deg)
            yield Text(at, door.id, 0.85 * LETTERS, angle=angle, halo=True)
    for zone in shop.zones:
        outline = Polygon(zone.corners)
        if outline.is_valid and zone.kind != "sales":
            middle = outline.representative_point()
            yield Text((middle.x, middle.y), zone.id, 0.85 * LETTERS, halo=True)


def _upright(angle: float) -> float:
    """Give the direction of lettering along a line, never upside down."""
    turned = (angle + 90.0) % 180.0 - 90.0
    return 90.0 if math.isclose(turned, -90.0) else turned


def _about(shop: Shop) -> str:
    told = []
    for room in shop.rooms:
        walls = [
            f"{name} {format_length(math.dist(start, end), shop.units)}"
            for name, start, end, _ in walk(room)
        ]
        told.append(f"Room {room.id}: " + (", ".join(walls) if walls else "no walls yet"))
    things = len(shop.doors), len(shop.windows), len(shop.obstructions), len(shop.columns)
    names = ("doors", "windows", "obstructions", "columns")
    counted = ", ".join(f"{n} {name}" for n, name in zip(things, names, strict=True))
    return f"{'. '.join(told)}. With {counted}."
