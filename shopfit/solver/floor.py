"""Which fixtures stand where: positions that exclude one another, priced by what faces are worth."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

import shapely
from ortools.linear_solver import pywraplp
from ortools.sat.python import cp_model
from shapely import Polygon

from shopfit.model.fixtures import Fixture
from shopfit.solver.candidates import Candidate, FacePart
from shopfit.solver.conflicts import Cliques
from shopfit.solver.display import FaceClass
from shopfit.solver.facelp import Cut
from shopfit.solver.site import Site
from shopfit.stopping import StopFlag

# Worth is counted in thousandths of a facing, rounded up, so that integer bounds stay bounds.
SCALE = 1000
_GATE_STEP_MM = 25.0


@dataclass(frozen=True)
class FloorAnswer:
    """A choice of positions.

    Parameters
    ----------
    chosen
        Numbers of the candidates that stand.
    slat
        Those of them with slat-wall above.
    worth, bound
        What the cuts say it is worth, and what no choice can be worth more than.
    proved
        Whether the two are equal.
    """

    chosen: tuple[int, ...]
    slat: tuple[int, ...]
    worth: float
    bound: float
    proved: bool


@dataclass(frozen=True)
class FloorProblem:
    """The floor, ready to be built into models.

    Parameters
    ----------
    site, candidates, cliques, classes
        The shop, its positions, what excludes what, and the classes of face.
    widths, slat_widths
        For each candidate, (class number, mm) of its own faces and of the slat-wall above it.
    gates
        Sets of candidate sets: of each outer set, one inner set must be wholly absent, so that
        staff get past the dividers.
    """

    site: Site
    candidates: Sequence[Candidate]
    cliques: Cliques
    classes: Sequence[FaceClass]
    widths: tuple[tuple[tuple[int, float], ...], ...]
    slat_widths: tuple[tuple[tuple[int, float], ...], ...]
    gates: tuple[tuple[frozenset[int], ...], ...]

    @property
    def separate_slat(self) -> bool:
        """Whether leaving slat-wall out can pay: only where money is short."""
        return self.site.brief.budget is not None

    def fixture(self, index: int) -> Fixture | None:
        """Give a candidate's fixture."""
        name = self.candidates[index].fixture
        return None if name is None else self.site.scenario.catalogue.fixture(name)

    def areas(self, chosen: Iterable[int], slat: Iterable[int]) -> list[float]:
        """Add up the width of each class of face, mm."""
        total = [0.0] * len(self.classes)
        for index in chosen:
            for k, width in self.widths[index]:
                total[k] += width
        for index in slat:
            for k, width in self.slat_widths[index]:
                total[k] += width
        return total

    def cost(self, chosen: Sequence[int], slat: Iterable[int]) -> float:
        """Add up the least money that a choice costs, goods' brackets and shelves not counted."""
        money = sum(self.candidates[i].slat_cost for i in slat)
        for fixture in self.site.scenario.catalogue.fixtures:
            count = sum(1 for i in chosen if self.candidates[i].fixture == fixture.id)
            money += max(0, count - fixture.owned) * fixture.price
        return money

    def money_left(self, chosen: Sequence[int], slat: Iterable[int]) -> float | None:
        """Give the money left for brackets and shelves, or none without a budget."""
        budget = self.site.brief.budget
        return None if budget is None else budget - self.cost(chosen, slat)


def face_classes(candidates: Iterable[Candidate]) -> list[FaceClass]:
    """List the classes of face that candidates bring, sorted."""
    return sorted({part.kind for c in candidates for part in (*c.faces, *c.slat)})


def floor_problem(site: Site, candidates: Sequence[Candidate], cliques: Cliques) -> FloorProblem:
    """Gather what the floor models need."""
    classes = face_classes(candidates)
    number = {kind: k for k, kind in enumerate(classes)}

    def widths(parts: Iterable[FacePart]) -> tuple[tuple[int, float], ...]:
        return tuple((number[part.kind], part.width) for part in parts)

    return FloorProblem(
        site,
        candidates,
        cliques,
        classes,
        tuple(widths(c.faces) for c in candidates),
        tuple(widths(c.slat) for c in candidates),
        tuple(_gates(site, candidates)),
    )


