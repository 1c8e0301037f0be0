"""The worth of facings inside integer programs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from shopfit.solver.filling import Linear
from shopfit.solver.worth import Worth

# Weights of rows count in twentieths in the programs, rounded down; scores are exact.
WEIGHT_STEPS = 20


@dataclass(frozen=True)
class Aims:
    """Writes the worth of lines down in whole numbers.

    Parameters
    ----------
    worth
        What facings are worth.
    scale
        Whole numbers that the worth of one is counted in.
    """

    worth: Worth
    scale: float

    @property
    def unit(self) -> int:
        """How many times the scale a facing of full weight counts."""
        return 1 if self.worth.even else WEIGHT_STEPS

    def of(
        self,
        model: cp_model.CpModel,
        line: str,
        terms: Sequence[tuple[float, Linear]],
        elsewhere: float = 0.0,
    ) -> Linear:
        """Give the worth of a line's facings.

        Parameters
        ----------
        model
            Takes the steps that are needed.
        line
            Its name.
        terms
            Weight of a row, and facings in it.
        elsewhere
            Weighted facings that stand elsewhere already, whose steps are used up.
        """
        if self.worth.even:
            return sum(count for _, count in terms) * round(self.worth.first(line) * self.scale)
        steps: list[Linear] = []
        total: list[Linear] = []
        for free, each in self._free(line, elsewhere):
            step = model.new_int_var(0, free, "")
            steps.append(step)
            total.append(step * round(each * self.scale))
        counted = sum(count * _twentieths(weight) for weight, count in terms)
        model.add(sum(steps) <= counted)
        return sum(total)

    def now(self, line: str, counts: Sequence[tuple[float, int]], elsewhere: float = 0.0) -> int:
        """Give the worth of facings that are known, in the same whole numbers."""
        if self.worth.even:
            return sum(count for _, count in counts) * round(self.worth.first(line) * self.scale)
        left = sum(count * _twentieths(weight) for weight, count in counts)
        total = 0
        for free, each in self._free(line, elsewhere):
            total += min(free, left) * round(each * self.scale)
            left -= min(free, left)
        return total

    def _free(self, line: str, used: float) -> list[tuple[int, float]]:
        found = []
        for count, each in self.worth.steps[line]:
            free = max(0.0, count - used)
            used = max(0.0, used - count)
            found.append((math.floor(WEIGHT_STEPS * free + 1e-6), each))
        return found


def _twentieths(weight: float) -> int:
    return math.floor(WEIGHT_STEPS * weight + 1e-6)
