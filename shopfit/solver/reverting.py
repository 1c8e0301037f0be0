"""Puts faces back to what they held, wherever that costs nothing that was asked for."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import cached_property

from ortools.sat.python import cp_model

from shopfit.solver.fill import Filler
from shopfit.solver.filling import BlockPlan, Cell, Filling, Linear, thousandths
from shopfit.solver.refill import StopOnRequest
from shopfit.solver.worth import Worth
from shopfit.stopping import StopFlag

# Whole steps that a facing of weight 1 is counted in where rows have weights.
_WEIGHT_STEPS = 100
# Whole steps that the dearest facing is counted in where no hundredths are enough.
_FINEST = 1e5


@dataclass(frozen=True)
class Task:
    """What is asked of a restocking.

    Parameters
    ----------
    filler, before, aim
        The faces, what stands on them, and what facings are worth.
    target
        Worth to be reached, with no minimum missed.
    touched
        Blocks that change anyhow, by number: changing them further costs nothing.
    cleared
        Blocks that are lost anyhow, and stand on none of the faces.
    lost
        Of those, the face and category of each whose fixture or run still has a face: one that is
        set up there is the same block changed.
    """

    filler: Filler
    before: Filling
    aim: Worth
    target: float
    touched: frozenset[int] = frozenset()
    cleared: int = 0
    lost: tuple[tuple[int, str], ...] = ()

    @cached_property
    def blocks(self) -> dict[int, dict[tuple[int, str], int]]:
        """What stands in each block: row number and line to facings."""
        found: dict[int, dict[tuple[int, str], int]] = {}
        for (b, r, name), count in self.before.facings.items():
            found.setdefault(b, {})[r, name] = count
        return found

    @cached_property
    def counted(self) -> Counted:
        """How worth is counted in whole numbers."""
        return Counted(self)

    @property
    def forced(self) -> int:
        """Blocks that change or go anyhow."""
        return len(self.touched) + self.cleared

    def met_by(self, filling: Filling) -> bool:
        """Say whether a filling reaches what is asked for."""
        score = self.filler.score(filling)
        return score.short <= 0 and score.worth >= self.target - 1e-6

    def changes(self, filling: Filling) -> int:
        """Count the blocks that are not what they were: changed, set up or cleared."""
        was, now = _contents(self.before, self.touched), _contents(filling)
        for b in self.touched:
            plan = self.before.plans[b]
            was.setdefault((plan.face, plan.category), []).append(((b, 0, "", 0),))
        for n, spot in enumerate(self.lost):
            was.setdefault(spot, []).append(((-1 - n, 0, "", 0),))
        count = self.cleared - len(self.lost)
        for spot in {*was, *now}:
            old, new = list(was.get(spot, ())), list(now.get(spot, ()))
            for content in list(new):
                if content in old:
                    old.remove(content)
                    new.remove(content)
            count += max(len(old), len(new))
        return count


def reverted(task: Task, filling: Filling, effort: float, seed: int, stop: StopFlag) -> Filling:
    """Put faces back to what stood there wherever the target is reached without their change.

    Parameters
    ----------
    task, filling
        What is asked, and a filling that reaches it.
    effort, seed, stop
        Deterministic time, seed and the stop flag.
    """
    was, now = _by_face(task.before), _by_face(filling)
    faces = range(len(task.filler.faces))
    changed = [n for n in faces if was.get(n) != now.get(n)]
    model = cp_model.CpModel()
    fresh = {n: model.new_bool_var("") for n in changed}
    for n in fresh:
        model.add_hint(fresh[n], True)
    _add_choice(task, model, fresh, filling)
    widths = {n: len(set(was.get(n, ())) ^ set(now.get(n, ()))) for n in changed}
    model.minimize(sum(fresh[n] * widths[n] for n in changed))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = effort
    if solver.solve(model, StopOnRequest(stop)) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return filling
    new = {n for n in changed if solver.boolean_value(fresh[n])}
    back = mixed(task.before, filling, {n for n in faces if n not in fresh or n not in new})
    better = task.met_by(back) and task.filler.allowed(back)
    return back if better and task.changes(back) <= task.changes(filling) else filling


def changed_faces(before: Filling, filling: Filling) -> list[int]:
    """List the faces that do not hold what they held."""
    was, now = _by_face(before), _by_face(filling)
    return sorted(n for n in {*was, *now} if was.get(n) != now.get(n))


# Lowest level step and level steps of its row, line and facings, for everything in a block.
Content = tuple[tuple[int, int, str, int], ...]


def _contents(filling: Filling, but: Collection[int] = ()) -> dict[tuple[int, str], list[Content]]:
    """Give what the blocks of each face and category hold; empty ones do not count."""
    goods: dict[int, list[tuple[int, int, str, int]]] = {}
    for (b, r, name), count in filling.facings.items():
        if b not in but:
            rows = filling.plans[b].pattern.rows
            goods.setdefault(b, []).append((sum(rows[:r]), rows[r], name, count))
    found: dict[tuple[int, str], list[Content]] = {}
    for b, cells in goods.items():
        plan = filling.plans[b]
        found.setdefault((plan.face, plan.category), []).append(tuple(sorted(cells)))
    return found


def _by_face(filling: Filling) -> dict[int, list[tuple[str, Content]]]:
    found: dict[int, list[tuple[str, Content]]] = {}
    for (face, category), contents in _contents(filling).items():
        found.setdefault(face, []).extend((category, content) for content in contents)
    return {face: sorted(entries, key=repr) for face, entries in found.items()}


def mixed(before: Filling, after: Filling, old_faces: Collection[int]) -> Filling:
    """Take some faces as they were, and the others as they are."""
    plans: list[BlockPlan] = []
    widths: list[int] = []
    facings: dict[Cell, int] = {}
    for source, old in ((before, True), (after, False)):
        cells: dict[int, list[tuple[int, str, int]]] = {}
        for (b, r, name), count in source.facings.items():
            cells.setdefault(b, []).append((r, name, count))
        for b, plan in enumerate(source.plans):
            if (plan.face in old_faces) is old and b in cells:
                for r, name, count in cells[b]:
                    facings[len(plans), r, name] = count
                plans.append(plan)
                widths.append(source.widths[b])
    return Filling(plans, widths, facings)


@dataclass(frozen=True)
class Counted:
    """Worth in whole numbers, for integer programs.

    Parameters
    ----------
    task
        Whose worth is counted.
    """

    task: Task

    @cached_property
    def _exact(self) -> float | None:
        """What makes every worth a whole number: 1 or 100; none where neither does."""
        aim = self.task.aim
        each = [worth for steps in aim.steps.values() for _, worth in steps]
        cents = all(abs(worth * 100 - round(worth * 100)) < 1e-9 for worth in each)
        return 1.0 if aim.whole else 100.0 if cents else None

    @cached_property
    def _scale(self) -> float:
        return self._exact or _FINEST / max(1e-9, self.task.aim.dearest)

    def weight(self, category: str, group: frozenset[int]) -> int:
        """Count a facing in rows of a group."""
        shown = self.task.filler.display
        return round(self._steps * shown.weight(category, group))

    @cached_property
    def _steps(self) -> int:
        return _WEIGHT_STEPS if self.task.filler.display.weights else 1

    def target(self) -> int:
        """Count the worth asked for; a little more where rounding could hide a lack."""
        target = math.ceil(self.task.target * self._scale * self._steps - 1e-6)
        if self._exact is None and target > 0:
            target += self._steps * len(self.task.aim.steps)
        return max(0, target)

    def worth(self, model: cp_model.CpModel, facings: Mapping[str, Linear]) -> Linear:
        """Count the worth of weighted facings of each line, adding steps to a model."""
        total: Linear = 0
        for name, counted in facings.items():
            steps = self.task.aim.steps[name]
            if len(steps) == 1:
                total += counted * round(steps[0][1] * self._scale)
                continue
            taken: Linear = 0
            for count, each in steps:
                part = model.new_int_var(0, math.ceil(count * self._steps - 1e-9), "")
                taken += part
                total += part * round(each * self._scale)
            model.add(taken <= counted)
        return total


def _add_choice(
    task: Task, model: cp_model.CpModel, fresh: dict[int, cp_model.IntVar], after: Filling
) -> None:
    """Ask of a choice between old and new faces what is asked of the filling."""
    filler = task.filler
    facings: dict[str, list[Linear]] = {}
    weighted: dict[str, list[Linear]] = {}
    held: dict[str, list[Linear]] = {}
    spent: list[Linear] = []
    counted = task.counted
    for source, new in ((task.before, False), (after, True)):
        for (b, r, name), count in source.facings.items():
            plan = source.plans[b]
            face, weight = plan.face, counted.weight(plan.category, plan.pattern.groups[r])
            if face not in fresh and new:
                continue
            share = 1 if face not in fresh else fresh[face] if new else 1 - fresh[face]
            showing = filler.display.showings[name, filler.faces[face].kind]
            facings.setdefault(name, []).append(share * count)
            weighted.setdefault(name, []).append(share * count * weight)
            held.setdefault(name, []).append(share * count * showing.units)
            spent.append(share * thousandths(showing.cost) * count)
    for line in filler.site.scenario.lines:
        total: Linear = sum(facings.get(line.line, []))
        model.add(total <= line.max_facings)
        model.add(total >= line.min_facings)
        model.add(sum(held.get(line.line, [])) >= line.holding)
    sums = {name: sum(parts) for name, parts in weighted.items()}
    model.add(counted.worth(model, sums) >= counted.target())
    if filler.money is not None:
        model.add(sum(spent) <= int(filler.money * 1000))
