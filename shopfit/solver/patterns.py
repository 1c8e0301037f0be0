"""Ways to divide the height of a face into rows, with those that another way covers left out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from shopfit.solver.display import FaceClass
from shopfit.units import TOLERANCE_MM

_EPS = 1e-6
Group = frozenset[int]
_Counts = tuple[int, ...]


@dataclass(frozen=True)
class Span:
    """Heights that some rows must lie in.

    Parameters
    ----------
    low, high
        Above the floor, mm.
    whole
        Whether the whole of a row must lie below the upper height, or its middle between the two.
    """

    low: float
    high: float
    whole: bool = False

    def holds(self, bottom: float, top: float) -> bool:
        """Say whether a row between two heights, mm, lies in it."""
        if self.whole:
            return top <= self.high + _EPS
        middle = (bottom + top) / 2
        return self.low - TOLERANCE_MM <= middle <= self.high + TOLERANCE_MM


@dataclass(frozen=True)
class Pattern:
    """A division of a face's height, from the lowest row up.

    Parameters
    ----------
    rows
        Level steps of each row.
    groups
        For each row, the bands (by position in the list asked for) that its middle lies in.
    """

    rows: tuple[int, ...]
    groups: tuple[Group, ...]

    def count(self, group: Group, least: int) -> int:
        """Count the rows of a group with at least so many level steps."""
        return sum(
            1
            for steps, own in zip(self.rows, self.groups, strict=True)
            if own == group and steps >= least
        )


@lru_cache(maxsize=20_000)
def patterns(
    face: FaceClass, needs: tuple[int, ...], bands: tuple[Span, ...]
) -> tuple[Pattern, ...]:
    """List the divisions of a face that no other division covers.

    Parameters
    ----------
    face
        The class of face.
    needs
        Level steps that the lines need, each once; without bands rows have one of these heights.
    bands
        Heights that matter.

    Returns
    -------
    Divisions with rows standing on one another from the lowest level; without bands the tallest
    rows are the lowest. Rows lower than any line needs are levels left empty.
    """
    needs = tuple(sorted({need for need in needs if need <= face.levels}, reverse=True))
    if not needs:
        return ()
    sequences = _sequences(face, needs, bands) if bands else _multisets(face.levels, needs)
    return tuple(_undominated([division(face, rows, bands) for rows in sequences], needs))


def division(face: FaceClass, rows: Sequence[int], bands: Sequence[Span]) -> Pattern:
    """Give the division with rows of so many level steps, standing on one another from below.

    Parameters
    ----------
    face, rows
        The class of face, and the level steps of each row from the lowest up.
    bands
        Heights that matter.
    """
    groups, level = [], 0
    for steps in rows:
        groups.append(_group(face, level, steps, bands))
        level += steps
    return Pattern(tuple(rows), tuple(groups))


def _group(face: FaceClass, level: int, steps: int, bands: Sequence[Span]) -> Group:
    bottom = face.bottom + level * face.pitch
    top = bottom + steps * face.pitch
    return frozenset(k for k, span in enumerate(bands) if span.holds(bottom, top))


def _multisets(levels: int, needs: Sequence[int]) -> list[tuple[int, ...]]:
    """List the fullest choices of row heights, tallest first."""
    found: list[tuple[int, ...]] = []

    def extend(rows: tuple[int, ...], left: int, first: int) -> None:
        if left < needs[-1]:
            found.append(rows)
            return
        for index in range(first, len(needs)):
            if needs[index] <= left:
                extend((*rows, needs[index]), left - needs[index], index)

    extend((), levels, 0)
    return found


def _sequences(
    face: FaceClass, needs: Sequence[int], bands: Sequence[Span]
) -> list[tuple[int, ...]]:
    """List row sequences, one for each different set of heights and bands served.

    A row may be a level taller than any line needs, and levels may be left empty: the one moves
    the middle of a row by half a level, the other by whole ones, into a band or out of it. Of
    sequences that end at the same level those that serve less are not gone on with.
    """
    served = _Served(face, needs, bands)
    layers: list[dict[_Counts, tuple[int, ...]]] = [{} for _ in range(face.levels + 1)]
    layers[0][served.nothing] = ()
    complete: dict[_Counts, tuple[int, ...]] = {}
    for level in range(face.levels + 1):
        for counts in _foremost(layers[level]):
            rows = layers[level][counts]
            if level + needs[-1] > face.levels:
                complete.setdefault(counts, rows)
                continue
            for need, steps in _heights(needs, face.levels - level):
                after = served.with_row(counts, level, steps, need)
                layers[level + steps].setdefault(after, (*rows, steps))
            if needs[-1] > 1:
                layers[level + 1].setdefault(counts, (*rows, 1))
    return list(complete.values())


class _Served:
    """Counts how many rows of each set of bands have at least the height of each need."""

    def __init__(self, face: FaceClass, needs: Sequence[int], bands: Sequence[Span]) -> None:
        self._face, self._needs, self._bands = face, needs, bands
        # Sets of bands that a row can lie in, of which no more are known before.
        self._number: dict[Group, int] = {}
        for level in range(face.levels):
            for _, steps in _heights(needs, face.levels - level):
                group = _group(face, level, steps, bands)
                self._number.setdefault(group, len(self._number))
        self.nothing: _Counts = (0,) * (len(self._number) * len(needs))

    def with_row(self, counts: _Counts, level: int, steps: int, need: int) -> _Counts:
        """Give the counts with a row more, which serves a need and all lesser ones."""
        first = self._number[_group(self._face, level, steps, self._bands)] * len(self._needs)
        own = list(counts)
        for k, other in enumerate(self._needs):
            own[first + k] += other <= need
        return tuple(own)


def _foremost(found: Iterable[_Counts]) -> list[_Counts]:
    """List the counts that no others equal or better throughout, largest sums first."""
    ordered = sorted(found, key=lambda counts: (-sum(counts), counts))
    if not ordered:
        return []
    kept, many, best = [], 0, np.zeros((len(ordered), len(ordered[0])), dtype=np.int16)
    for counts in ordered:
        if not (best[:many] >= np.array(counts, dtype=np.int16)).all(axis=1).any():
            best[many] = counts
            kept.append(counts)
            many += 1
    return kept


def _heights(needs: Sequence[int], most: int) -> Iterator[tuple[int, int]]:
    """Give what a row serves and its level steps: as many as that needs, or one more."""
    for need in needs:
        for steps in (need, need + 1):
            if steps <= most and (steps == need or steps not in needs):
                yield need, steps


def _undominated(found: Sequence[Pattern], needs: Sequence[int]) -> list[Pattern]:
    """Keep patterns that no other equals or betters in every count."""
    groups = sorted({group for pattern in found for group in pattern.groups}, key=sorted)
    vectors: dict[_Counts, Pattern] = {}
    for pattern in found:
        key = tuple(pattern.count(group, need) for group in groups for need in needs)
        vectors.setdefault(key, pattern)
    return [vectors[key] for key in _foremost(vectors)]
