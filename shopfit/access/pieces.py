"""The rectangles that an arrangement is made of, and the arrangement as it was found."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, NamedTuple

from shopfit.access.sizes import Head, Sizes
from shopfit.geometry.doorframe import Rect
from shopfit.model.rampplan import PartKind
from shopfit.units import TOLERANCE_MM

Turn = tuple[Literal["quarter", "back"], int]
TURNS: tuple[Turn, ...] = (("quarter", -1), ("quarter", 1), ("back", -1), ("back", 1))
CORNERS = ("outer", "inner")


class Piece(NamedTuple):
    """A rectangle of an arrangement in the door's frame.

    Parameters
    ----------
    kind
        What it is.
    clear, whole
        Its clear surface, and with what stands beside it, mm.
    axis, sign
        The way one walks down over it, or comes to it.
    """

    kind: PartKind
    clear: Rect
    whole: Rect
    axis: int
    sign: int


@dataclass(frozen=True)
class Found:
    """An arrangement that fits.

    Parameters
    ----------
    ratio
        The number behind 1: of its slope.
    head
        The landing at the door.
    turns
        Which way it turns, as signs along the axes of the door's frame.
    legs
        Level length of runs between turns, mm.
    flights
        How many runs each of these is.
    pieces
        Its rectangles from the door down.
    steps
        The rectangles of steps, if there are any.
    corner
        Whether the runs at a quarter turn lie at the outer sides of its landing or the inner.
    sizes
        What it is made of.
    """

    ratio: float
    head: Head
    corner: str
    turns: tuple[Turn, ...]
    legs: tuple[float, ...]
    flights: tuple[int, ...]
    pieces: tuple[Piece, ...]
    steps: tuple[Piece, ...]
    sizes: Sizes

    @property
    def way(self) -> tuple[int, int, tuple[Turn, ...]]:
        """Its start and turns."""
        return (self.head.axis, self.head.sign, self.turns)

    @property
    def bounds(self) -> Rect:
        """The least rectangle round it."""
        all_of_them = [piece.whole for piece in self.pieces]
        return (
            min(r[0] for r in all_of_them),
            max(r[1] for r in all_of_them),
            min(r[2] for r in all_of_them),
            max(r[3] for r in all_of_them),
        )

    @property
    def covered(self) -> float:
        """Ground that runs and landings cover, square mm."""
        rects = [piece.whole for piece in self.pieces]
        total = sum((u1 - u0) * (v1 - v0) for u0, u1, v0, v1 in rects)
        for k, rect in enumerate(rects[1:], start=1):
            total -= _shared(rect, rects[k - 1])
            if k > 1:
                # Two runs that meet at a corner of their landing share a corner of it too.
                total -= _shared(rect, rects[k - 2]) - _shared(rect, rects[k - 2], rects[k - 1])
        return total


def _shared(*rects: Rect) -> float:
    wide = min(r[1] for r in rects) - max(r[0] for r in rects)
    high = min(r[3] for r in rects) - max(r[2] for r in rects)
    return wide * high if wide > 0 and high > 0 else 0.0


def meet(a: Rect, b: Rect) -> bool:
    """Say whether two rectangles share any ground, beyond the tolerance."""
    slack = 2 * TOLERANCE_MM
    return min(a[1], b[1]) - max(a[0], b[0]) > slack and min(a[3], b[3]) - max(a[2], b[2]) > slack
