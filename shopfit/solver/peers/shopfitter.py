"""A peer: what a careful shopfitter does by hand, one category after the other."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence

from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario
from shopfit.solver.filling import PER_MM, BlockPlan, Filling
from shopfit.solver.floor import FloorAnswer
from shopfit.solver.greedy import fill_greedily
from shopfit.solver.patterns import Pattern
from shopfit.solver.peers.answers import Course, PeerAnswer, Tell
from shopfit.solver.peers.byhand import Floorwork, Habit
from shopfit.solver.peers.pieces import FaceFinder, pieces_of
from shopfit.solver.peers.stock import Aim, Laid, Stock

# First what must be there, beginning with what can be on one kind of face only, then as much as
# may be.
WALKS = (Aim(least=True, choice=1), Aim(least=True, choice=2), Aim(least=True), Aim(least=False))

# How often the floor is set out anew because a category did not get what it must have.
MOST_TRIES = 8


def merchandiser(scenario: Scenario, options: SolveOptions, tell: Tell) -> PeerAnswer:
    """Set a shop out by hand's rules; there is no bound.

    The largest category comes first, by the width that it wants. It goes where there is room on
    what stands already, then on the biggest fixture that fits next to the last one on the best
    wall, with slat-wall above, then on islands in rows. Every category first gets what it must
    have; what finds no place comes first when all is set out once more. Rows are filled by
    `fill_greedily`. While there is time, the floor is set out again with other habits: walls kept
    for slat-wall, rows of islands turned, and where money is short what gives most face for it.

    A hand needs no program, so that it tries every step of the brief, also where a shop is so
    large that the other peers and the solver try islands on a coarser one.

    Parameters
    ----------
    scenario, options
        What is given, and for how long.
    tell
        Told of every better layout.
    """
    course = Course(scenario, options, tell, whole_grid=True)
    money_is_short = scenario.brief.budget is not None
    for thrifty in (False, True) if money_is_short else (False,):
        for across, sparing in itertools.product((False, True), repeat=2):
            urgent: list[str] = []
            for _ in range(MOST_TRIES):
                if course.left <= 0 or (course.worth or 0.0) >= course.most:
                    return course.answer()
                missed = ByHand(course, Habit(across, sparing, thrifty), urgent).run()
                if not missed or missed == urgent[: len(missed)]:
                    break
                urgent = _more_urgent(urgent, missed)
    return course.answer()


def _more_urgent(urgent: list[str], missed: list[str]) -> list[str]:
    """Put what was missed behind what has been urgent, or if that did not help, before it."""
    fresh = [category for category in missed if category not in urgent]
    if fresh:
        return [*urgent, *fresh]
    return [*missed, *(category for category in urgent if category not in missed)]


class ByHand:
    """One setting out of floor and goods.

    Parameters
    ----------
    course
        What is given, and the best so far.
    habit
        How choices are made.
    urgent
        Categories that come first.
    """

    def __init__(self, course: Course, habit: Habit, urgent: Sequence[str]) -> None:
        self._course, self._problem = course, course.problem
        self._floor = Floorwork(course, habit)
        self._stock = Stock(course)
        self._urgent = urgent
        self._pieces = pieces_of(course.problem)
        self._own: dict[int, list[int]] = {}
        for n, piece in enumerate(self._pieces):
            self._own.setdefault(piece.candidate, []).append(n)
        self._free: dict[int, int] = {}
        self._hung: set[int] = set()
        self._laid: list[tuple[int, Laid]] = []
        self._spent = 0.0

    @property
    def _money(self) -> float | None:
        budget = self._problem.site.brief.budget
        return None if budget is None else budget - self._spent

    def run(self) -> list[str]:
        """Walk round the shop three times; give the categories that miss what they must have."""
        if not self._floor.start():
            return []
        for index in self._floor.chosen:
            self._unpack(index)
        self._spent = self._problem.cost(self._floor.chosen, ())
        for category in self._urgent:
            self._serve(category, Aim(least=True))
        for aim in WALKS:
            for category in self._stock.categories:
                self._serve(category, aim)
            self._keep()
        return [c for c in self._stock.categories if self._stock.wanting(c, Aim(least=True))]

    def _unpack(self, index: int) -> None:
        """Count the faces that a position brings; shelves come before slat-wall."""
        for n in self._own.get(index, ()):
            self._free[n] = self._pieces[n].width

    def _serve(self, category: str, aim: Aim) -> None:
        """Put a category out until nothing more is wanted or there is no place left."""
        while self._course.left > 0:
            lines = self._stock.wanting(category, aim)
            kinds = self._stock.kinds(lines)
            if any(self._put_out(n, category, aim) for n in self._places(kinds)):
                continue
            index = self._floor.pick(kinds, self._money) if kinds else None
            if index is None:
                return
            price = self._floor.price(index)
            if self._floor.place(index):
                self._spent += price
                self._unpack(index)
                if not any(self._put_out(n, category, aim) for n in self._own[index]):
                    return

    def _places(self, kinds: Mapping[int, int]) -> list[int]:
        """List faces with room on what stands, shelves first, then in the order of standing."""
        found = [
            n for n, free in self._free.items() if free >= kinds.get(self._pieces[n].kind, free + 1)
        ]
        return sorted(found, key=lambda n: self._pieces[n].slat)

    def _put_out(self, n: int, category: str, aim: Aim) -> bool:
        """Put as much of a category on a face as there is room and money for."""
        piece, money = self._pieces[n], self._money
        hanging = 0.0
        if piece.slat and piece.candidate not in self._hung:
            hanging = self._problem.candidates[piece.candidate].slat_cost
        if money is not None:
            money -= hanging
            if money < 0:
                return False
        laid = self._stock.lay(category, piece.kind, self._free[n], aim, money)
        if laid is None:
            return False
        if piece.slat:
            self._hung.add(piece.candidate)
        self._spent += hanging + laid.cost
        self._free[n] -= laid.width
        self._stock.take(laid)
        self._laid.append((n, laid))
        return True

    def _keep(self) -> None:
        """Hand over what stands now, as it was put out and with rows filled up."""
        while closing := self._course.closing(tuple(sorted(self._floor.chosen))):
            # Rare, since steps that could close a way were tried.
            there = [i for i in next(iter(closing)) if not self._problem.candidates[i].pinned]
            if not there:
                return
            self._take_away(max(there, key=self._floor.chosen.index))
        chosen = tuple(sorted(self._floor.chosen))
        floor = FloorAnswer(chosen, tuple(sorted(self._hung)))
        filling = self._filling(floor)
        self._course.keep(floor, filling)
        _, filler = self._course.fixed(floor)
        names = self._problem.site.scenario.categories
        full = fill_greedily(
            self._widened(floor, filling),
            {category: filler.lines(category) for category in names},
            filler.faces,
            filler.display,
            filler.first,
            filler.money,
        )
        self._course.keep(floor, full)

    def _take_away(self, index: int) -> None:
        self._floor.drop(index)
        gone = set(self._own.get(index, ()))
        for n, laid in self._laid:
            if n in gone:
                self._stock.take(laid, -1)
        self._laid = [(n, laid) for n, laid in self._laid if n not in gone]
        self._free = {n: free for n, free in self._free.items() if n not in gone}
        self._hung.discard(index)

    def _filling(self, floor: FloorAnswer) -> Filling:
        """Write down what was put out; blocks alike on one face become one."""
        filling = Filling([], [])
        fixed, _ = self._course.fixed(floor)
        faces = FaceFinder(self._problem, fixed)
        known: dict[tuple[int, str, Pattern], int] = {}
        for n, laid in self._laid:
            face = faces.find(self._pieces[n])
            if face is None:
                continue
            key = (face, laid.category, laid.pattern)
            if key not in known:
                known[key] = len(filling.plans)
                filling.plans.append(BlockPlan(*key))
                filling.widths.append(0)
            b = known[key]
            filling.widths[b] += laid.width
            for (row, name), count in laid.facings.items():
                cell = (b, row, name)
                filling.facings[cell] = filling.facings.get(cell, 0) + count
        return filling

    def _widened(self, floor: FloorAnswer, filling: Filling) -> Filling:
        """Give the room left on each face to its widest block."""
        fixed, _ = self._course.fixed(floor)
        widths = list(filling.widths)
        for n, face in enumerate(fixed.faces):
            own = [b for b, plan in enumerate(filling.plans) if plan.face == n]
            if own:
                spare = int(face.width * PER_MM + 1e-6) - sum(widths[b] for b in own)
                widths[max(own, key=lambda b: widths[b])] += max(0, spare)
        return Filling(list(filling.plans), widths)
