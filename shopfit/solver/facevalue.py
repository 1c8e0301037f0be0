"""What the faces of a floor can show at best, and what a little more of them is worth."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from ortools.linear_solver import pywraplp

from shopfit.solver.effort import divisible_seconds
from shopfit.solver.facerows import FaceRows
from shopfit.solver.filling import BlockKey
from shopfit.solver.floor import FloorAnswer, FloorProblem
from shopfit.solver.parts import FacePart
from shopfit.solver.range_display import Display
from shopfit.solver.worth import Worth

_Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Brought:
    """What positions bring to a floor, one row for each, their slat-wall apart.

    Parameters
    ----------
    own, slat
        Widths of faces of each class, mm, arrays of shape (positions, classes).
    own_spare, slat_spare
        Worth of having the faces, shown or not, arrays of shape (positions,).
    """

    own: _Floats
    slat: _Floats
    own_spare: _Floats
    slat_spare: _Floats

    def widths(self, floor: FloorAnswer) -> _Floats:
        """Add up the widths of faces of each class on a floor, mm."""
        own, slat = self.own[list(floor.chosen)], self.slat[list(floor.slat)]
        total: _Floats = own.sum(axis=0) + slat.sum(axis=0)
        return total

    def spare(self, floor: FloorAnswer) -> float:
        """Add up what having the faces of a floor is worth."""
        own, slat = self.own_spare[list(floor.chosen)], self.slat_spare[list(floor.slat)]
        return float(own.sum() + slat.sum())


def brought(problem: FloorProblem, remainder: float, spare: float) -> Brought:
    """Work out what positions bring.

    Parameters
    ----------
    problem
        The floor.
    remainder
        Taken off every face's width, mm.
    spare
        Worth of a square metre of face.
    """
    heights = np.array([face.levels * face.pitch for face in problem.classes])
    number = {kind: k for k, kind in enumerate(problem.classes)}

    def gathered(parts: Iterable[tuple[FacePart, ...]]) -> tuple[_Floats, _Floats]:
        known: dict[int, tuple[_Floats, float]] = {}
        rows: list[tuple[_Floats, float]] = []
        for own in parts:
            # All positions of a fixture share one tuple of faces.
            if id(own) not in known:
                widths, area = np.zeros(len(heights)), 0.0
                for part in own:
                    k = number[part.kind]
                    widths[k] += max(0.0, part.width - remainder)
                    area += part.width * heights[k] / 1e6
                known[id(own)] = widths, spare * area
            rows.append(known[id(own)])
        every = np.array([row[0] for row in rows]).reshape(-1, len(heights))
        return every, np.array([row[1] for row in rows])

    own, own_spare = gathered(one.faces for one in problem.candidates)
    slat, slat_spare = gathered(one.slat for one in problem.candidates)
    return Brought(own, slat, own_spare, slat_spare)


@dataclass(frozen=True)
class FacesAt:
    """What faces of some widths can show at best.

    Parameters
    ----------
    widths, money
        Widths of faces of each class, mm, and money for what stands on them, or none.
    value, short
        Worth with facings divisible, shortfalls taken off, and facings and units missing from
        minimums.
    prices, money_price
        What a little more is worth, by class for a millimetre, and for one of money. With other
        widths and other money no more can be shown than these prices say.
    blocks
        (category, class number, pattern) to width, mm.
    """

    widths: _Floats
    money: float | None
    value: float
    short: float
    prices: _Floats
    money_price: float
    blocks: dict[BlockKey, float] = field(repr=False)

    def most(self, widths: _Floats, money: float | None) -> float:
        """Give a worth that faces of other widths cannot exceed."""
        more = float(self.prices @ (widths - self.widths))
        if money is not None and self.money is not None:
            more += self.money_price * (money - self.money)
        return self.value + more


class FaceValue:
    """One linear program for the faces of all floors of a shop, begun where the last one ended.

    Parameters
    ----------
    problem, shown
        The floor, of which only classes of faces count, and how lines can be shown.
    worth
        What facings are worth.
    roomy
        Times the width of a facing that blocks have at least for each line that must be there.

    Attributes
    ----------
    worked
        What it has cost so far, s of a slow core.
    """

    def __init__(
        self, problem: FloorProblem, shown: Display, worth: Worth, roomy: float = 1.0
    ) -> None:
        self._lp = pywraplp.Solver.CreateSolver("GLOP")
        self._lp.Objective().SetMaximization()
        self._rows = FaceRows(self._lp, problem.site.scenario, shown, worth, roomy)
        self._rows.add(lambda most: self._lp.NumVar(0.0, float(most), ""))
        self.worked = 0.0

    def at(self, widths: _Floats, money: float | None) -> FacesAt | None:
        """Work out what faces of some widths can show; none where the linear solver fails.

        Parameters
        ----------
        widths, money
            Widths of faces of each class, mm, and money for what stands on them, or none.
        """
        for row, width in zip(self._rows.room, widths.tolist(), strict=True):
            row.SetUb(width)
        if money is not None:
            self._rows.money.SetUb(money)
        solved = self._lp.Solve() == pywraplp.Solver.OPTIMAL
        self.worked += divisible_seconds(self._lp.iterations(), self._lp.NumConstraints())
        if not solved:
            return None
        prices = np.array([max(0.0, row.dual_value()) for row in self._rows.room])
        blocks = {
            key: block.solution_value()
            for key, block in self._rows.blocks.items()
            if block.solution_value() > 1e-3
        }
        return FacesAt(
            widths,
            money,
            self._lp.Objective().Value(),
            sum(short.solution_value() for short in self._rows.short),
            prices,
            0.0 if money is None else max(0.0, self._rows.money.dual_value()),
            blocks,
        )
