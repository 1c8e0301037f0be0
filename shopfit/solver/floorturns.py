"""Betters a floor by placing parts of it anew in turn, ways kept open."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from shopfit.solver.connect import Blockage, blockages
from shopfit.solver.effort import part_seconds, walk_seconds
from shopfit.solver.facevalue import Brought, FacesAt, FaceValue
from shopfit.solver.floor import FloorAnswer, FloorProblem
from shopfit.solver.jointanswer import JointAnswer, Limits
from shopfit.solver.partprogram import FloorRules, PartProgram
from shopfit.stopping import StopFlag

# Answers to one part, each ruled out by new prices or by a way that it closes.
_MOST_ANSWERS = 3
# Prices that a part starts with: those found last.
_MOST_PRICES = 8
# A gain smaller than this part of the worth is none.
_SLIGHT = 1e-4
# As long as the last seconds have gained this part of the worth there are as many again.
_MUCH = 2e-3
# Positions taken away at once where what closes a way is placed anew.
_OPENED_SIZES = (1, 4, 12)
# When the small programs end; the clock only guards slow machines.
_LIMITS = Limits(20, 1e-3, 10.0)


@dataclass(frozen=True)
class _Shown:
    """A floor, what its faces can show, and that with what having faces is worth."""

    floor: FloorAnswer
    value: FacesAt
    worth: float


@dataclass
class FloorTurns:
    """One floor that is bettered part by part.

    Parameters
    ----------
    rules, brought, faces
        The floor, what its positions bring, and what faces can show.
    forbidden
        Sets of positions of which only so many may stand.
    rng, stop
        Draws the order of the parts; and the stop flag.

    Attributes
    ----------
    worked
        What it has cost so far, s of a slow core.
    repeatable
        Whether no clock has ended a search so far.
    """

    rules: FloorRules
    brought: Brought
    faces: FaceValue
    forbidden: Sequence[tuple[frozenset[int], int]]
    rng: random.Random
    stop: StopFlag
    worked: float = 0.0
    repeatable: bool = True
    _known: list[FacesAt] = field(default_factory=list[FacesAt])

    def bettered(
        self, answer: JointAnswer, sizes: Sequence[int], seconds: float, strict: bool = False
    ) -> JointAnswer:
        """Better a floor on which everything is reached, for about so long.

        Parameters
        ----------
        answer
            A floor.
        sizes
            How many positions are taken away at once: the next where the one before has gained
            nothing at any place.
        seconds
            After which no part is begun, s of a slow core; as many again while much is gained.
        strict
            Whether there are no more.

        Returns
        -------
        The floor, on which everything is reached, or the one given.
        """
        assert answer.floor is not None
        value = self._value(answer.floor)
        if value is None:
            return answer
        first = best = _Shown(answer.floor, value, self._worth(answer.floor, value))
        limit, last, left = self.worked + seconds, first.worth, list(sizes)
        while left:
            before = best
            for centre in self._centres(best.floor):
                much = not strict and best.worth - last >= _MUCH * abs(best.worth)
                if self.worked >= limit and much:
                    limit, last = self.worked + seconds, best.worth
                if self.worked >= limit or self.stop.requested:
                    return self._answer(answer, first, best)
                if centre in best.floor.chosen:
                    best = self._anew(best, centre, left[0]) or best
            if best is before:
                left = left[1:]
        return self._answer(answer, first, best)

    def opened(self, answer: JointAnswer, seconds: float) -> JointAnswer | None:
        """Open the ways of a floor: what closes most of them is taken out or placed anew.

        Parameters
        ----------
        answer, seconds
            A floor, and after how long no more is tried, s of a slow core.

        Returns
        -------
        A floor on which everything is reached, or none.
        """
        assert answer.floor is not None
        floor, known, limit = answer.floor, list(self.forbidden), self.worked + seconds
        if self._value(floor) is None:
            return None
        while shut := self._cut_off(floor, ()):
            if self.worked >= limit or self.stop.requested:
                return None
            known += [(group, len(group) - 1) for group in shut]
            other = self._without_worst(floor, shut, known)
            if other is None:
                return None
            floor = other
        value = self._value(floor)
        if value is None:
            return None
        worth = self._worth(floor, value)
        return replace(answer, floor=floor, value=worth, short=value.short, blocks=value.blocks)

    def _without_worst(
        self,
        floor: FloorAnswer,
        shut: Sequence[Blockage],
        known: Sequence[tuple[frozenset[int], int]],
    ) -> FloorAnswer | None:
        """Take out what closes most, or place it anew where so many are wanted; none if neither."""
        times = Counter(i for group in shut for i in group)
        for worst in sorted(self._movable(floor), key=lambda i: (-times[i], i)):
            if not times[worst]:
                break
            less = FloorAnswer(_without(floor.chosen, {worst}), _without(floor.slat, {worst}))
            if self.rules.enough(less.chosen):
                return less
            for size in _OPENED_SIZES:
                kept = self._kept(floor, worst, size)
                program = PartProgram(self.rules, self.brought, kept, known)
                for prices in self._known:
                    program.add_prices(prices)
                found = program.solve(_LIMITS, self.stop)
                self.repeatable &= found.finished
                self.worked += part_seconds(program.steps, program.nodes, program.entries)
                if found.floor is not None:
                    return found.floor
        return None

    @staticmethod
    def _answer(given: JointAnswer, first: _Shown, best: _Shown) -> JointAnswer:
        if best is first:
            return given
        value = best.value
        return replace(
            given, floor=best.floor, value=best.worth, short=value.short, blocks=value.blocks
        )

    @property
    def _problem(self) -> FloorProblem:
        return self.rules.problem

    def _movable(self, floor: FloorAnswer) -> list[int]:
        return [i for i in floor.chosen if not self._problem.candidates[i].pinned]

    def _centres(self, floor: FloorAnswer) -> list[int]:
        own = self._movable(floor)
        self.rng.shuffle(own)
        return own

    def _value(self, floor: FloorAnswer) -> FacesAt | None:
        """Work out what a floor can show, and keep its prices."""
        before = self.faces.worked
        money = self._problem.money_left(floor.chosen, floor.slat)
        found = self.faces.at(self.brought.widths(floor), money)
        self.worked += self.faces.worked - before
        if found is not None:
            self._known = [*self._known[1 - _MOST_PRICES :], found]
        return found

    def _kept(self, floor: FloorAnswer, centre: int, size: int) -> FloorAnswer:
        """Take away what stands nearest to a position, and give the rest."""
        own = self._movable(floor)
        away = self.rules.middles[own] - self.rules.middles[centre]
        near = np.argsort(np.hypot(*away.T), kind="stable")[:size]
        gone = {own[k] for k in near.tolist()}
        return FloorAnswer(_without(floor.chosen, gone), _without(floor.slat, gone))

    def _worth(self, floor: FloorAnswer, value: FacesAt) -> float:
        return value.value + self.brought.spare(floor)

    def _anew(self, best: _Shown, centre: int, size: int) -> _Shown | None:
        """Place the part round a position anew; none where nothing better is found."""
        kept = self._kept(best.floor, centre, size)
        program = PartProgram(self.rules, self.brought, kept, self.forbidden)
        for known in self._known:
            program.add_prices(known)
        wanted = best.worth + _SLIGHT * max(1.0, abs(best.worth))
        found = None
        for _ in range(_MOST_ANSWERS):
            answer = program.solve(_LIMITS, self.stop)
            self.repeatable &= answer.finished
            value = None
            if answer.floor is not None and answer.most >= wanted:
                value = self._value(answer.floor)
            if answer.floor is None or value is None:
                break
            worth = self._worth(answer.floor, value)
            if worth < wanted:
                program.add_prices(value)
                continue
            cut_off = self._cut_off(answer.floor, kept.chosen)
            if not cut_off:
                found = _Shown(answer.floor, value, worth)
                break
            for shut in cut_off:
                program.exclude(shut, len(shut) - 1)
        self.worked += part_seconds(program.steps, program.nodes, program.entries)
        return found

    def _cut_off(self, floor: FloorAnswer, kept: Sequence[int]) -> list[Blockage]:
        """List what cuts anything off beside what is kept."""
        found = blockages(self._problem, floor, kept=set(kept))
        self.worked += walk_seconds(len(floor.chosen), bool(found))
        return found


def _without(members: Sequence[int], gone: set[int]) -> tuple[int, ...]:
    return tuple(i for i in members if i not in gone)
