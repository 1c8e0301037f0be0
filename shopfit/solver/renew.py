"""Groups of faces filled wholly anew by the program over fillings of whole faces."""

from __future__ import annotations

import math
import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from shopfit.model.range import Line
from shopfit.solver.effort import Purse
from shopfit.solver.facefilling import FaceFilling, PricedBlock
from shopfit.solver.facesprogram import Demand
from shopfit.solver.fill import Filler
from shopfit.solver.filling import BlockPlan, Cell, Filling
from shopfit.solver.held import promise
from shopfit.solver.master import Master
from shopfit.stopping import StopFlag


@dataclass(frozen=True)
class Depth:
    """How thoroughly a group of faces is filled anew.

    Parameters
    ----------
    growth
        Rounds of pricing before any filling is taken for good.
    dive
        Rounds after each that is.
    tries
        Fillings tried at a step.
    cost
        Part of the work of the most thorough one.
    """

    growth: int
    dive: int
    tries: int
    cost: float


QUICK = Depth(4, 1, 1, 0.1)
MIDDLING = Depth(8, 2, 4, 0.3)
THOROUGH = Depth(40, 3, 4, 1.0)
# Faces filled anew together: more take too long to be priced.
MOST_FACES = 40
USUAL_FACES = 24
# Other categories that may come to stand on a group.
MOST_WANTING = 4
# Categories of a group, and deterministic work that a face and a line cost.
USUAL_CATEGORIES = 12
EFFORT_PER_CELL = 0.00065
# Parts of the work allowed after which nothing is added, and after which fillings are just taken.
GROWING_SHARE = 0.4
DIVING_SHARE = 0.85


def groups(filler: Filler, filling: Filling) -> list[list[int]]:
    """Split the faces into groups that show the same categories; a few faces are one group."""
    every = list(range(len(filler.faces)))
    if len(every) <= MOST_FACES:
        return [every]
    rank = {name: n for n, name in enumerate(filler.categories)}
    widest: dict[int, tuple[int, int]] = {}
    for plan, width in zip(filling.plans, filling.widths, strict=True):
        known = widest.get(plan.face, (0, 0))
        widest[plan.face] = max(known, (width, -rank[plan.category]))
    ordered = sorted(every, key=lambda n: (-widest.get(n, (0, -len(rank)))[1], n))
    count = math.ceil(len(every) / USUAL_FACES)
    size = math.ceil(len(every) / count)
    return [ordered[k : k + size] for k in range(0, len(every), size)]


def kin(filler: Filler, filling: Filling, rng: random.Random, size: int) -> list[int]:
    """Draw a group of faces most of which show categories in common."""
    every = list(range(len(filler.faces)))
    shows: dict[int, set[str]] = {n: set() for n in every}
    for plan in filling.plans:
        shows[plan.face].add(plan.category)
    short = filler.short_lines(filling)
    able = every
    if short:
        # Faces that can show one line can mostly show others that are missing.
        line = rng.choice(short)
        able = [n for n in every if filler.can_show(line, n)] or every
    group = rng.sample(able, min(len(able), size)) if short else [rng.choice(able)]
    while len(group) < min(size, len(every)):
        there = {name for n in group for name in shows[n]}
        others = [n for n in every if n not in group]
        akin = [n for n in others if shows[n] & there]
        group.append(rng.choice(akin if akin and rng.random() < 0.7 else others))
    return sorted(group)


def scarce(filler: Filler, filling: Filling) -> list[list[int]]:
    """List groups of few faces that alone can show lines that miss minimums."""
    found: dict[tuple[int, ...], None] = {}
    for line in filler.short_lines(filling):
        able = tuple(n for n in range(len(filler.faces)) if filler.can_show(line, n))
        if 0 < len(able) <= USUAL_FACES:
            found[able] = None
    return [list(able) for able in sorted(found, key=lambda able: (len(able), able))]


def renewing_effort(filler: Filler, faces: int, depth: Depth) -> float:
    """Give about what renewing so many faces costs, in the measure of deterministic work."""
    scenario = filler.site.scenario
    each = len(scenario.lines) / max(1, len(scenario.categories))
    lines = each * min(USUAL_CATEGORIES, len(scenario.categories))
    return EFFORT_PER_CELL * faces * lines * depth.cost


