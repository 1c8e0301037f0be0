"""Hands a program to CP-SAT, in whole numbers."""

from __future__ import annotations

import math
import threading
from collections.abc import Callable
from typing import Any

from ortools.sat.python import cp_model

from shopfit.model.options import SolveOptions
from shopfit.solver.filling import WORTH_SCALE
from shopfit.solver.peers.engines import Ears, End
from shopfit.solver.peers.program import GoodsProgram, Row

# Most whole steps that the worth of one facing is counted in: finer, and sums over a shop with
# shortfalls leave what the solver can count in.
FINEST_WORTH = 1e5
_EPS = 1e-6
_weighted: Callable[..., Any] = cp_model.LinearExpr.weighted_sum


class CpSat:
    """A program as a CP-SAT model.

    Sizes of rows are rounded down and limits so that nothing is lost, so that a bound of the
    model is one of the program too.

    Parameters
    ----------
    program
        What is solved.
    options
        Threads and seed.
    gap
        Gap that is good enough.
    """

    def __init__(self, program: GoodsProgram, options: SolveOptions, gap: float) -> None:
        self._options, self._gap = options, gap
        self._scale = min(float(WORTH_SCALE), FINEST_WORTH / program.dearest)
        self._model = cp_model.CpModel()
        self._parts = [1.0 if part is None else part for part in program.part]
        self._vars = [
            self._model.new_int_var(int(low), math.floor(high / part + _EPS), "")
            for low, high, part in zip(program.low, program.high, self._parts, strict=True)
        ]
        for row in program.rows:
            self.add(row)
        worth = [
            math.ceil(worth * part * self._scale - _EPS)
            for worth, part in zip(program.worth, self._parts, strict=True)
        ]
        used = [n for n, size in enumerate(worth) if size]
        self._model.maximize(_weighted([self._vars[n] for n in used], [worth[n] for n in used]))

    def add(self, row: Row) -> None:
        """Add a row before the next search."""
        members = [self._vars[n] for n in row.columns]
        ones = row.high == 1.0 and row.low <= 0.0 and all(size == 1.0 for size in row.sizes)
        if ones and all(member.is_boolean for member in members):
            self._model.add_at_most_one(members)
            return
        sizes = [
            math.floor(size * self._parts[n] * row.scale + _EPS)
            for n, size in zip(row.columns, row.sizes, strict=True)
        ]
        low, high = row.low * row.scale, row.high * row.scale
        self._model.add_linear_constraint(
            _weighted(members, sizes),
            cp_model.INT_MIN if math.isinf(low) else math.floor(low + _EPS),
            cp_model.INT_MAX if math.isinf(high) else math.ceil(high - _EPS),
        )

    def solve(self, seconds: float, ears: Ears) -> End:
        """Search for at most so many seconds."""
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = self._options.workers
        solver.parameters.random_seed = self._options.seed
        solver.parameters.relative_gap_limit = self._gap
        solver.parameters.max_time_in_seconds = max(0.01, seconds)
        # Thousands of like faces: probing and symmetries take longer than they save.
        solver.parameters.cp_model_probing_level = 0
        solver.parameters.symmetry_level = 0
        solver.best_bound_callback = lambda bound: ears.bound(bound / self._scale)
        done = threading.Event()
        watcher = threading.Thread(target=_watch, args=(solver, ears, done), daemon=True)
        watcher.start()
        try:
            status = solver.solve(self._model, _Answers(ears, self._vars, self._parts, self._scale))
        finally:
            done.set()
            watcher.join()
        if status == cp_model.INFEASIBLE:
            return End.IMPOSSIBLE
        # Without an answer the final figure may be nought; what was proved has been told by then.
        if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            ears.bound(solver.best_objective_bound / self._scale)
        return End.PROVED if status == cp_model.OPTIMAL else End.LIMIT


def _watch(solver: cp_model.CpSolver, ears: Ears, done: threading.Event) -> None:
    while not done.wait(0.05):
        if ears.enough():
            solver.stop_search()


class _Answers(cp_model.CpSolverSolutionCallback):
    """Hands every better answer on."""

    def __init__(
        self, ears: Ears, variables: list[cp_model.IntVar], parts: list[float], scale: float
    ) -> None:
        super().__init__()
        self._ears, self._variables, self._parts = ears, variables, parts
        self._scale = scale

    def on_solution_callback(self) -> None:
        """Hand the answer on."""
        values, parts = self._variables, self._parts
        self._ears.answer(
            self.objective_value / self._scale, lambda n: self.value(values[n]) * parts[n]
        )
