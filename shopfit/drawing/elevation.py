"""Draws every wall as one faces it from inside, from left to right."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from shopfit.drawing import style, wallart
from shopfit.drawing.desk import Desk
from shopfit.drawing.faceart import Key
from shopfit.drawing.planlabels import finding_mark, wall_marks
from shopfit.drawing.scene import Item, Layer, Line, Scene, Table, Text
from shopfit.drawing.sheet import PAGES, Page, default_page, scales
from shopfit.geometry.shell import WallLine
from shopfit.model.finding import Finding
from shopfit.model.layout import Layout, Run, Slot
from shopfit.model.scenario import Scenario

COARSEST = 50  # 1:48 or 1:50; beyond, a wall is split over sheets
_FINEST = 20
FEW_WALLS = 8
_BESIDE = 27.0  # heights left and right of the wall, printed mm
_ABOVE, _BELOW = 28.5, 28.5  # for offsets, printed mm
_NUMBER, _LETTER = 5.2, 3.4  # printed width and height that a number of a key needs, mm
_MOST_SLOTS = 0.8


@dataclass(frozen=True)
class Part:
    """A stretch of wall that goes on one sheet.

    Parameters
    ----------
    left, right
        Its ends along the wall, mm.
    number, count
        Which stretch of how many.
    """

    left: float
    right: float
    number: int = 1
    count: int = 1


def wall_scenes(
    scenario: Scenario,
    layout: Layout,
    findings: Sequence[Finding] = (),
    page: Page | None = None,
) -> dict[str, Scene]:
    """Draw the elevation of every wall, each whole.

    Parameters
    ----------
    scenario, layout
        What is drawn.
    findings
        Marked by number where they are on a wall.
    page
        The paper that scales are chosen for; the usual one for the shop's units if left out.

    Returns
    -------
    Scenes by wall; x along the wall from its left corner, y up from the finished floor, mm.
    """
    page = page or PAGES[default_page(scenario.shop.units)]
    desk = Desk.of(scenario, layout)
    scenes = {}
    for wall in desk.shell.walls:
        scale, _ = wall_scale(desk, wall, page)
        scenes[wall.id] = _scene(desk.at(scale), wall, Part(0.0, wall.length), findings)
    return scenes


def wall_parts(
    desk: Desk, wall: WallLine, page: Page, findings: Sequence[Finding] = ()
) -> tuple[Page, list[Scene]]:
    """Draw one wall in as many stretches as its scale needs sheets.

    Parameters
    ----------
    desk
        The layout.
    wall
        Which wall.
    page
        The paper.
    findings
        Marked by number where they are on the wall.

    Returns
    -------
    The paper as it lies or stands, and the scenes from left to right.
    """
    scale, page = wall_scale(desk, wall, page)
    parts = _split(desk, wall, page, scale)
    return page, [_scene(desk.at(scale), wall, part, findings) for part in parts]


def drawn_walls(desk: Desk) -> list[WallLine]:
    """List walls worth a drawing: all where they are few, else those that hold something."""
    walls = list(desk.shell.walls)
    if len(walls) <= FEW_WALLS:
        return walls
    busy = {run.wall for run in desk.layout.runs}
    busy |= {placement.wall for placement in desk.layout.placements if placement.wall}
    return [wall for wall in walls if wall.id in busy]


def wall_scale(desk: Desk, wall: WallLine, page: Page) -> tuple[float, Page]:
    """Choose a wall's scale and how the paper is turned.

    The smallest drawing in which nearly every slot can be lettered is taken, then the largest on
    as many sheets; the paper stands upright only where that lets slots be lettered.

    Parameters
    ----------
    desk, wall
        Which wall of which layout.
    page
        The paper, lying.
    """
    sizes = [
        (slot.to_mm - slot.from_mm, desk.scenario.line(slot.line).height)
        for slot in _slots(desk, wall)
    ]

    def share(scale: float) -> float:
        fit = sum(w / scale >= _NUMBER and h / scale >= _LETTER for w, h in sizes)
        return fit / len(sizes) if sizes else 1.0

    def lettered(scale: float) -> bool:
        return share(scale) >= _MOST_SLOTS

    lying, standing = (_best_scale(desk, wall, p, lettered) for p in (page, page.turned))
    if not lettered(lying) and share(standing) > share(lying) + 0.2:
        return standing, page.turned
    return lying, page


def _best_scale(desk: Desk, wall: WallLine, page: Page, lettered: Callable[[float], bool]) -> float:
    usual = scales(desk.shop.units)
    high = max(height for _, height in wall.heights)

    def fits(scale: float) -> bool:
        above = 3.0 if wallart.measured_inside(desk, wall, scale) else _ABOVE
        return high / scale + above + _BELOW <= page.room_size[1]

    fitting = [scale for scale in usual if fits(scale)] or [usual[-1]]
    fine = [scale for scale in fitting if scale <= COARSEST] or fitting[:1]

    def sheets(scale: float) -> int:
        return math.ceil(wall.length / _most(page, scale) - 1e-9)

    # Small goods are not worth sheet after sheet: beyond this they go into the key.
    plain = [scale for scale in fine if scale >= _FINEST] or fine[-1:]
    chosen = next((scale for scale in plain[::-1] if lettered(scale)), plain[0])
    return min(scale for scale in fine if sheets(scale) == sheets(chosen))


def _slots(desk: Desk, wall: WallLine) -> list[Slot]:
    hosts = {run.id for run in desk.layout.runs if run.wall == wall.id}
    hosts |= {p.id for p in desk.layout.placements if p.wall == wall.id}
    return [
        slot
        for block in desk.layout.blocks
        if block.host in hosts and block.side == "front"
        for row in block.rows
        for slot in row.slots
    ]


def _most(page: Page, scale: float) -> float:
    return max(page.room_size[0] - 2 * _BESIDE, 40.0) * scale


def _split(desk: Desk, wall: WallLine, page: Page, scale: float) -> list[Part]:
    """Cut a wall into stretches at edges of fixtures and blocks where there are some near."""
    most = _most(page, scale)
    count = math.ceil(wall.length / most - 1e-9)
    edges = sorted({*wall_marks(desk, wall), *wallart.block_edges(desk, wall)})
    spans = wallart.spans(desk, wall)
    cuts = [0.0]
    while wall.length - cuts[-1] > most + 0.01:
        left = max(1, count - len(cuts) + 1)
        ideal = cuts[-1] + (wall.length - cuts[-1]) / left
        near = [e for e in edges if cuts[-1] + 0.5 * most < e <= cuts[-1] + most]
        cuts.append(
            min(
                near, key=lambda e: (sum(a < e - 1 and e + 1 < b for a, b in spans), abs(e - ideal))
            )
            if near
            else cuts[-1] + most
        )
    cuts.append(wall.length)
    ends = list(itertools.pairwise(cuts))
    return [Part(a, b, k, len(ends)) for k, (a, b) in enumerate(ends, start=1)]


def _scene(desk: Desk, wall: WallLine, part: Part, findings: Sequence[Finding]) -> Scene:
    window = (part.left, part.right)
    key = Key()
    runs = [
        run
        for run in desk.layout.runs
        if run.wall == wall.id and run.from_mm < part.right and run.to_mm > part.left
    ]
    shell = wallart.shell_items(desk, wall, window)
    tags = wallart.fixture_tags(desk, wall, window)
    match = _match_lines(desk, wall, part)
    dimensions = wallart.dimensions(desk, wall, window, runs)
    things, names = wallart.things(desk, wall, window)
    fixtures = wallart.fixtures(desk, wall, window, tags, key)
    drawn_runs = wallart.runs(desk, runs, window, key)
    name = f"Wall {wall.id}"
    title = name if part.count == 1 else f"{name}, part {part.number} of {part.count}"
    layers = (
        Layer("wall", tuple(shell)),
        Layer("openings", tuple(things)),
        Layer("fixtures", tuple(fixtures)),
        Layer("runs", tuple(drawn_runs)),
        Layer("names", tuple(names)),
        Layer("match lines", tuple(match)),
        Layer("dimensions", tuple(dimensions)),
        Layer("findings", tuple(_findings(desk, wall, window, findings))),
    )
    about = f"Elevation of wall {wall.id} of {desk.shop.name}, as one faces it from inside."
    return Scene(title, about, desk.scale, layers, (*key.tables(title), *_tables(desk, runs, part)))


def _match_lines(desk: Desk, wall: WallLine, part: Part) -> list[Item]:
    items: list[Item] = []
    scale = desk.scale
    sides = []
    if part.number > 1:
        sides.append((part.left, part.number - 1, "start"))
    if part.number < part.count:
        sides.append((part.right, part.number + 1, "end"))
    for x, other, _ in sides:
        top = wall.height_at(x) + 3.0 * scale
        items.append(Line((x, -3.0 * scale), (x, top), style.MATCH))
        desk.labels.block_line((x, -3.0 * scale), (x, top), 0.4 * scale)
        words = f"match line {desk.length(x)}, part {other}"
        toward = 1.0 if other < part.number else -1.0
        text = Text(
            (x + toward * 1.0 * scale, top - 0.6 * scale),
            words,
            anchor="start" if toward > 0 else "end",
            halo=True,
        )
        found = desk.labels.place([text])
        items += [found] if found else desk.labels.lead(text, (x, top))
    return items


def _findings(
    desk: Desk, wall: WallLine, window: tuple[float, float], findings: Sequence[Finding]
) -> list[Item]:
    items: list[Item] = []
    for number, finding in enumerate(findings, start=1):
        if finding.wall != wall.id or finding.height_mm is None or finding.at_mm is None:
            continue
        (ux, uy), (x, y) = wall.along, finding.at_mm
        offset = (x - wall.start[0]) * ux + (y - wall.start[1]) * uy
        if window[0] <= offset <= window[1]:
            items.append(finding_mark(desk, number, finding, (offset, finding.height_mm)))
    return items


def _tables(desk: Desk, runs: Sequence[Run], part: Part) -> tuple[Table, ...]:
    studs = desk.shop.studs
    notes = [
        ("Left", "heights above floor: runs, fixtures, openings"),
        ("Right", "heights above floor: grooves and shelves in use"),
        ("Above", "from left corner: runs, seams, blocks"),
        ("Below", "from left corner: fixtures, openings"),
        (
            "Chain lines",
            f"studs at {desk.length(studs.spacing)}, first at {desk.length(studs.first)}; "
            "find them on site",
        ),
        ("Short strokes", "brackets, at their groove"),
        ("Thick dashes", "sheet seams"),
        ("Fine dashes", "things behind fixtures"),
        ("Between blocks", "an upright where shelves of a fixture differ in height"),
    ]
    rows = tuple(
        (
            run.id,
            desk.length(run.from_mm),
            desk.length(run.to_mm),
            desk.length(run.bottom_mm),
            desk.length(run.top_mm),
            desk.length(run.first_groove_mm),
            run.sheet,
        )
        for run in runs
    )
    head = ("Run", "From", "To", "Bottom", "Top", "Groove 1", "Sheet")
    reading = (Table("Reading", (), tuple(notes)),) if part.number == 1 else ()
    # Tables of all parts may come to stand on one sheet.
    stretch = "" if part.count == 1 else f", part {part.number} of {part.count}"
    return (Table(f"Slat-wall runs{stretch}", head, rows), *reading)
