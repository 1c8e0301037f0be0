"""Lettering of the plan: tags, names, running dimensions and numbers of findings."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from shapely import Point, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit.drawing import lettering, planshell, style
from shopfit.drawing.desk import Desk
from shopfit.drawing.dimension import Ruler, overall, reach, running, upright
from shopfit.drawing.labels import LEADER, edge
from shopfit.drawing.scene import Fill, Group, Item, Line, Place, Shape, Table, Text
from shopfit.geometry.footprint import place_point
from shopfit.geometry.freefloor import polygons
from shopfit.geometry.openings import door_swing, entrance, things_on
from shopfit.geometry.shell import WallLine
from shopfit.model.finding import Finding
from shopfit.model.layout import Placement, Run
from shopfit.model.shell import Overhead

LISTED = "Findings"  # title of the list beside the plan
_BASE = planshell.WALL_PRINT + 4.2


def fixture_tags(desk: Desk) -> dict[str, list[Item]]:
    """Set the tag of every fixture: inside it where it fits, else beside it with a leader."""
    tags: dict[str, list[Item]] = {}
    outside: list[Placement] = []
    for placement in desk.layout.placements:
        found = desk.labels.place(_inside(desk, placement), desk.footprint(placement))
        if found:
            tags[placement.id] = [found]
        else:
            outside.append(placement)
    for placement in desk.layout.placements:
        desk.labels.block(desk.footprint(placement))
    for placement in outside:
        fixture = desk.fixture(placement)
        anchor = place_point(placement, fixture.width / 2, fixture.depth * 0.6)
        tags[placement.id] = desk.labels.lead(Text(anchor, placement.id, bold=True), anchor)
    return tags


def _inside(desk: Desk, placement: Placement) -> Iterator[Text]:
    fixture = desk.fixture(placement)
    glass = fixture.kind == "glass-case"
    angle, _ = upright(placement.angle_deg)
    crossed, _ = upright(placement.angle_deg + 90.0)
    for size in (lettering.NORMAL, lettering.SMALL):
        for turn in (angle, crossed):
            for part in (0.62, 0.5, 0.4):
                at = place_point(placement, fixture.width / 2, fixture.depth * part)
                yield Text(at, placement.id, size, "middle", turn, bold=True, halo=glass)


def run_tag(desk: Desk, run: Run) -> list[Item]:
    """Set the tag of a run beside its line: behind the wall where that is free."""
    wall = desk.shell.wall(run.wall)
    angle, _ = upright(wall.angle_deg)
    length = run.to_mm - run.from_mm
    choices = [
        Text(
            wall.point(run.from_mm + length * part, out * desk.scale),
            run.id,
            lettering.SMALL,
            "middle",
            angle,
            bold=True,
            colour=style.RUST,
        )
        # Lettering hangs lower than it rises: over a wall it wants a little more room below it.
        for out in (-planshell.WALL_PRINT - 2.1, -planshell.WALL_PRINT - 2.3, 3.2, 3.9)
        for part in (0.5, 0.47, 0.53, 0.45, 0.55, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9)
    ]
    found = desk.labels.place(choices) or desk.labels.place(choices, strict=False)
    if found:
        return [found]
    anchor = wall.point(run.from_mm + length / 2, 0.8 * desk.scale)
    return desk.labels.lead(choices[0], anchor)


def shell_names(desk: Desk, spaces: Sequence[tuple[str, str, Polygon]]) -> list[Item]:
    """Set names of openings, columns and things on walls, and mark the entrance with an arrow."""
    for _, _, space in spaces:
        _block_ring(desk, space)
    for given in desk.shop.doors:
        swing = door_swing(desk.shell.wall(given.wall), given)
        for leaf in polygons(swing) if swing is not None else ():
            _block_ring(desk, leaf)
    items: list[Item] = _entrance(desk)
    for given in desk.shop.doors:
        wall = desk.shell.wall(given.wall)
        middle = given.offset + given.width / 2
        words = f"{given.id} {desk.length(given.width)}"
        items += _beside(desk, wall, middle, words)
    shapes = {tag: shape for tag, _, shape in spaces}
    for window in desk.shop.windows:
        items += _beside(
            desk, desk.shell.wall(window.wall), window.offset + window.width / 2, window.id
        )
    for thing in desk.shop.obstructions:
        wall = desk.shell.wall(thing.wall)
        words = thing_name(thing.kind, thing.id)
        centre = thing.offset + thing.width / 2
        space = shapes.get(thing.id)
        if space is not None:
            at = (space.centroid.x, space.centroid.y)
            floor = desk.shell.rooms[wall.room]
            found = desk.labels.place(_around(Text(at, words), desk.scale), floor)
            if found:
                items.append(found)
                continue
        items += _beside(desk, wall, centre, words)
    for name, shape in desk.shell.columns.items():
        at = (shape.centroid.x, shape.centroid.y)
        near = math.sqrt(shape.area) / 2 / desk.scale + 2.5
        items += desk.labels.lead(Text(at, name), at, near)
    return items


def _block_ring(desk: Desk, shape: Polygon) -> None:
    corners = [(x, y) for x, y, *_ in shape.exterior.coords]
    for first, second in itertools.pairwise(corners):
        desk.labels.block_line(first, second, 0.2 * desk.scale)


def _entrance(desk: Desk) -> list[Item]:
    found = entrance(desk.shop, desk.shell)
    if found is None:
        return []
    given, wall = found
    middle, scale = given.offset + given.width / 2, desk.scale
    tail, head = wall.point(middle, 3.0 * scale), wall.point(middle, 10.0 * scale)
    items = planshell.arrow(tail, head, 2.4 * scale, style.FRONT)
    desk.labels.block(wall.rectangle(middle - scale, middle + scale, 3.0 * scale, 10.0 * scale))
    angle, _ = upright(wall.angle_deg)
    choices = [
        Text(wall.point(middle + shift * scale, out * scale), "ENTRANCE", angle=turn, bold=True)
        for turn in (angle, upright(wall.angle_deg + 90)[0])
        for out in (12.5, 14.0, 18.0, 22.0, 26.0, 30.0)
        for shift in (0.0, 4.0, -4.0)
    ]
    text = desk.labels.place(choices) or desk.labels.place(choices, strict=False)
    return [*items, text] if text else items


def thing_name(kind: str, name: str) -> str:
    """Name a thing on a wall by its kind and its id, without saying a word twice."""
    return name if kind == "other" or kind in name.lower() else f"{kind} {name}"


def _beside(
    desk: Desk, wall: WallLine, offset: float, words: str, leader: bool = True
) -> list[Item]:
    """Set a name near a place on a wall: inside the room, else behind the wall."""
    angle, _ = upright(wall.angle_deg)
    shifts = (0.0, 5.0, -5.0, 10.0, -10.0)

    def choices(outs: Sequence[float]) -> list[Text]:
        return [
            Text(wall.point(offset + shift * desk.scale, out * desk.scale), words, angle=turn)
            for turn in (angle, upright(wall.angle_deg + 90)[0])
            for out in outs
            for shift in shifts
        ]

    floor = desk.shell.rooms[wall.room]
    near = desk.labels.place(choices((3.0, 5.0)), floor)
    if near:
        return [near]
    behind = desk.labels.place(choices((-planshell.WALL_PRINT - 2.1,))[: len(shifts)])
    anchor = wall.point(offset)
    far_ones = choices((8.0, 12.0, 16.0, 20.0))
    if leader:
        far_ones = [
            text
            for text in far_ones
            if not desk.labels.crossed(anchor, edge(text, anchor, desk.scale))
        ]
    found = behind or desk.labels.place(far_ones, floor)
    if found:
        far = leader and found is not behind
        return [Line(anchor, edge(found, anchor, desk.scale), LEADER), found] if far else [found]
    return desk.labels.lead(Text(wall.point(offset, 2.0 * desk.scale), words), anchor)


def _around(text: Text, scale: float) -> Iterator[Text]:
    x, y = text.at
    for dx, dy in ((0, 0), (0, 3), (0, -3), (0, 6), (0, -6), (5, 0), (-5, 0), (9, 4), (-9, -4)):
        for turn in (0.0, 90.0):
            at = (x + dx * scale, y + dy * scale)
            yield replace(text, at=at, angle=turn)


def wall_dimensions(desk: Desk) -> list[Item]:
    """Draw running dimensions outside every wall, from its left corner, and its length."""
    items: list[Item] = []
    rooms = unary_union(list(desk.shell.rooms.values()))
    for wall in desk.shell.walls:
        items += _one_wall(desk, wall, rooms)
    return items


def _one_wall(desk: Desk, wall: WallLine, rooms: BaseGeometry) -> list[Item]:
    scale = desk.scale
    thick = planshell.WALL_PRINT
    ruler = Ruler(lambda along, away: wall.point(along, -away), scale, desk.shop.units)
    # Where another room lies behind the wall its own drawing fills the place.
    strip = wall.rectangle(0.0, wall.length, -(thick + 1.0) * scale, -20.0 * scale)
    if strip.intersection(rooms).area > 0.02 * strip.area:
        inner = Ruler(lambda along, away: wall.point(along, away), scale, desk.shop.units)
        return _name(desk, wall, inner)
    marks = wall_marks(desk, wall)
    start, end = (_hollow(wall, rooms, scale, at_end) for at_end in (False, True))
    items: list[Item] = []
    if marks:
        measured = marks if end else [*marks, wall.length]
        ends = (
            2.2 * scale if start else -math.inf,
            wall.length - 2.2 * scale if end else math.inf,
        )
        items += running(ruler, measured, desk.labels, _BASE, ends, nought=not start)
    words = f"{wall.id}: {desk.length(wall.length)}"
    away = reach(ruler, [*marks, wall.length], _BASE) if marks else thick + 4.0
    drawn = overall(ruler, wall.length, words, desk.labels, away)
    return items + (drawn or _name(desk, wall, ruler))


def _name(desk: Desk, wall: WallLine, ruler: Ruler) -> list[Item]:
    """Write a wall's name, and its length if there is room, along it or not at all."""
    angle, _ = upright(wall.angle_deg)
    for words in (f"{wall.id}: {desk.length(wall.length)}", wall.id):
        if lettering.width(words, lettering.SMALL) * desk.scale > wall.length:
            continue
        choices = [
            Text(ruler.at(wall.length * part, away), words, angle=angle, bold=True)
            for away in (4.0, 6.5, 9.0)
            for part in (0.5, 0.3, 0.7)
        ]
        found = desk.labels.place(choices)
        if found:
            return [found]
    return []


