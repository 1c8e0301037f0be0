"""A linear program with whole numbers, written down once for every solver that may be asked."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from shopfit.solver.floor import FloorAnswer, numbers
from shopfit.solver.peers.answers import Care, Course, Values

# A facing or unit short of a minimum weighs as much as this many of the dearest facings.
SHORTFALL_WEIGHT = 1000.0
# Money is counted in whole thousandths where a solver knows whole numbers only.
THOUSANDTHS = 1000.0
# And steps of worth that are not whole in these parts.
STEP_PART = 0.01


@dataclass(frozen=True)
class Facings:
    """A column of facings of a line.

    Parameters
    ----------
    column
        Its number.
    units, cost
        Units that a facing holds, and money that it costs.
    weight
        What a facing counts in the rows where it is.
    """

    column: int
    units: int
    cost: float
    weight: float


@dataclass(frozen=True)
class Row:
    """A sum of columns between two limits.

    Parameters
    ----------
    columns, sizes
        Numbers of the columns, and what each is multiplied by.
    low, high
        Limits, both included.
    scale
        What sizes are multiplied by before a solver of whole numbers rounds them down; limits
        are rounded so that nothing that the row allows is lost.
    """

    columns: Sequence[int]
    sizes: Sequence[float]
    low: float
    high: float
    scale: float


class Program:
    """Columns with limits and worth, and rows; the worth is made largest."""

    def __init__(self) -> None:
        self.low: list[float] = []
        self.high: list[float] = []
        self.worth: list[float] = []
        self.part: list[float | None] = []
        self.rows: list[Row] = []

    def column(self, high: float, worth: float = 0.0, part: float | None = None) -> int:
        """Add a column from nought up and give its number.

        Parameters
        ----------
        high, worth
            Upper limit, and worth of one.
        part
            Of columns that are not whole: the part of one in which a solver of whole numbers
            counts them. Their limit follows from rows, and is for such solvers only.
        """
        self.low.append(0.0)
        self.high.append(high)
        self.worth.append(worth)
        self.part.append(part)
        return len(self.low) - 1

    def row(
        self,
        columns: Sequence[int],
        sizes: Sequence[float] | None = None,
        low: float = -math.inf,
        high: float = math.inf,
        scale: float = 1.0,
    ) -> None:
        """Add a row; sizes are 1 where they are left out."""
        sizes = [1.0] * len(columns) if sizes is None else sizes
        self.rows.append(Row(columns, sizes, low, high, scale))


class GoodsProgram(Program):
    """A program that ends in lines with their facings.

    Parameters
    ----------
    course
        What is given.
    care
        How far islands keep off.
    """

    def __init__(self, course: Course, care: Care = Care.RULES) -> None:
        super().__init__()
        self.course, self.problem, self.shown = course, course.floor(care), course.shown
        self.dearest = max(1.0, course.worths.dearest)

    def add_totals(
        self,
        facings: Mapping[str, Sequence[Facings]],
        money: Sequence[tuple[int, float]],
        budget: float | None,
    ) -> None:
        """Hold every line to its numbers, and the whole to the budget.

        Parameters
        ----------
        facings, money
            Columns of facings, and other columns that cost money.
        budget
            Money for all of it, or none.
        """
        missing = -SHORTFALL_WEIGHT * self.dearest
        spent = list(money)
        for line in self.problem.site.scenario.lines:
            own = facings.get(line.line, ())
            columns, units = [each.column for each in own], [float(each.units) for each in own]
            spent += [(each.column, each.cost) for each in own if each.cost]
            if columns:
                self.row(columns, high=line.max_facings)
                self._aim(line.line, own)
            for least, sizes in ((line.min_facings, [1.0] * len(own)), (line.holding, units)):
                if least > 0:
                    short = self.column(least, missing)
                    self.row([*columns, short], [*sizes, 1.0], low=least)
        if budget is not None and spent:
            columns, prices = (list(part) for part in zip(*spent, strict=True))
            self.row(columns, prices, high=budget, scale=THOUSANDTHS)

    def _aim(self, line: str, own: Sequence[Facings]) -> None:
        """Count facings towards what is made largest, in falling steps where there are any."""
        worths = self.course.worths
        if worths.even:
            for each in own:
                self.worth[each.column] = worths.first(line)
            return
        steps = [self.column(count, size, STEP_PART) for count, size in worths.steps[line]]
        sizes = [1.0] * len(steps) + [-each.weight for each in own]
        self.row([*steps, *(each.column for each in own)], sizes, high=0.0, scale=1 / STEP_PART)

    def demand(self, worth: float) -> None:
        """Ask for answers worth more than so much, or as much where worths are not whole."""
        columns = [n for n, size in enumerate(self.worth) if size]
        sizes = [self.worth[n] for n in columns]
        step = 1.0 if self.course.worths.whole else 0.0
        self.row(columns, sizes, low=worth + step, scale=THOUSANDTHS)

    def floor(self, value: Values) -> FloorAnswer:
        """Read the positions of an answer."""
        raise NotImplementedError

    def offer(self, floor: FloorAnswer, value: Values) -> bool:
        """Make a layout of an answer; say whether it is the best so far."""
        raise NotImplementedError

    def forbidding(self, together: Iterable[int]) -> Row:
        """Give the row by which a set of candidates never stands all at once."""
        raise NotImplementedError


class FloorProgram(GoodsProgram):
    """Positions and slat-wall, with everything that the floor and the brief ask of them.

    Parameters
    ----------
    course, care
        What is given, and how far islands keep off.
    """

    def __init__(self, course: Course, care: Care = Care.RULES) -> None:
        super().__init__(course, care)
        self._money: list[tuple[int, float]] = []
        self.stands = [self.column(1.0) for _ in self.problem.candidates]
        self.slat = [self._slat_column(i) for i in range(len(self.problem.candidates))]
        self._add_sets()
        self._add_gates()
        self._add_prices()

    def _slat_column(self, index: int) -> int | None:
        candidate = self.problem.candidates[index]
        if not candidate.slat:
            return None
        if candidate.fixture is None or not self.problem.separate_slat:
            return self.stands[index]
        slat = self.column(1.0)
        self.row([slat, self.stands[index]], [1.0, -1.0], high=0.0)
        return slat

    def _add_sets(self) -> None:
        for group in self.problem.cliques:
            self.row([self.stands[i] for i in group.tolist()], high=1.0)
        for low, high, members in numbers(self.problem):
            # Islands may stand in rows, and count as often as they are.
            counts = Counter(members)
            columns = [self.stands[i] for i in counts]
            self.row(columns, [float(count) for count in counts.values()], low, high)
        for i, candidate in enumerate(self.problem.candidates):
            if candidate.pinned:
                self.low[self.stands[i]] = 1.0
            elif i in self.problem.left_out:
                self.high[self.stands[i]] = 0.0

    def _add_gates(self) -> None:
        for ways in self.problem.gates:
            clear = [self.column(1.0) for _ in ways]
            self.row(clear, low=1.0)
            for way, blocking in zip(clear, ways, strict=True):
                for i in sorted(blocking):
                    self.row([way, self.stands[i]], high=1.0)

    def _add_prices(self) -> None:
        if self.problem.site.brief.budget is None:
            return
        for fixture in self.problem.site.scenario.catalogue.fixtures:
            members = [i for i, c in enumerate(self.problem.candidates) if c.fixture == fixture.id]
            if not members or not fixture.price:
                continue
            standing = [self.stands[i] for i in members]
            counts = [float(self.problem.candidates[i].row) for i in members]
            if fixture.owned:
                bought = self.column(sum(counts))
                self.row([*standing, bought], [*counts, -1.0], high=fixture.owned)
                standing, counts = [bought], [1.0]
            self._money += [
                (column, count * fixture.price)
                for column, count in zip(standing, counts, strict=True)
            ]
        for slat, candidate in zip(self.slat, self.problem.candidates, strict=True):
            if slat is not None and candidate.slat_cost:
                self._money.append((slat, candidate.slat_cost))

    def finish(self, facings: Mapping[str, Sequence[Facings]]) -> None:
        """Add what lines and budget ask for, once all columns are there."""
        self.add_totals(facings, self._money, self.problem.site.brief.budget)

    def forbidding(self, together: Iterable[int]) -> Row:
        """Give the row by which a set of candidates never stands all at once."""
        members = [self.stands[i] for i in sorted(together)]
        return Row(members, [1.0] * len(members), -math.inf, len(members) - 1.0, 1.0)

    def floor(self, value: Values) -> FloorAnswer:
        """Read the positions of an answer."""
        chosen = tuple(i for i, column in enumerate(self.stands) if value(column) > 0.5)
        slat = tuple(i for i in chosen if (y := self.slat[i]) is not None and value(y) > 0.5)
        return FloorAnswer(chosen, slat)
