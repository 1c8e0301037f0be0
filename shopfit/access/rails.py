"""The course of handrails: along runs, round landings, and on beyond the ends."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from shopfit.access.pieces import Piece
from shopfit.geometry.doorframe import Frame, Rect
from shopfit.model.rampplan import Rail
from shopfit.units import TOLERANCE_MM

Spot = tuple[float, float, float]


def sides(piece: Piece) -> tuple[tuple[tuple[float, float], tuple[float, float]], ...]:
    """Give the two long sides of a piece as one walks down: lower and higher on the other axis.

    Each is the place where one comes to the piece and the place where one leaves it, mm.
    """
    u0, u1, v0, v1 = piece.clear
    if piece.axis == 0:
        start, end = (u0, u1) if piece.sign > 0 else (u1, u0)
        return ((start, v0), (end, v0)), ((start, v1), (end, v1))
    start, end = (v0, v1) if piece.sign > 0 else (v1, v0)
    return ((u0, start), (u0, end)), ((u1, start), (u1, end))


def right_hand(piece: Piece) -> int:
    """Give which of the two sides lies to the right as one walks down, in the plan.

    The door's frame is a mirror image of the plan: its second axis is turned to the right of the
    first as one faces the door.
    """
    return int((piece.axis == 0) == (piece.sign > 0))


def ramp_rails(
    pieces: Sequence[Piece], heights: Sequence[tuple[float, float]], extension: float
) -> tuple[list[Spot], list[Spot]]:
    """Give the courses of the left and the right handrail in the door's frame.

    Parameters
    ----------
    pieces, heights
        Of the ramp from the door down, and the height of each at its upper and lower end, mm.
    extension
        How far they run on beyond the first and the last run, mm.
    """
    courses: tuple[list[Spot], list[Spot]] = ([], [])
    for index, piece in enumerate(pieces):
        if piece.kind != "run":
            continue
        top, bottom = heights[index]
        for hand in (0, 1):
            side = right_hand(piece) if hand else 1 - right_hand(piece)
            start, end = sides(piece)[side]
            course = courses[hand]
            if course:
                course += _round(pieces[index - 1].clear, course[-1], start, top, hand)
            course += [(*start, top), (*end, bottom)]
    first = next(piece for piece in pieces if piece.kind == "run")
    last = [piece for piece in pieces if piece.kind == "run"][-1]
    return tuple(_extended(course, first, last, extension) for course in courses)  # type: ignore[return-value]


def _extended(course: list[Spot], first: Piece, last: Piece, extension: float) -> list[Spot]:
    def beyond(spot: Spot, piece: Piece, sign: int) -> Spot:
        move = [0.0, 0.0]
        move[piece.axis] = sign * piece.sign * extension
        return (spot[0] + move[0], spot[1] + move[1], spot[2])

    return [beyond(course[0], first, -1), *course, beyond(course[-1], last, 1)]


def _round(
    landing: Rect, last: Spot, then: tuple[float, float], height: float, hand: int
) -> list[Spot]:
    """Give the corners of a landing that a rail passes between two places on its edge.

    Facing along the way, the left rail goes clockwise round a landing as drawn in the plan and
    the right one anticlockwise; the door's frame mirrors that.
    """
    u0, u1, v0, v1 = landing
    ring = [(u0, v0), (u1, v0), (u1, v1), (u0, v1)]
    length = 2 * (u1 - u0 + v1 - v0)

    def along(place: tuple[float, float]) -> float:
        u, v = place
        if abs(v - v0) <= 2 * TOLERANCE_MM:
            return u - u0
        if abs(u - u1) <= 2 * TOLERANCE_MM:
            return u1 - u0 + v - v0
        if abs(v - v1) <= 2 * TOLERANCE_MM:
            return u1 - u0 + v1 - v0 + u1 - u
        return length - (v - v0)

    sign = 1 if hand == 0 else -1
    start, end = along(last[:2]), along(then)
    far = (sign * (end - start)) % length
    if far > length - 3 * TOLERANCE_MM:
        return []  # the two runs meet at a corner
    passed = []
    for corner in ring:
        at = (sign * (along(corner) - start)) % length
        if TOLERANCE_MM * 3 < at < far - TOLERANCE_MM * 3:
            passed.append((at, corner))
    return [(*corner, height) for _, corner in sorted(passed)]


def rail(name: str, course: Sequence[Spot], frame: Frame, extension: float, spacing: float) -> Rail:
    """Measure a course in the door's frame and give it in the plan.

    Parameters
    ----------
    name
        Of the handrail.
    course
        Its corners with the height of what one walks on, mm.
    frame
        The door's frame.
    extension
        What of it are level extensions, mm.
    spacing
        Most between posts, mm.
    """
    spots = [spot for k, spot in enumerate(course) if k == 0 or math.dist(spot, course[k - 1]) > 0]
    length = sum(math.dist(a, b) for a, b in pairwise(spots))
    bends = sum(_bends(a, b, c) for a, b, c in zip(spots, spots[1:], spots[2:], strict=False))
    points = tuple((*frame.to_plan(u, v), z) for u, v, z in spots)
    posts = math.ceil((length - 2 * extension - TOLERANCE_MM) / spacing) + 1
    return Rail(
        id=name,
        points=points,
        length_mm=length,
        extension_mm=extension * 2,
        bends=bends,
        posts=max(2, posts),
    )


def _bends(a: Spot, b: Spot, c: Spot) -> bool:
    cross = (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
    ahead = (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1])
    return abs(cross) > 1e-6 or ahead < -1e-6