def _hollow(wall: WallLine, rooms: BaseGeometry, scale: float, at_end: bool) -> bool:
    """Say whether another wall comes towards one outside an end of this wall."""
    offset = wall.length + 2.5 * scale if at_end else -2.5 * scale
    return bool(rooms.contains(Point(wall.point(offset, -4.0 * scale))))


def wall_marks(desk: Desk, wall: WallLine) -> list[float]:
    """List the offsets measured along a wall: fixtures, runs, openings and things on it, mm."""
    marks: list[float] = []
    for placement in desk.layout.placements:
        if placement.wall == wall.id and placement.offset_mm is not None:
            marks += [placement.offset_mm, placement.offset_mm + desk.fixture(placement).width]
    for run in desk.layout.runs:
        if run.wall == wall.id:
            marks += [run.from_mm, run.to_mm]
    for thing in things_on(desk.shop, wall.id):
        marks += [thing.left, thing.right]
    return sorted(marks)


def approach_names(desk: Desk, parts: Sequence[planshell.ApproachPart]) -> list[Item]:
    """Name ramps, landings and steps shortly; the table beside the plan says the rest."""
    items: list[Item] = []
    for name, _, shape, _ in parts:
        at = (shape.centroid.x, shape.centroid.y)
        # Dimensions of the wall may lie in the middle; names go further from it then.
        west, south, east, north = shape.bounds
        middle = Text(at, name, halo=True)
        choices = [middle]
        choices += [
            Text((west + across * (east - west), south + up * (north - south)), name, halo=True)
            for across, up in itertools.product((0.5, 0.25, 0.75), (0.25, 0.75, 0.12, 0.88))
        ]
        choices += _around(middle, desk.scale)
        found = desk.labels.place(choices, shape, strict=False)
        items += [found] if found else desk.labels.lead(Text(at, name), at)
    return items


