"""Exact filling of faces: block widths, rows and whole facings, by integer programs."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from ortools.sat.python import cp_model

from shopfit.model.range import Line
from shopfit.solver.fixing import Face
from shopfit.solver.patterns import Pattern
from shopfit.solver.range_display import Display
from shopfit.solver.site import Site
from shopfit.stopping import StopFlag

# Sums and products of the solver's variables, which its own stubs cannot follow.
Linear = Any
# Widths are whole tenths of a millimetre in the integer programs; goods round up, faces down.
TENTHS = 10
WORTH_SCALE = 100
SHORTFALL = 1000


@dataclass(frozen=True)
class BlockPlan:
    """A block that may stand on a face.

    Parameters
    ----------
    face
        Number of the face.
    category, pattern
        What stands there and how its height is divided.
    """

    face: int
    category: str
    pattern: Pattern


BlockKey = tuple[str, int, Pattern]
Cell = tuple[int, int, str]


@dataclass
class Filling:
    """Whole facings in rows of blocks.

    Parameters
    ----------
    plans
        The blocks, in order along each face.
    widths
        Width of each block, tenths of a millimetre.
    facings
        (block number, row number, line) to facings.
    """

    plans: list[BlockPlan]
    widths: list[int]
    facings: dict[Cell, int] = field(default_factory=dict)

    def total(self, line: str) -> int:
        """Count a line's facings."""
        return sum(count for (_, _, name), count in self.facings.items() if name == line)


@dataclass(frozen=True)
class Score:
    """What a filling is worth, best first in this order.

    Parameters
    ----------
    short
        Facings and units missing from minimums.
    worth, second
        The brief's objective and the other one.
    cost
        Of brackets and shelves at least.
    """

    short: float
    worth: float
    second: float
    cost: float

    def key(self) -> tuple[float, float, float, float]:
        """Order fillings: larger is better."""
        return (-self.short, self.worth, self.second, -self.cost)


