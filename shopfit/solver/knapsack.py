"""Rows of goods of which there are only so many: what they can be worth, for every width."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from shopfit.units import INCH_MM

Values = NDArray[np.float64]
# For each line its name, width, price and the values before it.
Table = list[tuple[str, int, float, Values]]
LEAST = 1e-9

# Lengths that widths of goods may all be whole multiples of, mm; a coarser one is quicker.
_UNITS_MM = (INCH_MM, INCH_MM / 2, INCH_MM / 4, 5.0, INCH_MM / 8, 2.5, INCH_MM / 16, 1.0)
# Most different widths tried for the blocks of a category on a face.
_MOST_WIDTHS = 64


def common_unit(widths: Sequence[float]) -> float:
    """Give the coarsest length, mm, that widths are whole multiples of."""
    for unit in _UNITS_MM:
        if all(abs(width / unit - round(width / unit)) < 1e-4 for width in widths):
            return unit
    return _UNITS_MM[-1]


def with_line(values: Values, width: int, price: float, most: int) -> Values:
    """Add up to so many facings of a line, in steps of powers of two."""
    step = 1
    while most > 0:
        number = min(step, most)
        most -= number
        step *= 2
        taken = number * width
        if taken < values.size:
            more = values.copy()
            np.maximum(values[taken:], values[:-taken] + number * price, out=more[taken:])
            values = more
    return values


def upto(found: tuple[Table, list[tuple[int, Values]]], steps: int) -> Values | None:
    """Give the values with all goods up to a height in level steps, or none."""
    best = None
    for levels, values in found[1]:
        if levels > steps:
            break
        best = values
    return best


def joined(gained: Values, worth: Values, widths: NDArray[np.int64]) -> Values:
    """Set a block of one more category beside those before, for every width."""
    after = gained.copy()
    for width in widths.tolist():
        beside = gained[:-width] + worth[width]
        np.maximum(after[width:], beside, out=after[width:])
    return after


def rises(worth: Values) -> NDArray[np.int64]:
    """Give the widths of a block that are worth trying: where its worth rises, but not too many."""
    rises = np.flatnonzero(np.diff(worth) > LEAST) + 1
    if rises.size > _MOST_WIDTHS:
        rises = rises[np.linspace(0, rises.size - 1, _MOST_WIDTHS).astype(np.int64)]
    return rises


def read(table: Table, values: Values, width: int) -> dict[str, int]:
    """Read off what makes up the value of a row of a width."""
    row: dict[str, int] = {}
    at, now = width, float(values[width])
    for name, wide, price, before in reversed(table):
        count = 0
        slack = 1e-9 * max(1.0, abs(now))
        while (
            at - (count + 1) * wide >= 0
            and float(before[at - count * wide]) + count * price < now - slack
        ):
            count += 1
        if count:
            row[name] = row.get(name, 0) + count
            at -= count * wide
        now = float(before[at])
    return row
