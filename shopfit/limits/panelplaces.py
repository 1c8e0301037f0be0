"""Other places on walls for a panelboard, where it and its clear floor fit."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit import standards
from shopfit.geometry.footprint import footprint
from shopfit.geometry.openings import clear_extent, door_rectangle, door_swing, things_on
from shopfit.geometry.shell import ShellPlan, WallLine, survey
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario
from shopfit.model.shell import WallObstruction
from shopfit.standards.panels import LOW_VOLTS, wanted_space
from shopfit.standards.protrusion import projection_limit
from shopfit.units import TOLERANCE_MM

# Each is a search of its own.
MOST_PLACES = 2


@dataclass(frozen=True)
class _Place:
    """Where a panelboard could be: what of the layout is there, and how far it is from today's."""

    thing: WallObstruction
    space: Polygon
    taken: float
    away: float


def other_places(
    scenario: Scenario, layout: Layout, panel: WallObstruction
) -> tuple[WallObstruction, ...]:
    """Give the panelboard at other places, those first where least of the layout is in the way.

    The floor before it lies in its room, off doors and what they sweep, columns, pinned fixtures
    and the clear floor of other things; the wall behind it is free of doors, windows and things.

    Parameters
    ----------
    scenario
        What was given.
    layout
        The best layout so far.
    panel
        Which.

    Returns
    -------
    At most two places, clear of each other; none where it fits nowhere else.
    """
    shell = survey(scenario.shop)
    places = sorted(_places(scenario, layout, panel, shell), key=lambda one: (one.taken, one.away))
    found: list[_Place] = []
    while places and len(found) < MOST_PLACES:
        found.append(places[0])
        apart = [one for one in places if one.space.distance(found[-1].space) > TOLERANCE_MM]
        # Another wall says more than another place on the same one.
        places = [one for one in apart if one.thing.wall != found[-1].thing.wall] or apart
    return tuple(place.thing for place in found)


def _places(
    scenario: Scenario, layout: Layout, panel: WallObstruction, shell: ShellPlan
) -> Iterator[_Place]:
    _, now = _there(scenario, shell.wall(panel.wall), panel)
    fixtures = [
        footprint(scenario.catalogue.fixture(one.fixture), one) for one in layout.placements
    ]
    barred = unary_union([now, *_barred(scenario, layout, panel, shell)])
    standing = [*fixtures, *shell.columns.values()]
    for wall in shell.walls:
        for offset in _offsets(scenario, panel, wall, standing):
            thing, space = _there(scenario, wall, panel, offset)
            if _fits(scenario, thing, wall, space, shell, barred):
                taken = sum(space.intersection(each).area for each in fixtures)
                taken += _hung(layout, thing, scenario, wall)
                yield _Place(thing, space, round(taken), round(space.distance(now)))


def _there(
    scenario: Scenario, wall: WallLine, panel: WallObstruction, offset: float | None = None
) -> tuple[WallObstruction, Polygon]:
    """Give a panelboard at an offset of a wall, or where it is, and the floor before it."""
    if offset is not None:
        change: dict[str, object] = {"wall": wall.id, "offset": offset}
        if (panel.volts or 0.0) > LOW_VOLTS:
            # What is opposite there nobody said, so the deepest space is kept.
            change["opposite"] = None
        panel = panel.model_copy(update=change)
    wanted = wanted_space(standards.of(scenario), panel)
    width, depth = (wanted.width, wanted.depth) if wanted else (0.0, 0.0)
    left, right = clear_extent(wall, panel, width)
    return panel, wall.rectangle(left, right, 0.0, max(depth, TOLERANCE_MM))


def _offsets(
    scenario: Scenario, panel: WallObstruction, wall: WallLine, standing: list[Polygon]
) -> list[float]:
    """Give offsets at which its clear floor ends at the end of a wall or beside what is there."""
    _, space = _there(scenario, wall, panel, 0.0)
    left, right = _along(wall, space)
    width = right - left
    if width > wall.length:
        return []
    edges = [0.0, wall.length]
    for thing in things_on(scenario.shop, wall.id):
        edges += [thing.left, thing.right]
    strip = LineString([wall.start, wall.end]).buffer(1000.0, cap_style="flat")
    for each in standing:
        if each.intersects(strip):
            edges += _along(wall, each)
    lefts = {
        round(edge - before, 3)
        for edge in edges
        for before in (0.0, width)
        if -TOLERANCE_MM <= edge - before <= wall.length - width + TOLERANCE_MM
    }
    return [max(each, 0.0) + (width - panel.width) / 2 for each in sorted(lefts)]


def _along(wall: WallLine, shape: Polygon) -> tuple[float, float]:
    """Give the offsets along a wall between which a shape lies."""
    (x, y), (ux, uy) = wall.start, wall.along
    offsets = [(px - x) * ux + (py - y) * uy for px, py in shape.exterior.coords]
    return min(offsets), max(offsets)


def _barred(
    scenario: Scenario, layout: Layout, panel: WallObstruction, shell: ShellPlan
) -> Iterator[BaseGeometry]:
    """Give floor that its clear floor keeps off."""
    yield from shell.columns.values()
    for door in scenario.shop.doors:
        wall = shell.wall(door.wall)
        yield door_rectangle(wall, door, 0.0, 0.0, door.width)
        swing = door_swing(wall, door)
        if swing is not None:
            yield swing
    for thing in scenario.shop.obstructions:
        if thing != panel and wanted_space(standards.of(scenario), thing) is not None:
            yield _there(scenario, shell.wall(thing.wall), thing)[1]
    for one in layout.placements:
        if one.pinned:
            yield footprint(scenario.catalogue.fixture(one.fixture), one)


def _fits(
    scenario: Scenario,
    thing: WallObstruction,
    wall: WallLine,
    space: Polygon,
    shell: ShellPlan,
    barred: BaseGeometry,
) -> bool:
    left, right = thing.offset, thing.offset + thing.width
    if wall.lowest(left, right) < thing.top - TOLERANCE_MM:
        return False
    for other in things_on(scenario.shop, wall.id):
        if min(right, other.right) - max(left, other.left) > TOLERANCE_MM:
            return False
    spare = TOLERANCE_MM * math.sqrt(space.area)
    limit = projection_limit(standards.of(scenario), thing.bottom)
    body = wall.rectangle(left, right, 0.0, thing.depth)
    if thing.depth > limit + TOLERANCE_MM and body.difference(shell.off_limits).area > spare:
        return False
    missing = space.difference(shell.rooms[wall.room]).area
    return bool(missing <= spare and space.intersection(barred).area <= spare)


def _hung(layout: Layout, thing: WallObstruction, scenario: Scenario, wall: WallLine) -> float:
    """Give how much slat-wall hangs within its clear floor, mm²."""
    left, right = _along(wall, _there(scenario, wall, thing)[1])
    return sum(
        max(0.0, min(run.to_mm, right) - max(run.from_mm, left)) * (run.top_mm - run.bottom_mm)
        for run in layout.runs
        if run.wall == wall.id
    )
