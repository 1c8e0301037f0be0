"""Where faces of positions along walls can go on in one another."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence

from shopfit.geometry.touching import JOINT_MM
from shopfit.solver.candidate import Candidate
from shopfit.units import TOLERANCE_MM

# Those that end at a place of a wall, and those that begin there.
Joint = tuple[tuple[int, ...], tuple[int, ...]]
# A wall, from and to, mm, and the number of a candidate.
_Stretch = tuple[str, float, float, int]


def joints(candidates: Sequence[Candidate]) -> list[Joint]:
    """List the places along walls at which one face can go on in another.

    Fixtures side by side count, and so do pieces of slat-wall side by side.

    Parameters
    ----------
    candidates
        The positions.

    Returns
    -------
    For each place the numbers of those that end there and of those that begin there; of either at
    most one stands.
    """
    return [*_meeting(_fixtures(candidates)), *_meeting(_slat(candidates))]


def _fixtures(candidates: Sequence[Candidate]) -> Iterator[_Stretch]:
    """Give the front faces of fixtures; one narrower than its fixture lies in the middle of it."""
    for i, candidate in enumerate(candidates):
        place = candidate.placement
        width = sum(part.width for part in candidate.faces if part.side == "front")
        if width and place.wall is not None and place.offset_mm is not None:
            middle = place.offset_mm + math.dist(candidate.body_at[0], candidate.body_at[1]) / 2
            yield place.wall, middle - width / 2, middle + width / 2, i


def _slat(candidates: Sequence[Candidate]) -> Iterator[_Stretch]:
    for i, candidate in enumerate(candidates):
        spans = [part.wall_span for part in candidate.slat if part.wall_span is not None]
        if spans and candidate.placement.wall is not None:
            left, right = min(span[0] for span in spans), max(span[1] for span in spans)
            yield candidate.placement.wall, left, right, i


def _meeting(stretches: Iterable[_Stretch]) -> Iterator[Joint]:
    walls: dict[str, list[tuple[float, float, int]]] = defaultdict(list)
    for wall, left, right, i in stretches:
        walls[wall].append((left, right, i))
    for own in walls.values():
        own.sort()
        begins = [left for left, _, _ in own]
        ending: dict[float, list[int]] = defaultdict(list)
        for _, right, i in own:
            ending[round(right, 1)].append(i)
        for at, there in sorted(ending.items()):
            first = bisect_right(begins, at - JOINT_MM + TOLERANCE_MM)
            last = bisect_left(begins, at + JOINT_MM - TOLERANCE_MM)
            if first < last:
                yield tuple(there), tuple(i for _, _, i in own[first:last])
