"""Floor, walls and faces decided together: one mixed-integer program with a proven bound."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace

import numpy as np
from ortools.linear_solver import pywraplp

from shopfit.solver.conflicts import Cliques
from shopfit.solver.effort import (
    dense_seconds,
    divisible_seconds,
    program_seconds,
    whole_facings_seconds,
)
from shopfit.solver.entering import broken, covering
from shopfit.solver.facerows import FaceRows
from shopfit.solver.floor import FloorAnswer, FloorProblem, numbers
from shopfit.solver.jointanswer import JointAnswer, Limits
from shopfit.solver.joints import Joint
from shopfit.solver.parts import slat_area
from shopfit.solver.range_display import Display
from shopfit.solver.stoppable import run
from shopfit.solver.worth import Worth
from shopfit.stopping import StopFlag

# Rounds without gain for as long as a relaxation has gained nothing yet.
_MOST_IDLE = 6
# The part of sheets that is not lost to cutting where a floor is chosen to be built.
CUT_SHARE = 0.85
# Times the width of a facing that a floor chosen to be built has for each line that must be there.
ROOMY = 1.15
# SCIP gives this or more as a bound as long as its first relaxation is not solved.
_NO_BOUND = 1e19
# What a later stage may give up of an earlier one, as a part of it: sums differ by a hair.
_SLACK = 1e-6
# A relaxation is good enough when sets added better its bound by no more than this part.
_SLIGHT = 2e-4


def slat_variable(
    program: pywraplp.Solver, problem: FloorProblem, index: int, stands: pywraplp.Variable
) -> pywraplp.Variable | None:
    """Give a variable for the slat-wall above a position, that of the position, or none."""
    candidate = problem.candidates[index]
    if not candidate.slat:
        return None
    if candidate.fixture is None or not problem.separate_slat:
        return stands
    slat = program.BoolVar("")
    program.Add(slat <= stands)
    return slat


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
        self._problem = problem
        self._waiting: Cliques = []
        self._entries = 0
        self._whole, self._whole_facings = whole, whole_facings
        self.worked = 0.0
        self._lp = pywraplp.Solver.CreateSolver("SCIP" if whole else "GLOP")
        self._objective = self._lp.Objective()
        self._objective.SetMaximization()
        roomy = ROOMY if remainder > 0.0 else 1.0
        self._faces = FaceRows(self._lp, problem.site.scenario, shown, weights, roomy)
        self._stands = [self._lp.BoolVar("") for _ in problem.candidates]
        self._slat = [
            slat_variable(self._lp, problem, i, stands) for i, stands in enumerate(self._stands)
        ]
        self._add_floor()
        self._add_room(remainder)
        self._add_spare(spare)
        self._add_costs()
        self._add_sheets(CUT_SHARE if remainder > 0.0 else 1.0)
        self._faces.add(self._lp_number if not whole_facings else self._lp_whole)

    def _lp_number(self, most: int) -> pywraplp.Variable:
        return self._lp.NumVar(0.0, float(most), "")

    def _lp_whole(self, most: int) -> pywraplp.Variable:
        return self._lp.IntVar(0, most, "")

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
                    row = self._faces.room[k]
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
        if problem.site.brief.budget is None and not problem.thrifty:
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
                self._faces.money.SetCoefficient(bought, fixture.price)
            else:
                for i in members:
                    price = fixture.price * problem.candidates[i].row
                    self._faces.money.SetCoefficient(self._stands[i], price)
        for i, candidate in enumerate(problem.candidates):
            if self._slat[i] is not None and candidate.slat_cost:
                self._faces.money.SetCoefficient(self._slat[i], candidate.slat_cost)

    def _add_sheets(self, share: float) -> None:
        """Keep slat-wall to a part of what the sheets to be had make."""
        most = self._problem.site.slat_to_be_had
        if most is None:
            return
        row = self._lp.Constraint(-self._lp.infinity(), share * most)
        for i, candidate in enumerate(self._problem.candidates):
            if self._slat[i] is not None:
                row.SetCoefficient(self._slat[i], slat_area(candidate.slat))

    def prefer(self, places: Iterable[Joint], each: float) -> None:
        """Add a little worth for every place at which a face goes on in another."""
        for place in places:
            joined = self._lp.NumVar(0.0, 1.0, "")
            self._objective.SetCoefficient(joined, each)
            for members in place:
                self._lp.Add(joined <= sum(self._stands[i] for i in members))

    def keep(self, least: float, weights: Mapping[str, float] | None) -> None:
        """Keep what has been made largest at so much at least, and go on to the next stage.

        No minimum is missed from then on. Without a budget only a thrifty floor knows what its
        fixtures and its slat-wall cost.

        Parameters
        ----------
        least
            Worth reached.
        weights
            Worth of a facing of each line, made largest next; none for the least money.
        """
        row = self._lp.Constraint(least - _SLACK * max(1.0, abs(least)), self._lp.infinity())
        for short in self._faces.short:
            short.SetBounds(0.0, 0.0)
            self._objective.SetCoefficient(short, 0.0)
        money = self._faces.money
        for variable in self._lp.variables():
            if each := self._objective.GetCoefficient(variable):
                row.SetCoefficient(variable, each)
                self._objective.SetCoefficient(variable, 0.0)
            if weights is None and (each := money.GetCoefficient(variable)):
                self._objective.SetCoefficient(variable, -each)
        for (name, _, _), facing in self._faces.facings.items():
            if weights is not None and weights.get(name):
                self._objective.SetCoefficient(facing, weights[name])

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
        if not limits.trying:
            parameters += "branching/pscost/priority = 100000\n"
        if math.isfinite(limits.enough):
            parameters += f"limits/dual = {limits.enough}\n"
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
        dense = dense_seconds(self._faces.entries, steps)
        if self._whole_facings:
            return dense + whole_facings_seconds(steps, self._lp.nodes())
        return dense + program_seconds(steps, self._lp.nodes(), rows, self._entries)

    def _read(self, finished: bool) -> JointAnswer:
        chosen = tuple(i for i, x in enumerate(self._stands) if x.solution_value() > 0.5)
        slat = tuple(
            i for i in chosen if (y := self._slat[i]) is not None and y.solution_value() > 0.5
        )
        blocks = {
            key: block.solution_value()
            for key, block in self._faces.blocks.items()
            if block.solution_value() > 1e-3
        }
        bound = self._objective.BestBound()
        return JointAnswer(
            FloorAnswer(chosen, slat),
            self._objective.Value(),
            bound if bound < _NO_BOUND else math.inf,
            sum(short.solution_value() for short in self._faces.short),
            blocks,
            finished,
        )
