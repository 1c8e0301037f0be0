"""Fills a few faces wholly anew: which categories, which division of the height, which facings."""

from __future__ import annotations

import math
from collections.abc import Sequence

from ortools.sat.python import cp_model

from shopfit.model.range import Line
from shopfit.solver.aims import Aims
from shopfit.solver.counted import Counted, counted
from shopfit.solver.display import Showing
from shopfit.solver.fill import Filler
from shopfit.solver.filling import (
    PER_MM,
    SHORTFALL,
    WORTH_SCALE,
    BlockPlan,
    Filling,
    Linear,
    grains,
    thousandths,
)
from shopfit.solver.packs import Shown
from shopfit.solver.patterns import Pattern
from shopfit.stopping import StopFlag

Spot = tuple[int, str, int]
# Most blocks of one category on a face that is filled alone, for an attempt to stay quick.
BLOCKS_ALONE = 2
# Most whole steps that the worth of one facing is counted in.
FINEST_WORTH = 1e5
# More thousandths of money than anybody spends beyond what there is.
_MOST_MONEY = 10**9


def refit(
    filler: Filler,
    filling: Filling,
    faces: Sequence[int],
    categories: Sequence[str],
    effort: float,
    workers: int,
    seed: int,
    stop: StopFlag,
    blocks: int | None = None,
    must: frozenset[tuple[int, str]] = frozenset(),
    saving: bool = False,
) -> tuple[Filling, float]:
    """Empty some faces and fill them again.

    Parameters
    ----------
    filler, filling
        The faces of the floor and what stands on them.
    faces, categories
        Numbers of the faces emptied, and what may stand on them.
    effort, workers, seed, stop
        Deterministic time, threads, seed and the stop flag.
    blocks
        Most blocks of one category on a face; none for what an attempt has time for: several
        faces one each, a face alone a few.
    must
        Faces and the categories that have to be shown there.
    saving
        Whether the cost is made least, and neither worth nor the second objective may fall.

    Returns
    -------
    A filling at least as good, and the deterministic time used. Less of it than allowed means that
    these faces cannot be filled better with so many blocks.
    """
    if stop.requested:
        return filling, 0.0
    opened = sorted(set(faces))
    if blocks is None:
        blocks = BLOCKS_ALONE if len(opened) == 1 else 1
    model = _RefitModel(filler, filling, opened, categories, seed, blocks)
    model.require(must)
    model.aim(saving)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = workers
    solver.parameters.interleave_search = workers > 1
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = effort
    status = solver.solve(model.model)
    used: float = solver.response_proto.deterministic_time
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return filling, used
    found = model.read(solver)
    better = filler.rank(found) > filler.rank(filling)
    return (found if better else filling), used


def useful_blocks(filler: Filler, face: int, category: str) -> int:
    """Give a number of blocks of a category on a face that more than cannot show more.

    Two blocks of one division show no more than one as wide as both, and every block holds at
    least one facing, so at most as many as facings fit side by side, the narrowest first.
    """
    room, most = filler.faces[face].width * PER_MM + 1e-6, 0
    lines = [line for line in filler.lines(category) if filler.can_show(line, face)]
    for line in sorted(lines, key=lambda line: line.width):
        more = min(line.max_facings, int(room / grains(line.width)))
        most += more
        room -= more * grains(line.width)
    kind = filler.faces[face].kind
    return min(most, len(filler.display.patterns[category, kind])) if lines else 0


