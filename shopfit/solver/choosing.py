"""Chooses floors on which every front is reached."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from shopfit.model.options import SolveOptions
from shopfit.solver.candidates import Candidate
from shopfit.solver.conflicts import Cliques, cliques
from shopfit.solver.connect import Blockage, blockages
from shopfit.solver.effort import node_seconds
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
# Positions up to which a first bound is there at once, and the bound may branch as much as the
# choice of a floor, not an eighth of it.
FEW_POSITIONS = 1000
# Lines up to which facings are whole in the bound, and how much more it may branch then.
MOST_WHOLE_LINES = 40
WHOLE_NODES = 50
# Nodes of a search for each second asked for, and the part of these that nodes may take.
NODES_PER_SECOND = 4.0
NODES_SHARE = 0.3
# Rounds of forbidding what closes a way, for each way of choosing the floor, and further rounds of
# the first one where the others show much less.
BLOCKAGE_ROUNDS = (3, 6, 12)
FURTHER_ROUNDS = 9
# The part of the seconds asked for after which no round begins once there is a floor, or where one
# is found with more care next.
CHOOSING_SHARE = 0.4
# A floor on which everything is reached is looked for with less care as well where it shows less
# than this part of the best floor, reached or not.
NEAR = 0.97


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
    def small(self) -> bool:
        """Whether a bound with divisible positions takes hardly any time."""
        return len(self._found) <= FEW_POSITIONS

    @property
    def provable(self) -> bool:
        """Whether a bound with whole positions is worth its time."""
        return len(self._found) <= MOST_TO_PROVE

    def limits(self, gap: float) -> Limits:
        """Give the limits of a program: nodes are repeatable, the clock guards slow machines."""
        seconds = self._options.seconds
        entries = sum(len(group) for group in self.problem.cliques)
        nodes = min(NODES_PER_SECOND, NODES_SHARE / node_seconds(entries)) * seconds
        return Limits(1 + int(nodes), gap, max(10.0, seconds), self._options.seed)

    def choose(self, gap: float) -> tuple[FloorProblem, JointAnswer | None]:
        """Choose a floor on which everything is reached; none where there is none.

        First islands keep an aisle all round them, for then ways seldom close; then they keep off
        walls as well. Where that shows much less, more is forbidden of what closed ways at first;
        at last only the rules count.
        """
        most = -math.inf
        best: tuple[FloorProblem, JointAnswer] | None = None
        last: tuple[FloorProblem, JointAnswer | None] = self.problem, None
        programs: dict[int, JointProgram] = {}
        enough = self.worked + CHOOSING_SHARE * self._options.seconds
        for problem, rounds, needed in self._ways_of_choosing():
            program = programs.get(id(problem)) or self._program(problem)
            programs[id(problem)] = program
            work = math.inf if needed and best is None else enough
            answer, open_ways = self._place(problem, program, rounds, work, gap)
            last = problem, answer
            if answer is None:
                continue
            most = max(most, answer.value)
            if open_ways and (best is None or answer.value > best[1].value):
                best = problem, answer
            if self._stop.requested or (best is not None and _near(best[1].value, most)):
                break
        return last if best is None else best

    def _ways_of_choosing(self) -> Iterator[tuple[FloorProblem, int, bool]]:
        """Give the floors to choose from, with ever less care, rounds, and whether one is needed.

        Where one is needed rounds go on as long as there is no floor, whatever they cost.
        """
        if not any(candidate.stands_free for candidate in self._found):
            yield self.problem, sum(BLOCKAGE_ROUNDS), True
            return
        if self._apart is None:
            self._apart = cliques(self._found, careful=True)
        apart = None
        if not self.large:  # Large floors have room to go round every island.
            apart = floor_problem(self._site, self._found, self._apart)
            yield apart, BLOCKAGE_ROUNDS[0], False
        careful = floor_problem(self._site, self._found, self._apart, careful=True)
        yield careful, BLOCKAGE_ROUNDS[1], True
        if apart is not None:
            yield apart, FURTHER_ROUNDS, False
        yield self.problem, BLOCKAGE_ROUNDS[2], True

    def _program(self, problem: FloorProblem) -> JointProgram:
        lines = self._site.scenario.lines
        facings = sum(line.max_facings for line in lines)
        most = self._worth.most({line.line: line.max_facings for line in lines})
        spare = SPARE_PER_M2 * most / max(1, facings)
        program = JointProgram(problem, self._display, self._worth, REMAINDER_MM, spare)
        # What closes a way whatever else stands does so with any care.
        for group in self._cut_off:
            program.exclude(group.members, group.most)
        return program

    def _place(
        self, problem: FloorProblem, program: JointProgram, rounds: int, work: float, gap: float
    ) -> tuple[JointAnswer | None, bool]:
        """Place fixtures, forbidding what closes a way; say whether all ways are open at last."""
        answer = None
        for _ in range(rounds):
            if self.worked > work:
                break
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
            self._forbid(problem, program, cut_off)
        return answer, False

    def relaxed_bound(self) -> float:
        """Bound what any floor could show, with divisible positions."""
        program = JointProgram(self.problem, self._display, self._worth, whole=False)
        bound = program.relaxed_bound(self._stop)
        self.worked += program.worked
        return bound

    def bounded(self, gap: float, work: float) -> JointAnswer:
        """Bound what any floor could show, with whole positions and nothing added or taken off.

        The floor is one on which everything is reached, or none.

        Parameters
        ----------
        gap
            At which the search ends.
        work
            After which no further floor is looked for, s of a slow core.
        """
        whole = len(self._site.scenario.lines) <= MOST_WHOLE_LINES
        program = JointProgram(self.problem, self._display, self._worth, whole_facings=whole)
        # What closes a way whatever else stands is in no layout that keeps the rules.
        for group in self._cut_off:
            program.exclude(group.members, group.most)
        limits = self.limits(gap)
        nodes = limits.nodes // (8 if len(self._found) > FEW_POSITIONS else 1)
        if whole:
            nodes = WHOLE_NODES * limits.nodes
        limits = replace(limits, nodes=1 + nodes)
        first = answer = program.solve(limits, self._stop)
        worked, finished, floor = first.worked, first.finished, None
        while answer.floor is not None:
            cut_off = blockages(self.problem, answer.floor)
            if not cut_off:
                floor = answer.floor
            if not cut_off or worked >= work or self._stop.requested:
                break
            self._forbid(self.problem, program, cut_off)
            answer = program.solve(limits, self._stop)
            worked += answer.worked
            finished &= answer.finished
        self.worked += worked
        self.repeatable &= finished
        return replace(first, floor=floor, blocks=answer.blocks, worked=worked)

    def _forbid(
        self, problem: FloorProblem, program: JointProgram, cut_off: Iterable[Blockage]
    ) -> None:
        """Forbid what closes ways."""
        for shut in cut_off:
            wide = widened(problem, shut)
            program.exclude(wide.members, wide.most)
            if shut.lasting:
                self._cut_off.append(wide)


def _near(value: float, most: float) -> bool:
    """Say whether a worth is near the most; both may be below nothing where minimums are missed."""
    return value >= most - (1 - NEAR) * abs(most)
