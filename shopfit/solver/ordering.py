"""The orders in which the blocks of one face can stand, and what wishes make of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise, permutations

from shopfit.geometry.touching import NEAR_MM
from shopfit.model.brief import Merchandising
from shopfit.solver.filling import PER_MM
from shopfit.units import TOLERANCE_MM

# Blocks of a face whose every order is tried; of more, what stands at the ends.
_MOST_ALL = 5
# Orders kept of those that show the same at both ends, where faces above or below matter.
_KEPT_ALIKE = 6
# What it counts that a pair touches which shall: less than a group saved, for one pair is enough.
TOUCH = 0.6

# Category, empty where no wish names it, and width of each block, in the filling's measure.
FaceState = tuple[tuple[str, int], ...]
# Number of the block on its face, its category, and its ends along the face, mm.
Spot = tuple[int, str, float, float]


@dataclass(frozen=True)
class Bonds:
    """What the brief wishes of blocks that touch.

    Parameters
    ----------
    together
        Categories whose groups are limited.
    touch, apart
        Pairs of categories.
    """

    together: frozenset[str]
    touch: frozenset[frozenset[str]]
    apart: frozenset[frozenset[str]]

    @classmethod
    def of(cls, rules: Merchandising) -> Bonds:
        """Read the wishes of a brief."""
        return cls(
            frozenset(rules.blocks),
            frozenset(frozenset(pair) for pair in rules.touch),
            frozenset(frozenset(pair) for pair in rules.apart),
        )

    @property
    def named(self) -> frozenset[str]:
        """The categories that any wish names."""
        return self.together.union(*self.touch, *self.apart)

    def cost(self, one: str, other: str) -> float:
        """Give what it costs that blocks of two categories touch: less than 0 where it is good."""
        if not one or not other:
            return 0.0
        if one == other:
            return -1.0 if one in self.together else 0.0
        pair = frozenset((one, other))
        return (pair in self.apart) * 1.0 - (pair in self.touch) * TOUCH

    def hope(self, end: str, state: FaceState) -> float:
        """Give how good it would be if a block met another one of a face."""
        return max((-self.cost(end, category) for category, _ in state), default=0.0)

    def meet(self, one: FaceState, other: FaceState) -> bool:
        """Say whether it matters what of two faces touches."""
        return any(self.cost(a, b) != 0.0 for a, _ in one for b, _ in other)


@dataclass(frozen=True)
class Ordered:
    """Blocks along a face.

    Parameters
    ----------
    spots
        From left to right.
    left_free, right_free
        Free width at the ends, mm.
    cost
        Of what touches on the face itself.
    """

    spots: tuple[Spot, ...]
    left_free: float
    right_free: float
    cost: float


@lru_cache(maxsize=100_000)
def options(state: FaceState, whole: int, bonds: Bonds, stacked: bool) -> tuple[Ordered, ...]:
    """List the ways to set blocks along a face that differ in what can touch, the plain one first.

    Parameters
    ----------
    state, whole
        The blocks, and the width of the face in the filling's measure.
    bonds
        What matters.
    stacked
        Whether another face lies above or below.
    """
    plain = _ordered(state, tuple(range(len(state))), 0, whole, 0, bonds)
    if not any(category for category, _ in state):
        return (plain,)
    found: dict[tuple[object, ...], list[Ordered]] = {}
    for order in _orders(state):
        for gap in _gaps(state, whole):
            own = _ordered(state, order, gap, whole, 0, bonds)
            ends = own.spots[0][1], own.spots[-1][1], own.left_free, own.right_free
            found.setdefault(ends, []).append(own)
    if len(state) == 1:
        own = _ordered(state, (0,), 0, whole, whole - state[0][1], bonds)
        found.setdefault(("whole",), []).append(own)
    kept = [
        own
        for alike in found.values()
        for own in sorted(alike, key=lambda each: each.cost)[: _KEPT_ALIKE if stacked else 1]
    ]
    # The first of equals is taken, so what needs no change stays as it is.
    return (plain, *(own for own in kept if own != plain))


def _orders(state: FaceState) -> Iterator[tuple[int, ...]]:
    """Give orders of blocks of which no two show the same categories in the same order."""
    count = len(state)
    seen: set[tuple[str, ...]] = set()
    for order in permutations(range(count)) if count <= _MOST_ALL else _at_ends(count):
        names = tuple(state[k][0] for k in order)
        if names not in seen:
            seen.add(names)
            yield order


def _at_ends(count: int) -> Iterator[tuple[int, ...]]:
    yield tuple(range(count))
    for first, last in permutations(range(count), 2):
        rest = [k for k in range(count) if k not in (first, last)]
        yield (first, *rest, last)
        yield (first, *reversed(rest), last)


def _gaps(state: FaceState, whole: int) -> Sequence[int]:
    """Give before which blocks the free width may lie; as many as there are stands for the end."""
    count = len(state)
    if whole - sum(width for _, width in state) < TOLERANCE_MM * PER_MM:
        return (count,)
    return (count, *range(count))


def _ordered(
    state: FaceState,
    order: tuple[int, ...],
    gap: int,
    whole: int,
    wider: int,
    bonds: Bonds,
) -> Ordered:
    free = max(0, whole - wider - sum(width for _, width in state))
    at = 0
    spots: list[Spot] = []
    for place, k in enumerate(order):
        at += free if place == gap else 0
        category, width = state[k]
        spots.append((k, category, at / PER_MM, (at + width + wider) / PER_MM))
        at += width + wider
    cost = sum(
        bonds.cost(one[1], other[1])
        for one, other in pairwise(spots)
        if other[2] - one[3] < NEAR_MM - TOLERANCE_MM
    )
    return Ordered(tuple(spots), spots[0][2], (whole - at) / PER_MM, cost)
