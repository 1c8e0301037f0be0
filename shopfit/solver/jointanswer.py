"""When a joint search of floor, walls and faces ends, and what it answers."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from shopfit.solver.filling import BlockKey
from shopfit.solver.floor import FloorAnswer


@dataclass(frozen=True)
class JointAnswer:
    """A floor, what its faces could hold at best, and what no floor can exceed.

    Parameters
    ----------
    floor
        The positions, or none where the program has no answer.
    value, bound
        Worth of the answer with facings divisible, and the proven limit; shortfalls taken off.
    short
        Facings and units missing from minimums.
    blocks
        (category, class number, pattern) to width, mm.
    finished
        Whether the limit of nodes or the gap ended the search, and not the clock or a stop.
    impossible
        Whether it is proved that nothing meets the floor's rules.
    worked
        What the search cost, s of a slow core.
    """

    floor: FloorAnswer | None
    value: float = -math.inf
    bound: float = math.inf
    short: float = 0.0
    blocks: dict[BlockKey, float] = field(default_factory=dict)
    finished: bool = True
    impossible: bool = False
    worked: float = 0.0


@dataclass(frozen=True)
class Limits:
    """When a joint search ends.

    Parameters
    ----------
    nodes
        Most branch-and-bound nodes.
    gap
        Relative gap.
    seconds
        Wall time for safety; a search that it ends is not repeatable.
    seed
        Seed of the random choices.
    presolve
        Whether the program is made smaller first: where most positions are settled by another
        constraint, that takes far longer than the search.
    enough
        A bound as low as this ends the search.
    trying
        Whether branches are tried out before one is taken.
    """

    nodes: int
    gap: float
    seconds: float
    seed: int = 0
    presolve: bool = True
    enough: float = -math.inf
    trying: bool = True
