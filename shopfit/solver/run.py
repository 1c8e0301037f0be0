"""The whole search: floor and walls together, then goods, then the proof."""

from __future__ import annotations

import math
import time
from collections.abc import Sequence
from dataclasses import dataclass, replace

from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Clash, Listener, Progress, Solution
from shopfit.model.proof import Proof, Stage, Status, Timing
from shopfit.model.scenario import Scenario
from shopfit.solver.assemble import assemble
from shopfit.solver.candidates import Candidate, candidates
from shopfit.solver.conflicts import Cliques, cliques
from shopfit.solver.connect import blockages
from shopfit.solver.explain import explain
from shopfit.solver.fill import Filler
from shopfit.solver.filling import Filling
from shopfit.solver.fixing import Fixed, fix
from shopfit.solver.floor import FloorProblem, face_classes, floor_problem
from shopfit.solver.improve import improve
from shopfit.solver.joint import JointAnswer, JointProgram, Limits
from shopfit.solver.range_display import Display, display
from shopfit.solver.scope import RULES, grid_in_words
from shopfit.solver.site import Site
from shopfit.stopping import StopFlag

# Gaps at which the first, the careful and the proving search end.
FIRST_GAP = 0.05
CAREFUL_GAP = 0.002
PROVING_GAP = 0.0005
# Taken off every face in the search that chooses the floor: what ends of rows lose, mm.
REMAINDER_MM = 70.0
# Positions up to which a bound with whole positions is worth its time.
MOST_TO_PROVE = 5000
# Facings that a square metre of face to spare is worth when the floor is chosen.
SPARE_PER_M2 = 0.3
# Rounds of forbidding what closes a way, for each way of choosing the floor.
BLOCKAGE_ROUNDS = (3, 6, 12)
EFFORT_PER_SECOND = 0.12
# Work that even the smallest budget may do: well under a second.
LEAST_EFFORT = 0.2
SHORT_EPS = 1e-4
_WHOLE = 1e-6


@dataclass
class _Best:
    """The best layout so far and where it came from."""

    problem: FloorProblem
    fixed: Fixed
    filler: Filler
    filling: Filling


