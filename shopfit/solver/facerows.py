"""What stands on faces as a part of linear programs: blocks, facings and what is wanted of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from ortools.linear_solver import pywraplp

from shopfit.model.range import Line
from shopfit.model.scenario import Scenario
from shopfit.solver.filling import BlockKey
from shopfit.solver.patterns import Group
from shopfit.solver.range_display import Display
from shopfit.solver.worth import Worth

# A facing or unit short of a minimum weighs as much as this many of the dearest facings: more than
# any exchange of one wide facing for many narrow ones can bring.
SHORTFALL_WEIGHT = 1000.0


class FaceRows:
    """Variables and rows of one program for all that stands on faces.

    Category blocks of any width stand on each class of face; a block's pattern gives row length,
    and for every height the lines that need at least that height fit in the rows that have it
    (Hall's condition for nested heights).

    Parameters
    ----------
    program
        A linear or mixed-integer program.
    scenario, shown
        What is to be shown, and how it can be.
    weights
        Worth of a facing of each line, in falling steps or one for all; empty asks only for the
        least shortfall.
    roomy
        Times the width of a facing that blocks have at least for each line that must be there.

    Attributes
    ----------
    room
        A row for each class of face: widths of blocks, mm; what faces have is set against it.
    money
        The row of what is spent.
    entries
        How often blocks stand in rows of heights: many where faces can be divided in many ways.
    blocks, facings, short
        Widths of blocks, facings by line, class and bands, and what is missing from minimums.
    """

    def __init__(
        self,
        program: pywraplp.Solver,
        scenario: Scenario,
        shown: Display,
        weights: Mapping[str, float] | Worth,
        roomy: float,
    ) -> None:
        self._lp, self._objective = program, program.Objective()
        self._scenario, self._display, self._roomy = scenario, shown, roomy
        self._worth = weights if isinstance(weights, Worth) and not weights.even else None
        self._weights: Mapping[str, float] = (
            {name: weights.first(name) for name in weights.steps}
            if isinstance(weights, Worth)
            else weights
        )
        self._counted: dict[str, pywraplp.Constraint] = {}
        infinity = program.infinity()
        self.room = [program.Constraint(-infinity, 0.0) for _ in shown.classes]
        budget = scenario.brief.budget
        self.money = program.Constraint(-infinity, infinity if budget is None else budget)
        self.entries = 0
        self.blocks: dict[BlockKey, pywraplp.Variable] = {}
        self.facings: dict[tuple[str, int, Group], pywraplp.Variable] = {}
        self.short: list[pywraplp.Variable] = []

    def add(self, number: Callable[[int], pywraplp.Variable]) -> None:
        """Add all variables and rows.

        Parameters
        ----------
        number
            Makes a variable for facings up to a number.
        """
        for category in self._scenario.categories:
            lines = [line for line in self._scenario.lines if line.category == category]
            for k in range(len(self.room)):
                self._add_blocks(category, lines, k, number)
        self._add_totals()

    def _add_blocks(
        self,
        category: str,
        lines: Sequence[Line],
        k: int,
        number: Callable[[int], pywraplp.Variable],
    ) -> None:
        shown, infinity = self._display, self._lp.infinity()
        own = shown.patterns[category, k]
        if not own:
            return
        for pattern in own:
            block = self._lp.NumVar(0.0, infinity, "")
            self.blocks[category, k, pattern] = block
            self.room[k].SetCoefficient(block, 1.0)
        lines = [line for line in lines if (line.line, k) in shown.showings]
        for group in sorted({g for pattern in own for g in pattern.groups}, key=sorted):
            inside = [line for line in lines if shown.allowed(line, group)]
            for line in inside:
                facing = number(line.max_facings)
                self.facings[line.line, k, group] = facing
                self._aim(line, facing, shown.weight(category, group))
                self.money.SetCoefficient(facing, shown.showings[line.line, k].cost)
            for need in sorted({shown.showings[line.line, k].levels for line in inside}):
                rows = self._lp.Constraint(-infinity, 0.0)
                for line in inside:
                    if shown.showings[line.line, k].levels >= need:
                        rows.SetCoefficient(self.facings[line.line, k, group], line.width)
                for pattern in own:
                    count = pattern.count(group, need)
                    if count:
                        rows.SetCoefficient(self.blocks[category, k, pattern], -float(count))
                        self.entries += 1

    def _aim(self, line: Line, facing: pywraplp.Variable, weight: float) -> None:
        """Count a facing towards what is made largest."""
        if self._worth is None:
            if line.line in self._weights:
                self._objective.SetCoefficient(facing, self._weights[line.line])
            return
        row = self._counted.get(line.line)
        if row is None:
            row = self._counted[line.line] = self._lp.Constraint(-self._lp.infinity(), 0.0)
            for count, each in self._worth.steps[line.line]:
                step = self._lp.NumVar(0.0, count, "")
                row.SetCoefficient(step, 1.0)
                self._objective.SetCoefficient(step, each)
        row.SetCoefficient(facing, -weight)

    def _add_totals(self) -> None:
        infinity = self._lp.infinity()
        own: dict[str, list[tuple[int, pywraplp.Variable]]] = {}
        missing = SHORTFALL_WEIGHT * max([1.0, *self._weights.values()])
        for (name, k, _), facing in self.facings.items():
            own.setdefault(name, []).append((k, facing))
        for line in self._scenario.lines:
            facings = own.get(line.line, [])
            total = self._lp.Constraint(float(line.min_facings), float(line.max_facings))
            held = self._lp.Constraint(float(line.holding), infinity)
            for row, most in ((total, line.min_facings), (held, line.holding)):
                if most > 0:
                    short = self._lp.NumVar(0.0, float(most), "")
                    row.SetCoefficient(short, 1.0)
                    self.short.append(short)
                    self._objective.SetCoefficient(short, -missing)
                    self._add_one_facing(line, {k for k, _ in facings}, short, most)
            for k, facing in facings:
                total.SetCoefficient(facing, 1.0)
                held.SetCoefficient(facing, float(self._display.showings[line.line, k].units))

    def _add_one_facing(
        self, line: Line, kinds: set[int], short: pywraplp.Variable, most: int
    ) -> None:
        """Ask for blocks as wide as one facing, unless all that a line must have is missing."""
        width = line.width * self._roomy
        least = self._lp.Constraint(width, self._lp.infinity())
        least.SetCoefficient(short, width / most)
        for k in sorted(kinds):
            for pattern in self._display.patterns[line.category, k]:
                least.SetCoefficient(self.blocks[line.category, k, pattern], 1.0)
