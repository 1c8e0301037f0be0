"""The integer program that fills the blocks of some categories anew."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from ortools.sat.python import cp_model

from shopfit.model.range import Line
from shopfit.solver.aims import Aims
from shopfit.solver.filling import (
    PER_MM,
    SHORTFALL,
    WORTH_SCALE,
    Cell,
    Filling,
    Linear,
    grains,
    thousandths,
)
from shopfit.stopping import StopFlag

if TYPE_CHECKING:
    from shopfit.solver.fill import Filler


class RefillModel:
    """The integer program of some categories' blocks."""

    def __init__(
        self,
        filler: Filler,
        filling: Filling,
        categories: Sequence[str],
        fixed_widths: bool,
        stage: str,
    ) -> None:
        self._filler = filler
        self._filling = filling
        self._free = set(categories)
        self._fixed_widths = fixed_widths
        self._aims = Aims(filler.worth, WORTH_SCALE)
        self.model = cp_model.CpModel()
        self._width: dict[int, cp_model.IntVar | int] = {}
        self._cells: dict[Cell, cp_model.IntVar] = {}
        self._own: dict[str, list[tuple[int, cp_model.IntVar]]] = {}
        self._short: list[cp_model.IntVar] = []
        self._blocks = [b for b, plan in enumerate(filling.plans) if plan.category in self._free]
        self._add_widths()
        for b in self._blocks:
            self._add_rows(b)
        for category in categories:
            for line in filler.lines(category):
                self._add_totals(line)
        self._add_money()
        self._add_objective(stage)

    def _add_widths(self) -> None:
        taken: dict[int, int] = {}
        free: dict[int, list[int]] = {}
        for b, plan in enumerate(self._filling.plans):
            if plan.category in self._free and not self._fixed_widths:
                free.setdefault(plan.face, []).append(b)
            else:
                taken[plan.face] = taken.get(plan.face, 0) + self._filling.widths[b]
        for face, blocks in free.items():
            room = int(self._filler.faces[face].width * PER_MM + 1e-6) - taken.get(face, 0)
            for b in blocks:
                width = self.model.new_int_var(0, max(room, 0), "")
                self.model.add_hint(width, min(self._filling.widths[b], max(room, 0)))
                self._width[b] = width
            self.model.add(sum(self._width[b] for b in blocks) <= max(room, 0))
        for b in self._blocks:
            self._width.setdefault(b, self._filling.widths[b])

    def _add_rows(self, b: int) -> None:
        plan = self._filling.plans[b]
        face = self._filler.faces[plan.face]
        shown, whole = self._filler.display, int(face.width * PER_MM + 1e-6)
        before: dict[tuple[int, frozenset[int]], Linear] = {}
        for r, (steps, group) in enumerate(
            zip(plan.pattern.rows, plan.pattern.groups, strict=True)
        ):
            terms: list[Linear] = []
            for line in self._filler.lines(plan.category):
                showing = shown.showings.get((line.line, face.kind))
                if showing is None or showing.levels > steps or not shown.allowed(line, group):
                    continue
                if (line.new and not face.near) or plan.category in face.barred:
                    continue
                wide = grains(line.width)
                most = min(line.max_facings, whole // wide)
                if most < 1:
                    continue
                count = self.model.new_int_var(0, most, "")
                self.model.add_hint(
                    count, min(most, self._filling.facings.get((b, r, line.line), 0))
                )
                self._cells[b, r, line.line] = count
                self._own.setdefault(line.line, []).append((showing.units, count))
                terms.append(count * wide)
            used = sum(terms)
            self.model.add(used <= self._width[b])
            # Equal rows are ordered by how full they are, or every exchange would be a new answer.
            key = (steps, group)
            if key in before and terms:
                self.model.add(before[key] >= used)
            if terms:
                before[key] = used

    def _add_totals(self, line: Line) -> None:
        own = self._own.get(line.line, [])
        total = sum(count for _, count in own)
        if own:
            self.model.add(total <= line.max_facings)
        if line.min_facings > 0:
            short = self.model.new_int_var(0, line.min_facings, "")
            self.model.add(total + short >= line.min_facings)
            self._short.append(short)
        if line.holding > 0:
            empty = self.model.new_int_var(0, line.holding, "")
            self.model.add(sum(units * count for units, count in own) + empty >= line.holding)
            self._short.append(empty)

    def _spent(self) -> Linear:
        terms = []
        for (b, _, name), count in self._cells.items():
            kind = self._filler.faces[self._filling.plans[b].face].kind
            terms.append(count * thousandths(self._filler.display.showings[name, kind].cost))
        return sum(terms)

    def _add_money(self) -> None:
        if self._filler.money is None:
            return
        elsewhere, free = 0, set(self._blocks)
        for (b, _, name), count in self._filling.facings.items():
            if b not in free:
                kind = self._filler.faces[self._filling.plans[b].face].kind
                cost = self._filler.display.showings[name, kind].cost
                elsewhere += thousandths(cost) * count
        self.model.add(self._spent() <= max(0, int(self._filler.money * 1000) - elsewhere))

    def _second(self) -> Linear:
        return sum(
            count * round(self._filler.second[name] * WORTH_SCALE)
            for (_, _, name), count in self._cells.items()
        )

    def _second_now(self) -> int:
        free = set(self._blocks)
        return sum(
            round(self._filler.second[name] * WORTH_SCALE) * count
            for (b, _, name), count in self._filling.facings.items()
            if b in free
        )

    def _weight(self, cell: Cell) -> float:
        plan = self._filling.plans[cell[0]]
        return self._filler.display.weight(plan.category, plan.pattern.groups[cell[1]])

    def _worth(self) -> Linear:
        terms: dict[str, list[tuple[float, Linear]]] = {}
        for cell, count in self._cells.items():
            terms.setdefault(cell[2], []).append((self._weight(cell), count))
        return sum(self._aims.of(self.model, name, own) for name, own in terms.items())

    def _worth_now(self) -> int:
        free = set(self._blocks)
        counts: dict[str, list[tuple[float, int]]] = {}
        for cell, count in self._filling.facings.items():
            if cell[0] in free:
                counts.setdefault(cell[2], []).append((self._weight(cell), count))
        return sum(self._aims.now(name, own) for name, own in counts.items())

    def _add_objective(self, stage: str) -> None:
        short: Linear = sum(self._short)
        worth = self._worth()
        if stage == "worth":
            most = max(1.0, self._filler.worth.dearest) * self._aims.unit
            self.model.maximize(worth - short * math.ceil(most * SHORTFALL * WORTH_SCALE))
            return
        # Later stages keep what the earlier ones reached.
        self.model.add(worth >= self._worth_now())
        self.model.add(short <= self._short_now())
        if stage == "second":
            self.model.maximize(self._second())
            return
        self.model.add(self._second() >= self._second_now())
        self.model.minimize(self._spent())

    def _short_now(self) -> int:
        count: dict[str, int] = {}
        held: dict[str, int] = {}
        for (b, _, name), facings in self._filling.facings.items():
            kind = self._filler.faces[self._filling.plans[b].face].kind
            units = self._filler.display.showings[name, kind].units
            count[name] = count.get(name, 0) + facings
            held[name] = held.get(name, 0) + facings * units
        return sum(
            max(0, line.min_facings - count.get(line.line, 0))
            + max(0, line.holding - held.get(line.line, 0))
            for category in self._free
            for line in self._filler.lines(category)
        )

    def read(self, solver: cp_model.CpSolver) -> Filling:
        """Read the answer, with the other categories as they were."""
        free = set(self._blocks)
        facings = {key: n for key, n in self._filling.facings.items() if key[0] not in free}
        widths = list(self._filling.widths)
        used: dict[tuple[int, int], int] = {}
        sizes = {ln.line: grains(ln.width) for c in self._free for ln in self._filler.lines(c)}
        for (b, r, name), count in self._cells.items():
            number = solver.value(count)
            if number:
                facings[b, r, name] = number
                used[b, r] = used.get((b, r), 0) + number * sizes[name]
        if not self._fixed_widths:
            for b in self._blocks:
                widths[b] = max([0, *(used.get((b, r), 0) for r in range(99) if (b, r) in used)])
        return Filling(list(self._filling.plans), widths, facings)


class StopOnRequest(cp_model.CpSolverSolutionCallback):
    """Ends a search at its next answer once a stop is asked for.

    Parameters
    ----------
    stop
        The stop flag.
    """

    def __init__(self, stop: StopFlag) -> None:
        super().__init__()
        self._flag = stop

    def on_solution_callback(self) -> None:
        """Look at the stop flag."""
        if self._flag.requested:
            self.stop_search()
