"""Sets that exclude one another and enter a relaxation as they are broken."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from shopfit.solver.conflicts import Cliques

# Sets with a position in common that enter a relaxation at once.
_MOST_ALIKE = 3


def broken(waiting: Cliques, shares: NDArray[np.float64]) -> tuple[Cliques, Cliques]:
    """Split waiting sets into those that enter next and the others.

    Those enter that an answer breaks, the worst first and not many alike.

    Parameters
    ----------
    waiting
        Sets of positions of which at most one may stand.
    shares
        How much of each position the answer takes, from 0 to 1.
    """
    sums = np.array([shares[group].sum() for group in waiting])
    seen = np.zeros(len(shares), dtype=np.int64)
    taken: set[int] = set()
    for k in np.argsort(-sums, kind="stable").tolist():
        if sums[k] <= 1.0 + 1e-6:
            break
        group = waiting[k]
        if seen[group].max() < _MOST_ALIKE:
            seen[group] += 1
            taken.add(k)
    found = [waiting[k] for k in sorted(taken)]
    return found, [group for k, group in enumerate(waiting) if k not in taken]


def covering(groups: Cliques, count: int) -> tuple[Cliques, Cliques]:
    """Split sets into a few that cover most positions, the largest first, and the others."""
    covered = np.zeros(count, dtype=bool)
    first: Cliques = []
    others: Cliques = []
    for group in sorted(groups, key=lambda group: (-group.size, group.tobytes())):
        if np.count_nonzero(~covered[group]) * 2 >= group.size:
            covered[group] = True
            first.append(group)
        else:
            others.append(group)
    return first, others
