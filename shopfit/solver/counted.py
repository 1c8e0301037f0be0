"""Counts what stands on some faces, line by line."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from shopfit.model.range import Line
from shopfit.solver.filling import Filling, thousandths

if TYPE_CHECKING:
    from shopfit.solver.fill import Filler


@dataclass
class Counted:
    """What stands on some faces.

    Attributes
    ----------
    facings, units
        Of each line.
    weighted
        For each line facings and weights of their rows.
    spent
        Thousandths of money, by the piece.
    """

    facings: dict[str, int] = field(default_factory=dict[str, int])
    units: dict[str, int] = field(default_factory=dict[str, int])
    weighted: dict[str, list[tuple[float, int]]] = field(
        default_factory=dict[str, list[tuple[float, int]]]
    )
    spent: int = 0

    def weight(self, line: str) -> float:
        """Give the weighted facings of a line."""
        return sum(weight * count for weight, count in self.weighted.get(line, ()))

    def missing(self, line: Line, others: Counted) -> int:
        """Count the facings and units that a line misses of its minimums, here and elsewhere."""
        facings = self.facings.get(line.line, 0) + others.facings.get(line.line, 0)
        units = self.units.get(line.line, 0) + others.units.get(line.line, 0)
        return max(0, line.min_facings - facings) + max(0, line.holding - units)


def counted(filler: Filler, filling: Filling, faces: Container[int], inside: bool) -> Counted:
    """Count what stands on some faces, or on all others.

    Parameters
    ----------
    filler, filling
        The faces of the floor and what stands on them.
    faces, inside
        Numbers of faces, and whether these or all others are meant.
    """
    found = Counted()
    for (b, row, name), facings in filling.facings.items():
        plan = filling.plans[b]
        if (plan.face in faces) is not inside:
            continue
        weight = filler.display.weight(plan.category, plan.pattern.groups[row])
        found.weighted.setdefault(name, []).append((weight, facings))
        showing = filler.display.showings[name, filler.faces[plan.face].kind]
        found.facings[name] = found.facings.get(name, 0) + facings
        found.units[name] = found.units.get(name, 0) + facings * showing.units
        found.spent += thousandths(showing.cost) * facings
    return found
