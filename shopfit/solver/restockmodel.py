"""The integer program of faces with a price on every block that changes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

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
from shopfit.solver.restockspots import Spot, spots_of
from shopfit.solver.reverting import Task

# Highest price of a minimum missed, so that sums stay within what the solver counts in.
_DEAREST = 2**45


class RestockModel:
    """The integer program of some faces with a price on every block that changes."""

    def __init__(
        self, task: Task, filling: Filling, faces: frozenset[int], categories: Sequence[str]
    ) -> None:
        self.model = cp_model.CpModel()
        self._task, self._filler = task, task.filler
        self._filling, self._open = filling, faces
        self._spots = list(spots_of(task, faces, categories))
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
        self._worth: Linear = 0
        self._spent: Linear = 0
        for number, spot in enumerate(self._spots):
            self._add_spot(number, spot)
        for face in faces:
            own = [self._width[n] for n, spot in enumerate(self._spots) if spot.face == face]
            if own:
                self.model.add(sum(own) <= self._whole(face))
        self._missing, self._short_by = self._add_totals()
        self._changes = list(self._group_changes())
        # What a block more costs, and what all shifting of facings comes to at most.
        self._price, self._slack = 1, 0

    def nearest(self) -> None:
        """Ask to miss least, then for the fewest changes, then to shift the fewest facings."""
        # One block more is dearer than any shifting of facings, worth missing dearer than all
        # blocks, and a minimum missed dearer than all worth.
        self._price, self._slack = 1 + self._most_shifted, self._most_shifted
        worth_price = self._price * (1 + len(self._spots))
        short_price = min(worth_price * (1 + self._short_by), _DEAREST)
        lack, short = self._missing
        self.model.minimize(
            short * short_price
            + lack * worth_price
            + sum(self._changes) * self._price
            + sum(self._shifted)
        )

    def fewest(self) -> None:
        """Ask for the fewest changes that miss nothing."""
        self._miss_nothing()
        self.model.minimize(sum(self._changes))

    def most(self, filling: Filling, dearer: bool) -> None:
        """Ask for the most worth, with no block changed but those that a filling changes.

        Parameters
        ----------
        filling
            Reaches the target.
        dearer
            Whether more money may be spent than on that filling.
        """
        self._miss_nothing()
        found = dict(self._matched(filling))
        fresh: dict[tuple[int, str], tuple[int, list[Linear]]] = {}
        for number, spot in enumerate(self._spots):
            group, b = (spot.face, spot.category), found.get(number)
            if spot.block is None:
                used, new = fresh.get(group, (self._task.lost.count(group), []))
                fresh[group] = used + (b is not None), [*new, self._changed[number]]
            elif spot.block not in self._task.touched and self._unchanged(spot, filling, b):
                self.model.add(self._changed[number] == 0)
        for used, new in fresh.values():
            self.model.add(sum(new) <= used)
        if not dearer:
            self.model.add(self._spent <= self._spent_by(filling))
        self.model.maximize(self._worth * (1 + self._most_shifted) - sum(self._shifted))

    def _spent_by(self, filling: Filling) -> int:
        """Count thousandths of money that a filling's goods on these faces cost."""
        shown, faces = self._filler.display.showings, self._filler.faces
        return sum(
            thousandths(shown[name, faces[filling.plans[b].face].kind].cost) * count
            for (b, _, name), count in filling.facings.items()
            if filling.plans[b].face in self._open
        )

    def _miss_nothing(self) -> None:
        for missing in self._missing:
            self.model.add(missing == 0)

    def _group_changes(self) -> Iterator[Linear]:
        """Count for each face and category the blocks that change besides those that do anyhow.

        A block set up where one is cleared is one change, as in the list of moves.
        """
        groups: dict[tuple[int, str], list[int]] = {}
        for number, spot in enumerate(self._spots):
            groups.setdefault((spot.face, spot.category), []).append(number)
        for group, numbers in groups.items():
            new: list[Linear] = []
            old: list[Linear] = []
            gone: list[Linear] = [self._task.lost.count(group)]
            for number in numbers:
                spot = self._spots[number]
                if self._today(spot) and spot.block not in self._task.touched:
                    old.append(self._changed[number])
                elif spot.block not in self._task.touched:
                    new.append(self._changed[number])
                # Only where rows have weights can a block not be divided anew in its place.
                if self._filler.display.weights and (
                    self._today(spot) or spot.block in self._task.touched
                ):
                    gone.append(1 - sum(self._chosen[number]))
            if not new or gone == [0]:
                yield sum(old) + sum(new)
                continue
            count = self.model.new_int_var(0, len(numbers), "")
            self.model.add(count >= sum(old))
            self.model.add(count >= sum(old) + sum(new) - sum(gone))
            yield count

    def hint(self, filling: Filling) -> None:
        """Begin with a filling."""
        self.model.clear_hints()  # type: ignore[no-untyped-call]
        found = dict(self._matched(filling))
        for number, spot in enumerate(self._spots):
            b = found.get(number)
            plan = None if b is None else filling.plans[b]
            for pattern, variable in zip(spot.patterns, self._chosen[number], strict=True):
                self.model.add_hint(variable, plan is not None and pattern == plan.pattern)
            self.model.add_hint(self._changed[number], not self._unchanged(spot, filling, b))
            self.model.add_hint(self._width[number], 0 if b is None else filling.widths[b])
        for (number, row, name), variable in self._cells.items():
            own = -1 if found.get(number) is None else found[number]
            self.model.add_hint(variable, filling.facings.get((own, row, name), 0))

    def _matched(self, filling: Filling) -> Iterator[tuple[int, int]]:
        """Pair spots with the blocks of a filling: those that have not changed first."""
        left = {b for b, _, _ in filling.facings if filling.plans[b].face in self._open}
        free = set(range(len(self._spots)))
        for exact in (True, False):
            for number in sorted(free):
                spot = self._spots[number]
                for b in sorted(left):
                    plan = filling.plans[b]
                    if (plan.face, plan.category) != (spot.face, spot.category):
                        continue
                    if plan.pattern in spot.patterns and (
                        not exact or self._unchanged(spot, filling, b)
                    ):
                        yield number, b
                        left.remove(b)
                        free.remove(number)
                        break

    def _unchanged(self, spot: Spot, filling: Filling, b: int | None) -> bool:
        """Say whether a block of a filling, or none, is what stands in a spot today."""
        if b is None:
            return spot.block is None or not self._today(spot)
        goods = {(r, name): n for (own, r, name), n in filling.facings.items() if own == b}
        return filling.plans[b].pattern == spot.patterns[0] and goods == self._today(spot)

    def _whole(self, face: int) -> int:
        return int(self._filler.faces[face].width * PER_MM + 1e-6)

    def _today(self, spot: Spot) -> dict[tuple[int, str], int]:
        return {} if spot.block is None else self._task.blocks.get(spot.block, {})

    def _add_spot(self, number: int, spot: Spot) -> None:
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
        spot: Spot,
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

    def _group(self, spot: Spot, row: int) -> frozenset[int]:
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
        self._worth = self._counted.worth(self.model, sums)
        self.model.add(self._worth + lack >= target)
        self._spent, money = sum(costs), self._filler.money
        if money is not None and costs:
            self.model.add(self._spent <= max(0, int(money * 1000) - spent))
        return (lack, sum(short)), target

    def least(self, solver: cp_model.CpSolver) -> int:
        """Give the fewest blocks that must change, as proved, besides those that change anyhow."""
        bound = solver.best_objective_bound - self._slack
        return max(0, math.ceil(bound / self._price - 1e-6))

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

    def _pattern(self, solver: cp_model.CpSolver, number: int, spot: Spot) -> Pattern | None:
        pairs: Sequence[tuple[Pattern, cp_model.IntVar]] = list(
            zip(spot.patterns, self._chosen[number], strict=True)
        )
        return next((p for p, variable in pairs if solver.boolean_value(variable)), None)
