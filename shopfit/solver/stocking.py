"""Puts today's goods on a chosen floor and changes them until enough is shown."""

from __future__ import annotations

from dataclasses import dataclass

from shopfit.model.options import SolveOptions
from shopfit.solver.fill import Filler
from shopfit.solver.filling import Filling
from shopfit.solver.fixing import Fixed
from shopfit.solver.floor import FloorAnswer, FloorProblem
from shopfit.solver.improve import improve
from shopfit.solver.keeping import fix_standing
from shopfit.solver.mending import mend
from shopfit.solver.range_display import Display
from shopfit.solver.restock import restock
from shopfit.solver.resume import Resumed, filling_from
from shopfit.solver.reverting import Task, reverted
from shopfit.solver.standing import Standing
from shopfit.solver.worth import worth
from shopfit.stopping import StopFlag

EFFORT_PER_SECOND = 0.12
# Work that even the smallest budget may do on one step.
LEAST_EFFORT = 0.05


@dataclass
class Found:
    """A floor with its goods.

    Parameters
    ----------
    floor, fixed, moves
        The positions, with tags, and the moves that they take.
    task, before, filling
        What is asked of the goods, how today's stand on these faces, and how they shall stand.
    least_changes
        Fewest blocks that must change on this floor; none where not proved.
    worth_first
        Whether the most worth is wanted, and not the fewest changes.
    """

    floor: FloorAnswer
    fixed: Fixed
    task: Task
    before: Resumed
    filling: Filling
    moves: int
    least_changes: int | None = None
    worth_first: bool = False

    @property
    def met(self) -> bool:
        """Whether it reaches what is asked for."""
        return self.task.met_by(self.filling)

    def key(self) -> tuple[float, ...]:
        """Order what was found: larger is better."""
        score = self.task.filler.score(self.filling)
        if not self.met:
            return (0.0, -score.short, score.worth)
        if self.worth_first:
            return (1.0, *score.key())
        return (1.0, -self.moves, -self.task.changes(self.filling), score.worth)


class Stocker:
    """Puts goods on floors.

    Parameters
    ----------
    problem, now, shown
        The floor, what stands today, and how lines can be shown.
    options, stop, target
        How hard to search, the stop flag, and the worth to be reached.
    """

    def __init__(
        self,
        problem: FloorProblem,
        now: Standing,
        shown: Display,
        options: SolveOptions,
        stop: StopFlag,
        target: float,
    ) -> None:
        self._problem, self._now, self._shown = problem, now, shown
        self._options, self._stop, self._target = options, stop, target
        self._aim = worth(problem.site.scenario)

    def _effort(self, share: float) -> float:
        work = share * self._options.seconds * EFFORT_PER_SECOND * self._options.workers
        return max(LEAST_EFFORT, work)

    def restock(self, found: Found) -> None:
        """Reach the target with as few changed blocks as can be found."""
        options = self._options
        got = restock(found.task, self._effort(0.05), options.workers, options.seed, self._stop)
        if got.filling is not None:
            found.filling = got.filling
            found.least_changes = None if got.least is None else got.least + found.task.forced
        else:
            self._mend(found, 0.5)

    def _mend(self, found: Found, share: float) -> None:
        options = self._options
        found.filling = mend(
            found.task,
            found.filling,
            self._effort(share),
            options.workers,
            options.seed,
            self._stop,
        )

    def taken_up(self, floor: FloorAnswer) -> Found:
        """Put today's goods on a floor as they are."""
        problem, layout = self._problem, self._now.layout
        fixed = fix_standing(problem, self._now, floor)
        money = problem.money_left(floor.chosen, floor.slat)
        filler = Filler(self._problem.site, self._shown, fixed.faces, money)
        before = filling_from(layout, self._problem.site, fixed, self._shown, money)
        lost = {dropped.tag for dropped in before.dropped}
        touched = frozenset(b for b, tag in enumerate(before.blocks) if tag in lost)
        cleared = len(layout.blocks) - len(before.blocks)
        task = Task(filler, before.filling, self._aim, self._target, touched, cleared)
        moves = self._now.moves.of(floor)
        return Found(floor, fixed, task, before, before.filling, moves)

    def improve(self, found: Found, share: float, goal: float) -> None:
        """Fill faces anew, a few at a time, until the goal or a share of the work is reached."""
        options = self._options
        found.least_changes = None
        found.filling = improve(
            found.task.filler,
            found.filling,
            self._effort(share),
            options.workers,
            options.seed,
            self._stop,
            goal,
            lambda filling: None,
        )

    def put_back(self, found: Found) -> None:
        """Undo changes of blocks that the target does not need."""
        effort, seed = self._effort(0.05), self._options.seed
        found.filling = reverted(found.task, found.filling, effort, seed, self._stop)
        self._mend(found, 0.1)
