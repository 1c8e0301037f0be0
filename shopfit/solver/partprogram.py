"""A part of a floor placed anew: a small program with prices for what faces can show."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from ortools.linear_solver import pywraplp

from shopfit.solver.facevalue import Brought, FacesAt
from shopfit.solver.floor import FloorAnswer, FloorProblem, numbers
from shopfit.solver.joint import slat_variable
from shopfit.solver.jointanswer import Limits
from shopfit.solver.parts import slat_area
from shopfit.solver.stoppable import run
from shopfit.stopping import StopFlag

_Ints = NDArray[np.int64]


class FloorRules:
    """What holds on every floor of a problem, made ready for parts of it.

    Parameters
    ----------
    problem, sheet_share
        The floor, and the part of sheets that is not lost to cutting.
    """

    def __init__(self, problem: FloorProblem, sheet_share: float) -> None:
        self.problem, self.sheet_share = problem, sheet_share
        self.numbers = [(low, high, Counter(members)) for low, high, members in numbers(problem)]
        sizes = [group.size for group in problem.cliques]
        self._members = np.concatenate([np.zeros(0, dtype=np.int64), *problem.cliques])
        self._group = np.repeat(np.arange(len(sizes)), sizes)

    def enough(self, chosen: Sequence[int]) -> bool:
        """Say whether of everything as many stand as are wanted at least."""
        return all(sum(members[i] for i in chosen) >= low for low, _, members in self.numbers)

    @cached_property
    def middles(self) -> NDArray[np.float64]:
        """Middles of all positions, an array of shape (positions, 2), mm."""
        corners = np.array([one.body_at for one in self.problem.candidates])
        middles: NDArray[np.float64] = corners.reshape(-1, 4, 2).mean(axis=1)
        return middles

    def free(self, kept: Sequence[int]) -> NDArray[np.bool_]:
        """Say of all positions whether they may stand beside those kept, and are not among them."""
        standing = np.zeros(len(self.problem.candidates), dtype=bool)
        standing[list(kept)] = True
        closed = np.zeros(len(self.problem.cliques), dtype=bool)
        closed[self._group[standing[self._members]]] = True
        free = ~standing
        free[self._members[closed[self._group]]] = False
        free[sorted(self.problem.left_out)] = False
        return free

    def groups(self, free: NDArray[np.bool_]) -> list[_Ints]:
        """List what is left of the sets of which at most one may stand, each once."""
        inside = free[self._members]
        members, group = self._members[inside], self._group[inside]
        if not len(members):
            return []
        cut = np.flatnonzero(np.diff(group)) + 1
        split = [own for own in np.split(members, cut) if own.size > 1]
        # What is left of different sets is mostly the same.
        found = {own.tobytes(): own for own in split}
        return sorted(found.values(), key=lambda own: (-own.size, own.tobytes()))


@dataclass(frozen=True)
class PartAnswer:
    """A floor of which a part was placed anew.

    Parameters
    ----------
    floor
        All of it, or none where the program has no answer.
    most
        Worth that it cannot exceed, with what having faces is worth.
    finished
        Whether neither the clock nor a stop ended the search.
    """

    floor: FloorAnswer | None
    most: float = 0.0
    finished: bool = True


class PartProgram:
    """Positions beside those kept, for the most that known prices of faces say.

    Parameters
    ----------
    rules, brought
        The floor, and what positions bring.
    kept
        What stands and is kept, its slat-wall too.
    forbidden
        Sets of positions of which only so many may stand.

    Attributes
    ----------
    steps, nodes, entries
        What searches have taken so far, and members of sets in the program.
    """

    def __init__(
        self,
        rules: FloorRules,
        brought: Brought,
        kept: FloorAnswer,
        forbidden: Iterable[tuple[frozenset[int], int]],
    ) -> None:
        self._rules, self._problem, self._brought, self._kept = rules, rules.problem, brought, kept
        self._base = brought.widths(kept)
        self.steps = self.nodes = self.entries = 0
        free = rules.free(kept.chosen)
        self._lp = pywraplp.Solver.CreateSolver("SCIP")
        self._infinity = self._lp.infinity()
        self._objective = self._lp.Objective()
        self._objective.SetMaximization()
        self._theta = self._lp.NumVar(-self._infinity, self._infinity, "")
        self._objective.SetCoefficient(self._theta, 1.0)
        self._objective.SetOffset(brought.spare(kept))
        self._stands = {i: self._lp.BoolVar("") for i in np.flatnonzero(free).tolist()}
        self._slat = {
            i: slat_variable(self._lp, self._problem, i, stands)
            for i, stands in self._stands.items()
        }
        self._spent = self._costs()
        for group in rules.groups(free):
            self._at_most(group.tolist(), 1)
        self._add_numbers()
        self._add_gates()
        self._add_sheets()
        self._add_spare()
        for members, most in forbidden:
            self.exclude(members, most)

    def _at_most(self, members: Iterable[int], most: int) -> None:
        row = self._lp.Constraint(-self._infinity, float(most))
        for i in members:
            row.SetCoefficient(self._stands[i], 1.0)
            self.entries += 1

    def exclude(self, together: Iterable[int], most: int) -> None:
        """Forbid that of some positions more than so many stand; those kept count."""
        members = set(together)
        free = sorted(members & self._stands.keys())
        left = most - len(members.intersection(self._kept.chosen))
        if 0 <= left < len(free):
            self._at_most(free, left)

    def _add_numbers(self) -> None:
        for low, high, members in self._rules.numbers:
            standing = sum(members[i] for i in self._kept.chosen)
            own = {i: times for i, times in members.items() if i in self._stands}
            if low <= standing <= standing + sum(own.values()) <= high:
                continue
            row = self._lp.Constraint(float(low - standing), float(high - standing))
            for i, times in own.items():
                row.SetCoefficient(self._stands[i], float(times))

    def _add_gates(self) -> None:
        """Leave a way past the dividers into each staff zone without a door of its own."""
        for ways in self._problem.gates:
            left = [way for way in ways if way.isdisjoint(self._kept.chosen)]
            if any(way.isdisjoint(self._stands) for way in left):
                continue
            open_ways = self._lp.Constraint(1.0, self._infinity)
            for blocking in left:
                way = self._lp.BoolVar("")
                open_ways.SetCoefficient(way, 1.0)
                for i in sorted(blocking & self._stands.keys()):
                    self._lp.Add(way + self._stands[i] <= 1.0)

    def _costs(self) -> pywraplp.Variable | None:
        """Give a variable for what the floor costs, or none without a budget."""
        problem = self._problem
        budget = problem.site.brief.budget
        if budget is None:
            return None
        spent = self._lp.NumVar(0.0, budget, "")
        slat = sum(problem.candidates[i].slat_cost for i in self._kept.slat)
        row = self._lp.Constraint(slat, self._infinity)
        row.SetCoefficient(spent, 1.0)
        for i, variable in self._slat.items():
            if variable is not None:
                row.SetCoefficient(variable, -problem.candidates[i].slat_cost)
        standing = problem.standing(self._kept.chosen)
        for fixture in problem.site.scenario.catalogue.fixtures:
            own = [i for i in self._stands if problem.candidates[i].fixture == fixture.id]
            if not fixture.price or not (own or standing[fixture.id]):
                continue
            bought = self._lp.NumVar(0.0, self._infinity, "")
            row.SetCoefficient(bought, -fixture.price)
            more = self._lp.Constraint(standing[fixture.id] - fixture.owned, self._infinity)
            more.SetCoefficient(bought, 1.0)
            for i in own:
                more.SetCoefficient(self._stands[i], -float(problem.candidates[i].row))
        return spent

    def _add_sheets(self) -> None:
        """Keep slat-wall to a part of what the sheets to be had make."""
        most, candidates = self._problem.site.slat_to_be_had, self._problem.candidates
        if most is None:
            return
        used = sum(slat_area(candidates[i].slat) for i in self._kept.slat)
        row = self._lp.Constraint(-self._infinity, self._rules.sheet_share * most - used)
        for i, variable in self._slat.items():
            if variable is not None:
                row.SetCoefficient(variable, slat_area(candidates[i].slat))

    def _add_spare(self) -> None:
        for i, stands in self._stands.items():
            self._add_to(self._objective, stands, float(self._brought.own_spare[i]))
            if (slat := self._slat[i]) is not None:
                self._add_to(self._objective, slat, float(self._brought.slat_spare[i]))

    @staticmethod
    def _add_to(
        row: pywraplp.Constraint | pywraplp.Objective, variable: pywraplp.Variable, times: float
    ) -> None:
        """Add to a coefficient: where slat-wall always comes with a fixture they share one."""
        if times:
            row.SetCoefficient(variable, row.GetCoefficient(variable) + times)

    def add_prices(self, known: FacesAt) -> None:
        """Take up what faces of some widths showed: no floor shows more than its prices say."""
        row = self._lp.Constraint(-self._infinity, known.most(self._base, known.money))
        row.SetCoefficient(self._theta, 1.0)
        for i, stands in self._stands.items():
            self._add_to(row, stands, -float(known.prices @ self._brought.own[i]))
            if (slat := self._slat[i]) is not None:
                self._add_to(row, slat, -float(known.prices @ self._brought.slat[i]))
        budget = self._problem.site.brief.budget
        if self._spent is not None and budget is not None and known.money is not None:
            # Money for what stands on faces is what the floor leaves of the budget.
            row.SetUb(row.ub() + known.money_price * (budget - known.money))
            row.SetCoefficient(self._spent, known.money_price)

    def solve(self, limits: Limits, stop: StopFlag) -> PartAnswer:
        """Search within limits; a stop ends the search and keeps the best."""
        parameters = (
            # So small a program is searched sooner than made smaller.
            "presolving/maxrounds = 0\n"
            "separating/maxroundsroot = 0\n"
            "heuristics/feaspump/freq = -1\n"
            f"limits/totalnodes = {limits.nodes}\n"
            f"limits/gap = {limits.gap}\n"
            f"randomization/randomseedshift = {limits.seed}\n"
        )
        status, finished = run(self._lp, parameters, limits.seconds, stop)
        self.steps += self._lp.iterations()
        self.nodes += self._lp.nodes()
        if status not in (pywraplp.Solver.OPTIMAL, pywraplp.Solver.FEASIBLE):
            return PartAnswer(None, finished=finished)
        stand = [i for i, x in self._stands.items() if x.solution_value() > 0.5]
        hung = [i for i in stand if (y := self._slat[i]) is not None and y.solution_value() > 0.5]
        floor = FloorAnswer(
            tuple(sorted({*self._kept.chosen, *stand})), tuple(sorted({*self._kept.slat, *hung}))
        )
        return PartAnswer(floor, self._objective.Value(), finished)
