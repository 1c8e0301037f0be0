"""Goes through all arrangements of a ramp: every start, turn and share of the rise on the grid."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

from shopfit.access.ground import Ground
from shopfit.access.pieces import CORNERS, TURNS, Found, Piece, Turn, meet
from shopfit.access.sizes import Head, Sizes, run_most, sizes
from shopfit.geometry.doorframe import Rect
from shopfit.model.rampplan import StepsPlan
from shopfit.model.rampsite import RampTask
from shopfit.standards import Rulebook
from shopfit.units import TOLERANCE_MM


class _At(NamedTuple):
    """Where a leg begins: the axis and the way, the place along it, and its lower clear side."""

    axis: int
    sign: int
    start: float
    low: float


class Search:
    """All arrangements of one slope on some ground.

    Parameters
    ----------
    task, book
        What is asked, and whose values.
    ground
        In the door's frame.
    ratio
        The number behind 1: of the slope.
    sizes
        Of the parts.
    steps
        Steps that have to fit as well, or none.

    Attributes
    ----------
    tried
        How many arrangements were laid down whole.
    """

    def __init__(
        self,
        task: RampTask,
        book: Rulebook,
        ground: Ground,
        ratio: float,
        sizes: Sizes,
        steps: StepsPlan | None,
    ) -> None:
        self.task, self.book, self.ground = task, book, ground
        self.ratio, self.size, self.steps = ratio, sizes, steps
        self.length = task.rise * ratio
        self.most = run_most(task, book, ratio)
        self.step = task.limits.step
        self.tried = 0

    def all(self, heads: tuple[Head, ...]) -> Iterator[Found]:
        """Give every arrangement that fits, in a fixed order."""
        if self.most <= TOLERANCE_MM:
            return
        limits = self.task.limits
        for count in range(limits.fewest_turns, limits.most_turns + 1):
            for head in heads:
                if not self.ground.free(head.whole):
                    self.tried += 1
                    continue
                first = Piece("head", head.clear, head.whole, head.axis, head.sign)
                at = _At(head.axis, head.sign, head.start, head.low)
                for corner in CORNERS[: 2 if count else 1]:
                    yield from self._leg(head, at, corner, count, self.length, (), (), (first,))

    def _leg(
        self,
        head: Head,
        at: _At,
        corner: str,
        left: int,
        rest: float,
        turns: tuple[Turn, ...],
        legs: tuple[float, ...],
        pieces: tuple[Piece, ...],
    ) -> Iterator[Found]:
        if left == 0:
            yield from self._last(head, at, corner, rest, turns, legs, pieces)
            return
        reach = self._strip(at)
        if reach <= 0 or rest < 2 * TOLERANCE_MM:
            return
        for turn in TURNS:
            if corner == "inner" and all(t[0] == "back" for t in (*turns, turn)) and left == 1:
                continue  # where it only turns back, corners make no difference
            for leg in self._lengths(at, turn, corner, rest, left, reach):
                end = at.start + at.sign * self._along(leg)
                landing, then = self._turn(at, end, turn, corner)
                placed = self._laid(at, leg, pieces) if self._clear_of(landing, pieces) else None
                if placed is None:
                    self.tried += 1
                    continue
                yield from self._leg(
                    head,
                    then,
                    corner,
                    left - 1,
                    rest - leg,
                    (*turns, turn),
                    (*legs, leg),
                    (*placed, landing),
                )

    def _last(
        self,
        head: Head,
        at: _At,
        corner: str,
        rest: float,
        turns: tuple[Turn, ...],
        legs: tuple[float, ...],
        pieces: tuple[Piece, ...],
    ) -> Iterator[Found]:
        self.tried += 1
        size, along = self.size, self._along(rest)
        if along + size.foot > self._strip(at) + TOLERANCE_MM:
            return
        placed = self._laid(at, rest, pieces)
        if placed is None:
            return
        end = at.start + at.sign * along
        clear = _rect(at, end, end + at.sign * size.foot, at.low, at.low + size.width)
        whole = _wider(clear, at.axis, size.beside)
        foot = Piece("foot", clear, whole, at.axis, at.sign)
        if not self._clear_of(foot, placed[:-1]):
            return
        flights = tuple(self._flights(leg) for leg in (*legs, rest))
        if not self._passing_kept(sum(flights)):
            return
        placed = (*placed, foot)
        steps = self._steps(head, placed)
        if steps is not None:
            found = Found(
                self.ratio, head, corner, turns, (*legs, rest), flights, placed, steps, self.size
            )
            yield found

    def _passing_kept(self, flights: int) -> bool:
        """Keep short ramps to small landings, and long ones to passing places."""
        if "landing-passing" not in self.book:
            return True
        return (flights >= 3) == (self.size.passing > 0)

    def _flights(self, leg: float) -> int:
        return max(1, math.ceil((leg - TOLERANCE_MM) / self.most))

    def _along(self, leg: float) -> float:
        """Give the length of a leg with the landings between its runs, mm."""
        return leg + (self._flights(leg) - 1) * self.size.between

    def _strip(self, at: _At) -> float:
        size = self.size
        low, high = at.low - size.beside, at.low + size.width + size.beside
        return self.ground.reach(at.axis, low, high, at.start, at.sign)

    def _lengths(
        self, at: _At, turn: Turn, corner: str, rest: float, left: int, reach: float
    ) -> list[float]:
        """Give the lengths to try for a leg before a turn: the grid, equal shares, and limits.

        After it follow one leg and ``left`` less one turns; what they cannot hold in the whole
        ground is left out.
        """
        legs = left + 1
        least = min(self.step, rest / legs)
        most = rest - (legs - 1) * least
        tried = {rest / legs, least, most}
        sides = self.ground.sides
        next_side = sides[at.axis if turn[0] == "back" else 1 - at.axis]
        least = max(least, rest - next_side - (left - 1) * max(sides))
        tried |= {k * self.step for k in range(1, math.floor(most / self.step + 1e-9) + 1)}
        for along in self._limits(at, turn, corner, reach):
            tried |= self._of_along(along)
        # Whole runs, here or in what follows, leave the fewest landings.
        whole = [k * self.most for k in range(1, math.floor(rest / self.most + 1e-9) + 1)]
        tried |= {*whole, *(rest - each for each in whole)}
        end = reach + TOLERANCE_MM
        kept = (each for each in tried if least - 1e-6 <= each <= most + 1e-6)
        return sorted({round(each, 6) for each in kept if self._along(each) <= end})

    def _limits(self, at: _At, turn: Turn, corner: str, reach: float) -> list[float]:
        """Give the lengths at which the leg or the landing after it touches what is in the way."""
        landing, _ = self._turn(at, at.start, turn, corner)
        u0, u1, v0, v1 = landing.whole
        low, high, near, far = (v0, v1, u0, u1) if at.axis == 0 else (u0, u1, v0, v1)
        found = [reach]
        for a, b in self.ground.blocked(at.axis, low, high):
            found += [a - far, b - near] if at.sign > 0 else [near - b, far - a]
        return [each for each in found if 0 < each <= reach + TOLERANCE_MM]

    def _of_along(self, along: float) -> set[float]:
        """Give the legs that take up a length with the landings in them."""
        found = set()
        for flights in range(1, 12):
            leg = along - (flights - 1) * self.size.between
            if leg > TOLERANCE_MM and self._flights(leg) == flights:
                found.add(leg)
            most = flights * self.most
            if leg > most:
                found.add(most)
        return found

    def _laid(self, at: _At, leg: float, pieces: tuple[Piece, ...]) -> tuple[Piece, ...] | None:
        """Lay down the runs of a leg with the landings between them, or give none."""
        size, count = self.size, self._flights(leg)
        start, run = at.start, leg / count
        for number in range(count):
            end = start + at.sign * run
            clear = _rect(at, start, end, at.low, at.low + size.width)
            piece = Piece("run", clear, _wider(clear, at.axis, size.beside), at.axis, at.sign)
            # The landing it leaves, and the run before that at a corner, may be touched.
            touched = 1 if number or len(pieces) == 1 else 2
            if not self._clear_of(piece, pieces[:-touched]):
                return None
            pieces = (*pieces, piece)
            if number < count - 1:
                start = end + at.sign * size.between
                high = at.low + max(size.width, size.passing)
                clear = _rect(at, end, start, at.low, high)
                whole = _wider(clear, at.axis, size.beside)
                piece = Piece("between", clear, whole, at.axis, at.sign)
                if not self._clear_of(piece, pieces[:-1]):
                    return None
                pieces = (*pieces, piece)
        return pieces

    def _clear_of(self, piece: Piece, pieces: tuple[Piece, ...]) -> bool:
        """Say whether a piece is on free ground, and off others."""
        if not self.ground.free(piece.whole, piece.axis):
            return False
        return not any(meet(piece.whole, other.whole) for other in pieces)

    def _turn(self, at: _At, end: float, turn: Turn, corner: str) -> tuple[Piece, _At]:
        """Give the landing of a turn at the end of a leg, and where the next leg begins."""
        size, (kind, side) = self.size, turn
        if kind == "back":
            over = size.width + size.apart
            low = at.low if side > 0 else at.low - over
            clear = _rect(at, end, end + at.sign * size.back, low, low + size.width + over)
            then = _At(at.axis, -at.sign, end, at.low + side * over)
        else:
            inward = (corner == "outer") == (side > 0)
            low = at.low if inward else at.low + size.width - size.corner
            clear = _rect(at, end, end + at.sign * size.corner, low, low + size.corner)
            near = end if at.sign > 0 else end - size.width
            far = end + size.corner - size.width if at.sign > 0 else end - size.corner
            start = low + size.corner if side > 0 else low
            then = _At(1 - at.axis, side, start, far if corner == "outer" else near)
        return Piece("turn", clear, _all_round(clear, size.beside), at.axis, at.sign), then

    def _steps(self, head: Head, pieces: tuple[Piece, ...]) -> tuple[Piece, ...] | None:
        """Give the first place beside the landing at the door where the steps fit, or none."""
        if self.steps is None:
            return ()
        for flight, floor in self._step_places(head, self.steps):
            both = (flight, floor)
            if all(self.ground.free(each.whole, each.axis) for each in both) and not any(
                meet(each.whole, other.whole) for each in both for other in pieces[1:]
            ):
                return both
        return None

    def _step_places(self, head: Head, steps: StepsPlan) -> Iterator[tuple[Piece, Piece]]:
        size, width, beside = self.size, steps.width_mm, self.size.step_beside
        u0, u1, _, deep = head.clear
        going = size.step_extension + (steps.count - 1) * steps.tread_mm
        sides = [(1, 1, deep, (u0, u1)), (0, -1, u0, (0.0, deep)), (0, 1, u1, (0.0, deep))]
        for axis, sign, start, (low, high) in sides:
            nearest = low + (size.step_beside if axis == 0 else 0.0)
            if high - nearest < width - TOLERANCE_MM:
                continue
            for side in sorted({nearest, max(nearest, high - width)}):
                at = _At(axis, sign, start, side)
                end = start + sign * max(going, 1.0)
                flight = _rect(at, start, end, side, side + width)
                floor = _rect(at, end, end + sign * width, side, side + width)
                yield (
                    Piece("steps", flight, _wider(flight, axis, beside), axis, sign),
                    Piece("steps foot", floor, _wider(floor, axis, beside), axis, sign),
                )


def _rect(at: _At, start: float, end: float, low: float, high: float) -> Rect:
    start, end = min(start, end), max(start, end)
    return (start, end, low, high) if at.axis == 0 else (low, high, start, end)


def _wider(rect: Rect, axis: int, beside: float) -> Rect:
    u0, u1, v0, v1 = rect
    if axis == 0:
        return (u0, u1, v0 - beside, v1 + beside)
    return (u0 - beside, u1 + beside, v0, v1)


def _all_round(rect: Rect, beside: float) -> Rect:
    u0, u1, v0, v1 = rect
    return (u0 - beside, u1 + beside, v0 - beside, v1 + beside)


def size_choices(task: RampTask, book: Rulebook) -> tuple[Sizes, ...]:
    """Give the sizes to try: with and without passing places, where the rulebook has them."""
    plain = sizes(task, book)
    if "landing-passing" not in book:
        return (plain,)
    return plain, sizes(task, book, passing=True)