def overhead_name(desk: Desk, over: Overhead) -> str:
    """Name what hangs over the floor, with the height of its lower edge."""
    return f"{over.id} at {desk.length(over.bottom)}"


def floor_names(desk: Desk) -> list[Item]:
    """Name zones, rooms and what hangs over them, and mark which way is north."""
    items: list[Item] = []
    names = [(f"{zone.kind} zone {zone.id}", Polygon(zone.corners)) for zone in desk.shop.zones]
    if len(desk.shell.rooms) > 1:
        names += [(f"room {name}", shape) for name, shape in desk.shell.rooms.items()]
    overheads = desk.shop.overheads
    names += [(overhead_name(desk, over), Polygon(over.corners)) for over in overheads]
    for words, shape in names:
        at = shape.representative_point()
        choices = list(_around(Text((at.x, at.y), words, lettering.NORMAL), desk.scale))
        found = desk.labels.place(choices, shape) or desk.labels.place(choices)
        items += [found] if found else desk.labels.lead(choices[0], (at.x, at.y))
    return items + _north(desk)


def _north(desk: Desk) -> list[Item]:
    """Draw an arrow with its letter where neither crosses any lettering, or none."""
    west, _south, east, north = unary_union(list(desk.shell.rooms.values())).bounds
    scale, letter = desk.scale, Text((0.0, 0.0), "N", lettering.NORMAL, bold=True)
    for up in (14.0, 20.0, 26.0):
        y = north + up * scale
        for x in [side for d in (5.0, 10.0, 16.0) for side in (east + d * scale, west - d * scale)]:
            tail, head = (x, y - 10.0 * scale), (x, y - 2.4 * scale)
            ground = box(x - 0.9 * scale, tail[1], x + 0.9 * scale, head[1])
            found = desk.labels.clear(ground) and desk.labels.place([replace(letter, at=(x, y))])
            if found:
                desk.labels.block(ground)
                return [*planshell.arrow(tail, head, 2.4 * scale, style.FRONT), found]
    return []


