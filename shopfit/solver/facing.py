"""Sets that keep what stands at opposite walls an aisle apart, past its corners as well."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from shopfit.solver.candidate import Candidate

# Two walls face each other if their inward directions are this nearly opposite (cosine).
_OPPOSITE = -0.9
# Points are this far inside of bodies, so that touching is allowed, mm.
_TOUCH_MM = 0.02

_Floats = NDArray[np.float64]
_Ints = NDArray[np.int64]


def facing(candidates: Sequence[Candidate], aisle: float) -> list[_Ints]:
    """List sets that keep a way open between what stands at walls that face each other.

    Fixtures that do not stand right before one another may still leave too little between their
    corners. Of two points nearer than an aisle, all that stands on the one and all that stands on
    the other exclude one another: what shares a point overlaps, and between the rest nobody gets
    through. No rule asks for it where nothing lies behind, so a bound does without.

    Parameters
    ----------
    candidates, aisle
        The positions, and the width of the way, mm.

    Returns
    -------
    Sorted arrays of candidate numbers.
    """
    sides = _sides(candidates)
    found: dict[bytes, _Ints] = {}
    for one in sides:
        for other in sides:
            if one is not other and one.faces(other):
                for group in _between(one, other, aisle):
                    found[group.tobytes()] = group
    return list(found.values())


def largest_of(groups: Sequence[_Ints], count: int) -> list[_Ints]:
    """Drop the sets that lie within others.

    Parameters
    ----------
    groups, count
        Sorted arrays of numbers, and how many numbers there are.

    Returns
    -------
    The others, the largest first.
    """
    ordered = sorted(groups, key=lambda group: (-group.size, group.tobytes()))
    inside = np.zeros((len(ordered), count), dtype=bool)
    for k, group in enumerate(ordered):
        inside[k, group] = True
    often = inside.sum(axis=0)
    kept = []
    for k, group in enumerate(ordered):
        # Few larger ones hold the rarest member, and hardly any the next one too.
        rare, *others = group[np.argsort(often[group], kind="stable")].tolist()
        larger = np.flatnonzero(inside[:k, rare])
        for member in others:
            if not larger.size:
                break
            larger = larger[inside[larger, member]]
        if not larger.size:
            kept.append(group)
    return kept


class _Side:
    """What stands at one wall, looking one way.

    Parameters
    ----------
    direction
        Outward direction of the fronts, degrees.
    members
        Numbers of the candidates.
    """

    def __init__(self, direction: float, members: list[int], candidates: Sequence[Candidate]):
        self.members = np.array(members, dtype=np.int64)
        angle = math.radians(direction)
        self.out = np.array([math.cos(angle), math.sin(angle)])
        self.along = np.array([-self.out[1], self.out[0]])
        bodies = np.array([candidates[i].body_at for i in members], dtype=float).reshape(-1, 4, 2)
        along, out = bodies @ self.along, bodies @ self.out
        self.left, self.right = along.min(axis=1) + _TOUCH_MM, along.max(axis=1) - _TOUCH_MM
        self.back, self.front = out.min(axis=1) + _TOUCH_MM, out.max(axis=1) - _TOUCH_MM

    def faces(self, other: _Side) -> bool:
        """Say whether what stands here looks towards what stands there."""
        return float(self.out @ other.out) < _OPPOSITE

    def corners(self) -> Iterable[_Floats]:
        """Give the front corners of what stands here, each once."""
        ends = np.concatenate([self.left, self.right])
        places = np.stack([ends, np.concatenate([self.front, self.front])], axis=1)
        for along, out in np.unique(places.round(3), axis=0):
            yield along * self.along + out * self.out

    def lines(self) -> Iterable[tuple[float, float]]:
        """Give how far the fronts stand out, and the least width of what stands out as far."""
        for out in np.unique(self.front.round(3)):
            reaching = self.front >= out - _TOUCH_MM
            yield float(out), float((self.right - self.left)[reaching].min())

    def on(self, point: _Floats) -> _Ints:
        """Give the numbers of those that stand on a point."""
        along, out = float(point @ self.along), float(point @ self.out)
        touching = (self.left <= along + _TOUCH_MM) & (self.right >= along - _TOUCH_MM)
        touching &= (self.back <= out) & (self.front >= out - _TOUCH_MM)
        there: _Ints = self.members[touching]
        return there


def _sides(candidates: Sequence[Candidate]) -> list[_Side]:
    """Group what stands at walls by wall and by the way that it looks."""
    members: dict[tuple[str, float], list[int]] = {}
    for i, candidate in enumerate(candidates):
        place = candidate.placement
        if place.wall is not None:
            members.setdefault((place.wall, round(place.angle_deg, 3)), []).append(i)
    return [_Side(angle - 90.0, own, candidates) for (_, angle), own in members.items()]


def _between(one: _Side, other: _Side, aisle: float) -> Iterator[_Ints]:
    """Give the sets at the corners of one side and the points of the other that are too near."""
    lines = list(other.lines())
    for corner in one.corners():
        here = one.on(corner)
        middle, out = float(corner @ other.along), float(corner @ other.out)
        for front, width in lines:
            # Backs to each other, as on both sides of a thin wall, no way lies between.
            if not 0.0 < out - front < aisle:
                continue
            reach = math.sqrt(aisle**2 - (out - front) ** 2) - _TOUCH_MM
            for along in (*np.arange(middle - reach, middle + reach, width), middle + reach):
                there = other.on(along * other.along + front * other.out)
                if len(there):
                    yield np.sort(np.concatenate([here, there]))
