"""Sets goods out anew where they break wishes of the brief on their places."""

from __future__ import annotations

from collections.abc import Mapping

from shopfit.solver.allotment import Allotment, Learnt, allot
from shopfit.solver.fill import Filler
from shopfit.solver.filling import BlockPlan, Cell, Filling
from shopfit.solver.improve import improve
from shopfit.solver.refit import refit
from shopfit.solver.renew import MIDDLING, groups, renew
from shopfit.stopping import StopFlag

# Allotments tried, each knowing what the ones before it came to.
ROUNDS = 8
# Deterministic time of the choice of faces, and of one attempt to plant goods.
ALLOT_EFFORT = 0.5
PLANT_EFFORT = 0.04
# Part of its faces that a category keeps which was scattered over too many.
_FEWER = 0.7
# Most attempts to plant goods where they are meant to stand.
_MOST_PLANTED = 40


def merchandised(
    filler: Filler, filling: Filling, effort: float, workers: int, seed: int, stop: StopFlag
) -> tuple[Filler, Filling]:
    """Meet the wishes on the places of goods as far as can be found out.

    Parameters
    ----------
    filler, filling
        The faces of the floor, and what stands on them.
    effort
        Deterministic work allowed for bettering what was filled anew, each time.
    workers, seed, stop
        Threads, the seed, and the stop flag.

    Returns
    -------
    The better of what was found and what was given, and a filler that keeps to the faces chosen.
    """
    if filler.broken(filling) == 0:
        return filler, filling
    learnt, best = Learnt(), (filler, filling)
    for number in range(ROUNDS):
        if stop.requested:
            break
        allotment = allot(filler, filling, learnt, ALLOT_EFFORT, seed + number)
        if allotment is None:
            break
        own = filler.restricted(allotment.barred)
        found = _filled(own, filling, allotment, effort, workers, seed + number, stop)
        if own.score(found).key() > best[0].score(best[1]).key():
            best = (own, found)
        if own.broken(found) == 0 or not _learn(own, found, allotment, learnt):
            break
    return best


def _filled(
    filler: Filler,
    filling: Filling,
    allotment: Allotment,
    effort: float,
    workers: int,
    seed: int,
    stop: StopFlag,
) -> Filling:
    """Keep what stands where it may, and fill the rest."""
    found = _cleared(filling, allotment.barred)
    for group in groups(filler, found):
        found = renew(filler, found, group, MIDDLING, seed, stop)
    found = _planted(filler, found, allotment, seed, stop)
    return improve(filler, found, effort, workers, seed, stop, float("inf"), lambda better: None)


def _cleared(filling: Filling, barred: Mapping[int, frozenset[str]]) -> Filling:
    """Leave out the blocks that may not stand where they do."""
    place: dict[int, int] = {}
    plans: list[BlockPlan] = []
    widths: list[int] = []
    for b, plan in enumerate(filling.plans):
        if plan.category not in barred[plan.face]:
            place[b] = len(plans)
            plans.append(plan)
            widths.append(filling.widths[b])
    facings: dict[Cell, int] = {
        (place[b], row, name): count
        for (b, row, name), count in filling.facings.items()
        if b in place
    }
    return Filling(plans, widths, facings)


def _planted(
    filler: Filler, filling: Filling, allotment: Allotment, seed: int, stop: StopFlag
) -> Filling:
    """Put goods where they are meant to stand but do not, while wishes are broken."""
    pairs = {face: pair for pair, face in allotment.joined}
    order = sorted(allotment.meant, key=lambda place: (place[1] not in pairs, place))
    for tried, (category, face) in enumerate(order):
        if stop.requested or tried >= _MOST_PLANTED or filler.broken(filling) == 0:
            break
        there = _shown_on(filling, face)
        wanted = {category, *pairs.get(face, ())}
        if wanted <= there:
            continue
        must = frozenset((face, name) for name in wanted)
        filling, _ = refit(
            filler,
            filling,
            [face],
            sorted(there | wanted),
            PLANT_EFFORT,
            1,
            seed,
            stop,
            must=must,
        )
    return filling


def _shown_on(filling: Filling, face: int) -> set[str]:
    return {
        filling.plans[b].category
        for (b, _, _), count in filling.facings.items()
        if count and filling.plans[b].face == face
    }


def _learn(filler: Filler, filling: Filling, allotment: Allotment, learnt: Learnt) -> bool:
    """Note what did not work; say whether that can change the next choice."""
    neighbours = filler.neighbours
    assert neighbours is not None
    changed = False
    groups_of, touching = neighbours.groups(filling), neighbours.touching(filling)
    for category, most in neighbours.rules.blocks.items():
        if groups_of.get(category, 0) > most:
            count = sum(1 for name, _ in allotment.meant if name == category)
            fewer = min(count - 1, int(count * _FEWER))
            if fewer >= 1:
                learnt.most[category] = fewer
                changed = True
    for pair, face in allotment.joined:
        if pair not in touching and (pair, face) not in learnt.parted:
            learnt.parted.add((pair, face))
            changed = True
    for one, other in neighbours.rules.apart:
        if frozenset((one, other)) in touching:
            for category in (one, other):
                count = sum(1 for name, _ in allotment.meant if name == category)
                if count > 1:
                    learnt.most[category] = count - 1
                    changed = True
    return changed
