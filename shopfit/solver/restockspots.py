"""Blocks that stand and blocks that may be set up, for the program that restocks faces."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from shopfit.solver.patterns import Pattern
from shopfit.solver.reverting import Task


@dataclass
class Spot:
    """A block that stands or may be set up: its face, category, ways to divide it, and its number.

    Parameters
    ----------
    face, category, patterns
        Where, what, and the divisions it may have; of a block that stands the first is its own.
    block
        Number of the block that stands, or none.
    """

    face: int
    category: str
    patterns: tuple[Pattern, ...]
    block: int | None = None


def cells(task: Task, faces: Collection[int], categories: Sequence[str]) -> int:
    """Count the facings to choose."""
    count = 0
    for spot in spots_of(task, faces, categories):
        rows = max(len(pattern.rows) for pattern in spot.patterns)
        count += rows * len(task.filler.lines(spot.category))
    return count


def spots_of(task: Task, faces: Collection[int], categories: Sequence[str]) -> Iterator[Spot]:
    """Give the blocks that stand on some faces, and what may be set up there besides."""
    filler, shown = task.filler, task.filler.display
    for b, plan in enumerate(task.before.plans):
        if plan.face in faces:
            own = shown.patterns[plan.category, filler.faces[plan.face].kind]
            others = tuple(pattern for pattern in own if pattern != plan.pattern)
            # Where rows have weights, a row's facings must count as in one division only.
            others = () if shown.weights else others
            yield Spot(plan.face, plan.category, (plan.pattern, *others), b)
    for face in sorted(faces):
        for category in categories:
            patterns = shown.patterns[category, filler.faces[face].kind]
            if patterns and any(filler.can_show(line, face) for line in filler.lines(category)):
                apart = [(pattern,) for pattern in patterns] if shown.weights else [patterns]
                yield from (Spot(face, category, some) for some in apart)
