"""Floors with some slat-wall or a fixture less, for wishes that goods cannot meet on all of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from shopfit.solver.floor import FloorAnswer, numbers
from shopfit.solver.held import Filled


def with_less(found: Filled) -> Iterator[FloorAnswer]:
    """Give a floor without the slat-wall of one wall, of all walls, or without one fixture.

    What is taken away closes no way, and goods that stand in fewer places are kept together, apart
    or in order more easily. Fixtures that are pinned or wanted stay.

    Parameters
    ----------
    found
        The floor.
    """
    floor, positions = found.floor, found.problem.candidates
    walls = list(dict.fromkeys(positions[i].placement.wall for i in floor.slat))
    for wall in walls:
        yield _without(floor, (), (i for i in floor.slat if positions[i].placement.wall == wall))
    if len(walls) > 1:
        yield _without(floor, (), floor.slat)
    for i in floor.chosen:
        if positions[i].fixture is None or positions[i].pinned:
            continue
        less = _without(floor, (i,), (i,))
        standing = set(less.chosen)
        if all(sum(k in standing for k in own) >= low for low, _, own in numbers(found.problem)):
            yield less


def _without(floor: FloorAnswer, chosen: Iterable[int], slat: Iterable[int]) -> FloorAnswer:
    gone, bare = set(chosen), set(slat)
    return FloorAnswer(
        tuple(i for i in floor.chosen if i not in gone),
        tuple(i for i in floor.slat if i not in bare),
    )
