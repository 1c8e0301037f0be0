"""Hands a program to HiGHS."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from shopfit.model.options import SolveOptions
from shopfit.solver.peers.engines import Ears, End
from shopfit.solver.peers.program import GoodsProgram, Row

MISSING = (
    "this comparison needs HiGHS, which is not installed; "
    "python -m pip install 'shopfit[bench]' installs it"
)


def loaded() -> Any:
    """Give the library; raises ImportError with what to install where it is missing."""
    try:
        import highspy
    except ImportError as missing:
        raise ImportError(MISSING) from missing
    return highspy


class Highs:
    """A program as a HiGHS model.

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
        self._library = loaded()
        # Threads belong to the process, so another number is refused until they are given back.
        self._library.Highs.resetGlobalScheduler(True)
        # The class itself greets on standard output before it can be told not to; its base not.
        self._highs: Any = self._library.Highs.__base__()
        for name, value in (
            ("output_flag", False),
            ("threads", options.workers),
            ("random_seed", options.seed),
            ("mip_rel_gap", gap),
            ("mip_abs_gap", 1e-6),
        ):
            self._highs.setOptionValue(name, value)
        if self._highs.passModel(self._model(program)) == self._library.HighsStatus.kError:
            raise ValueError("HiGHS does not take the program")

    def _model(self, program: GoodsProgram) -> Any:
        rows, model = program.rows, self._library.HighsLp()
        model.num_col_, model.num_row_ = len(program.low), len(rows)
        model.sense_ = self._library.ObjSense.kMaximize
        model.col_cost_ = np.array(program.worth)
        model.col_lower_ = np.array(program.low)
        model.col_upper_ = np.array(
            [
                high if part is None else self._library.kHighsInf
                for high, part in zip(program.high, program.part, strict=True)
            ]
        )
        model.row_lower_ = np.array([self._limit(row.low) for row in rows])
        model.row_upper_ = np.array([self._limit(row.high) for row in rows])
        kinds = self._library.HighsVarType
        whole, divisible = kinds.kInteger, kinds.kContinuous
        model.integrality_ = [whole if part is None else divisible for part in program.part]
        model.a_matrix_.format_ = self._library.MatrixFormat.kRowwise
        model.a_matrix_.start_ = np.cumsum([0, *(len(row.columns) for row in rows)])
        model.a_matrix_.index_ = np.array([n for row in rows for n in row.columns])
        model.a_matrix_.value_ = np.array([size for row in rows for size in row.sizes])
        return model

    def _limit(self, limit: float) -> float:
        return math.copysign(self._library.kHighsInf, limit) if math.isinf(limit) else limit

    def add(self, row: Row) -> None:
        """Add a row before the next search."""
        self._highs.addRow(
            self._limit(row.low),
            self._limit(row.high),
            len(row.columns),
            np.array(row.columns, dtype=np.int32),
            np.array(row.sizes, dtype=np.float64),
        )

    def solve(self, seconds: float, ears: Ears) -> End:
        """Search for at most so many seconds."""
        highs, kinds = self._highs, self._library.cb.HighsCallbackType

        def hear(kind: Any, _: str, told: Any, asked: Any, __: Any) -> None:
            if kind == kinds.kCallbackMipImprovingSolution:
                values = np.array(told.mip_solution)
                ears.answer(told.objective_function_value, lambda n: float(values[n]))
            elif kind == kinds.kCallbackMipInterrupt:
                if math.isfinite(told.mip_dual_bound):
                    ears.bound(told.mip_dual_bound)
                asked.user_interrupt = ears.enough()

        # HiGHS counts its seconds over all searches of one model.
        highs.setOptionValue("time_limit", highs.getRunTime() + max(0.01, seconds))
        highs.setCallback(hear, None)
        for kind in (kinds.kCallbackMipImprovingSolution, kinds.kCallbackMipInterrupt):
            highs.startCallback(kind)
        highs.run()
        status, known = highs.getModelStatus(), self._library.HighsModelStatus
        if status == known.kInfeasible:
            return End.IMPOSSIBLE
        bound = highs.getInfo().mip_dual_bound
        if status != known.kModelEmpty and math.isfinite(bound):
            ears.bound(bound)
        return End.PROVED if status == known.kOptimal else End.LIMIT
