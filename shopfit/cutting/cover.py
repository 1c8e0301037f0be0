"""Puts patterns together: the linear program over them, and the choice in whole boards."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from shopfit.cutting.problem import Problem

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

Key = tuple[int, tuple[int, ...]]
# Boards in the linear program at a time; others enter when their prices ask for it.
_AT_ONCE = 1_500
_ROUNDS = 40
_SURE = 0.9
# Nodes end the search; the clock only guards against slow ones.
_SECONDS = 20.0


@dataclass(frozen=True)
class Relaxed:
    """The best mix of fractions of patterns.

    Parameters
    ----------
    worth
        What it costs.
    prices
        Of one piece of each kind.
    reduced
        For every pattern, what taking one of it would cost at these prices.
    """

    worth: float
    prices: Floats
    reduced: Floats


class Cover:
    """Patterns as columns: every kind at least as often as wanted, no board more than there are.

    Parameters
    ----------
    problem
        What is wanted.
    keys
        Board and kinds of each pattern.
    costs
        What one of each costs.
    """

    def __init__(self, problem: Problem, keys: Sequence[Key], costs: Sequence[float]) -> None:
        import numpy as np
        from scipy.sparse import csc_matrix

        self.problem, self.keys = problem, list(keys)
        self.costs = np.array(costs, dtype=float)
        fitting = set(problem.fitting)
        self.rows = [kind for kind in sorted(fitting) if problem.demands[kind]]
        row_of = {kind: row for row, kind in enumerate(self.rows)}
        rows = [row_of[kind] for _, kinds in keys for kind in kinds]
        lengths = [len(kinds) for _, kinds in keys]
        columns = np.repeat(np.arange(len(keys)), lengths)
        shape = (len(self.rows), len(keys))
        self.matrix: Any = csc_matrix((np.ones(len(rows)), (rows, columns)), shape=shape)
        self.wanted = np.array([problem.demands[kind] for kind in self.rows], dtype=float)
        self.board_of = np.array([board for board, _ in keys], dtype=int)
        # What the last choice was proved to cost at least, of these patterns.
        self.least = float("-inf")
        total = sum(problem.demands)
        self.short = [n for n, board in enumerate(problem.boards) if board.most < total]

    def relax(self) -> Relaxed | None:
        """Solve the linear program, with ever more of the patterns; none where nothing covers."""
        import numpy as np
        from scipy.optimize import linprog
        from scipy.sparse import vstack

        limits = self._limits()
        chosen = np.zeros(len(self.keys), dtype=bool)
        chosen[:_AT_ONCE] = True
        for _ in range(_ROUNDS):
            at = np.flatnonzero(chosen)
            rows = vstack([-self.matrix[:, at], limits[:, at]]).tocsc()
            most = np.concatenate([-self.wanted, self._most()])
            found = linprog(self.costs[at], A_ub=rows, b_ub=most, method="highs")
            if found.status != 0:
                if chosen.all():
                    return None
                chosen[:] = True
                continue
            marginals = -np.asarray(found.ineqlin.marginals)
            prices, scarce = marginals[: len(self.rows)], marginals[len(self.rows) :]
            reduced = self.costs - self.matrix.T @ prices + limits.T @ scarce
            better = np.flatnonzero((reduced < -1e-7) & ~chosen)
            if not len(better):
                break
            chosen[better[np.argsort(reduced[better], kind="stable")[:_AT_ONCE]]] = True
        by_kind = np.zeros(len(self.problem.demands))
        by_kind[self.rows] = prices
        return Relaxed(float(found.fun), by_kind, reduced)

    def surest(self, at: Sequence[int], wanted: Floats) -> list[int]:
        """Give patterns that the linear program takes nearly whole, or else the one most of all.

        Parameters
        ----------
        at
            Patterns to choose from.
        wanted
            Pieces still wanted, by row.
        """
        import numpy as np
        from scipy.optimize import linprog

        index = np.array(at, dtype=int)
        found = linprog(
            self.costs[index], A_ub=-self.matrix[:, index], b_ub=-wanted, method="highs"
        )
        if found.status != 0:
            return []
        order = np.argsort(-found.x, kind="stable")
        sure = [int(index[n]) for n in order if found.x[n] >= _SURE]
        return sure or [int(index[order[0]])]

    def given(self, column: int) -> Floats:
        """Give how many of each row a pattern gives."""
        import numpy as np

        return np.asarray(self.matrix[:, [column]].todense()).ravel()

    def choose(
        self, at: Sequence[int], nodes: int, costs: Floats | None = None, most: float | None = None
    ) -> list[int] | None:
        """Choose whole numbers of patterns; gives each as often as it is taken, or none.

        Parameters
        ----------
        at
            Patterns to choose from.
        nodes
            Most nodes of the search.
        costs, most
            Other costs to make least, and the most that the costs proper may come to then.
        """
        import numpy as np
        from scipy.optimize import Bounds, LinearConstraint, milp

        index = np.array(sorted(at), dtype=int)
        rows = [LinearConstraint(self.matrix[:, index], self.wanted, np.inf)]
        if self.short:
            rows.append(LinearConstraint(self._limits()[:, index], -np.inf, self._most()))
        if most is not None:
            rows.append(LinearConstraint(self.costs[None, index], -np.inf, most + 1e-6))
        found = milp(
            (self.costs if costs is None else costs)[index],
            constraints=rows,
            integrality=np.ones(len(index)),
            bounds=Bounds(0, np.inf),
            options={"node_limit": nodes, "mip_rel_gap": 0.0, "time_limit": _SECONDS},
        )
        self.least = -np.inf if found.mip_dual_bound is None else float(found.mip_dual_bound)
        if found.x is None:
            return None
        times = np.round(found.x).astype(int)
        return [int(column) for column, n in zip(index, times, strict=True) for _ in range(n)]

    def _limits(self) -> Any:
        import numpy as np
        from scipy.sparse import csc_matrix

        rows = np.array([self.board_of == number for number in self.short], dtype=float)
        return csc_matrix(rows.reshape(len(self.short), len(self.keys)))

    def _most(self) -> Floats:
        import numpy as np

        return np.array([self.problem.boards[n].most for n in self.short], dtype=float)
