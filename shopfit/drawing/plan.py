"""Draws the plan: the shell, what stands in it, clear floor, dimensions and findings."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from shapely import Polygon
from shapely.ops import unary_union

from shopfit.drawing import planlabels, planshell, style
from shopfit.drawing.desk import Desk, fixture_title
from shopfit.drawing.islandplan import island_measures, island_table
from shopfit.drawing.labels import Labels
from shopfit.drawing.scene import (
    Fill,
    Group,
    Item,
    Layer,
    Line,
    Place,
    Scene,
    Shape,
    Strokes,
    Table,
)
from shopfit.drawing.sheet import PAGES, Page, default_page, scales
from shopfit.geometry.footprint import place_point, side_band, side_ends
from shopfit.geometry.freefloor import polygons
from shopfit.geometry.openings import entrance
from shopfit.model.finding import Finding
from shopfit.model.fixtures import Fixture, Side
from shopfit.model.layout import Layout, Placement, Run
from shopfit.model.scenario import Scenario
from shopfit.units import format_length
from shopfit.wording import counted

_LEAST = 12.0  # printed mm
_OUT: dict[Side, tuple[float, float]] = {
    "front": (0.0, 1.0),
    "back": (0.0, -1.0),
    "left": (-1.0, 0.0),
    "right": (1.0, 0.0),
}


def plan_scene(
    scenario: Scenario,
    layout: Layout,
    findings: Sequence[Finding] = (),
    page: Page | None = None,
) -> Scene:
    """Draw the plan at the largest usual scale that fits a page.

    Parameters
    ----------
    scenario, layout
        What is drawn.
    findings
        Marked by number at their place, and listed.
    page
        The paper, as it lies; the usual one for the shop's units if left out.

    Returns
    -------
    The plan at full size, mm in the shop's frame.
    """
    page = page or PAGES[default_page(scenario.shop.units)]
    desk = Desk.of(scenario, layout)
    return at_largest_scale(desk, page, lambda laid: _scene(laid, findings))


def at_largest_scale(desk: Desk, page: Page, drawn: Callable[[Desk], Scene]) -> Scene:
    """Draw a plan at the largest usual scale that fits a page.

    Parameters
    ----------
    desk
        What is drawn.
    page
        The paper, as it lies.
    drawn
        Draws it on a desk laid out for a scale.
    """
    room_width, room_height = page.room_size
    west, south, east, north = unary_union(list(desk.shell.rooms.values())).bounds
    usual = scales(desk.shop.units)
    scene = None
    for scale in usual:
        # Names of walls alone need this much beside the rooms.
        wide, high = (east - west) / scale + _LEAST, (north - south) / scale + _LEAST
        if wide > room_width or high > room_height:
            continue
        scene = drawn(desk.at(scale))
        left, low, right, high = scene.bounds()
        if (right - left) / scale <= room_width and (high - low) / scale <= room_height:
            return scene
    return scene or drawn(desk.at(usual[-1]))


@dataclass(frozen=True)
class Floor:
    """What lies under the lettering of a plan.

    Parameters
    ----------
    approach
        Ramps, landings and steps.
    spaces
        Floor that doors and things on walls want empty.
    """

    approach: Sequence[planshell.ApproachPart]
    spaces: Sequence[tuple[str, str, Polygon]]

    @classmethod
    def of(cls, desk: Desk) -> Floor:
        """Lay it out, and keep lettering off walls and columns."""
        walls = planshell.wall_mass(desk.shop, desk.shell, desk.scale)
        for part in polygons(walls):
            _block_band(desk.labels, part.exterior.coords, desk.scale)
            for hole in part.interiors:
                _block_band(desk.labels, hole.coords, desk.scale)
        for column in desk.shell.columns.values():
            desk.labels.block(column)
        approach = planshell.approach_parts(desk.shop, desk.shell)
        for _, _, shape, _ in approach:
            _block_band(desk.labels, shape.exterior.coords, desk.scale)
        for over in desk.shop.overheads:
            _block_band(desk.labels, (*over.corners, over.corners[0]), desk.scale)
        return cls(
            approach,
            planshell.clear_spaces(desk.scenario, desk.shell, desk.rulebook),
        )

    def layers(self, desk: Desk, tags: Mapping[str, Sequence[Item]]) -> tuple[Layer, ...]:
        """Draw it, with the tags of the fixtures; slat-wall runs come on top."""
        placements = desk.layout.placements
        return (
            Layer("aisles", tuple(_aisles(desk))),
            Layer("zones", tuple(_zones(desk))),
            Layer("clear spaces", tuple(_clear(self.spaces))),
            Layer("approach", tuple(_approach(self.approach, desk.scale))),
            Layer("fixtures", tuple(_fixture(desk, p, tags[p.id]) for p in placements)),
            Layer("walls", tuple(planshell.walls(desk.shop, desk.shell, desk.scale))),
            Layer("doors", tuple(_doors(desk))),
            Layer("columns", tuple(_columns(desk))),
            Layer("obstructions", tuple(_obstructions(desk))),
            Layer("overheads", tuple(_overheads(desk))),
        )


def _scene(desk: Desk, findings: Sequence[Finding]) -> Scene:
    floor = Floor.of(desk)
    tags = planlabels.fixture_tags(desk)
    dimensions = planlabels.wall_dimensions(desk)
    dimensions += island_measures(desk)
    runs = runs_drawn(desk)
    lettering = planlabels.shell_names(desk, floor.spaces)
    lettering += planlabels.approach_names(desk, floor.approach)
    lettering += planlabels.floor_names(desk)
    marks, listed = planlabels.finding_marks(desk, findings)
    layers = (
        *floor.layers(desk, tags),
        Layer("runs", tuple(runs)),
        Layer("dimensions", tuple(dimensions)),
        Layer("lettering", tuple(lettering)),
        Layer("findings", tuple(marks)),
    )
    things = counted(len(desk.layout.placements), "fixtures")
    count = f"{things} and {counted(len(desk.layout.runs), 'slat-wall runs')}"
    return Scene(
        "Plan",
        f"Plan of {desk.shop.name} with {count}; north of the shop's frame is up.",
        desk.scale,
        layers,
        (*_tables(desk, floor.approach), *listed),
    )


def runs_drawn(desk: Desk) -> list[Group]:
    """Draw slat-wall runs as lines along their walls, with their tags."""
    return [_run(desk, run) for run in desk.layout.runs]


def _block_band(labels: Labels, ring: object, scale: float) -> None:
    points: list[Place] = [(x, y) for x, y, *_ in ring]  # type: ignore[attr-defined]
    for first, second in itertools.pairwise(points):
        if first != second:
            labels.block_line(first, second, 0.3 * scale)


def _zones(desk: Desk) -> list[Item]:
    kinds = {zone.id: zone.kind for zone in desk.shop.zones}
    return [
        Group(
            name,
            f"{kinds[name].capitalize()} zone {name}",
            tuple(planshell.area(shape, style.HIDDEN, style.zone_fill(kinds[name]))),
        )
        for name, shape in desk.shell.zones.items()
    ]


def _aisles(desk: Desk) -> list[Item]:
    bands = [
        side_band(desk.fixture(p), p, side, desk.scenario.brief.aisle)
        for p in desk.layout.placements
        for side in desk.fixture(p).customer_sides
    ]
    if not bands:
        return []
    floor = unary_union(list(desk.shell.rooms.values()))
    taken = [desk.footprint(p) for p in desk.layout.placements]
    free = unary_union(bands).intersection(floor)
    free = free.difference(unary_union([*taken, *desk.shell.columns.values()]))
    return planshell.area(free, None, style.AISLE)


def _clear(spaces: Sequence[tuple[str, str, Polygon]]) -> list[Item]:
    return [
        Group(tag, title, tuple(planshell.area(shape, style.CLEAR))) for tag, title, shape in spaces
    ]


def _approach(parts: Sequence[planshell.ApproachPart], scale: float) -> list[Item]:
    items: list[Item] = []
    for name, title, shape, rise in parts:
        drawn = planshell.area(shape, style.OUTLINE)
        if rise is not None:
            (x0, y0), (x1, y1) = rise
            tail = (x0 + 0.1 * (x1 - x0), y0 + 0.1 * (y1 - y0))
            head = (x0 + 0.9 * (x1 - x0), y0 + 0.9 * (y1 - y0))
            drawn += planshell.arrow(tail, head, 2.0 * scale, style.THIN)
        items.append(Group(name, title, tuple(drawn)))
    return items


def _fixture(desk: Desk, placement: Placement, tag: Sequence[Item]) -> Group:
    fixture = desk.fixture(placement)
    fill = style.GLASS if fixture.kind == "glass-case" else style.FIXTURE
    items = planshell.area(desk.footprint(placement), style.OUTLINE, fill)
    sides: tuple[Side, ...] = fixture.customer_sides or ("front",)
    for side in sides:
        items += _front(fixture, placement, side, desk.scale)
    return Group(placement.id, fixture_title(desk, placement), (*items, *tag))


def _front(fixture: Fixture, placement: Placement, side: Side, scale: float) -> list[Item]:
    """Mark a side that faces the customer: a second line inside it and a small triangle on it."""
    first, second = side_ends(fixture, placement, side)
    across, out = _OUT[side]
    base = place_point(placement, 0.0, 0.0)
    tip = place_point(placement, across, out)
    ox, oy = tip[0] - base[0], tip[1] - base[1]
    inset = 0.7 * scale

    def shifted(place: Place, distance: float) -> Place:
        return (place[0] + ox * distance, place[1] + oy * distance)

    middle = ((first[0] + second[0]) / 2, (first[1] + second[1]) / 2)
    half = 0.9 * scale
    wx, wy = -oy * half, ox * half
    triangle = (
        (middle[0] + wx, middle[1] + wy),
        (middle[0] - wx, middle[1] - wy),
        shifted(middle, 1.3 * scale),
    )
    return [
        Line(shifted(first, -inset), shifted(second, -inset), style.FRONT),
        Shape(triangle, None, Fill(style.INK)),
    ]


def _doors(desk: Desk) -> list[Item]:
    return [
        planshell.door(given, desk.shell.wall(given.wall), desk.scale, desk.shop.units)
        for given in desk.shop.doors
    ]


def _columns(desk: Desk) -> list[Item]:
    return [
        Group(name, f"Column {name}", tuple(planshell.area(shape, style.THIN, style.WALL)))
        for name, shape in desk.shell.columns.items()
    ]


def _obstructions(desk: Desk) -> list[Item]:
    items: list[Item] = []
    for thing in desk.shop.obstructions:
        wall = desk.shell.wall(thing.wall)
        depth = max(thing.depth, 0.8 * desk.scale)
        shape = wall.rectangle(thing.offset, thing.offset + thing.width, 0.0, depth)
        drawn = planshell.area(shape, style.THIN, style.BLANK)
        sizes = (
            f"{format_length(thing.bottom, desk.shop.units)} to "
            f"{format_length(thing.top, desk.shop.units)} above the floor"
        )
        items.append(Group(thing.id, f"{thing.kind} {thing.id}, {sizes}", tuple(drawn)))
    return items


def _overheads(desk: Desk) -> list[Item]:
    return [
        Group(
            over.id,
            f"Overhead {planlabels.overhead_name(desk, over)} above the floor",
            tuple(planshell.area(Polygon(over.corners), style.OVERHEAD)),
        )
        for over in desk.shop.overheads
    ]


def _run(desk: Desk, run: Run) -> Group:
    wall = desk.shell.wall(run.wall)
    out = 0.8 * desk.scale
    line = Strokes(((wall.point(run.from_mm, out), wall.point(run.to_mm, out)),), style.RUN)
    units = desk.shop.units
    title = (
        f"{run.id}: slat-wall on {run.wall}, {format_length(run.from_mm, units)} to "
        f"{format_length(run.to_mm, units)} from its left corner, "
        f"{format_length(run.bottom_mm, units)} to {format_length(run.top_mm, units)} high"
    )
    return Group(run.id, title, (line, *planlabels.run_tag(desk, run)))


def _tables(desk: Desk, approach: Sequence[planshell.ApproachPart]) -> tuple[Table, ...]:
    units = desk.shop.units

    def span(start: float, length: float) -> tuple[str, str]:
        return format_length(start, units), format_length(start + length, units)

    fixtures = []
    for placement in desk.layout.placements:
        fixture = desk.fixture(placement)
        where = ("see below", "", "")
        if placement.wall is not None and placement.offset_mm is not None:
            where = (placement.wall, *span(placement.offset_mm, fixture.width))
        fixtures.append((placement.id, fixture.name or fixture.id, *where))
    runs = [
        (
            run.id,
            run.wall,
            *span(run.from_mm, run.to_mm - run.from_mm),
            *span(run.bottom_mm, run.top_mm - run.bottom_mm),
        )
        for run in desk.layout.runs
    ]
    return (
        Table("Key", (), _key(desk)),
        Table(
            "Fixtures, from the wall's left corner",
            ("Tag", "Fixture", "Wall", "From", "To"),
            tuple(fixtures),
        ),
        island_table(desk),
        Table("Approach", (), _approach_told(desk, approach)),
        Table("Slat-wall runs", ("Tag", "Wall", "From", "To", "Bottom", "Top"), tuple(runs)),
    )


def _approach_told(
    desk: Desk, approach: Sequence[planshell.ApproachPart]
) -> tuple[tuple[str, ...], ...]:
    untold = [f"{words[0].upper()}{words[1:]}" for _, words in planshell.untold(desk.shop)]
    return tuple((words,) for words in (*(title for _, title, _, _ in approach), *untold))


def _key(desk: Desk) -> tuple[tuple[str, str], ...]:
    rows = [
        ("Plan up", "north of the shop's frame"),
        ("Left corner", "of a wall as one faces it from inside"),
        ("Double line, arrow", "side that faces the customer"),
        ("Dashed outline", "floor to be kept clear"),
        ("Light ground", f"aisle of {format_length(desk.scenario.brief.aisle, desk.shop.units)}"),
    ]
    if desk.layout.runs:
        rows.append(("Thick line", "slat-wall run, with its tag R"))
    if desk.shop.overheads:
        rows.append(("Dash and dot", "overhead: beam, duct or slope, with its lower edge"))
    kinds = {zone.kind for zone in desk.shop.zones}
    if "staff" in kinds:
        rows.append(("Hatched /", "staff zone"))
    if "stock" in kinds:
        rows.append(("Hatched \\", "stock zone"))
    if entrance(desk.shop, desk.shell) is None:
        rows.append(("Entrance", "none marked in the shell"))
    return tuple(rows)
