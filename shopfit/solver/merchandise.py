"""Sets goods out anew where they break wishes of the brief on their places."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass

from shopfit.solver.allotgoods import lines_on_faces
from shopfit.solver.allotment import Allotment, Learnt, allot
from shopfit.solver.effort import Purse, effort_of, seconds_of
from shopfit.solver.fill import Filler
from shopfit.solver.filling import Filling
from shopfit.solver.improve import improve
from shopfit.solver.neighbours import Neighbours
from shopfit.solver.refit import refit
from shopfit.solver.renew import MIDDLING, groups, renew
from shopfit.solver.settling import Settler
from shopfit.stopping import StopFlag

# Lines on faces, in all, up to which each face is allotted by itself; on larger floors stretches
# are shared.
MOST_CELLS = 4000
# The part of the work in which the floor of a small or large shop is shared before; and what
# allotting faces costs for each category with wishes on each face, s of a slow core.
SETTLING_SHARE = 0.5
LARGE_SHARE = 0.9
ALLOT_SECONDS_PER_PLACE = 0.015
# The part of what is left in which groups are moved at last.
MOVING_SHARE = 0.7
# Allotments tried at most, each knowing what the ones before it came to.
ROUNDS = 8
# Deterministic time of one attempt to plant goods.
PLANT_EFFORT = 0.04
# Seconds of a slow core for renewing a face on an allotment, at least; for bettering what came of
# it; and the part of all there are for minimums still missed where all wishes are met.
RENEW_SECONDS_PER_FACE = 0.03
BETTER_SECONDS = 0.3
MEND_SHARE = 0.2
# Lines at most whose facings are whole in later choices of faces.
MOST_WHOLE = 4
# Seconds after which a clock ends the choice of faces: a guard for slow machines.
_GUARD_SECONDS = 20.0
# Part of its faces that a category keeps which was scattered over too many.
_FEWER = 0.7
# Most attempts to plant goods where they are meant to stand.
_MOST_PLANTED = 40
# Faces on which a pair is tried that is to touch.
_MOST_PAIRED = 8


@dataclass(frozen=True)
class Merchandiser:
    """What setting goods out anew has in common.

    Parameters
    ----------
    workers, seed, stop
        Threads, the seed, and the stop flag.
    """

    workers: int
    seed: int
    stop: StopFlag

    def begins_anew(self, filler: Filler, filling: Filling) -> bool:
        """Say whether all goods will be set out anew, whatever stands."""
        return _large(filler) and filler.broken(filling) > 0

    def merchandised(
        self, filler: Filler, filling: Filling, purse: Purse
    ) -> tuple[Filler, Filling, bool]:
        """Meet the wishes on the places of goods as far as can be found out.

        Parameters
        ----------
        filler, filling
            The faces of the floor, and what stands on them.
        purse
            Seconds of a slow core; one attempt is made in any case.

        Returns
        -------
        The better of what was found and what was given, a filler that keeps to the faces chosen,
        and whether no clock ended a search.
        """
        near, mending = filler.neighbours, MEND_SHARE * purse.left
        if near is None or filler.broken(filling) == 0:
            return filler, filling, True
        settles = bool(_large(filler) or near.rules.blocks)
        own, found, finished = filler, filling, True
        if settles:
            settler = Settler(self.workers, self.seed, self.stop)
            share = LARGE_SHARE if _large(filler) else SETTLING_SHARE
            with purse.lent(share * purse.left) as part:
                own, found, finished = settler.settled(filler, near, filling, part)
            found = self._paired(own, near, found, purse)
        if not settles or self._goes_on(own, found, purse):
            other, filled, ended = self._allotted(filler, filling, mending, purse)
            finished &= ended
            if other.score(filled).lack < own.score(found).lack:
                own, found = other, filled
        if own is not filler and own.score(found).short > 0:
            own, found = self._mended(filler, own, found, max(mending, purse.left), purse)
        return own, found, finished

    def moved(self, filler: Filler, filling: Filling, purse: Purse) -> tuple[Filler, Filling]:
        """Mend minimums, then move groups of which there are too many, for a part of what is left.

        Parameters
        ----------
        filler, filling
            The faces of the floor, and what stands on them.
        purse
            Seconds of a slow core.
        """
        near = filler.neighbours
        if near is None or not near.rules.blocks:
            return filler, filling
        settler = Settler(self.workers, self.seed, self.stop)
        with purse.lent(MOVING_SHARE * purse.left) as part:
            if filler.score(filling).short > 0:
                filler, filling = self._mended(filler, filler, filling, part.left, part)
            return settler.moved(filler, near, filling, part)

    def _mended(
        self, filler: Filler, own: Filler, filling: Filling, seconds: float, purse: Purse
    ) -> tuple[Filler, Filling]:
        """Mend minimums missed for so long, s of a slow core: as planned, then anywhere."""
        filling = self._improved(own, filling, seconds / 2, self.seed, purse)
        if own.score(filling).short > 0 and not self.stop.requested:
            # What has no room where it is allotted may stand elsewhere, for a wish or two.
            missing = {line.category for line in own.short_lines(filling)}
            own = filler.restricted(
                {n: set(face.barred) - missing for n, face in enumerate(own.faces)}
            )
            filling = self._improved(own, filling, seconds / 2, self.seed, purse)
        return own, filling

    def _goes_on(self, filler: Filler, filling: Filling, purse: Purse) -> bool:
        """Say whether faces are worth allotting one by one once the floor has been shared."""
        if _large(filler) or filler.score(filling).complete or filler.neighbours is None:
            return False
        places = len(filler.neighbours.wished) * len(filler.faces)
        return not self.stop.requested and purse.left >= ALLOT_SECONDS_PER_PLACE * places

    def _allotted(
        self, filler: Filler, filling: Filling, mending: float, purse: Purse
    ) -> tuple[Filler, Filling, bool]:
        """Allot faces to categories and fill them anew, as far as that meets more wishes."""
        learnt, best, finished = Learnt(), (filler, filling), True
        for number in range(ROUNDS):
            if self.stop.requested or (number and purse.left <= 0):
                break
            seed = self.seed + number
            answer = allot(filler, filling, learnt, _GUARD_SECONDS, seed, self.stop)
            purse.spend(answer.worked)
            finished &= answer.finished
            if answer.plan is None:
                break
            own = filler.restricted(answer.plan.barred)
            found = self._filled(own, filling, answer.plan, seed, mending, purse)
            if own.score(found).lack < best[0].score(best[1]).lack:
                best = (own, found)
            if own.score(found).complete:
                break
            _learn(own, found, answer.plan, learnt)
        return *best, finished

    def _filled(
        self,
        filler: Filler,
        filling: Filling,
        allotment: Allotment,
        seed: int,
        mending: float,
        purse: Purse,
    ) -> Filling:
        """Keep what stands where it may, fill the rest, and mend for so long, s of a slow core."""
        found = filling.without(allotment.barred)
        parts = groups(filler, found)
        own = Purse(max(purse.left, RENEW_SECONDS_PER_FACE * len(filler.faces)))
        given = own.left
        for n, group in enumerate(parts):
            with own.lent(own.left / (len(parts) - n)) as part:
                found = renew(filler, found, group, MIDDLING, seed, self.stop, part)
        purse.spend(given - own.left)
        found = self._planted(filler, found, allotment, seed, purse)
        found = self._improved(filler, found, BETTER_SECONDS, seed, purse)
        score = filler.score(found)
        if score.short > 0 and score.broken == 0:
            found = self._improved(filler, found, mending, seed, purse)
        return found

    def _improved(
        self, filler: Filler, filling: Filling, seconds: float, seed: int, purse: Purse
    ) -> Filling:
        """Refit a few faces at a time for about so long, s of a slow core, or until all is met."""
        return improve(
            filler,
            filling,
            effort_of(seconds, self.workers),
            self.workers,
            seed,
            self.stop,
            -math.inf,
            lambda better: None,
            purse,
        )

    def _paired(self, filler: Filler, near: Neighbours, filling: Filling, purse: Purse) -> Filling:
        """Set pairs that are to touch on one face, where both may stand and they do not."""
        for pair in near.rules.touch:
            wanted = frozenset(pair)
            able = [
                n
                for n in range(len(filler.faces))
                if all(any(filler.can_show(ln, n) for ln in filler.lines(c)) for c in wanted)
            ]
            able.sort(key=lambda n: -len(wanted & _shown_on(filling, n)))
            for n in able[:_MOST_PAIRED]:
                if self.stop.requested or wanted in near.touching(filling):
                    break
                names = sorted(wanted | _shown_on(filling, n))
                must = frozenset((n, name) for name in wanted)
                found, work = refit(
                    filler, filling, [n], names, PLANT_EFFORT, 1, self.seed, self.stop, must=must
                )
                purse.spend(seconds_of(work, 1))
                if filler.score(found).lack < filler.score(filling).lack:
                    filling = found
        return filling

    def _planted(
        self, filler: Filler, filling: Filling, allotment: Allotment, seed: int, purse: Purse
    ) -> Filling:
        """Put goods where they are meant to stand but do not, while wishes are broken."""
        pairs = {face: pair for pair, face in allotment.joined}
        order = sorted(allotment.meant, key=lambda place: (place[1] not in pairs, place))
        for tried, (category, face) in enumerate(order):
            if self.stop.requested or tried >= _MOST_PLANTED or filler.broken(filling) == 0:
                break
            there = _shown_on(filling, face)
            wanted = {category, *pairs.get(face, ())}
            if wanted <= there:
                continue
            filling, work = refit(
                filler,
                filling,
                [face],
                sorted(there | wanted),
                PLANT_EFFORT,
                1,
                seed,
                self.stop,
                must=frozenset((face, name) for name in wanted),
            )
            purse.spend(seconds_of(work, 1))
        return filling


def _large(filler: Filler) -> bool:
    return lines_on_faces(filler) > MOST_CELLS


def _shown_on(filling: Filling, face: int) -> set[str]:
    return {
        filling.plans[b].category
        for (b, _, _), count in filling.facings.items()
        if count and filling.plans[b].face == face
    }


def _learn(filler: Filler, filling: Filling, allotment: Allotment, learnt: Learnt) -> None:
    """Note what did not work."""
    neighbours = filler.neighbours
    assert neighbours is not None
    short = sorted(filler.short_lines(filling), key=lambda ln: (-ln.width * ln.height, ln.line))
    new = [line.line for line in short if line.line not in learnt.lines]
    learnt.lines.update(new[: MOST_WHOLE - len(learnt.lines)])
    groups_of, touching = neighbours.groups(filling), neighbours.touching(filling)
    meant = Counter(name for name, _ in allotment.meant)
    for category, most in neighbours.rules.blocks.items():
        if groups_of.get(category, 0) > most:
            fewer = min(meant[category] - 1, int(meant[category] * _FEWER))
            if fewer >= 1:
                learnt.most[category] = fewer
    for pair, face in allotment.joined:
        if pair not in touching:
            learnt.parted.add((pair, face))
    for one, other in neighbours.rules.apart:
        if frozenset((one, other)) in touching:
            for category in (one, other):
                if meant[category] > 1:
                    learnt.most[category] = meant[category] - 1
