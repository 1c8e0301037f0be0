"""Whole facings on every face of a floor, from fillings of single faces at shadow prices."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence

from shopfit.solver.facefilling import FaceFilling, FaceType
from shopfit.solver.facesprogram import EPS, Column, FacesProgram
from shopfit.solver.filling import BlockPlan, Filling
from shopfit.solver.fixing import Face
from shopfit.stopping import StopFlag

# A filling that the relaxation takes at least so often is taken for good.
_CERTAIN = 0.95
# The part of the value that a step may lose without a second try.
_LOSS = 0.002


class Master(FacesProgram):
    """Fills faces: the program grows, then fillings are taken for good one after the other."""

    def generate(
        self, rounds: int, stop: StopFlag, seed: int, seconds: float = math.inf
    ) -> float | None:
        """Let the program grow until no filling is worth adding, or so many rounds.

        Parameters
        ----------
        rounds
            At most.
        stop, seed
            The stop flag, and the seed of the order in which faces are filled.
        seconds
            Work after which no more is added, s of a slow core.

        Returns
        -------
        The program's value, or none where it failed.
        """
        rng = random.Random(seed)
        value = self._solve()
        for number in range(rounds):
            spent = number > 0 and self.work.seconds > seconds
            if value is None or stop.requested or spent:
                break
            better = self._price()
            if number % 2 == 0 and number < rounds // 2:
                self._fill_in_turn(rng)
            elif not better:
                break
            value = self._solve()
        return value

    def dive(self, rounds: int, tries: int, stop: StopFlag, seconds: float = math.inf) -> None:
        """Take fillings for good, the surest first, until every face has one.

        A filling after which the program loses much is put back, and the next one tried.

        Parameters
        ----------
        rounds
            Rounds of pricing after each step.
        tries
            Fillings tried at a step.
        stop
            The stop flag.
        seconds
            Work after which the surest filling is taken without looking further, s of a slow core.
        """
        value = self._solve()
        while value is not None and any(self._at.left.values()) and not stop.requested:
            if self.work.seconds > seconds:
                rounds, tries = 0, 1
            taken = False
            for column in [each for each in self._by_share() if each.share >= _CERTAIN]:
                for _ in range(math.floor(column.share + 1 - _CERTAIN)):
                    # A whole one may cost a hair more than the money there is.
                    if self._fits(column):
                        self._take(column)
                        taken = True
            value = self._grown(rounds) if taken else self._take_one(value, rounds, tries)

    def _take_one(self, value: float, rounds: int, tries: int) -> float | None:
        """Take, of the surest fillings, the first that loses little, or else the best of them."""
        before = self._state()
        best: tuple[float, Column] | None = None
        for column in [each for each in self._by_share() if self._fits(each)][:tries]:
            self._take(column)
            now = self._grown(rounds)
            if now is None:
                return None
            if now >= value - _LOSS * abs(value):
                return now
            if best is None or now > best[0]:
                best = (now, column)
            self._restore(before)
        if best is None:
            return None
        self._take(best[1])
        return self._grown(rounds)

    def _by_share(self) -> list[Column]:
        """List the columns that the program takes, the surest first."""
        live = [column for column in self._columns.values() if column.share > EPS]
        return sorted(live, key=lambda column: -column.share)

    def _grown(self, rounds: int) -> float | None:
        """Solve the program with fillings found in some rounds of pricing."""
        value = self._solve()
        for _ in range(rounds):
            if value is None or not self._price():
                break
            value = self._solve()
        return value

    def filling(self, faces: Sequence[Face]) -> Filling:
        """Set the fillings taken on the faces, equal ones in the order of the faces."""
        waiting: dict[FaceType, list[FaceFilling]] = {}
        for kind, filling in self._at.taken:
            waiting.setdefault(kind, []).append(filling)
        plans: list[BlockPlan] = []
        widths: list[int] = []
        facings: dict[tuple[int, int, str], int] = {}
        for number, face in enumerate(faces):
            own = waiting.get(self._pricer.type_of(face), [])
            if not own:
                continue
            for block in own.pop(0).blocks:
                for r, row in enumerate(block.rows):
                    for name, count in row.items():
                        facings[len(plans), r, name] = count
                plans.append(BlockPlan(number, block.category, block.pattern))
                widths.append(block.width)
        return Filling(plans, widths, facings)
