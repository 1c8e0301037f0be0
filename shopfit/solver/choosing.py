"""Chooses floors on which every front is reached."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from shopfit.model.options import SolveOptions
from shopfit.solver.candidates import Candidate
from shopfit.solver.conflicts import Cliques, cliques
from shopfit.solver.connect import blockages
from shopfit.solver.floor import FloorProblem, floor_problem
from shopfit.solver.joint import JointProgram
from shopfit.solver.jointanswer import JointAnswer, Limits
from shopfit.solver.range_display import Display
from shopfit.solver.site import Site
from shopfit.solver.widening import Widened, widened
from shopfit.solver.worth import Worth
from shopfit.stopping import StopFlag

# Taken off every face in the search that chooses the floor: what ends of rows lose, mm.
REMAINDER_MM = 70.0
# Facings that a square metre of face to spare is worth when the floor is chosen.
SPARE_PER_M2 = 0.3
# Positions up to which a bound with whole positions is worth its time, and with more than which a
# floor is chosen less finely, and with much less care.
MOST_TO_PROVE = 2500
MOST_TO_CHOOSE = 5000
# Positions up to which the bound may branch twice as much.
FEW_POSITIONS = 1000
# Lines up to which facings are whole in the bound, and how much more it may branch then.
MOST_WHOLE_LINES = 40
WHOLE_NODES = 50
# Rounds of forbidding what closes a way, for each way of choosing the floor.
BLOCKAGE_ROUNDS = (3, 6, 12)


class FloorChooser:
    """Chooses floors from one set of positions.

    Parameters
    ----------
    site, found, shown
        The shop, the positions, and how lines can be shown.
    worth
        What facings are worth.
    options, stop
        How hard to search, and the stop flag.

    Attributes
    ----------
    repeatable
        Whether no clock has ended a search so far.
    worked
        What searches have cost so far, s of a slow core.
    """

    def __init__(
        self,
        site: Site,
        found: Sequence[Candidate],
        shown: Display,
        worth: Worth,
        options: SolveOptions,
        stop: StopFlag,
    ) -> None:
        self._site, self._found, self._display = site, found, shown
        self._worth, self._options, self._stop = worth, options, stop
        self._apart: Cliques | None = None
        self._cut_off: list[Widened] = []
        self._problem: FloorProblem | None = None
        self.repeatable = True
        self.worked = 0.0

    @property
    def problem(self) -> FloorProblem:
        """The floor under the rules alone."""
        if self._problem is None:
            self._problem = floor_problem(self._site, self._found, cliques(self._found))
        return self._problem

    @property
    def large(self) -> bool:
        """Whether a floor takes too long to be chosen with all care."""
        return len(self._found) > MOST_TO_CHOOSE

    @property
    def provable(self) -> bool:
        """Whether a bound with whole positions is worth its time."""
        return len(self._found) <= MOST_TO_PROVE

    def limits(self, gap: float) -> Limits:
        """Give the limits of a program: nodes are repeatable, the clock guards slow machines."""
        seconds = self._options.seconds
        return Limits(1 + int(4 * seconds), gap, max(10.0, seconds), self._options.seed)

    def choose(self, gap: float) -> tuple[FloorProblem, JointAnswer | None]:
        """Choose a floor on which everything is reached; none where there is none.

        First islands keep an aisle all round them, for then ways seldom close; then they keep off
        walls as well; at last only the rules count, and what closes a way is forbidden as it
        turns up.
        """
        best = None
        problem = self.problem
        for problem, rounds in self._ways_of_choosing():
            answer, open_ways = self._place(problem, rounds, gap)
            if answer is not None and (open_ways or self._stop.requested):
                return problem, answer
            best = answer
        return problem, best

    def _ways_of_choosing(self) -> Iterator[tuple[FloorProblem, int]]:
        """Give the floors to choose from, with ever less care, and the rounds that each has."""
        if not any(candidate.stands_free for candidate in self._found):
            yield self.problem, sum(BLOCKAGE_ROUNDS)
            return
        if self._apart is None:
            self._apart = cliques(self._found, careful=True)
        if not self.large:  # Large floors have room to go round every island.
            yield floor_problem(self._site, self._found, self._apart), BLOCKAGE_ROUNDS[0]
        careful = floor_problem(self._site, self._found, self._apart, careful=True)
        yield careful, BLOCKAGE_ROUNDS[1]
        yield self.problem, BLOCKAGE_ROUNDS[2]

    def _place(
        self, problem: FloorProblem, rounds: int, gap: float
    ) -> tuple[JointAnswer | None, bool]:
        """Place fixtures, forbidding what closes a way; say whether all ways are open at last."""
        lines = self._site.scenario.lines
        facings = sum(line.max_facings for line in lines)
        most = self._worth.most({line.line: line.max_facings for line in lines})
        spare = SPARE_PER_M2 * most / max(1, facings)
        program = JointProgram(problem, self._display, self._worth, REMAINDER_MM, spare)
        # What closes a way whatever else stands does so with any care.
        for group in self._cut_off:
            program.exclude(group.members, group.most)
        answer = None
        for _ in range(rounds):
            found = program.solve(self.limits(gap), self._stop)
            self.worked += found.worked
            self.repeatable &= found.finished
            if found.impossible:
                return None, False
            if found.floor is None:
                return answer, False
            answer = found
            cut_off = blockages(problem, found.floor)
            if not cut_off:
                return answer, True
            for shut in cut_off:
                wide = widened(problem, shut)
                program.exclude(wide.members, wide.most)
                if shut.lasting:
                    self._cut_off.append(wide)
        return answer, False

    def relaxed_bound(self) -> float:
        """Bound what any floor could show, with divisible positions."""
        program = JointProgram(self.problem, self._display, self._worth, whole=False)
        bound = program.relaxed_bound(self._stop)
        self.worked += program.worked
        return bound

    def bounded(self, gap: float) -> JointAnswer:
        """Bound what any floor could show, with whole positions and nothing added or taken off."""
        whole = len(self._site.scenario.lines) <= MOST_WHOLE_LINES
        program = JointProgram(self.problem, self._display, self._worth, whole_facings=whole)
        # What closes a way whatever else stands is in no layout that keeps the rules.
        for group in self._cut_off:
            program.exclude(group.members, group.most)
        limits = self.limits(gap)
        nodes = limits.nodes // (8 if len(self._found) > FEW_POSITIONS else 2)
        if whole:
            nodes = WHOLE_NODES * limits.nodes
        limits = replace(limits, nodes=1 + nodes)
        answer = program.solve(limits, self._stop)
        self.worked += answer.worked
        self.repeatable &= answer.finished
        return answer
