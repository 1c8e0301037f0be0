"""Gives floors one after the other that could show more than is known, none twice."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator

from ortools.linear_solver import pywraplp

from shopfit.solver.choosing import FloorChooser
from shopfit.solver.connect import blockages
from shopfit.solver.floor import FloorAnswer, FloorProblem
from shopfit.solver.joint import JointProgram
from shopfit.solver.jointanswer import JointAnswer
from shopfit.solver.parts import FacePart
from shopfit.solver.range_display import Display
from shopfit.solver.worth import Worth
from shopfit.stopping import StopFlag

# What two pieces of slat-wall that make one run are worth, in facings: of floors that could show as
# much the one with longer runs comes first, for rows fill better there.
_JOINED = 0.02
# The gap at which a search for a floor ends.
_GAP = 0.0005
# Sums of a program may be wrong by so much.
_HAIR = 1e-6
# Spans that end so near to each other touch, and a width that is larger by no more is the same, mm.
_TOUCH_MM = 0.01
_SAME_MM = 0.05
# Slat-wall longer by less is not longer, mm.
_LONGER_MM = 1.0

# Numbers of candidates, their variables, and what they bring.
_Pieces = list[tuple[int, pywraplp.Variable, float]]


class OtherFloors:
    """Floors of few positions, one after the other, each with more of something than all before.

    A floor shows no more than one that has as many faces of every class and width, or wider ones,
    and as much slat-wall of every class in as long runs. So what a filled floor has is passed over
    from then on, and so is all that has no more of anything: few floors stand for all. Of those
    with the same pieces the one with the longest runs comes first, and the others do not come; as
    they may show a little more, nothing is proved by the end of the floors.

    Parameters
    ----------
    chooser, shown, worth
        Positions and rules, how lines can be shown, and what facings are worth.

    Attributes
    ----------
    problem, shown
        The positions, and how lines can be shown.
    worked
        What searches have cost so far, s of a slow core.
    """

    def __init__(self, chooser: FloorChooser, shown: Display, worth: Worth) -> None:
        self.problem, self.shown = chooser.problem, shown
        self._chooser, self._worth = chooser, worth
        self._program = _Program(self.problem, shown, worth)
        chooser.forbid_known(self._program)
        self.worked = 0.0

    def next(self, known: float, stop: StopFlag) -> JointAnswer | None:
        """Give the floor that could show most; none where none is left that could show more.

        Parameters
        ----------
        known, stop
            Worth of what is known, and the stop flag.
        """
        self._program.ask(known + self._worth.gain(known) - _HAIR)
        while not stop.requested:
            answer = self._program.solve(self._chooser.limits(_GAP), stop)
            self.worked += answer.worked
            self._chooser.repeatable &= answer.finished
            if answer.floor is None:
                return None
            cut_off = blockages(self.problem, answer.floor)
            if not cut_off:
                return answer
            self._chooser.forbid(self.problem, self._program, cut_off)
        return None

    def without(self, problem: FloorProblem, floor: FloorAnswer) -> None:
        """Pass over a floor from now on, and all that have no more of anything.

        Parameters
        ----------
        problem, floor
            Positions and those that stand; nothing is passed over for one of other positions.
        """
        if problem.candidates is self.problem.candidates:
            self._program.ask_for_more(floor)


class _Program(JointProgram):
    """The joint program, in which floors can be asked to have more than others."""

    def __init__(self, problem: FloorProblem, shown: Display, worth: Worth) -> None:
        super().__init__(problem, shown, worth)
        self._least = self._lp.Constraint(-self._lp.infinity(), self._lp.infinity())
        for variable in self._lp.variables():
            if each := self._objective.GetCoefficient(variable):
                self._least.SetCoefficient(variable, each)
        self._faces_of: dict[int, _Pieces] = defaultdict(list)
        self._hung: dict[int, _Pieces] = defaultdict(list)
        for i, stands in enumerate(self._stands):
            for k, width in problem.widths[i]:
                self._faces_of[k].append((i, stands, width))
            for k, width in problem.slat_widths[i]:
                self._hung[k].append((i, self._slat[i], width))
        self._wider: dict[tuple[int, float, int], pywraplp.Variable] = {}
        self._prefer_long_runs(_JOINED * worth.last)

    def ask(self, least: float) -> None:
        """Ask for floors that could show so much at least."""
        self._least.SetLb(least)

    def ask_for_more(self, floor: FloorAnswer) -> None:
        """Ask for a floor that has more of something than a given one."""
        row = self._lp.Constraint(1.0, self._lp.infinity())
        chosen, slat = set(floor.chosen), set(floor.slat)
        for k, pieces in self._faces_of.items():
            there = [width for i, _, width in pieces if i in chosen]
            for width in sorted({width for _, _, width in pieces}):
                count = sum(own >= width - _SAME_MM for own in there)
                row.SetCoefficient(self._as_many(k, width, count + 1), 1.0)
        for pieces in self._hung.values():
            length = sum(width for i, _, width in pieces if i in slat)
            row.SetCoefficient(self._as_long(pieces, length + _LONGER_MM), 1.0)

    def _as_many(self, k: int, width: float, count: int) -> pywraplp.Variable:
        """Give a variable that is 1 only where so many faces of a class are as wide."""
        key = k, width, count
        if key not in self._wider:
            wide = [(i, x, 1.0) for i, x, own in self._faces_of[k] if own >= width - _SAME_MM]
            self._wider[key] = self._as_long(wide, float(count))
        return self._wider[key]

    def _as_long(self, pieces: _Pieces, least: float) -> pywraplp.Variable:
        """Give a variable that is 1 only where pieces come to so much."""
        reached = self._lp.BoolVar("")
        row = self._lp.Constraint(0.0, self._lp.infinity())
        for _, variable, size in pieces:
            row.SetCoefficient(variable, row.GetCoefficient(variable) + size)
        row.SetCoefficient(reached, -least)
        return reached

    def _prefer_long_runs(self, each: float) -> None:
        for i, j in touching(self._problem):
            joined = self._lp.NumVar(0.0, 1.0, "")
            self._objective.SetCoefficient(joined, each)
            for k in (i, j):
                self._lp.Add(joined <= self._slat[k])


def touching(problem: FloorProblem) -> Iterator[tuple[int, int]]:
    """Give the pairs of candidates whose slat-wall makes one run, from left to right."""
    begins: dict[tuple[object, ...], list[int]] = defaultdict(list)
    ends: list[tuple[int, tuple[object, ...]]] = []
    for i, part, place in _spans(problem):
        assert part.wall_span is not None
        left, right = (_grid(at) for at in part.wall_span[:2])
        begins[*place, left].append(i)
        ends.append((i, (*place, right)))
    for i, key in ends:
        for j in begins.get(key, ()):
            yield i, j


def _spans(problem: FloorProblem) -> Iterable[tuple[int, FacePart, tuple[object, ...]]]:
    """Give pieces of slat-wall and what has to be the same for two of them to be joined."""
    for i, candidate in enumerate(problem.candidates):
        for part in candidate.slat:
            if part.wall_span is not None:
                own = (candidate.placement.wall, part.kind, *part.wall_span[2:])
                yield i, part, (*own, candidate.fixture is None)


def _grid(at: float) -> int:
    return math.floor(at / _TOUCH_MM + 0.5)