def _gates(site: Site, candidates: Sequence[Candidate]) -> Iterable[tuple[frozenset[int], ...]]:
    """Give the ways past the dividers into each staff zone that has no door of its own."""
    doors = [
        shapely.intersection(site.approach(d, True), site.staff_zones) for d in site.staff_doors
    ]
    dividers = [i for i, c in enumerate(candidates) if c.fixture is not None]
    wide = site.brief.staff_aisle
    for zone in site.scenario.shop.zones:
        outline = Polygon(zone.corners)
        if zone.kind != "staff" or any(outline.intersects(d) and not d.is_empty for d in doors):
            continue
        ways: dict[frozenset[int], None] = {}
        for start, end in site.divider_edges:
            if not outline.exterior.buffer(1.0).covers(shapely.LineString([start, end])):
                continue
            for square in _gate_squares(start, end, wide):
                if not site.passable.covers(square):
                    continue
                small = square.buffer(-0.02)
                blocking = frozenset(i for i in dividers if candidates[i].body.intersects(small))
                ways[blocking] = None
        if ways:
            least = [w for w in ways if not any(other < w for other in ways)]
            yield tuple(sorted(least, key=lambda w: (len(w), sorted(w))))


def _gate_squares(
    start: tuple[float, float], end: tuple[float, float], wide: float
) -> Iterable[Polygon]:
    length = math.dist(start, end)
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    places = [k * _GATE_STEP_MM for k in range(int((length - wide) / _GATE_STEP_MM) + 1)]
    for place in sorted({*places, length - wide}):
        corners = [(place, -wide / 2), (place + wide, -wide / 2)]
        corners += [(place + wide, wide / 2), (place, wide / 2)]
        yield Polygon(
            [(start[0] + a * ux - b * uy, start[1] + a * uy + b * ux) for a, b in corners]
        )


