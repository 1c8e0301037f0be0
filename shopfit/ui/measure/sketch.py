"""What of a shell can be drawn while it is being written, and what closes its walks."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from shopfit.geometry.closing import CLOSING_MM, ClosingMend, closing_mends, turned, turns_agree
from shopfit.geometry.shell import closing_error, walk
from shopfit.model.scenario import Shop
from shopfit.model.shell import Room, Wall
from shopfit.units import LengthStyle, format_length


@dataclass(frozen=True)
class Closing:
    """How a walk stands.

    Parameters
    ----------
    walls
        Walls walked so far.
    open_mm, east_mm, north_mm
        How far it ends from where it began, in all, to the east and to the north.
    turned_deg
        How far one has turned to the right; as given, with the turn after the last wall.
    mends
        Single measures that, changed, would close it; likeliest first.
    last_mm
        Length of one more wall, straight on, that would close it; none where none would.
    """

    walls: int
    open_mm: float
    east_mm: float
    north_mm: float
    turned_deg: float
    mends: tuple[ClosingMend, ...]
    last_mm: float | None

    @property
    def closed(self) -> bool:
        """Whether it ends where it began, within an inch."""
        return self.walls >= 3 and self.open_mm <= CLOSING_MM


def sketch(shop: Shop | None, written: Mapping[str, Any]) -> Shop | None:
    """Give what can be drawn: rooms as far as their walls can be read, and sound things in them.

    Parameters
    ----------
    shop
        What could be read of the shop, or none.
    written
        ``shop.yaml`` as written.
    """
    rooms = tuple(room for each in written.get("rooms") or () if (room := drawable(each)))
    if not rooms:
        return None
    base = shop if shop is not None else Shop(name="shop", rooms=rooms)
    return base.model_copy(update={"rooms": rooms})


def drawable(written: Any) -> Room | None:
    """Give a room with the walls that can be read, or none without any."""
    if not isinstance(written, Mapping):
        return None
    known = {"id": "room", "height": "9 ft", **{k: v for k, v in written.items() if v is not None}}
    try:
        return Room.model_validate(known)
    except ValidationError:
        walls = [wall for each in written.get("walls") or () if (wall := _wall(each))]
    if not walls:
        return None
    stand_in: dict[str, Any] = {"corners": [], "walls": [{"id": "w", "length": "1 m"}]}
    try:
        room = Room.model_validate(known | stand_in)
    except ValidationError:
        room = Room.model_validate({"id": "room", "height": "9 ft"} | stand_in)
    return room.model_copy(update={"walls": tuple(walls)})


def unread(written: Any) -> list[str]:
    """Give the names of the walls of a room that cannot be walked, as they are written."""
    walls = written.get("walls") or () if isinstance(written, Mapping) else ()
    return [
        str(each.get("id") or f"wall {place}") if isinstance(each, Mapping) else f"wall {place}"
        for place, each in enumerate(walls, start=1)
        if _wall(each) is None
    ]


def closing(room: Room) -> Closing:
    """Say how the walk round a room stands."""
    east, north = closing_error(room)
    gap = math.hypot(east, north)
    mends = closing_mends(room) if gap > CLOSING_MM and len(room.walls) >= 3 else ()
    last = _last_wall(room, east, north) if gap > CLOSING_MM and len(room.walls) >= 2 else None
    return Closing(len(room.walls), gap, east, north, turned(room), mends, last)


def gap_words(found: Closing, units: LengthStyle) -> str:
    """Say how far and which way a walk is open."""
    ways = []
    for size, plus, minus in ((found.east_mm, "east", "west"), (found.north_mm, "north", "south")):
        if abs(size) >= 0.5:
            ways.append(f"{format_length(abs(size), units)} {plus if size > 0 else minus}")
    whole = format_length(found.open_mm, units)
    total = f" ({whole} in all)" if len(ways) == 2 else ""
    return f"The walk ends {' and '.join(ways)} of where it began{total}."


def turn_words(found: Closing) -> str:
    """Say whether the turns add up; empty where they do."""
    if turns_agree(found.turned_deg):
        return ""
    whole = math.copysign(360, found.turned_deg)
    return (
        f"The turns add up to {found.turned_deg:g}°, not {whole:g}°: one of them is likely wrong."
    )


def mend_words(mend: ClosingMend, units: LengthStyle) -> str:
    """Say what would close a walk."""
    if mend.what == "turn":
        return f"the turn after '{mend.wall}' were {mend.then:.4g}° and not {mend.now:.4g}°"
    change = format_length(abs(mend.then - mend.now), units)
    way = "shorter" if mend.then < mend.now else "longer"
    return f"'{mend.wall}' were {format_length(mend.then, units)}, {change} {way}"


def _wall(written: Any) -> Wall | None:
    try:
        wall = Wall.model_validate(written)
    except ValidationError as error:
        # A wall stands wherever its name is mended.
        if not isinstance(written, Mapping) or {each["loc"] for each in error.errors()} != {
            ("id",)
        }:
            return None
        named = Wall.model_validate({**written, "id": "wall"})
        wall = named.model_copy(update={"id": str(written.get("id") or "wall")})
    return wall if (wall.length is None) != (wall.arc is None) else None


def _last_wall(room: Room, east: float, north: float) -> float | None:
    heading = room.heading - turned(room)
    ux, uy = math.cos(math.radians(heading)), math.sin(math.radians(heading))
    along = -(east * ux + north * uy)
    beside = math.hypot(east + along * ux, north + along * uy)
    return along if along > CLOSING_MM and beside <= CLOSING_MM else None


def wall_names(shop: Shop | None) -> list[str]:
    """List the names of walls that something may be on; chords of curves one by one."""
    if shop is None:
        return []
    return [name for room in shop.rooms for name, _, _, _ in walk(room)]
