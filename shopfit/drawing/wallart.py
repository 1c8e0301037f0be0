"""What is on a wall: outline, studs, openings, fixtures before it, runs, and their dimensions."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import replace

from shapely import Polygon, box
from shapely.ops import unary_union

from shopfit.drawing import style
from shopfit.drawing.desk import Desk, fixture_title
from shopfit.drawing.dimension import Ruler, overall, reach, running
from shopfit.drawing.faceart import (
    FacePlace,
    Key,
    blocks_of,
    draw_face,
    rectangle,
    support_heights,
)
from shopfit.drawing.planlabels import thing_name
from shopfit.drawing.scene import Group, Item, Line, Place, Shape, Strokes, Text
from shopfit.geometry.openings import things_on
from shopfit.geometry.shell import WallLine
from shopfit.geometry.wallface import FaceShape, face_start, faces
from shopfit.model.fixtures import Fixture
from shopfit.model.layout import Placement, Run

Window = tuple[float, float]
_BASE = 5.4
_MOST_HEIGHTS = 24
_NAMES = 4.0  # strip above runs for their names, printed mm
_SMALL = 8.0  # things behind fixtures up to this size are kept clear of lettering, printed mm


def face_shapes(desk: Desk) -> dict[tuple[str, str], FaceShape]:
    """Give every face of the layout by its host's tag and its side."""
    found = faces(desk.scenario, desk.layout, desk.rulebook.mm("protrusion"))
    return {(face.host, face.side): face for face in found}


def standing(desk: Desk, wall: WallLine, window: Window) -> list[tuple[Placement, float, float]]:
    """List fixtures against a wall in a window, with their left and right ends along it, mm."""
    found = []
    for placement in desk.layout.placements:
        if placement.wall == wall.id and placement.offset_mm is not None:
            left = placement.offset_mm
            right = left + desk.fixture(placement).width
            if left < window[1] - 0.01 and right > window[0] + 0.01:
                found.append((placement, left, right))
    return sorted(found, key=lambda item: item[1])


def spans(desk: Desk, wall: WallLine) -> list[tuple[float, float]]:
    """List the ends of blocks on runs and of fixtures along a wall, mm."""
    found = [(left, right) for _, left, right in standing(desk, wall, (0.0, wall.length))]
    starts = {run.id: run.from_mm for run in desk.layout.runs if run.wall == wall.id}
    found += [
        (starts[block.host] + block.from_mm, starts[block.host] + block.to_mm)
        for block in desk.layout.blocks
        if block.host in starts
    ]
    return found


def block_edges(desk: Desk, wall: WallLine) -> list[float]:
    """List the ends of blocks on a wall's runs, along the wall, mm."""
    starts = {run.id: run.from_mm for run in desk.layout.runs if run.wall == wall.id}
    return [
        starts[block.host] + end
        for block in desk.layout.blocks
        if block.host in starts
        for end in (block.from_mm, block.to_mm)
    ]


def seams(desk: Desk, run: Run) -> list[float]:
    """List where the sheets of a run meet side by side, along the wall, mm."""
    starts = {round(cut.x_mm, 3) for cut in desk.layout.cuts if cut.run == run.id}
    return sorted(run.from_mm + x for x in starts if x > 0.01)


def shell_items(desk: Desk, wall: WallLine, window: Window) -> list[Item]:
    """Draw a wall's outline under its ceiling, and its studs."""
    left, right = window
    inside = [(x, h) for x, h in wall.heights if left < x < right]
    top = [(left, wall.height_at(left)), *inside, (right, wall.height_at(right))]
    corners = ((left, 0.0), (right, 0.0), *reversed(top))
    lines = tuple(((x, 0.0), (x, wall.height_at(x))) for x in _studs(desk, left, right))
    floor = 6.0 * desk.scale
    return [
        Shape(corners, style.OUTLINE, style.BLANK),
        Strokes(lines, style.STUD),
        Line((left - floor / 4, 0.0), (right + floor / 4, 0.0), style.CUT),
    ]


