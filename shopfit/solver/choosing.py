"""Chooses floors on which every front is reached."""

from __future__ import annotations

import math
import random
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from shopfit.model.options import SolveOptions
from shopfit.solver.candidates import Candidate
from shopfit.solver.conflicts import Cliques, cliques
from shopfit.solver.connect import Blockage, all_reached, blockages
from shopfit.solver.effort import Purse, most_nodes
from shopfit.solver.facevalue import FaceValue, brought
from shopfit.solver.facing import facing, largest_of
from shopfit.solver.floor import FloorProblem, floor_problem
from shopfit.solver.floorturns import FloorTurns
from shopfit.solver.joint import CUT_SHARE, ROOMY, JointProgram
from shopfit.solver.jointanswer import JointAnswer, Limits
from shopfit.solver.joints import joints
from shopfit.solver.partprogram import FloorRules
from shopfit.solver.range_display import Display
from shopfit.solver.site import Site
from shopfit.solver.widening import Widened, widened
from shopfit.solver.worth import Worth
from shopfit.stopping import StopFlag

# Gaps at which searches end: of a first floor, and a careful one of many positions; of one of few
# and of more; and of a bound.
FIRST_GAP = 0.05
CAREFUL_GAP = 0.005
MIDDLING_GAP = 0.02
PROVING_GAP = 0.0005
# Taken off every face in the search that chooses the floor: what ends of rows lose, mm.
REMAINDER_MM = 70.0
# Facings that a square metre of face to spare is worth when the floor is chosen.
SPARE_PER_M2 = 0.3
# Facings that a place is worth at which one face goes on in another, where categories are wished to
# stand in few blocks or to touch: of floors that show as much the one with room for that.
JOINED_FACINGS = 0.1
# Positions up to which a bound with whole positions is worth its time, and with more than which a
# floor is chosen with much less care.
MOST_TO_PROVE = 2500
MOST_TO_CHOOSE = 5000
# Positions up to which a first bound is there at once, and the bound may branch as much as the
# choice of a floor, not an eighth of it.
FEW_POSITIONS = 1000
# Lines, and ways to divide faces among all categories, up to which facings are whole in the bound,
# and how much more it may branch then.
MOST_WHOLE_LINES = 40
MOST_WHOLE_WAYS = 3000
WHOLE_NODES = 50
# Rounds of forbidding what closes a way, for each way of choosing the floor, and further rounds of
# the first one where the others show much less.
BLOCKAGE_ROUNDS = (3, 6, 12)
FURTHER_ROUNDS = 9
# The part of the seconds asked for after which no round begins once there is a floor, or more care
# comes next; as long as there is none; and the part in which ways are opened where none is found.
CHOOSING_SHARE = 0.1
PATIENT_SHARE = 0.2
OPENING_SHARE = 0.3
# A floor on which everything is reached is looked for with less care as well where it shows less
# than this part of the best floor, reached or not.
NEAR = 0.97
# Without islands, where its bound is for all floors, none that shows so much is bettered.
NEARLY_BEST = 0.99
# Positions of a floor taken away at once to place its parts anew: where islands keep aisles all
# round them, for then ways seldom close (in large shops that gains less); and where only the
# rules count.
APART_SIZES = (4, 8)
SIZES = (4, 8, 12)
APART_SHARE = 0.5


