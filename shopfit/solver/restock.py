"""Changes as few blocks as possible until a filling is worth what is asked for."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from shopfit.model.range import Line
from shopfit.solver.filling import (
    TENTHS,
    BlockPlan,
    Cell,
    Filling,
    Linear,
    tenths,
    thousandths,
)
from shopfit.solver.patterns import Pattern
from shopfit.solver.refill import StopOnRequest
from shopfit.solver.reverting import Task, worth_scale
from shopfit.stopping import StopFlag

# Facings that may be chosen in one program; with more of them only today's blocks are changed.
MOST_CELLS = 12_000


@dataclass(frozen=True)
class Restocked:
    """How a restocking ended.

    Parameters
    ----------
    filling
        One that reaches the target, or none.
    least
        Fewest blocks that must change, as far as proved; none where nothing is.
    """

    filling: Filling | None
    least: int | None = None


def restock(
    task: Task,
    effort: float,
    workers: int,
    seed: int,
    stop: StopFlag,
    faces: Collection[int] | None = None,
) -> Restocked:
    """Reach the target with the fewest changed blocks, then the fewest facings shifted.

    Parameters
    ----------
    task
        What is asked.
    effort, workers, seed, stop
        Deterministic time, threads, seed and the stop flag.
    faces
        Numbers of the faces that may change; all of them if left out.
    """
    if task.met_by(task.before):
        return Restocked(task.before, 0)
    every = range(len(task.filler.faces))
    open_faces = frozenset(every if faces is None else faces)
    free = _cells_with_new(task, open_faces) <= MOST_CELLS
    model = _RestockModel(task, open_faces, free)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = workers
    solver.parameters.interleave_search = workers > 1
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = effort
    status = solver.solve(model.model, StopOnRequest(stop))
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Restocked(None)
    found = model.read(solver)
    if not task.met_by(found) or not task.filler.allowed(found):
        return Restocked(None)
    whole = free and faces is None
    return Restocked(found, model.least(solver) if whole else None)


@dataclass
class _Spot:
    """A block that stands or may be set up: its face, category, ways to divide it, and its number.

    Parameters
    ----------
    face, category, patterns
        Where, what, and the divisions it may have; of a block that stands the first is its own.
    block
        Number of the block that stands, or none.
    """

    face: int
    category: str
    patterns: tuple[Pattern, ...]
    block: int | None = None


def _cells_with_new(task: Task, open_faces: Collection[int]) -> int:
    """Count the facings to choose if every category may be set up on every face."""
    filler, count = task.filler, 0
    for spot in _spots(task, open_faces, True):
        rows = max(len(pattern.rows) for pattern in spot.patterns)
        count += rows * len(filler.lines(spot.category))
        if count > MOST_CELLS:
            break
    return count


def _spots(task: Task, open_faces: Collection[int], free: bool) -> Iterator[_Spot]:
    filler, shown = task.filler, task.filler.display
    for b, plan in enumerate(task.before.plans):
        if plan.face in open_faces:
            own = shown.patterns[plan.category, filler.faces[plan.face].kind] if free else ()
            others = tuple(pattern for pattern in own if pattern != plan.pattern)
            yield _Spot(plan.face, plan.category, (plan.pattern, *others), b)
    for face in sorted(open_faces):
        for category in filler.site.scenario.categories if free else ():
            patterns = shown.patterns[category, filler.faces[face].kind]
            if patterns and any(filler.can_show(line, face) for line in filler.lines(category)):
                yield _Spot(face, category, patterns)


class _RestockModel:
    """The integer program of some faces with a price on every block that changes."""

    def __init__(self, task: Task, open_faces: Collection[int], free: bool) -> None:
        self.model = cp_model.CpModel()
        self._task, self._filler, self._open = task, task.filler, open_faces
        self._spots = list(_spots(task, open_faces, free))
        self._chosen: list[list[cp_model.IntVar]] = []
        self._changed: list[cp_model.IntVar] = []
        self._width: list[cp_model.IntVar] = []
        self._cells: dict[tuple[int, int, str], cp_model.IntVar] = {}
        self._own: dict[str, list[tuple[int, int, cp_model.IntVar]]] = {}
        self._shifted: list[Linear] = []
        for number, spot in enumerate(self._spots):
            self._add_spot(number, spot)
        for face in open_faces:
            own = [self._width[n] for n, spot in enumerate(self._spots) if spot.face == face]
            if own:
                self.model.add(sum(own) <= self._whole(face))
        self._add_totals()
        # One block more is dearer than any shifting of facings.
        self._price = 1 + 2 * sum(line.max_facings for line in self._filler.site.scenario.lines)
        counted = [
            changed
            for changed, spot in zip(self._changed, self._spots, strict=True)
            if spot.block not in task.touched
        ]
        self.model.minimize(sum(counted) * self._price + sum(self._shifted))

    def _whole(self, face: int) -> int:
        return int(self._filler.faces[face].width * TENTHS + 1e-6)

    def _today(self, spot: _Spot) -> dict[tuple[int, str], int]:
        if spot.block is None:
            return {}
        cells = self._task.before.facings.items()
        return {(r, name): count for (b, r, name), count in cells if b == spot.block}

    def _add_spot(self, number: int, spot: _Spot) -> None:
        today = self._today(spot)
        chosen = [self.model.new_bool_var("") for _ in spot.patterns]
        changed = self.model.new_bool_var("")
        width = self.model.new_int_var(0, self._whole(spot.face), "")
        self.model.add_at_most_one(chosen)
        if today:
            # What has not changed is divided as it was and keeps its width.
            self.model.add(chosen[0] + changed >= 1)
            wide = min(self._task.before.widths[spot.block or 0], self._whole(spot.face))
            self.model.add(width + wide * changed >= wide)
        else:
            self.model.add(sum(chosen) <= changed)
        self.model.add(width <= self._whole(spot.face) * sum(chosen))
        for k, variable in enumerate(chosen):
            self.model.add_hint(variable, bool(today) and k == 0)
        self.model.add_hint(changed, False)
        self._chosen.append(chosen)
        self._changed.append(changed)
        self._width.append(width)
        by_line: dict[str, list[cp_model.IntVar]] = {}
        for row in range(max(len(pattern.rows) for pattern in spot.patterns)):
            self._add_row(number, spot, row, today, by_line)
        for name in sorted({name for _, name in today} | set(by_line)):
            stood = sum(count for (_, other), count in today.items() if other == name)
            moved = self.model.new_int_var(0, 1_000_000, "")
            total: Linear = sum(by_line.get(name, []))
            self.model.add(moved >= total - stood)
            self.model.add(moved >= stood - total)
            self._shifted.append(moved)

    def _add_row(
        self,
        number: int,
        spot: _Spot,
        row: int,
        today: dict[tuple[int, str], int],
        by_line: dict[str, list[cp_model.IntVar]],
    ) -> None:
        filler, kind = self._filler, self._filler.faces[spot.face].kind
        chosen, changed = self._chosen[number], self._changed[number]
        terms: list[Linear] = []
        for line in filler.lines(spot.category):
            showing = filler.display.showings.get((line.line, kind))
            if showing is None:
                continue
            fitting = [
                chosen[k]
                for k, pattern in enumerate(spot.patterns)
                if self._fits(line, pattern, row, showing.levels)
            ]
            most = min(line.max_facings, self._whole(spot.face) // tenths(line.width))
            if not fitting or most < 1:
                continue
            stood = today.get((row, line.line), 0)
            count = self.model.new_int_var(0, max(most, stood), "")
            self.model.add(count <= max(most, stood) * sum(fitting))
            self.model.add(count - stood <= most * changed)
            self.model.add(stood - count <= stood * changed)
            self.model.add_hint(count, stood)
            self._cells[number, row, line.line] = count
            cost = thousandths(showing.cost)
            self._own.setdefault(line.line, []).append((showing.units, cost, count))
            by_line.setdefault(line.line, []).append(count)
            terms.append(count * tenths(line.width))
        if terms:
            self.model.add(sum(terms) <= self._width[number])

    def _fits(self, line: Line, pattern: Pattern, row: int, levels: int) -> bool:
        return (
            row < len(pattern.rows)
            and pattern.rows[row] >= levels
            and self._filler.display.allowed(line, pattern.groups[row])
        )

    def _add_totals(self) -> None:
        filler, before = self._filler, self._task.before
        count: dict[str, int] = {}
        held: dict[str, int] = {}
        spent = 0
        for (b, _, name), facings in before.facings.items():
            face = before.plans[b].face
            if face not in self._open:
                showing = filler.display.showings[name, filler.faces[face].kind]
                count[name] = count.get(name, 0) + facings
                held[name] = held.get(name, 0) + facings * showing.units
                spent += thousandths(showing.cost) * facings
        scale = worth_scale(filler)
        worth: Linear = 0
        costs: list[Linear] = []
        for line in filler.site.scenario.lines:
            own = self._own.get(line.line, [])
            total: Linear = sum(n for _, _, n in own) + count.get(line.line, 0)
            stored: Linear = sum(units * n for units, _, n in own) + held.get(line.line, 0)
            self.model.add(total <= line.max_facings)
            self.model.add(total >= line.min_facings)
            self.model.add(stored >= line.holding)
            worth += total * round(filler.first[line.line] * scale)
            costs += [cost * n for _, cost, n in own]
        self.model.add(worth >= math.floor(self._task.target * scale + 1e-6))
        if filler.money is not None and costs:
            self.model.add(sum(costs) <= max(0, int(filler.money * 1000) - spent))

    def least(self, solver: cp_model.CpSolver) -> int:
        """Give the fewest blocks that must change, as proved."""
        return max(0, math.ceil((solver.best_objective_bound - self._most_shifted()) / self._price))

    def _most_shifted(self) -> float:
        return float(self._price - 1)

    def read(self, solver: cp_model.CpSolver) -> Filling:
        """Read the answer, with the other faces as they were."""
        plans: list[BlockPlan] = []
        widths: list[int] = []
        facings: dict[Cell, int] = {}
        for b, plan in enumerate(self._task.before.plans):
            if plan.face not in self._open:
                for (own, r, name), count in self._task.before.facings.items():
                    if own == b:
                        facings[len(plans), r, name] = count
                plans.append(plan)
                widths.append(self._task.before.widths[b])
        sizes = {line.line: tenths(line.width) for line in self._filler.site.scenario.lines}
        for number, spot in enumerate(self._spots):
            pattern = self._pattern(solver, number, spot)
            if pattern is None:
                continue
            used = [0] * len(pattern.rows)
            for row in range(len(pattern.rows)):
                for line in self._filler.lines(spot.category):
                    cell = self._cells.get((number, row, line.line))
                    count = 0 if cell is None else solver.value(cell)
                    if count:
                        facings[len(plans), row, line.line] = count
                        used[row] += count * sizes[line.line]
            if any(used):
                same = spot.block is not None and not solver.boolean_value(self._changed[number])
                plans.append(BlockPlan(spot.face, spot.category, pattern))
                kept = self._task.before.widths[spot.block] if spot.block is not None else 0
                widths.append(max([kept, *used]) if same else max(used))
        return Filling(plans, widths, facings)

    def _pattern(self, solver: cp_model.CpSolver, number: int, spot: _Spot) -> Pattern | None:
        pairs: Sequence[tuple[Pattern, cp_model.IntVar]] = list(
            zip(spot.patterns, self._chosen[number], strict=True)
        )
        return next((p for p, variable in pairs if solver.boolean_value(variable)), None)
