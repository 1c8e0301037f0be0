"""The best board at given values of pieces, over every pattern of three stages of cuts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from shopfit.cutting.problem import Board, common_unit, up_to_step
from shopfit.cutting.shelving import Column, Laid, Shelf

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Whole = NDArray[np.int64]

# More places than this along a side are rounded down, which only makes the bound weaker.
MOST_PLACES = 500


@dataclass(frozen=True)
class Side:
    """Places along a side of a board at which pieces can end, and sizes measured by them.

    Parameters
    ----------
    places
        From nought up, in scaled units.
    sizes
        Scaled size of every entry.
    """

    places: Whole
    sizes: Whole

    @cached_property
    def before(self) -> Whole:
        """For every size and place, the last place at which something that size could begin."""
        import numpy as np

        at = self.places[None, :] - self.sizes[:, None]
        return np.searchsorted(self.places, at, side="right") - 1


def side(whole: int, step: int, sizes: Sequence[int], demands: Sequence[int]) -> Side:
    """Measure a side: exactly where it has few places, else by places that are a little coarse.

    Sizes are rounded down together with the side, so every sum of sizes that fits still fits.

    Parameters
    ----------
    whole, step
        Length of the side, and the step at which pieces begin; units.
    sizes, demands
        Of the pieces, and how many there can be of each.
    """
    import numpy as np

    if step > 1:
        cells = [-(-size // step) for size in sizes]
        # The last piece needs no whole cell; the side is as long as the luckiest of them needs.
        whole = max((whole - size) // step + cell for size, cell in zip(sizes, cells, strict=True))
        sizes = cells
    unit = common_unit(sizes)
    whole, scaled = whole // unit, [size // unit for size in sizes]
    if whole > MOST_PLACES:
        sums = _sums(whole, scaled, demands)
        if len(sums) <= MOST_PLACES:
            return Side(np.array(sums), np.array(scaled))
        coarse = -(-whole // MOST_PLACES)
        whole, scaled = whole // coarse, [max(1, size // coarse) for size in scaled]
    return Side(np.arange(whole + 1), np.array(scaled))


def _sums(whole: int, sizes: Sequence[int], demands: Sequence[int]) -> list[int]:
    """List every sum of sizes up to a length; gives up beyond the most that are of use."""
    mask, found = (1 << (whole + 1)) - 1, 1
    for size, demand in zip(sizes, demands, strict=True):
        for _ in range(min(demand, whole // size)):
            found |= (found << size) & mask
        if found.bit_count() > MOST_PLACES:
            return list(range(MOST_PLACES + 1))
    text = f"{found:b}"[::-1]
    return [place for place, bit in enumerate(text) if bit == "1"]


@dataclass
class Stages:
    """Finds the board worth most, its shelves along x, each kind as often as it fits.

    Pieces of a shelf stand in columns and lie one above another in them, each trimmed free at
    last (Gilmore and Gomory 1965, Operations Research 13(1), 94-120, from memory, with a third
    stage). No kind is limited, so the worth found is never below that of a real board.

    Parameters
    ----------
    board
        The board.
    demands
        Pieces wanted of each kind.
    """

    board: Board
    demands: tuple[int, ...]
    forms: list[tuple[int, int]] = field(init=False)

    def __post_init__(self) -> None:
        self.forms = [
            (kind, number)
            for kind, forms in enumerate(self.board.forms)
            for number in range(len(forms))
            if self.demands[kind]
        ]
        self._measure()

    def _measure(self) -> None:
        import numpy as np

        board = self.board
        of = [board.forms[kind][number] for kind, number in self.forms]
        wanted = [self.demands[kind] for kind, _ in self.forms]
        across = side(board.width, board.step_x, [form.width for form in of], wanted)
        upward = side(board.height, board.step_y, [form.height for form in of], wanted)
        widths, self.width_of = np.unique(across.sizes, return_inverse=True)
        heights, self.height_of = np.unique(upward.sizes, return_inverse=True)
        self.across = Side(across.places, widths)
        self.upward = Side(upward.places, heights)
        # A shelf may be as high as any place.
        self.shelves = Side(upward.places, upward.places)
        self.work = len(widths) * len(self.across.places) * len(self.upward.places)

    def best(self, values: Floats) -> tuple[float, tuple[int, ...], Laid]:
        """Give the worth of the best board, its kinds, and as much of it as is wanted and fits."""
        worth, which = self._by_size(values)
        stacks = self._stacks(worth)
        rows = self._rows(stacks)
        total, shelf = self._heights(rows[:, -1])
        y = len(total) - 1
        best = float(total[y])
        laid = Laid(0, [])
        while y > 0 and total[y] > 1e-12:
            if shelf[y] < 0:
                y -= 1
                continue
            self._lay_shelf(laid, int(shelf[y]), stacks, rows, worth, which)
            y = int(self.shelves.before[shelf[y], y])
        return best, laid.kinds(), self._trimmed(laid)

    def _by_size(self, values: Floats) -> tuple[Floats, Whole]:
        """Give for every height, and width or less, the best value of a piece, and its form."""
        import numpy as np

        shape = (len(self.upward.sizes), len(self.across.sizes))
        worth, which = np.zeros(shape), np.full(shape, -1)
        for index, (kind, _) in enumerate(self.forms):
            at = self.height_of[index], self.width_of[index]
            if values[kind] > worth[at]:
                worth[at], which[at] = values[kind], index
        for column in range(1, shape[1]):
            lower = worth[:, column - 1] >= worth[:, column]
            worth[lower, column] = worth[lower, column - 1]
            which[lower, column] = which[lower, column - 1]
        return worth, which

    def _stacks(self, worth: Floats) -> Floats:
        """Worth of the best column for every width and height."""
        import numpy as np

        before, places = self.upward.before, len(self.upward.places)
        stacks = np.zeros((len(self.across.sizes), places))
        for y in range(1, places):
            able = before[:, y] >= 0
            stacks[:, y] = stacks[:, y - 1]
            if able.any():
                found = (stacks[:, before[able, y]] + worth[able].T).max(axis=1)
                np.maximum(stacks[:, y], found, out=stacks[:, y])
        return stacks

    def _rows(self, stacks: Floats) -> Floats:
        """Worth of the best shelf for every height and width."""
        import numpy as np

        before, places = self.across.before, len(self.across.places)
        rows = np.zeros((stacks.shape[1], places))
        for x in range(1, places):
            able = before[:, x] >= 0
            rows[:, x] = rows[:, x - 1]
            if able.any():
                found = (rows[:, before[able, x]] + stacks[able].T).max(axis=1)
                np.maximum(rows[:, x], found, out=rows[:, x])
        return rows

    def _heights(self, shelves: Floats) -> tuple[Floats, Whole]:
        """Worth of the best board for every height, and the shelf that lies on top of it."""
        import numpy as np

        before, places = self.shelves.before, len(shelves)
        total, chosen = np.zeros(places), np.full(places, -1)
        for y in range(1, places):
            total[y] = total[y - 1]
            found = total[before[1 : y + 1, y]] + shelves[1 : y + 1]
            top = int(found.argmax())
            if found[top] > total[y] + 1e-12:
                total[y], chosen[y] = found[top], top + 1
        return total, chosen

    def _lay_shelf(
        self, laid: Laid, s: int, stacks: Floats, rows: Floats, worth: Floats, which: Whole
    ) -> None:
        shelf = Shelf(0)
        x = rows.shape[1] - 1
        while x > 0 and rows[s, x] > 1e-12:
            if rows[s, x - 1] >= rows[s, x] - 1e-12:
                x -= 1
                continue
            starts = self.across.before[:, x]
            found = [
                (-abs(rows[s, start] + stacks[j, s] - rows[s, x]), j)
                for j, start in enumerate(starts)
                if start >= 0
            ]
            _, j = max(found)
            shelf.columns.append(self._column(j, s, stacks, worth, which))
            x = int(starts[j])
        laid.shelves.append(shelf)

    def _column(self, j: int, s: int, stacks: Floats, worth: Floats, which: Whole) -> Column:
        column = Column(0, 0, [])
        y = s
        while y > 0 and stacks[j, y] > 1e-12:
            if stacks[j, y - 1] >= stacks[j, y] - 1e-12:
                y -= 1
                continue
            starts = self.upward.before[:, y]
            found = [
                (-abs(stacks[j, start] + worth[k, j] - stacks[j, y]), k)
                for k, start in enumerate(starts)
                if start >= 0 and which[k, j] >= 0
            ]
            _, k = max(found)
            kind, number = self.forms[which[k, j]]
            column.pieces.append((kind, self.board.forms[kind][number], 0))
            y = int(starts[k])
        return column

    def _trimmed(self, laid: Laid) -> Laid:
        """Keep of each kind no more than is wanted, and only what fits exactly."""
        board, left = self.board, list(self.demands)
        kept = Laid(0, [])
        for shelf in laid.shelves:
            new = Shelf(0)
            for column in shelf.columns:
                stacked = Column(0, 0, [])
                ordered = sorted(column.pieces, key=lambda p: (-p[1].width, -p[1].height, p[0]))
                for kind, form, _ in ordered:
                    fits_up = kept.top + stacked.top + form.height <= board.height
                    if not left[kind] or not fits_up:
                        continue
                    if not stacked.pieces and new.used + form.width > board.width:
                        continue
                    left[kind] -= 1
                    stacked.width = max(stacked.width, form.width)
                    stacked.pieces.append((kind, form, stacked.top))
                    new.height = max(new.height, stacked.top + form.height)
                    stacked.top = up_to_step(stacked.top + form.height, board.step_y)
                if stacked.pieces:
                    new.used = up_to_step(new.used + stacked.width, board.step_x)
                    new.columns.append(stacked)
            if new.columns:
                kept.top = up_to_step(kept.top + new.height, board.step_y)
                kept.shelves.append(new)
        return kept
