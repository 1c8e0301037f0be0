"""Solids of the shell: floors, walls with openings, doors, panes, things on walls, columns."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import Polygon, box
from shapely.ops import unary_union

from shopfit.geometry.openings import things_on
from shopfit.geometry.shell import ShellPlan, WallLine
from shopfit.geometry.wallareas import wall_elevation
from shopfit.model.scenario import Scenario
from shopfit.solids.solid import UP, Kind, Solid, upright

# Walls are measured from inside; so thick they are shown.
WALL_MM = 100.0
FLOOR_MM = 50.0
_LEAF_MM, _PANE_MM = 40.0, 10.0


def shell_parts(scenario: Scenario, shell: ShellPlan) -> Iterator[Solid]:
    """Give the solids of the building as measured from inside."""
    for room, outline in shell.rooms.items():
        yield upright(room, f"floor of {room}", "floor", outline, -FLOOR_MM, 0.0)
    for wall in shell.walls:
        yield from _wall(scenario, wall)
        yield from _openings(scenario, wall)
    heights = {room.id: room.height for room in scenario.shop.rooms}
    for name, column in shell.columns.items():
        inside = [room for room, outline in shell.rooms.items() if outline.intersects(column)]
        top = heights[inside[0]] if inside else max(heights.values())
        yield upright(name, f"column {name}", "column", column, 0.0, top)


def on_wall(
    wall: WallLine, tag: str, name: str, kind: Kind, outline: Polygon, near: float, far: float
) -> Solid:
    """Give what is flat on a wall: an outline of offsets and heights, between two distances, mm."""
    (ux, uy), (x, y) = wall.along, wall.point(0.0, near)
    return Solid(
        tag, name, kind, outline, (x, y, 0.0), (ux, uy, 0.0), UP, far - near, owner=wall.id
    )


def _wall(scenario: Scenario, wall: WallLine) -> Iterator[Solid]:
    whole = wall_elevation(wall)
    gaps = unary_union(
        [
            box(thing.left, thing.bottom - 1.0 * (thing.bottom <= 0.0), thing.right, thing.top)
            for thing in things_on(scenario.shop, wall.id)
            if thing.kind in ("door", "window")
        ]
    )
    left = whole.difference(gaps)
    for part in getattr(left, "geoms", [left]):
        if isinstance(part, Polygon) and part.area > 1.0:
            yield on_wall(wall, wall.id, f"wall {wall.id}", "wall", part, -WALL_MM, 0.0)


def _openings(scenario: Scenario, wall: WallLine) -> Iterator[Solid]:
    shop = scenario.shop
    depths = {thing.id: max(thing.depth, 5.0) for thing in shop.obstructions}
    open_ = {door.id for door in shop.doors if door.swing == "none"}
    for thing in things_on(shop, wall.id):
        outline = box(thing.left, thing.bottom, thing.right, thing.top)
        name = f"{thing.kind} {thing.id}"
        if thing.kind == "door":
            if thing.id not in open_:
                middle = -WALL_MM / 2
                near, far = middle - _LEAF_MM / 2, middle + _LEAF_MM / 2
                yield on_wall(wall, thing.id, name, "door", outline, near, far)
        elif thing.kind == "window":
            near, far = -WALL_MM / 2, -WALL_MM / 2 + _PANE_MM
            yield on_wall(wall, thing.id, name, "window", outline, near, far)
        else:
            far = depths[thing.id]
            yield on_wall(wall, thing.id, name, "thing on a wall", outline, 0.0, far)
