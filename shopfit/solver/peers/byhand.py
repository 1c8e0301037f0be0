"""A floor set out by hand: wall by wall, then islands in rows, as long as ways stay open."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from shopfit.geometry.openings import entrance
from shopfit.solver.floor import numbers
from shopfit.solver.peers.answers import Course
from shopfit.units import TOLERANCE_MM

# Free stretches of wall as like as this are taken in the order of the way to them, mm.
LIKE_MM = 300.0
# Places that turned out to close a way, after which only those are taken that cannot.
MOST_REFUSED = 300
_EPS = 1e-6
# Left, bottom, right and top.
_Box = NDArray[np.float64]


@dataclass(frozen=True)
class Habit:
    """How choices are made that could well be made otherwise.

    Parameters
    ----------
    across
        Whether rows of islands lie across the shop's main direction.
    sparing
        Whether walls are kept for what leaves room for slat-wall above, until islands are done.
    thrifty
        Whether, of fixtures that fit at a place, the one with most face for its money is taken,
        and not the widest.
    """

    across: bool = False
    sparing: bool = False
    thrifty: bool = False


class Floorwork:
    """The positions taken so far, and the next best one.

    Parameters
    ----------
    course
        What is given.
    habit
        How choices are made.
    """

    def __init__(self, course: Course, habit: Habit) -> None:
        problem = course.problem
        self._course, self._problem, self._site = course, problem, problem.site
        count = len(problem.candidates)
        self.chosen: list[int] = []
        self._refused = 0
        self._blocked = np.zeros(count, dtype=bool)
        self._sets: list[list[int]] = [[] for _ in range(count)]
        for g, group in enumerate(problem.cliques):
            for i in group.tolist():
                self._sets[i].append(g)
        # Islands may stand in rows, and count as often as they are.
        self._limits = [(low, high, Counter(members)) for low, high, members in numbers(problem)]
        self._price = np.array([candidate.cost for candidate in problem.candidates])
        self._brings = self._face_lengths() > 0
        self._area = self._face_areas()
        self._order = np.array(sorted(range(count), key=self._ranking(habit)), dtype=int)
        turn = math.radians(self._site.main_angle)
        self._frame = np.array(
            [[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]]
        )
        self._walls = {
            wall.id: LineString([wall.start, wall.end]) for wall in self._site.shell.walls
        }

    def start(self) -> bool:
        """Set out what is pinned and what the brief wants; say whether all of it has a place."""
        for i, candidate in enumerate(self._problem.candidates):
            if candidate.pinned:
                self._stand(i)
        return all(self._fulfil(low, members) for low, _, members in self._limits)

    def _fulfil(self, low: int, members: Counter[int]) -> bool:
        """Place as many of some positions as are wanted, in the way of as few others as may be."""
        while self._count(members) < low:
            free = [i for i in members if not self._blocked[i]]
            if not free:
                return False
            self.place(min(free, key=lambda i: (self._in_the_way(i), self._price[i], i)))
        return True

    def _count(self, members: Counter[int]) -> int:
        """Count the fixtures that stand at some of the positions."""
        return sum(members[i] for i in self.chosen)

    def _in_the_way(self, index: int) -> int:
        taken = np.zeros(len(self._blocked), dtype=bool)
        for g in self._sets[index]:
            taken[self._problem.cliques[g]] = True
        return int(np.count_nonzero(taken & ~self._blocked))

    def price(self, index: int) -> float:
        """Give the money that a candidate's fixtures cost besides those that stand."""
        fixture = self._problem.fixture(index)
        if fixture is None:
            return 0.0
        own = (self._problem.candidates[i] for i in self.chosen)
        before = sum(each.row for each in own if each.fixture == fixture.id)
        after = before + self._problem.candidates[index].row
        bought = max(0, after - fixture.owned) - max(0, before - fixture.owned)
        return bought * fixture.price

    def pick(self, kinds: Iterable[int], money: float | None) -> int | None:
        """Give the next position that brings a face of some classes, or none."""
        able = ~self._blocked & self._brings[:, sorted(kinds)].any(axis=1)
        ordered = self._order[able[self._order]]
        if money is None:
            return int(ordered[0]) if ordered.size else None
        return next((int(i) for i in ordered if self.price(int(i)) <= money + _EPS), None)

    def place(self, index: int) -> bool:
        """Take a position if that leaves every way open; else it is not asked for again."""
        together = [*self.chosen, index]
        if not self._gates_open(together):
            self._blocked[index] = True
            return False
        if not self._harmless(index):
            tried = self._refused < MOST_REFUSED
            closing = self._course.closing(tuple(sorted(together))) if tried else {frozenset()}
            if closing:
                self._refuse(index, closing)
                return False
        self._stand(index)
        return True

    def _refuse(self, index: int, closing: Iterable[frozenset[int]]) -> None:
        """Ask no more for a position, nor for others that what stands cuts off as well."""
        self._blocked[index] = True
        self._refused += 1
        standing = set(self.chosen)
        for group in closing:
            others = group - standing
            if len(others) == 1:
                self._blocked[list(others)] = True

    def drop(self, index: int) -> None:
        """Give up a position for good; what it was in the way of is not asked for again."""
        self.chosen.remove(index)

    def _stand(self, index: int) -> None:
        self.chosen.append(index)
        self._blocked[index] = True
        for g in self._sets[index]:
            self._blocked[self._problem.cliques[g]] = True
        for _, high, members in self._limits:
            if index in members:
                left = high - self._count(members)
                over = [i for i, count in members.items() if count > left]
                self._blocked[over] = True

    def _gates_open(self, together: list[int]) -> bool:
        return all(any(way.isdisjoint(together) for way in ways) for ways in self._problem.gates)

    def _harmless(self, index: int) -> bool:
        """Say whether a position cannot close a way, since there is an aisle all before it.

        What stands along the same wall is left out: it cannot close a way with its neighbour.
        """
        candidate = self._problem.candidates[index]
        own = candidate.placement.wall
        if own is None:
            return self._roomy(index) and self._course.reachable((index,))
        others: list[BaseGeometry] = [line for wall, line in self._walls.items() if wall != own]
        others += [*self._site.shell.columns.values(), self._site.staff_zones]
        for i in self.chosen:
            other = self._problem.candidates[i]
            if other.placement.wall != own:
                others.append(other.body)
        shapes = np.array([shape for shape in others if not shape.is_empty], dtype=object)
        if shapes.size and shapely.distance(candidate.body, shapes).min() < self._site.brief.aisle:
            return False
        return self._course.reachable((index,))

    def _roomy(self, index: int) -> bool:
        """Say whether an island leaves the ways all round it free, but for its own row."""
        candidate = self._problem.candidates[index]
        if not candidate.stands_free or candidate.hemmed_in or candidate.around is None:
            return False
        body, around = self._box(candidate.body), self._box(candidate.around)
        ring = 2 * around - body
        if not self._site.staff_zones.is_empty and candidate.around.buffer(
            self._site.brief.aisle
        ).intersects(self._site.staff_zones):
            return False
        for i in self.chosen:
            other = self._problem.candidates[i]
            its_body = self._box(other.body)
            if _in_line(body, its_body):
                continue
            near_half = None if other.around is None else self._box(other.around)
            if _overlap(ring, its_body) if near_half is None else _overlap(around, near_half):
                return False
        return True

    def _box(self, shape: Polygon) -> _Box:
        """Give left, bottom, right and top of a shape in the frame of the shop."""
        corners = np.array(shape.exterior.coords) @ self._frame
        return np.concatenate([corners.min(axis=0), corners.max(axis=0)])

    def _face_lengths(self) -> NDArray[np.float64]:
        found = np.zeros((len(self._problem.candidates), len(self._problem.classes)))
        for parts in (self._problem.widths, self._problem.slat_widths):
            for i, own in enumerate(parts):
                for kind, width in own:
                    found[i, kind] += width
        return found

    def _face_areas(self) -> NDArray[np.float64]:
        heights = np.array([face.levels * face.pitch for face in self._problem.classes])
        areas: NDArray[np.float64] = self._face_lengths() @ heights
        return areas

    def _ranking(self, habit: Habit) -> Callable[[int], tuple[Any, ...]]:
        """Give the key by which positions are tried: walls, dividers, islands, bare slat-wall."""
        step, walls = self._site.step, self._wall_ranks()
        main = math.radians(self._site.main_angle + (90.0 if habit.across else 0.0))
        turn = np.array([[math.cos(main), -math.sin(main)], [math.sin(main), math.cos(main)]])

        def size(i: int) -> tuple[float, ...]:
            candidate = self._problem.candidates[i]
            fixture = self._problem.fixture(i)
            if habit.thrifty:
                return (-self._area[i] / max(1.0, candidate.cost + candidate.slat_cost),)
            return (-(fixture.width * candidate.row if fixture else 0.0), -self._area[i])

        def key(i: int) -> tuple[Any, ...]:
            candidate = self._problem.candidates[i]
            placement = candidate.placement
            if placement.wall is not None:
                offset = placement.offset_mm or 0.0
                return (
                    self._turn(i, habit),
                    walls[placement.wall],
                    int(offset / step + _EPS),
                    *size(i),
                    offset,
                    i,
                )
            corners = np.array(candidate.body.exterior.coords) @ turn
            along, row = corners.min(axis=0)
            if candidate.staff_band is not None:
                return (1, 0, int(along / step + _EPS), *size(i), along, i)
            turned = (placement.angle_deg - self._site.main_angle) % 180.0
            wrong = (45.0 < turned < 135.0) != habit.across
            return (2, wrong, int(row / step + _EPS), int(along / step + _EPS), *size(i), i)

        return key

    def _turn(self, index: int, habit: Habit) -> int:
        """Say after how many other ways of standing a position against a wall has its turn."""
        candidate = self._problem.candidates[index]
        if candidate.fixture is None:
            return 4
        return 3 if habit.sparing and not candidate.slat else 0

    def _wall_ranks(self) -> dict[str, int]:
        """Rank walls by their longest free stretch, and like ones by how near the entrance is."""
        door = entrance(self._site.scenario.shop, self._site.shell)
        near = None if door is None else door[1].point(door[0].offset + door[0].width / 2)
        stretches: dict[str, float] = {}
        for wall in self._site.shell.walls:
            spans = sorted(
                (c.placement.offset_mm or 0.0, (c.placement.offset_mm or 0.0) + fixture.width)
                for i, c in enumerate(self._problem.candidates)
                if c.placement.wall == wall.id and (fixture := self._problem.fixture(i)) is not None
            )
            stretches[wall.id] = _longest(spans)

        def key(wall_id: str) -> tuple[float, float, str]:
            line = LineString(
                [self._site.shell.wall(wall_id).start, self._site.shell.wall(wall_id).end]
            )
            away = 0.0 if near is None else line.distance(shapely.Point(near))
            return (-round(stretches[wall_id] / LIKE_MM), away, wall_id)

        return {wall: rank for rank, wall in enumerate(sorted(stretches, key=key))}


def _overlap(one: _Box, other: _Box) -> bool:
    return bool((one[:2] < other[2:] - _EPS).all() and (other[:2] < one[2:] - _EPS).all())


def _in_line(one: _Box, other: _Box) -> bool:
    """Say whether two islands stand end to end or back to back, flush with one another."""
    for a in (0, 1):
        b = 1 - a
        flush = np.abs(one[[b, b + 2]] - other[[b, b + 2]]).max() <= TOLERANCE_MM
        apart = max(one[a], other[a]) - min(one[a + 2], other[a + 2])
        if flush and abs(apart) <= TOLERANCE_MM:
            return True
    return False


def _longest(spans: list[tuple[float, float]]) -> float:
    longest = start = end = 0.0
    for left, right in spans:
        if left > end + _EPS:
            start = left
        end = max(end, right)
        longest = max(longest, end - start)
    return longest