@dataclass
class FloorModel:
    """The integer model of the floor; cuts and exclusions are added between solves.

    Parameters
    ----------
    problem
        What is to be decided.
    """

    problem: FloorProblem
    _cuts: list[Cut] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._model = cp_model.CpModel()
        count = len(self.problem.candidates)
        self._stands = [self._model.new_bool_var(f"x{i}") for i in range(count)]
        self._slat = [self._slat_variable(i) for i in range(count)]
        worst = 10**12
        self._worth = self._model.new_int_var(-worst, worst, "worth")
        self._model.maximize(self._worth)
        self._bought: dict[str, cp_model.IntVar] = {}
        for add in (
            self._add_cliques,
            self._add_pins,
            self._add_numbers,
            self._add_gates,
            self._add_budget,
        ):
            add()

    def _slat_variable(self, index: int) -> cp_model.IntVar | None:
        if not self.problem.candidates[index].slat:
            return None
        stands = self._stands[index]
        if not self.problem.separate_slat or self.problem.candidates[index].fixture is None:
            return stands
        slat = self._model.new_bool_var(f"y{index}")
        self._model.add_implication(slat, stands)
        return slat

    def _add_cliques(self) -> None:
        for group in self.problem.cliques:
            self._model.add_at_most_one(self._stands[i] for i in group.tolist())

    def _add_pins(self) -> None:
        for i, candidate in enumerate(self.problem.candidates):
            if candidate.pinned:
                self._model.add(self._stands[i] == 1)

    def _add_numbers(self) -> None:
        for low, high, members in numbers(self.problem):
            total = sum(self._stands[i] for i in members)
            self._model.add_linear_constraint(total, low, high)

    def _add_gates(self) -> None:
        for ways in self.problem.gates:
            open_ways = []
            for blocking in ways:
                way = self._model.new_bool_var("")
                for i in sorted(blocking):
                    self._model.add_implication(way, self._stands[i].negated())
                open_ways.append(way)
            self._model.add_bool_or(open_ways)

    def _add_budget(self) -> None:
        budget = self.problem.site.brief.budget
        if budget is None:
            return
        for fixture in self.problem.site.scenario.catalogue.fixtures:
            members = [i for i, c in enumerate(self.problem.candidates) if c.fixture == fixture.id]
            if members and fixture.owned:
                bought = self._model.new_int_var(0, len(members), "")
                self._model.add(bought >= sum(self._stands[i] for i in members) - fixture.owned)
                self._bought[fixture.id] = bought
        # Costs round down, so that nothing affordable is forbidden.
        self._model.add(self._money(1.0, math.floor) <= math.ceil(budget * SCALE))

    def _money(self, rate: float, rounding: Callable[[float], int]) -> cp_model.LinearExprT:
        terms: list[cp_model.LinearExprT] = []
        for i, candidate in enumerate(self.problem.candidates):
            own = candidate.fixture not in self._bought
            if candidate.cost and own:
                terms.append(self._stands[i] * rounding(rate * candidate.cost * SCALE))
            slat = self._slat[i]
            if slat is not None and candidate.slat_cost:
                terms.append(slat * rounding(rate * candidate.slat_cost * SCALE))
        for name, bought in self._bought.items():
            price = self.problem.site.scenario.catalogue.fixture(name).price
            terms.append(bought * rounding(rate * price * SCALE))
        return sum(terms) if terms else 0

    def add_cut(self, cut: Cut) -> None:
        """Bound the worth of a choice by a cut of the faces, rounded up."""
        self._cuts.append(cut)
        terms: list[cp_model.LinearExprT] = []
        for i in range(len(self.problem.candidates)):
            own = _ceil(_priced(cut, self.problem.widths[i]))
            if own:
                terms.append(self._stands[i] * own)
            slat = self._slat[i]
            above = _ceil(_priced(cut, self.problem.slat_widths[i]))
            if slat is not None and above:
                terms.append(slat * above)
        budget = self.problem.site.brief.budget
        constant = cut.constant + (cut.rate * budget if budget is not None else 0.0)
        worth = sum(terms) + _ceil(constant)
        if budget is not None and cut.rate > 0:
            worth -= self._money(cut.rate, math.floor)
        self._model.add(self._worth <= worth)

    def exclude(self, together: Iterable[int]) -> None:
        """Forbid a set of candidates from standing all at once."""
        self._model.add_bool_or([self._stands[i].negated() for i in sorted(together)])

    def require_any(self, candidates: Iterable[int]) -> None:
        """Ask for at least one of some candidates."""
        self._model.add_bool_or([self._stands[i] for i in sorted(candidates)])

    def solve(
        self,
        effort: float,
        workers: int,
        seed: int,
        stop: StopFlag,
        hint: FloorAnswer | None = None,
        near: float = 0.0,
    ) -> tuple[FloorAnswer | None, float, float]:
        """Choose the positions worth most under the cuts so far.

        Parameters
        ----------
        effort
            Deterministic time.
        workers, seed, stop
            Threads, seed and the stop flag.
        hint
            An earlier choice to begin from.
        near
            Relative gap at which to stop.

        Returns
        -------
        The choice, or none; what no choice can be worth more than (minus infinity where there is
        none); the deterministic time used.
        """
        solver = cp_model.CpSolver()
        parameters = solver.parameters
        parameters.num_workers = workers
        parameters.interleave_search = workers > 1
        parameters.random_seed = seed
        parameters.max_deterministic_time = effort
        parameters.relative_gap_limit = near
        parameters.linearization_level = 2
        self._model.clear_hints()
        if hint is not None:
            self._hint(hint)
        watcher = _StopOnRequest(stop)
        status = solver.solve(self._model, watcher)
        used = solver.response_proto.deterministic_time
        if status == cp_model.INFEASIBLE:
            return None, -math.inf, used
        bound = solver.best_objective_bound / SCALE
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return None, math.inf, used
        chosen = tuple(i for i, x in enumerate(self._stands) if solver.boolean_value(x))
        slat = tuple(
            i for i in chosen if (y := self._slat[i]) is not None and solver.boolean_value(y)
        )
        worth = solver.objective_value / SCALE
        answer = FloorAnswer(chosen, slat, worth, bound, status == cp_model.OPTIMAL)
        return answer, bound, used

    def _hint(self, answer: FloorAnswer) -> None:
        chosen, slat = set(answer.chosen), set(answer.slat)
        for i, stands in enumerate(self._stands):
            self._model.add_hint(stands, i in chosen)
            above = self._slat[i]
            if above is not None and above is not stands:
                self._model.add_hint(above, i in slat)


class _StopOnRequest(cp_model.CpSolverSolutionCallback):
    """Ends the search at the next solution once a stop is asked for."""

    def __init__(self, stop: StopFlag) -> None:
        super().__init__()
        self._flag = stop

    def on_solution_callback(self) -> None:
        if self._flag.requested:
            self.stop_search()


