"""Every way to fill a length, where there are few enough of them to look at all."""

from __future__ import annotations

from collections.abc import Sequence

from shopfit.cutting.problem import Board


def every_length(board: Board, demands: Sequence[int], most: int) -> list[tuple[int, ...]] | None:
    """List every filling of a length to which no wanted piece could be added.

    Parameters
    ----------
    board
        A board one unit high.
    demands
        Pieces wanted of each kind.
    most
        Gives up beyond so many.

    Returns
    -------
    Kinds of each filling, in order; none where there are more.
    """
    kinds = sorted(
        (kind for kind, forms in enumerate(board.forms) if forms and demands[kind]),
        key=lambda kind: (-board.forms[kind][0].width, kind),
    )
    sizes = [board.forms[kind][0].width for kind in kinds]
    found: list[tuple[int, ...]] = []
    counts = [0] * len(kinds)

    def full(room: int) -> bool:
        return all(size > room or counts[at] == demands[kinds[at]] for at, size in enumerate(sizes))

    def go_on(at: int, room: int) -> bool:
        if at == len(kinds):
            if full(room) and any(counts):
                filled = [kind for kind, n in zip(kinds, counts, strict=True) for _ in range(n)]
                found.append(tuple(sorted(filled)))
            return len(found) <= most
        able = min(demands[kinds[at]], room // sizes[at])
        for count in range(able, -1, -1):
            counts[at] = count
            if not go_on(at + 1, room - count * sizes[at]):
                return False
        counts[at] = 0
        return True

    return found if len(kinds) <= 40 and go_on(0, board.width) else None
