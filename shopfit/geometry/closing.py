"""A walk round a room that does not close: which single length or turn would close it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from shapely import Polygon

from shopfit.geometry.shell import PlanPoint, room_outline, walk
from shopfit.model.shell import Room, Wall
from shopfit.units import INCH_MM, TOLERANCE_MM

CLOSING_MM = INCH_MM
WHOLE_TURN_DEG = 360.0
# Tapes and bevels are read to a fraction of a degree; less than this is a whole turn.
TURN_SLACK_DEG = 0.5


@dataclass(frozen=True)
class ClosingMend:
    """One measure that, changed alone, closes the walk.

    Parameters
    ----------
    wall
        Whose length, or at whose end the turn.
    what
        Which measure of it.
    now, then
        As given, and as it would have to be; mm, or degrees to the right.
    left_mm
        How far the walk would still be open.
    turns_agree
        Whether the turns add up to a whole turn after it.
    """

    wall: str
    what: Literal["length", "turn"]
    now: float
    then: float
    left_mm: float
    turns_agree: bool


def turned(room: Room) -> float:
    """Give how far one has turned to the right after the walk round a room, degrees."""
    return sum(wall.turn + (wall.arc.sweep if wall.arc is not None else 0.0) for wall in room.walls)


def turns_agree(degrees: float) -> bool:
    """Say whether turns add up to one whole turn, to the right or to the left."""
    return abs(abs(degrees) - WHOLE_TURN_DEG) <= TURN_SLACK_DEG


def closing_mends(room: Room, open_mm: float = CLOSING_MM) -> tuple[ClosingMend, ...]:
    """List the single lengths and turns that, changed, close the walk round a room.

    A length moves the end of the walk along its own wall. A turn swings everything after it
    round the corner, so it can close only what ends as far from that corner as it began. What
    would make walls cross is left out.

    Parameters
    ----------
    room
        A room given by walls.
    open_mm
        How far a walk may stay open, mm.

    Returns
    -------
    The likeliest first: those after which the turns add up, then the smaller rest, then the
    smaller change.
    """
    if room.corners:
        return ()
    found = [
        mend
        for mend in (*_lengths(room, open_mm), *_turns(room, open_mm))
        if _simple(_changed(room, mend))
    ]
    return tuple(sorted(found, key=lambda mend: _unlikely(mend, room)))


def mended(room: Room, mend: ClosingMend) -> Room:
    """Give the room with one measure changed."""
    return _changed(room, mend)


def _lengths(room: Room, open_mm: float) -> Iterator[ClosingMend]:
    east, north = _gap(room)
    agree = turns_agree(turned(room))
    for name, start, end, wall in walk(room):
        if wall is None or wall.length is None:
            continue
        ux, uy = (end[0] - start[0]) / wall.length, (end[1] - start[1]) / wall.length
        along = east * ux + north * uy
        left = math.hypot(east - along * ux, north - along * uy)
        then = wall.length - along
        if left <= open_mm and then > TOLERANCE_MM and abs(along) > TOLERANCE_MM:
            yield ClosingMend(name, "length", wall.length, then, left, agree)


def _turns(room: Room, open_mm: float) -> Iterator[ClosingMend]:
    steps = list(walk(room))
    start, end = steps[0][1], steps[-1][2]
    total = turned(room)
    corners = {wall.id: after for _, _, after, wall in steps if wall is not None}
    # The turn at the end of the last wall moves nothing.
    for wall in room.walls[:-1]:
        pivot = corners[wall.id]
        reach, wanted = math.dist(pivot, end), math.dist(pivot, start)
        if abs(reach - wanted) > open_mm or min(reach, wanted) <= open_mm:
            continue
        more = _right_degrees(
            (end[0] - pivot[0], end[1] - pivot[1]), (start[0] - pivot[0], start[1] - pivot[1])
        )
        then = _half_turns(wall.turn + more)
        if abs(more) * math.pi / 180 * reach > TOLERANCE_MM:
            agree = turns_agree(total - wall.turn + then)
            yield ClosingMend(wall.id, "turn", wall.turn, then, abs(reach - wanted), agree)


def _gap(room: Room) -> PlanPoint:
    steps = list(walk(room))
    return (steps[-1][2][0] - steps[0][1][0], steps[-1][2][1] - steps[0][1][1])


def _right_degrees(before: PlanPoint, after: PlanPoint) -> float:
    turn = math.atan2(before[1], before[0]) - math.atan2(after[1], after[0])
    return _half_turns(math.degrees(turn))


def _half_turns(degrees: float) -> float:
    """Give the same direction from -180 (left out) to 180 degrees."""
    rest = (degrees + 180.0) % 360.0 - 180.0
    return 180.0 if rest == -180.0 else round(rest, 9) + 0.0


def _changed(room: Room, mend: ClosingMend) -> Room:
    walls = tuple(_one_changed(wall, mend) if wall.id == mend.wall else wall for wall in room.walls)
    return room.model_copy(update={"walls": walls})


def _one_changed(wall: Wall, mend: ClosingMend) -> Wall:
    return wall.model_copy(update={mend.what: mend.then})


def _simple(room: Room) -> bool:
    corners = room_outline(room)
    return len(corners) >= 3 and Polygon(corners).is_valid


def _unlikely(mend: ClosingMend, room: Room) -> tuple[bool, int, float, float, str]:
    if mend.what == "length":
        change = abs(mend.then - mend.now) / max(mend.now, mend.then)
    else:
        change = abs(_half_turns(mend.then - mend.now)) / 180.0
    # A rest under a sixteenth of an inch is no evidence either way.
    return (
        not mend.turns_agree,
        round(mend.left_mm / (INCH_MM / 16)),
        change,
        mend.then,
        mend.wall,
    )
