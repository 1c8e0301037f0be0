"""Exact filling of faces: block widths, rows and whole facings, by integer programs."""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from ortools.sat.python import cp_model

from shopfit.model.range import Line
from shopfit.solver.filling import (
    PER_MM,
    BlockKey,
    BlockPlan,
    Filling,
    Score,
    grains,
)
from shopfit.solver.fixing import Face
from shopfit.solver.greedy import fill_greedily
from shopfit.solver.neighbours import Neighbours, in_order, neighbours
from shopfit.solver.packs import Packs, Standing
from shopfit.solver.patterns import Pattern
from shopfit.solver.range_display import Display
from shopfit.solver.refill import RefillModel, StopOnRequest
from shopfit.solver.site import Site
from shopfit.solver.worth import worth
from shopfit.stopping import StopFlag


class Filler:
    """Fills the faces of one chosen floor.

    Parameters
    ----------
    site, shown, faces
        The shop, how lines can be shown, and the faces.
    money
        Money left for brackets and shelves, or none.
    near
        How the faces lie among one another, where that is known already.
    packs
        Brackets and boards as they are bought, if whole packs are to be counted; their money is
        then the money left.
    """

    def __init__(
        self,
        site: Site,
        shown: Display,
        faces: Sequence[Face],
        money: float | None,
        near: Neighbours | None = None,
        packs: Packs | None = None,
    ) -> None:
        self._site = site
        self._display = shown
        self._faces = faces
        self._money = money if packs is None else None if packs.price else packs.money
        self.packs = packs
        # Asked for at every try, and each time found anew by the scenario.
        self.categories = site.scenario.categories
        self._grains = {line.line: grains(line.width) for line in site.scenario.lines}
        self._lines: dict[str, list[Line]] = {c: [] for c in self.categories}
        for line in site.scenario.lines:
            self._lines[line.category].append(line)
        self.worth = worth(site.scenario)
        self.first = {line.line: self.worth.first(line.line) for line in site.scenario.lines}
        self.second = self.worth.second
        self._neighbours = neighbours(site, faces) if near is None else near

    def restricted(self, barred: Mapping[int, Iterable[str]]) -> Filler:
        """Give a filler of the same faces on some of which some categories may not stand."""
        faces = [
            replace(face, barred=tuple(sorted(barred.get(n, ()))))
            for n, face in enumerate(self._faces)
        ]
        return Filler(self._site, self._display, faces, self._money, self._neighbours, self.packs)

    def in_packs(self, packs: Packs) -> Filler:
        """Give a filler of the same faces that counts whole packs."""
        return Filler(self._site, self._display, self._faces, None, self._neighbours, packs)

    def on(self, faces: Sequence[Face]) -> Filler:
        """Give a filler of other faces of the same shop, with as much money."""
        return Filler(self._site, self._display, faces, self._money, packs=self.packs)

    @property
    def neighbours(self) -> Neighbours | None:
        """The faces among one another, or none where the brief has no wish about that."""
        return self._neighbours

    @property
    def allotted(self) -> bool:
        """Whether categories may stand only where they are meant to."""
        return any(face.barred for face in self._faces)

    def broken(self, filling: Filling) -> int:
        """Count the wishes on the places of goods that a filling does not meet."""
        return 0 if self._neighbours is None else self._neighbours.broken(filling)

    def arranged(self, filling: Filling) -> list[tuple[int, float, float]]:
        """Set blocks with goods along their faces.

        Returns
        -------
        Number of each block and its ends along its face, mm; face by face, from the left.
        """
        if self._neighbours is not None:
            return self._neighbours.arranged(filling)
        rank = {category: n for n, category in enumerate(self.categories)}
        return in_order(filling, self._faces, rank)

    def start(self, blocks: Mapping[BlockKey, float]) -> Filling:
        """Lay the relaxation's blocks along the faces, one class after the other.

        Blocks of one category stay together; a block that meets the end of a face goes on at the
        start of the next.
        """
        plans: list[BlockPlan] = []
        widths: list[int] = []
        order = {category: n for n, category in enumerate(self.categories)}
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
                widths.append(int(width * PER_MM))
        return self.greedily(Filling(plans, widths))

    def greedily(self, blocks: Filling) -> Filling:
        """Fill blocks on which nothing stands, each line where it finds room."""
        return fill_greedily(
            blocks, self._lines, self._faces, self._display, self.first, self._money
        )

    def score(self, filling: Filling) -> Score:
        """Measure a filling."""
        short = worth = second = cost = 0.0
        lines = 0
        held: dict[str, int] = {}
        count: dict[str, int] = {}
        counted: dict[str, float] = {}
        for (b, row, name), facings in filling.facings.items():
            plan = filling.plans[b]
            shown = self._display.showings[name, self._faces[plan.face].kind]
            held[name] = held.get(name, 0) + shown.units * facings
            count[name] = count.get(name, 0) + facings
            weight = self._display.weight(plan.category, plan.pattern.groups[row])
            counted[name] = counted.get(name, 0.0) + weight * facings
            cost += shown.cost * facings
        if self.packs is not None:
            cost = self.packs.cost(self.shown_in(filling))
        for line in self._site.scenario.lines:
            facings = count.get(line.line, 0)
            worth += self.worth.of(line.line, counted.get(line.line, 0.0))
            second += self.second[line.line] * facings
            missing = max(0, line.min_facings - facings)
            missing += max(0, line.holding - held.get(line.line, 0))
            short += missing
            lines += missing > 0
        # Sums of many steps differ by a hair with their order.
        return Score(short, round(worth, 6), round(second, 6), cost, self.broken(filling), lines)

    def rank(self, filling: Filling) -> tuple[float, ...]:
        """Order fillings of a search: by minimums, wishes, worth, then free width in one piece."""
        score = self.score(filling)
        if self.packs is not None:
            worth = score.worth - self.packs.over(score.cost)
            return (-score.short, -score.broken, worth, score.second, -score.cost)
        free = [face.width * PER_MM for face in self._faces]
        for plan, width in zip(filling.plans, filling.widths, strict=True):
            free[plan.face] -= width
        return (-score.short, -score.broken, score.worth, sum(width * width for width in free))

    def allowed(self, filling: Filling) -> bool:
        """Say whether most facings, face widths and money are kept."""
        taken: dict[int, int] = {}
        for plan, width in zip(filling.plans, filling.widths, strict=True):
            taken[plan.face] = taken.get(plan.face, 0) + width
        if any(width > self._faces[face].width * PER_MM + 1e-6 for face, width in taken.items()):
            return False
        count: dict[str, int] = {}
        for (_, _, name), facings in filling.facings.items():
            count[name] = count.get(name, 0) + facings
        if any(count.get(ln.line, 0) > ln.max_facings for ln in self._site.scenario.lines):
            return False
        return self._money is None or self.score(filling).cost <= self._money + 1e-6

    def shown_in(
        self, filling: Filling, blocks: Container[int] | None = None
    ) -> Iterator[Standing]:
        """Give what each cell of a filling shows, as packs count it.

        Parameters
        ----------
        filling, blocks
            What stands, and numbers of the blocks looked at; none for all.
        """
        for (b, row, name), count in filling.facings.items():
            if blocks is None or b in blocks:
                kind = self._faces[filling.plans[b].face].kind
                wide = self._grains[name]
                yield (b, row), self._display.showings[name, kind], wide, count

    def can_show(self, line: Line, face: int) -> bool:
        """Say whether a line can stand or hang on a face."""
        own = self._faces[face]
        shown = (line.line, own.kind) in self._display.showings
        if line.category in own.barred or (line.new and not own.near):
            return False
        return shown and line.width <= own.width

    def short_lines(self, filling: Filling) -> list[Line]:
        """List the lines that miss their least facings or holding."""
        count: dict[str, int] = {}
        held: dict[str, int] = {}
        for (b, _, name), facings in filling.facings.items():
            shown = self._display.showings[name, self._faces[filling.plans[b].face].kind]
            count[name] = count.get(name, 0) + facings
            held[name] = held.get(name, 0) + facings * shown.units
        return [
            line
            for line in self._site.scenario.lines
            if count.get(line.line, 0) < line.min_facings or held.get(line.line, 0) < line.holding
        ]

    def wanting(self, filling: Filling) -> set[str]:
        """Give the categories of which some line could have more facings."""
        count: dict[str, int] = {}
        for (_, _, name), facings in filling.facings.items():
            count[name] = count.get(name, 0) + facings
        lines = self._site.scenario.lines
        return {ln.category for ln in lines if count.get(ln.line, 0) < ln.max_facings}

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
        model = RefillModel(self, filling, sorted(set(categories)), fixed_widths, stage)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = workers
        solver.parameters.interleave_search = workers > 1
        solver.parameters.random_seed = seed
        solver.parameters.max_deterministic_time = effort
        status = solver.solve(model.model, StopOnRequest(stop))
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
        """Money left for brackets and shelves; none also where more may be spent at a price."""
        return self._money

    @property
    def counts_money(self) -> bool:
        """Whether money is looked at."""
        return self._money is not None or self.packs is not None


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
