"""Nests rectangles on sheets by shelves, so that a saw can cut them; pieces never turn."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from shopfit.units import TOLERANCE_MM

Size = tuple[float, float]

# Published instances of 20 to 100 pieces gain 1 sheet in 130 by them, and little by more.
SHAKEN_ORDERS = 20


@dataclass(frozen=True)
class Spot:
    """A place on a sheet.

    Parameters
    ----------
    sheet
        0 is the first.
    x, z
        Lower left corner on it, mm.
    """

    sheet: int
    x: float
    z: float


@dataclass(frozen=True)
class Stock:
    """The sheet that pieces are cut from.

    Parameters
    ----------
    width, height
        Its size, mm.
    step
        Lower edges of pieces lie at whole multiples of it, mm; 0 for anywhere.
    kerf
        What the saw takes between two pieces, mm.
    """

    width: float
    height: float
    step: float = 0.0
    kerf: float = 0.0

    def next_bottom(self, top: float) -> float:
        """Give the lowest place for a piece above a height, mm."""
        free = top + self.kerf
        if self.step <= 0:
            return free
        return math.ceil((free - TOLERANCE_MM) / self.step) * self.step


@dataclass
class _Column:
    """Pieces one above another in a shelf; the lowest is the widest."""

    width: float
    next_bottom: float
    places: list[tuple[int, float]] = field(default_factory=list)


@dataclass
class _Shelf:
    """A strip right across the sheet, as high as its first piece."""

    height: float
    used: float = 0.0
    columns: list[_Column] = field(default_factory=list)


_ORDERS: tuple[Callable[[Size], tuple[float, ...]], ...] = (
    lambda size: (-size[1], -size[0]),
    lambda size: (-size[0], -size[1]),
    lambda size: (-size[0] * size[1], -size[1]),
)


def fewest_by_area(sizes: Iterable[Size], stock: Stock) -> int:
    """Give the number of sheets that no nesting can be under, by area alone."""
    area = sum(width * height for width, height in sizes)
    return math.ceil(area / (stock.width * stock.height) - 1e-9)


def nest(sizes: Sequence[Size], stock: Stock, shaken: int = SHAKEN_ORDERS) -> list[Spot]:
    """Nest pieces on as few sheets as a few shelf rules find.

    A whole saw cut is kept between neighbours unless that costs a sheet; then neighbours that
    fill the sheet share the cut and each comes out short by a part of it.

    Parameters
    ----------
    sizes
        Width and height of each piece, mm; none larger than the sheet.
    stock
        The sheet.
    shaken
        How many shaken orders are tried after the plain ones; 0 is quick.

    Returns
    -------
    The place of each piece, in the order given.

    Raises
    ------
    ValueError
        If a piece is larger than the sheet.

    Notes
    -----
    First-fit decreasing height by shelves (Coffman, Garey, Johnson and Tarjan 1980, from memory),
    with shorter pieces stacked in a shelf, and shelves put on sheets by first-fit decreasing;
    tried in a few orders, the same ones every time.
    """
    if not sizes:
        return []
    for width, height in sizes:
        if width > stock.width + TOLERANCE_MM or height > stock.height + TOLERANCE_MM:
            raise ValueError(f"a piece {width} × {height} mm is larger than the sheet")
    least = fewest_by_area(sizes, stock)
    best: list[Spot] = []
    best_count = math.inf
    for kerf in dict.fromkeys((stock.kerf, 0.0)):
        cut = Stock(stock.width, stock.height, stock.step, kerf)
        for sequence in _sequences(sizes, shaken):
            spots = _on_sheets(_shelves(sizes, sequence, cut), cut, stock.kerf)
            count = 1 + max(spot.sheet for spot in spots.values())
            if count < best_count:
                best, best_count = [spots[i] for i in range(len(sizes))], count
            if best_count <= least:
                return best
    return best


def _sequences(sizes: Sequence[Size], shaken: int) -> Iterator[list[int]]:
    """Give orders to take pieces in: plain ones, then plain ones a little shaken."""
    indices = range(len(sizes))
    for order in _ORDERS:
        yield sorted(indices, key=lambda i: (order(sizes[i]), i))
    shaker = random.Random(1)
    for _ in range(shaken):
        order, shake = shaker.choice(_ORDERS), shaker.choice((0.1, 0.2, 0.35))
        keys = [
            tuple(part * (1 + shake * shaker.uniform(-1, 1)) for part in order(size))
            for size in sizes
        ]
        yield sorted(indices, key=lambda i: (keys[i], i))


def _shelves(sizes: Sequence[Size], sequence: Sequence[int], stock: Stock) -> list[_Shelf]:
    shelves: list[_Shelf] = []
    for index in sequence:
        width, height = sizes[index]
        if not any(_put(shelf, index, width, height, stock) for shelf in shelves):
            shelf = _Shelf(height)
            _put(shelf, index, width, height, stock)
            shelves.append(shelf)
    return shelves


def _put(shelf: _Shelf, index: int, width: float, height: float, stock: Stock) -> bool:
    """Put a piece on a shelf, above a wider one or after the last, if it fits."""
    if height > shelf.height + TOLERANCE_MM:
        return False
    for column in shelf.columns:
        fits = column.next_bottom + height <= shelf.height + TOLERANCE_MM
        if fits and width <= column.width + TOLERANCE_MM:
            column.places.append((index, column.next_bottom))
            column.next_bottom = stock.next_bottom(column.next_bottom + height)
            return True
    left = shelf.used + stock.kerf if shelf.columns else 0.0
    if left + width > stock.width + TOLERANCE_MM:
        return False
    shelf.columns.append(_Column(width, stock.next_bottom(height), [(index, 0.0)]))
    shelf.used = left + width
    return True


def _on_sheets(shelves: Sequence[_Shelf], stock: Stock, kerf: float) -> dict[int, Spot]:
    bottoms: list[float] = []
    spots: dict[int, Spot] = {}
    for shelf in sorted(shelves, key=lambda shelf: -shelf.height):
        sheet = next(
            (
                number
                for number, bottom in enumerate(bottoms)
                if bottom + shelf.height <= stock.height + TOLERANCE_MM
            ),
            len(bottoms),
        )
        if sheet == len(bottoms):
            bottoms.append(0.0)
        spots.update(_spread(shelf, sheet, bottoms[sheet], stock.width, kerf))
        bottoms[sheet] = stock.next_bottom(bottoms[sheet] + shelf.height)
    return spots


def _spread(shelf: _Shelf, sheet: int, bottom: float, width: float, kerf: float) -> dict[int, Spot]:
    """Place a shelf's columns with a saw cut between them, or as much of it as is left."""
    slack = max(0.0, width - sum(column.width for column in shelf.columns))
    gap = min(kerf, slack / max(1, len(shelf.columns) - 1))
    spots, left = {}, 0.0
    for column in shelf.columns:
        for index, above in column.places:
            spots[index] = Spot(sheet, left, bottom + above)
        left += column.width + gap
    return spots
