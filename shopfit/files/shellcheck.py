"""Checks that the shell as measured closes, and that what is on and in it can be there."""

from __future__ import annotations

import math
from collections.abc import Iterator

from shapely import LineString, Polygon

from shopfit.errors import Fault
from shopfit.files.openingcheck import check_openings
from shopfit.files.parts import SHOP, fault
from shopfit.geometry.closing import CLOSING_MM, closing_mends, turned, turns_agree
from shopfit.geometry.shell import (
    PlanPoint,
    ShellPlan,
    closing_error,
    column_outline,
    room_outline,
    survey,
    walk,
)
from shopfit.model.scenario import Shop
from shopfit.model.shell import Room
from shopfit.units import TOLERANCE_MM, LengthStyle, format_length

SHORTEST_WALL_MM = 1.0
SMALLEST_ROOM_MM2 = 1e4
LARGEST_SHOP_MM = 500_000.0


def check_shell(shop: Shop, lost: frozenset[str]) -> tuple[ShellPlan | None, list[Fault]]:
    """Check rooms, walls, openings, columns and zones.

    Parameters
    ----------
    shop
        What could be read of the shop.
    lost
        Lists that are not complete.

    Returns
    -------
    The plan of the rooms that are sound, or none, and every fault.
    """
    faults: list[Fault] = []
    sound = []
    for room in shop.rooms:
        found = list(_room(room, shop.units))
        faults += found
        if not found:
            sound.append(room)
    if len(sound) < len(shop.rooms):
        lost |= {"rooms"}
    if not sound:
        return None, faults
    plan = survey(shop.model_copy(update={"rooms": tuple(sound), "zones": ()}))
    faults += _wall_ids(plan)
    faults += _apart(plan)
    for room in sound:
        faults += _wall_heights(room, shop.units)
    faults += check_openings(shop, plan, lost)
    if "rooms" not in lost:
        faults += _columns(shop, plan)
        faults += _zones(shop, plan)
    return plan, faults


def _room(room: Room, style: LengthStyle) -> Iterator[Fault]:
    if not room.corners:
        east, north = closing_error(room)
        if math.hypot(east, north) > CLOSING_MM:
            yield _open(room, east, north, style)
            return
    corners = room_outline(room)
    names = [name for name, _, _, _ in walk(room)]
    ends = list(zip(corners, [*corners[1:], corners[0]], strict=True))
    for name, (start, end) in zip(names, ends, strict=True):
        if math.dist(start, end) < SHORTEST_WALL_MM:
            yield fault(
                SHOP,
                "rooms",
                room.id,
                given=f"wall '{name}' of no length",
                allowed="corners in different places",
                mend="Take out the corner that repeats another; the last joins the first anyway.",
            )
            return
    outline = Polygon(corners)
    west, south, east, north = outline.bounds
    if max(abs(edge) for edge in (west, south, east, north)) > LARGEST_SHOP_MM:
        yield fault(
            SHOP,
            "rooms",
            room.id,
            given=f"{format_length(max(east - west, north - south), style)} across",
            allowed=f"within {format_length(LARGEST_SHOP_MM, style)} of the plan's zero",
            mend="Look for a wrong unit.",
        )
    elif crossing := _crossing(names, ends):
        yield fault(
            SHOP,
            "rooms",
            room.id,
            given=f"walls {crossing[0]} and {crossing[1]} that cross or lie on each other",
            allowed="walls that meet only at their ends",
            mend="Correct the order of the corners, or a length or turn of these walls.",
        )
    elif outline.area < SMALLEST_ROOM_MM2:
        yield fault(
            SHOP,
            "rooms",
            room.id,
            given="an outline without floor",
            allowed="a room with floor",
            mend="Correct the corners, or the lengths and turns.",
        )


def _open(room: Room, east: float, north: float, style: LengthStyle) -> Fault:
    ways = []
    for size, positive, negative in ((east, "east", "west"), (north, "north", "south")):
        if abs(size) > TOLERANCE_MM:
            ways.append(f"{format_length(abs(size), style)} {positive if size > 0 else negative}")
    return fault(
        SHOP,
        "rooms",
        room.id,
        "walls",
        given=f"a walk that ends {' and '.join(ways)} of where it began",
        allowed=f"at most {format_length(CLOSING_MM, style)} off",
        mend=_closing_mend(room, style),
    )


def _closing_mend(room: Room, style: LengthStyle) -> str:
    degrees = turned(room)
    # The turn at the end of the last wall changes no corner, so it may be anything.
    if not turns_agree(degrees):
        whole = math.copysign(360, degrees)
        mend = f"The turns add up to {degrees:g} degrees, not {whole:g}: look at them first."
        turns = [each for each in closing_mends(room) if each.what == "turn" and each.turns_agree]
        ways = [f"a turn of {each.then:g} after '{each.wall}'" for each in turns[:3]]
        return f"{mend} It would close with {' or '.join(ways)}." if ways else mend
    ways = []
    for each in closing_mends(room):
        if each.what == "length":
            change = "shorter" if each.then < each.now else "longer"
            ways.append(f"'{each.wall}' {format_length(abs(each.then - each.now), style)} {change}")
    if not ways:
        return "Measure lengths and turns again; more than one is off."
    return f"Measure again; it would close with {' or '.join(ways[:3])}."