@dataclass(frozen=True)
class Chosen:
    """A floor that was chosen from some positions.

    Parameters
    ----------
    chooser, shown
        What it was chosen by, and how lines can be shown there.
    problem, answer
        Under what it was chosen, and the floor.
    """

    chooser: FloorChooser
    shown: Display
    problem: FloorProblem
    answer: JointAnswer

    @property
    def reached(self) -> bool:
        """Whether everything on it is reached."""
        floor = self.answer.floor
        return floor is not None and all_reached(self.problem, floor.chosen)

    def outshines(self, reached: Chosen) -> bool:
        """Say whether it is as good as one on which everything is reached."""
        return self.answer.value >= reached.answer.value and self.reached

    def bettered(self, seconds: float, stop: StopFlag, purse: Purse) -> Chosen:
        """Place parts of it anew for about so long; gives itself where nothing was gained."""
        before = self.chooser.worked
        answer = self.chooser.bettered(self.answer, seconds, stop)
        purse.spend(self.chooser.worked - before)
        return self if answer is self.answer else replace(self, answer=answer)


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
        self._turns: FloorTurns | None = None
        self.repeatable = True
        self.worked = 0.0

    @property
    def problem(self) -> FloorProblem:
        """The floor under the rules alone."""
        if self._problem is None:
            self._problem = floor_problem(self._site, self._found, cliques(self._found))
        return self._problem

    @property
    def _islands(self) -> bool:
        """Whether anything may stand free: a floor is chosen with more care then than rules ask."""
        return any(candidate.stands_free for candidate in self._found)

    @property
    def large(self) -> bool:
        """Whether a floor takes too long to be chosen with islands kept apart first."""
        return len(self._found) > MOST_TO_CHOOSE

    @property
    def small(self) -> bool:
        """Whether a bound with divisible positions takes hardly any time."""
        return len(self._found) <= FEW_POSITIONS

    @property
    def provable(self) -> bool:
        """Whether a bound with whole positions is worth its time."""
        return len(self._found) <= MOST_TO_PROVE

    @property
    def careful_gap(self) -> float:
        """The gap at which the search for a careful floor ends."""
        if self.small:
            return CAREFUL_GAP
        return MIDDLING_GAP if self.provable else FIRST_GAP

    def limits(self, gap: float) -> Limits:
        """Give the limits of a program: nodes are repeatable, the clock guards slow machines."""
        seconds = self._options.seconds
        entries = sum(len(group) for group in self.problem.cliques)
        nodes = most_nodes(seconds, entries)
        # Where money ties all floors together trying a branch out takes a second.
        trying = self.small or gap < CAREFUL_GAP or self._site.scenario.brief.budget is None
        given = nodes, gap, max(10.0, seconds), self._options.seed
        return Limits(*given, trying=trying)

    def choose(self, gap: float) -> tuple[FloorProblem, JointAnswer | None]:
        """Choose a floor on which everything is reached; none where there is none.

        First islands keep an aisle all round them, for then ways seldom close; then they keep off
        walls as well. Where that shows much less, more is forbidden of what closed ways at first;
        at last only the rules count. Without islands these count at first as well, and what faces
        one another across the shop keeps an aisle past corners in between. If all that fails, what
        closes ways is taken out or placed anew.

        Parameters
        ----------
        gap
            At which a search ends.

        Returns
        -------
        The best floor on which everything is reached; where none is found the last one.
        """
        most = -math.inf
        best: tuple[FloorProblem, JointAnswer] | None = None
        last: tuple[FloorProblem, JointAnswer | None] = self.problem, None
        programs: dict[int, JointProgram] = {}
        enough = self.worked + CHOOSING_SHARE * self._options.seconds
        patience = self.worked + PATIENT_SHARE * self._options.seconds
        for problem, rounds, last_resort in self._ways_of_choosing():
            program = programs.get(id(problem)) or self._program(problem)
            programs[id(problem)] = program
            work = patience if last_resort and best is None else enough
            answer, open_ways = self._place(problem, program, rounds, work, gap)
            if answer is None:
                continue
            last = problem, answer
            most = max(most, answer.value)
            if open_ways and (best is None or answer.value > best[1].value):
                best = problem, answer
            if self._stop.requested or (best is not None and _near(best[1].value, most)):
                break
        found = None if best is not None or last[1] is None else self._opened(last[1])
        return best or (last if found is None else (self.problem, found))

    def _opened(self, answer: JointAnswer) -> JointAnswer | None:
        """Open the ways of a floor if that can be done, by taking out and placing anew."""
        turns = self._floor_turns(self._stop)
        found = turns.opened(answer, OPENING_SHARE * self._options.seconds)
        self.worked += turns.worked
        self.repeatable &= turns.repeatable
        return found

    def _ways_of_choosing(self) -> Iterator[tuple[FloorProblem, int, bool]]:
        """Give the floors to choose from, with ever less care, rounds, and which want patience.

        These go on for longer as long as no floor is found.
        """
        if not self._islands:
            yield from self._along_walls()
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

    def _along_walls(self) -> Iterator[tuple[FloorProblem, int, bool]]:
        """Give the same without islands: at first and at last only the rules count."""
        yield self.problem, BLOCKAGE_ROUNDS[0], False
        apart = facing(self._found, self._site.brief.aisle)
        if apart:
            excluding = largest_of([*self.problem.cliques, *apart], len(self._found))
            yield floor_problem(self._site, self._found, excluding), BLOCKAGE_ROUNDS[1], True
        yield self.problem, BLOCKAGE_ROUNDS[2], True

    def _program(self, problem: FloorProblem) -> JointProgram:
        program = JointProgram(problem, self._display, self._worth, REMAINDER_MM, self._spare)
        self.forbid_known(program)
        rules = self._site.brief.merchandising
        if rules.blocks or rules.touch:
            program.prefer(joints(self._found), self._of_a_facing(JOINED_FACINGS))
        return program

    def forbid_known(self, program: JointProgram) -> None:
        """Forbid what is known to close a way whatever else stands, with any care."""
        for group in self._cut_off:
            program.exclude(group.members, group.most)

    def _of_a_facing(self, part: float) -> float:
        """Give a part of the worth of a facing, on average over all that are wanted."""
        lines = self._site.scenario.lines
        facings = sum(line.max_facings for line in lines)
        most = self._worth.most({line.line: line.max_facings for line in lines})
        return part * most / max(1, facings)

    @property
    def _spare(self) -> float:
        """Worth of a square metre of face to spare."""
        return self._of_a_facing(SPARE_PER_M2)

    def bettered(self, answer: JointAnswer, seconds: float, stop: StopFlag) -> JointAnswer:
        """Better a floor by placing its parts anew, if everything on it is reached.

        Parameters
        ----------
        answer, seconds
            The floor, and for about how long, s of a slow core.
        stop
            The stop flag: a first floor is chosen after a stop too, but not bettered.

        Returns
        -------
        A floor on which everything is reached, or the answer given.
        """
        if answer.floor is None or not all_reached(self.problem, answer.floor.chosen):
            return answer
        if not self._islands and _near(answer.value, answer.bound, NEARLY_BEST):
            return answer
        turns = self._turns
        if turns is None:
            turns = self._turns = self._floor_turns(stop)
        before = turns.worked
        if self._apart is not None and self.provable:
            apart = floor_problem(self._site, self._found, self._apart)
            rules, turns.rules = turns.rules, FloorRules(apart, CUT_SHARE)
            answer = turns.bettered(answer, APART_SIZES, APART_SHARE * seconds)
            turns.rules = rules
        answer = turns.bettered(answer, SIZES, seconds - (turns.worked - before))
        self.worked += turns.worked - before
        self.repeatable &= turns.repeatable
        return answer

    def _floor_turns(self, stop: StopFlag) -> FloorTurns:
        return FloorTurns(
            FloorRules(self.problem, CUT_SHARE),
            brought(self.problem, REMAINDER_MM, self._spare),
            FaceValue(self.problem, self._display, self._worth, ROOMY),
            [(group.members, group.most) for group in self._cut_off],
            random.Random(self._options.seed),
            stop,
        )

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
            self.forbid(problem, program, cut_off)
        return answer, False

    def relaxed_bound(self) -> float:
        """Bound what any floor could show, with divisible positions."""
        program = JointProgram(self.problem, self._display, self._worth, whole=False)
        bound = program.relaxed_bound(self._stop)
        self.worked += program.worked
        return bound

    def bounded(self) -> JointAnswer:
        """Bound what any floor could show, with whole positions and nothing added or taken off.

        The floor is one on which everything is reached, or none.
        """
        ways = sum(len(own) for own in self._display.patterns.values())
        whole = len(self._site.scenario.lines) <= MOST_WHOLE_LINES and ways <= MOST_WHOLE_WAYS
        program = JointProgram(self.problem, self._display, self._worth, whole_facings=whole)
        # What closes a way whatever else stands is in no layout that keeps the rules.
        self.forbid_known(program)
        limits = self.limits(PROVING_GAP)
        nodes = limits.nodes // (8 if len(self._found) > FEW_POSITIONS else 1)
        if whole:
            nodes = WHOLE_NODES * limits.nodes
        answer = program.solve(replace(limits, nodes=1 + nodes), self._stop)
        self.worked += answer.worked
        self.repeatable &= answer.finished
        if answer.floor is not None and not all_reached(self.problem, answer.floor.chosen):
            return replace(answer, floor=None)
        return answer

    def forbid(
        self, problem: FloorProblem, program: JointProgram, cut_off: Iterable[Blockage]
    ) -> None:
        """Forbid what closes ways, and what would close them in the same manner."""
        for shut in cut_off:
            wide = widened(problem, shut)
            program.exclude(wide.members, wide.most)
            if shut.lasting:
                self._cut_off.append(wide)


def _near(value: float, most: float, part: float = NEAR) -> bool:
    """Say whether a worth is near the most; both may be below nothing where minimums are missed."""
    return value >= most - (1 - part) * abs(most)
