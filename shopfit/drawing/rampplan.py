"""Draws a ramp from above: ground, wall and door, runs, landings, handrails and dimensions."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from shapely import Polygon

from shopfit.drawing import lettering, style
from shopfit.drawing.dimension import Ruler, running, upright
from shopfit.drawing.labels import Labels
from shopfit.drawing.planshell import arrow
from shopfit.drawing.scene import (
    Arc,
    Fill,
    Group,
    Item,
    Layer,
    Line,
    Pen,
    Place,
    Scene,
    Shape,
    Strokes,
    Table,
    Text,
)
from shopfit.geometry.openings import leaves_from
from shopfit.model.rampplan import Arrangement, Part, Rail
from shopfit.model.rampsite import RampTask, WayIn
from shopfit.units import INCH_MM, TOLERANCE_MM, format_length

GROUND = Pen(0.2, style.GREY, (4.0, 1.2, 0.8, 1.2))
KERB = Pen(0.15, style.INK)
RAIL = Pen(0.45, style.RUST)
SLOPED = Fill("#faf7f1", "none")
LEVEL = Fill("#eef4fa")
FOOT = Fill("#f4f4f2", "rising", 2.6, Pen(0.08, "#b4bac2"))
UP = "point up slopes and steps"
_KINDS = {"run": SLOPED, "foot": FOOT, "steps foot": FOOT, "steps": Fill("#ffffff")}


@dataclass(frozen=True)
class Turned:
    """The plan turned so that the wall of the door is at the top.

    Parameters
    ----------
    angle, about
        Turned by so many degrees anticlockwise about a place of the plan.
    door
        Middle of the door on the outside of its wall, in the plan, mm.
    outline, keep_free
        Of the ground, in the plan, mm; empty where it is not known.
    """

    angle: float = 0.0
    about: Place = (0.0, 0.0)
    door: Place = (0.0, 0.0)
    outline: Sequence[Place] = ()
    keep_free: Sequence[Sequence[Place]] = ()

    @classmethod
    def of(cls, task: RampTask) -> Turned:
        """Turn the ground of a question of a ramp."""
        door, ground = task.door, task.ground
        if door.middle is not None:
            angle = (270.0 - door.faces) % 360.0
            return cls(angle, door.middle, door.middle, ground.corners, ground.keep_free)
        along, away = ground.along or 0.0, ground.away or 0.0
        left = door.offset if door.offset is not None else (along - door.width) / 2
        outline = ((0.0, 0.0), (along, 0.0), (along, -away), (0.0, -away))
        place = (left + door.width / 2, 0.0)
        return cls(door=place, outline=outline, keep_free=ground.keep_free)

    @property
    def ground(self) -> tuple[Place, ...]:
        """The ground on the drawing, mm."""
        return self.all(self.outline)

    def __call__(self, place: Place) -> Place:
        """Give a place of the plan on the drawing, mm."""
        turn = math.radians(self.angle)
        dx, dy = place[0] - self.about[0], place[1] - self.about[1]
        return (
            self.about[0] + dx * math.cos(turn) - dy * math.sin(turn),
            self.about[1] + dx * math.sin(turn) + dy * math.cos(turn),
        )

    def all(self, places: Sequence[Place]) -> tuple[Place, ...]:
        """Give places of the plan on the drawing, mm."""
        return tuple(self(place) for place in places)


def plan_of_ramp(one: Arrangement, task: RampTask, scale: float) -> Scene:
    """Draw an arrangement from above, the wall of the door at the top.

    Parameters
    ----------
    one, task
        The arrangement, and what was asked.
    scale
        How many times smaller it prints.
    """
    labels, turned = Labels(scale), Turned.of(task)
    parts = [part for part in one.parts if part.kind != "steps"]
    steps = [part for part in one.parts if part.kind == "steps"]
    shapes = [part_drawn(part, turned) for part in parts] + [
        _steps(part, one, turned) for part in steps
    ]
    rails = [_rail(rail, turned, scale) for rail in one.rails]
    arrows = [
        item
        for part in one.parts
        if part.kind in ("run", "steps")
        for item in way_up(part, turned, scale)
    ]
    for rail in one.rails:
        for start, end in pairwise(turned.all([point[:2] for point in rail.points])):
            labels.block_line(start, end, 0.5 * scale)
    names = _names(one, task, turned, labels)
    layers = (
        Layer("ground", tuple(_ground(turned))),
        Layer("parts", (*shapes, *_door_floor(one, turned))),
        Layer("building", tuple(building(task.door, turned, scale))),
        Layer("handrails", tuple(rails)),
        Layer("ways", tuple(arrows)),
        Layer("names", tuple(names)),
        Layer("dimensions", tuple(_dimensions(one, task, turned, labels, scale))),
    )
    about = f"Plan of {one.id}, {one.form}: {one.way}, slope 1 to {one.ratio:g}."
    title = f"{one.id}: {one.form} ramp, {one.way}"
    return Scene(title, about, scale, layers, (_key(one, task, turned),))


def _key(one: Arrangement, task: RampTask, turned: Turned) -> Table:
    beyond = one.rails[0].extension_mm / 2 if one.handrails else 0.0
    ends = f"; level ends {format_length(beyond, task.units)} beyond runs" if beyond else ""
    rows = [
        ("thick rust lines", f"handrails{ends}"),
        ("dashed blue", "floor that the door wants outside"),
        ("arrows", UP),
        ("dash and dot", "edge of the ground given"),
        ("+", "height above the ground at the foot"),
    ]
    if turned.angle > 0.01:
        rows.append(("turned", f"the wall is at the top; turned by {turned.angle:g}°"))
    return Table("Key to the plan", (), tuple(rows))


def _ground(turned: Turned) -> Iterator[Item]:
    yield Shape(turned.ground, GROUND, None)
    for kept in map(turned.all, turned.keep_free):
        yield Shape(kept, GROUND, Fill(None, "cross", 2.0, Pen(0.08, "#b4bac2")))


def _door_floor(one: Arrangement, turned: Turned) -> Iterator[Item]:
    if one.door_floor:
        yield Shape(turned.all(one.door_floor), style.CLEAR, None)


def part_drawn(part: Part, turned: Turned) -> Group:
    """Draw a run or a landing from above."""
    whole, clear = turned.all(part.whole), turned.all(part.clear)
    fill = _KINDS.get(part.kind, LEVEL)
    title = f"{part.id}, {part.kind}"
    return Group(part.id, title, (Shape(whole, KERB, fill), Shape(clear, style.FAINT, None)))


def _steps(part: Part, one: Arrangement, turned: Turned) -> Group:
    items: list[Item] = [Shape(turned.all(part.whole), KERB, _KINDS["steps"])]
    if one.steps is not None:
        nosings = []
        for number in range(one.steps.count):
            back = number * one.steps.tread_mm
            nosings.append(tuple(across(part, turned, part.length_mm - back)))
        items.append(Strokes(tuple((line[0], line[1]) for line in nosings), style.THIN))
    return Group(part.id, "steps", tuple(items))


def _axes(part: Part, turned: Turned) -> tuple[Place, Place]:
    """Give the way down and the way to its left on the drawing, each of length 1."""
    turn = math.radians(part.heading_deg + turned.angle)
    down = (round(math.cos(turn), 12), round(math.sin(turn), 12))
    return down, (-down[1], down[0])


def middle_of(part: Part, turned: Turned) -> Place:
    """Give the middle of a part on the drawing, mm."""
    corners = turned.all(part.clear)
    return (sum(x for x, _ in corners) / 4, sum(y for _, y in corners) / 4)


def across(part: Part, turned: Turned, along: float) -> tuple[Place, Place]:
    """Give the line across a part at a distance from its upper end, mm."""
    (dx, dy), (lx, ly) = _axes(part, turned)
    x, y = middle_of(part, turned)
    far, half = along - part.length_mm / 2, part.width_mm / 2
    x, y = x + dx * far, y + dy * far
    return (x + lx * half, y + ly * half), (x - lx * half, y - ly * half)


def way_up(part: Part, turned: Turned, scale: float) -> list[Item]:
    """Draw an arrow up the slope or the steps, as on the plan of the shop."""
    (dx, dy), (lx, ly) = _axes(part, turned)
    x, y = middle_of(part, turned)
    half = part.length_mm / 2 - min(1.5 * scale, part.length_mm / 6)
    aside = -part.width_mm / 2 + min(1.6 * scale, part.width_mm / 4)
    x, y = x + lx * aside, y + ly * aside
    return arrow(
        (x + dx * half, y + dy * half), (x - dx * half, y - dy * half), 1.6 * scale, style.THIN
    )


def _rail(rail: Rail, turned: Turned, scale: float) -> Group:
    points = turned.all([point[:2] for point in rail.points])
    ends = [Arc(point, 0.5 * scale, pen=RAIL) for point in (points[0], points[-1])]
    return Group(rail.id, rail.id, (Shape(points, RAIL, None, closed=False), *ends))


def building(door: WayIn, turned: Turned, scale: float) -> Iterator[Item]:
    """Draw the wall with the door, seen from above, at the top of the drawing."""
    x, y = turned(turned.door)
    half, thick = door.width / 2, 2.0 * scale
    places = [*turned.ground, (x - half, y), (x + half, y)]
    at_wall = [px for px, py in places if abs(py - y) < 1.0]
    west, east = min(at_wall) - 3 * scale, max(at_wall) + 3 * scale
    for left, right in ((west, x - half), (x + half, east)):
        corners = ((left, y), (right, y), (right, y + thick), (left, y + thick))
        yield Shape(corners, style.OUTLINE, style.WALL)
    if door.swing in ("in", "out"):
        sign = 1.0 if door.swing == "in" else -1.0
        foot = y + thick if door.swing == "in" else y
        for hinge, edge in leaves_from(door, x - half):
            leaf, start = abs(edge - hinge), 0.0 if edge > hinge else 180.0
            sweep = 90.0 * sign * (1.0 if edge > hinge else -1.0)
            yield Line((hinge, foot), (hinge, foot + sign * leaf), style.OUTLINE)
            yield Arc((hinge, foot), leaf, start, sweep, style.FINE)
    else:
        yield Line((x - half, y), (x + half, y), style.HIDDEN)


def _names(one: Arrangement, task: RampTask, turned: Turned, labels: Labels) -> list[Item]:
    """Name every part inside it; those with no room get a leader from beside the ramp."""
    items: list[Item] = []
    left_over: list[tuple[str, Place]] = []
    for part in one.parts:
        words, at = _words(part, one, task), middle_of(part, turned)
        found = inside(words, at, part, turned, labels) if words else []
        items += found
        if words and not found:
            left_over.append((" ".join(words), at))
    for part in one.parts:
        labels.block(Polygon(turned.all(part.whole)))
    for said, at in left_over:
        items += labels.lead(Text(at, said, halo=True), at)
    return items


def _words(part: Part, one: Arrangement, task: RampTask) -> list[str]:
    say = task.units
    if part.kind == "run":
        fall = format_length(part.top_mm - part.bottom_mm, say)
        return [f"1:{one.ratio:g} {part.id}", f"{fall} in {format_length(part.length_mm, say)}"]
    if part.kind == "steps":
        return [f"{one.steps.count if one.steps is not None else 0} up"]
    if part.kind == "steps foot":
        return []
    return [f"+{format_length(part.top_mm, say)}" if part.top_mm else "+0", "landing"]


def inside(words: list[str], at: Place, part: Part, turned: Turned, labels: Labels) -> list[Item]:
    """Set words in the middle of a part: in lines or in one, the first alone, its slope alone."""
    down, _ = _axes(part, turned)
    along, _ = upright(math.degrees(math.atan2(down[1], down[0])))
    angles = (along, 0.0) if part.kind in ("run", "steps") else (0.0, 90.0)
    room = Polygon(turned.all(part.whole))
    # A slope says something by itself; half a length would be another length.
    slope = words[0].split()[:1] if words[0].startswith("1:") else []
    for lines in filter(None, (words, [" ".join(words)], words[:1], slope)):
        for angle in dict.fromkeys(angles):
            texts = _stacked(lines, at, angle, labels.scale)
            free = all(labels.free(text) for text in texts)
            if free and all(room.contains(text.box(labels.scale)) for text in texts):
                return [labels.take(text) for text in texts]
    return []


def _stacked(lines: list[str], at: Place, angle: float, scale: float) -> list[Text]:
    step, turn = 3.2 * scale, math.radians(angle)
    nx, ny = -math.sin(turn), math.cos(turn)
    texts = []
    for number, line in enumerate(lines):
        up = ((len(lines) - 1) / 2 - number) * step
        place = (at[0] + nx * up, at[1] + ny * up)
        texts.append(Text(place, line, lettering.SMALL, angle=angle, bold=number == 0))
    return texts


def _dimensions(
    one: Arrangement, task: RampTask, turned: Turned, labels: Labels, scale: float
) -> Iterator[Item]:
    """Draw running dimensions below and beside the ramp, from its left end and from the wall."""
    ramp = [part for part in one.parts if not part.kind.startswith("steps")]
    corners = [turned.all(part.clear) for part in ramp]
    whole = [place for part in ramp for place in turned.all(part.whole)]
    west, east = min(x for x, _ in whole), max(x for x, _ in whole)
    south = min(y for _, y in [*whole, *turned.ground])
    north = turned(turned.door)[1]
    xs = marks([x - west for shape in corners for x, _ in shape] + [east - west])
    ys = marks([north - y for shape in corners for _, y in shape])
    side = max([x for x, _ in turned.ground] + [east])
    below = Ruler(lambda along, away: (west + along, south - away), scale, task.units)
    beside = Ruler(lambda along, away: (side + away, north - along), scale, task.units)
    yield from running(below, xs, labels, 4.0)
    yield from running(beside, ys, labels, 4.0)
    door = turned(turned.door)[0] - west
    left, right = door - task.door.width / 2, door + task.door.width / 2
    above = Ruler(lambda along, away: (west + along, north + away), scale, task.units)
    clear = (task.door.widest_leaf / scale if task.door.swing == "in" else 0.0) + 4.0
    yield from running(above, [max(left, 0.0), max(right, 0.0)], labels, clear)


def marks(lengths: Sequence[float]) -> list[float]:
    """Give distances in rising order, without those nearer than a printed sixteenth to others."""
    found: list[float] = []
    for length in sorted(lengths):
        if length > INCH_MM / 16 and (not found or length - found[-1] > INCH_MM / 16):
            found.append(length)
    return found


def turned_bounds(one: Arrangement, task: RampTask) -> tuple[float, float]:
    """Give width and height of a ramp and its ground on the drawing, mm."""
    turned = Turned.of(task)
    places = [*turned.ground, *(p for part in one.parts for p in turned.all(part.whole))]
    xs, ys = [x for x, _ in places], [y for _, y in places]
    return max(xs) - min(xs) + TOLERANCE_MM, max(ys) - min(ys) + TOLERANCE_MM
