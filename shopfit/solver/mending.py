"""Mends what a filling misses a few faces at a time, changing as few blocks as it can."""

from __future__ import annotations

import random
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

from shopfit.model.range import Line
from shopfit.solver.effort import Purse, seconds_of
from shopfit.solver.filling import Filling
from shopfit.solver.restock import Restocked, restock_some
from shopfit.solver.reverting import Task, changed_faces, mixed
from shopfit.stopping import StopFlag

ATTEMPT_EFFORT = 0.04
# Deterministic work that an attempt costs besides the solver's own.
OVERHEAD = 0.004
OVERHEAD_PER_CELL = 5e-6
# Attempts without gain after which the search ends.
PATIENCE = 120
# What an attempt counts that has been made before.
REPEATED = 10
MOST_FACES = 3
# Categories that may be set up anew in one attempt, besides those that are missed.
MOST_NEW = 2


# Faces that are filled anew, and what may be set up there besides today's blocks.
Attempt = tuple[list[int], list[str]]


@dataclass(frozen=True)
class _Standing:
    """How far a filling is from what is asked for: smaller is better."""

    short: float
    lack: float
    changes: int

    def key(self) -> tuple[float, float, int]:
        return self.short, self.lack, self.changes


def mend(
    task: Task,
    filling: Filling,
    effort: float,
    workers: int,
    seed: int,
    stop: StopFlag,
    purse: Purse | None = None,
) -> Filling:
    """Reach the target from a filling near it, then undo changes that it does not need.

    Parameters
    ----------
    task, filling
        What is asked, and where to begin.
    effort
        Deterministic work allowed.
    workers
        Attempts side by side, each with one thread; gains are taken in order, so equal runs give
        equal answers.
    seed, stop
        Seed of the choice of faces, and the stop flag.
    purse
        From which the work is taken, if any.
    """
    rng = random.Random(seed)
    now = _measured(task, filling)
    # Blocks that lost a line have room for another, mostly for the one that comes in its place.
    touched = task.touched if filling is task.before else ()
    queue = sorted({task.before.plans[b].face for b in touched})
    since, tried, spent = 0, 0, 0.0
    # Attempts made since the last gain: once more they would end alike.
    seen: set[tuple[tuple[int, ...], tuple[str, ...]]] = set()
    with ThreadPoolExecutor(max_workers=workers) as pool:
        while spent < effort and since < PATIENCE and not stop.requested:
            if now.key() <= (0.0, 0.0, task.forced):
                break
            drawn: list[Attempt] = [([face], []) for face in queue[:workers]]
            queue = queue[workers:]
            drawn = drawn or _batch(task, filling, now, rng, workers)
            if not drawn:
                break
            base, batch = filling, [each for each in drawn if _name(each) not in seen]
            since += REPEATED * (len(drawn) - len(batch))
            seen |= {_name(each) for each in batch}
            results = _made(pool, task, base, batch, seed + tried, stop)
            tried += len(batch)
            since += len(batch)
            for (faces, _), got in zip(batch, results, strict=True):
                spent += got.work + OVERHEAD + OVERHEAD_PER_CELL * len(base.facings)
                if got.filling is None:
                    continue
                found = got.filling if filling is base else mixed(got.filling, filling, faces)
                measured = _measured(task, found)
                if measured.key() < now.key() and task.filler.allowed(found):
                    filling, now, since = found, measured, 0
                    seen.clear()
    if purse is not None:
        purse.spend(seconds_of(spent, workers))
    return filling


def _made(
    pool: ThreadPoolExecutor,
    task: Task,
    base: Filling,
    batch: Sequence[Attempt],
    seed: int,
    stop: StopFlag,
) -> list[Restocked]:
    """Make some attempts side by side, each with one thread."""
    attempts = [
        pool.submit(restock_some, task, base, faces, categories, ATTEMPT_EFFORT, 1, seed + n, stop)
        for n, (faces, categories) in enumerate(batch)
    ]
    return [attempt.result() for attempt in attempts]


def _name(attempt: Attempt) -> tuple[tuple[int, ...], tuple[str, ...]]:
    faces, categories = attempt
    return tuple(faces), tuple(categories)


def _measured(task: Task, filling: Filling) -> _Standing:
    score = task.filler.score(filling)
    lack = max(0.0, round(task.target - score.worth, 6))
    return _Standing(score.short, lack, task.changes(filling))


def _batch(
    task: Task, filling: Filling, now: _Standing, rng: random.Random, workers: int
) -> list[Attempt]:
    """Draw faces for each attempt, none twice, and what may be set up there."""
    taken: set[int] = set()
    batch: list[Attempt] = []
    short = task.filler.short_lines(filling)
    missed = now.short > 0 or now.lack > 0
    for _ in range(workers):
        line = rng.choice(short) if short else None
        if missed:
            faces = _able(task, filling, line, rng, taken)
        else:
            faces = _changed(task, filling, rng, taken)
        if not faces:
            break
        taken |= set(faces)
        batch.append((faces, _categories(task, filling, faces, line, rng)))
    return batch


def _able(
    task: Task, filling: Filling, line: Line | None, rng: random.Random, taken: set[int]
) -> list[int]:
    """Draw a face that can show a line, best one where its category stands, and some others."""
    filler = task.filler
    free = [n for n in range(len(filler.faces)) if n not in taken]
    able = [n for n in free if line is None or filler.can_show(line, n)] or free
    if not able:
        return []
    if line is not None:
        own = {plan.face for plan in filling.plans if plan.category == line.category}
        home = [n for n in able if n in own]
        able = home if home and rng.random() < 0.6 else able
    faces = [rng.choice(able)]
    rest = [n for n in free if n not in faces]
    # Half of the attempts are small and soon done.
    more = rng.choice((0, rng.randint(0, MOST_FACES - 1)))
    return sorted(faces + rng.sample(rest, min(more, len(rest))))


def _changed(task: Task, filling: Filling, rng: random.Random, taken: set[int]) -> list[int]:
    """Draw faces that do not hold what they held."""
    faces = [n for n in changed_faces(task.before, filling) if n not in taken]
    return sorted(rng.sample(faces, min(len(faces), rng.randint(1, MOST_FACES))))


def _categories(
    task: Task, filling: Filling, faces: Sequence[int], line: Line | None, rng: random.Random
) -> list[str]:
    """Draw what may be set up on faces: what stands there now, what is missed, and some more."""
    there = {plan.category for plan in filling.plans if plan.face in faces}
    there |= {line.category} if line is not None else set()
    count: dict[str, int] = {}
    for (_, _, name), facings in filling.facings.items():
        count[name] = count.get(name, 0) + facings
    lines = task.filler.site.scenario.lines
    wanting = {each.category for each in lines if count.get(each.line, 0) < each.max_facings}
    more = sorted(wanting - there)
    return sorted(there | set(rng.sample(more, min(len(more), MOST_NEW))))
