"""Checks that doors, windows and things on walls can be where they are said to be."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from shapely import LineString, Point

from shopfit.errors import Fault
from shopfit.files.parts import SHOP, fault
from shopfit.files.wording import nearest, shortened
from shopfit.geometry.openings import OnWall, things_on
from shopfit.geometry.shell import ShellPlan, WallLine
from shopfit.model.openings import Door, Window
from shopfit.model.scenario import Shop
from shopfit.model.shell import WallObstruction
from shopfit.units import INCH_MM, TOLERANCE_MM, LengthStyle, format_length

MEETING_MM = INCH_MM
_LOOK_MM = 5000.0
_GROUPS = {"door": "doors", "window": "windows"}


def check_openings(shop: Shop, plan: ShellPlan, lost: frozenset[str]) -> Iterator[Fault]:
    """Give every fault of doors, windows and obstructions.

    Parameters
    ----------
    shop, plan
        What could be read, and the rooms that are sound.
    lost
        Lists that are not complete.
    """
    walls = {wall.id: wall for wall in plan.walls}
    groups: tuple[tuple[str, tuple[Door | Window | WallObstruction, ...]], ...] = (
        ("doors", shop.doors),
        ("windows", shop.windows),
        ("obstructions", shop.obstructions),
    )
    for group, things in groups:
        for thing in things:
            wall = walls.get(thing.wall)
            if wall is not None:
                yield from _on_wall(group, thing, wall, shop.units)
            elif "rooms" not in lost:
                yield _unknown_wall(shop, group, thing, walls)
    for wall in plan.walls:
        yield from _overlaps(shop, wall)
    for door in shop.doors:
        if door.use == "inner" and door.wall in walls:
            yield from _inner(door, walls[door.wall], shop, plan, lost)
    if "doors" not in lost and all(door.use != "entrance" for door in shop.doors):
        yield fault(
            SHOP,
            "doors",
            given="no entrance",
            allowed="at least one door with `use: entrance`",
            mend="Mark the door by which customers come in.",
        )


def _unknown_wall(
    shop: Shop, group: str, thing: Door | Window | WallObstruction, walls: dict[str, WallLine]
) -> Fault:
    bent = [
        wall
        for room in shop.rooms
        for wall in room.walls
        if wall.id == thing.wall and wall.arc is not None
    ]
    mend = nearest(thing.wall, walls, "Add the wall.")
    if bent and bent[0].arc is not None:
        chords = bent[0].arc.chords
        mend = f"It is a curve: name one of its chords, {bent[0].id}-1 to {bent[0].id}-{chords}."
    return fault(
        SHOP,
        group,
        thing.id,
        "wall",
        given=shortened(thing.wall),
        allowed="the id of a wall",
        mend=mend,
    )


def _on_wall(
    group: str, thing: Door | Window | WallObstruction, wall: WallLine, style: LengthStyle
) -> Iterator[Fault]:
    right = thing.offset + thing.width
    if right > wall.length + TOLERANCE_MM:
        yield fault(
            SHOP,
            group,
            thing.id,
            "offset",
            given=f"{_said(thing.offset, style)}, so its right side at {_said(right, style)}",
            allowed=f"a right side at most at {_said(wall.length, style)}, the end of '{wall.id}'",
            mend="Measure from the wall's left end as you face it from inside.",
        )
        return
    ceiling = wall.lowest(thing.offset, right)
    bottom_name, bottom, top_name, top = _heights(thing)
    if top <= bottom:
        yield fault(
            SHOP,
            group,
            thing.id,
            bottom_name,
            given=f"{bottom_name} {_said(bottom, style)}, {top_name} {_said(top, style)}",
            allowed=f"a {bottom_name} under the {top_name}",
            mend="Correct the two heights; both are measured from the floor.",
        )
    elif top > ceiling + TOLERANCE_MM:
        yield fault(
            SHOP,
            group,
            thing.id,
            top_name,
            given=_said(top, style),
            allowed=f"at most {_said(ceiling, style)}, the height of '{wall.id}' there",
            mend=f"Correct the {top_name} or the wall's height.",
        )


def _heights(thing: Door | Window | WallObstruction) -> tuple[str, float, str, float]:
    if isinstance(thing, Door):
        return "floor", 0.0, "height", thing.height
    if isinstance(thing, Window):
        return "sill", thing.sill, "head", thing.head
    return "bottom", thing.bottom, "top", thing.top


def _overlaps(shop: Shop, wall: WallLine) -> Iterator[Fault]:
    # What reaches beyond the wall is said already, and where it really is nobody knows.
    things = [t for t in things_on(shop, wall.id) if t.right <= wall.length + TOLERANCE_MM]
    for one, other in combinations(things, 2):
        if one.kind not in _GROUPS and other.kind not in _GROUPS:
            continue
        if not _overlap(one, other):
            continue
        yield fault(
            SHOP,
            _GROUPS.get(other.kind, "obstructions"),
            other.id,
            "offset",
            given=f"'{other.id}' over '{one.id}' on wall '{wall.id}'",
            allowed="openings and things on walls side by side",
            mend=(
                f"'{one.id}' reaches from {_said(one.left, shop.units)} to "
                f"{_said(one.right, shop.units)}, '{other.id}' from "
                f"{_said(other.left, shop.units)} to {_said(other.right, shop.units)}: "
                "measure them again."
            ),
        )


def _overlap(one: OnWall, other: OnWall) -> bool:
    return (
        min(one.right, other.right) - max(one.left, other.left) > TOLERANCE_MM
        and min(one.top, other.top) - max(one.bottom, other.bottom) > TOLERANCE_MM
    )


def _inner(
    door: Door, wall: WallLine, shop: Shop, plan: ShellPlan, lost: frozenset[str]
) -> Iterator[Fault]:
    others = [room for room in plan.rooms if room != wall.room]
    if door.leads_to not in others:
        if door.leads_to is None or "rooms" not in lost:
            yield fault(
                SHOP,
                "doors",
                door.id,
                "leads_to",
                given=shortened(door.leads_to),
                allowed="the id of the other room",
                mend=nearest(door.leads_to or "", others, "Add the other room."),
            )
        return
    gaps = [
        _gap(plan, wall, door.leads_to, offset)
        for offset in (door.offset + 1, door.offset + door.width - 1)
    ]
    if any(gap is None for gap in gaps):
        yield fault(
            SHOP,
            "doors",
            door.id,
            "leads_to",
            given=f"'{door.leads_to}', which does not lie behind the whole door",
            allowed="a room right behind the door",
            mend="Correct where the rooms lie to each other, or the door's offset.",
        )
        return
    gap = max(gap for gap in gaps if gap is not None)
    if abs(gap - door.depth) > MEETING_MM + TOLERANCE_MM:
        yield fault(
            SHOP,
            "doors",
            door.id,
            "depth",
            given=_said(door.depth, shop.units),
            allowed=f"the thickness of the wall, {_said(gap, shop.units)} as drawn",
            mend="Correct the depth, or where the rooms lie to each other.",
        )


def _gap(plan: ShellPlan, wall: WallLine, room: str, offset: float) -> float | None:
    """Measure from a wall's face back to where another room begins, mm; none if it does not."""
    start = wall.point(offset, MEETING_MM)
    ray = LineString([start, wall.point(offset, -_LOOK_MM)])
    met = ray.intersection(plan.rooms[room])
    return None if met.is_empty else max(Point(start).distance(met) - MEETING_MM, 0.0)


def _said(length: float, style: LengthStyle) -> str:
    return format_length(length, style)
