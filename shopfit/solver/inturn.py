"""Fills a few of many faces anew, again and again, at prices that lead to full faces."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import cache, partial
from threading import Thread

from shopfit.solver.effort import Purse
from shopfit.solver.facearrays import BEST, FaceArrays, no_floor
from shopfit.solver.faceloops import bench
from shopfit.solver.fill import Filler
from shopfit.solver.filling import Filling
from shopfit.solver.lineprices import size_prices
from shopfit.solver.turns import draws, turn
from shopfit.stopping import StopFlag

# A facing or unit missing from a minimum counts as much as this many of the dearest facings.
_SHORT = 1000.0
# Most faces filled anew together, half of the time: with one less alone small floors are not filled
# to their last facing.
TOGETHER = 3
# What goods as large as usual add to what a filling is judged by, in facings: of fillings that show
# as many, the one with large goods leaves small ones over, for which there is room more often.
_FULLNESS = 0.6
# Seconds of a slow core for a step worked, and those after which a goal or a stop ends the work.
_STEP_SECONDS = 2.4e-9
_ASKING_SECONDS = 0.1
# Seconds of a slow core for each line before faces are filled in turn, and to read what is best;
# and the part of the work that this may be when it is read for the first time.
SET_UP_SECONDS_PER_LINE = 1.0e-4
_READING_PART = 0.25
_EPS = 1e-9


class InTurn:
    """What stands on the faces of a floor, and how a few of them are filled anew.

    A face emptied is filled as well as can be with what all others leave, by dynamic programming.
    What is left over is worth nothing, so not worth alone makes prices but size too, or what the
    place of goods is worth: they fill a face to its ends. What is no worse in worth and size
    together is kept, or but a little worse; what is given in the end is the filling with the most
    worth.

    Parameters
    ----------
    filler, filling
        The faces, and what stands on them.
    seed
        Of the random choices.
    together
        Most faces filled anew together.
    prices
        What a facing of each line is worth where faces are filled; none for prices by size.
    """

    def __init__(
        self,
        filler: Filler,
        filling: Filling,
        seed: int,
        together: int = TOGETHER,
        prices: Mapping[str, float] | None = None,
    ) -> None:
        worth = filler.worth
        missing, fullness = _SHORT * max(1.0, worth.dearest), _FULLNESS * worth.last
        together = min(together, len(filler.faces))
        prices = size_prices(filler) if prices is None else prices
        self._arrays = FaceArrays(filler, filling, prices, fullness, missing, together)
        self._bench = bench(self._arrays.floor)
        self._draws = draws(self._arrays.floor, together, seed)

    def reached(self, goal: float) -> bool:
        """Say whether a goal is reached, or there is no face to fill."""
        floor = self._arrays.floor
        return len(floor.best_counts) == 0 or bool(floor.sums[BEST] >= goal - _EPS)

    def work(self, goal: float, seconds: float) -> float:
        """Fill faces anew until a goal is reached or for about so long.

        Returns
        -------
        What it cost; as ``seconds``, s of a slow core.
        """
        if self.reached(goal):
            return 0.0
        worked = self._bench.work
        before = int(worked[0])
        steps = before + math.ceil(seconds / _STEP_SECONDS)
        # One kind of number, or the loop is compiled once more for the other.
        turn(self._arrays.floor, self._bench, self._draws, steps, float(goal))
        return _STEP_SECONDS * (int(worked[0]) - before)

    def best(self) -> Filling:
        """Give the best filling so far."""
        return self._arrays.best()


@cache
def made_ready() -> Thread:
    """Begin to load the compiled loops, beside whatever else is done; gives the thread doing it."""
    thread = Thread(target=_load)
    thread.start()
    return thread


def _load() -> None:
    # Functions are compiled or loaded when they are first called, if only to do nothing.
    floor = no_floor()
    turn(floor, bench(floor), draws(floor, 0, 0), 0, 0.0)


def in_turn(
    filler: Filler,
    filling: Filling,
    seeds: Sequence[int],
    goal: float,
    stop: StopFlag,
    purse: Purse,
    prices: Mapping[str, float] | None = None,
) -> Iterator[Filling]:
    """Fill faces in turn, side by side from several seeds, and give the best filling ever again.

    It is given each time that as much again has been worked, and at the end: when one of them
    reaches a goal or the work allowed is used up.
    """
    reading = SET_UP_SECONDS_PER_LINE * len(filler.site.scenario.lines)
    own = [InTurn(filler, filling, seed, prices=prices) for seed in seeds]
    worked, next_time = 0.0, max(_ASKING_SECONDS, reading / _READING_PART)
    with ThreadPoolExecutor(len(own)) as threads:
        while purse.left > 0 and not stop.requested and not any(e.reached(goal) for e in own):
            if worked >= next_time:
                next_time = 2 * worked
                purse.spend(reading)
                yield _best(filler, own)
            seconds = min(_ASKING_SECONDS, purse.left)
            spent = max(threads.map(partial(InTurn.work, goal=goal, seconds=seconds), own))
            worked += spent
            purse.spend(spent)
    yield _best(filler, own)


def _best(filler: Filler, own: Sequence[InTurn]) -> Filling:
    return max((each.best() for each in own), key=filler.rank)
