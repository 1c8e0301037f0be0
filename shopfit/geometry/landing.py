"""A landing as one comes onto it, and how what leaves it is told."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from shopfit.geometry.doorframe import Place, Rect
from shopfit.model.approach import Leaves
from shopfit.model.rampplan import PartKind

OUT: Place = (0.0, 1.0)


class Platform(NamedTuple):
    """A landing as one comes onto it.

    Parameters
    ----------
    left, way
        Left end of the side one comes over, and the way one comes.
    deep, wide
        Its size along that way and across, mm.
    reach, coming
        How far it reaches to the left of what comes to it, and how wide that is, mm.
    """

    left: Place
    way: Place
    deep: float
    wide: float
    reach: float
    coming: float

    @property
    def rect(self) -> Rect:
        """Its ground."""
        return rectangle(self.left, self.way, self.deep, self.wide)

    def room(self, leaves: Leaves) -> float:
        """Give how much of a side there is for what leaves over it, mm."""
        return {
            "ahead": self.wide,
            "left": self.deep,
            "right": self.deep,
            "back left": self.reach,
            "back right": self.wide - self.reach - self.coming,
        }[leaves]

    def leave(self, leaves: Leaves, set_off: float | None, width: float) -> tuple[Place, Place]:
        """Give the left end of the upper edge of what leaves it, as one walks down, and the way."""
        if leaves == "ahead":
            in_line = self.reach + (self.coming - width) / 2
            return self._at(self.deep, in_line if set_off is None else set_off), self.way
        off = self.room(leaves) - width if set_off is None else set_off
        if leaves == "left":
            return self._at(off, 0.0), to_left(self.way)
        if leaves == "right":
            return self._at(off + width, self.wide), back(to_left(self.way))
        if leaves == "back left":
            return self._at(0.0, self.reach - off), back(self.way)
        return self._at(0.0, self.reach + self.coming + off + width), back(self.way)

    def _at(self, along: float, across: float) -> Place:
        """Give a place by how far it is along the way one comes, and to the right of the left."""
        right = back(to_left(self.way))
        return moved(moved(self.left, self.way, along), right, across)

    def told(self, rect: Rect, way: Place) -> tuple[Leaves, float]:
        """Give how to tell of what leaves it: which way, and how far it is set off, mm."""
        along, across = self._span(rect, self.way), self._span(rect, back(to_left(self.way)))
        if way == self.way:
            return "ahead", across[0]
        if way == to_left(self.way):
            return "left", along[0]
        if way == back(to_left(self.way)):
            return "right", along[0]
        if across[0] + across[1] < 2 * self.reach + self.coming:
            return "back left", self.reach - across[1]
        return "back right", across[0] - self.reach - self.coming

    def _span(self, rect: Rect, way: Place) -> tuple[float, float]:
        near, far = _span(rect, way)
        base = self.left[0] * way[0] + self.left[1] * way[1]
        return near - base, far - base


def to_left(way: Place) -> Place:
    """Give the way to the left of a way, in the frame of the door; that mirrors the plan."""
    return (way[1], _turned(way[0]))


def back(way: Place) -> Place:
    """Give the way back."""
    return (_turned(way[0]), _turned(way[1]))


def _turned(part: float) -> float:
    return -part if part else 0.0


def moved(place: Place, way: Place, far: float) -> Place:
    """Give a place so far along a way, mm."""
    return (place[0] + way[0] * far, place[1] + way[1] * far)


def rectangle(left: Place, way: Place, length: float, width: float) -> Rect:
    """Give the ground of a part from the left end of its upper edge and the way over it, mm."""
    far = moved(moved(left, way, length), back(to_left(way)), width)
    (u0, u1), (v0, v1) = sorted((left[0], far[0])), sorted((left[1], far[1]))
    return (u0, u1, v0, v1)


def _span(rect: Rect, way: Place) -> tuple[float, float]:
    u0, u1, v0, v1 = rect
    ends = sorted(u * way[0] + v * way[1] for u, v in ((u0, v0), (u1, v1)))
    return ends[0], ends[1]


class Telling(NamedTuple):
    """How to tell of a run or of steps, so that they are laid where they lie.

    Parameters
    ----------
    leaves, set_off
        Which way it leaves its landing, and how far it is set off, mm.
    top, bottom
        How far the landings above and below reach to the left, mm; none below steps.
    """

    leaves: Leaves
    set_off: float
    top: float
    bottom: float | None = None


def telling(parts: Sequence[tuple[PartKind, Rect, Place]], door_width: float) -> list[Telling]:
    """Give how to tell of every run in order, and of the steps at the end.

    Parameters
    ----------
    parts
        From the landing at the door down: what each is, its ground in the frame of the door, and
        the way down over it. Steps come last.
    door_width
        Of the door, mm.
    """
    told: list[Telling] = []
    opening = (-door_width / 2, door_width / 2, 0.0, 0.0)
    head = landing = _platform(parts[0][1], OUT, opening)
    for number, (kind, rect, way) in enumerate(parts):
        if kind == "run":
            below_it = _platform(parts[number + 1][1], way, rect)
            told.append(Telling(*landing.told(rect, way), landing.reach, below_it.reach))
            landing = below_it
        elif kind == "steps":
            told.append(Telling(*head.told(rect, way), head.reach))
    return told


def _platform(rect: Rect, way: Place, comes: Rect) -> Platform:
    """Give a landing as one comes onto it from something, along a way."""
    right = back(to_left(way))
    (near, far), (first, last) = _span(rect, way), _span(rect, right)
    start, end = _span(comes, right)
    left = moved(moved((0.0, 0.0), way, near), right, first)
    return Platform(left, way, far - near, last - first, start - first, end - start)
