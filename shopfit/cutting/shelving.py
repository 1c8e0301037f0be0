"""Lays pieces on boards in shelves: strips right across, columns in them, pieces stacked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from shopfit.cutting.problem import Board, Form, Pattern, Place, up_to_step


@dataclass(slots=True)
class Column:
    """Pieces one above another in a shelf, none wider than the lowest."""

    width: int
    top: int
    pieces: list[tuple[int, Form, int]]


@dataclass(slots=True)
class Shelf:
    """A strip right across the board, as high as its first piece."""

    height: int
    used: int = 0
    columns: list[Column] = field(default_factory=list)


@dataclass(slots=True)
class Laid:
    """Shelves on one board."""

    top: int
    shelves: list[Shelf]

    def kinds(self) -> tuple[int, ...]:
        """Give the kinds of its pieces, in order."""
        return tuple(
            sorted(
                kind for shelf in self.shelves for col in shelf.columns for kind, _, _ in col.pieces
            )
        )


def lay(board: Board, order: Sequence[int], tightest: bool = False) -> list[Laid]:
    """Lay pieces on as many boards as they need, in three stages of cuts.

    Parameters
    ----------
    board
        The board; its shelves run along x.
    order
        Kinds, one for each piece, in the order they are laid.
    tightest
        Whether a piece goes where it leaves least beside it, not where it first fits.

    Notes
    -----
    First-fit and best-fit by shelves (Coffman, Garey, Johnson and Tarjan 1980, from memory), with
    lower pieces stacked in a shelf, and shelves put on boards by first-fit decreasing.
    """
    shelves: list[Shelf] = []
    forms, width, step_x, step_y = board.forms, board.width, board.step_x, board.step_y
    find = _tightest if tightest else _first
    for kind in order:
        shelf, column, form = find(shelves, forms[kind], width)
        if form is None:
            form = forms[kind][0]
            shelf = Shelf(form.height)
            shelves.append(shelf)
        if column is None:
            assert shelf is not None
            top = up_to_step(form.height, step_y)
            shelf.columns.append(Column(form.width, top, [(kind, form, 0)]))
            shelf.used = up_to_step(shelf.used + form.width, step_x)
        else:
            column.pieces.append((kind, form, column.top))
            column.top = up_to_step(column.top + form.height, step_y)
    return _on_boards(board, shelves)


Found = tuple[Shelf | None, Column | None, Form | None]


def _first(shelves: Sequence[Shelf], forms: Sequence[Form], board_width: int) -> Found:
    for shelf in shelves:
        for form in forms:
            high, wide = form.height, form.width
            if high > shelf.height:
                continue
            room = shelf.height - high
            for column in shelf.columns:
                if column.top <= room and wide <= column.width:
                    return shelf, column, form
            if shelf.used + wide <= board_width:
                return shelf, None, form
    return None, None, None


def _tightest(shelves: Sequence[Shelf], forms: Sequence[Form], board_width: int) -> Found:
    least = 0
    best: Found = (None, None, None)
    for shelf in shelves:
        for form in forms:
            high, wide = form.height, form.width
            room = shelf.height - high
            if room < 0:
                continue
            for column in shelf.columns:
                if column.top <= room and wide <= column.width:
                    waste = (column.width - wide) * high
                    if best[2] is None or waste < least:
                        least, best = waste, (shelf, column, form)
            if shelf.used + wide <= board_width:
                waste = room * wide
                if best[2] is None or waste < least:
                    least, best = waste, (shelf, None, form)
    return best


def _on_boards(board: Board, shelves: list[Shelf]) -> list[Laid]:
    laid: list[Laid] = []
    for shelf in sorted(shelves, key=lambda shelf: -shelf.height):
        for one in laid:
            if one.top + shelf.height <= board.height:
                one.shelves.append(shelf)
                one.top = up_to_step(one.top + shelf.height, board.step_y)
                break
        else:
            laid.append(Laid(up_to_step(shelf.height, board.step_y), [shelf]))
    return laid


def pattern_of(number: int, board: Board, laid: Laid, upright: bool) -> Pattern:
    """Write down where the pieces of a board lie, and how many cuts that takes.

    Parameters
    ----------
    number
        Of the board.
    board
        As it was laid on: transposed where shelves run along y.
    laid
        What lies on it.
    upright
        Whether the board is the transposed one.
    """
    places: list[Place] = []
    cuts, bottom = 0, 0
    for shelf in laid.shelves:
        cuts += bottom + shelf.height < board.height
        left = 0
        for column in shelf.columns:
            cuts += left + column.width < board.width
            for kind, form, above in column.pieces:
                cuts += above + form.height < shelf.height
                cuts += form.width < column.width
                x, y = left, bottom + above
                if upright:
                    places.append(Place(kind, y, x, form.transposed))
                else:
                    places.append(Place(kind, x, y, form))
            left = up_to_step(left + column.width, board.step_x)
        bottom = up_to_step(bottom + shelf.height, board.step_y)
    return Pattern(number, tuple(places), cuts)
