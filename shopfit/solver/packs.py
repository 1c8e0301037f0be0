"""What brackets and boards cost in whole packs, in fillings and in integer programs."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from shopfit.model.fixtures import Bracket, ShelfBoard
from shopfit.model.scenario import Scenario
from shopfit.solver.display import Showing
from shopfit.solver.filling import PER_MM, Linear, thousandths
from shopfit.units import TOLERANCE_MM

# Facings in a row of a block: the row, how they are shown, the width of one in grains, how many.
Shown = tuple[object, Showing, int, Linear]
Standing = tuple[object, Showing, int, int]


@dataclass(frozen=True)
class Packs:
    """Brackets and boards as they are bought.

    Goods on the same board in a row of a block lie side by side, so they take one length of it,
    and for each length whole boards are bought.

    Parameters
    ----------
    brackets, boards
        What is for sale, by id.
    money
        Most that they may cost, or none.
    price
        Worth that every unit of money beyond that is charged at; none where it may not be spent.
    """

    brackets: Mapping[str, Bracket]
    boards: Mapping[str, ShelfBoard]
    money: float | None = None
    price: float = 0.0

    def over(self, cost: float) -> float:
        """Give what a cost beyond the money is charged at, as worth."""
        return 0.0 if self.money is None else self.price * charged(cost, self.money)

    def by_piece(self, showing: Showing) -> float:
        """Give what the brackets of a facing cost; boards come by length."""
        bracket = self.brackets.get(showing.holder or "")
        return 0.0 if bracket is None else showing.brackets * bracket.price / bracket.pack

    def cost(self, shown: Iterable[Standing]) -> float:
        """Give what so many facings of rows of blocks cost.

        Parameters
        ----------
        shown
            For each line in a row: the row, how it is shown, the width of a facing in grains, and
            how many.
        """
        needed = self._needed(shown)
        return sum(
            math.ceil(needed[name] / item.pack) * item.price
            for name, item in self._items()
            if needed.get(name)
        )

    def loose(self, shown: Iterable[Standing]) -> float:
        """Give what whole boards and brackets cost, where part of a pack can be had."""
        needed = self._needed(shown)
        return sum(needed.get(name, 0) / item.pack * item.price for name, item in self._items())

    def spent(
        self,
        model: cp_model.CpModel,
        shown: Sequence[Shown],
        standing: Iterable[Standing],
    ) -> Linear:
        """Give the cost of facings that a program chooses with those that stand, in thousandths.

        Parameters
        ----------
        model
            The program, to which the packs are added.
        shown, standing
            What it chooses, and what stands in other rows.
        """
        elsewhere = self._needed(standing)
        counts: dict[str, list[Linear]] = {}
        lengths: dict[tuple[object, str], list[Linear]] = {}
        for row, showing, wide, count in shown:
            name = showing.holder or ""
            if name in self.brackets:
                counts.setdefault(name, []).append(showing.brackets * count)
            elif name in self.boards:
                lengths.setdefault((row, name), []).append(wide * count)
        for (_, name), terms in lengths.items():
            number = model.new_int_var(0, _MOST_BOARDS, "")
            model.add(sum(terms) <= number * _length(self.boards[name]))
            counts.setdefault(name, []).append(number)
        total: Linear = 0
        for name, item in self._items():
            own, others = counts.get(name, []), elsewhere.get(name, 0)
            if not own:
                total += thousandths(math.ceil(others / item.pack) * item.price)
                continue
            packs = model.new_int_var(0, _MOST_PACKS, "")
            model.add(packs * item.pack >= sum(own) + others)
            total += packs * thousandths(item.price)
        return total

    def _needed(self, shown: Iterable[Standing]) -> dict[str, int]:
        """Count brackets and boards."""
        needed: dict[str, int] = {}
        lengths: dict[tuple[object, str], int] = {}
        for row, showing, wide, count in shown:
            name = showing.holder or ""
            if name in self.brackets:
                needed[name] = needed.get(name, 0) + showing.brackets * count
            elif name in self.boards:
                lengths[row, name] = lengths.get((row, name), 0) + wide * count
        for (_, name), length in lengths.items():
            number = math.ceil(length / _length(self.boards[name]))
            needed[name] = needed.get(name, 0) + number
        return needed

    def _items(self) -> Iterator[tuple[str, Bracket | ShelfBoard]]:
        yield from self.brackets.items()
        yield from self.boards.items()


# The least that any money beyond what there is counts as, as a part of what there is: or a little
# more would be spent for what is worth more than that little.
LEAST_OVER = 0.01
# Less money than this is nothing.
MONEY_EPS = 1e-6
# More of one item than any shop holds, for bounds of variables.
_MOST_BOARDS = 1_000
_MOST_PACKS = 1_000_000


def charged(cost: float, money: float) -> float:
    """Give the money that a cost beyond what there is counts as."""
    over = cost - money
    return 0.0 if over <= MONEY_EPS else over + LEAST_OVER * max(0.0, money)


def packs(scenario: Scenario) -> Packs:
    """Give the brackets and boards of a scenario as they are bought."""
    catalogue = scenario.catalogue
    return Packs(
        {bracket.id: bracket for bracket in catalogue.brackets},
        {board.id: board for board in catalogue.shelves},
    )


def _length(board: ShelfBoard) -> int:
    return int((board.length + TOLERANCE_MM) * PER_MM)