def numbers(problem: FloorProblem) -> Iterable[tuple[int, int, list[int]]]:
    """Give the limits on how many of some candidates stand: stock, and what the brief wants."""
    scenario = problem.site.scenario
    everything = len(problem.candidates)
    for fixture in scenario.catalogue.fixtures:
        members = [i for i, c in enumerate(problem.candidates) if c.fixture == fixture.id]
        if len(members) > fixture.available + fixture.owned:
            yield 0, fixture.available + fixture.owned, members
    for wanted in scenario.brief.wanted:
        members = []
        for i, candidate in enumerate(problem.candidates):
            own = problem.fixture(i)
            if own is not None and (candidate.fixture == wanted.fixture or own.kind == wanted.kind):
                members.append(i)
        high = everything if wanted.at_most is None else wanted.at_most
        if wanted.at_least > 0 or high < len(members):
            yield wanted.at_least, high, members


def _priced(cut: Cut, widths: Iterable[tuple[int, float]]) -> float:
    return sum(cut.prices[k] * width for k, width in widths)


def _ceil(worth: float) -> int:
    return math.ceil(worth * SCALE - 1e-6)


class FloorRelaxation:
    """The linear relaxation of the floor, for the first cuts.

    Parameters
    ----------
    problem
        What is to be decided.
    """

    def __init__(self, problem: FloorProblem) -> None:
        self._problem = problem
        self._lp = pywraplp.Solver.CreateSolver("GLOP")
        infinity = self._lp.infinity()
        count = len(problem.candidates)
        self._stands = [self._lp.NumVar(0.0, 1.0, "") for _ in range(count)]
        self._slat = [
            None if not c.slat else self._lp.NumVar(0.0, 1.0, "") for c in problem.candidates
        ]
        self._worth = self._lp.NumVar(-1e9, 1e9, "")
        self._lp.Maximize(self._worth)
        for i, above in enumerate(self._slat):
            if above is not None:
                row = self._lp.Constraint(-infinity, 0.0)
                row.SetCoefficient(above, 1.0)
                row.SetCoefficient(self._stands[i], -1.0)
        for group in problem.cliques:
            row = self._lp.Constraint(-infinity, 1.0)
            for i in group.tolist():
                row.SetCoefficient(self._stands[i], 1.0)
        for low, high, members in numbers(problem):
            row = self._lp.Constraint(float(low), float(high))
            for i in members:
                row.SetCoefficient(self._stands[i], 1.0)

    def _free_cost(self, i: int) -> float:
        # What is owned already may be free, so the relaxation counts it as free altogether.
        fixture = self._problem.fixture(i)
        return 0.0 if fixture is None or fixture.owned else self._problem.candidates[i].cost

    def add_cut(self, cut: Cut) -> None:
        """Bound the worth by a cut of the faces."""
        problem, budget = self._problem, self._problem.site.brief.budget
        constant = cut.constant + (cut.rate * budget if budget is not None else 0.0)
        row = self._lp.Constraint(-self._lp.infinity(), constant)
        row.SetCoefficient(self._worth, 1.0)
        for i, candidate in enumerate(problem.candidates):
            own = _priced(cut, problem.widths[i]) - cut.rate * self._free_cost(i)
            row.SetCoefficient(self._stands[i], -own)
            above = self._slat[i]
            if above is not None:
                worth = _priced(cut, problem.slat_widths[i]) - cut.rate * candidate.slat_cost
                row.SetCoefficient(above, -worth)

    def solve(self) -> tuple[float, list[float], float | None]:
        """Give the worth, the widths of each class, mm, and the money left; raises RuntimeError."""
        if self._lp.Solve() != pywraplp.Solver.OPTIMAL:
            raise RuntimeError("the linear relaxation of the floor has no answer")
        problem = self._problem
        total = [0.0] * len(problem.classes)
        money = 0.0
        for i, stands in enumerate(self._stands):
            part = stands.solution_value()
            if part > 1e-9:
                money += part * self._free_cost(i)
                for k, width in problem.widths[i]:
                    total[k] += part * width
            above = self._slat[i]
            if above is not None and (share := above.solution_value()) > 1e-9:
                money += share * problem.candidates[i].slat_cost
                for k, width in problem.slat_widths[i]:
                    total[k] += share * width
        budget = problem.site.brief.budget
        return self._worth.solution_value(), total, None if budget is None else budget - money
