"""A filling: whole facings in rows of blocks, and what it is worth."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from typing import Any

from shopfit.solver.patterns import Pattern

# Sums and products of the solver's variables, which its own stubs cannot follow.
Linear = Any
# Widths are whole grains in the integer programs, eighty to a millimetre, for then millimetres
# and sixteenths of an inch are exact; goods round up, faces down.
PER_MM = 80
WORTH_SCALE = 100
SHORTFALL = 1000


@dataclass(frozen=True)
class BlockPlan:
    """A block that may stand on a face.

    Parameters
    ----------
    face
        Number of the face.
    category, pattern
        What stands there and how its height is divided.
    """

    face: int
    category: str
    pattern: Pattern


BlockKey = tuple[str, int, Pattern]
Cell = tuple[int, int, str]


@dataclass
class Filling:
    """Whole facings in rows of blocks.

    Parameters
    ----------
    plans
        The blocks, in order along each face.
    widths
        Width of each block, grains of a millimetre.
    facings
        (block number, row number, line) to facings.
    """

    plans: list[BlockPlan]
    widths: list[int]
    facings: dict[Cell, int] = field(default_factory=dict)

    def total(self, line: str) -> int:
        """Count a line's facings."""
        return sum(count for (_, _, name), count in self.facings.items() if name == line)

    def without(self, barred: Mapping[int, Collection[str]]) -> Filling:
        """Leave out the blocks that may not stand where they do.

        Parameters
        ----------
        barred
            For each face, the categories that may not stand there.
        """
        kept = [b for b, plan in enumerate(self.plans) if plan.category not in barred[plan.face]]
        place = {b: k for k, b in enumerate(kept)}
        return Filling(
            [self.plans[b] for b in kept],
            [self.widths[b] for b in kept],
            {
                (place[b], row, line): count
                for (b, row, line), count in self.facings.items()
                if b in place
            },
        )

    def by_block(self) -> dict[int, list[tuple[tuple[int, str], int]]]:
        """Give, for each block that shows something, its row numbers and lines with facings."""
        found: dict[int, list[tuple[tuple[int, str], int]]] = {}
        for (b, row, name), count in self.facings.items():
            found.setdefault(b, []).append(((row, name), count))
        return found


@dataclass(frozen=True)
class Score:
    """What a filling is worth, best first in this order.

    Parameters
    ----------
    short
        Facings and units missing from minimums.
    worth, second
        The brief's objective and the other one.
    cost
        Of brackets and shelves at least.
    broken
        Wishes on the places of goods that are not met; they come after the minimums.
    lines
        Lines that miss a minimum.
    """

    short: float
    worth: float
    second: float
    cost: float
    broken: int = 0
    lines: int = 0

    @property
    def complete(self) -> bool:
        """Whether no minimum is missed and no wish broken."""
        return self.short <= 0 and self.broken <= 0

    @property
    def lack(self) -> tuple[int, float]:
        """How far it is from what is wanted: the less, the better.

        A minimum that one line misses is soon mended, many wishes broken are not; so both count
        alike.
        """
        return self.lines + self.broken, -self.worth

    def key(self) -> tuple[float, float, float, float, float]:
        """Order fillings: larger is better."""
        return (-self.short, -self.broken, self.worth, self.second, -self.cost)


def grains(length: float) -> int:
    """Give a length in whole grains, rounded up."""
    return math.ceil(length * PER_MM - 1e-6)


def thousandths(money: float) -> int:
    """Give money in whole thousandths, rounded up, so that no sum comes out too small."""
    return math.ceil(money * 1000 - 1e-6)