def renew(
    filler: Filler,
    filling: Filling,
    faces: Iterable[int],
    depth: Depth,
    seed: int,
    stop: StopFlag,
    purse: Purse | None = None,
) -> Filling:
    """Empty a group of faces and fill them anew, all together.

    Parameters
    ----------
    filler, filling
        The faces of the floor, and what stands on them.
    faces
        Numbers of the faces emptied.
    depth
        How thoroughly.
    seed, stop
        Seed of the random choices, and the stop flag.
    purse
        What may be spent, and from which it is taken; none for as much as it takes.

    Returns
    -------
    The better of the two fillings.
    """
    group = sorted(set(faces))
    lines = _lines(filler, filling, group, random.Random(seed))
    master = Master(
        lines,
        filler.display,
        [filler.faces[n] for n in group],
        _demand(filler, filling, set(group), lines),
        filler.worth,
    )
    for number, standing in _standing(filling, group).items():
        master.add_standing(filler.faces[number], standing)
    seconds = math.inf if purse is None else max(0.0, purse.left)
    grown = master.generate(depth.growth, stop, seed, seconds * GROWING_SHARE)
    if grown is not None:
        master.dive(depth.dive, depth.tries, stop, seconds * DIVING_SHARE)
    if purse is not None:
        purse.spend(master.work.seconds)
    if grown is None:
        return filling
    found = _merged(filling, group, master.filling([filler.faces[n] for n in group]))
    better = _better(filler, filling, found, len(group)) and filler.allowed(found)
    return found if better else filling


def _better(filler: Filler, filling: Filling, found: Filling, faces: int) -> bool:
    """Say whether a filling is better, or on the whole floor promises to be so once mended."""
    old, new = filler.score(filling), filler.score(found)
    if faces < len(filler.faces) or min(old.short, new.short) <= 0 or new.broken > old.broken:
        return filler.rank(found) > filler.rank(filling)
    return promise(new, sum(found.facings.values())) > promise(old, sum(filling.facings.values()))


def _lines(
    filler: Filler, filling: Filling, group: Sequence[int], rng: random.Random
) -> dict[str, list[Line]]:
    """Give the categories that stand on the group or miss minimums, and some that want room."""
    there = {plan.category for plan in filling.plans if plan.face in set(group)}
    there |= {line.category for line in filler.short_lines(filling)}
    names = filler.categories
    able = filler.wanting(filling)
    wanting = [name for name in names if name not in there and name in able]
    there |= set(rng.sample(wanting, min(MOST_WANTING, len(wanting))))
    return {name: filler.lines(name) for name in names if name in there}


def _demand(
    filler: Filler, filling: Filling, group: set[int], lines: dict[str, list[Line]]
) -> Demand:
    own = [line for category in lines.values() for line in category]
    demand = Demand(
        {line.line: line.max_facings for line in own},
        {line.line: line.min_facings for line in own},
        {line.line: line.holding for line in own},
        {},
        filler.money,
    )
    spent = 0.0
    for (b, row, name), facings in filling.facings.items():
        plan = filling.plans[b]
        if plan.face in group:
            continue
        shown = filler.display.showings[name, filler.faces[plan.face].kind]
        spent += shown.cost * facings
        if name in demand.most:
            weight = filler.display.weight(plan.category, plan.pattern.groups[row])
            demand.most[name] -= facings
            demand.least[name] = max(0, demand.least[name] - facings)
            demand.holding[name] = max(0, demand.holding[name] - shown.units * facings)
            demand.counted[name] = demand.counted.get(name, 0.0) + weight * facings
    if demand.money is None:
        return demand
    return Demand(
        demand.most, demand.least, demand.holding, demand.counted, max(0.0, demand.money - spent)
    )


def _standing(filling: Filling, group: Sequence[int]) -> dict[int, FaceFilling]:
    """Give what stands on each face of a group."""
    wanted = set(group)
    rows: dict[int, dict[int, dict[str, int]]] = {}
    for (b, row, name), facings in filling.facings.items():
        if filling.plans[b].face in wanted:
            rows.setdefault(b, {}).setdefault(row, {})[name] = facings
    blocks: dict[int, list[PricedBlock]] = {}
    for b in sorted(rows):
        plan = filling.plans[b]
        own = tuple(rows[b].get(r, {}) for r in range(len(plan.pattern.rows)))
        block = PricedBlock(plan.category, plan.pattern, own, filling.widths[b])
        blocks.setdefault(plan.face, []).append(block)
    return {face: FaceFilling.of(own) for face, own in blocks.items()}


def _merged(filling: Filling, group: Sequence[int], found: Filling) -> Filling:
    """Set a filling of a group of faces among the others."""
    emptied = set(group)
    plans: list[BlockPlan] = []
    widths: list[int] = []
    facings: dict[Cell, int] = {}
    for source, number in ((filling, None), (found, group)):
        place: dict[int, int] = {}
        for b, plan in enumerate(source.plans):
            face = plan.face if number is None else number[plan.face]
            if number is None and face in emptied:
                continue
            place[b] = len(plans)
            plans.append(BlockPlan(face, plan.category, plan.pattern))
            widths.append(source.widths[b])
        for (b, row, name), count in source.facings.items():
            if b in place:
                facings[place[b], row, name] = count
    return Filling(plans, widths, facings)
