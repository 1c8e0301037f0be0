"""Chooses on which faces categories may stand so that wishes on their places can be met."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from ortools.sat.python import cp_model

from shopfit.model.range import Line
from shopfit.solver.adjoining import Over
from shopfit.solver.fill import Filler
from shopfit.solver.filling import PER_MM, Filling, Linear
from shopfit.solver.neighbours import Neighbours
from shopfit.units import TOLERANCE_MM

# Widths are counted in steps of so many mm, worth in thousandths of all there is.
_STEP_MM = 10.0
_WHOLE = 100_000
# A part of a face that a block surely shares with another one as wide above or below it.
_WIDE = 0.55
# What a face counts on which a category need not stand.
_FLAG = 20

Place = tuple[str, int]


@dataclass
class Learnt:
    """What earlier answers have shown not to work.

    Parameters
    ----------
    most
        Most faces of a category.
    parted
        Pairs of categories that did not touch on a face.
    """

    most: dict[str, int] = field(default_factory=dict)
    parted: set[tuple[frozenset[str], int]] = field(default_factory=set)


@dataclass(frozen=True)
class Allotment:
    """Where categories may stand.

    Parameters
    ----------
    barred
        For each face, the categories that may not.
    meant
        Faces on which categories with wishes are to stand.
    joined
        Faces on which two categories are to stand side by side.
    """

    barred: Mapping[int, frozenset[str]]
    meant: tuple[Place, ...]
    joined: tuple[tuple[frozenset[str], int], ...]


def allot(
    filler: Filler, filling: Filling, learnt: Learnt, effort: float, seed: int
) -> Allotment | None:
    """Choose faces for the categories that wishes name.

    Parameters
    ----------
    filler, filling
        The faces, and what stands on them now; as much of it as can be is kept.
    learnt
        What has not worked.
    effort, seed
        Deterministic time, and the seed.

    Returns
    -------
    Where categories may stand, or none where no answer was found.
    """
    neighbours = filler.neighbours
    if neighbours is None:
        return None
    model = _Model(filler, neighbours, filling, learnt)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = effort
    if solver.solve(model.model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    return model.read(solver)


class _Model:
    """The integer program of categories and faces."""

    def __init__(
        self, filler: Filler, neighbours: Neighbours, filling: Filling, learnt: Learnt
    ) -> None:
        self.model = cp_model.CpModel()
        self._filler, self._near, self._learnt = filler, neighbours, learnt
        self._rules = neighbours.rules
        names = filler.categories
        self._named = [name for name in names if name in neighbours.wished]
        faces = filler.faces
        self._room = [max(1, int(face.width / _STEP_MM)) for face in faces]
        self._able = {
            name: [
                n
                for n in range(len(faces))
                if any(filler.can_show(line, n) for line in filler.lines(name))
            ]
            for name in names
        }
        self._total = max(1.0, sum(self._most(name) for name in names))
        self._stands: dict[Place, cp_model.IntVar] = {}
        self._width: dict[Place, cp_model.IntVar] = {}
        self._end: dict[tuple[str, int, bool], cp_model.IntVar] = {}
        self._joined: dict[tuple[frozenset[str], int], cp_model.IntVar] = {}
        self._whole: dict[Place, cp_model.IntVar] = {}
        self._aims: list[Linear] = []
        self._add_places(names)
        for name in names:
            self._add_worth(name, filling)
        self._add_ends()
        for name, most in self._rules.blocks.items():
            if name in self._named:
                self._add_groups(name, most)
        for pair in self._rules.touch:
            self._add_touch(frozenset(pair))
        for one, other in self._rules.apart:
            self._add_apart(one, other)
        for chain in self._rules.order:
            self._add_order([name for name in chain if name in self._named])
        for name, most_faces in learnt.most.items():
            self.model.add(
                sum(self._stands[name, n] for n in self._able[name]) <= max(1, most_faces)
            )
        self.model.maximize(sum(self._aims))

    def _most(self, name: str) -> float:
        worth = self._filler.worth
        return worth.most({line.line: line.max_facings for line in self._filler.lines(name)})

    def _flag(self) -> cp_model.IntVar:
        return self.model.new_bool_var("")

    def _miss(self, times: float = 1.0) -> cp_model.IntVar:
        """Give a flag that costs more than all worth."""
        missed = self._flag()
        self._aims.append(missed * -round(times * 2 * _WHOLE))
        return missed

    def _add_places(self, names: tuple[str, ...] | list[str]) -> None:
        for n, room in enumerate(self._room):
            here = [name for name in names if n in self._able[name]]
            for name in here:
                width = self.model.new_int_var(0, room, "")
                self._width[name, n] = width
                if name in self._named:
                    stands = self._stands[name, n] = self._flag()
                    self._aims.append(stands * -_FLAG)
                    self.model.add(width <= room * stands)
                    narrow = min(
                        line.width
                        for line in self._filler.lines(name)
                        if self._filler.can_show(line, n)
                    )
                    self.model.add(width >= min(room, math.ceil(narrow / _STEP_MM)) * stands)
            self.model.add(sum(self._width[name, n] for name in here) <= room)

    def _density(self, name: str, face: int) -> tuple[float, int]:
        """Give the worth of a mm of a face, and its rows, for the best division of its height."""
        filler, kind = self._filler, self._filler.faces[face].kind
        shown, best, rows = filler.display, 0.0, 1
        lines = [line for line in filler.lines(name) if filler.can_show(line, face)]
        for pattern in shown.patterns[name, kind]:
            worth = 0.0
            for steps, group in zip(pattern.rows, pattern.groups, strict=True):
                weight = shown.weight(name, group)
                worth += max(
                    (
                        weight * filler.first[line.line] / line.width
                        for line in lines
                        if shown.showings[line.line, kind].levels <= steps
                        and shown.allowed(line, group)
                    ),
                    default=0.0,
                )
            if worth > best:
                best, rows = worth, len(pattern.rows)
        return best, rows

    def _add_worth(self, name: str, filling: Filling) -> None:
        """Count the worth of a category's widths, what it misses, and what stays where it is."""
        scale = _WHOLE / self._total * _STEP_MM
        now: dict[int, int] = {}
        for plan, width in zip(filling.plans, filling.widths, strict=True):
            if plan.category == name:
                now[plan.face] = now.get(plan.face, 0) + width
        worth: list[Linear] = []
        lengths: list[Linear] = []
        known: dict[int, tuple[float, int]] = {}
        for n in self._able[name]:
            kind = self._filler.faces[n].kind
            if kind not in known:
                known[kind] = self._density(name, n)
            each, rows = known[kind]
            worth.append(self._width[name, n] * round(1000 * each * scale))
            lengths.append(self._width[name, n] * rows)
            if n in now:
                same = self.model.new_int_var(0, math.ceil(now[n] / PER_MM / _STEP_MM), "")
                self.model.add(same <= self._width[name, n])
                self._aims.append(same * max(1, round(each * scale / 20)))
        if not worth:
            return
        gained = self.model.new_int_var(0, math.ceil(_WHOLE * self._most(name) / self._total), "")
        self.model.add(1000 * gained <= sum(worth))
        self._aims.append(gained)
        wanted = 0.0
        for line in self._filler.lines(name):
            least = self._least(line)
            wanted += least * line.width
            able = [n for n in self._able[name] if self._filler.can_show(line, n)]
            if least and able and name in self._named:
                self.model.add(sum(self._stands[name, n] for n in able) + self._miss(2.0) >= 1)
        if wanted > 0:
            missing = math.ceil(wanted / _STEP_MM)
            short = self.model.new_int_var(0, missing, "")
            self.model.add(sum(lengths) + short >= missing)
            self._aims.append(short * -(4 * _WHOLE // missing + 1))

    def _least(self, line: Line) -> int:
        units = [
            showing.units
            for (name, _), showing in self._filler.display.showings.items()
            if name == line.line
        ]
        return max(line.min_facings, math.ceil(line.holding / max(1, min(units, default=1))))

    def _add_ends(self) -> None:
        """One category stands at each end of a face; one at both ends has all of it."""
        for n in range(len(self._room)):
            here = [name for name in self._named if (name, n) in self._stands]
            for name in here:
                for right in (False, True):
                    end = self._end[name, n, right] = self._flag()
                    self.model.add_implication(end, self._stands[name, n])
                whole = self._whole[name, n] = self._flag()
                both = self._end[name, n, False] + self._end[name, n, True]
                self.model.add(whole >= both - 1)
                for other in self._able:
                    if other != name and (other, n) in self._width:
                        self.model.add(self._width[other, n] == 0).only_enforce_if(whole)
            for right in (False, True):
                self.model.add_at_most_one(self._end[name, n, right] for name in here)

    def _add_groups(self, name: str, most: int) -> None:
        """Every face with a category is the root of a group or hangs on another with it."""
        able = self._able[name]
        depth = {n: self.model.new_int_var(0, len(able), "") for n in able}
        hanging: dict[int, list[Linear]] = {n: [] for n in able}
        arcs: list[tuple[int, int, list[cp_model.IntVar]]] = []
        for link in self._near.links:
            one, other = link.left, link.right
            if one in depth and other in depth:
                needs = [self._end[name, one, True], self._end[name, other, False]]
                arcs += [(one, other, needs), (other, one, needs)]
        for over in self._near.overs:
            if over.upper in depth and over.lower in depth:
                wide = self._wide(name, over)
                if wide is not None:
                    arcs += [(over.upper, over.lower, wide), (over.lower, over.upper, wide)]
        for one, other, needs in arcs:
            arc = self._flag()
            for need in (self._stands[name, one], self._stands[name, other], *needs):
                self.model.add_implication(arc, need)
            self.model.add(depth[other] >= depth[one] + 1).only_enforce_if(arc)
            hanging[other].append(arc)
        roots = []
        for n in able:
            root = self._flag()
            roots.append(root)
            self.model.add(sum(hanging[n]) + root == self._stands[name, n])
        over_most = self.model.new_int_var(0, max(0, len(able)), "")
        self.model.add(sum(roots) <= most + over_most)
        self._aims.append(over_most * -2 * _WHOLE)

    def _wide(self, name: str, over: Over) -> list[cp_model.IntVar] | None:
        """Give flags under which blocks of a run and of the fixture below surely overlap."""
        faces, (left, right) = self._filler.faces, over.span
        if right - left < _WIDE * faces[over.upper].width:
            return None
        found = []
        for n in (over.upper, over.lower):
            wide = self._flag()
            self.model.add(
                self._width[name, n] >= math.ceil(_WIDE * self._room[n])
            ).only_enforce_if(wide)
            found.append(wide)
        return found

    def _add_touch(self, pair: frozenset[str]) -> None:
        ways: list[cp_model.IntVar] = []
        one, other = sorted(pair) if len(pair) == 2 else (min(pair), min(pair))
        for n in range(len(self._room)):
            if (pair, n) in self._learnt.parted:
                continue
            if (one, n) in self._stands and (other, n) in self._stands:
                way = self._joined[pair, n] = self._flag()
                self.model.add_implication(way, self._stands[one, n])
                self.model.add_implication(way, self._stands[other, n])
                ways.append(way)
        for link in self._near.links:
            for a, b in ((one, other), (other, one)):
                if (a, link.left) in self._stands and (b, link.right) in self._stands:
                    way = self._flag()
                    self.model.add_implication(way, self._end[a, link.left, True])
                    self.model.add_implication(way, self._end[b, link.right, False])
                    ways.append(way)
        self.model.add(sum(ways) + self._miss() >= 1)

    def _add_apart(self, one: str, other: str) -> None:
        """Keep two categories off one face and off faces that adjoin; less of it if it must be."""
        pairs = [(n, n) for n in range(len(self._room))]
        pairs += [(link.left, link.right) for link in self._near.links]
        pairs += [(over.upper, over.lower) for over in self._near.overs]
        for n, m in pairs:
            for a, b in {(n, m), (m, n)}:
                if (one, a) in self._stands and (other, b) in self._stands:
                    both = self._flag()
                    self.model.add(self._stands[one, a] + self._stands[other, b] <= 1 + both)
                    self._aims.append(both * -(_WHOLE // (4 if n == m else 8)))

    def _add_order(self, chain: list[str]) -> None:
        """Between two neighbours of a list lies a place that neither crosses."""
        known = sorted({each for each in self._near.stations if each is not None})
        ranks: list[float] = []
        for each in known:
            if not ranks or each > ranks[-1] + TOLERANCE_MM:
                ranks.append(each)
        if not ranks:
            return
        borders = [self.model.new_int_var(0, len(ranks) - 1, "") for _ in chain[1:]]
        for border, later in pairwise(borders):
            self.model.add(border <= later)
        for k, (earlier, later_name) in enumerate(pairwise(chain)):
            for name, before in ((earlier, True), (later_name, False)):
                for n in self._able[name]:
                    at = self._near.stations[n]
                    if at is None:
                        continue
                    rank = max(r for r, low in enumerate(ranks) if low <= at)
                    stands = self._stands[name, n]
                    if before:
                        self.model.add(borders[k] >= rank).only_enforce_if(stands)
                    else:
                        self.model.add(borders[k] <= rank).only_enforce_if(stands)

    def read(self, solver: cp_model.CpSolver) -> Allotment:
        """Read where categories may stand."""
        barred: dict[int, frozenset[str]] = {}
        for n in range(len(self._room)):
            own = {
                name
                for name in self._named
                if (name, n) in self._stands and not solver.boolean_value(self._stands[name, n])
            }
            for name in self._named:
                if (name, n) in self._whole and solver.boolean_value(self._whole[name, n]):
                    own |= {other for other in self._able if other != name}
            barred[n] = frozenset(own)
        meant = tuple(place for place, v in self._stands.items() if solver.boolean_value(v))
        joined = tuple(key for key, v in self._joined.items() if solver.boolean_value(v))
        return Allotment(barred, meant, joined)