class Filler:
    """Fills the faces of one chosen floor.

    Parameters
    ----------
    site, shown, faces
        The shop, how lines can be shown, and the faces.
    money
        Money left for brackets and shelves, or none.
    """

    def __init__(
        self, site: Site, shown: Display, faces: Sequence[Face], money: float | None
    ) -> None:
        self._site = site
        self._display = shown
        self._faces = faces
        self._money = money
        self._lines: dict[str, list[Line]] = {c: [] for c in site.scenario.categories}
        for line in site.scenario.lines:
            self._lines[line.category].append(line)
        by_value = site.brief.objective == "value"
        self.first = {ln.line: ln.value if by_value else 1.0 for ln in site.scenario.lines}
        self.second = {ln.line: 1.0 if by_value else ln.value for ln in site.scenario.lines}
        self.effort_used = 0.0

    def start(self, blocks: Mapping[BlockKey, float]) -> Filling:
        """Lay the relaxation's blocks along the faces, one class after the other.

        Blocks of one category stay together; a block that meets the end of a face goes on at the
        start of the next.
        """
        plans: list[BlockPlan] = []
        widths: list[int] = []
        order = {category: n for n, category in enumerate(self._site.scenario.categories)}
        for k in range(len(self._display.classes)):
            wanted = sorted(
                (
                    (order[c], pattern.rows, c, pattern, width)
                    for (c, kind, pattern), width in blocks.items()
                    if kind == k
                ),
                key=lambda entry: entry[:2],
            )
            places = [(n, face.width) for n, face in enumerate(self._faces) if face.kind == k]
            for number, category, pattern, width in _walk(wanted, places):
                plans.append(BlockPlan(number, category, pattern))
                widths.append(int(width * TENTHS))
        return Filling(plans, widths)

    def score(self, filling: Filling) -> Score:
        """Measure a filling."""
        short = worth = second = cost = 0.0
        held: dict[str, int] = {}
        count: dict[str, int] = {}
        for (b, _, name), facings in filling.facings.items():
            kind = self._faces[filling.plans[b].face].kind
            shown = self._display.showings[name, kind]
            held[name] = held.get(name, 0) + shown.units * facings
            count[name] = count.get(name, 0) + facings
            cost += shown.cost * facings
        for line in self._site.scenario.lines:
            facings = count.get(line.line, 0)
            worth += self.first[line.line] * facings
            second += self.second[line.line] * facings
            short += max(0, line.min_facings - facings)
            short += max(0, line.holding - held.get(line.line, 0))
        return Score(short, worth, second, cost)

    def rank(self, filling: Filling) -> tuple[float, float, float]:
        """Order fillings of a search: by minimums, by worth, then by free width in one piece."""
        score = self.score(filling)
        free = [face.width * TENTHS for face in self._faces]
        for plan, width in zip(filling.plans, filling.widths, strict=True):
            free[plan.face] -= width
        return (-score.short, score.worth, sum(width * width for width in free))

    def allowed(self, filling: Filling) -> bool:
        """Say whether most facings, face widths and money are kept."""
        taken: dict[int, int] = {}
        for plan, width in zip(filling.plans, filling.widths, strict=True):
            taken[plan.face] = taken.get(plan.face, 0) + width
        if any(width > self._faces[face].width * TENTHS + 1e-6 for face, width in taken.items()):
            return False
        count: dict[str, int] = {}
        for (_, _, name), facings in filling.facings.items():
            count[name] = count.get(name, 0) + facings
        if any(count.get(ln.line, 0) > ln.max_facings for ln in self._site.scenario.lines):
            return False
        return self._money is None or self.score(filling).cost <= self._money + 1e-6

    def wanting(self, filling: Filling, category: str) -> bool:
        """Say whether a line of a category could have more facings."""
        return any(filling.total(ln.line) < ln.max_facings for ln in self._lines[category])

    def refill(
        self,
        filling: Filling,
        categories: Iterable[str],
        effort: float,
        workers: int,
        seed: int,
        stop: StopFlag,
        fixed_widths: bool = False,
        stage: str = "worth",
    ) -> Filling:
        """Fill the blocks of some categories anew and keep all others.

        Parameters
        ----------
        filling
            What stands now; it is the hint, and the answer where nothing better is found.
        categories
            Whose blocks are filled anew.
        effort, workers, seed, stop
            Deterministic time, threads, seed and the stop flag.
        fixed_widths
            Whether blocks keep their widths, which makes categories independent.
        stage
            ``worth`` for the first objective; ``second`` and ``cost`` keep those before.
        """
        model = _FillModel(self, filling, sorted(set(categories)), fixed_widths, stage)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = workers
        solver.parameters.interleave_search = workers > 1
        solver.parameters.random_seed = seed
        solver.parameters.max_deterministic_time = effort
        status = solver.solve(model.model, _Stop(stop))
        self.effort_used += solver.response_proto.deterministic_time
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return filling
        found = model.read(solver)
        return found if self.score(found).key() >= self.score(filling).key() else filling

    @property
    def site(self) -> Site:
        """The shop."""
        return self._site

    def lines(self, category: str) -> list[Line]:
        """List the lines of a category."""
        return self._lines[category]

    @property
    def display(self) -> Display:
        """How lines can be shown."""
        return self._display

    @property
    def faces(self) -> Sequence[Face]:
        """The faces."""
        return self._faces

    @property
    def money(self) -> float | None:
        """Money left for brackets and shelves."""
        return self._money


def _walk(
    wanted: Iterable[tuple[int, tuple[int, ...], str, Pattern, float]],
    places: Sequence[tuple[int, float]],
) -> Iterable[tuple[int, str, Pattern, float]]:
    queue = list(places)
    at, left = 0, queue[0][1] if queue else 0.0
    for _, _, category, pattern, width in wanted:
        rest = width
        while rest > 1e-6 and at < len(queue):
            part = min(rest, left)
            if part > 1e-6:
                yield queue[at][0], category, pattern, part
            rest -= part
            left -= part
            if left <= 1e-6:
                at += 1
                left = queue[at][1] if at < len(queue) else 0.0


