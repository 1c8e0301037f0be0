"""Faces beside and above one another, and the blocks on them that touch."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from shopfit.geometry.faceplace import FacePlace
from shopfit.geometry.touching import NEAR_MM, shared_width
from shopfit.solver.ordering import Ordered, Spot
from shopfit.units import TOLERANCE_MM

# Number of a face, and of a block on it from the left.
Name = tuple[int, int]


@dataclass(frozen=True)
class Link:
    """Two faces of which one goes on where the other ends.

    Parameters
    ----------
    left, right
        Numbers of the faces.
    gap
        Between them, mm.
    """

    left: int
    right: int
    gap: float


@dataclass(frozen=True)
class Over:
    """A run that hangs over a fixture.

    Parameters
    ----------
    upper, lower
        Numbers of the faces.
    shift
        Where the lower face begins on the upper one, mm.
    span
        The stretch of the upper face that they share, mm.
    """

    upper: int
    lower: int
    shift: float
    span: tuple[float, float]


def components(
    named: Mapping[Name, str], pairs: Iterable[tuple[Name, Name]]
) -> list[tuple[str, tuple[Name, ...]]]:
    """Put blocks of one category together that hang together by touching.

    Parameters
    ----------
    named
        Categories of blocks.
    pairs
        Blocks that touch.
    """
    over: dict[Name, Name] = {spot: spot for spot in named}

    def top(spot: Name) -> Name:
        while over[spot] != spot:
            spot = over[spot]
        return spot

    for one, other in pairs:
        if one in named and named.get(other) == named[one]:
            over[top(one)] = top(other)
    found: dict[Name, list[Name]] = {}
    for spot in named:
        found.setdefault(top(spot), []).append(spot)
    return [(named[own[0]], tuple(own)) for own in found.values()]


def group_counts(
    named: Mapping[Name, str], pairs: Iterable[tuple[Name, Name]], limited: Iterable[str]
) -> dict[str, int]:
    """Count the groups of blocks that touch, of each category that has a limit on them.

    Parameters
    ----------
    named
        Categories of blocks.
    pairs
        Blocks that touch.
    limited
        Categories that are counted.
    """
    wanted = set(limited)
    found: dict[str, int] = {}
    own = {spot: category for spot, category in named.items() if category in wanted}
    for category, _ in components(own, pairs):
        found[category] = found.get(category, 0) + 1
    return found


def named_pairs(
    named: Mapping[Name, str], pairs: Iterable[tuple[Name, Name]]
) -> frozenset[frozenset[str]]:
    """Give the pairs of categories of which blocks touch."""
    return frozenset(
        frozenset((named[one], named[other]))
        for one, other in pairs
        if one in named and other in named
    )


def met(left: Ordered, right: Ordered, gap: float) -> tuple[str, str]:
    """Give the categories that touch over a joint, empty where none do."""
    if left.right_free + gap + right.left_free < NEAR_MM - TOLERANCE_MM:
        return left.spots[-1][1], right.spots[0][1]
    return "", ""


def laps(upper: Spot, lower: Spot, shift: float) -> bool:
    """Say whether two blocks share enough width; the lower face begins so far along, mm."""
    left, right = max(upper[2], lower[2] + shift), min(upper[3], lower[3] + shift)
    return right - left >= NEAR_MM - TOLERANCE_MM


def stacked(upper: Ordered, lower: Ordered, shift: float) -> list[tuple[Spot, Spot]]:
    """List the blocks of which one stands over the other; the lower face begins so far along."""
    return [(one, other) for one in upper.spots for other in lower.spots if laps(one, other, shift)]


def overs_of(places: Sequence[FacePlace]) -> list[Over]:
    """List the runs that hang over fixtures."""
    found = []
    for n, upper in enumerate(places):
        for m, lower in enumerate(places):
            span = shared_width(upper, lower) if n != m else None
            if span is not None:
                found.append(Over(n, m, upper.reach(lower.left), span))
    return found


def parts_of(count: int, links: Iterable[Link], overs: Iterable[Over]) -> list[tuple[int, ...]]:
    """Split faces into those that hang together by joints or one above the other."""
    part = list(range(count))
    for one, other in [(k.left, k.right) for k in links] + [(o.upper, o.lower) for o in overs]:
        a, b = part[one], part[other]
        part = [a if each == b else each for each in part]
    found: dict[int, list[int]] = {}
    for face, each in enumerate(part):
        found.setdefault(each, []).append(face)
    return [tuple(faces) for faces in found.values()]
