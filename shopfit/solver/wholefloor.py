"""Fills all faces of a small floor in one integer program, to the end or nearly so."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ortools.linear_solver import pywraplp

from shopfit.model.range import Line
from shopfit.solver.fill import Filler
from shopfit.solver.filling import PER_MM, BlockPlan, Filling, grains
from shopfit.solver.patterns import Pattern
from shopfit.solver.stoppable import run
from shopfit.stopping import StopFlag

# Facings in rows up to which one program is of use: a stall has 400 to 1,700, and with 3,000 to
# 7,000 it found something better in one of four tries of 10 to 27 s.
MOST_CELLS = 2000
# Nodes for each second there is.
NODES_PER_SECOND = 300
# Seconds of a slow core for a step of the simplex method, and for a node with its heuristics.
_PIVOT = 4.0e-5
_NODE = 8.0e-4
_INFINITY = float("inf")

Spot = tuple[int, str, Pattern]
# Facings of a line in a row of a block: the column, and what one holds, costs and counts.
_Column = tuple[pywraplp.Variable, int, float, float]


@dataclass(frozen=True)
class WholeFloorAnswer:
    """How the program ended.

    Parameters
    ----------
    filling
        A better filling, or none.
    worked
        What it cost, s of a slow core.
    exhausted
        Whether nothing on these faces is better than what is known now.
    finished
        Whether no clock and no person ended it.
    """

    filling: Filling | None
    worked: float = 0.0
    exhausted: bool = False
    finished: bool = True


def workable(filler: Filler, filling: Filling) -> bool:
    """Say whether the program is of use: for few faces, minimums met, and no wishes among faces."""
    if filler.neighbours is not None or filler.score(filling).short > 0:
        return False
    return cells(filler, MOST_CELLS) <= MOST_CELLS


def cells(filler: Filler, enough: float = _INFINITY) -> int:
    """Count the facings in rows that the program of all faces has, until more than enough."""
    count = 0
    for spot, lines in _spots(filler):
        kind = filler.faces[spot[0]].kind
        for r in range(len(spot[2].rows)):
            count += len(_inside(filler, spot[2], r, lines, kind))
        if count > enough:
            break
    return count


def fill_whole_floor(
    filler: Filler,
    filling: Filling,
    seconds: float,
    seed: int,
    stop: StopFlag,
    known: float | None = None,
) -> WholeFloorAnswer:
    """Look for the best filling of all faces that is better than a known one.

    Every pattern has a block of its own on every face, so that nothing is left out that rows
    allow: more blocks of one pattern show nothing more than one as wide as all of them.

    Parameters
    ----------
    filler, filling
        The faces of the floor, and what is known; it misses no minimum.
    seconds
        How hard to search, s of a slow core.
    seed, stop
        Seed and the stop flag.
    known
        Worth that it has to be better than, if that of the filling is not enough.
    """
    if stop.requested:
        return WholeFloorAnswer(None, finished=False)
    program = _Program(filler, filler.score(filling).worth if known is None else known)
    status, finished = program.solve(seconds, seed, stop)
    worked = program.worked
    if status == pywraplp.Solver.INFEASIBLE:
        return WholeFloorAnswer(None, worked, exhausted=True, finished=finished)
    if status not in (pywraplp.Solver.OPTIMAL, pywraplp.Solver.FEASIBLE):
        return WholeFloorAnswer(None, worked, finished=finished)
    found = program.read()
    better = filler.rank(found) > filler.rank(filling) and filler.allowed(found)
    ended = better and status == pywraplp.Solver.OPTIMAL
    return WholeFloorAnswer(found if better else None, worked, ended, finished)


def _spots(filler: Filler) -> Iterator[tuple[Spot, list[Line]]]:
    """Give the blocks that may stand on each face, with the lines that may be in them."""
    for number, face in enumerate(filler.faces):
        whole = int(face.width * PER_MM + 1e-6)
        for category in filler.categories:
            lines = [
                line
                for line in filler.lines(category)
                if filler.can_show(line, number) and grains(line.width) <= whole
            ]
            if lines:
                for pattern in filler.display.patterns[category, face.kind]:
                    yield (number, category, pattern), lines


def _inside(filler: Filler, pattern: Pattern, row: int, lines: list[Line], kind: int) -> list[Line]:
    """List the lines that fit into a row of a block."""
    shown = filler.display
    return [
        line
        for line in lines
        if shown.showings[line.line, kind].levels <= pattern.rows[row]
        and shown.allowed(line, pattern.groups[row])
    ]


class _Program:
    """The program of all faces, which asks for more than a known worth."""

    def __init__(self, filler: Filler, known: float) -> None:
        self._filler = filler
        self._lp = pywraplp.Solver.CreateSolver("SCIP")
        self._objective = self._lp.Objective()
        self._objective.SetMaximization()
        self._more = self._lp.Constraint(known + filler.worth.gain(known), _INFINITY)
        self._own: dict[str, list[_Column]] = {}
        self._cells: dict[tuple[Spot, int, str], pywraplp.Variable] = {}
        self._room = [
            self._lp.Constraint(-_INFINITY, float(int(face.width * PER_MM + 1e-6)))
            for face in filler.faces
        ]
        for spot, lines in _spots(filler):
            self._add_block(spot, lines)
        for line in filler.site.scenario.lines:
            self._add_line(line, self._own.get(line.line, []))
        self._add_money()

    def _add_block(self, spot: Spot, lines: list[Line]) -> None:
        number, category, pattern = spot
        kind, shown = self._filler.faces[number].kind, self._filler.display
        whole = int(self._filler.faces[number].width * PER_MM + 1e-6)
        width = self._lp.NumVar(0.0, float(whole), "")
        self._room[number].SetCoefficient(width, 1.0)
        for r in range(len(pattern.rows)):
            weight = shown.weight(category, pattern.groups[r])
            row = self._lp.Constraint(-_INFINITY, 0.0)
            row.SetCoefficient(width, -1.0)
            for line in _inside(self._filler, pattern, r, lines, kind):
                wide = grains(line.width)
                count = self._lp.IntVar(0, min(line.max_facings, whole // wide), "")
                row.SetCoefficient(count, float(wide))
                self._cells[spot, r, line.line] = count
                showing = shown.showings[line.line, kind]
                own = self._own.setdefault(line.line, [])
                own.append((count, showing.units, showing.cost, weight))

    def _add_line(self, line: Line, own: list[_Column]) -> None:
        """Hold a line to its numbers and count it towards what is made largest."""
        total = self._lp.Constraint(float(line.min_facings), float(line.max_facings))
        held = self._lp.Constraint(float(line.holding), _INFINITY)
        counted = self._lp.Constraint(-_INFINITY, 0.0)
        for column, units, _, weight in own:
            total.SetCoefficient(column, 1.0)
            held.SetCoefficient(column, float(units))
            counted.SetCoefficient(column, -weight)
        for count, each in self._filler.worth.steps[line.line]:
            step = self._lp.NumVar(0.0, float(count), "")
            counted.SetCoefficient(step, 1.0)
            self._objective.SetCoefficient(step, each)
            self._more.SetCoefficient(step, each)

    def _add_money(self) -> None:
        if self._filler.money is None:
            return
        money = self._lp.Constraint(-_INFINITY, max(0.0, self._filler.money))
        for own in self._own.values():
            for column, _, cost, _ in own:
                money.SetCoefficient(column, cost)

    def solve(self, seconds: float, seed: int, stop: StopFlag) -> tuple[int, bool]:
        """Search; gives how it ended, and whether neither a clock nor a person ended it."""
        nodes = 1 + int(NODES_PER_SECOND * seconds)
        parameters = (
            f"limits/totalnodes = {nodes}\nrandomization/randomseedshift = {seed % 2**20}\n"
        )
        return run(self._lp, parameters, 4.0 * seconds + 10.0, stop)

    @property
    def worked(self) -> float:
        """About what the search cost, s of a slow core."""
        return float(_PIVOT * self._lp.iterations() + _NODE * self._lp.nodes())

    def read(self) -> Filling:
        """Read the filling of the answer."""
        plans: dict[Spot, int] = {}
        facings: dict[tuple[int, int, str], int] = {}
        used: dict[tuple[int, int], int] = {}
        sizes = {line.line: grains(line.width) for line in self._filler.site.scenario.lines}
        for (spot, row, name), column in self._cells.items():
            count = round(column.solution_value())
            if count:
                b = plans.setdefault(spot, len(plans))
                facings[b, row, name] = count
                used[b, row] = used.get((b, row), 0) + count * sizes[name]
        widths = [0] * len(plans)
        for (b, _), width in used.items():
            widths[b] = max(widths[b], width)
        return Filling([BlockPlan(*spot) for spot in plans], widths, facings)
