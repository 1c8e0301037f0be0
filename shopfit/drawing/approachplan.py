"""Draws the way in as told from above: wall and door, landings, runs, handrails, dimensions."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import accumulate, pairwise

from shapely import Polygon

from shopfit.drawing import style
from shopfit.drawing.approachtold import Told
from shopfit.drawing.desk import Desk
from shopfit.drawing.dimension import Ruler, running
from shopfit.drawing.labels import Labels
from shopfit.drawing.rampplan import (
    RAIL,
    UP,
    Turned,
    across,
    building,
    inside,
    marks,
    middle_of,
    part_drawn,
    way_up,
)
from shopfit.drawing.scene import Group, Item, Layer, Line, Place, Scene, Shape, Table, Text
from shopfit.geometry.openings import leaves_from
from shopfit.geometry.wayin import treads
from shopfit.model.rampplan import Part


def plan_of_approach(told: Told, desk: Desk, scale: float) -> Scene:
    """Draw the way in from above, the wall of the door at the top.

    Parameters
    ----------
    told, desk
        What is drawn.
    scale
        How many times smaller it prints.
    """
    labels, turned = Labels(scale), Turned()
    layers = (
        Layer("parts", tuple(_parts(told, turned))),
        Layer("building", tuple(_wall(told, turned, scale))),
        Layer("handrails", tuple(_rails(told, turned, labels, scale))),
        Layer("ways", tuple(_arrows(told, turned, scale))),
        Layer("names", tuple(_names(told, desk, turned, labels))),
        Layer("dimensions", tuple(_dimensions(told, desk, labels, scale))),
    )
    about = f"Plan of the way in of {desk.shop.name}, the wall of the door at the top."
    key = (
        ("up", "the wall of the door, seen from outside"),
        ("thick rust lines", "handrails"),
        ("arrows", UP),
        ("+", "height above the ground at the foot"),
    )
    return Scene("Way in", about, scale, layers, (Table("Key to the way in", (), key),))


def _parts(told: Told, turned: Turned) -> Iterator[Item]:
    for part in told.way:
        yield part_drawn(part, turned)
    for part in told.parts:
        if part.kind == "steps" and told.approach.steps is not None:
            steps, nosings = told.approach.steps, list[Item]()
            for along in accumulate(treads(steps), initial=steps.level or 0.0):
                nosings.append(Line(*across(part, turned, along), style.THIN))
            yield Group(part.id, "steps", (part_drawn(part, turned), *nosings))


def _wall(told: Told, turned: Turned, scale: float) -> Iterator[Item]:
    if told.door is None:
        half = max((part.width_mm for part in told.parts), default=1000.0) / 2
        yield Line((-half, 0.0), (half, 0.0), style.CUT)
        return
    half, margin = told.door.width / 2, 3 * scale  # the wall is drawn so far beyond what is told
    places = [x for part in told.parts for x, _ in part.whole]
    west = max(min([-half, *places]), min(told.wall[0] + margin, -half))
    east = min(max([half, *places]), max(told.wall[1] - margin, half))
    yield from building(told.door, Turned(outline=((west, 0.0), (east, 0.0))), scale)


def _rails(told: Told, turned: Turned, labels: Labels, scale: float) -> Iterator[Item]:
    """Draw handrails along the clear width, with their level ends where these are told."""
    rail = told.approach.handrail
    beyond = rail.beyond_ramp if rail is not None and rail.beyond_ramp is not None else 0.0
    for part in told.parts:
        ramp = told.ramp(part)
        railed = ramp is not None and ramp.handrails
        steps = told.approach.steps
        if part.kind == "steps" and steps is not None and steps.handrails:
            railed = True
        if not railed:
            continue
        up, down = _beyond(told, part, beyond)
        uppers, lowers = (across(part, turned, at) for at in (-up, part.length_mm + down))
        for points in zip(uppers, lowers, strict=True):
            labels.block_line(*points, 0.5 * scale)
            yield Group(f"handrail {part.id}", "handrail", (Shape(points, RAIL, closed=False),))


def _beyond(told: Told, part: Part, beyond: float) -> tuple[float, float]:
    """Give how far the handrails of a run run on above and below it; not where the ramp turns."""
    if part.kind != "run":
        return 0.0, 0.0
    index = told.way.index(part)
    above, below = told.way[index - 1], told.way[index + 1]
    return (0.0 if above.kind == "turn" else beyond), (0.0 if below.kind == "turn" else beyond)


def _arrows(told: Told, turned: Turned, scale: float) -> Iterator[Item]:
    for part in told.parts:
        if part.kind in ("run", "steps"):
            yield from way_up(part, turned, scale)


def _names(told: Told, desk: Desk, turned: Turned, labels: Labels) -> Iterator[Item]:
    """Name every part inside it; those with no room get a leader from beside the ramp."""
    left_over: list[tuple[str, Place]] = []
    _keep_off_door(told, labels)
    for part in told.parts:
        words, at = _words(told, desk, part), middle_of(part, turned)
        # Further from the door where its leaf or its swing is in the middle.
        out = max(y for _, y in part.whole) - min(y for _, y in part.whole)
        lower = [(at[0], at[1] - share * out) for share in (0.0, 0.2, 0.3, 0.38)]
        tried = (inside(words, place, part, turned, labels) for place in lower)
        found = next((each for each in tried if each), [])
        yield from found
        if not found:
            left_over.append((" ".join(words), at))
    for part in told.parts:
        labels.block(Polygon(part.whole))
    for said, at in left_over:
        yield from labels.lead(Text(at, said, halo=True), at)


def _keep_off_door(told: Told, labels: Labels) -> None:
    """Keep names off the leaves of a door that opens outward, and off their swing."""
    door = told.door
    if door is None or door.swing != "out":
        return
    turns = [math.radians(10.0 * k) for k in range(10)]
    for hinge, edge in leaves_from(door, -door.width / 2):
        leaf = edge - hinge
        arc = [(hinge + leaf * math.cos(t), -abs(leaf) * math.sin(t)) for t in turns]
        for start, end in pairwise([*arc, (hinge, 0.0)]):
            labels.block_line(start, end, 0.4 * labels.scale)


def _words(told: Told, desk: Desk, part: Part) -> list[str]:
    ramp = told.ramp(part)
    if ramp is not None:
        fall = f"{desk.length(ramp.rise)} in {desk.length(ramp.run)}"
        return [f"1:{ramp.run / ramp.rise:.3g} {ramp.id}", fall]
    if part.kind == "steps" and told.approach.steps is not None:
        return [f"{told.approach.steps.count} up"]
    return [f"+{desk.length(part.top_mm)}" if part.top_mm > 0 else "+0", "landing"]


def _dimensions(told: Told, desk: Desk, labels: Labels, scale: float) -> Iterator[Item]:
    """Draw running dimensions below and beside it, from its left end and from the wall."""
    units = desk.shop.units
    if told.parts:
        places = [place for part in told.parts for place in part.whole]
        west, east = min(x for x, _ in places), max(x for x, _ in places)
        south = min(y for _, y in places)
        below = Ruler(lambda along, away: (west + along, south - away), scale, units)
        beside = Ruler(lambda along, away: (east + away, -along), scale, units)
        yield from running(below, marks([x - west for x, _ in places]), labels, 4.0)
        yield from running(beside, marks([-y for _, y in places]), labels, 4.0)
        if told.door is not None:
            half = told.door.width / 2
            above = Ruler(lambda along, away: (west + along, away), scale, units)
            clear = (told.door.widest_leaf / scale if told.door.swing == "in" else 0.0) + 4.0
            jambs = [x for x in (-half - west, half - west) if x > 0]
            yield from running(above, jambs, labels, clear)
