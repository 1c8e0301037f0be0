"""What a peer asks of a solver, and the rounds in which what closes a way is forbidden."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from typing import Protocol

from shopfit.solver.peers.answers import Course, Values
from shopfit.solver.peers.program import SHORTFALL_WEIGHT, GoodsProgram, Row

# Part of the seconds that a search goes on after its best answer was found to close a way; a
# better one often follows, and starting anew costs all that was learnt.
PATIENCE_SHARE = 0.1


class End(Enum):
    """How a search ended."""

    PROVED = "proved"
    IMPOSSIBLE = "impossible"
    LIMIT = "limit"


@dataclass(frozen=True)
class Ears:
    """What a search tells and asks while it runs.

    Parameters
    ----------
    answer
        Told of each better answer, with its worth and values.
    bound
        Told of each better bound.
    enough
        Asked every moment whether to end.
    """

    answer: Callable[[float, Values], None]
    bound: Callable[[float], None]
    enough: Callable[[], bool]


class Engine(Protocol):
    """A solver that a program was handed to."""

    def solve(self, seconds: float, ears: Ears) -> End:
        """Search for at most so many seconds."""

    def add(self, row: Row) -> None:
        """Add a row before the next search."""


class Rounds:
    """Searches again and again until the best answer leaves every way open.

    Parameters
    ----------
    program, engine
        The program, and the solver that has it.
    bounding
        Whether bounds of the program hold for every layout.

    Attributes
    ----------
    decent
        Whether the best answer with open ways misses no minimum, by the program's own count.
    """

    def __init__(self, program: GoodsProgram, engine: Engine, bounding: bool) -> None:
        self._program, self._engine, self._bounding = program, engine, bounding
        self._course: Course = program.course
        self._closing: dict[frozenset[int], bool] = {}
        self._waiting: float | None = None
        self._until = 0.0
        self.decent = False

    def run(self, seconds: float, at_most: float | None = None) -> End:
        """Search for so many seconds, all rounds together.

        Parameters
        ----------
        seconds
            After which to end.
        at_most
            Seconds after which to end where the best answer misses minimums until then; the same
            if left out.

        Returns
        -------
        How the last round ended.
        """
        self._until = self._course.seconds + seconds
        longest = seconds if at_most is None else max(seconds, at_most)
        until = self._course.seconds + min(longest, self._course.left)
        end = End.LIMIT
        while self._course.seconds < until and not self._course.proved:
            self._closing, self._waiting = {}, None
            ears = Ears(self._hear, self._prove, self._enough)
            end = self._engine.solve(until - self._course.seconds, ears)
            if not self._closing or self._waiting is None:
                break
            for together in sorted(self._closing, key=sorted):
                self._engine.add(self._program.forbidding(together))
            self._bounding = self._bounding and all(self._closing.values())
            end = End.LIMIT
        return end

    def _prove(self, bound: float) -> None:
        if self._bounding:
            self._course.prove(bound)

    def _hear(self, worth: float, value: Values) -> None:
        # A single minimum missed weighs more than half of this, whatever else is shown.
        decent = worth > -SHORTFALL_WEIGHT / 2 * self._program.dearest
        floor = self._program.floor(value)
        if self._course.reachable(floor.chosen):
            self._program.offer(floor, value)
            self._waiting, self.decent = None, decent
            return
        self._closing.update(self._course.closing(floor.chosen))
        if self._waiting is None:
            self._waiting = self._course.seconds

    def _enough(self) -> bool:
        if self._course.left <= 0 or self._course.proved:
            return True
        if self.decent and self._course.seconds > self._until:
            return True
        patience = PATIENCE_SHARE * self._course.options.seconds
        return self._waiting is not None and self._course.seconds > self._waiting + patience
