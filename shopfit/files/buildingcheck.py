"""Checks that what is said of the building agrees with the rooms."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import Point

from shopfit.errors import Fault
from shopfit.files.parts import SHOP, fault
from shopfit.files.shellcheck import place
from shopfit.geometry.shell import ShellPlan
from shopfit.model.scenario import Shop
from shopfit.units import TOLERANCE_MM, format_length


def check_building(shop: Shop, plan: ShellPlan, lost: frozenset[str]) -> Iterator[Fault]:
    """Give every fault of sprinklers: outside the rooms, above the walls, or named twice.

    Parameters
    ----------
    shop, plan
        What could be read, and the rooms that are sound.
    lost
        Lists that are not complete.
    """
    if "rooms" in lost:
        return
    heights = {
        room.id: max([room.height, *(p.height for wall in room.walls for p in wall.heights)])
        for room in shop.rooms
    }
    deflector = shop.building.deflector
    if deflector is not None and deflector > max(heights.values()) + TOLERANCE_MM:
        yield _too_high(shop, ("building", "deflector"), deflector, max(heights.values()))
    seen: set[str] = set()
    for one in shop.building.sprinklers:
        where = ("building", "sprinklers", one.id)
        if one.id in seen:
            yield fault(
                SHOP,
                *where,
                given=f"'{one.id}' a second time",
                allowed="each id once",
                mend="Rename one of the two.",
            )
        seen.add(one.id)
        rooms = [name for name, room in plan.rooms.items() if room.covers(Point(one.at))]
        if not rooms:
            yield fault(
                SHOP,
                *where,
                "at",
                given=place(one.at, shop.units),
                allowed="a place in a room",
                mend="Measure it from the same zero as the rooms, x east and y north.",
            )
        elif one.deflector > heights[rooms[0]] + TOLERANCE_MM:
            yield _too_high(shop, (*where, "deflector"), one.deflector, heights[rooms[0]])


def _too_high(shop: Shop, where: tuple[str, ...], given: float, most: float) -> Fault:
    return fault(
        SHOP,
        *where,
        given=format_length(given, shop.units),
        allowed=f"at most {format_length(most, shop.units)}, the height of the walls there",
        mend="Measure from the floor up to the deflector, or correct the height of the room.",
    )
