"""The program of the floor with a count of the moves away from what stands."""

from __future__ import annotations

from ortools.linear_solver import pywraplp

from shopfit.solver.joint import JointProgram
from shopfit.solver.standing import MoveCount


class MoveProgram(JointProgram):
    """The program of the floor, with moves to be few or limited."""

    # Whether fewest moves are asked for.
    fewer = False

    def at_least(self, worth: float) -> None:
        """Ask for so much worth, with no minimum missed; for a program without spare."""
        row = self._lp.Constraint(worth, self._lp.infinity())
        for short in self._faces.short:
            short.SetUb(0.0)
        for variable in self._lp.variables():
            row.SetCoefficient(variable, self._objective.GetCoefficient(variable))

    def at_most(self, moves: int, count: MoveCount) -> None:
        """Allow so many moves away from what stands today."""
        terms, fixed = self._moves(count)
        row = self._lp.Constraint(-self._lp.infinity(), float(moves - fixed))
        for variable, times in terms:
            row.SetCoefficient(variable, row.GetCoefficient(variable) + times)

    def fewest(self, count: MoveCount) -> None:
        """Ask for the fewest moves in place of the most worth."""
        self.fewer = True
        self._objective.Clear()
        self._objective.SetMinimization()
        terms, fixed = self._moves(count)
        self._objective.SetOffset(fixed)
        for variable, times in terms:
            known = self._objective.GetCoefficient(variable)
            self._objective.SetCoefficient(variable, known + times)

    def _moves(self, count: MoveCount) -> tuple[list[tuple[pywraplp.Variable, float]], int]:
        """Give the terms whose sum is the number of moves, and what is added to it."""
        infinity, fixed = self._lp.infinity(), count.always + len(count.left)
        terms = [(self._stands[i], 1.0) for i in (*count.added, *count.bared)]
        terms += [(self._stands[i], -1.0) for i in count.left]
        terms += [(self._slat[i], -1.0) for i in count.bared]
        for new, kept, before in count.groups:
            moved = self._lp.IntVar(0, max(before, len(new)), "")
            arriving = self._lp.Constraint(0.0, infinity)
            leaving = self._lp.Constraint(float(before), infinity)
            for row, members, times in ((arriving, new, -1.0), (leaving, kept, 1.0)):
                row.SetCoefficient(moved, 1.0)
                for i in members:
                    row.SetCoefficient(self._stands[i], times)
            terms.append((moved, 1.0))
        return terms, fixed
