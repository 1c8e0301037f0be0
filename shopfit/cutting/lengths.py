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
    # How much all pieces of the kinds from one on would take.
    rest = [0]
    for kind, size in zip(reversed(kinds), reversed(sizes), strict=True):
        rest.insert(0, rest[0] + demands[kind] * size)
    found: list[tuple[int, ...]] = []
    counts = [0] * len(kinds)

    def go_on(at: int, room: int, least: int | None) -> bool:
        """Fill the room with kinds from one on; ``least`` is the smallest of which one is left."""
        if least is not None and room - rest[at] >= least:
            return True  # one of them would fit beside all that follow
        if at == len(kinds):
            if any(counts):
                filled = [kind for kind, n in zip(kinds, counts, strict=True) for _ in range(n)]
                found.append(tuple(sorted(filled)))
            return len(found) <= most
        demand, size = demands[kinds[at]], sizes[at]
        for count in range(min(demand, room // size), -1, -1):
            counts[at] = count
            if not go_on(at + 1, room - count * size, least if count == demand else size):
                return False
        counts[at] = 0
        return True

    return found if len(kinds) <= 40 and go_on(0, board.width, None) else None