def finding_marks(desk: Desk, findings: Sequence[Finding]) -> tuple[list[Item], tuple[Table, ...]]:
    """Mark findings by number where they are, and list them all.

    Returns
    -------
    Primitives of the marks, and the list as a table if there is anything to list.
    """
    items: list[Item] = []
    rows = []
    for number, finding in enumerate(findings, start=1):
        said = finding.subject.lower() in finding.message.lower()
        words = finding.message if said else f"{finding.subject}: {finding.message}"
        rows.append((str(number), finding.severity, words))
        place = finding_place(desk, finding)
        if place is not None:
            items.append(finding_mark(desk, number, finding, place))
    if not rows:
        return items, ()
    return items, (Table(LISTED, ("No.", "", ""), tuple(rows)),)


def finding_place(desk: Desk, finding: Finding) -> Place | None:
    """Give where a finding is on the plan, or none."""
    if finding.at_mm is not None:
        return finding.at_mm
    tag = next((p for p in desk.layout.placements if p.id == finding.subject), None)
    if tag is None:
        return None
    fixture = desk.fixture(tag)
    return place_point(tag, fixture.width / 2, fixture.depth / 2)


def finding_mark(desk: Desk, number: int, finding: Finding, place: Place) -> Group:
    """Draw the number of a finding in a frame, at its place or beside it with a leader."""
    text = Text(place, str(number), bold=True, colour=style.RUST)
    found = desk.labels.place(_around(text, desk.scale * 0.8), strict=False, pad=0.9)
    items: list[Item] = []
    if found is None:
        led = desk.labels.lead(text, place, pad=0.9)
        found = next(item for item in led if isinstance(item, Text))
        items += [item for item in led if isinstance(item, Line)]
    elif math.dist(found.at, place) > 1.0:
        items.append(Line(place, found.at, style.FINDING))
    frame = Shape(found.corners(desk.scale, 0.7), style.FINDING, Fill("#ffffff"))
    return Group(f"finding-{number}", f"{number}: {finding.message}", (*items, frame, found))
