"""Gives groups of a category other places, where they could show more."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass

from shopfit.solver.alike import densest
from shopfit.solver.fill import Filler
from shopfit.solver.filling import PER_MM, Filling
from shopfit.solver.neighbours import Neighbours

# The part of a face that is free where it may be given to another category, how much of what would
# fit by its densest goods does stand there in the end, and by how much this is shaken.
_FREE = 0.5
_FILLED = 0.7
_SHAKEN = 0.5
# What a facing or unit missing from a minimum counts, in facings of the dearest line.
_MISSING = 1000.0


@dataclass(frozen=True)
class _Group:
    """What a category shows in one place: its worth, and the faces."""

    worth: float
    faces: frozenset[int]


@dataclass(frozen=True)
class _Shown:
    """What blocks show, and what is shown in all beyond minimums.

    Parameters
    ----------
    worth
        Of each block.
    facings, units
        Of the lines of each block.
    spare_facings, spare_units
        Of each line: what it shows and holds more than it has to.
    missing
        What a facing or unit missing from a minimum counts.
    """

    worth: dict[int, float]
    facings: dict[int, dict[str, int]]
    units: dict[int, dict[str, int]]
    spare_facings: dict[str, int]
    spare_units: dict[str, int]
    missing: float

    @classmethod
    def of(cls, filler: Filler, filling: Filling) -> _Shown:
        """Count what a filling shows."""
        lines, shown = filler.site.scenario.lines, filler.display
        own = cls(
            {},
            {},
            {},
            {line.line: -line.min_facings for line in lines},
            {line.line: -line.holding for line in lines},
            _MISSING * filler.worth.dearest,
        )
        for (b, row, name), count in filling.facings.items():
            plan = filling.plans[b]
            weight = shown.weight(plan.category, plan.pattern.groups[row])
            units = count * shown.showings[name, filler.faces[plan.face].kind].units
            own.worth[b] = own.worth.get(b, 0.0) + weight * count * filler.first[name]
            for of_blocks, spare, many in (
                (own.facings, own.spare_facings, count),
                (own.units, own.spare_units, units),
            ):
                of_block = of_blocks.setdefault(b, {})
                of_block[name] = of_block.get(name, 0) + many
                spare[name] += many
        return own

    def lost(self, blocks: Sequence[int]) -> float:
        """Give what is lost without some blocks."""
        short = 0
        for of_blocks, spare in (
            (self.facings, self.spare_facings),
            (self.units, self.spare_units),
        ):
            gone: dict[str, int] = {}
            for b in blocks:
                for name, many in of_blocks.get(b, {}).items():
                    gone[name] = gone.get(name, 0) + many
            short += sum(max(0, min(many, many - spare[name])) for name, many in gone.items())
        return sum(self.worth.get(b, 0.0) for b in blocks) + self.missing * short


class Regrouping:
    """Where categories with a limit on their groups may stand next.

    Groups beyond the limit are given up, the least first. A face of which much is free goes to the
    category that gains most there: one whose group adjoins it, one with fewer groups than it may
    have, or one that gives up a group worth less.

    Parameters
    ----------
    filler, near
        The faces, on which everything may stand, and how they lie among one another.
    """

    def __init__(self, filler: Filler, near: Neighbours) -> None:
        self._filler, self._near = filler, near
        self._beside: dict[int, set[int]] = {n: set() for n in range(len(filler.faces))}
        ends = [(link.left, link.right) for link in near.links]
        for one, other in ends + [(over.upper, over.lower) for over in near.overs]:
            self._beside[one].add(other)
            self._beside[other].add(one)
        self._dense: dict[tuple[str, int], float] = {}
        self._able: dict[tuple[str, int], bool] = {}

    def next(self, own: Filler, filling: Filling, rng: random.Random) -> Filler:
        """Give a filler of the same faces with other categories barred from them.

        Parameters
        ----------
        own, filling
            The filler with what is barred now, and what stands.
        rng
            Shakes what is expected to be gained.
        """
        groups = self._groups(filling)
        unmet, spots = self._unmet(filling), dict[str, set[int]]()
        free = self._free(filling)
        for n in sorted(free, key=lambda n: -free[n]):
            if free[n] > _FREE * self._filler.faces[n].width:
                self._give(n, free[n], groups, unmet, spots, rng)
        open_to = {
            name: self._open(groups[name], spots.get(name, set()), most)
            for name, most in self._near.rules.blocks.items()
        }
        barred = {
            n: {name for name in face.barred if name not in open_to}
            | {name for name, faces in open_to.items() if n not in faces}
            for n, face in enumerate(own.faces)
        }
        return self._filler.restricted(barred)

    def _groups(self, filling: Filling) -> dict[str, list[_Group]]:
        """Give the groups of each category, those worth most first and no more than it may have.

        What minimums need counts as much as if nothing else were worth anything.
        """
        shown, faces = _Shown.of(self._filler, filling), filling.plans
        clusters, found = self._near.clusters(filling), dict[str, list[_Group]]()
        for name, most in self._near.rules.blocks.items():
            own = [
                _Group(shown.lost(blocks), frozenset(faces[b].face for b in blocks))
                for blocks in clusters.get(name, ())
            ]
            found[name] = sorted(own, key=lambda group: -group.worth)[:most]
        return found

    def _unmet(self, filling: Filling) -> dict[str, float]:
        """Give the worth of what categories do not show yet, each facing counted as one."""
        count: dict[str, int] = {}
        for (_, _, line), facings in filling.facings.items():
            count[line] = count.get(line, 0) + facings
        worth = self._filler.worth
        return {
            name: sum(
                worth.of(line.line, line.max_facings) - worth.of(line.line, count.get(line.line, 0))
                for line in self._filler.lines(name)
            )
            for name in self._near.rules.blocks
        }

    def _free(self, filling: Filling) -> dict[int, float]:
        free = {n: face.width for n, face in enumerate(self._filler.faces)}
        for plan, width in zip(filling.plans, filling.widths, strict=True):
            free[plan.face] -= width / PER_MM
        return free

    def _give(
        self,
        n: int,
        free: float,
        groups: dict[str, list[_Group]],
        unmet: dict[str, float],
        spots: dict[str, set[int]],
        rng: random.Random,
    ) -> None:
        """Give a face to the category that gains most there, if any does."""
        best, chosen, brought = 0.0, "", 0.0
        for name, most in self._near.rules.blocks.items():
            if unmet[name] <= 0 or not self._can_show(name, n):
                continue
            gain = min(unmet[name], _FILLED * free * self._density(name, n))
            gain *= 1.0 - _SHAKEN * rng.random()
            net = gain - self._loss(n, groups[name], spots.get(name, set()), most)
            if net > best:
                best, chosen, brought = net, name, gain
        if not chosen:
            return
        unmet[chosen] -= brought
        own, new = groups[chosen], spots.setdefault(chosen, set())
        if not self._adjoins(n, own, new):
            if len(own) + len(new) >= self._near.rules.blocks[chosen] and own:
                own.pop()
            new.add(n)

    def _adjoins(self, n: int, groups: Sequence[_Group], new: set[int]) -> bool:
        """Say whether a face belongs to a group, or lies beside or above one."""
        near = self._beside[n] | {n}
        return bool(near & new) or any(near & group.faces for group in groups)

    def _loss(self, n: int, groups: Sequence[_Group], new: set[int], most: int) -> float:
        """Give the worth of the group that has to be given up for one more."""
        if self._adjoins(n, groups, new) or len(groups) + len(new) < most:
            return 0.0
        return groups[-1].worth if groups else float("inf")

    def _open(self, groups: Sequence[_Group], new: set[int], most: int) -> frozenset[int]:
        """Give the faces that a category may stand on: all of them if it may have more groups."""
        own = frozenset(new).union(*(group.faces for group in groups))
        if len(groups) + len(new) < most:
            return frozenset(self._beside)
        return own.union(*(self._beside[n] for n in own))

    def _density(self, name: str, n: int) -> float:
        key = name, self._filler.faces[n].kind
        if key not in self._dense:
            self._dense[key], _ = densest(self._filler, *key)
        return self._dense[key]

    def _can_show(self, name: str, n: int) -> bool:
        if (name, n) not in self._able:
            lines = self._filler.lines(name)
            self._able[name, n] = any(self._filler.can_show(line, n) for line in lines)
        return self._able[name, n]
