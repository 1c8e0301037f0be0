"""What is cut from what, in whole units that no rounding can blur."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

# Whole units in a millimetre: sixteenths of an inch (127 units) and millimetres are exact.
PER_MM = 80


@dataclass(frozen=True)
class Form:
    """One way a piece may lie on a board, with the saw cut on its right and upper side.

    Parameters
    ----------
    width, height
        Units, each with the cut that parts it from the next piece.
    turned
        Whether it lies a quarter turn round.
    """

    width: int
    height: int
    turned: bool = False

    @property
    def transposed(self) -> Form:
        """The same with width and height exchanged."""
        return Form(self.height, self.width, self.turned)


@dataclass(frozen=True)
class Board:
    """A stock sheet, as much of it as may be used, and how pieces may lie on it.

    Parameters
    ----------
    width, height
        Units, each with one saw cut to spare, since nothing is cut beyond its edge.
    forms
        Of every kind of piece, by its number; none where it is too large.
    step_x, step_y
        Pieces begin at whole multiples of these; 1 is anywhere.
    cost
        Of one, whole units of money or of whatever is made least.
    most
        How many can be had.
    """

    width: int
    height: int
    forms: tuple[tuple[Form, ...], ...]
    step_x: int = 1
    step_y: int = 1
    cost: int = 1
    most: int = 1_000_000

    @cached_property
    def transposed(self) -> Board:
        """The same board with its height along x."""
        forms = tuple(tuple(form.transposed for form in forms) for forms in self.forms)
        return Board(self.height, self.width, forms, self.step_y, self.step_x, self.cost, self.most)


@dataclass(frozen=True)
class Place:
    """A piece on a board.

    Parameters
    ----------
    kind
        Number of its kind.
    x, y
        Lower left corner, units.
    form
        How it lies.
    """

    kind: int
    x: int
    y: int
    form: Form


@dataclass(frozen=True)
class Pattern:
    """What is cut from one board.

    Parameters
    ----------
    board
        Number of the board.
    places
        Pieces on it.
    cuts
        Cuts that part them.
    """

    board: int
    places: tuple[Place, ...]
    cuts: int


@dataclass(frozen=True)
class Problem:
    """Kinds of pieces wanted, and boards to cut them from.

    Parameters
    ----------
    demands
        Pieces wanted of each kind.
    boards
        What they may be cut from.
    """

    demands: tuple[int, ...]
    boards: tuple[Board, ...]

    @property
    def fitting(self) -> tuple[int, ...]:
        """Kinds that some board takes."""
        return tuple(
            kind
            for kind in range(len(self.demands))
            if any(board.forms[kind] and board.most for board in self.boards)
        )


def whole(length_mm: float) -> int:
    """Round a length to whole units."""
    return round(length_mm * PER_MM)


def up_to_step(place: int, step: int) -> int:
    """Give the first multiple of a step at or above a place."""
    return place if step == 1 else -(-place // step) * step


def common_unit(sizes: Iterable[int]) -> int:
    """Give the largest unit that all sizes are whole multiples of."""
    return math.gcd(*sizes) or 1


def area(forms: Sequence[Form]) -> int:
    """Give the area that a piece takes with its cuts, square units."""
    return forms[0].width * forms[0].height
