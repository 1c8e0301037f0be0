"""The fewest moves away from what stands, or the most that so many moves can bring."""

from __future__ import annotations

import math
import time
from collections.abc import Collection, Iterator
from dataclasses import replace
from functools import partial

from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Clash, Listener, Progress, Solution
from shopfit.model.proof import Timing
from shopfit.model.scenario import Scenario
from shopfit.solver.candidates import positions
from shopfit.solver.conflicts import cliques
from shopfit.solver.connect import blockages
from shopfit.solver.counting import MoveProgram
from shopfit.solver.explain import explain
from shopfit.solver.filling import Filling
from shopfit.solver.floor import FloorAnswer, face_classes, floor_problem
from shopfit.solver.jointanswer import JointAnswer, Limits
from shopfit.solver.keeping import keep_written
from shopfit.solver.range_display import display
from shopfit.solver.rearranged import (
    Asked,
    Reached,
    many,
    not_reached,
    proof_of,
    standing_worth,
    too_few_moves,
    too_much,
)
from shopfit.solver.run import solve
from shopfit.solver.showing import Shower
from shopfit.solver.site import Site
from shopfit.solver.spending import MONEY_STEP, Bought, price_of
from shopfit.solver.standing import holdings, standing
from shopfit.solver.stocking import Found, Stocker
from shopfit.solver.worth import worth
from shopfit.stopping import StopFlag

# Taken off every face when a floor is chosen, mm, one try after the other: ends of rows lose some.
REMAINDERS_MM = (70.0, 0.0)
# Moves more than the fewest that are tried one by one before all that the floor can bring.
MOST_STEPS = 4
# Floors tried at most.
MOST_FLOORS = 6
# Below this no further floor is left out for want of time.
LEAST_SECONDS = 20.0
BLOCKAGE_ROUNDS = 12
# Positions wanted at most: on larger floors islands are tried farther apart.
MOST_POSITIONS = 10_000
# Gap at which a search for the most worth ends.
WORTH_GAP = 0.002
_WHOLE = 1e-6


