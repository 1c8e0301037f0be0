"""Settles the categories of a large floor in as many places as the brief wishes."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass, replace

from shopfit.solver.alike import densest
from shopfit.solver.effort import Purse
from shopfit.solver.fill import Filler
from shopfit.solver.filling import PER_MM, BlockPlan, Filling
from shopfit.solver.inturn import in_turn
from shopfit.solver.layingout import Spot, laid_out
from shopfit.solver.neighbours import Neighbours
from shopfit.solver.patterns import Pattern
from shopfit.solver.regrouping import Regrouping
from shopfit.solver.sharing import Needs, share
from shopfit.stopping import StopFlag

# Times that the floor is shared at most, each knowing what the one before came to.
_ROUNDS = 20
# Seconds of a slow core for a face, as filled in turn; and the part of what is left at most.
_SECONDS_PER_FACE = 0.01
_FILLING_SHARE = 0.25
# Seconds of a slow core for a face, for seeing what other places of groups bring, and for judging
# it; and what judging takes at least, or nothing would end it where no face can be filled.
_SEEING_PER_FACE = 0.0015
_JUDGING_PER_FACE = 0.002
_LEAST_SECONDS = 0.005
# The seconds without gain, and the attempts at least, after which no more are made.
_IDLE_SECONDS = 0.6
_PATIENCE = 4
# The part of the work that the least attempts at moving what stands may take before any sharing.
_BEFORE_SHARE = 0.15
# By how much more room is given to a category that misses minimums; and lines in each round that
# are given a place wide enough.
_MORE = 1.2
_MOST_WHOLE = 4
# Seconds after which a clock ends sharing: a guard for slow machines.
_GUARD_SECONDS = 20.0


@dataclass(frozen=True)
class Settler:
    """What settling has in common.

    Parameters
    ----------
    workers, seed, stop
        Threads, the seed, and the stop flag.
    """

    workers: int
    seed: int
    stop: StopFlag

    def settled(
        self, filler: Filler, near: Neighbours, filling: Filling, purse: Purse
    ) -> tuple[Filler, Filling, bool]:
        """Share the floor and fill it anew, as far as that meets more wishes.

        Parameters
        ----------
        filler, near, filling
            The faces, how they lie among one another, and what stands on them.
        purse
            Seconds of a slow core; the floor is shared once in any case.

        Returns
        -------
        A filler that keeps to the faces chosen, what stands, and whether no clock ended a search.
        """
        needs, best, finished = Needs(), (filler, filling), True
        regrouping = Regrouping(filler, near)
        if near.rules.blocks and _PATIENCE * self._each(filler) <= _BEFORE_SHARE * purse.left:
            # What stands may be but a move or two away from what is wished.
            best = self._regrouped(regrouping, filler, filling, self.seed, purse)
        for number in range(_ROUNDS):
            if self.stop.requested or best[0].score(best[1]).complete:
                break
            if number and purse.left <= 0:
                break
            seed = self.seed + number
            answer = share(filler, near, needs, _GUARD_SECONDS, seed, self.stop)
            purse.spend(answer.worked)
            finished &= answer.finished
            if answer.plan is None:
                break
            spots = laid_out(answer.plan, near.rules)
            found = self._filled(filler, near, spots, seed, purse)
            _learn(*found, needs)
            if near.rules.blocks:
                found = self._regrouped(regrouping, *found, seed, purse)
            if found[0].score(found[1]).lack < best[0].score(best[1]).lack:
                best = found
        return *best, finished

    def moved(
        self, filler: Filler, near: Neighbours, filling: Filling, purse: Purse
    ) -> tuple[Filler, Filling]:
        """Give groups of what stands other places until all wishes are met or all is spent.

        Parameters
        ----------
        filler, near, filling
            The faces, how they lie among one another, and what stands on them.
        purse
            Seconds of a slow core.

        Returns
        -------
        A filler that keeps to the faces chosen, and what stands.
        """
        regrouping, seed = Regrouping(filler.restricted({}), near), self.seed
        while purse.left > 0 and not self.stop.requested:
            if filler.score(filling).complete:
                break
            seed += 1
            own, found = self._regrouped(regrouping, filler, filling, seed, purse)
            if own.score(found).key() > filler.score(filling).key():
                filler, filling = own, found
        return filler, filling

    def _filled(
        self, filler: Filler, near: Neighbours, spots: Sequence[Spot], seed: int, purse: Purse
    ) -> tuple[Filler, Filling]:
        """Fill the parts of each face alone, then faces with all that may stand on them."""
        allowed: dict[int, set[str]] = {n: set() for n in range(len(filler.faces))}
        parts = []
        for spot in spots:
            allowed[spot.face] |= spot.names
            face = filler.faces[spot.face]
            barred = {*face.barred, *filler.categories} - (spot.names - {*face.barred})
            own = tuple(sorted(barred))
            parts.append(replace(face, width=spot.width, place=None, barred=own))
        seconds = _SECONDS_PER_FACE * len(filler.faces)
        apart = filler.on(parts)
        found = self._in_turn(apart, _begun(apart), seed, seconds, purse)
        plans = [
            BlockPlan(spots[plan.face].face, plan.category, plan.pattern) for plan in found.plans
        ]
        kept = {
            n: {*face.barred, *(near.wished - allowed[n])} for n, face in enumerate(filler.faces)
        }
        own_filler = filler.restricted(kept)
        filling = Filling(plans, found.widths, found.facings)
        return own_filler, self._in_turn(own_filler, filling, seed, seconds, purse)

    def _in_turn(
        self, filler: Filler, filling: Filling, seed: int, seconds: float, purse: Purse
    ) -> Filling:
        """Fill faces in turn for about so long, s of a slow core, or a part of what is left."""
        seeds = [self.workers * seed + k for k in range(self.workers)]
        least = _SEEING_PER_FACE * len(filler.faces)
        own = Purse(min(seconds, max(least, _FILLING_SHARE * purse.left)))
        given = own.left
        for found in in_turn(filler, filling, seeds, math.inf, self.stop, own):
            filling = found
        purse.spend(given - own.left)
        return filling

    def _regrouped(
        self, regrouping: Regrouping, filler: Filler, filling: Filling, seed: int, purse: Purse
    ) -> tuple[Filler, Filling]:
        """Give groups other places as long as that is better."""
        rng, idle = random.Random(seed), 0
        patience = max(_PATIENCE, _IDLE_SECONDS / self._each(filler))
        while purse.left > 0 and idle < patience and not self.stop.requested:
            other = regrouping.next(filler, filling, rng)
            found = self._seen(other, filling, rng, purse)
            better = other.score(found).lack < filler.score(filling).lack
            idle = 0 if better else idle + 1
            if better:
                filler, filling = other, found
        return filler, filling

    def _each(self, filler: Filler) -> float:
        """Give about what it takes to see what other places of groups bring, s of a slow core."""
        return max(_LEAST_SECONDS, (_SEEING_PER_FACE + _JUDGING_PER_FACE) * len(filler.faces))

    def _seen(self, filler: Filler, filling: Filling, rng: random.Random, purse: Purse) -> Filling:
        """Leave out what may not stand where it does, and fill faces in turn for a while."""
        barred = {n: face.barred for n, face in enumerate(filler.faces)}
        seconds = _SEEING_PER_FACE * len(filler.faces)
        purse.spend(max(_LEAST_SECONDS, _JUDGING_PER_FACE * len(filler.faces)))
        return self._in_turn(filler, filling.without(barred), rng.randrange(2**20), seconds, purse)


def _begun(filler: Filler) -> Filling:
    """Fill each face by hand's rule with the category that is densest there."""
    plans, widths = list[BlockPlan](), list[int]()
    known: dict[tuple[str, int], tuple[float, Pattern | None]] = {}
    for n, face in enumerate(filler.faces):
        names = [name for name in filler.categories if name not in face.barred]
        for name in names:
            if (name, face.kind) not in known:
                known[name, face.kind] = densest(filler, name, face.kind)
        best = max(names, key=lambda name: known[name, face.kind][0], default=None)
        pattern = None if best is None else known[best, face.kind][1]
        if best is not None and pattern is not None:
            plans.append(BlockPlan(n, best, pattern))
            widths.append(int(face.width * PER_MM))
    return filler.greedily(Filling(plans, widths))


def _learn(filler: Filler, filling: Filling, needs: Needs) -> None:
    """Note what had too little room."""
    short = sorted(filler.short_lines(filling), key=lambda line: (-line.width, line.line))
    for name in {line.category for line in short}:
        needs.factor[name] = _MORE * needs.factor.get(name, 1.0)
    needs.whole.update(line.line for line in short[:_MOST_WHOLE])