class _FillModel:
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
            room = int(self._filler.faces[face].width * TENTHS + 1e-6) - taken.get(face, 0)
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
        shown, whole = self._filler.display, int(face.width * TENTHS + 1e-6)
        before: dict[tuple[int, frozenset[int]], Linear] = {}
        for r, (steps, group) in enumerate(
            zip(plan.pattern.rows, plan.pattern.groups, strict=True)
        ):
            terms: list[Linear] = []
            for line in self._filler.lines(plan.category):
                showing = shown.showings.get((line.line, face.kind))
                if showing is None or showing.levels > steps or not shown.allowed(line, group):
                    continue
                wide = tenths(line.width)
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
        elsewhere = 0
        for (b, _, name), count in self._filling.facings.items():
            if b not in set(self._blocks):
                kind = self._filler.faces[self._filling.plans[b].face].kind
                cost = self._filler.display.showings[name, kind].cost
                elsewhere += thousandths(cost) * count
        self.model.add(self._spent() <= max(0, int(self._filler.money * 1000) - elsewhere))

    def _sum(self, weights: Mapping[str, float]) -> Linear:
        return sum(
            count * round(weights[name] * WORTH_SCALE)
            for (_, _, name), count in self._cells.items()
        )

    def _now(self, weights: Mapping[str, float]) -> int:
        free = set(self._blocks)
        return sum(
            round(weights[name] * WORTH_SCALE) * count
            for (b, _, name), count in self._filling.facings.items()
            if b in free
        )

    def _add_objective(self, stage: str) -> None:
        filler = self._filler
        short: Linear = sum(self._short)
        worth = self._sum(filler.first)
        if stage == "worth":
            most = max([1.0, *filler.first.values()])
            self.model.maximize(worth - short * math.ceil(most * SHORTFALL * WORTH_SCALE))
            return
        # Later stages keep what the earlier ones reached.
        self.model.add(worth >= self._now(filler.first))
        self.model.add(short <= self._short_now())
        if stage == "second":
            self.model.maximize(self._sum(filler.second))
            return
        self.model.add(self._sum(filler.second) >= self._now(filler.second))
        self.model.minimize(self._spent())

    def _short_now(self) -> int:
        short = 0
        for category in self._free:
            for line in self._filler.lines(category):
                count = held = 0
                for (b, _, name), facings in self._filling.facings.items():
                    if name == line.line:
                        kind = self._filler.faces[self._filling.plans[b].face].kind
                        count += facings
                        held += facings * self._filler.display.showings[name, kind].units
                short += max(0, line.min_facings - count) + max(0, line.holding - held)
        return short

    def read(self, solver: cp_model.CpSolver) -> Filling:
        """Read the answer, with the other categories as they were."""
        free = set(self._blocks)
        facings = {key: n for key, n in self._filling.facings.items() if key[0] not in free}
        widths = list(self._filling.widths)
        used: dict[tuple[int, int], int] = {}
        for (b, r, name), count in self._cells.items():
            number = solver.value(count)
            if number:
                facings[b, r, name] = number
                wide = tenths(self._site_line(name).width)
                used[b, r] = used.get((b, r), 0) + number * wide
        if not self._fixed_widths:
            for b in self._blocks:
                widths[b] = max([0, *(used.get((b, r), 0) for r in range(99) if (b, r) in used)])
        return Filling(list(self._filling.plans), widths, facings)

    def _site_line(self, name: str) -> Line:
        for category in self._free:
            for line in self._filler.lines(category):
                if line.line == name:
                    return line
        raise KeyError(name)


class _Stop(cp_model.CpSolverSolutionCallback):
    def __init__(self, stop: StopFlag) -> None:
        super().__init__()
        self._flag = stop

    def on_solution_callback(self) -> None:
        if self._flag.requested:
            self.stop_search()


def tenths(length: float) -> int:
    """Give a length in whole tenths of a millimetre, rounded up."""
    return math.ceil(length * TENTHS - 1e-6)


def thousandths(money: float) -> int:
    """Give money in whole thousandths, rounded up, so that no sum comes out too small."""
    return math.ceil(money * 1000 - 1e-6)