def things(desk: Desk, wall: WallLine, window: Window) -> tuple[list[Item], list[Item]]:
    """Draw openings and things on a wall; give them, and their names to lie over fixtures."""
    items: list[Item] = []
    names: list[Item] = []
    for thing in things_on(desk.shop, wall.id):
        left, right = max(thing.left, window[0]), min(thing.right, window[1])
        if right - left < 1.0:
            continue
        corners = rectangle(left, right, thing.bottom, thing.top)
        drawn: list[Item] = [Shape(corners, style.OUTLINE, style.BLANK)]
        if thing.kind == "door":
            drawn.append(Line((left, 0.0), ((left + right) / 2, thing.top), style.FAINT))
            drawn.append(Line(((left + right) / 2, thing.top), (right, 0.0), style.FAINT))
        elif thing.kind == "window":
            inset = min(40.0, (right - left) / 4, (thing.top - thing.bottom) / 4)
            inner = rectangle(left + inset, right - inset, thing.bottom + inset, thing.top - inset)
            drawn.append(Shape(inner, style.THIN, style.GLASS))
        else:
            drawn.append(Line(corners[0], corners[2], style.FINE))
        hidden = _behind(desk, wall, window, corners)
        names += hidden
        words = thing_name(thing.kind, thing.id)
        at = ((left + right) / 2, (thing.bottom + thing.top) / 2)
        if window[0] <= (thing.left + thing.right) / 2 < window[1]:
            names += _thing_name(desk, words, at, corners)
        if hidden and max(right - left, thing.top - thing.bottom) <= _SMALL * desk.scale:
            # Lettering of goods in front would cover it, and has room beside it.
            desk.labels.block(Polygon(corners))
        sizes = f"{desk.length(thing.bottom)} to {desk.length(thing.top)} above the floor"
        items.append(Group(thing.id, f"{words}, {sizes}", tuple(drawn)))
    return items, names


def _behind(desk: Desk, wall: WallLine, window: Window, corners: Sequence[Place]) -> list[Item]:
    """Draw the part of an outline that fixtures hide."""
    hidden = unary_union(
        [
            # Less a millimetre, so that an edge beside a fixture is not taken for hidden.
            box(left + 1.0, 0.0, right - 1.0, desk.fixture(placement).height - 1.0)
            for placement, left, right in standing(desk, wall, window)
        ]
    )
    edges = Polygon(corners).exterior.intersection(hidden)
    lines = tuple(
        pair
        for part in getattr(edges, "geoms", [edges])
        if part.geom_type == "LineString"
        for pair in itertools.pairwise(part.coords)
    )
    return [Strokes(lines, style.BEHIND)] if lines else []


def _thing_name(desk: Desk, words: str, at: Place, corners: Sequence[Place]) -> list[Item]:
    x, y = at
    step = 4.0 * desk.scale
    choices = [
        Text((x, y + up), words, angle=turn, halo=True)
        for turn in (0.0, 90.0)
        for up in (0.0, step, -step)
    ]
    found = desk.labels.place(choices, Polygon(corners))
    return [found] if found else desk.labels.lead(Text(at, words, halo=True), at, 4.0)


def fixture_tags(desk: Desk, wall: WallLine, window: Window) -> dict[str, list[Item]]:
    """Set the tags of fixtures against a wall, below the floor line."""
    tags: dict[str, list[Item]] = {}
    lines = [end for thing in things_on(desk.shop, wall.id) for end in (thing.left, thing.right)]
    for placement, left, right in standing(desk, wall, window):
        middle = (left + right) / 2
        if not window[0] <= middle < window[1]:
            tags[placement.id] = []
            continue
        ends = max(left, window[0]), min(right, window[1])
        tags[placement.id] = tag_below(desk, placement.id, ends, lines)
    return tags


def tag_below(desk: Desk, words: str, ends: Window, lines: Sequence[float] = ()) -> list[Item]:
    """Set a tag below the floor line between two ends, or elsewhere with a leader.

    Parameters
    ----------
    desk, words
        The layout and the tag.
    ends
        Of the thing, along the floor, mm.
    lines
        Where lines will be drawn downward, which the tag should not lie on, mm.
    """
    left, right = ends
    middle = Text(((left + right) / 2, -2.7 * desk.scale), words, bold=True)
    half = (middle.width / 2 + 0.6) * desk.scale
    choices = [
        replace(middle, at=(left + part * (right - left), middle.at[1]))
        for part in (0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82)
    ]
    clear = [
        text
        for text in choices
        if left + half <= text.at[0] <= right - half
        and all(abs(text.at[0] - line) > half for line in lines)
    ]
    found = desk.labels.place([*clear, middle])
    return [found] if found else desk.labels.lead(middle, (middle.at[0], 0.0))


