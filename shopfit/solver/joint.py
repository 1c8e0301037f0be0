"""Floor, walls and faces decided together: one mixed-integer program with a proven bound."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

import numpy as np
from ortools.linear_solver import pywraplp

from shopfit.model.range import Line
from shopfit.solver.conflicts import Cliques
from shopfit.solver.effort import divisible_seconds, program_seconds, whole_facings_seconds
from shopfit.solver.entering import broken, covering
from shopfit.solver.filling import BlockKey
from shopfit.solver.floor import FloorAnswer, FloorProblem, numbers
from shopfit.solver.jointanswer import JointAnswer, Limits
from shopfit.solver.parts import slat_area
from shopfit.solver.patterns import Group
from shopfit.solver.range_display import Display
from shopfit.solver.stoppable import run
from shopfit.solver.worth import Worth
from shopfit.stopping import StopFlag

# Rounds without gain for as long as a relaxation has gained nothing yet.
_MOST_IDLE = 6
# A facing or unit short of a minimum weighs as much as this many of the dearest facings: more than
# any exchange of one wide facing for many narrow ones can bring.
SHORTFALL_WEIGHT = 1000.0
# The part of sheets that is not lost to cutting where a floor is chosen to be built.
CUT_SHARE = 0.85
# Times the width of a facing that a floor chosen to be built has for each line that must be there.
ROOMY = 1.15
# A relaxation is good enough when sets added better its bound by no more than this part.
_SLIGHT = 2e-4


class JointProgram:
    """The program, built once; exclusions are added between solves.

    Positions are whole; slat-wall above them is whole; widths of category blocks and facings may
    be fractions, so its optimum is never below that of the shop. Category blocks of any width
    stand on each class of face; a block's pattern gives row length, and for every height the
    lines that need at least that height fit in the rows that have it (Hall's condition for nested
    heights).

    Parameters
    ----------
    problem, shown
        The floor, and how lines can be shown.
    weights
        Worth of a facing of each line, in falling steps or one for all; empty asks only for the
        least shortfall.
    remainder
        Taken off every face's width, mm: 0 for a bound; a little more steers the floor to long
        faces, whose rows fill better.
    spare
        Worth of a square metre of face, 0 for a bound; a little makes the search prefer, of
        floors that could show as much, the one with room to spare.
    whole
        Whether positions are whole; without, only `relaxed_bound` may be asked.
    whole_facings
        Whether facings are whole too, summed up over each class of face: a better bound, for
        small shops.

    Attributes
    ----------
    worked
        What relaxed bounds have cost so far, s of a slow core.
    """

    def __init__(
        self,
        problem: FloorProblem,
        shown: Display,
        weights: Mapping[str, float] | Worth,
        remainder: float = 0.0,
        spare: float = 0.0,
        whole: bool = True,
        whole_facings: bool = False,
    ) -> None:
        self._problem, self._display = problem, shown
        self._worth = weights if isinstance(weights, Worth) and not weights.even else None
        self._weights: Mapping[str, float] = (
            {name: weights.first(name) for name in weights.steps}
            if isinstance(weights, Worth)
            else weights
        )
        self._counted: dict[str, pywraplp.Constraint] = {}
        self._waiting: Cliques = []
        self._entries = 0
        self._whole, self._whole_facings = whole, whole_facings
        self.worked = 0.0
        self._roomy = ROOMY if remainder > 0.0 else 1.0
        self._number = self._lp_number if not whole_facings else self._lp_whole
        self._lp = pywraplp.Solver.CreateSolver("SCIP" if whole else "GLOP")
        self._objective = self._lp.Objective()
        self._objective.SetMaximization()
        infinity = self._lp.infinity()
        self._room = [self._lp.Constraint(-infinity, 0.0) for _ in problem.classes]
        budget = problem.site.brief.budget
        self._money = self._lp.Constraint(-infinity, infinity if budget is None else budget)
        self._blocks: dict[BlockKey, pywraplp.Variable] = {}
        self._facings: dict[tuple[str, int, Group], pywraplp.Variable] = {}
        self._short: list[pywraplp.Variable] = []
        self._stands = [self._lp.BoolVar("") for _ in problem.candidates]
        self._slat = [self._slat_variable(i) for i in range(len(problem.candidates))]
        self._add_floor()
        self._add_room(remainder)
        self._add_spare(spare)
        self._add_costs()
        self._add_sheets(CUT_SHARE if remainder > 0.0 else 1.0)
        for category in problem.site.scenario.categories:
            lines = [ln for ln in problem.site.scenario.lines if ln.category == category]
            for k in range(len(problem.classes)):
                self._add_blocks(category, lines, k)
        self._add_totals()

    def _lp_number(self, most: int) -> pywraplp.Variable:
        return self._lp.NumVar(0.0, float(most), "")

    def _lp_whole(self, most: int) -> pywraplp.Variable:
        return self._lp.IntVar(0, most, "")

    def _slat_variable(self, index: int) -> pywraplp.Variable | None:
        candidate = self._problem.candidates[index]
        if not candidate.slat:
            return None
        if candidate.fixture is None or not self._problem.separate_slat:
            return self._stands[index]
        slat = self._lp.BoolVar("")
        self._lp.Add(slat <= self._stands[index])
        return slat

    def _add_floor(self) -> None:
        infinity = self._lp.infinity()
        groups = self._problem.cliques
        if not self._whole:
            groups, self._waiting = covering(groups, len(self._problem.candidates))
        self._add_groups(groups)
        for low, high, members in numbers(self._problem):
            row = self._lp.Constraint(float(low), float(high))
            for i in members:
                row.SetCoefficient(self._stands[i], float(self._problem.candidates[i].row))
        for i, candidate in enumerate(self._problem.candidates):
            if candidate.pinned:
                self._stands[i].SetBounds(1.0, 1.0)
            elif i in self._problem.left_out:
                self._stands[i].SetBounds(0.0, 0.0)
        for ways in self._problem.gates:
            open_ways = self._lp.Constraint(1.0, infinity)
            for blocking in ways:
                way = self._lp.BoolVar("")
                open_ways.SetCoefficient(way, 1.0)
                for i in sorted(blocking):
                    self._lp.Add(way + self._stands[i] <= 1.0)

    def _add_groups(self, groups: Cliques) -> None:
        for group in groups:
            row = self._lp.Constraint(-self._lp.infinity(), 1.0)
            self._entries += len(group)
            for i in group.tolist():
                row.SetCoefficient(self._stands[i], 1.0)

    def _add_room(self, remainder: float) -> None:
        problem = self._problem
        for i in range(len(problem.candidates)):
            for variable, parts in (
                (self._stands[i], problem.widths[i]),
                (self._slat[i], problem.slat_widths[i]),
            ):
                totals: dict[int, float] = {}
                for k, width in parts:
                    totals[k] = totals.get(k, 0.0) + max(0.0, width - remainder)
                for k, width in totals.items():
                    row = self._room[k]
                    row.SetCoefficient(variable, row.GetCoefficient(variable) - width)

    def _add_spare(self, spare: float) -> None:
        if spare <= 0.0:
            return
        for i in range(len(self._problem.candidates)):
            for variable, parts in (
                (self._stands[i], self._problem.widths[i]),
                (self._slat[i], self._problem.slat_widths[i]),
            ):
                area = sum(width * self._height(k) for k, width in parts) / 1e6
                if area > 0.0:
                    known = self._objective.GetCoefficient(variable)
                    self._objective.SetCoefficient(variable, known + spare * area)

    def _height(self, k: int) -> float:
        face = self._problem.classes[k]
        return face.levels * face.pitch

    def _add_costs(self) -> None:
        problem = self._problem
        if problem.site.brief.budget is None:
            return
        for fixture in problem.site.scenario.catalogue.fixtures:
            members = [i for i, c in enumerate(problem.candidates) if c.fixture == fixture.id]
            if not members or not fixture.price:
                continue
            if fixture.owned:
                many = {i: problem.candidates[i].row for i in members}
                bought = self._lp.IntVar(0, sum(many.values()), "")
                standing = sum(self._stands[i] * count for i, count in many.items())
                self._lp.Add(bought >= standing - fixture.owned)
                self._money.SetCoefficient(bought, fixture.price)
            else:
                for i in members:
                    price = fixture.price * problem.candidates[i].row
                    self._money.SetCoefficient(self._stands[i], price)
        for i, candidate in enumerate(problem.candidates):
            if self._slat[i] is not None and candidate.slat_cost:
                self._money.SetCoefficient(self._slat[i], candidate.slat_cost)

    def _add_sheets(self, share: float) -> None:
        """Keep slat-wall to a part of what the sheets to be had make."""
        most = self._problem.site.slat_to_be_had
        if most is None:
            return
        row = self._lp.Constraint(-self._lp.infinity(), share * most)
        for i, candidate in enumerate(self._problem.candidates):
            if self._slat[i] is not None:
                row.SetCoefficient(self._slat[i], slat_area(candidate.slat))

    def _add_blocks(self, category: str, lines: Sequence[Line], k: int) -> None:
        shown, infinity = self._display, self._lp.infinity()
        own = shown.patterns[category, k]
        if not own:
            return
        for pattern in own:
            block = self._lp.NumVar(0.0, infinity, "")
            self._blocks[category, k, pattern] = block
            self._room[k].SetCoefficient(block, 1.0)
        lines = [line for line in lines if (line.line, k) in shown.showings]
        for group in sorted({g for pattern in own for g in pattern.groups}, key=sorted):
            inside = [line for line in lines if shown.allowed(line, group)]
            for line in inside:
                facing = self._number(line.max_facings)
                self._facings[line.line, k, group] = facing
                self._aim(line, facing, shown.weight(category, group))
                self._money.SetCoefficient(facing, shown.showings[line.line, k].cost)
            for need in sorted({shown.showings[line.line, k].levels for line in inside}):
                rows = self._lp.Constraint(-infinity, 0.0)
                for line in inside:
                    if shown.showings[line.line, k].levels >= need:
                        rows.SetCoefficient(self._facings[line.line, k, group], line.width)
                for pattern in own:
                    count = pattern.count(group, need)
                    if count:
                        rows.SetCoefficient(self._blocks[category, k, pattern], -float(count))

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
        for (name, k, _), facing in self._facings.items():
            own.setdefault(name, []).append((k, facing))
        for line in self._problem.site.scenario.lines:
            facings = own.get(line.line, [])
            total = self._lp.Constraint(float(line.min_facings), float(line.max_facings))
            held = self._lp.Constraint(float(line.holding), infinity)
            for row, most in ((total, line.min_facings), (held, line.holding)):
                if most > 0:
                    short = self._lp.NumVar(0.0, float(most), "")
                    row.SetCoefficient(short, 1.0)
                    self._short.append(short)
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
                least.SetCoefficient(self._blocks[line.category, k, pattern], 1.0)

    def exclude(self, together: Iterable[int], most: int | None = None) -> None:
        """Forbid that of some candidates more than so many stand, or all at once."""
        members = sorted(together)
        self._entries += len(members)
        high = len(members) - 1.0 if most is None else float(most)
        row = self._lp.Constraint(-self._lp.infinity(), high)
        for i in members:
            row.SetCoefficient(self._stands[i], 1.0)

    def relaxed_bound(self, stop: StopFlag | None = None) -> float:
        """Give a bound with divisible positions; infinite where the linear solver fails.

        Sets of positions that exclude one another enter as they are broken: every bound on the
        way is valid, and the last sets hardly change it.
        """
        best, first, idle = math.inf, None, 0
        while True:
            solved = self._lp.Solve() == pywraplp.Solver.OPTIMAL
            self.worked += self._work()
            if not solved:
                return best
            value: float = self._objective.Value()
            value += 1e-6 * abs(value)
            first = value if first is None else first
            gained, best = best - value, min(best, value)
            idle = idle + 1 if gained <= _SLIGHT * abs(value) else 0
            # As long as all that is wanted seems to fit, a few more sets may show that it does not.
            patience = 1 if best < (1 - _SLIGHT) * first else _MOST_IDLE
            if idle >= patience or (stop is not None and stop.requested):
                return best
            shares = np.array([x.solution_value() for x in self._stands])
            entering, self._waiting = broken(self._waiting, shares)
            if not entering:
                return best
            self._add_groups(entering)

    def solve(self, limits: Limits, stop: StopFlag) -> JointAnswer:
        """Search within limits; a stop ends the search and keeps the best."""
        parameters = (
            # The relaxation is tight already: cutting planes and the feasibility pump only cost.
            "separating/maxroundsroot = 0\n"
            "heuristics/feaspump/freq = -1\n"
            f"presolving/maxrounds = {-1 if limits.presolve else 0}\n"
            f"limits/totalnodes = {limits.nodes}\n"
            f"limits/gap = {limits.gap}\n"
            f"randomization/randomseedshift = {limits.seed}\n"
        )
        status, finished = run(self._lp, parameters, limits.seconds, stop)
        worked = self._work()
        if status == pywraplp.Solver.INFEASIBLE:
            return JointAnswer(None, bound=-math.inf, impossible=True, worked=worked)
        if status not in (pywraplp.Solver.OPTIMAL, pywraplp.Solver.FEASIBLE):
            return JointAnswer(None, finished=finished, worked=worked)
        return replace(self._read(finished), worked=worked)

    def _work(self) -> float:
        """Give about what the last search cost, s of a slow core."""
        steps, rows = self._lp.iterations(), self._lp.NumConstraints()
        if not self._whole:
            return divisible_seconds(steps, rows)
        if self._whole_facings:
            return whole_facings_seconds(steps, self._lp.nodes())
        return program_seconds(steps, self._lp.nodes(), rows, self._entries)

    def _read(self, finished: bool) -> JointAnswer:
        chosen = tuple(i for i, x in enumerate(self._stands) if x.solution_value() > 0.5)
        slat = tuple(
            i for i in chosen if (y := self._slat[i]) is not None and y.solution_value() > 0.5
        )
        blocks = {
            key: block.solution_value()
            for key, block in self._blocks.items()
            if block.solution_value() > 1e-3
        }
        return JointAnswer(
            FloorAnswer(chosen, slat),
            self._objective.Value(),
            self._objective.BestBound(),
            sum(short.solution_value() for short in self._short),
            blocks,
            finished,
        )
