"""Fillings of single faces: what stands there, block by block, and what it is worth."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from shopfit.solver.patterns import Pattern


@dataclass(frozen=True, order=True)
class FaceType:
    """Faces that hold the same goods.

    Parameters
    ----------
    kind
        Number of the class of face.
    units
        Width, in the pricer's unit of length, rounded down.
    near
        Whether new goods may stand there.
    barred
        Categories that may not stand there, in order.
    """

    kind: int
    units: int
    near: bool = True
    barred: tuple[str, ...] = ()


@dataclass(frozen=True)
class Prices:
    """What goods are worth on a face.

    Parameters
    ----------
    counted
        Of a line for each weighted facing.
    plain
        Of a line for each facing, whatever its row.
    """

    counted: Mapping[str, float]
    plain: Mapping[str, float]

    def of(self, line: str, weight: float) -> float:
        """Give the price of a facing in a row of a weight."""
        return self.counted[line] * weight + self.plain[line]


@dataclass(frozen=True)
class PricedBlock:
    """A category block of a filling.

    Parameters
    ----------
    category, pattern
        What stands there and how its height is divided.
    rows
        Facings of each line, row by row of the pattern.
    width
        Of its widest row, in the filling's measure.
    """

    category: str
    pattern: Pattern
    rows: tuple[Mapping[str, int], ...]
    width: int


@dataclass(frozen=True)
class FaceFilling:
    """A filling of one whole face.

    Parameters
    ----------
    blocks
        From left to right.
    facings
        Of each line in all.
    """

    blocks: tuple[PricedBlock, ...]
    facings: Mapping[str, int]

    @classmethod
    def of(cls, blocks: Iterable[PricedBlock]) -> FaceFilling:
        """Make a filling of blocks from left to right."""
        own = tuple(blocks)
        totals: dict[str, int] = {}
        for block in own:
            for row in block.rows:
                for name, count in row.items():
                    totals[name] = totals.get(name, 0) + count
        return cls(own, totals)
