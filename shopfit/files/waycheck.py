"""Checks that landings, runs and steps of the way in can lie where they are told to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shapely import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit.errors import Fault
from shopfit.files.parts import SHOP, fault
from shopfit.geometry.landing import Platform
from shopfit.geometry.openings import approached_door
from shopfit.geometry.shell import ShellPlan
from shopfit.geometry.wayin import (
    Laid,
    WayInPlan,
    below,
    foot_of,
    head_of,
    lay,
    places_told,
    stations,
)
from shopfit.model.approach import Approach, Leaves, Ramp, Steps
from shopfit.model.openings import Door
from shopfit.model.scenario import Shop
from shopfit.units import TOLERANCE_MM, LengthStyle, format_length

_WAY = ("approach", "ramps")


def check_way_in(shop: Shop, plan: ShellPlan, lost: frozenset[str]) -> Iterator[Fault]:
    """Give the faults of where the parts of the way in are told to lie.

    Parameters
    ----------
    shop, plan
        What could be read, and the rooms that are sound.
    lost
        Lists that are not complete.
    """
    approach, door = shop.approach, approached_door(shop)
    if "approach" in lost or not places_told(approach):
        return
    width = door.width if door is not None else 0.0
    faults = list(_told_twice(approach, shop.units))
    known = len(approach.ramps)
    for index, (landing, left, way) in enumerate(stations(approach, width)):
        here = list(_run(approach, index, landing, shop.units))
        if not here:
            foot = foot_of(approach, index, left, way)
            here = list(_foot(approach, index, foot, shop.units))
        faults += here
        # What follows lies wrong as well, so it is not looked at.
        if here:
            known = index
            break
    yield from faults
    in_steps = list(_steps(approach, head_of(approach, width), shop.units))
    yield from in_steps
    laid = [
        part
        for part in lay(approach, width)
        if (not in_steps if part.kind == "steps" else _before(part, known))
    ]
    yield from _overlaps(approach, laid, shop.units)
    yield from _in_building(shop, approach, laid, door, plan)


def _before(part: Laid, known: int) -> bool:
    return known > 0 if part.ramp is None else part.ramp < known


def _told_twice(approach: Approach, style: LengthStyle) -> Iterator[Fault]:
    for upper, lower in zip(approach.ramps, approach.ramps[1:], strict=False):
        first, second = upper.bottom.left, lower.top.left
        if first is None or second is None or abs(first - second) <= TOLERANCE_MM:
            continue
        yield fault(
            SHOP,
            *(*_WAY, lower.id, "top", "left"),
            given=format_length(second, style),
            allowed=f"{format_length(first, style)}, as at the bottom of {upper.id}",
            mend="It is one landing: correct one of the two, or take it out.",
        )


def _run(approach: Approach, index: int, landing: Platform, style: LengthStyle) -> Iterator[Fault]:
    """Look at the landing at the door, where it is the first, and at how a run leaves it."""
    ramp, path = approach.ramps[index], (*_WAY, approach.ramps[index].id)
    if index == 0:
        most = max(0.0, landing.wide - landing.coming)
        yield from _left((*path, "top"), ramp.top.left, most, "the door", style)
        if ramp.leaves in ("back left", "back right"):
            yield fault(
                SHOP,
                *path,
                "leaves",
                given=f"'{ramp.leaves}' from the door",
                allowed="ahead, left or right for the first run",
                mend="Say which way it goes as one comes out of the door.",
            )
            return
    yield from _leaving(path, ramp, landing, style)


def _leaving(
    path: tuple[str, ...], what: Ramp | Steps, landing: Platform, style: LengthStyle
) -> Iterator[Fault]:
    """Look whether what leaves a landing finds room on the side that it leaves by."""
    leaves: Leaves = what.leaves or "ahead"
    room = landing.room(leaves)
    if what.set_off is None and leaves == "ahead":
        return
    if what.width > room + TOLERANCE_MM:
        yield fault(
            SHOP,
            *path,
            "leaves" if what.leaves is not None else "set_off",
            given=f"{leaves}, {format_length(what.width, style)} wide",
            allowed=f"a side of the landing with room for it; there is "
            f"{format_length(max(0.0, room), style)}",
            mend="Correct leaves, left of the landing, or the size of one of the two.",
        )
    elif what.set_off is not None and what.set_off > room - what.width + TOLERANCE_MM:
        yield fault(
            SHOP,
            *path,
            "set_off",
            given=format_length(what.set_off, style),
            allowed=f"at most {format_length(room - what.width, style)}, where the landing ends",
            mend="Measure again, or correct the size of the landing or its left.",
        )


def _foot(approach: Approach, index: int, foot: Platform, style: LengthStyle) -> Iterator[Fault]:
    """Look at where the landing below a run lies."""
    ramp = approach.ramps[index]
    told, most = below(approach, index)[2], max(0.0, foot.wide - foot.coming)
    path = (*_WAY, ramp.id, "bottom")
    if ramp.bottom.left is None and told is not None:
        path = (*_WAY, approach.ramps[index + 1].id, "top")
    yield from _left(path, told, most, ramp.id, style)


def _left(
    path: tuple[str, ...], told: float | None, most: float, what: str, style: LengthStyle
) -> Iterator[Fault]:
    if told is not None and told > most + TOLERANCE_MM:
        yield fault(
            SHOP,
            *path,
            "left",
            given=format_length(told, style),
            allowed=f"at most {format_length(most, style)}, so that it lies before all of {what}",
            mend="Measure again, or correct the size of the landing.",
        )


def _steps(approach: Approach, head: Platform | None, style: LengthStyle) -> Iterator[Fault]:
    steps = approach.steps
    if steps is None:
        return
    if head is not None:
        yield from _leaving(("approach", "steps"), steps, head, style)
        return
    for name, told in (("leaves", steps.leaves), ("set_off", steps.set_off)):
        if told is not None:
            yield fault(
                SHOP,
                *("approach", "steps", name),
                given=f"'{told}'" if isinstance(told, str) else format_length(told, style),
                allowed="steps off the landing of a ramp",
                mend="Take it out: without a ramp steps go straight out from the door.",
            )


def _overlaps(approach: Approach, laid: Sequence[Laid], style: LengthStyle) -> Iterator[Fault]:
    for number, part in enumerate(laid):
        for other in laid[:number]:
            us = min(part.rect[1], other.rect[1]) - max(part.rect[0], other.rect[0])
            vs = min(part.rect[3], other.rect[3]) - max(part.rect[2], other.rect[2])
            if min(us, vs) <= TOLERANCE_MM:
                continue
            size = f"{format_length(us, style)} x {format_length(vs, style)}"
            yield fault(
                SHOP,
                *_field(approach, part),
                given=f"{size} that {_name(other)} lies on as well",
                allowed="parts that lie side by side",
                mend=f"Correct leaves, set_off or left, or the size of {_name(part)}.",
            )


def _in_building(
    shop: Shop, approach: Approach, laid: Sequence[Laid], door: Door | None, plan: ShellPlan
) -> Iterator[Fault]:
    wall = next((wall for wall in plan.walls if door and wall.id == door.wall), None)
    if door is None or wall is None:
        return
    placed = WayInPlan(wall, door)
    band: Polygon = wall.rectangle(0.0, wall.length, 0.0, -door.depth)
    inside: BaseGeometry = unary_union([plan.floor, band] if door.depth else [plan.floor])
    for part in laid:
        shape = placed.shape(part.rect).buffer(-TOLERANCE_MM, join_style="mitre")
        rooms = (f"room '{name}'" for name, room in plan.rooms.items() if room.intersects(shape))
        met = next(rooms, "the wall")
        if inside.intersects(shape):
            yield fault(
                SHOP,
                *_field(approach, part),
                given=f"{_name(part)} in {met}",
                allowed="ground outside the building",
                mend="Correct leaves, set_off or left, or its size.",
            )
            # What leads on from it is in there as well.
            return


def _name(part: Laid) -> str:
    return f"the {part.name}" if part.kind not in ("run", "steps") else part.name


def _field(approach: Approach, part: Laid) -> tuple[str, ...]:
    """Give the field that says where a part lies."""
    if part.kind == "steps":
        return ("approach", "steps", "leaves")
    ramp = approach.ramps[part.ramp or 0]
    if part.ramp is None:
        return (*_WAY, ramp.id, "top")
    return (*_WAY, ramp.id, "leaves" if part.kind == "run" else "bottom")
