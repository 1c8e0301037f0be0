"""Where findings are on a plan, and their numbers set there so that nothing crosses."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from shapely import LineString, Point

from shopfit.drawing import planshell, style
from shopfit.drawing.desk import Desk
from shopfit.drawing.labels import edge
from shopfit.drawing.scene import Arc, Fill, Group, Item, Line, Pen, Place, Shape, Text
from shopfit.geometry.footprint import place_point
from shopfit.geometry.openings import things_on
from shopfit.model.finding import Finding, Severity
from shopfit.model.layout import Block

PAD = 0.8  # from a number to its frame, printed mm
APART = 0.4  # kept round a frame, printed mm
FAR = 90.0  # farthest that a number is set from its place, printed mm
_TAG = re.compile(r"\b[FRB]\d+\b")
_MOST = 6  # places that one finding is marked at
LEADER = Pen(0.13, style.RUST)
LINES: Mapping[Severity, Pen] = {
    "violation": Pen(0.6, style.RUST),
    "barrier to review": Pen(0.5, style.RUST, (2.4, 1.0)),
    "advice": Pen(0.35, style.BLUE),
    "not checked": Pen(0.25, style.GREY, (1.2, 0.8)),
}
MARKS: Mapping[Severity, str] = {
    "violation": "filled frame",
    "barrier to review": "double frame",
    "advice": "plain frame",
    "not checked": "dashed frame",
}


def places(desk: Desk, finding: Finding) -> tuple[Place, ...]:
    """Give where a finding is on the plan, mm: its own place, or that of what it is about.

    Parameters
    ----------
    desk
        The layout on the drawing desk.
    finding
        Which; one about the whole shop has no place.
    """
    if finding.at_mm is not None:
        return (finding.at_mm,)
    if finding.drawn_mm:
        line = finding.drawn_mm[0]
        middle = LineString(line).interpolate(0.5, normalized=True) if len(line) > 1 else None
        return ((middle.x, middle.y),) if middle is not None else (line[0],)
    tagged = [_tagged(desk, tag) for tag in dict.fromkeys(_TAG.findall(finding.subject))]
    found = [place for place in tagged if place is not None]
    if not found:
        found = list(_named(desk, finding))
    if not found and finding.wall is not None:
        found = list(_on_wall(desk, finding.wall))
    return tuple(dict.fromkeys(found))[:_MOST]


def finding_lines(findings: Sequence[Finding]) -> list[Item]:
    """Draw the lines that findings bring: routes, gaps and outlines."""
    items: list[Item] = []
    for number, finding in enumerate(findings, start=1):
        shapes = tuple(
            Shape(
                line[:-1] if _closed(line) else line,
                LINES[finding.severity],
                closed=_closed(line),
            )
            for line in finding.drawn_mm
            if len(line) > 1
        )
        if shapes:
            items.append(Group(f"lines-{number}", f"{number}: {finding.message}", shapes))
    return items


def finding_numbers(desk: Desk, findings: Sequence[Finding]) -> tuple[list[Item], list[Item]]:
    """Set the number of every finding at its places, or beside them with a leader.

    Parameters
    ----------
    desk
        With the places already taken by lettering.
    findings
        In the order of their numbers.

    Returns
    -------
    Leaders, and the numbers in their frames, which lie over all leaders.
    """
    leaders: list[Item] = []
    marks: list[Item] = []
    for number, finding in enumerate(findings, start=1):
        for place in places(desk, finding):
            led, mark = _mark(desk, number, finding, place)
            leaders += led
            marks.append(mark)
    return leaders, marks


def _mark(desk: Desk, number: int, finding: Finding, place: Place) -> tuple[list[Item], Group]:
    colour = "#ffffff" if finding.severity == "violation" else _ink(finding.severity)
    text = Text(place, str(number), bold=True, colour=colour)
    found = _set(desk, text, place)
    title = f"{number}: {finding.message}"
    leader: list[Item] = []
    if not found.box(desk.scale, PAD).covers(Point(place)):
        end = edge(found, place, desk.scale)
        desk.labels.block_line(place, end, 0.2 * desk.scale)
        lines = (Line(place, end, LEADER), Arc(place, 0.45 * desk.scale, pen=LEADER))
        leader.append(Group(f"leader-{number}", title, lines))
    frames = _frames(found, desk.scale, finding.severity)
    return leader, Group(f"finding-{number}", title, (*frames, found))


def _ink(severity: Severity) -> str:
    return style.RUST if severity == "barrier to review" else style.INK


def _frames(text: Text, scale: float, severity: Severity) -> list[Item]:
    """Frame a number so that its severity also reads in black and white."""
    frame = text.corners(scale, PAD)
    if severity == "violation":
        return [Shape(frame, Pen(0.3, style.RUST), Fill(style.RUST))]
    if severity == "barrier to review":
        inner = text.corners(scale, PAD - 0.4)
        pen = Pen(0.2, style.RUST)
        return [Shape(frame, pen, Fill("#ffffff")), Shape(inner, pen)]
    dash = (0.9, 0.6) if severity == "not checked" else ()
    return [Shape(frame, Pen(0.25, style.INK, dash), Fill("#ffffff"))]


def _set(desk: Desk, text: Text, place: Place) -> Text:
    """Set a number at its place, else near it, else where its leader strikes no lettering."""
    labels, scale, pad = desk.labels, desk.scale, PAD + APART
    found = labels.place(_round(text, scale, 0.0, 5.0), strict=False, pad=pad)
    if found is not None:
        return found
    # Where other lettering lies on the place itself every leader would strike it.
    covered = labels.crossed(place, (place[0] + 1e-3, place[1]))
    for strict, far in ((True, FAR / 2), (False, FAR)):
        for choice in _round(text, scale, 5.0, far):
            if not labels.free(choice, strict, pad):
                continue
            if covered or not labels.crossed(place, edge(choice, place, scale)):
                return labels.take(choice, pad)
    found = labels.place(_round(text, scale, 5.0, 4 * FAR), strict=False, pad=pad)
    return found if found is not None else labels.take(text, pad)


def _round(text: Text, scale: float, first: float, last: float) -> Iterator[Text]:
    """Give places on ever wider circles, printed mm, the place itself first."""
    x, y = text.at
    radius = first
    while radius <= last:
        count = 1 if radius == 0.0 else max(8, round(2.2 * radius))
        for k in range(count):
            angle = math.pi / 4 + 2 * math.pi * k / count
            out = radius * scale
            yield replace(text, at=(x + out * math.cos(angle), y + out * math.sin(angle)))
        radius += 2.5 if radius else 3.5


def _closed(line: Sequence[Place]) -> bool:
    return len(line) > 3 and math.dist(line[0], line[-1]) < 1e-6


def _tagged(desk: Desk, tag: str) -> Place | None:
    for placement in desk.layout.placements:
        if placement.id == tag:
            fixture = desk.fixture(placement)
            return place_point(placement, fixture.width / 2, fixture.depth * 0.25)
    for run in desk.layout.runs:
        if run.id == tag:
            middle = (run.from_mm + run.to_mm) / 2
            return desk.shell.wall(run.wall).point(middle, 0.8 * desk.scale)
    block = next((block for block in desk.layout.blocks if block.id == tag), None)
    return _of_block(desk, block) if block is not None else None


def _of_block(desk: Desk, block: Block) -> Place | None:
    middle = (block.from_mm + block.to_mm) / 2
    for run in desk.layout.runs:
        if run.id == block.host:
            wall = desk.shell.wall(run.wall)
            return wall.point(min(run.from_mm + middle, run.to_mm), 0.8 * desk.scale)
    return _tagged(desk, block.host)


def _named(desk: Desk, finding: Finding) -> Iterator[Place]:
    """Find what a subject names of the shell: openings, things on walls, columns, zones, ramps."""
    shop, words = desk.shop, finding.subject.lower()
    names: dict[str, Place] = {}
    for wall in desk.shell.walls:
        for thing in things_on(shop, wall.id):
            names[thing.id] = wall.point((thing.left + thing.right) / 2)
    for name, shape in desk.shell.columns.items():
        names[name] = (shape.centroid.x, shape.centroid.y)
    for name, area in desk.shell.zones.items():
        names[name] = (area.representative_point().x, area.representative_point().y)
    parts = planshell.approach_parts(shop, desk.shell)
    for _, title, _, rise in parts:
        if rise is not None:
            # Off the middle, where its slope is written.
            (x0, y0), (x1, y1) = rise
            upper = (x0 + 0.8 * (x1 - x0), y0 + 0.8 * (y1 - y0))
            names.setdefault(title.split(":")[0], upper)
    if parts:
        names.setdefault("approach", (parts[0][2].centroid.x, parts[0][2].centroid.y))
    said = [name for name in names if re.search(rf"\b{re.escape(name.lower())}\b", words)]
    for name in said:
        # "west" says nothing where "west outlet" is meant.
        if not any(name != other and name.lower() in other.lower() for other in said):
            yield names[name]
    if not said:
        for wall in desk.shell.walls:
            if re.search(rf"\bwall {re.escape(wall.id.lower())}\b", words):
                yield from _on_wall(desk, wall.id)


def _on_wall(desk: Desk, name: str) -> Iterator[Place]:
    for wall in desk.shell.walls:
        if wall.id == name:
            yield wall.point(wall.length / 2, 0.8 * desk.scale)
