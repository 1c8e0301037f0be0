"""What goods want of the faces that categories are allotted: room, minimums and worth."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from ortools.linear_solver import pywraplp

from shopfit.model.range import Line
from shopfit.solver.alike import rows_of
from shopfit.solver.fill import Filler

Place = tuple[str, int]
Widths = Mapping[Place, pywraplp.Variable]


class AllotGoods:
    """What stands on the widths of a plan, added to its program.

    Parameters
    ----------
    program, filler
        The program, and the faces.
    widths
        Width of each category on each face, mm.
    missed
        What a facing or a unit missing from a minimum costs.
    whole
        Lines of which facings are whole.
    """

    def __init__(
        self,
        program: pywraplp.Solver,
        filler: Filler,
        widths: Widths,
        missed: float,
        whole: Collection[str] = (),
    ) -> None:
        self._lp, self._filler, self._widths = program, filler, widths
        self._objective, self._missed, self._whole = program.Objective(), missed, whole
        self._rows: dict[tuple[str, int], int] = {}
        self._facings: dict[str, dict[int, pywraplp.Variable]] = {}
        for (name, n), width in widths.items():
            self._add_place(name, n, width)
        for line in filler.site.scenario.lines:
            self._add_line(line, self._facings.get(line.line, {}))

    def _add_place(self, name: str, n: int, width: pywraplp.Variable) -> None:
        """Share the area of a category on a face among its lines.

        Rows are not set out: no line has more rows than some division of the face gives it, and
        goods that are tall have no more than stand on one another. Facings may be fractions.
        """
        face, shown = self._filler.faces[n], self._filler.display
        lines = [line for line in self._filler.lines(name) if self._filler.can_show(line, n)]
        levels = {line.line: shown.showings[line.line, face.kind].levels for line in lines}
        high = shown.classes[face.kind].levels
        here: dict[str, pywraplp.Variable] = {}
        for line in lines:
            rows = self._rows_of(line, face.kind, levels[line.line])
            most = min(line.max_facings, rows * int(face.width / line.width))
            make = self._lp.IntVar if line.line in self._whole else self._lp.NumVar
            count = here[line.line] = make(0, most, "")
            self._facings.setdefault(line.line, {})[n] = count
            self._lp.Add(count * line.width <= rows * width)
        self._lp.Add(
            sum(here[line.line] * (line.width * levels[line.line]) for line in lines)
            <= high * width
        )
        for least in sorted(set(levels.values())):
            tall = [line for line in lines if levels[line.line] >= least]
            length = sum(here[line.line] * line.width for line in tall)
            self._lp.Add(length <= (high // least) * width)

    def _rows_of(self, line: Line, kind: int, levels: int) -> int:
        """Give the most rows that a division of a face has for a line."""
        key = line.line, kind
        if key not in self._rows:
            self._rows[key] = rows_of(self._filler.display, line, kind, levels)
        return self._rows[key]

    def _add_line(self, line: Line, own: Mapping[int, pywraplp.Variable]) -> None:
        """Count the worth of a line, and what it misses of its minimums."""
        if not own:
            return
        total, shown = sum(own.values()), self._filler.display
        self._lp.Add(total <= line.max_facings)
        counted = []
        for count, each in self._filler.worth.steps[line.line]:
            step = self._lp.NumVar(0.0, float(count), "")
            self._objective.SetCoefficient(step, each)
            counted.append(step)
        self._lp.Add(sum(counted) <= total)
        units = {n: shown.showings[line.line, self._filler.faces[n].kind].units for n in own}
        self._want(total, line.min_facings)
        self._want(sum(count * units[n] for n, count in own.items()), line.holding)

    def _want(self, have: pywraplp.LinearExpr, wanted: float) -> None:
        if wanted > 0:
            short = self._lp.NumVar(0.0, float(wanted), "")
            self._objective.SetCoefficient(short, -self._missed)
            self._lp.Add(have + short >= wanted)


def lines_on_faces(filler: Filler) -> int:
    """Count the lines that may stand on each face, in all."""
    lines = filler.site.scenario.lines
    return sum(filler.can_show(line, n) for n in range(len(filler.faces)) for line in lines)
