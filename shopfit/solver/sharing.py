"""Shares the stretches of a large floor among categories so that wishes can be met."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from ortools.linear_solver import pywraplp

from shopfit.model.range import Line
from shopfit.solver.alike import FaceSort, Goods, Sort, all_goods, all_sorts
from shopfit.solver.fill import Filler
from shopfit.solver.neighbours import Neighbours
from shopfit.solver.stoppable import Planned, run
from shopfit.solver.stretches import stretches
from shopfit.stopping import StopFlag

# A facing missed, a place too many, a pair that does not touch, and one to be apart that may not
# be, in parts of all there is.
_MISSED = 2.0
_BROKEN = 1.0
_TOGETHER = 0.25
# What a place counts that need not be, in parts of what is worth most.
_PLACE = 1e-5
# Parts of the customer's way that are told apart where lists are wished along it.
_RANKS = 12
# The gap at which the search ends, and its nodes: the fewer the larger the program.
_GAP = 0.02
_NODES_TIMES_COLUMNS = 20_000
_NODES = (4, 200)
# Seconds of a slow core for a row or column, for a step of the simplex method, and for each row
# or column at a node.
_LINE = 6.0e-5
_PIVOT = 1.2e-4
_NODE = 8.0e-6

# A category, and the number of a sort of stretch.
Place = tuple[str, int]
_Terms = list[tuple[pywraplp.Variable, float]]


@dataclass
class Needs:
    """What earlier answers have shown to be wanted beyond what minimums seem to need.

    Parameters
    ----------
    factor
        By how much more room categories need for their minimums.
    whole
        Lines of which one facing at least needs a place wide enough.
    """

    factor: dict[str, float] = field(default_factory=dict)
    whole: set[str] = field(default_factory=set)


@dataclass(frozen=True)
class Shares:
    """How stretches are shared.

    Parameters
    ----------
    sorts
        Stretches that are alike.
    counts
        On how many stretches of a sort a category with wishes stands.
    widths
        Width that a category has on the faces of each sort of all of them, mm.
    joined
        Pairs of categories that are to stand side by side on a stretch of a sort.
    """

    sorts: tuple[Sort, ...]
    counts: dict[Place, int]
    widths: dict[Place, dict[FaceSort, float]]
    joined: tuple[tuple[frozenset[str], int], ...]


def share(
    filler: Filler, near: Neighbours, needs: Needs, seconds: float, seed: int, stop: StopFlag
) -> Planned[Shares]:
    """Share the stretches of a floor among the categories.

    Parameters
    ----------
    filler, near
        The faces, and how they lie among one another.
    needs
        What has shown to be wanted.
    seconds, seed, stop
        After which a clock ends the search, the seed and the stop flag.
    """
    if stop.requested:
        return Planned(None, 0.0, False)
    return _Program(filler, near, needs).solve(seconds, seed, stop)


class _Program:
    """The program of categories and sorts of stretches: goods stand in fractions, places do not.

    It is small however large the shop: stretches that are alike are counted and not named, lines
    that need as much height share one width, and of each line only its worth is told apart.
    """

    def __init__(self, filler: Filler, near: Neighbours, needs: Needs) -> None:
        self._lp = pywraplp.Solver.CreateSolver("SCIP")
        self._objective = self._lp.Objective()
        self._objective.SetMaximization()
        self._filler, self._near, self._needs, self._rules = filler, near, needs, near.rules
        lines = filler.site.scenario.lines
        self._most = max(1.0, filler.worth.most({ln.line: ln.max_facings for ln in lines}))
        ranks = _ranks(near.stations) if self._rules.order else [0] * len(filler.faces)
        self._sorts = all_sorts(filler.faces, stretches(len(filler.faces), near.links), ranks)
        self._count: dict[Place, pywraplp.Variable] = {}
        self._width: dict[Place, dict[FaceSort, pywraplp.Variable]] = {}
        self._joined: dict[tuple[frozenset[str], int], pywraplp.Variable] = {}
        for name in filler.categories:
            self._add_category(name)
        for t, sort in enumerate(self._sorts):
            self._add_room(t, sort)
        for name, most in self._rules.blocks.items():
            self._add_groups(name, most)
        for pair in self._rules.touch:
            self._add_touch(frozenset(pair))
        for one, other in self._rules.apart:
            self._add_apart(one, other)
        for chain in self._rules.order:
            self._add_order([name for name in chain if name in filler.categories])

    def _row(self, terms: Iterable[tuple[pywraplp.Variable, float]], most: float) -> None:
        """Add a row that a sum does not exceed."""
        row = self._lp.Constraint(-self._lp.infinity(), most)
        for variable, factor in terms:
            row.SetCoefficient(variable, row.GetCoefficient(variable) + float(factor))

    def _miss(self, each: float, most: float) -> pywraplp.Variable:
        """Give a variable for what is missed, of which each costs so much."""
        missed = self._lp.NumVar(0.0, most, "")
        self._objective.SetCoefficient(missed, -each)
        return missed

    def _add_category(self, name: str) -> None:
        goods = all_goods(self._filler, name)
        for t, sort in enumerate(self._sorts):
            self._add_place(name, t, sort, goods)
        on: dict[tuple[int, bool], _Terms] = {}
        for (own, _), widths in self._width.items():
            if own == name:
                for face, width in widths.items():
                    on.setdefault((face.kind, face.near), []).append((width, -1.0))
        self._add_goods(name, goods, on)
        for line in self._filler.lines(name):
            if line.line in self._needs.whole:
                self._add_whole(line, [own for own in goods if line in own.lines])

    def _add_place(self, name: str, t: int, sort: Sort, goods: Sequence[Goods]) -> None:
        """Let a category stand on stretches of a sort."""
        many = len(sort.stretches)
        able = [f for f in sort.faces if name not in f.barred and any(g.fit(f) for g in goods)]
        if not able:
            return
        widths: dict[FaceSort, pywraplp.Variable] = {}
        for face in dict.fromkeys(able):
            length = face.width * able.count(face)
            widths[face] = self._lp.NumVar(0.0, length * many, "")
        self._width[name, t] = widths
        if name not in self._near.wished:
            return
        count = self._count[name, t] = self._lp.IntVar(0, many, "")
        self._objective.SetCoefficient(count, -_PLACE * self._most)
        for face, width in widths.items():
            self._row([(width, 1.0), (count, -face.width * able.count(face))], 0.0)
        narrow = min(line.width for own in goods for line in own.lines)
        self._row([(count, narrow), *((width, -1.0) for width in widths.values())], 0.0)

    def _add_room(self, t: int, sort: Sort) -> None:
        for face in dict.fromkeys(sort.faces):
            room = face.width * sort.faces.count(face) * len(sort.stretches)
            own = [widths for (_, number), widths in self._width.items() if number == t]
            self._row([(widths[face], 1.0) for widths in own if face in widths], room)

    def _add_goods(
        self, name: str, goods: Sequence[Goods], on: dict[tuple[int, bool], _Terms]
    ) -> None:
        """Share the area of a category on each class of face among its goods, by width."""
        here: dict[int, _Terms] = {n: [] for n in range(len(goods))}
        for (kind, near), room in on.items():
            high = self._filler.display.classes[kind].levels
            able = [n for n, g in enumerate(goods) if kind in g.rows and (near or not g.new)]
            width = {n: self._lp.NumVar(0.0, self._lp.infinity(), "") for n in able}
            steps = {n: goods[n].levels[kind] for n in able}
            self._row(_over([(width[n], steps[n]) for n in able], room, high), 0.0)
            for least in sorted(set(steps.values())):
                tall = [(width[n], 1.0) for n in able if steps[n] >= least]
                self._row(_over(tall, room, high // least), 0.0)
            for n in able:
                here[n].append((width[n], -1.0))
                if goods[n].rows[kind] < high // steps[n]:
                    self._row(_over([(width[n], 1.0)], room, goods[n].rows[kind]), 0.0)
        for n, own in enumerate(goods):
            if here[n]:
                self._add_worth(own, here[n], self._needs.factor.get(name, 1.0))

    def _add_worth(self, goods: Goods, own: _Terms, factor: float) -> None:
        """Count the worth of goods by width, and what they miss of their minimums."""
        gained: _Terms = []
        for line in goods.lines:
            for count, each in self._filler.worth.steps[line.line]:
                step = self._lp.NumVar(0.0, count * line.width, "")
                self._objective.SetCoefficient(step, each / line.width)
                gained.append((step, 1.0))
        self._row(gained + own, 0.0)
        wanted = factor * sum(self._least(line, goods) * line.width for line in goods.lines)
        if wanted > 0:
            usual = sum(line.width for line in goods.lines) / len(goods.lines)
            short = self._miss(_MISSED * self._most / usual, wanted)
            self._row([*own, (short, -1.0)], -wanted)

    def _least(self, line: Line, goods: Goods) -> int:
        """Give about how many facings meet the minimums of a line, on its usual class of face."""
        showings = self._filler.display.showings
        units = sorted(showings[line.line, kind].units for kind in goods.rows)
        return max(line.min_facings, -(-line.holding // max(1, units[len(units) // 2])))

    def _add_whole(self, line: Line, goods: Sequence[Goods]) -> None:
        """Have one facing of a line find a place that is wide enough for it."""
        found: _Terms = []
        for (name, _), widths in self._width.items():
            for face, width in widths.items() if name == line.category else ():
                if line.width <= face.width and any(own.fit(face) for own in goods):
                    stands = self._lp.BoolVar("")
                    self._row([(stands, line.width), (width, -1.0)], 0.0)
                    found.append((stands, -1.0))
        self._row([*found, (self._miss(_MISSED * self._most, 1.0), -1.0)], -1.0)

    def _add_groups(self, name: str, most: int) -> None:
        own = [(count, 1.0) for (category, _), count in self._count.items() if category == name]
        if own:
            more = self._miss(_BROKEN * self._most, float(len(self._filler.faces)))
            self._row([*own, (more, -1.0)], most)

    def _add_touch(self, pair: frozenset[str]) -> None:
        """Have two categories share a stretch."""
        ways: _Terms = []
        for t in range(len(self._sorts)):
            own = [self._count[name, t] for name in pair if (name, t) in self._count]
            if len(own) == len(pair):
                way = self._joined[pair, t] = self._lp.BoolVar("")
                for count in own:
                    self._row([(way, 1.0), (count, -1.0)], 0.0)
                ways.append((way, -1.0))
        self._row([*ways, (self._miss(_BROKEN * self._most, 1.0), -1.0)], -1.0)

    def _add_apart(self, one: str, other: str) -> None:
        """Keep two categories off one stretch, and off stretches of which one hangs over another.

        Of stretches that are counted and not named those above and below are not known.
        """
        number = {n: t for t, sort in enumerate(self._sorts) for own in sort.stretches for n in own}
        pairs = {(t, t) for t in range(len(self._sorts))}
        for over in self._near.overs:
            above, below = number[over.upper], number[over.lower]
            if len(self._sorts[above].stretches) == len(self._sorts[below].stretches) == 1:
                pairs |= {(above, below), (below, above)}
        for t, u in sorted(pairs):
            if (one, t) in self._count and (other, u) in self._count:
                many = len(self._sorts[t].stretches)
                both = self._miss(_TOGETHER * self._most, float(2 * many))
                counts = [(self._count[one, t], 1.0), (self._count[other, u], 1.0)]
                self._row([*counts, (both, -1.0)], many)

    def _add_order(self, chain: Sequence[str]) -> None:
        """Between two neighbours of a list lies a part of the way that neither goes past."""
        last = float(_RANKS)
        borders = [self._lp.NumVar(0.0, last, "") for _ in chain[1:]]
        for earlier, later in pairwise(borders):
            self._row([(earlier, 1.0), (later, -1.0)], 0.0)
        for border, pair in zip(borders, pairwise(chain), strict=True):
            broken = self._miss(_BROKEN * self._most, 1.0)
            for name, before in zip(pair, (True, False), strict=True):
                for t, sort in enumerate(self._sorts):
                    if (name, t) in self._count:
                        stands = self._stands(name, t)
                        if before:
                            terms = [(stands, sort.rank + 1.0), (border, -1.0)]
                            self._row([*terms, (broken, -last)], 0.0)
                        else:
                            terms = [(border, 1.0), (stands, last - sort.rank)]
                            self._row([*terms, (broken, -last)], last)

    def _stands(self, name: str, t: int) -> pywraplp.Variable:
        """Give a flag that is set where a category stands on any stretch of a sort."""
        count, many = self._count[name, t], len(self._sorts[t].stretches)
        if many == 1:
            return count
        stands = self._lp.BoolVar("")
        self._row([(count, 1.0), (stands, -many)], 0.0)
        return stands

    def solve(self, seconds: float, seed: int, stop: StopFlag) -> Planned[Shares]:
        """Search, and read the shares."""
        least, most = _NODES
        nodes = _NODES_TIMES_COLUMNS // max(1, self._lp.NumVariables())
        parameters = (
            "separating/maxroundsroot = 0\n"
            f"limits/totalnodes = {min(most, max(least, nodes))}\n"
            f"limits/gap = {_GAP}\n"
            f"randomization/randomseedshift = {seed % 2**20}\n"
        )
        status, finished = run(self._lp, parameters, seconds, stop)
        lines = self._lp.NumVariables() + self._lp.NumConstraints()
        worked = _LINE * lines + _PIVOT * self._lp.iterations() + _NODE * lines * self._lp.nodes()
        if status not in (pywraplp.Solver.OPTIMAL, pywraplp.Solver.FEASIBLE):
            return Planned(None, worked, finished)
        return Planned(self._read(), worked, finished)

    def _read(self) -> Shares:
        counts = {place: round(count.solution_value()) for place, count in self._count.items()}
        widths = {
            place: {face: width.solution_value() for face, width in own.items()}
            for place, own in self._width.items()
            if counts.get(place, 1) > 0
        }
        joined = tuple(key for key, way in self._joined.items() if way.solution_value() > 0.5)
        return Shares(tuple(self._sorts), {p: n for p, n in counts.items() if n}, widths, joined)


def _over(terms: _Terms, room: _Terms, times: float) -> _Terms:
    """Give the terms of a sum less so many times a width, of which there are the negatives."""
    return terms + [(width, times * sign) for width, sign in room]


def _ranks(stations: Sequence[float | None]) -> list[int]:
    """Divide the way into parts as long as one another; what has no station is everywhere."""
    known = [at for at in stations if at is not None]
    if not known:
        return [0] * len(stations)
    first, last = min(known), max(known)
    length = max(1e-9, last - first) / _RANKS
    return [0 if at is None else min(_RANKS - 1, int((at - first) / length)) for at in stations]