class _RefitModel:
    """The integer program of some faces, all other faces being as they are."""

    def __init__(
        self,
        filler: Filler,
        filling: Filling,
        faces: Sequence[int],
        categories: Sequence[str],
        seed: int,
        blocks: int,
    ) -> None:
        self.model = cp_model.CpModel()
        self._filler, self._filling = filler, filling
        self._open = set(faces)
        self._emptied = faces[seed % len(faces)]
        self._width: dict[Spot, cp_model.IntVar] = {}
        self._choice: dict[Spot, list[tuple[Pattern, cp_model.IntVar]]] = {}
        self._cells: dict[tuple[Spot, int, str], cp_model.IntVar] = {}
        self._own: dict[str, list[tuple[Showing, cp_model.IntVar]]] = {}
        self._shown: list[Shown] = []
        self._terms: dict[str, list[tuple[float, Linear]]] = {}
        self._hints = self._standing()
        for face in faces:
            for category in categories:
                for copy in range(min(blocks, useful_blocks(filler, face, category))):
                    self._add_spot((face, category, copy))
            widths = [width for spot, width in self._width.items() if spot[0] == face]
            if widths:
                self.model.add(sum(widths) <= self._whole(face))

    def require(self, must: frozenset[tuple[int, str]]) -> None:
        """Ask for at least one facing of some categories on some faces."""
        for face, category in must:
            self.model.add(
                sum(n for (spot, _, _), n in self._cells.items() if spot[:2] == (face, category))
                >= 1
            )

    def _whole(self, face: int) -> int:
        return int(self._filler.faces[face].width * PER_MM + 1e-6)

    def _standing(self) -> dict[Spot, int]:
        """Give the blocks of each category on each open face, the widest first."""
        found: dict[Spot, int] = {}
        widths = self._filling.widths
        for b in sorted(range(len(widths)), key=lambda b: (-widths[b], b)):
            plan = self._filling.plans[b]
            if plan.face in self._open:
                copy = sum(spot[:2] == (plan.face, plan.category) for spot in found)
                found[plan.face, plan.category, copy] = b
        return found

    def _add_spot(self, spot: Spot) -> None:
        face, category, copy = spot
        shown, kind = self._filler.display, self._filler.faces[face].kind
        whole = self._whole(face)
        lines = [
            line
            for line in self._filler.lines(category)
            if self._filler.can_show(line, face) and grains(line.width) <= whole
        ]
        own = shown.patterns[category, kind] if lines else ()
        if not own:
            return
        block = self._hints.get(spot)
        standing = None if block is None else self._filling.plans[block].pattern
        choice = [(pattern, self.model.new_bool_var("")) for pattern in own]
        for pattern, chosen in choice:
            self.model.add_hint(chosen, pattern == standing)
        self.model.add_at_most_one(chosen for _, chosen in choice)
        width = self.model.new_int_var(0, whole, "")
        self.model.add_hint(width, 0 if block is None else min(whole, self._filling.widths[block]))
        self.model.add(width <= whole * sum(chosen for _, chosen in choice))
        self._width[spot], self._choice[spot] = width, choice
        if copy > 0:
            self.model.add(self._width[face, category, copy - 1] >= width)
            # Two blocks of one division are one as wide as both.
            for number in range(len(own)):
                self.model.add_at_most_one(
                    self._choice[face, category, other][number][1] for other in range(copy + 1)
                )
        for row in range(max(len(pattern.rows) for pattern in own)):
            self._add_row(spot, row, lines, block)

    def _add_row(self, spot: Spot, row: int, lines: Sequence[Line], block: int | None) -> None:
        face = spot[0]
        shown, kind = self._filler.display, self._filler.faces[face].kind
        terms: list[Linear] = []
        for line in lines:
            showing = shown.showings[line.line, kind]
            fitting = [
                chosen
                for pattern, chosen in self._choice[spot]
                if row < len(pattern.rows)
                and pattern.rows[row] >= showing.levels
                and shown.allowed(line, pattern.groups[row])
            ]
            most = min(line.max_facings, self._whole(face) // grains(line.width))
            if not fitting or most < 1:
                continue
            count = self.model.new_int_var(0, most, "")
            self.model.add(count <= most * sum(fitting))
            now = 0 if block is None else self._filling.facings.get((block, row, line.line), 0)
            self.model.add_hint(count, min(now, most))
            self._cells[spot, row, line.line] = count
            self._own.setdefault(line.line, []).append((showing, count))
            self._shown.append(((spot, row), showing, grains(line.width), count))
            self._weigh(spot, row, line.line, count, most)
            terms.append(count * grains(line.width))
        if terms:
            self.model.add(sum(terms) <= self._width[spot])

    def _weigh(self, spot: Spot, row: int, name: str, count: cp_model.IntVar, most: int) -> None:
        """Note what facings in a row count, whose weight hangs on the pattern chosen."""
        own = self._terms.setdefault(name, [])
        choice = [(p, chosen) for p, chosen in self._choice[spot] if row < len(p.rows)]
        weights = {self._filler.display.weight(spot[1], p.groups[row]) for p, _ in choice}
        if self._filler.worth.even or len(weights) == 1:
            own.append((weights.pop(), count))
            return
        parts: list[Linear] = []
        for weight in sorted(weights):
            part = self.model.new_int_var(0, most, "")
            fitting = [
                chosen
                for p, chosen in choice
                if self._filler.display.weight(spot[1], p.groups[row]) == weight
            ]
            self.model.add(part <= most * sum(fitting))
            parts.append(part)
            own.append((weight, part))
        self.model.add(sum(parts) <= count)

    def aim(self, saving: bool) -> None:
        """Keep to what there is of goods and money, and say what is made largest or least.

        Parameters
        ----------
        saving
            As for `refit`.
        """
        filler = self._filler
        elsewhere = counted(filler, self._filling, self._open, inside=False)
        # Coarser for dear goods, or shortfalls times room leave what the solver can count in.
        most = max(1.0, filler.worth.dearest)
        aims = Aims(filler.worth, min(float(WORTH_SCALE), FINEST_WORTH / most))
        worth: list[Linear] = []
        short: list[Linear] = []
        for line in filler.site.scenario.lines:
            if line.line in self._own:
                total = self._total(line, elsewhere)
                terms, others = self._terms[line.line], elsewhere.weight(line.line)
                worth.append(aims.of(self.model, line.line, terms, others))
                short += self._short(line, total, elsewhere)
        cost = self._cost(elsewhere) if saving or filler.counts_money else 0
        if filler.money is not None and self._own:
            self.model.add(cost <= max(0, int(filler.money * 1000)))
        if saving:
            self._hold(aims, elsewhere, sum(worth), sum(short))
            self.model.minimize(cost)
            return
        weight = math.ceil(most * SHORTFALL * aims.scale) * aims.unit
        aimed = sum(worth) - weight * sum(short)
        if filler.packs is not None and filler.packs.money is not None and filler.packs.price:
            over = self.model.new_int_var(0, _MOST_MONEY, "")
            self.model.add(over >= cost - int(filler.packs.money * 1000))
            each = max(1, round(filler.packs.price * aims.scale * aims.unit))
            self.model.maximize(aimed * 1000 - each * over)
            return
        # Of equal answers one that leaves much width free on one face helps the next attempt.
        emptied = self._emptied
        used = sum(w * (3 if face == emptied else 1) for (face, _, _), w in self._width.items())
        room = 1 + 3 * sum(self._whole(face) for face in self._open)
        self.model.maximize(aimed * room - used)

    def _total(self, line: Line, elsewhere: Counted) -> Linear:
        """Keep to the most facings of a line; gives how many it has here."""
        total: Linear = sum(facings for _, facings in self._own[line.line])
        self.model.add(total <= line.max_facings - elsewhere.facings.get(line.line, 0))
        return total

    def _short(self, line: Line, total: Linear, elsewhere: Counted) -> list[Linear]:
        """Give what a line misses of its minimums."""
        short: list[Linear] = []
        missing = line.min_facings - elsewhere.facings.get(line.line, 0)
        if missing > 0:
            gap = self.model.new_int_var(0, missing, "")
            self.model.add(total + gap >= missing)
            short.append(gap)
        empty = line.holding - elsewhere.units.get(line.line, 0)
        if empty > 0:
            unheld = self.model.new_int_var(0, empty, "")
            units = sum(showing.units * n for showing, n in self._own[line.line])
            self.model.add(units + unheld >= empty)
            short.append(unheld)
        return short

    def _cost(self, elsewhere: Counted) -> Linear:
        """Give the cost of all that is shown, thousandths; in whole packs where they count."""
        filler = self._filler
        if filler.packs is None:
            lines = (self._own.get(line.line, ()) for line in filler.site.scenario.lines)
            own = [n * thousandths(showing.cost) for each in lines for showing, n in each]
            return sum(own) + elsewhere.spent
        closed = {b for b, plan in enumerate(self._filling.plans) if plan.face not in self._open}
        standing = filler.shown_in(self._filling, closed)
        return filler.packs.spent(self.model, self._shown, standing)

    def _hold(self, aims: Aims, elsewhere: Counted, worth: Linear, short: Linear) -> None:
        """Keep worth, minimums and the second objective as well as they are."""
        now = counted(self._filler, self._filling, self._open, inside=True)
        self.model.add(
            worth
            >= sum(
                aims.now(name, own, elsewhere.weight(name)) for name, own in now.weighted.items()
            )
        )
        lines = [ln for ln in self._filler.site.scenario.lines if ln.line in self._own]
        self.model.add(short <= sum(now.missing(line, elsewhere) for line in lines))
        second = {name: round(each * WORTH_SCALE) for name, each in self._filler.second.items()}
        self.model.add(
            sum(second[name] * n for name, cells in self._own.items() for _, n in cells)
            >= sum(second[name] * n for name, n in now.facings.items())
        )

    def read(self, solver: cp_model.CpSolver) -> Filling:
        """Read the answer, with the other faces as they were."""
        plans: list[BlockPlan] = []
        widths: list[int] = []
        facings: dict[tuple[int, int, str], int] = {}
        standing = self._filling.by_block()
        for b, plan in enumerate(self._filling.plans):
            if plan.face in self._open:
                continue
            facings |= {(len(plans), *cell): count for cell, count in standing.get(b, ())}
            plans.append(plan)
            widths.append(self._filling.widths[b])
        sizes = {line.line: grains(line.width) for line in self._filler.site.scenario.lines}
        cells: dict[Spot, list[tuple[int, str, cp_model.IntVar]]] = {}
        for (spot, r, name), cell in self._cells.items():
            cells.setdefault(spot, []).append((r, name, cell))
        for spot, choice in self._choice.items():
            chosen = next((p for p, v in choice if solver.boolean_value(v)), None)
            if chosen is None:
                continue
            used = [0] * len(chosen.rows)
            for r, name, cell in cells.get(spot, ()):
                number = solver.value(cell)
                if number:
                    facings[len(plans), r, name] = number
                    used[r] += number * sizes[name]
            if any(used):
                plans.append(BlockPlan(spot[0], spot[1], chosen))
                widths.append(max(used))
        return Filling(plans, widths, facings)
