"""The best filling of one whole face at given prices of goods, by dynamic programming."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shopfit.model.range import Line
from shopfit.solver.filling import grains
from shopfit.solver.fixing import Face
from shopfit.solver.patterns import Group, Pattern
from shopfit.solver.range_display import Display
from shopfit.units import INCH_MM

Values = NDArray[np.float64]

# Lengths that widths of goods may all be whole multiples of, mm; a coarser one is quicker.
_UNITS_MM = (INCH_MM, INCH_MM / 2, INCH_MM / 4, 5.0, INCH_MM / 8, 2.5, INCH_MM / 16, 1.0)
# Most different widths tried for the blocks of a category on a face.
_MOST_WIDTHS = 64
_LEAST = 1e-9


@dataclass(frozen=True, order=True)
class FaceType:
    """Faces that hold the same goods.

    Parameters
    ----------
    kind
        Number of the class of face.
    units
        Width, in the pricer's unit of length, rounded down.
    near
        Whether new goods may stand there.
    barred
        Categories that may not stand there, in order.
    """

    kind: int
    units: int
    near: bool = True
    barred: tuple[str, ...] = ()


@dataclass(frozen=True)
class Prices:
    """What goods are worth on a face.

    Parameters
    ----------
    counted
        Of a line for each weighted facing.
    plain
        Of a line for each facing, whatever its row.
    """

    counted: Mapping[str, float]
    plain: Mapping[str, float]

    def of(self, line: str, weight: float) -> float:
        """Give the price of a facing in a row of a weight."""
        return self.counted[line] * weight + self.plain[line]


@dataclass(frozen=True)
class PricedBlock:
    """A category block of a filling.

    Parameters
    ----------
    category, pattern
        What stands there and how its height is divided.
    rows
        Facings of each line, row by row of the pattern.
    width
        Of its widest row, in the filling's measure.
    """

    category: str
    pattern: Pattern
    rows: tuple[Mapping[str, int], ...]
    width: int


@dataclass(frozen=True)
class FaceFilling:
    """A filling of one whole face.

    Parameters
    ----------
    blocks
        From left to right.
    facings
        Of each line in all.
    """

    blocks: tuple[PricedBlock, ...]
    facings: Mapping[str, int]

    @classmethod
    def of(cls, blocks: Iterable[PricedBlock]) -> FaceFilling:
        """Make a filling of blocks from left to right."""
        own = tuple(blocks)
        totals: dict[str, int] = {}
        for block in own:
            for row in block.rows:
                for name, count in row.items():
                    totals[name] = totals.get(name, 0) + count
        return cls(own, totals)


@dataclass(frozen=True)
class _Goods:
    """Lines of a category that can stand in rows of a group on a class of face, low ones first."""

    names: tuple[str, ...]
    levels: tuple[int, ...]
    widths: tuple[int, ...]
    weight: float


@dataclass(frozen=True)
class _Joined:
    """How a category came to stand beside those before it, for every width."""

    category: str
    pattern: NDArray[np.int64]
    taken: NDArray[np.int64]


@dataclass(frozen=True)
class PricedFaces:
    """The worth of faces of one class at prices, for every width.

    Parameters
    ----------
    pricer, kind, prices, caps
        What it was worked out from.
    gained
        Worth by width in units, which no filling exceeds (goods as wide as their rounded widths;
        most facings of a line limit each row alone).
    trail
        How it came about, category by category.
    """

    pricer: Pricer
    kind: FaceType
    prices: Prices
    caps: Mapping[str, int]
    gained: Values
    trail: Sequence[_Joined]

    def best(self, units: int) -> tuple[float, FaceFilling]:
        """Give the worth and the filling of a face so many units wide."""
        return float(self.gained[units]), self.pricer.filled(self, units)


_Table = list[tuple[str, int, float, Values]]


class Pricer:
    """Finds fillings of faces at prices.

    Parameters
    ----------
    lines
        Lines of each category.
    shown, faces
        How lines can be shown, and the faces.
    """

    def __init__(
        self, lines: Mapping[str, Sequence[Line]], shown: Display, faces: Sequence[Face]
    ) -> None:
        self._lines, self._display = lines, shown
        everything = [line for own in lines.values() for line in own]
        self._unit = _common_unit([line.width for line in everything])
        self._units = {ln.line: math.ceil(ln.width / self._unit - 1e-6) for ln in everything}
        self._grains = {line.line: grains(line.width) for line in everything}
        self._new = frozenset(line.line for line in everything if line.new)
        self.types = [self.type_of(face) for face in faces]
        self._goods: dict[tuple[str, int, Group], _Goods] = {}
        for category, own in lines.items():
            for k in {kind.kind for kind in self.types}:
                groups = {g for p in shown.patterns[category, k] for g in p.groups}
                for group in groups:
                    self._goods[category, k, group] = self._usable(category, own, k, group)

    def type_of(self, face: Face) -> FaceType:
        """Give the type of a face."""
        units = int(face.width / self._unit + 1e-6)
        return FaceType(face.kind, units, face.near, face.barred)

    def _usable(self, category: str, own: Sequence[Line], k: int, group: Group) -> _Goods:
        shown = self._display
        found = sorted(
            (shown.showings[line.line, k].levels, line.line)
            for line in own
            if (line.line, k) in shown.showings and shown.allowed(line, group)
        )
        return _Goods(
            tuple(name for _, name in found),
            tuple(levels for levels, _ in found),
            tuple(self._units[name] for _, name in found),
            shown.weight(category, group),
        )

    def priced(self, kind: FaceType, prices: Prices, caps: Mapping[str, int]) -> PricedFaces:
        """Work out the worth of faces of a class, of every width up to that of a type.

        Parameters
        ----------
        kind
            The widest type of the class.
        prices
            Of the lines there.
        caps
            Most facings of each line.
        """
        gained = np.zeros(kind.units + 1)
        trail: list[_Joined] = []
        for category in self._lines:
            if category in kind.barred:
                continue
            found = self._by_width(category, kind, prices, caps)
            if found is not None:
                gained, taken = _joined(gained, found[0])
                trail.append(_Joined(category, found[1], taken))
        return PricedFaces(self, kind, prices, caps, gained, trail)

    def filled(self, priced: PricedFaces, units: int) -> FaceFilling:
        """Write down the filling worth most of a face so many units wide.

        It keeps to the most facings of each line in all.
        """
        blocks: list[PricedBlock] = []
        left, at, kind = dict(priced.caps), units, priced.kind
        for joined in reversed(priced.trail):
            width = int(joined.taken[at])
            if width > 0:
                patterns = self._display.patterns[joined.category, kind.kind]
                own = patterns[int(joined.pattern[width])]
                block = self._block(joined.category, kind, own, width, priced.prices, left)
                if block is not None:
                    blocks.append(block)
                at -= width
        return FaceFilling.of(reversed(blocks))

    def _by_width(
        self, category: str, kind: FaceType, prices: Prices, caps: Mapping[str, int]
    ) -> tuple[Values, NDArray[np.int64]] | None:
        """Give, for each width, what a block of a category can be worth, and with which pattern."""
        own = self._display.patterns[category, kind.kind]
        tables = {
            group: self._table(category, kind, group, kind.units, prices, caps)
            for group in {g for pattern in own for g in pattern.groups}
        }
        if not any(rows for rows, _ in tables.values()):
            return None
        rows: dict[tuple[Group, int], Values | None] = {}
        worth = np.zeros(kind.units + 1)
        which = np.zeros(kind.units + 1, dtype=np.int64)
        for number, pattern in enumerate(own):
            total = np.zeros(kind.units + 1)
            for steps, group in zip(pattern.rows, pattern.groups, strict=True):
                key = (group, steps)
                if key not in rows:
                    rows[key] = _upto(tables[group], steps)
                row = rows[key]
                if row is not None:
                    total = total + row
            better = total > worth + _LEAST
            worth[better] = total[better]
            which[better] = number
        return (worth, which) if worth[-1] > _LEAST else None

    def _table(
        self,
        category: str,
        kind: FaceType,
        group: Group,
        room: int,
        prices: Prices,
        caps: Mapping[str, int],
    ) -> tuple[_Table, list[tuple[int, Values]]]:
        """Fill rows of every width up to some room with ever higher goods.

        Returns
        -------
        For each line its name, width, price and the values before it; and for each height in level
        steps the values with all goods up to it.
        """
        goods = self._goods[category, kind.kind, group]
        table: _Table = []
        heights: list[tuple[int, Values]] = []
        values = np.zeros(room + 1)
        for name, levels, width in zip(goods.names, goods.levels, goods.widths, strict=True):
            price = prices.of(name, goods.weight)
            most = min(caps[name], room // width)
            if price <= _LEAST or most <= 0 or (name in self._new and not kind.near):
                continue
            table.append((name, width, price, values))
            values = _with_line(values, width, price, most)
            heights.append((levels, values))
        return table, heights

    def _block(
        self,
        category: str,
        kind: FaceType,
        pattern: Pattern,
        width: int,
        prices: Prices,
        left: dict[str, int],
    ) -> PricedBlock | None:
        """Fill the rows of a block one after the other, low ones first, and take from what is left.

        High rows come last, so that what only they can hold is not pushed out by what low rows
        hold as well.
        """
        rows: list[Mapping[str, int]] = [{} for _ in pattern.rows]
        used = 0
        for r in sorted(range(len(rows)), key=lambda r: (pattern.rows[r], r)):
            table, heights = self._table(category, kind, pattern.groups[r], width, prices, left)
            values = _upto((table, heights), pattern.rows[r])
            if values is None:
                continue
            count = sum(1 for levels, _ in heights if levels <= pattern.rows[r])
            row = _read(table[:count], values, width)
            for name, facings in row.items():
                left[name] -= facings
            rows[r] = row
            used = max(used, sum(self._grains[name] * n for name, n in row.items()))
        return PricedBlock(category, pattern, tuple(rows), used) if used else None


def _common_unit(widths: Sequence[float]) -> float:
    for unit in _UNITS_MM:
        if all(abs(width / unit - round(width / unit)) < 1e-4 for width in widths):
            return unit
    return _UNITS_MM[-1]


def _with_line(values: Values, width: int, price: float, most: int) -> Values:
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


def _upto(found: tuple[_Table, list[tuple[int, Values]]], steps: int) -> Values | None:
    best = None
    for levels, values in found[1]:
        if levels > steps:
            break
        best = values
    return best


def _joined(gained: Values, worth: Values) -> tuple[Values, NDArray[np.int64]]:
    """Set a block of one more category beside those before, for every width."""
    rises = np.flatnonzero(np.diff(worth) > _LEAST) + 1
    if rises.size > _MOST_WIDTHS:
        rises = rises[np.linspace(0, rises.size - 1, _MOST_WIDTHS).astype(np.int64)]
    # Column 0 stands for no block of the category.
    widths = np.r_[0, rises]
    place = np.arange(gained.size)[:, None] - widths[None, :]
    options = np.where(place >= 0, gained[place] + worth[widths][None, :], -1.0)
    chosen = options.argmax(axis=1)
    return options[np.arange(gained.size), chosen], widths[chosen]


def _read(table: _Table, values: Values, width: int) -> dict[str, int]:
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
            row[name] = count
            at -= count * wide
        now = float(before[at])
    return row
