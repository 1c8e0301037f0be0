"""Fewest boards that any placing of the pieces needs, by functions under which all still fits."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from shopfit.cutting.problem import Board

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

_PARTS = 8
_MOST_THRESHOLDS = 150


def fewest_boards(board: Board, demands: Sequence[int]) -> int:
    """Give a number of boards of one kind below which no placing can be, guillotine or free.

    Sides are weighed by functions under which whatever fitted a side still fits (Fekete and
    Schepers 2001, Mathematical Programming 91, 11-31, from memory), every one along x with every
    one along y; the heaviest pair counts. A piece that may turn weighs what it weighs in its
    lighter position.

    Parameters
    ----------
    board
        With the form of every kind; kinds without a form are left out.
    demands
        Pieces wanted of each kind.
    """
    import numpy as np

    kinds = [kind for kind, forms in enumerate(board.forms) if forms and demands[kind]]
    if not kinds:
        return 0
    wanted = np.array([demands[kind] for kind in kinds], dtype=float)
    first = [board.forms[kind][0] for kind in kinds]
    last = [board.forms[kind][-1] for kind in kinds]
    across = _weighed(board.width, [form.width for form in (*first, *last)])
    upward = _weighed(board.height, [form.height for form in (*first, *last)])
    n = len(kinds)
    if all(one == other for one, other in zip(first, last, strict=True)):
        heaviest = float(((across[:, :n] * wanted) @ upward[:, :n].T).max())
    else:
        heaviest = max(
            float((np.minimum(row[:n] * upward[:, :n], row[n:] * upward[:, n:]) @ wanted).max())
            for row in across
        )
    return math.ceil(heaviest - 1e-6)


def _weighed(whole: int, sizes: Sequence[int]) -> Floats:
    """Weigh sizes as parts of a side, by each function in a row."""
    import numpy as np

    given = np.array(sizes, dtype=np.int64)
    rows: list[Floats] = [given / whole]
    for parts in range(1, _PARTS):
        scaled = (parts + 1) * given
        rows.append(np.where(scaled % whole == 0, given / whole, (scaled // whole) / parts))
    thresholds = sorted({min(size, whole - size) for size in sizes if 0 < 2 * size <= 2 * whole})
    thresholds = [each for each in thresholds if 0 < 2 * each <= whole][:_MOST_THRESHOLDS]
    for least in thresholds:
        # Large ones fill the side, small ones weigh nothing.
        rows.append(
            np.where(given > whole - least, 1.0, np.where(given < least, 0.0, given / whole))
        )
        rows.append(_counted(whole, given, least))
    return np.unique(np.round(np.array(rows), 12), axis=0)


def _counted(whole: int, given: NDArray[np.int64], least: int) -> Floats:
    """Weigh by how many pieces of at least some size go beside one another."""
    import numpy as np

    most = whole // least
    halves = 2 * given
    large = 1.0 - ((whole - given) // least) / most
    return np.where(halves > whole, large, np.where(given < least, 0.0, 1.0 / most))
