"""Lays pieces in many shaken orders, then empties boards by laying a few of them anew."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass

from shopfit.cutting.pool import Pool
from shopfit.cutting.problem import Board, Form
from shopfit.cutting.shelving import Laid, lay
from shopfit.stopping import StopFlag

_SHAKES = (0.05, 0.1, 0.2, 0.35, 0.6)
_TRIES = 24
# What an attempt takes besides its pieces, counted in pieces.
_EACH, _CROWD = 6, 120

Kinds = tuple[int, ...]


@dataclass
class Work:
    """What may still be spent: a piece laid is one unit, whatever the machine."""

    left: int
    stop: StopFlag

    @property
    def over(self) -> bool:
        """Whether nothing is left, or somebody asked for a stop."""
        return self.left <= 0 or self.stop.requested


class Renewer:
    """Searches on one board; all it lays goes into the pool.

    Parameters
    ----------
    number, board
        The board and its number.
    pool
        Remembers what was laid.
    seed
        Of the shaken orders.
    """

    def __init__(self, number: int, board: Board, pool: Pool, seed: int = 1) -> None:
        self.number, self.board, self.pool = number, board, pool
        self.dice = random.Random(seed)
        self.ways = (board, board.transposed)

    def start(self, pieces: Sequence[int], orders: int, least: int, work: Work) -> list[Kinds]:
        """Lay all pieces, plainly and shaken, both ways round; stop at so few boards."""
        best: list[Kinds] = []
        for attempt in range(6 + orders):
            laid = self._attempt(pieces, attempt, work)
            if not best or len(laid) < len(best):
                best = laid
            if len(best) <= least or (work.over and best):
                break
        return best

    def afresh(self, pieces: Sequence[int], work: Work) -> list[Kinds]:
        """Lay all pieces in one shaken order."""
        return self._attempt(pieces, 6, work)

    def renew(self, boards: list[Kinds], least: int, work: Work) -> list[Kinds]:
        """Take pieces off a few boards and lay them anew, fuller, until one board is saved.

        Parameters
        ----------
        boards
            Kinds on each board.
        least
            So few boards are enough.
        work
            What may be spent.
        """
        boards = list(boards)
        while len(boards) > least and not work.over:
            chosen = self._choose(boards)
            pieces = [kind for index in chosen for kind in boards[index]]
            before = sum(self.pool.fill(self.number, boards[index]) ** 2 for index in chosen)
            kept = [kinds for index, kinds in enumerate(boards) if index not in chosen]
            for _ in range(_TRIES):
                laid = self._attempt(pieces, 6, work)
                if len(laid) > len(chosen):
                    continue
                after = sum(self.pool.fill(self.number, kinds) ** 2 for kinds in laid)
                if len(laid) < len(chosen) or after >= before - 1e-9:
                    boards = [*kept, *laid]
                    break
        return boards

    def simplify(self, kinds: Kinds) -> None:
        """Lay the pieces of one board in a few more ways; the pool keeps that of fewest cuts."""
        spare = Work(1_000_000, StopFlag())
        for attempt in range(6 + _TRIES):
            self._attempt(kinds, attempt, spare)

    def _choose(self, boards: Sequence[Kinds]) -> set[int]:
        """Choose the emptiest board, most times, and a few others."""
        fills = [self.pool.fill(self.number, kinds) for kinds in boards]
        count = min(len(boards), self.dice.choice((2, 2, 3, 3, 4)))
        everyone = list(range(len(boards)))
        first = min(everyone, key=lambda index: (fills[index], index))
        chosen = {first} if self.dice.random() < 0.75 else set()
        while len(chosen) < count:
            chosen.add(int(self.dice.random() * len(boards)))
        return chosen

    def _attempt(self, pieces: Sequence[int], attempt: int, work: Work) -> list[Kinds]:
        upright = attempt % 2 == 1 if attempt < 6 else self.dice.random() < 0.5
        board = self.ways[upright]
        order, tightest = self._order(pieces, board, attempt)
        # Many pieces have many shelves to look through.
        work.left -= len(pieces) + _EACH + len(pieces) ** 2 // _CROWD
        laid = lay(board, order, tightest)
        return [self._keep(one, upright) for one in laid]

    def _keep(self, laid: Laid, upright: bool) -> Kinds:
        return self.pool.add_laid(self.number, laid, upright)

    def _order(self, pieces: Sequence[int], board: Board, attempt: int) -> tuple[list[int], bool]:
        """Order pieces by height, width or area: plainly at first, then shaken."""
        rule = attempt // 2 if attempt < 6 else int(self.dice.random() * 3)
        forms = board.forms
        if attempt < 6:
            shaken = [(-_size(forms[kind][0], rule), kind) for kind in pieces]
            shaken.sort()
            return [kind for _, kind in shaken], False
        shake = self.dice.choice(_SHAKES)
        draw = self.dice.random
        loose = [
            (_size(forms[kind][0], rule) * (1.0 + shake * (draw() - 0.5)), kind) for kind in pieces
        ]
        loose.sort(reverse=True)
        return [kind for _, kind in loose], draw() < 0.5


def _size(form: Form, rule: int) -> float:
    width, height = form.width, form.height
    if rule == 0:
        return height + width / (1 << 20)
    if rule == 1:
        return width + height / (1 << 20)
    return width * height