class Rearranging:
    """One search for a rearrangement.

    Parameters
    ----------
    scenario, layout, asked
        What is given, what stands today, and what is wanted.
    options, listener, stop
        How hard to search, who listens and the stop flag.
    bought
        Gives a layout with what is bought for it; none where purchases are not counted.
    """

    def __init__(
        self,
        scenario: Scenario,
        layout: Layout,
        asked: Asked,
        options: SolveOptions,
        listener: Listener,
        stop: StopFlag,
        bought: Bought | None = None,
    ) -> None:
        self._began = time.monotonic()
        self._bought, self._price = bought, price_of(scenario, bought)
        self._asked, self._options = asked, options
        self._listener, self._stop = listener, stop
        self._site = Site(scenario)
        self._best: Found | None = None
        self._first: float | None = None
        self._repeatable = True
        self._forbidden: list[frozenset[int]] = []
        # Whether a set among them forbids what may be in order, so that it proves nothing.
        self._doubtful = False
        self._tell("setting out positions")
        # Rows of islands are left to a layout from nothing: each fixture counts as one move.
        found, spacing = positions(self._site, MOST_POSITIONS)
        self._spacing = replace(spacing, rows=())
        alone = [candidate for candidate in found if candidate.row == 1]
        self._now = standing(self._site, layout, alone)
        every = self._now.candidates
        self._shown = display(self._site, face_classes(every), holdings(self._now))
        self._problem = floor_problem(self._site, every, cliques(every))
        self._aim = worth(scenario)
        self._base = standing_worth(scenario, layout)
        self._target = 0.0 if asked.gain is None else self._base + asked.gain
        self._stocker = Stocker(self._problem, self._now, self._shown, options, stop, self._target)
        self._least: int = 0
        self._worth_bound = math.inf

    def run(self) -> Solution:
        """Search, and give the layout, or say why there is none."""
        refused = self._most() if self._asked.most_worth else self._fewest()
        if refused is not None:
            return Solution(outcome="no layout", clash=refused, stopped=self._stop.requested)
        return Solution(outcome="layout", layout=self._layout(), stopped=self._stop.requested)

    def _program(self, remainder: float = 0.0, whole: bool = True) -> MoveProgram:
        program = MoveProgram(self._problem, self._shown, self._aim, remainder, whole=whole)
        for group in self._forbidden if whole else ():
            program.exclude(group)
        return program

    def _limits(self, gap: float) -> Limits:
        seconds = self._options.seconds
        nodes = 1 + int(8 * seconds)
        return Limits(nodes, gap, max(20.0, seconds), self._options.seed, presolve=False)

    def _solved(self, program: MoveProgram, gap: float) -> JointAnswer:
        """Solve a program, forbidding what closes a way as it turns up.

        An answer without a floor says that there is none, or that none was found. Where a set
        that does not last was forbidden, the bound is that of the search before.
        """
        proved = -math.inf if program.fewer else math.inf
        for _ in range(BLOCKAGE_ROUNDS):
            answer = program.solve(self._limits(gap), self._stop)
            self._stocker.purse.spend(answer.worked)
            if self._doubtful:
                answer = replace(answer, bound=proved, impossible=False)
            proved = answer.bound
            self._repeatable &= answer.finished
            if answer.floor is None:
                return answer
            found = blockages(self._problem, answer.floor)
            if not found:
                return answer
            self._doubtful |= not all(group.lasting for group in found)
            closed = [group - {-1} for group in found]
            for group in closed:
                program.exclude(group)
            self._forbidden += closed
        return JointAnswer(None, bound=answer.bound, finished=answer.finished)

    def _fewest(self) -> Clash | None:
        """Reach the target with the fewest moves; gives a clash where that cannot be."""
        answer = self._count(self._target)
        if answer.impossible:
            return self._impossible()
        limit = self._asked.most_moves
        if limit is not None and self._least > limit:
            return too_few_moves(self._asked, self._least, self._now.lost)
        for number, placed in enumerate(self._floors(answer), 1):
            self._stock(placed)
            met = self._best is not None and self._best.met
            if met or number == MOST_FLOORS or self._stop.requested or self._too_late():
                break
        if self._best is not None and self._best.met:
            self._settle(self._best)
        return self._unless_met()

    def _settle(self, best: Found) -> None:
        """Change fewer blocks while there are seconds left, then show the most in those."""
        self._tell("changing fewer blocks")
        self._stocker.change_fewer(best, lambda: not (self._stop.requested or self._too_late()))
        if not self._stop.requested:
            self._tell("filling blocks that change")
            self._stocker.show_most(best, partial(self._affordable, best))

    def _affordable(self, best: Found, filling: Filling) -> bool:
        """Say whether a filling keeps to the budget in whole sheets and packs, or is no dearer."""
        budget = self._site.brief.budget
        if self._price is None or budget is None:
            return True
        limit = max(budget, self._price(self._written(best, best.filling)))
        return self._price(self._written(best, filling)) <= limit + MONEY_STEP

    def _written(self, found: Found, filling: Filling) -> Layout:
        filler = found.task.filler
        return keep_written(self._problem, self._now, found.fixed, filler, filling, found.before)

    def _too_late(self) -> bool:
        """Say whether a slow machine has used far more time than was given."""
        late = time.monotonic() - self._began > max(LEAST_SECONDS, 2 * self._options.seconds)
        self._repeatable &= not late
        return late

    def _count(self, worth: float) -> JointAnswer:
        """Find the fewest moves to a floor that could show so much, and bound them."""
        self._tell("counting the fewest moves")
        program = self._program()
        program.at_least(worth)
        program.fewest(self._now.moves)
        answer = self._solved(program, 0.0)
        if math.isfinite(answer.bound):
            self._least = max(0, math.ceil(answer.bound - _WHOLE))
        return answer

    def _floors(self, answer: JointAnswer) -> Iterator[JointAnswer]:
        """Give floors with ever more moves, of each number some that can show most."""
        tried: set[FloorAnswer] = set()
        count, limit = self._now.moves, self._asked.most_moves
        for more in (*range(MOST_STEPS), None):
            moves = limit if more is None else self._least + more
            if moves is not None and limit is not None and moves > limit:
                return
            known, most = answer.floor, math.inf if moves is None else moves
            if known is not None and known not in tried and count.of(known) <= most:
                tried.add(known)
                yield answer
            for remainder in REMAINDERS_MM:
                found = self._placed(moves, remainder, tried)
                if found.floor is not None and found.floor not in tried:
                    tried.add(found.floor)
                    yield found

    def _placed(
        self, moves: int | None, remainder: float, but: Collection[FloorAnswer] = ()
    ) -> JointAnswer:
        """Choose the floor that can show most with at most so many moves, other than some."""
        told = "any number of moves" if moves is None else many(moves, "move") + " at most"
        self._tell(f"placing fixtures, {told}")
        program = self._program(remainder)
        if moves is not None:
            program.at_most(moves, self._now.moves)
        for floor in but:
            program.exclude(floor.chosen)
        return self._solved(program, WORTH_GAP)

    def _stock(self, placed: JointAnswer) -> None:
        """Put goods on a floor, changing as few blocks as the target allows."""
        assert placed.floor is not None
        found = self._stocker.taken_up(placed.floor)
        self._tell("changing blocks")
        self._stocker.restock(found)
        for anew in (False, True):
            if found.met or self._stop.requested:
                break
            self._tell("filling faces anew")
            if anew:
                found.filling = found.task.filler.start(placed.blocks)
            self._stocker.improve(found, 0.1, self._target)
            if found.met:
                self._stocker.put_back(found)
            else:
                self._keep(found)
        self._keep(found)

    def _keep(self, found: Found) -> None:
        if self._best is None or found.key() > self._best.key():
            self._best = replace(found)
        if self._first is None and found.met:
            self._first = time.monotonic() - self._began

    def _most(self) -> Clash | None:
        """Show the most that so many moves allow; gives a clash where they are too few."""
        # Without a remainder first, for that gives the bound.
        for remainder in reversed(REMAINDERS_MM):
            answer = self._placed(self._asked.most_moves, remainder)
            if remainder == 0.0:
                self._worth_bound = answer.bound
            if answer.impossible:
                break
            if answer.floor is not None and not self._known(answer.floor):
                found = self._stocker.taken_up(answer.floor)
                self._stocker.restock(found)
                found.least_changes = None
                self._tell("filling faces anew")
                self._stocker.improve(found, 0.3, self._whole_bound())
                found.worth_first = True
                self._keep(found)
        best = self._best
        if best is None or not best.met:
            if self._count(0.0).impossible:
                return self._impossible()
            if self._least > (self._asked.most_moves or 0):
                return too_few_moves(self._asked, self._least, self._now.lost)
            return self._unless_met()
        # The same worth with fewer blocks changed.
        worth = best.task.filler.score(best.filling).worth
        best.task = replace(best.task, target=worth)
        self._stocker.put_back(best)
        return None

    def _known(self, floor: FloorAnswer) -> bool:
        return self._best is not None and self._best.floor == floor

    def _unless_met(self) -> Clash | None:
        """Give no clash where the target is reached, or a stop left something to keep."""
        best = self._best
        if best is not None and (best.met or self._stop.requested):
            return None
        if best is None:
            return not_reached(self._site.scenario, self._target, None, ())
        filler = best.task.filler
        shown = filler.score(best.filling).worth
        short = [line.line for line in filler.short_lines(best.filling)]
        return not_reached(self._site.scenario, self._target, shown, short)

    def _impossible(self) -> Clash:
        """Say why no number of moves is enough."""
        self._tell("finding out why nothing fits")
        scenario = self._site.scenario
        if self._asked.gain is not None:
            program = self._program()
            program.at_least(0.0)
            answer = self._solved(program, WORTH_GAP)
            if not answer.impossible and math.isfinite(answer.bound):
                return too_much(scenario, self._base, self._asked.gain, answer.bound)
        return explain(scenario, self._options, self._stop, Shower(solve, self._bought))

    def _whole_bound(self) -> float:
        if self._aim.whole and math.isfinite(self._worth_bound):
            return math.floor(self._worth_bound + _WHOLE)
        return self._worth_bound

    def _tell(self, stage: str) -> None:
        seconds, facings = time.monotonic() - self._began, None
        if self._best is not None:
            facings = sum(self._best.filling.facings.values())
        self._listener(Progress(stage, seconds, facings))

    def _layout(self) -> Layout:
        best = self._best
        assert best is not None
        layout = self._written(best, best.filling)
        if not math.isfinite(self._worth_bound):
            program = self._program(whole=False)
            program.at_most(best.moves, self._now.moves)
            self._worth_bound = program.relaxed_bound()
        reached = Reached(
            best.task.filler.score(best.filling),
            self._whole_bound(),
            best.moves,
            None if self._asked.most_worth else self._least,
            best.task.changes(best.filling),
            best.least_changes,
            self._base,
            self._spacing,
        )
        timing = Timing(
            seconds=round(time.monotonic() - self._began, 3),
            first_layout_seconds=None if self._first is None else round(self._first, 3),
        )
        repeatable = self._repeatable and not self._stop.requested
        proof = proof_of(self._site, self._asked, self._options, reached, self._stop.requested)
        update = {
            "candidates": len(self._problem.candidates),
            "repeatable": repeatable,
        }
        return layout.model_copy(
            update={"proof": proof.model_copy(update=update), "timing": timing}
        )


def rearrange(
    scenario: Scenario,
    layout: Layout,
    options: SolveOptions,
    *,
    gain: float | None = None,
    most_moves: int | None = None,
    listener: Listener,
    stop: StopFlag,
    bought: Bought | None = None,
) -> Solution:
    """Rearrange a layout that stands.

    Parameters
    ----------
    scenario, layout
        What is given, free of faults, and what stands today; the layout may have been made for
        another range, catalogue or shell.
    options
        Time budget, threads and seed.
    gain, most_moves
        See `Asked`: worth to be gained, in facings or value as the brief counts, and most moves.
    listener, stop
        Told of every step, and raised to end early.
    bought
        Gives a layout with what is bought for it; without it purchases are not counted.

    Returns
    -------
    A layout without purchases, or why there is none.
    """
    asked = Asked(gain, most_moves)
    return Rearranging(scenario, layout, asked, options, listener, stop, bought).run()
