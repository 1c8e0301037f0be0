"""Chooses on which faces categories may stand so that wishes on their places can be met."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from ortools.linear_solver import pywraplp

from shopfit.geometry.touching import NEAR_MM
from shopfit.solver.adjoining import Over
from shopfit.solver.allotgoods import AllotGoods, Place
from shopfit.solver.fill import Filler
from shopfit.solver.filling import PER_MM, Filling
from shopfit.solver.neighbours import Neighbours
from shopfit.solver.stoppable import Planned, run
from shopfit.solver.stretches import stretches
from shopfit.stopping import StopFlag
from shopfit.units import TOLERANCE_MM

# A facing missed, a group too many and a pair that does not touch, in parts of all there is.
_MISSED = 2.0
_BROKEN = 1.0
# The same where two categories that are to be apart share a face, and where theirs adjoin.
_SAME_FACE, _ADJOINING = 0.25, 0.125
# What a face counts on which a category need not stand, and a width that stays where it is, in
# parts of what is worth most.
_FLAG = 2e-4
_KEPT = 0.05
# The gap and the nodes at which the search ends.
_GAP = 0.05
_NODES = 4
# Seconds of a slow core for a row or column, for a step of the simplex method, and for a node with
# its heuristics.
_LINE = 5.0e-4
_PIVOT = 2.0e-4
_NODE = 0.1


@dataclass
class Learnt:
    """What earlier answers have shown not to work.

    Parameters
    ----------
    most
        Most faces of a category.
    parted
        Pairs of categories that did not touch on a face.
    lines
        Lines that missed a minimum: their facings are whole from then on.
    """

    most: dict[str, int] = field(default_factory=dict)
    parted: set[tuple[frozenset[str], int]] = field(default_factory=set)
    lines: set[str] = field(default_factory=set)


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
    filler: Filler, filling: Filling, learnt: Learnt, seconds: float, seed: int, stop: StopFlag
) -> Planned[Allotment]:
    """Choose faces for the categories that wishes name.

    Parameters
    ----------
    filler, filling
        The faces, and what stands on them now; as much of it as can be is kept.
    learnt
        What has not worked.
    seconds, seed, stop
        After which a clock ends the search, the seed and the stop flag.
    """
    neighbours = filler.neighbours
    if neighbours is None or stop.requested:
        return Planned(None, 0.0, not stop.requested)
    return _Program(filler, neighbours, filling, learnt).solve(seconds, seed, stop)


class _Program:
    """The program of categories and faces: goods stand in fractions, categories do or do not."""

    def __init__(
        self, filler: Filler, neighbours: Neighbours, filling: Filling, learnt: Learnt
    ) -> None:
        self._lp = pywraplp.Solver.CreateSolver("SCIP")
        self._objective = self._lp.Objective()
        self._objective.SetMaximization()
        self._filler, self._near, self._learnt = filler, neighbours, learnt
        self._rules, self._faces = neighbours.rules, filler.faces
        lines = filler.site.scenario.lines
        self._most = max(1.0, filler.worth.most({ln.line: ln.max_facings for ln in lines}))
        self._named = [name for name in filler.categories if name in neighbours.wished]
        self._stands: dict[Place, pywraplp.Variable] = {}
        self._width: dict[Place, pywraplp.Variable] = {}
        self._stretches = stretches(len(self._faces), neighbours.links)
        self._before = {right: left for own in self._stretches for left, right in pairwise(own)}
        # Of each face with a next one: categories that go on over the joint, and its row.
        self._cross: dict[Place, pywraplp.Variable] = {}
        self._joint: dict[tuple[int, int], pywraplp.Constraint] = {}
        self._joined: dict[tuple[frozenset[str], int], pywraplp.Variable] = {}
        self._add_places()
        self._add_kept(filling)
        AllotGoods(self._lp, filler, self._width, _MISSED * self._most, learnt.lines)
        self._add_joints()
        for name, most in self._rules.blocks.items():
            self._add_groups(name, most)
        for pair in self._rules.touch:
            self._add_touch(frozenset(pair))
        for one, other in self._rules.apart:
            self._add_apart(one, other)
        for chain in self._rules.order:
            self._add_order([name for name in chain if name in self._named])
        self._add_learnt()

    def _flag(self, each: float = 0.0) -> pywraplp.Variable:
        """Give a variable that is 0 or 1, and count it so much."""
        flag = self._lp.BoolVar("")
        self._objective.SetCoefficient(flag, each)
        return flag

    def _miss(self, part: float, most: float = 1.0) -> pywraplp.Variable:
        """Give a variable for what is missed, which costs a part of all there is."""
        missed = self._lp.NumVar(0.0, most, "")
        self._objective.SetCoefficient(missed, -part * self._most)
        return missed

    def _add_places(self) -> None:
        for n, face in enumerate(self._faces):
            here = []
            for name in self._filler.categories:
                lines = [ln for ln in self._filler.lines(name) if self._filler.can_show(ln, n)]
                if not lines:
                    continue
                width = self._width[name, n] = self._lp.NumVar(0.0, face.width, "")
                here.append(width)
                if name in self._named:
                    stands = self._stands[name, n] = self._flag(-_FLAG * self._most)
                    self._lp.Add(width <= face.width * stands)
                    self._lp.Add(width >= min(line.width for line in lines) * stands)
            if here:
                self._lp.Add(sum(here) <= face.width)

    def _add_kept(self, filling: Filling) -> None:
        """Count a little what stays where it is."""
        now: dict[Place, float] = {}
        for plan, width in zip(filling.plans, filling.widths, strict=True):
            key = plan.category, plan.face
            now[key] = now.get(key, 0.0) + width / PER_MM
        room = sum(face.width for face in self._faces)
        for key, length in sorted(now.items()):
            if key in self._width:
                kept = self._lp.NumVar(0.0, length, "")
                self._objective.SetCoefficient(kept, _KEPT * self._most / room)
                self._lp.Add(kept <= self._width[key])

    def _add_joints(self) -> None:
        """Let one category go on over a joint; one that does so on both sides has all between."""
        for stretch in self._stretches:
            for left, right in pairwise(stretch):
                row = self._joint[left, right] = self._lp.Constraint(0.0, 1.0)
                for name in self._rules.blocks:
                    if (name, left) in self._stands and (name, right) in self._stands:
                        cross = self._cross[name, left] = self._flag()
                        row.SetCoefficient(cross, 1.0)
                        self._lp.Add(cross <= self._stands[name, left])
                        self._lp.Add(cross <= self._stands[name, right])
                        earlier = self._cross.get((name, self._before.get(left, -1)))
                        if earlier is not None:
                            both = cross + earlier
                            whole = self._faces[left].width * (both - 1.0)
                            self._lp.Add(self._width[name, left] >= whole)

    def _add_groups(self, name: str, most: int) -> None:
        """Keep a category to as many groups as it may have, or to few more.

        There are as many as faces with it, less the joints that it goes over, less the times that
        what it has of one stretch hangs over what it has of another.
        """
        own = [stands for (category, _), stands in self._stands.items() if category == name]
        crossed = [cross for (category, _), cross in self._cross.items() if category == name]
        if own:
            more = self._miss(_BROKEN, float(len(own)))
            groups = sum(own) - sum(crossed) - sum(self._laps(name))
            self._lp.Add(groups <= most + more)

    def _laps(self, name: str) -> list[pywraplp.Variable]:
        """Give flags for blocks one above the other, one for every two stretches."""
        at = {n: k for k, stretch in enumerate(self._stretches) for n in stretch}
        ways: dict[tuple[int, int], list[pywraplp.Variable]] = {}
        for over in self._near.overs:
            way = self._lap(name, over)
            if way is not None:
                ways.setdefault((at[over.upper], at[over.lower]), []).append(way)
        found = []
        for own in ways.values():
            lapped = self._flag()
            self._lp.Add(lapped <= sum(own))
            found.append(lapped)
        return found

    def _lap(self, name: str, over: Over) -> pywraplp.Variable | None:
        """Give a flag under which blocks of a run and of the fixture below surely share enough.

        Blocks of more than half of a stretch share what they have more than half.
        """
        keys = (name, over.upper), (name, over.lower)
        length = over.span[1] - over.span[0]
        if length < NEAR_MM or any(key not in self._stands for key in keys):
            return None
        way = self._flag()
        for key in keys:
            # What lies beside the stretch they share may come first.
            beside = self._faces[key[1]].width - length
            self._lp.Add(self._width[key] >= (beside + (length + NEAR_MM) / 2) * way)
        return way

    def _add_touch(self, pair: frozenset[str]) -> None:
        """Have two categories share a face, or one begin where the other ends at a joint."""
        one, other = sorted(pair) if len(pair) == 2 else (min(pair), min(pair))
        ways: list[pywraplp.Variable] = []
        for n in range(len(self._faces)):
            if (pair, n) not in self._learnt.parted:
                way = self._both((one, n), (other, n))
                if way is not None:
                    self._joined[pair, n] = way
                    ways.append(way)
        for (left, right), row in self._joint.items():
            for a, b in ((one, other), (other, one)):
                way = self._both((a, left), (b, right))
                if way is not None:
                    row.SetCoefficient(way, 1.0)
                    ways.append(way)
        self._lp.Add(sum(ways) + self._miss(_BROKEN) >= 1.0)

    def _both(self, one: Place, other: Place) -> pywraplp.Variable | None:
        """Give a flag under which categories stand at two places, or none where they cannot."""
        if one not in self._stands or other not in self._stands:
            return None
        way = self._flag()
        self._lp.Add(way <= self._stands[one])
        self._lp.Add(way <= self._stands[other])
        return way

    def _add_apart(self, one: str, other: str) -> None:
        """Keep two categories off one face and off faces that adjoin; less of it if it must be."""
        pairs = [(n, n) for n in range(len(self._faces))]
        pairs += [(link.left, link.right) for link in self._near.links]
        pairs += [(over.upper, over.lower) for over in self._near.overs]
        for n, m in pairs:
            for a, b in sorted({(n, m), (m, n)}):
                if (one, a) in self._stands and (other, b) in self._stands:
                    both = self._miss(_SAME_FACE if n == m else _ADJOINING)
                    self._lp.Add(self._stands[one, a] + self._stands[other, b] <= 1.0 + both)

    def _add_order(self, chain: list[str]) -> None:
        """Between two neighbours of a list lies a place that neither crosses."""
        ranks: list[float] = []
        for station in sorted({at for at in self._near.stations if at is not None}):
            if not ranks or station > ranks[-1] + TOLERANCE_MM:
                ranks.append(station)
        if not ranks:
            return
        last = len(ranks) - 1.0
        borders = [self._lp.NumVar(0.0, last, "") for _ in chain[1:]]
        for border, following in pairwise(borders):
            self._lp.Add(border <= following)
        for k, (earlier, later) in enumerate(pairwise(chain)):
            for name, before in ((earlier, True), (later, False)):
                for n, at in enumerate(self._near.stations):
                    stands = self._stands.get((name, n))
                    if at is None or stands is None:
                        continue
                    rank = max(r for r, low in enumerate(ranks) if low <= at)
                    if before:
                        self._lp.Add(borders[k] >= rank * stands)
                    else:
                        self._lp.Add(borders[k] <= last - (last - rank) * stands)

    def _add_learnt(self) -> None:
        for name, most in self._learnt.most.items():
            own = [stands for (category, _), stands in self._stands.items() if category == name]
            self._lp.Add(sum(own) <= max(1, most))

    def solve(self, seconds: float, seed: int, stop: StopFlag) -> Planned[Allotment]:
        """Search, and read where categories may stand."""
        parameters = (
            "separating/maxroundsroot = 0\n"
            "presolving/maxrounds = 0\n"
            f"limits/totalnodes = {_NODES}\n"
            f"limits/gap = {_GAP}\n"
            f"randomization/randomseedshift = {seed % 2**20}\n"
        )
        status, finished = run(self._lp, parameters, seconds, stop)
        lines = self._lp.NumVariables() + self._lp.NumConstraints()
        worked = _LINE * lines + _PIVOT * self._lp.iterations() + _NODE * self._lp.nodes()
        if status not in (pywraplp.Solver.OPTIMAL, pywraplp.Solver.FEASIBLE):
            return Planned(None, worked, finished)
        return Planned(self._read(), worked, finished)

    def _read(self) -> Allotment:
        crossed = {key for key, cross in self._cross.items() if cross.solution_value() > 0.5}
        barred: dict[int, frozenset[str]] = {}
        for n in range(len(self._faces)):
            here = {name for name, face in self._width if face == n}
            off = {
                name
                for name in here
                if (name, n) in self._stands and self._stands[name, n].solution_value() < 0.5
            }
            for name in here:
                if (name, n) in crossed and (name, self._before.get(n, -1)) in crossed:
                    off |= here - {name}
            barred[n] = frozenset(off)
        meant = tuple(place for place, x in self._stands.items() if x.solution_value() > 0.5)
        joined = tuple(key for key, way in self._joined.items() if way.solution_value() > 0.5)
        return Allotment(barred, meant, joined)
