"""Changes as few blocks as possible until a filling is worth what is asked for."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from shopfit.model.range import Line
from shopfit.solver.filling import (
    PER_MM,
    BlockPlan,
    Cell,
    Filling,
    Linear,
    grains,
    thousandths,
)
from shopfit.solver.patterns import Pattern
from shopfit.solver.refill import StopOnRequest
from shopfit.solver.reverting import Task
from shopfit.stopping import StopFlag

# Facings that may be chosen in one program of all faces: with more it would not end.
MOST_CELLS = 6_000
# Highest price of a minimum missed, so that sums stay within what the solver counts in.
_DEAREST = 2**45


@dataclass(frozen=True)
class Restocked:
    """How a restocking ended.

    Parameters
    ----------
    filling
        The best found, or none.
    least
        Fewest blocks that must change besides those that change anyhow, as far as proved; none
        where nothing is.
    work
        Deterministic time used.
    """

    filling: Filling | None
    least: int | None = None
    work: float = 0.0


def restock(task: Task, effort: float, workers: int, seed: int, stop: StopFlag) -> Restocked:
    """Reach the target with the fewest changed blocks, over all faces at once.

    Parameters
    ----------
    task
        What is asked.
    effort, workers, seed, stop
        Deterministic time, threads, seed and the stop flag.

    Returns
    -------
    A filling that reaches the target; none where there is none, none was found, or the shop is
    too large for one program.
    """
    if task.met_by(task.before):
        return Restocked(task.before, 0)
    faces = frozenset(range(len(task.filler.faces)))
    categories = task.filler.categories
    if _cells(task, faces, categories) > MOST_CELLS:
        return Restocked(None)
    got = restock_some(task, task.before, faces, categories, effort, workers, seed, stop)
    if got.filling is None or not task.met_by(got.filling):
        return Restocked(None, work=got.work)
    return got


def restock_some(
    task: Task,
    filling: Filling,
    faces: Collection[int],
    categories: Sequence[str],
    effort: float,
    workers: int,
    seed: int,
    stop: StopFlag,
) -> Restocked:
    """Fill some faces anew: to miss less of what is asked for, then with the fewest changes.

    Parameters
    ----------
    task, filling
        What is asked, and what stands on the other faces.
    faces, categories
        Numbers of the faces, and what may be set up there besides today's blocks.
    effort, workers, seed, stop
        Deterministic time, threads, seed and the stop flag.
    """
    model = _RestockModel(task, filling, frozenset(faces), categories)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = workers
    solver.parameters.interleave_search = workers > 1
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = effort
    status = solver.solve(model.model, StopOnRequest(stop))
    used: float = solver.response_proto.deterministic_time
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Restocked(None, work=used)
    found = model.read(solver)
    if not task.filler.allowed(found):
        return Restocked(None, work=used)
    return Restocked(found, model.least(solver), used)


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


def _cells(task: Task, faces: Collection[int], categories: Sequence[str]) -> int:
    """Count the facings to choose."""
    count = 0
    for spot in _spots(task, faces, categories):
        rows = max(len(pattern.rows) for pattern in spot.patterns)
        count += rows * len(task.filler.lines(spot.category))
    return count


def _spots(task: Task, faces: Collection[int], categories: Sequence[str]) -> Iterator[_Spot]:
    filler, shown = task.filler, task.filler.display
    for b, plan in enumerate(task.before.plans):
        if plan.face in faces:
            own = shown.patterns[plan.category, filler.faces[plan.face].kind]
            others = tuple(pattern for pattern in own if pattern != plan.pattern)
            # Where rows have weights, a row's facings must count as in one division only.
            others = () if shown.weights else others
            yield _Spot(plan.face, plan.category, (plan.pattern, *others), b)
    for face in sorted(faces):
        for category in categories:
            patterns = shown.patterns[category, filler.faces[face].kind]
            if patterns and any(filler.can_show(line, face) for line in filler.lines(category)):
                apart = [(pattern,) for pattern in patterns] if shown.weights else [patterns]
                yield from (_Spot(face, category, some) for some in apart)


class _RestockModel:
    """The integer program of some faces with a price on every block that changes."""

    def __init__(
        self, task: Task, filling: Filling, faces: frozenset[int], categories: Sequence[str]
    ) -> None:
        self.model = cp_model.CpModel()
        self._task, self._filler = task, task.filler
        self._filling, self._open = filling, faces
        self._spots = list(_spots(task, faces, categories))
        self._chosen: list[list[cp_model.IntVar]] = []
        self._changed: list[cp_model.IntVar] = []
        self._width: list[cp_model.IntVar] = []
        self._cells: dict[tuple[int, int, str], cp_model.IntVar] = {}
        self._one_of: dict[tuple[int, tuple[int, ...]], cp_model.IntVar] = {}
        self._counted = task.counted
        self._weighted: dict[str, list[Linear]] = {}
        self._own: dict[str, list[tuple[int, int, cp_model.IntVar]]] = {}
        self._shifted: list[Linear] = []
        self._most_shifted = 0
        for number, spot in enumerate(self._spots):
            self._add_spot(number, spot)
        for face in faces:
            own = [self._width[n] for n, spot in enumerate(self._spots) if spot.face == face]
            if own:
                self.model.add(sum(own) <= self._whole(face))
        missing, short_by = self._add_totals()
        # One block more is dearer than any shifting of facings, worth missing dearer than all
        # blocks, and a minimum missed dearer than all worth.
        self._price = 1 + self._most_shifted
        counted = [
            changed
            for changed, spot in zip(self._changed, self._spots, strict=True)
            if spot.block not in task.touched
        ]
        worth_price = self._price * (1 + len(counted))
        short_price = min(worth_price * (1 + short_by), _DEAREST)
        lack, short = missing
        self.model.minimize(
            short * short_price
            + lack * worth_price
            + sum(counted) * self._price
            + sum(self._shifted)
        )

    def _whole(self, face: int) -> int:
        return int(self._filler.faces[face].width * PER_MM + 1e-6)

    def _today(self, spot: _Spot) -> dict[tuple[int, str], int]:
        return {} if spot.block is None else self._task.blocks.get(spot.block, {})

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
            most = stood + sum(
                line.max_facings for line in self._filler.lines(spot.category) if line.line == name
            )
            moved = self.model.new_int_var(0, most, "")
            self._most_shifted += most
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
        changed = self._changed[number]
        terms: list[Linear] = []
        for line in filler.lines(spot.category):
            showing = filler.display.showings.get((line.line, kind))
            if showing is None or not filler.can_show(line, spot.face):
                continue
            fitting = tuple(
                k
                for k, pattern in enumerate(spot.patterns)
                if self._fits(line, pattern, row, showing.levels)
            )
            most = min(line.max_facings, self._whole(spot.face) // grains(line.width))
            if not fitting or most < 1:
                continue
            stood = today.get((row, line.line), 0)
            count = self.model.new_int_var(0, max(most, stood), "")
            self.model.add(count <= max(most, stood) * self._any(number, fitting))
            self.model.add(count - stood <= most * changed)
            self.model.add(stood - count <= stood * changed)
            self.model.add_hint(count, stood)
            self._cells[number, row, line.line] = count
            cost = thousandths(showing.cost)
            weight = self._counted.weight(spot.category, self._group(spot, row))
            self._weighted.setdefault(line.line, []).append(count * weight)
            self._own.setdefault(line.line, []).append((showing.units, cost, count))
            by_line.setdefault(line.line, []).append(count)
            terms.append(count * grains(line.width))
        if terms:
            self.model.add(sum(terms) <= self._width[number])

    def _any(self, number: int, fitting: tuple[int, ...]) -> cp_model.IntVar:
        """Give what says whether one of some divisions is chosen; many lines ask the same."""
        chosen = self._chosen[number]
        if len(fitting) == 1:
            return chosen[fitting[0]]
        known = self._one_of.get((number, fitting))
        if known is None:
            known = self._one_of[number, fitting] = self.model.new_bool_var("")
            self.model.add(sum(chosen[k] for k in fitting) == known)
        return known

    def _group(self, spot: _Spot, row: int) -> frozenset[int]:
        """Give the bands of a row, in the only division or any: weights are alike then."""
        return next(p.groups[row] for p in spot.patterns if row < len(p.groups))

    def _fits(self, line: Line, pattern: Pattern, row: int, levels: int) -> bool:
        return (
            row < len(pattern.rows)
            and pattern.rows[row] >= levels
            and self._filler.display.allowed(line, pattern.groups[row])
        )

    def _elsewhere(self) -> tuple[dict[str, int], dict[str, int], dict[str, int], int]:
        """Count facings, weighted facings, units and thousandths of money on the other faces."""
        filler, spent = self._filler, 0
        count: dict[str, int] = {}
        weighted: dict[str, int] = {}
        held: dict[str, int] = {}
        for (b, r, name), facings in self._filling.facings.items():
            plan = self._filling.plans[b]
            if plan.face not in self._open:
                showing = filler.display.showings[name, filler.faces[plan.face].kind]
                weight = self._counted.weight(plan.category, plan.pattern.groups[r])
                count[name] = count.get(name, 0) + facings
                weighted[name] = weighted.get(name, 0) + facings * weight
                held[name] = held.get(name, 0) + facings * showing.units
                spent += thousandths(showing.cost) * facings
        return count, weighted, held, spent

    def _add_totals(self) -> tuple[tuple[Linear, Linear], int]:
        """Keep to most facings and money; gives worth missing, minimums missed, and the target."""
        count, weighted, held, spent = self._elsewhere()
        costs: list[Linear] = []
        short: list[Linear] = []
        sums: dict[str, Linear] = dict(weighted)
        for line in self._filler.site.scenario.lines:
            own, there = self._own.get(line.line, []), count.get(line.line, 0)
            if not own:
                continue
            total: Linear = sum(n for _, _, n in own) + there
            sums[line.line] = sum(self._weighted[line.line]) + weighted.get(line.line, 0)
            self.model.add(total <= max(line.max_facings, there))
            stored = sum(units * n for units, _, n in own) + held.get(line.line, 0)
            for sum_of, least in ((total, line.min_facings), (stored, line.holding)):
                if least > 0:
                    gap = self.model.new_int_var(0, least, "")
                    self.model.add(sum_of + gap >= least)
                    short.append(gap)
            costs += [cost * n for _, cost, n in own]
        target = self._counted.target()
        lack = self.model.new_int_var(0, target, "")
        self.model.add(self._counted.worth(self.model, sums) + lack >= target)
        money = self._filler.money
        if money is not None and costs:
            self.model.add(sum(costs) <= max(0, int(money * 1000) - spent))
        return (lack, sum(short)), target

    def least(self, solver: cp_model.CpSolver) -> int:
        """Give the fewest blocks that must change, as proved, besides those that change anyhow."""
        return max(0, math.ceil((solver.best_objective_bound - self._most_shifted) / self._price))

    def read(self, solver: cp_model.CpSolver) -> Filling:
        """Read the answer, with the other faces as they were."""
        plans: list[BlockPlan] = []
        widths: list[int] = []
        facings: dict[Cell, int] = {}
        for b, plan in enumerate(self._filling.plans):
            if plan.face not in self._open:
                for (own, r, name), count in self._filling.facings.items():
                    if own == b:
                        facings[len(plans), r, name] = count
                plans.append(plan)
                widths.append(self._filling.widths[b])
        sizes = {line.line: grains(line.width) for line in self._filler.site.scenario.lines}
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
