"""Ways that lead no farther: what is left of the ways through a floor when loops are taken out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from shopfit.geometry.gaps import Floats
from shopfit.geometry.shell import PlanPoint
from shopfit.geometry.widest import Floors
from shopfit.units import TOLERANCE_MM

# Between two triangles the place where a circle no longer fits is found to a 32nd of the way.
_STEPS = 33


@dataclass(frozen=True)
class DeadEnd:
    """A way that leads no farther and on which no circle of the size asked about fits.

    Parameters
    ----------
    line
        Along the middle of the way, mm: from where a circle last fits, or a way branches off, to
        where it ends.
    length
        How long its floor is beyond that circle, mm.
    floor
        The triangles of it, mm.
    """

    line: tuple[PlanPoint, ...]
    length: float
    floor: BaseGeometry

    @property
    def end(self) -> PlanPoint:
        """Where it ends, mm."""
        return self.line[-1]


def dead_ends(
    floors: Floors,
    starts: Sequence[BaseGeometry],
    width: float,
    circle: float,
    longer: float,
) -> list[DeadEnd]:
    """List the dead ends of the ways that lead from some places.

    Parameters
    ----------
    floors
        The floors.
    starts
        Where ways begin and may leave the floor: the floors before doors.
    width
        Clear width from which a passage is a way, mm.
    circle
        Diameter of a turning circle, mm: where one fits no way ends.
    longer
        Only dead ends longer than this, mm.
    """
    if not floors.count:
        return []
    forest = _Forest(floors, starts, width, circle)
    return forest.ends(longer)


class _Forest:
    """The triangles that hang on loops, doors and turning circles as trees."""

    def __init__(
        self, floors: Floors, starts: Sequence[BaseGeometry], width: float, circle: float
    ) -> None:
        self._floors = floors
        self._circle = circle
        ones, others = floors.ends
        wide = floors.widths >= width - TOLERANCE_MM
        self._pairs = np.stack([ones[wide], others[wide]], axis=1)
        roomy = np.flatnonzero(floors.clear >= circle - 2 * TOLERANCE_MM)
        doors = [floors.joined(place)[0] for place in starts]
        self._fixed = {int(k) for found in (roomy, *doors) for k in found}
        self._near: dict[int, list[int]] = {}
        for a, b in self._pairs.tolist():
            self._near.setdefault(a, []).append(b)
            self._near.setdefault(b, []).append(a)
        self._root = self._pruned()

    def _pruned(self) -> dict[int, int]:
        """Take off triangle after triangle that only one way leads to; give what each hangs on."""
        degree = {k: len(near) for k, near in self._near.items()}
        leaves = [k for k, number in degree.items() if number == 1 and k not in self._fixed]
        hung: dict[int, int] = {}
        while leaves:
            leaf = leaves.pop()
            left = [k for k in self._near[leaf] if k not in hung]
            if not left:
                continue
            hung[leaf] = left[0]
            degree[left[0]] -= 1
            if degree[left[0]] == 1 and left[0] not in self._fixed:
                leaves.append(left[0])
        return hung

    def ends(self, longer: float) -> list[DeadEnd]:
        """List the dead ends: of each tree the longest branch first, then what is left of it."""
        centres = self._floors.centres
        far: dict[int, float] = {}
        for leaf in self._root:
            self._distance(leaf, far)
        found: list[DeadEnd] = []
        taken: set[int] = set()
        for leaf in sorted(far, key=lambda k: (-far[k], k)):
            if leaf in taken:
                continue
            branch = [leaf]
            while branch[-1] in self._root and self._root[branch[-1]] not in taken:
                branch.append(self._root[branch[-1]])
                if branch[-1] not in self._root:
                    break
            taken.update(branch)
            line, circled = self._beyond(centres[np.array(branch[::-1])])
            length = float(np.hypot(*np.diff(line, axis=0).T).sum())
            length += float(self._floors.clear[leaf]) / 2 - (self._circle / 2 if circled else 0.0)
            if length > longer + TOLERANCE_MM:
                places = tuple((float(x), float(y)) for x, y in line)
                found.append(DeadEnd(places, length, self._floor(branch)))
        return found

    def _beyond(self, line: Floats) -> tuple[Floats, bool]:
        """Cut off what of a line a circle still fits on; say whether one fits at its beginning."""
        _, clear = self._floors.located(line)
        last = int(np.max(np.flatnonzero(clear >= self._circle), initial=-1))
        if last < 0 or last == len(line) - 1:
            return line, last >= 0
        share = np.linspace(0.0, 1.0, _STEPS)[:, None]
        between = line[last] + share * (line[last + 1] - line[last])
        _, clear = self._floors.located(between)
        edge = between[np.max(np.flatnonzero(clear >= self._circle), initial=0)]
        return np.concatenate([edge[None], line[last + 1 :]]), True

    def _distance(self, leaf: int, far: dict[int, float]) -> float:
        chain = []
        node = leaf
        while node in self._root and node not in far:
            chain.append(node)
            node = self._root[node]
        total = far.get(node, 0.0)
        for one in reversed(chain):
            step = self._floors.centres[one] - self._floors.centres[self._root[one]]
            total += float(np.hypot(step[0], step[1]))
            far[one] = total
        return total

    def _floor(self, branch: Sequence[int]) -> BaseGeometry:
        shapes: list[Polygon] = [self._floors.triangle(k) for k in branch]
        return shapely.union_all(shapes)
