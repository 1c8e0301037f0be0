"""Puts today's goods on a chosen floor and changes them until enough is shown."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from shopfit.model.options import SolveOptions
from shopfit.solver.effort import Purse, effort_of, seconds_of
from shopfit.solver.fill import Filler
from shopfit.solver.filling import Filling
from shopfit.solver.fixing import Fixed
from shopfit.solver.floor import FloorAnswer, FloorProblem
from shopfit.solver.improve import improve
from shopfit.solver.keeping import fix_standing
from shopfit.solver.mending import mend
from shopfit.solver.range_display import Display
from shopfit.solver.restock import one_program, restock, show_most
from shopfit.solver.resume import Resumed, filling_from
from shopfit.solver.reverting import Task, reverted
from shopfit.solver.standing import Standing
from shopfit.solver.worth import worth
from shopfit.stopping import StopFlag

# Work that even the smallest budget may do on one step.
LEAST_EFFORT = 0.05
# Parts of the seconds for a first program of all faces, and for showing more at last.
_FIRST_SHARE = 0.1
_LAST_SHARE = 0.1
# Every further program of all faces may do so many times the work of the one before.
_HARDER = 3.0


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
        self.purse = Purse(options.seconds)

    def _effort(self, share: float, workers: int) -> float:
        return max(LEAST_EFFORT, effort_of(share * self._options.seconds, workers))

    def restock(self, found: Found) -> None:
        """Reach the target with as few changed blocks as can be found."""
        if not self._in_one(found, self._effort(_FIRST_SHARE, 1), self._options.seed):
            self._mend(found, self._effort(0.5, self._options.workers))

    def _in_one(self, found: Found, effort: float, seed: int) -> bool:
        """Restock all faces in one program; says whether it reached the target."""
        near = found.filling if found.met else None
        got = restock(found.task, effort, seed, self._stop, near)
        self.purse.spend(seconds_of(got.work, 1))
        if got.least is not None:
            least = got.least + found.task.forced
            found.least_changes = max(least, found.least_changes or 0)
        if got.filling is None:
            return False
        changes = found.task.changes
        if not found.met or changes(got.filling) < changes(found.filling):
            found.filling = got.filling
        return True

    def change_fewer(self, found: Found, go_on: Callable[[], bool]) -> None:
        """Change fewer blocks with the rest of the seconds, until no fewer is proved."""
        if not one_program(found.task):
            left = effort_of(self.purse.left / 2, self._options.workers)
            if left >= LEAST_EFFORT:
                self._mend(found, left)
            return
        effort, seed = self._effort(_FIRST_SHARE, 1), self._options.seed
        while found.task.changes(found.filling) > (found.least_changes or 0) and go_on():
            effort, seed = _HARDER * effort, seed + 1
            rest = self.purse.left - _LAST_SHARE * self._options.seconds
            if effort_of(rest, 1) < LEAST_EFFORT:
                return
            self._in_one(found, min(effort, effort_of(rest, 1)), seed)

    def show_most(self, found: Found, kept_to: Callable[[Filling], bool]) -> None:
        """Show the most in the blocks that change anyway, as far as the budget allows."""
        for dearer in (True, False):
            effort, seed = self._effort(_LAST_SHARE, 1), self._options.seed
            got = show_most(found.task, found.filling, effort, seed, self._stop, dearer)
            self.purse.spend(seconds_of(got.work, 1))
            if got.filling is None or got.filling is found.filling:
                return
            if kept_to(got.filling):
                found.filling = got.filling
                return

    def _mend(self, found: Found, effort: float) -> None:
        options = self._options
        found.filling = mend(
            found.task,
            found.filling,
            effort,
            options.workers,
            options.seed,
            self._stop,
            self.purse,
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
        task = Task(filler, before.filling, self._aim, self._target, touched, cleared, before.lost)
        moves = self._now.moves.of(floor)
        return Found(floor, fixed, task, before, before.filling, moves)

    def improve(self, found: Found, share: float, goal: float) -> None:
        """Fill faces anew, a few at a time, until the goal or a share of the work is reached."""
        options = self._options
        found.filling = improve(
            found.task.filler,
            found.filling,
            self._effort(share, options.workers),
            options.workers,
            options.seed,
            self._stop,
            goal,
            lambda filling: None,
            self.purse,
        )

    def put_back(self, found: Found) -> None:
        """Undo changes of blocks that the target does not need."""
        workers, seed = self._options.workers, self._options.seed
        effort = self._effort(0.05, workers)
        found.filling = reverted(found.task, found.filling, effort, seed, self._stop)
        self._mend(found, self._effort(0.1, workers))
