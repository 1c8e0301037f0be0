"""Fills the faces of a floor and betters what stands, within the work there is."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from shopfit.model.options import SolveOptions
from shopfit.solver.effort import EFFORT_PER_SECOND, Purse, effort_of
from shopfit.solver.fill import Filler
from shopfit.solver.filling import Filling
from shopfit.solver.floor import FloorAnswer, FloorProblem
from shopfit.solver.held import Filled, Held
from shopfit.solver.improve import improve
from shopfit.solver.inturn import SET_UP_SECONDS_PER_LINE, in_turn
from shopfit.solver.lineprices import place_prices
from shopfit.solver.otherfloors import OtherFloors
from shopfit.solver.range_display import Display
from shopfit.solver.renew import MIDDLING, QUICK, Depth, groups, kin, renew, scarce
from shopfit.solver.wholefloor import MOST_CELLS, cells, fill_whole_floor, workable
from shopfit.stopping import StopFlag

# Faces renewed together while a filling is bettered.
RENEWED_FACES = (5, 10)
# Renewed and refitted in turn for so long, s of a slow core, or for a part of what is left.
TURN_SECONDS = 1.0
TURN_SHARE = 0.08
# Turns without gain after which the search ends.
PATIENCE = 25
# Seconds of a slow core for which the best is bettered further where it still misses a minimum.
FURTHER_SECONDS = 2.0
# Seconds of a slow core that filling a category again with fixed widths takes besides its search.
REFILL_SECONDS = 0.03
REFILL_SECONDS_PER_CELL = 5.0e-5

# The part of the work in which whole faces are filled; that which shows whether a further floor is
# worth as much; and the lesser one where more than a small part of what is shown is missing from
# minimums: that is mended by refits.
FILLED_SHARE = 0.8
SOUNDING_SHARE = 0.35
MISSING_SHARE = 0.5
MUCH_MISSING = 0.02
# Parts of the work where there are no wishes among faces: at most for those that alone can show
# what is missing, and for filling all of them in turn.
SCARCE_SHARE = 0.3
IN_TURN_SHARE = 0.75

# For all faces of a small floor in one program: the part of what is left, seconds of a slow core
# for a first try, how many times as many for each next one, and what a try costs at least.
WHOLE_FLOOR_SHARE = 0.85
WHOLE_FLOOR_SECONDS = 1.0
WHOLE_FLOOR_GROWTH = 1.1
LEAST_TRY_SECONDS = 0.05
# Seconds of a slow core in which another floor is filled in turn before.
OTHER_FLOOR_SECONDS = 0.2

# The least of a turn that refits, or what takes turns with them, gets.
LEAST_SHARE = 0.2
# What a facing or unit missing from a minimum counts in gains, in facings of the dearest line.
SHORT_GAIN = 20.0

Keep = Callable[[Filler, Filling], None]
At = Callable[[FloorProblem, Display, FloorAnswer], Filler]


@dataclass
class Betterer:
    """What all bettering in a search has in common.

    Parameters
    ----------
    options, stop
        How hard to search, and the stop flag.
    keep
        Told of fillings, better or not.
    enough
        Whether the search may end.
    goal
        Worth that cannot be bettered.
    prices, priced
        What places of lines are worth, or none; and whether that was looked for already.
    """

    options: SolveOptions
    stop: StopFlag
    keep: Keep
    enough: Callable[[], bool]
    goal: Callable[[], float]
    prices: dict[str, float] | None = None
    priced: bool = False

    def price(self, filler: Filler, purse: Purse) -> None:
        """Find what places are worth on a floor, once for all floors of a shop.

        Goods are as hard to place on any of them. Prices are for filling in turn, so where wishes
        tie faces together there are none.
        """
        if self.priced or filler.neighbours is not None:
            return
        before = purse.left
        self.prices = place_prices(filler, self.options.seed, self.stop, purse)
        self.priced = purse.left < before

    def filled(self, filler: Filler, filling: Filling, depth: Depth, purse: Purse) -> Filling:
        """Fill all faces in turn, after those that alone can show what is missing.

        Where there are wishes among faces they are renewed instead, group by group. A part of the
        work is left over, for a few faces at a time to be refitted.
        """
        missing = filler.score(filling).short > MUCH_MISSING * sum(filling.facings.values())
        share = MISSING_SHARE if missing else FILLED_SHARE
        with purse.lent(share * purse.left) as own:
            return self._filled(filler, filling, depth, own)

    def sounded(self, filler: Filler, filling: Filling, purse: Purse) -> Filling:
        """Fill all faces for a while, to see whether the floor is worth more."""
        with purse.lent(SOUNDING_SHARE * purse.left) as own:
            return self.filled(filler, filling, QUICK, own)

    def _filled(self, filler: Filler, filling: Filling, depth: Depth, purse: Purse) -> Filling:
        parts = scarce(filler, filling)
        if filler.neighbours is not None:
            every = parts + groups(filler, filling)
            return self._renewed_all(filler, filling, every, depth, purse)
        with purse.lent(SCARCE_SHARE * purse.left) as own:
            filling = self._renewed_all(filler, filling, parts, depth, own)
        seconds = IN_TURN_SHARE * purse.left
        return self._in_turn(filler, filling, self.options.seed, seconds, purse)

    def _renewed_all(
        self,
        filler: Filler,
        filling: Filling,
        parts: Sequence[Sequence[int]],
        depth: Depth,
        purse: Purse,
    ) -> Filling:
        """Renew groups of faces, one after the other."""
        for n, group in enumerate(parts):
            seed = self.options.seed + n
            with purse.lent(purse.left / (len(parts) - n)) as own:
                filling = renew(filler, filling, group, depth, seed, self.stop, own)
            self.keep(filler, filling)
        return filling

    def whole_floor(
        self, filler: Filler, filling: Filling, purse: Purse
    ) -> tuple[Filling | None, bool]:
        """Fill all faces of a small floor in one program; larger floors are left as they are.

        Returns
        -------
        The filling, or none where nothing better is left to be found; and whether neither a clock
        nor a person ended it.
        """
        if not workable(filler, filling):
            return filling, True
        seed, seconds, finished = self.options.seed, WHOLE_FLOOR_SECONDS, True
        with purse.lent(WHOLE_FLOOR_SHARE * purse.left) as own:
            while own.left > 0 and finished and not self.enough():
                answer = fill_whole_floor(filler, filling, min(seconds, own.left), seed, self.stop)
                own.spend(max(answer.worked, LEAST_TRY_SECONDS))
                finished = answer.finished
                if answer.filling is not None:
                    filling = answer.filling
                    self.keep(filler, filling)
                if answer.exhausted:
                    return None, finished
                # Another seed often ends soon what one has not ended for long.
                seed, seconds = seed + 1, WHOLE_FLOOR_GROWTH * seconds
        return filling, finished

    def one_by_one(self, others: OtherFloors, at: At, held: Held, purse: Purse) -> bool:
        """Fill floors one after the other, each in one program that asks for more than is known.

        Parameters
        ----------
        others, at
            The floors, and what gives a filler of one, which is the one at hand from then on.
        held, purse
            What is best so far, and seconds of a slow core.

        Returns
        -------
        Whether neither a clock nor a person ended it.
        """
        finished = True
        assert held.best is not None
        others.without(held.best.problem, held.best.floor)
        while purse.left > 0 and finished and not self.enough():
            before = others.worked
            answer = others.next(held.best.score.worth, self.stop)
            purse.spend(others.worked - before)
            if answer is None or answer.floor is None:
                break
            others.without(others.problem, answer.floor)
            filler = at(others.problem, others.shown, answer.floor)
            filling = filler.start(answer.blocks)
            with purse.lent(OTHER_FLOOR_SECONDS) as own:
                filling = self.filled(filler, filling, QUICK, own)
            self.keep(filler, filling)
            if purse.left > 0 and not self.enough():
                finished = self._filled_whole(filler, filling, held.best.score.worth, purse)
        return finished

    def _filled_whole(self, filler: Filler, filling: Filling, known: float, purse: Purse) -> bool:
        """Try once to fill a floor better than what is known; say whether no clock ended it."""
        if cells(filler, MOST_CELLS) > MOST_CELLS:
            return True
        seconds = min(WHOLE_FLOOR_SECONDS, purse.left)
        answer = fill_whole_floor(filler, filling, seconds, self.options.seed, self.stop, known)
        purse.spend(max(answer.worked, LEAST_TRY_SECONDS))
        if answer.filling is not None:
            self.keep(filler, answer.filling)
        return answer.finished

    def bettered(self, filler: Filler, filling: Filling, depth: Depth, purse: Purse) -> Filling:
        """Refit a few faces and fill a few in turn, until work or patience is used up.

        Where there are wishes among faces and no plan keeps to them, more of them are renewed
        together instead of filled in turn. Whichever has gained more gets more of the next turn.
        """
        self.price(filler, purse)
        rng = random.Random(self.options.seed)
        idle, share = 0, LEAST_SHARE
        while purse.left > 0 and idle < PATIENCE and not self.enough():
            turn = 2 * min(max(TURN_SECONDS, TURN_SHARE * purse.left), purse.left)
            seed = rng.randrange(2**31)
            refitted = self.refitted(filler, filling, share * turn, seed, purse)
            by_refits = _gained(filler, filling, refitted)
            seed, rest = rng.randrange(2**31), (1 - share) * turn
            if filler.neighbours is None or filler.allotted:
                filling = self._in_turn(filler, refitted, seed, rest, purse)
            else:
                filling = self._renewed(filler, refitted, depth, seed, rest, purse)
            by_others = _gained(filler, refitted, filling)
            gained = by_refits + by_others
            if gained > 0:
                share = min(1 - LEAST_SHARE, max(LEAST_SHARE, by_refits / gained))
            idle = 0 if gained > 0 else idle + 1
        return filling

    def further(self, held: Held, take: Callable[[Filled], None]) -> None:
        """Better the best for a little longer as long as less and less is missed of minimums.

        A layout that misses a minimum is none, however short the search.

        Parameters
        ----------
        held
            What was found.
        take
            Takes a filled floor for the one that fillings are kept of.
        """
        missed = math.inf
        while (best := held.best) is not None and 0 < best.score.short < missed:
            if self.stop.requested:
                return
            missed = best.score.short
            take(best)
            self.bettered(best.filler, best.filling, MIDDLING, Purse(FURTHER_SECONDS))

    def _renewed(
        self,
        filler: Filler,
        filling: Filling,
        depth: Depth,
        seed: int,
        seconds: float,
        purse: Purse,
    ) -> Filling:
        """Renew small groups of faces for about so long, s of a slow core."""
        rng = random.Random(seed)
        with purse.lent(seconds) as own:
            while own.left > 0 and not self.enough():
                group = kin(filler, filling, rng, rng.randint(*RENEWED_FACES))
                drawn = rng.randrange(2**31)
                filling = renew(filler, filling, group, depth, drawn, self.stop, own)
                self.keep(filler, filling)
        return filling

    def _in_turn(
        self,
        filler: Filler,
        filling: Filling,
        seed: int,
        seconds: float,
        purse: Purse,
    ) -> Filling:
        """Fill one or a few faces at a time anew for about so long, s of a slow core."""
        seeds = range(seed, seed + self.options.workers)
        with purse.lent(seconds) as own:
            own.spend(SET_UP_SECONDS_PER_LINE * len(filler.site.scenario.lines))
            turns = in_turn(filler, filling, seeds, self.goal(), self.stop, own, self.prices)
            for found in turns:
                if filler.rank(found) > filler.rank(filling) and filler.allowed(found):
                    filling = found
                self.keep(filler, filling)
        return filling

    def refitted(
        self, filler: Filler, filling: Filling, seconds: float, seed: int, purse: Purse
    ) -> Filling:
        """Refit a few faces at a time for about so long, s of a slow core."""
        return improve(
            filler,
            filling,
            effort_of(seconds, self.options.workers),
            self.options.workers,
            seed,
            self.stop,
            self.goal(),
            lambda better: self.keep(filler, better),
            purse,
        )

    def later_stages(self, filler: Filler, filling: Filling, purse: Purse) -> Filling:
        """Better the second objective, then cost, as far as what came before keeps its worth."""
        names = filler.categories
        each = REFILL_SECONDS + REFILL_SECONDS_PER_CELL * len(filling.facings)
        spare = purse.left / (2 * len(names)) - each
        effort = min(0.1, max(0.01, spare * EFFORT_PER_SECOND))
        for stage in ("second", "cost"):
            for category in names:
                if purse.left <= 0:
                    return filling
                filling = filler.refill(
                    filling,
                    [category],
                    effort,
                    1,
                    self.options.seed,
                    self.stop,
                    fixed_widths=True,
                    stage=stage,
                )
                purse.spend(each + effort / EFFORT_PER_SECOND)
        return filling


def _gained(filler: Filler, before: Filling, after: Filling) -> float:
    """Give how much better a filling has become, in what is made largest."""
    old, new = filler.score(before), filler.score(after)
    missing = (old.short - new.short) + (old.broken - new.broken)
    return max(0.0, new.worth - old.worth + SHORT_GAIN * filler.worth.dearest * missing)
