"""Betters a filling by emptying a few faces at a time and filling them anew."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor

from shopfit.model.range import Line
from shopfit.solver.effort import Purse, seconds_of
from shopfit.solver.fill import Filler
from shopfit.solver.filling import BlockPlan, Cell, Filling
from shopfit.solver.refit import refit
from shopfit.stopping import StopFlag

# Deterministic time of one attempt; most end much earlier with a proof.
ATTEMPT_EFFORT = 0.04
# Deterministic work that an attempt costs besides the solver's own.
OVERHEAD = 0.003
OVERHEAD_PER_CELL = 1.0e-5
# Attempts without gain after which the search ends.
PATIENCE = 600
# Faces and categories of one attempt: small enough to be solved to the end most of the time.
MOST_FACES = 3
MOST_CATEGORIES = 7


def improve(
    filler: Filler,
    filling: Filling,
    effort: float,
    workers: int,
    seed: int,
    stop: StopFlag,
    goal: float,
    tell: Callable[[Filling], None],
    purse: Purse | None = None,
    saving: bool = False,
    patience: int = PATIENCE,
) -> Filling:
    """Try neighbourhoods of faces until the goal, the work allowed or patience are used up.

    Parameters
    ----------
    filler, filling
        The faces of the floor and what stands on them.
    effort
        Deterministic work allowed.
    workers
        Neighbourhoods tried side by side; each uses one thread, and gains are taken in order, so
        equal runs give equal answers.
    seed, stop
        Seed of the choice of neighbourhoods, and the stop flag.
    goal
        Worth that cannot be bettered.
    tell
        Called with every better filling.
    purse
        From which the work is taken, if any.
    saving
        Whether money is saved, and neither worth nor the second objective may fall; then a goal
        that is reached is no end.
    patience
        Attempts without gain after which the search ends.

    Returns
    -------
    A filling at least as good.
    """
    rng = random.Random(seed)
    since, tried, spent = 0, 0, 0.0
    with ThreadPoolExecutor(max_workers=workers) as pool:
        while spent < effort and since < patience and not stop.requested:
            score = filler.score(filling)
            if score.complete and score.worth >= goal and not saving:
                break
            batch = _batch(filler, filling, rng, workers)
            if not batch:
                break
            base = filling
            tasks = [
                pool.submit(
                    refit,
                    filler,
                    base,
                    faces,
                    kinds,
                    ATTEMPT_EFFORT,
                    1,
                    seed + tried + n,
                    stop,
                    saving=saving,
                )
                for n, (faces, kinds) in enumerate(batch)
            ]
            tried += len(batch)
            since += len(batch)
            spent += len(batch) * (OVERHEAD + OVERHEAD_PER_CELL * len(base.facings))
            for (faces, _), task in zip(batch, tasks, strict=True):
                found, work = task.result()
                spent += work
                merged = _merged(filler, filling, base, found, faces)
                if merged is not None:
                    if saving or filler.rank(merged)[:3] > filler.rank(filling)[:3]:
                        since = 0
                        tell(merged)
                    filling = merged
    if purse is not None:
        purse.spend(seconds_of(spent, workers))
    return filling


def _merged(
    filler: Filler, filling: Filling, base: Filling, found: Filling, faces: Sequence[int]
) -> Filling | None:
    """Take over the faces of an attempt, or none where the whole would not be better or allowed."""
    if found is base:
        return None
    if filling is not base:
        found = _transplanted(filling, found, set(faces))
    if filler.rank(found) <= filler.rank(filling) or not filler.allowed(found):
        return None
    return found


def _transplanted(filling: Filling, found: Filling, faces: set[int]) -> Filling:
    plans: list[BlockPlan] = []
    widths: list[int] = []
    facings: dict[Cell, int] = {}
    for source, inside in ((filling, False), (found, True)):
        own = source.by_block()
        for b, plan in enumerate(source.plans):
            if (plan.face in faces) is inside:
                facings |= {(len(plans), *cell): count for cell, count in own.get(b, ())}
                plans.append(plan)
                widths.append(source.widths[b])
    return Filling(plans, widths, facings)


def _batch(
    filler: Filler, filling: Filling, rng: random.Random, workers: int
) -> list[tuple[list[int], list[str]]]:
    batch: list[tuple[list[int], list[str]]] = []
    taken: set[int] = set()
    short = filler.short_lines(filling)
    for _ in range(workers):
        # A missed minimum outweighs all else, so most attempts go to where one can be mended.
        line = rng.choice(short) if short and rng.random() < 0.8 else None
        faces = _neighbourhood(filler, filling, rng, taken, line)
        if faces:
            taken |= set(faces)
            kinds = set(_categories(filler, filling, faces, rng))
            batch.append((faces, sorted(kinds | ({line.category} if line else set()))))
    return batch


def _neighbourhood(
    filler: Filler,
    filling: Filling,
    rng: random.Random,
    taken: set[int],
    line: Line | None,
) -> list[int]:
    """Choose a face, one that can show the line if there is one, and others akin or anywhere."""
    free = [n for n in range(len(filler.faces)) if n not in taken]
    if not free:
        return []
    able = [n for n in free if line is not None and filler.can_show(line, n)]
    faces = [rng.choice(able or free)]
    own = {plan.category for plan in filling.plans if plan.face == faces[0]}
    kin = sorted({p.face for p in filling.plans if p.category in own} - taken - set(faces))
    size = rng.randint(1, MOST_FACES)
    while len(faces) < min(size, len(free)):
        pool = kin if kin and rng.random() < 0.7 else free
        face = rng.choice(pool)
        if face not in faces:
            faces.append(face)
        kin = [n for n in kin if n not in faces]
    return sorted(faces)


def _categories(
    filler: Filler, filling: Filling, faces: Sequence[int], rng: random.Random
) -> list[str]:
    """Choose what may stand on the faces: what stands there, what is short, and some others."""
    there = sorted({plan.category for plan in filling.plans if plan.face in set(faces)})
    names = filler.categories
    able = filler.wanting(filling)
    wanting = [c for c in names if c not in there and c in able]
    others = [c for c in names if c not in there and c not in wanting]
    chosen = there[:MOST_CATEGORIES] + rng.sample(wanting, min(len(wanting), 2))
    spare = max(0, MOST_CATEGORIES - len(chosen))
    return sorted(chosen + rng.sample(others, min(len(others), spare, 1)))
