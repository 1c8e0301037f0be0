"""The best filling of one whole face at given prices of goods, by dynamic programming."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shopfit.model.range import Line
from shopfit.solver.effort import Work
from shopfit.solver.facefilling import FaceFilling, FaceType, PricedBlock, Prices
from shopfit.solver.filling import grains
from shopfit.solver.fixing import Face
from shopfit.solver.knapsack import (
    LEAST,
    Table,
    Values,
    common_unit,
    joined,
    read,
    rises,
    upto,
    with_line,
)
from shopfit.solver.patterns import Group, Pattern
from shopfit.solver.range_display import Display


@dataclass(frozen=True)
class _Goods:
    """Lines of a category that can stand in rows of a group on a class of face, low ones first."""

    names: tuple[str, ...]
    levels: tuple[int, ...]
    widths: tuple[int, ...]
    weight: float


@dataclass(frozen=True)
class _Priced:
    """What a block of a category can be worth, for every width, and with which pattern."""

    worth: Values
    pattern: NDArray[np.int64]


@dataclass(frozen=True)
class _Joined:
    """How a category came to stand beside those before it, for every width."""

    category: str
    block: _Priced
    before: Values
    widths: NDArray[np.int64]

    def taken(self, at: int, now: float) -> int:
        """Give the width of the block on a face so wide, of which 0 is none."""
        if self.before[at] >= now - LEAST:
            return 0
        widths = self.widths[self.widths <= at]
        return int(widths[np.argmax(self.before[at - widths] + self.block.worth[widths])])


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


class Pricer:
    """Finds fillings of faces at prices.

    Parameters
    ----------
    lines
        Lines of each category.
    shown, faces
        How lines can be shown, and the faces.
    each_row
        Whether most facings of a line limit each row alone and not all of a filling: then a filling
        is worth just what it was priced at.

    Attributes
    ----------
    work
        What has been worked so far.
    """

    def __init__(
        self,
        lines: Mapping[str, Sequence[Line]],
        shown: Display,
        faces: Sequence[Face],
        each_row: bool = False,
    ) -> None:
        self._lines, self._display, self._each_row = lines, shown, each_row
        self.work = Work()
        everything = [line for own in lines.values() for line in own]
        self._unit = common_unit([line.width for line in everything])
        self._units = {ln.line: math.ceil(ln.width / self._unit - 1e-6) for ln in everything}
        self._grains = {line.line: grains(line.width) for line in everything}
        self._names = {category: [line.line for line in own] for category, own in lines.items()}
        self._cache: dict[tuple[str, int, bool, int], tuple[object, _Priced | None]] = {}
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

    def priced(
        self,
        kind: FaceType,
        prices: Prices,
        caps: Mapping[str, int],
        units: int | None = None,
    ) -> PricedFaces:
        """Work out the worth of faces of a class, of every width up to that of a type.

        Parameters
        ----------
        kind
            The widest type of the class.
        prices
            Of the lines there.
        caps
            Most facings of each line.
        units
            Widest width asked for, or that of the type.
        """
        sizes = (kind.units if units is None else units) + 1
        gained = np.zeros(sizes)
        trail: list[_Joined] = []
        for category in self._lines:
            if category in kind.barred:
                continue
            found = self._known(category, kind, prices, caps)
            if found is not None:
                widths = rises(found.worth[:sizes])
                self.work.steps += widths.size
                self.work.cells += widths.size * sizes
                trail.append(_Joined(category, found, gained, widths))
                gained = joined(gained, found.worth, widths)
        return PricedFaces(self, kind, prices, caps, gained, trail)

    def filled(self, priced: PricedFaces, units: int) -> FaceFilling:
        """Write down the filling worth most of a face so many units wide.

        It keeps to the most facings of each line in all, or in each row where these are enough.
        """
        blocks: list[PricedBlock] = []
        left, at, kind, prices = dict(priced.caps), units, priced.kind, priced.prices
        after = priced.gained
        for one in reversed(priced.trail):
            width = one.taken(at, float(after[at]))
            after = one.before
            if width > 0:
                patterns = self._display.patterns[one.category, kind.kind]
                own = patterns[int(one.block.pattern[width])]
                block = self._block(one.category, kind, own, width, prices, left)
                if block is not None:
                    blocks.append(block)
                at -= width
        return FaceFilling.of(reversed(blocks))

    def within(self, filling: FaceFilling, caps: Mapping[str, int]) -> FaceFilling:
        """Take out of a filling what is more than may be shown."""
        over = {n: count - caps[n] for n, count in filling.facings.items() if count > caps[n]}
        if not over:
            return filling
        blocks = []
        for block in filling.blocks:
            rows = []
            for row in block.rows:
                own = dict(row)
                for name in [n for n in own if over.get(n, 0) > 0]:
                    gone = min(own[name], over[name])
                    over[name] -= gone
                    own[name] -= gone
                    if not own[name]:
                        del own[name]
                rows.append(own)
            width = max(sum(self._grains[n] * c for n, c in row.items()) for row in rows)
            if width > 0:
                blocks.append(PricedBlock(block.category, block.pattern, tuple(rows), width))
        return FaceFilling.of(blocks)

    def _known(
        self, category: str, kind: FaceType, prices: Prices, caps: Mapping[str, int]
    ) -> _Priced | None:
        """Give what is known of a category as long as prices and what is wanted stay."""
        sign = tuple(
            (prices.counted[n], prices.plain[n], min(caps[n], kind.units // self._units[n]))
            for n in self._names[category]
        )
        self.work.looks += len(sign)
        key = (category, kind.kind, kind.near, kind.units)
        known = self._cache.get(key)
        if known is None or known[0] != sign:
            known = self._cache[key] = sign, self._by_width(category, kind, prices, caps)
        return known[1]

    def _by_width(
        self, category: str, kind: FaceType, prices: Prices, caps: Mapping[str, int]
    ) -> _Priced | None:
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
                    rows[key] = upto(tables[group], steps)
                row = rows[key]
                if row is not None:
                    total = total + row
                    self.work.steps += 1
            better = total > worth + LEAST
            worth[better] = total[better]
            which[better] = number
        return _Priced(worth, which) if worth[-1] > LEAST else None

    def _table(
        self,
        category: str,
        kind: FaceType,
        group: Group,
        room: int,
        prices: Prices,
        caps: Mapping[str, int],
    ) -> tuple[Table, list[tuple[int, Values]]]:
        """Fill rows of every width up to some room with ever higher goods.

        Returns
        -------
        For each line its name, width, price and the values before it; and for each height in level
        steps the values with all goods up to it.
        """
        goods = self._goods[category, kind.kind, group]
        table: Table = []
        heights: list[tuple[int, Values]] = []
        values = np.zeros(room + 1)
        for name, levels, width in zip(goods.names, goods.levels, goods.widths, strict=True):
            most = min(caps[name], room // width)
            if most <= 0 or (name in self._new and not kind.near):
                continue
            price = prices.of(name, goods.weight)
            if price > LEAST:
                table.append((name, width, price, values))
                self.work.steps += most.bit_length()
                self.work.cells += most.bit_length() * room
                values = with_line(values, width, price, most)
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
            values = upto((table, heights), pattern.rows[r])
            if values is None:
                continue
            count = sum(1 for levels, _ in heights if levels <= pattern.rows[r])
            row = read(table[:count], values, width)
            if not self._each_row:
                for name, facings in row.items():
                    left[name] -= facings
            rows[r] = row
            used = max(used, sum(self._grains[name] * n for name, n in row.items()))
        return PricedBlock(category, pattern, tuple(rows), used) if used else None