def _crossing(names: list[str], ends: list[tuple[PlanPoint, PlanPoint]]) -> tuple[str, str] | None:
    lines = [LineString(pair) for pair in ends]
    count = len(lines)
    for i in range(count):
        for j in range(i + 1, count):
            shared = lines[i].intersection(lines[j])
            neighbours = j == i + 1 or (i == 0 and j == count - 1)
            if shared.length > TOLERANCE_MM or (not neighbours and not shared.is_empty):
                return f"'{names[i]}'", f"'{names[j]}'"
    return None


def _wall_ids(plan: ShellPlan) -> Iterator[Fault]:
    seen: dict[str, str] = {}
    for wall in plan.walls:
        if wall.id in seen:
            yield fault(
                SHOP,
                "rooms",
                wall.room,
                "walls",
                wall.id,
                given=f"'{wall.id}', already a wall of '{seen[wall.id]}'",
                allowed="each wall id once in the shop",
                mend="Rename one of the two.",
            )
        seen.setdefault(wall.id, wall.room)


def _apart(plan: ShellPlan) -> Iterator[Fault]:
    rooms = list(plan.rooms.items())
    for index, (name, outline) in enumerate(rooms):
        for other, neighbour in rooms[:index]:
            # Walks may be an inch open, so neighbours may share an inch.
            if not outline.intersection(neighbour).buffer(-CLOSING_MM / 2).is_empty:
                yield fault(
                    SHOP,
                    "rooms",
                    name,
                    given=f"floor that lies in '{other}' as well",
                    allowed="rooms side by side",
                    mend="Correct its start, heading or corners.",
                )


def _wall_heights(room: Room, style: LengthStyle) -> Iterator[Fault]:
    lengths: dict[str, float] = {}
    for _, start, end, wall in walk(room):
        if wall is not None:
            lengths[wall.id] = lengths.get(wall.id, 0.0) + math.dist(start, end)
    for wall in room.walls:
        for index, point in enumerate(wall.heights):
            if point.offset > lengths[wall.id] + CLOSING_MM:
                yield fault(
                    SHOP,
                    "rooms",
                    room.id,
                    "walls",
                    wall.id,
                    "heights",
                    f"height {index + 1}",
                    "offset",
                    given=format_length(point.offset, style),
                    allowed=f"at most the wall's length, {format_length(lengths[wall.id], style)}",
                    mend="Correct the offset or the wall's length.",
                )


def _columns(shop: Shop, plan: ShellPlan) -> Iterator[Fault]:
    for column in shop.columns:
        if column_outline(column).intersection(plan.floor).area <= TOLERANCE_MM:
            yield fault(
                SHOP,
                "columns",
                column.id,
                "at",
                given=place(column.at, shop.units),
                allowed="a place in a room",
                mend="Measure its centre from the same zero as the rooms, x east and y north.",
            )


def _zones(shop: Shop, plan: ShellPlan) -> Iterator[Fault]:
    floor = plan.floor.buffer(CLOSING_MM, join_style="mitre")
    for zone in shop.zones:
        yield from outline_faults(SHOP, ("zones", zone.id, "corners"), zone.corners)
        outline = Polygon(zone.corners)
        if outline.is_valid and outline.difference(floor).area > TOLERANCE_MM:
            outside = next((c for c in zone.corners if not floor.covers(LineString([c, c]))), None)
            where = f"a corner at {place(outside, shop.units)}" if outside else "a stretch"
            yield fault(
                SHOP,
                "zones",
                zone.id,
                "corners",
                given=f"{where} outside the rooms",
                allowed="floor of the rooms",
                mend="Correct the corners; give each room a zone of its own.",
            )


def outline_faults(
    file: str, path: tuple[str, ...], corners: tuple[PlanPoint, ...]
) -> Iterator[Fault]:
    """Say if an outline crosses itself or holds no floor."""
    outline = Polygon(corners)
    if not outline.is_valid or outline.area < TOLERANCE_MM:
        crossed = outline.area >= TOLERANCE_MM
        yield fault(
            file,
            *path,
            given="an outline that crosses itself" if crossed else "an outline without floor",
            allowed="corners in order round the outline",
            mend="Correct the corners or their order.",
        )


def place(at: PlanPoint, style: LengthStyle) -> str:
    """Say a place on the plan in the user's units."""
    return f"({format_length(at[0], style)}, {format_length(at[1], style)})"
