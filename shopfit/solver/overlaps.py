"""Largest sets of rectangles that share a cell, found where they begin and not cell by cell."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

_Ints = NDArray[np.int64]
_Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class Family:
    """Rectangles on a grid of lines, one for each owner.

    Parameters
    ----------
    owners
        Numbers of the owners, rising.
    left, right, bottom, top
        Numbers of the lines at the edges of each one's rectangle.
    """

    owners: _Ints
    left: _Ints
    right: _Ints
    bottom: _Ints
    top: _Ints

    @cached_property
    def columns(self) -> tuple[_Ints, _Ints, int]:
        """First column and the one after the last, of columns that begin where some box does."""
        return _begun(self.left, self.right)

    @cached_property
    def rows(self) -> tuple[_Ints, _Ints, int]:
        """First row and the one after the last, of rows that begin where some box does."""
        return _begun(self.bottom, self.top)


def _begun(low: _Ints, high: _Ints) -> tuple[_Ints, _Ints, int]:
    lines = np.unique(low)
    return np.searchsorted(lines, low), np.searchsorted(lines, high), len(lines)


def largest(families: Sequence[Family]) -> list[_Ints]:
    """List the sets of two or more owners that share a cell in some family.

    Every set of boxes that share a cell shares one that begins, on both axes, where one of them
    begins; so only such cells are looked at. There a set is a largest one of its family if no
    other box meets the rectangle that all of its boxes have in common. A set lies within one of
    another family if its boxes there have a cell in common as well.

    Parameters
    ----------
    families
        All with the same owners.

    Returns
    -------
    Arrays of owners, each rising; none lies within another, and none comes twice.
    """
    sets = [_Sets(family) for family in families]
    found: list[_Ints] = []
    for k, own in enumerate(sets):
        keep = own.sizes > 1
        for m, other in enumerate(sets):
            if m != k:
                keep &= ~own.within(other, m < k)
        found += own.take(keep)
    return found


class _Sets:
    """The largest sets of one family, each as a stretch of one array of members."""

    def __init__(self, family: Family) -> None:
        self.family = family
        self._members, self._starts = _members(family, *_largest_cells(family))
        self.sizes = np.diff(np.r_[self._starts, len(self._members)])

    @cached_property
    def _marks(self) -> NDArray[np.uint64]:
        """For each set the sum of random marks of its members: equal for equal sets alone."""
        count = len(self.family.owners)
        each = np.random.default_rng(0).integers(1, 2**63, count, dtype=np.uint64)
        marks: NDArray[np.uint64] = np.add.reduceat(each[self._members], self._starts)
        return marks

    def within(self, other: _Sets, equal: bool) -> _Flags:
        """Say which sets lie within one of another family; or are one, where equal ones count."""
        if not len(self._starts):
            return np.zeros(0, dtype=bool)
        shared = self._share(other.family.columns) & self._share(other.family.rows)
        if not equal:
            shared &= ~np.isin(self._marks, other._marks)
        return shared

    def _share(self, spans: tuple[_Ints, _Ints, int]) -> _Flags:
        low, high, _ = spans
        last_start = np.maximum.reduceat(low[self._members], self._starts)
        first_end = np.minimum.reduceat(high[self._members], self._starts)
        shared: _Flags = last_start < first_end
        return shared

    def take(self, keep: _Flags) -> list[_Ints]:
        """Give some of the sets, as owners."""
        owners = self.family.owners[self._members]
        ends = self._starts + self.sizes
        return [owners[self._starts[k] : ends[k]] for k in np.flatnonzero(keep).tolist()]


def _largest_cells(family: Family) -> tuple[_Ints, _Ints]:
    """Give row and column of the first cell of every largest set, row by row."""
    left, right, width = family.columns
    bottom, top, height = family.rows
    after = _first_ends(left, right, width, bottom, top, height)
    above = _first_ends(bottom, top, height, left, right, width).T
    row, column = np.nonzero((after > 0) & (above > 0))
    common = (column, after[row, column].astype(int), row, above[row, column].astype(int))
    del after, above
    alone = _meeting(family, common) == _meeting(family, (column, column + 1, row, row + 1))
    return row[alone], column[alone]


def _first_ends(
    low: _Ints, high: _Ints, length: int, from_: _Ints, to: _Ints, lanes: int
) -> NDArray[np.int32]:
    """Say where sets along lanes end, at the cells where they begin.

    Along a lane a set may be a largest one only where an end comes before the next begin.

    Parameters
    ----------
    low, high, length
        First cell of each box along the lanes, the one after its last, and how many cells.
    from_, to, lanes
        First lane of each box, the one after its last, and how many lanes.

    Returns
    -------
    For each lane and cell the cell after the first end, or 0 where no such set begins.
    """

    def anywhere(cell: _Ints) -> _Ints:
        at = np.bincount(from_ * length + cell, minlength=(lanes + 1) * length).astype(np.int32)
        at -= np.bincount(to * length + cell, minlength=(lanes + 1) * length).astype(np.int32)
        counts = at.reshape(lanes + 1, length).cumsum(axis=0, dtype=np.int32)[:lanes]
        return np.flatnonzero(counts)

    begins, ends = anywhere(low), anywhere(high - 1)
    first = ends[np.searchsorted(ends, begins)]
    last_of_all = np.r_[first[:-1] < begins[1:], True]
    found = np.zeros(lanes * length, dtype=np.int32)
    found[begins[last_of_all]] = first[last_of_all] % length + 1
    return found.reshape(lanes, length)


def _meeting(family: Family, places: tuple[_Ints, _Ints, _Ints, _Ints]) -> _Ints:
    """Count the boxes that meet each of some rectangles: all but those wholly to one side."""
    left, right, width = family.columns
    bottom, top, height = family.rows
    first, after, low, above = places
    count = np.zeros(len(first), dtype=np.int64)
    for across, at, beside in ((left + 1, after, 1), (right, first, -1)):
        for up, level, under in ((bottom + 1, above, 1), (top, low, -1)):
            cell = across * (height + 1) + up
            grid = np.bincount(cell, minlength=(width + 1) * (height + 1)).astype(np.int32)
            before = grid.reshape(width + 1, height + 1).cumsum(axis=0, dtype=np.int32)
            np.cumsum(before, axis=1, out=before)
            count += beside * under * before[at, level]
    return count


def _members(family: Family, row: _Ints, column: _Ints) -> tuple[_Ints, _Ints]:
    """Give the boxes that cover each of some cells, which come row by row.

    Returns
    -------
    Numbers of boxes, rising within each cell, and where each cell's begin.
    """
    left, right, width = family.columns
    bottom, top, _ = family.rows
    rows, own_row = np.unique(row, return_inverse=True)
    cells = own_row * width + column
    first, last = np.searchsorted(rows, bottom), np.searchsorted(rows, top)
    box, along = _counted(last - first)
    base = (first[box] + along) * width
    begin = np.searchsorted(cells, base + left[box])
    which, nth = _counted(np.searchsorted(cells, base + right[box]) - begin)
    cell = begin[which] + nth
    # Short integers are sorted in one pass.
    order = np.argsort(cell.astype(np.uint16) if len(cells) < 2**16 else cell, kind="stable")
    sizes = np.bincount(cell, minlength=len(cells))
    return box[which][order], np.cumsum(sizes) - sizes


def _counted(counts: _Ints) -> tuple[_Ints, _Ints]:
    """Give, for so many of each of some things, which thing and the how-manieth of its own."""
    which = np.repeat(np.arange(len(counts)), counts)
    return which, np.arange(len(which)) - (np.cumsum(counts) - counts)[which]