class Search:
    """One search.

    Parameters
    ----------
    scenario, options, listener, stop
        What to solve, how hard, who listens and the stop flag.
    """

    def __init__(
        self, scenario: Scenario, options: SolveOptions, listener: Listener, stop: StopFlag
    ) -> None:
        self._began = time.monotonic()
        self._options, self._listener, self._stop = options, listener, stop
        self._site = Site(scenario)
        self._best: _Best | None = None
        self._bound = math.inf
        self._first: float | None = None
        self._repeatable = True
        self._apart: Cliques | None = None

    def run(self) -> Solution:
        """Search and give the best layout, or say why there is none."""
        self._tell("setting out positions")
        found = candidates(self._site)
        shown = display(self._site, face_classes(found))
        self._weights = self._objective_weights()
        self._bound = self._most()
        problem, answer = self._choose(found, shown, FIRST_GAP)
        if answer is None or answer.floor is None:
            return self._no_layout()
        self._fill(problem, shown, answer, 0.05)
        if not self._stop.requested and not self._good_enough() and len(found) <= MOST_TO_PROVE:
            problem, better = self._choose(found, shown, CAREFUL_GAP)
            if better is not None and better.floor is not None and better.floor != answer.floor:
                self._fill(problem, shown, better, 0.1)
        if not self._stop.requested and not self._good_enough():
            self._prove(floor_problem(self._site, found, cliques(found)), shown)
        self._improve()
        self._later_stages()
        if self._short() > 0 and answer.short > SHORT_EPS:
            refused = self._no_layout()
            if refused.clash is not None and refused.clash.proved:
                return refused
        return Solution(outcome="layout", layout=self._layout(), stopped=self._stop.requested)

    def _objective_weights(self) -> dict[str, float]:
        scenario = self._site.scenario
        by_value = scenario.brief.objective == "value"
        return {line.line: line.value if by_value else 1.0 for line in scenario.lines}

    def _most(self) -> float:
        lines = self._site.scenario.lines
        return sum(self._weights[line.line] * line.max_facings for line in lines)

    def _limits(self, gap: float) -> Limits:
        # Nodes are the repeatable measure; the clock only guards against slow machines.
        seconds = self._options.seconds
        return Limits(1 + int(4 * seconds), gap, max(10.0, seconds), self._options.seed)

    def _choose(
        self, found: Sequence[Candidate], shown: Display, gap: float
    ) -> tuple[FloorProblem, JointAnswer | None]:
        """Choose a floor on which everything is reached; none where there is none.

        First islands keep an aisle all round them, for then ways seldom close; then they keep off
        walls as well; at last only the rules count, and what closes a way is forbidden as it
        turns up.
        """
        if self._apart is None:
            self._apart = cliques(found, careful=True)
        apart = self._apart
        best = None
        problem = floor_problem(self._site, found, apart)
        for attempt, rounds in enumerate(BLOCKAGE_ROUNDS):
            if attempt == 0 and len(found) > MOST_TO_PROVE:
                continue  # Large floors have room to go round every island.
            if attempt == 1:
                problem = floor_problem(self._site, found, apart, careful=True)
            elif attempt == 2:
                problem = floor_problem(self._site, found, cliques(found))
            answer, open_ways = self._place(problem, shown, rounds, gap)
            if answer is not None and (open_ways or self._stop.requested):
                return problem, answer
            best = answer
        return problem, best

    def _place(
        self, problem: FloorProblem, shown: Display, rounds: int, gap: float
    ) -> tuple[JointAnswer | None, bool]:
        """Place fixtures, forbidding what closes a way; say whether all ways are open at last."""
        self._tell("placing fixtures")
        weight = self._most() / max(1, sum(ln.max_facings for ln in self._site.scenario.lines))
        spare = SPARE_PER_M2 * weight
        program = JointProgram(problem, shown, self._weights, REMAINDER_MM, spare)
        answer = None
        for _ in range(rounds):
            found = program.solve(self._limits(gap), self._stop)
            self._repeatable &= found.finished
            if found.impossible:
                return None, False
            if found.floor is None:
                return answer, False
            answer = found
            cut_off = blockages(problem, found.floor)
            if not cut_off:
                return answer, True
            for group in cut_off:
                program.exclude(group - {-1})
        return answer, False

    def _tighten(self, bound: float) -> None:
        self._bound = min(self._bound, bound)

    def _whole_bound(self) -> float:
        if all(weight == int(weight) for weight in self._weights.values()):
            return math.floor(self._bound + _WHOLE)
        return self._bound

    def _prove(self, problem: FloorProblem, shown: Display) -> None:
        """Bound what any floor on the grid could show, and take its floor where all is reached.

        On very large floors whole positions take too long; the bound is then that of divisible
        ones.
        """
        self._tell("proving the bound")
        self._tighten(JointProgram(problem, shown, self._weights, whole=False).relaxed_bound())
        if self._good_enough() or len(problem.candidates) > MOST_TO_PROVE:
            return
        program = JointProgram(problem, shown, self._weights)
        limits = self._limits(PROVING_GAP)
        limits = replace(limits, nodes=1 + limits.nodes // 8)
        answer = program.solve(limits, self._stop)
        self._repeatable &= answer.finished
        self._tighten(answer.bound)
        if answer.floor is not None and not blockages(problem, answer.floor):
            self._fill(problem, shown, answer, 0.15)

    def _fill(
        self, problem: FloorProblem, shown: Display, answer: JointAnswer, share: float
    ) -> None:
        """Fill the faces of a floor, first each category alone, and keep it if it is better."""
        assert answer.floor is not None
        self._tell("filling faces")
        fixed = fix(problem, answer.floor)
        money = problem.money_left(answer.floor.chosen, answer.floor.slat)
        filler = Filler(self._site, shown, fixed.faces, money)
        filling = filler.start(answer.blocks)
        names = self._site.scenario.categories
        effort = min(0.2, max(0.02, self._effort(0.06) / len(names)))
        for category in self._site.scenario.categories:
            filling = filler.refill(
                filling, [category], effort, 1, self._options.seed, self._stop, fixed_widths=True
            )
        self._note_first(filler, filling)
        filling = improve(
            filler,
            filling,
            self._effort(share),
            self._options.workers,
            self._options.seed,
            self._stop,
            self._whole_bound(),
            lambda better: self._note_first(filler, better),
        )
        if self._best is None or (
            filler.score(filling).key() > self._best.filler.score(self._best.filling).key()
        ):
            self._best = _Best(problem, fixed, filler, filling)
        self._tell("filling faces")

    def _note_first(self, filler: Filler, filling: Filling) -> None:
        if self._first is None and filler.score(filling).short == 0:
            self._first = time.monotonic() - self._began

    def _effort(self, share: float) -> float:
        # About what a slow core does of deterministic work in a second.
        work = share * self._options.seconds * EFFORT_PER_SECOND * self._options.workers
        return max(LEAST_EFFORT, work)

    def _improve(self) -> None:
        best = self._best
        if best is None or self._good_enough():
            return

        def tell(filling: Filling) -> None:
            best.filling = filling
            self._note_first(best.filler, filling)
            self._tell("filling faces better")

        best.filling = improve(
            best.filler,
            best.filling,
            self._effort(0.4),
            self._options.workers,
            self._options.seed,
            self._stop,
            self._whole_bound(),
            tell,
        )

    def _later_stages(self) -> None:
        best = self._best
        if best is None or self._stop.requested:
            return
        self._tell("value, then cost")
        names = self._site.scenario.categories
        effort = min(0.1, max(0.01, self._effort(0.05) / len(names)))
        for stage in ("second", "cost"):
            for category in self._site.scenario.categories:
                best.filling = best.filler.refill(
                    best.filling,
                    [category],
                    effort,
                    1,
                    self._options.seed,
                    self._stop,
                    fixed_widths=True,
                    stage=stage,
                )

    def _score(self) -> tuple[float, float, float, float]:
        assert self._best is not None
        score = self._best.filler.score(self._best.filling)
        return score.short, score.worth, score.second, score.cost

    def _short(self) -> float:
        return self._score()[0]

    def _gap(self) -> float | None:
        bound, worth = self._whole_bound(), self._score()[1]
        if not math.isfinite(bound):
            return None
        return max(0.0, (bound - worth) / bound) if bound > 0 else 0.0

    def _good_enough(self) -> bool:
        gap = self._gap()
        return self._short() == 0 and gap is not None and gap <= self._options.gap + 1e-9

    def _tell(self, stage: str) -> None:
        seconds = time.monotonic() - self._began
        if self._best is None:
            self._listener(Progress(stage, seconds))
            return
        filling = self._best.filling
        facings = sum(filling.facings.values())
        if self._short() > 0:
            # Bound and gap compare layouts that miss no minimum.
            self._listener(Progress(stage, seconds, facings))
            return
        self._listener(Progress(stage, seconds, facings, self._whole_bound(), self._gap()))

    def _no_layout(self) -> Solution:
        self._tell("finding out why nothing fits")
        clash: Clash = explain(self._site.scenario, self._options, self._stop)
        return Solution(outcome="no layout", clash=clash, stopped=self._stop.requested)

    def _layout(self) -> Layout:
        best = self._best
        assert best is not None
        layout = assemble(best.problem, best.fixed, best.filler, best.filling)
        return layout.model_copy(
            update={
                "proof": self._proof(best),
                "timing": Timing(
                    seconds=round(time.monotonic() - self._began, 3),
                    first_layout_seconds=None if self._first is None else round(self._first, 3),
                ),
            }
        )

    def _proof(self, best: _Best) -> Proof:
        short, worth, second, cost = self._score()
        gap, bound = self._gap(), self._whole_bound()
        names = (
            ("facings", "value")
            if self._site.brief.objective == "facings"
            else (
                "value",
                "facings",
            )
        )
        here = "the fixtures, slat-wall and block widths as placed; not proved for others"
        # The bound holds for layouts that miss no minimum.
        status: Status = "proved" if gap == 0 and short == 0 else "within gap"
        if self._stop.requested and gap != 0:
            status = "stopped"
        return Proof(
            status=status,
            objective=worth,
            bound=bound,
            gap=None if gap is None else round(gap, 6),
            grid=grid_in_words(self._site),
            rules=RULES,
            step_mm=self._site.step,
            candidates=len(best.problem.candidates),
            stages=(
                Stage(objective="minimums missed", value=short, bound=0.0, gap=None, scope="shop"),
                Stage(
                    objective=names[0], value=worth, bound=bound, gap=gap, scope="grid and rules"
                ),
                Stage(objective=names[1], value=round(second, 6), bound=None, gap=None, scope=here),
                Stage(
                    objective="cost of brackets and shelves, whole packs not counted",
                    value=round(cost, 4),
                    bound=None,
                    gap=None,
                    scope=here,
                ),
            ),
            seed=self._options.seed,
            workers=self._options.workers,
            effort=self._options.seconds,
            repeatable=self._repeatable and not self._stop.requested,
        )


def solve(
    scenario: Scenario, options: SolveOptions, *, listener: Listener, stop: StopFlag
) -> Solution:
    """Solve a scenario.

    Parameters
    ----------
    scenario
        What is given, free of faults.
    options
        Time budget, threads, seed and the gap that is good enough.
    listener
        Told of every step and every better layout; called from this thread.
    stop
        Raise it to end early with the best so far.

    Returns
    -------
    A layout without purchases, or the clash of wishes that leaves none.
    """
    return Search(scenario, options, listener, stop).run()
