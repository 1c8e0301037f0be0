"""The linear program over fillings of whole faces, and what of it is taken for good."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from ortools.linear_solver import pywraplp

from shopfit.model.range import Line
from shopfit.solver.effort import Work
from shopfit.solver.facefilling import FaceFilling, FaceType, Prices
from shopfit.solver.fixing import Face
from shopfit.solver.pricing import Pricer
from shopfit.solver.range_display import Display
from shopfit.solver.worth import Worth

# Worth of a facing or unit missing from a minimum, in facings of the dearest line.
_SHORT = 20.0
EPS = 1e-6


@dataclass(frozen=True)
class Demand:
    """What is still wanted of each line.

    Parameters
    ----------
    most, least
        Facings.
    holding
        Units.
    counted
        Weighted facings shown elsewhere, whose steps of worth are used up.
    money
        Left for brackets and shelves, or none where it does not matter.
    """

    most: dict[str, int]
    least: dict[str, int]
    holding: dict[str, int]
    counted: dict[str, float]
    money: float | None = None


@dataclass
class _State:
    """What is still open while fillings are taken for good."""

    left: dict[FaceType, int]
    most: dict[str, int]
    least: dict[str, int]
    holding: dict[str, int]
    money: float | None
    counted: dict[str, float] = field(default_factory=dict)
    taken: list[tuple[FaceType, FaceFilling]] = field(default_factory=list)


@dataclass
class Column:
    """A filling in the program, and how often the answer takes it."""

    variable: pywraplp.Variable
    kind: FaceType
    filling: FaceFilling
    share: float = 0.0


@dataclass
class _Rows:
    """The rows of the linear program that columns enter."""

    most: dict[str, pywraplp.Constraint] = field(default_factory=dict)
    worth: dict[str, pywraplp.Constraint] = field(default_factory=dict)
    least: dict[str, pywraplp.Constraint] = field(default_factory=dict)
    holding: dict[str, pywraplp.Constraint] = field(default_factory=dict)


class FacesProgram:
    """A linear program over fillings of whole faces, which grows by the fillings worth adding.

    Column generation after Gilmore and Gomory (1961, Operations Research 9:849-859): prices of
    lines come from the program, the best filling of a face at these prices enters it.

    Parameters
    ----------
    lines
        Lines of each category that may be shown.
    shown
        How lines can be shown.
    faces
        Faces that are filled.
    demand, worth
        What is wanted, and what it is worth.
    room
        The part of the faces that there is until fillings are taken for good.
    each_row
        Whether most facings of a line limit each row of a filling alone; the program keeps to them
        in all either way.
    """

    def __init__(
        self,
        lines: Mapping[str, Sequence[Line]],
        shown: Display,
        faces: Sequence[Face],
        demand: Demand,
        worth: Worth,
        room: float = 1.0,
        each_row: bool = False,
    ) -> None:
        self._lines = {line.line: line for own in lines.values() for line in own}
        self._display, self._worth, self._demand = shown, worth, demand
        self._pricer = Pricer(lines, shown, faces, each_row)
        left: dict[FaceType, int] = {}
        for kind in self._pricer.types:
            left[kind] = left.get(kind, 0) + 1
        self._at = _State(
            left, dict(demand.most), dict(demand.least), dict(demand.holding), demand.money
        )
        self._lp = pywraplp.Solver.CreateSolver("GLOP")
        self._objective = self._lp.Objective()
        self._objective.SetMaximization()
        infinity = self._lp.infinity()
        self._room = {
            kind: self._lp.Constraint(-infinity, room * n) for kind, n in self._at.left.items()
        }
        self._rows = _Rows()
        self._heaviest = max([1.0, *shown.weights.values()])
        self._money = None
        if demand.money is not None:
            self._money = self._lp.Constraint(-infinity, demand.money)
        for name in self._lines:
            self._add_line(name)
        self._columns: dict[tuple[object, ...], Column] = {}
        self._duals: dict[int, float] = {}
        self._money_price = 0.0

    @property
    def work(self) -> Work:
        """What has been worked so far."""
        return self._pricer.work

    def _add_line(self, name: str) -> None:
        lp, infinity, rows = self._lp, self._lp.infinity(), self._rows
        rows.most[name] = lp.Constraint(-infinity, float(self._demand.most[name]))
        rows.worth[name] = lp.Constraint(-infinity, 0.0)
        # A filling may hold more than is wanted, which is taken out and worth nothing.
        surplus = lp.NumVar(0.0, infinity, "")
        rows.most[name].SetCoefficient(surplus, -1.0)
        rows.worth[name].SetCoefficient(surplus, self._heaviest)
        used = self._demand.counted.get(name, 0.0)
        for count, each in self._worth.steps[name]:
            free = max(0.0, count - used)
            used = max(0.0, used - count)
            step = lp.NumVar(0.0, free, "")
            rows.worth[name].SetCoefficient(step, 1.0)
            self._objective.SetCoefficient(step, each)
        missing = _SHORT * max(1.0, self._worth.dearest)
        for own, least in ((rows.least, self._demand.least), (rows.holding, self._demand.holding)):
            if least.get(name, 0) > 0:
                own[name] = lp.Constraint(float(least[name]), infinity)
                short = lp.NumVar(0.0, infinity, "")
                own[name].SetCoefficient(short, 1.0)
                self._objective.SetCoefficient(short, -missing)

    def _add(self, kind: FaceType, filling: FaceFilling) -> bool:
        """Add a filling; say whether it is new."""
        if not filling.facings:
            return False
        counted = self._counted(filling)
        key = (kind, *sorted(filling.facings.items()), *sorted(counted.items()))
        if key in self._columns:
            return False
        variable = self._lp.NumVar(0.0, self._lp.infinity(), "")
        self._columns[key] = Column(variable, kind, filling)
        self._room[kind].SetCoefficient(variable, 1.0)
        rows = self._rows
        if self._money is not None:
            self._money.SetCoefficient(variable, self._cost(kind, filling))
        for name, facings in filling.facings.items():
            rows.most[name].SetCoefficient(variable, float(facings))
            rows.worth[name].SetCoefficient(variable, -counted[name])
            if name in rows.least:
                rows.least[name].SetCoefficient(variable, float(facings))
            if name in rows.holding:
                units = self._display.showings[name, kind.kind].units
                rows.holding[name].SetCoefficient(variable, float(facings * units))
        return True

    def _cost(self, kind: FaceType, filling: FaceFilling) -> float:
        shown = self._display.showings
        return sum(shown[n, kind.kind].cost * count for n, count in filling.facings.items())

    def _counted(self, filling: FaceFilling) -> dict[str, float]:
        counted: dict[str, float] = {}
        for block in filling.blocks:
            for row, group in zip(block.rows, block.pattern.groups, strict=True):
                weight = self._display.weight(block.category, group)
                for name, facings in row.items():
                    counted[name] = counted.get(name, 0.0) + weight * facings
        return counted

    def _solve(self) -> float | None:
        """Solve the program as it stands; none where the linear solver fails."""
        solved = self._lp.Solve() == pywraplp.Solver.OPTIMAL
        self.work.solves += 1
        self.work.looks += len(self._columns)
        if not solved:
            return None
        value: float = self._objective.Value()
        for column in self._columns.values():
            column.share = column.variable.solution_value()
        rows = self._rows
        self._duals = {
            id(row): row.dual_value()
            for own in (rows.most, rows.worth, rows.least, rows.holding, self._room)
            for row in own.values()
        }
        self._money_price = 0.0 if self._money is None else self._money.dual_value()
        return value

    @property
    def place_price(self) -> dict[str, float]:
        """What a facing of each line brings, less what one more of them wanted would bring."""
        most, worth, duals = self._rows.most, self._rows.worth, self._duals
        return {name: duals[id(worth[name])] - duals[id(row)] for name, row in most.items()}

    def _prices(self, kind: FaceType) -> Prices:
        rows, shown = self._rows, self._display
        plain = {}
        for name in self._lines:
            price = -self._duals[id(rows.most[name])]
            if name in rows.least:
                price -= self._duals[id(rows.least[name])]
            if name in rows.holding and (name, kind.kind) in shown.showings:
                units = shown.showings[name, kind.kind].units
                price -= self._duals[id(rows.holding[name])] * units
            if self._money_price > 0 and (name, kind.kind) in shown.showings:
                price -= self._money_price * shown.showings[name, kind.kind].cost
            plain[name] = price
        return Prices({n: self._duals[id(row)] for n, row in rows.worth.items()}, plain)

    def _price(self) -> bool:
        """Add the best filling of each type; say whether one of them was worth it."""
        better = False
        for own in self._classes():
            # What is worked out for the widest face holds for narrower ones as well.
            priced = self._pricer.priced(own[-1], self._prices(own[-1]), self._at.most)
            for kind in own:
                due = self._duals[id(self._room[kind])]
                value = float(priced.gained[kind.units])
                if value - due > EPS * max(1.0, abs(value)):
                    better |= self._add(kind, priced.best(kind.units)[1])
        return better

    def _classes(self) -> list[list[FaceType]]:
        """Group the types still open by class of face, narrow ones first."""
        found: dict[tuple[object, ...], list[FaceType]] = {}
        for kind, left in sorted(self._at.left.items()):
            if left > 0:
                found.setdefault((kind.kind, kind.near, kind.barred), []).append(kind)
        return list(found.values())

    def _fill_in_turn(self, rng: random.Random) -> None:
        """Add a filling of every face, one after the other with what the others leave."""
        caps = dict(self._at.most)
        classes = self._classes()
        rng.shuffle(classes)
        for own in classes:
            # One after the other in a class, for most of what is worked out holds for the next.
            widest, prices = own[-1], self._prices(own[-1])
            kinds = [kind for kind in own for _ in range(self._at.left[kind])]
            rng.shuffle(kinds)
            for kind in kinds:
                priced = self._pricer.priced(widest, prices, caps, kind.units)
                filling = priced.best(kind.units)[1]
                for name, facings in filling.facings.items():
                    caps[name] -= facings
                self._add(kind, filling)

    def _state(self) -> _State:
        at = self._at
        return _State(
            dict(at.left),
            dict(at.most),
            dict(at.least),
            dict(at.holding),
            at.money,
            dict(at.counted),
            list(at.taken),
        )

    def _restore(self, state: _State) -> None:
        self._at = state
        self._at = self._state()
        self._set_bounds()

    def _set_bounds(self) -> None:
        """Set the rows and columns of the program to what is still wanted and free."""
        at, rows = self._at, self._rows
        if self._money is not None and at.money is not None:
            self._money.SetUb(at.money)
        for kind, left in at.left.items():
            self._room[kind].SetUb(float(left))
        for name in self._lines:
            rows.most[name].SetUb(float(at.most[name]))
            rows.worth[name].SetUb(at.counted.get(name, 0.0))
            if name in rows.least:
                rows.least[name].SetLb(float(at.least[name]))
            if name in rows.holding:
                rows.holding[name].SetLb(float(at.holding[name]))
        infinity = self._lp.infinity()
        self.work.looks += len(self._columns)
        for column in self._columns.values():
            column.variable.SetUb(infinity if self._fits(column) else 0.0)

    def _fits(self, column: Column) -> bool:
        most, money = self._at.most, self._at.money
        if self._at.left[column.kind] <= 0:
            return False
        if money is not None and self._cost(column.kind, column.filling) > money + EPS:
            return False
        return any(most[name] > 0 for name in column.filling.facings)

    def _take(self, column: Column) -> None:
        """Take a filling for good and set the program to what is left."""
        kind, at = column.kind, self._at
        filling = self._pricer.within(column.filling, at.most)
        at.left[kind] -= 1
        at.taken.append((kind, filling))
        if at.money is not None:
            at.money -= self._cost(kind, filling)
        for name, counted in self._counted(filling).items():
            at.counted[name] = at.counted.get(name, 0.0) + counted
        for name, facings in filling.facings.items():
            units = facings * self._display.showings[name, kind.kind].units
            at.most[name] -= facings
            at.least[name] = max(0, at.least[name] - facings)
            at.holding[name] = max(0, at.holding[name] - units)
        self._set_bounds()

    def add_standing(self, face: Face, filling: FaceFilling) -> None:
        """Add a filling that stands on a face already."""
        self._add(self._pricer.type_of(face), filling)