def fixture_face(
    desk: Desk, fixture: Fixture, face: FaceShape | None, left: float, right: float, window: Window
) -> list[Item]:
    """Draw a side of a fixture: outline and the place of its display."""
    shown = max(left, window[0]), min(right, window[1])
    corners = rectangle(*shown, 0.0, fixture.height)
    items: list[Item] = [Shape(corners, style.OUTLINE, style.FIXTURE)]
    if face is not None and face.kind != "table":
        start = left + face_start(fixture, face.side)
        inner = max(start, window[0]), min(start + face.width, window[1])
        fill = style.GLASS if face.kind == "case" else style.BLANK
        if inner[1] - inner[0] > 1.0:
            items.append(Shape(rectangle(*inner, face.bottom, face.top), style.THIN, fill))
    return items


def fixtures(
    desk: Desk, wall: WallLine, window: Window, tags: dict[str, list[Item]], key: Key
) -> list[Item]:
    """Draw the fixtures against a wall with what their fronts show."""
    items: list[Item] = []
    shapes = face_shapes(desk)
    for placement, left, right in standing(desk, wall, window):
        fixture = desk.fixture(placement)
        face = shapes.get((placement.id, "front"))
        drawn = fixture_face(desk, fixture, face, left, right, window)
        if face is not None:
            place = FacePlace(face, left + face_start(fixture, "front"), window)
            drawn += draw_face(desk, place, blocks_of(desk, placement.id, "front"), key)
        title = fixture_title(desk, placement)
        items.append(Group(placement.id, title, (*drawn, *tags[placement.id])))
    return items


def run_place(desk: Desk, run: Run, window: Window) -> FacePlace:
    """Give a run's face as drawn on its wall."""
    sheet = desk.scenario.catalogue.sheet(run.sheet)
    face = face_shapes(desk)[(run.id, "front")]
    joints = tuple(x for x in seams(desk, run) if window[0] < x < window[1])
    return FacePlace(face, run.from_mm, window, run.first_groove_mm, sheet.groove_pitch, joints)


def runs(desk: Desk, shown: Sequence[Run], window: Window, key: Key) -> list[Item]:
    """Draw runs with grooves, seams and goods."""
    items: list[Item] = []
    for run in shown:
        place = run_place(desk, run, window)
        left, right = max(run.from_mm, window[0]), min(run.to_mm, window[1])
        corners = rectangle(left, right, run.bottom_mm, run.top_mm)
        tag = _run_tag(desk, run, left, right)
        studs = _studs(desk, left, right)
        drawn: list[Item] = [
            Shape(corners, style.OUTLINE, style.RUN_GROUND),
            Strokes(tuple(((x, run.bottom_mm), (x, run.top_mm)) for x in studs), style.STUD),
        ]
        drawn += place.ruled(left, right, run.bottom_mm, run.top_mm)
        drawn += draw_face(desk, place, blocks_of(desk, run.id, "front"), key)
        drawn.append(Shape(corners, style.OUTLINE))
        title = f"{run.id}: slat-wall, {desk.length(run.to_mm - run.from_mm)} long"
        items.append(Group(run.id, title, (*drawn, *tag)))
    return items


