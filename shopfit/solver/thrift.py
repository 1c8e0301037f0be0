"""Looks for a floor that shows as much for less money, once no more is found to be shown."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from shopfit.solver.bettering import Betterer
from shopfit.solver.choosing import REMAINDER_MM
from shopfit.solver.effort import Purse
from shopfit.solver.facevalue import Brought, FaceValue, brought
from shopfit.solver.fill import Filler
from shopfit.solver.filling import Filling
from shopfit.solver.fixing import fix
from shopfit.solver.floor import FloorAnswer
from shopfit.solver.floorturns import FloorTurns
from shopfit.solver.held import Filled
from shopfit.solver.joint import CUT_SHARE, ROOMY
from shopfit.solver.jointanswer import JointAnswer
from shopfit.solver.partprogram import FloorRules
from shopfit.solver.renew import MIDDLING
from shopfit.solver.spending import MONEY_STEP, least_cost, position_costs, slat_costs
from shopfit.solver.worth import Worth

# How much room a floor leaves over, in steps: of the first try, the way from one try to the next
# until one has held all and one has not, the least between those two, and the ends of the scale.
_FIRST = 2.0
_WAY = 1.0
_FINEST = 0.5
_TIGHTEST, _ROOMIEST = -4.0, 6.0
# What a step takes off every face, mm, and what a facing lost counts without any, in what one costs
# on average; twice as much with each step.
_STEP_MM = 14.0
_DEAR = 5.0
# Positions of a floor taken away at once.
_SIZES = (4, 8)
# Parts of the seconds asked for: to make a floor cheaper, and to put everything on it.
_PLACING_SHARE = 0.045
_FILLING_SHARE = 0.05
# How much longer placing a part takes where money counts.
_HARDER = 1.5


@dataclass
class Thrift:
    """One search for floors that cost less than the best one and show as much.

    A floor is made cheaper part by part, at a price for money, and filled. Where all of it is shown
    the next one is made with less room to spare; where it is not, with more.

    Parameters
    ----------
    betterer
        What has filled floors so far; it knows how hard to search, and the stop flag.
    worth
        What facings are worth.
    price
        Gives what a filled floor costs.

    Attributes
    ----------
    repeatable
        Whether no clock has ended a search so far.
    """

    betterer: Betterer
    worth: Worth
    price: Callable[[Filled], float]
    repeatable: bool = True
    _rules: FloorRules = field(init=False, repr=False)
    _faces: FaceValue = field(init=False, repr=False)
    _slat_costs: list[float] = field(init=False, repr=False)

    def search(self, best: Filled, least: float, purse: Purse) -> Filled:
        """Look for cheaper floors until the purse is empty or none is to be expected.

        Parameters
        ----------
        best
            A floor that misses no minimum, with what is shown on it.
        least
            Money that is proved to be needed, whole sheets and packs not counted.
        purse
            Seconds of a slow core.

        Returns
        -------
        The cheapest floor found on which as much is shown, or the one given.
        """
        a_try = self._part(_PLACING_SHARE) + self._part(_FILLING_SHARE)
        if best.score.worth <= 0 or purse.left <= a_try / 2:
            return best
        if least_cost(best) <= least + MONEY_STEP:
            return best
        problem = replace(best.problem, thrifty=True)
        self._rules = FloorRules(problem, CUT_SHARE)
        self._faces = FaceValue(problem, best.filler.display, self.worth, ROOMY)
        self._slat_costs = slat_costs(problem)
        room, short, ample, cost = _FIRST, -math.inf, math.inf, self.price(best)
        while purse.left > a_try / 2 and _TIGHTEST <= room <= _ROOMIEST:
            found = self._tried(best, room, purse)
            if self.betterer.stop.requested:
                break
            if found is None:
                ample = room
            elif _as_good(found, best):
                ample = room
                if (less := self.price(found)) < cost - MONEY_STEP:
                    best, cost = found, less
            else:
                short = room
            if ample - short < _FINEST:
                break
            room = _between(short, ample)
        return best

    def _part(self, share: float) -> float:
        return share * self.betterer.options.seconds

    def _tried(self, best: Filled, room: float, purse: Purse) -> Filled | None:
        """Make the floor cheaper and fill it; none where no cheaper one is found."""
        problem, costs = self._rules.problem, position_costs(self._rules.problem, best.floor)
        answer = self._cheaper(best, costs, room, purse)
        floor = answer.floor
        assert floor is not None
        if self._cost(floor, costs) >= self._cost(best.floor, costs) - MONEY_STEP:
            return None
        fixed = fix(problem, floor)
        money = problem.money_left(floor.chosen, floor.slat)
        filler = Filler(problem.site, best.filler.display, fixed.faces, money)
        with purse.lent(self._part(_FILLING_SHARE)) as own:
            filling = self._filled(filler, answer, best, own)
        return Filled(problem, floor, fixed, filler, filling)

    def _cost(self, floor: FloorAnswer, costs: Sequence[float]) -> float:
        slat = self._slat_costs
        return sum(costs[i] for i in floor.chosen) + sum(slat[i] for i in floor.slat)

    def _cheaper(
        self, best: Filled, costs: Sequence[float], room: float, purse: Purse
    ) -> JointAnswer:
        """Place parts of a floor anew where that saves more than it loses."""
        turns = FloorTurns(
            self._rules,
            self._brought(best, costs, room),
            self._faces,
            [],
            random.Random(self.betterer.options.seed),
            self.betterer.stop,
        )
        given = JointAnswer(best.floor)
        seconds = self._part(_PLACING_SHARE) / _HARDER
        answer = turns.bettered(given, _SIZES, seconds, strict=True)
        purse.spend(_HARDER * turns.worked)
        self.repeatable &= turns.repeatable
        return answer

    def _brought(self, best: Filled, costs: Sequence[float], room: float) -> Brought:
        """Give what positions bring, their cost taken off."""
        problem = self._rules.problem
        average = max(MONEY_STEP, self._cost(best.floor, costs)) / best.score.worth
        price = 1.0 / (_DEAR * average * 2.0**room)
        own = price * np.array(costs, dtype=np.float64)
        slat = price * np.array(self._slat_costs, dtype=np.float64)
        lost = max(0.0, REMAINDER_MM + _STEP_MM * room)
        return replace(brought(problem, lost, 0.0), own_spare=-own, slat_spare=-slat)

    def _filled(self, filler: Filler, answer: JointAnswer, best: Filled, purse: Purse) -> Filling:
        """Fill a floor until it shows as much as the best one."""
        goal, found = best.score.worth, filler.start(answer.blocks)

        def keep(_: Filler, filling: Filling) -> None:
            nonlocal found
            if filler.score(filling).key() > filler.score(found).key():
                found = filling

        def enough() -> bool:
            score = filler.score(found)
            return self.betterer.stop.requested or (score.complete and score.worth >= goal)

        better = replace(self.betterer, keep=keep, enough=enough, goal=lambda: goal)
        if not enough():
            filling = better.filled(filler, found, MIDDLING, purse)
            if not enough():
                better.bettered(filler, filling, MIDDLING, purse)
        return found


def _as_good(found: Filled, best: Filled) -> bool:
    """Say whether a floor misses as little and shows as much, by both objectives."""
    return found.score.key()[:4] >= best.score.key()[:4]


def _between(short: float, ample: float) -> float:
    """Give the next room to try, given the most that was too little and the least that was not."""
    if ample == math.inf:
        return short + _WAY
    if short == -math.inf:
        return ample - _WAY
    return (short + ample) / 2