def _studs(desk: Desk, left: float, right: float) -> list[float]:
    studs = desk.shop.studs
    count = int((right - studs.first) // studs.spacing) + 1
    places = [studs.first + k * studs.spacing for k in range(max(count, 0))]
    return [x for x in places if left < x < right]


def _run_tag(desk: Desk, run: Run, left: float, right: float) -> list[Item]:
    scale = desk.scale
    choices = [
        Text((x, y), run.id, bold=True, colour=style.RUST, halo=True)
        for y in (run.top_mm + 2.1 * scale, run.top_mm + 5.6 * scale)
        for x in (left + 3.0 * scale, right - 3.0 * scale, (left + right) / 2)
    ]
    found = desk.labels.place(choices)
    return [found] if found else desk.labels.lead(choices[0], (left, run.top_mm))


def dimensions(desk: Desk, wall: WallLine, window: Window, shown: Sequence[Run]) -> list[Item]:
    """Draw offsets above and below a wall and heights on both sides of it."""
    left, right = window
    scale, units, labels = desk.scale, desk.shop.units, desk.labels
    high = max(wall.height_at(left), wall.height_at(right), *(h for _, h in wall.heights))
    if measured_inside(desk, wall, scale):
        high = max(run.top_mm for run in desk.layout.runs if run.wall == wall.id) + _NAMES * scale
    elif right - left < wall.length - 0.01:
        high += _NAMES * scale  # for the names of match lines
    below = Ruler(lambda along, away: (along, -away), scale, units)
    above = Ruler(lambda along, away: (along, high + away), scale, units)
    beside = Ruler(lambda along, away: (left - away, along), scale, units)
    after = Ruler(lambda along, away: (right + away, along), scale, units)
    items: list[Item] = []

    def within(marks: Sequence[float]) -> list[float]:
        return [mark for mark in marks if left - 0.01 <= mark <= right + 0.01]

    floor = [end for _, a, b in standing(desk, wall, window) for end in (a, b)]
    floor += [end for t in things_on(desk.shop, wall.id) for end in (t.left, t.right)]
    low = within([*floor, left, right])
    items += running(below, low, labels, _BASE, nought=left == 0.0, start=left)
    length = Ruler(lambda along, away: (left + along, -away), scale, units)
    words = f"{wall.id}: {desk.length(wall.length)}"
    if right - left < wall.length - 0.01:
        words = f"{desk.length(left)} to {desk.length(right)} of {words}"
    items += overall(length, right - left, words, labels, reach(below, low, _BASE))
    top = [end for run in shown for end in (run.from_mm, run.to_mm, *seams(desk, run))]
    upper = within([*top, *block_edges(desk, wall)])
    if upper:
        items += running(above, upper, labels, _BASE, nought=left == 0.0, start=left)
    items += running(beside, _heights(desk, wall, window, shown), labels, 3.5)
    held = _held(desk, wall, window, shown)
    if held:
        items += running(after, held, labels, 3.5)
    return items


def measured_inside(desk: Desk, wall: WallLine, scale: float) -> bool:
    """Say whether the offsets of runs have room between the runs and the ceiling."""
    tops = [run.top_mm for run in desk.layout.runs if run.wall == wall.id]
    tops += [thing.top for thing in things_on(desk.shop, wall.id)] if tops else []
    if not tops:
        return False
    return (wall.lowest(0.0, wall.length) - max(tops)) / scale >= _NAMES + 26.0


def _heights(desk: Desk, wall: WallLine, window: Window, shown: Sequence[Run]) -> list[float]:
    marks = [wall.height_at(window[0])]
    marks += [height for run in shown for height in (run.bottom_mm, run.top_mm)]
    marks += [desk.fixture(p).height for p, _, _ in standing(desk, wall, window)]
    for thing in things_on(desk.shop, wall.id):
        if thing.left < window[1] and thing.right > window[0]:
            marks += [thing.bottom, thing.top]
    return sorted(set(marks))


def _held(desk: Desk, wall: WallLine, window: Window, shown: Sequence[Run]) -> list[float]:
    """List heights at which goods hang or stand: on runs and, unless too many, in fixtures."""
    hung: set[float] = set()
    for run in shown:
        place = run_place(desk, run, window)
        hung.update(support_heights(desk, place, blocks_of(desk, run.id, "front")))
    stood: set[float] = set()
    shapes = face_shapes(desk)
    for placement, left, _ in standing(desk, wall, window):
        face = shapes.get((placement.id, "front"))
        if face is not None:
            start = left + face_start(desk.fixture(placement), "front")
            place = FacePlace(face, start, window)
            stood.update(support_heights(desk, place, blocks_of(desk, placement.id, "front")))
    both = sorted(hung | stood)
    return both if len(both) <= _MOST_HEIGHTS else sorted(hung)
