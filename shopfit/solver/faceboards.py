"""What money is worth while faces are filled, and what boards cost, in compiled loops."""

from __future__ import annotations

import math

from shopfit.solver.compiling import compiled
from shopfit.solver.facearrays import (
    BLOCK,
    BOARD,
    BOARD_PRICE,
    CELLS,
    CHARGE,
    DEAR,
    FACINGS,
    FIRST,
    GOODS,
    GOODS_END,
    LENGTH,
    LINE,
    MONEY,
    ROW,
    SPENT,
    WIDTH,
    Floats,
    Floor,
)
from shopfit.solver.packs import LEAST_OVER

# By how much money becomes dearer or cheaper with every turn, and the least it is worth, as a part
# of what it is charged beyond what there is.
_DEARER = 0.002
_LEAST_DEAR = 1.0e-4
_EPS = 1e-6


@compiled
def dearest_board(floor: Floor, kind: int, shown: int) -> tuple[float, float]:
    """Give length and price of the dearest board that goods of a kind of row need on a class."""
    length, price = 1.0e18, 0.0
    for n in range(floor.kinds[kind, GOODS], floor.kinds[kind, GOODS_END]):
        board = int(floor.showings[floor.goods[n], shown, BOARD])
        if board >= 0 and floor.boards[board, BOARD_PRICE] > price:
            length, price = floor.boards[board, LENGTH], floor.boards[board, BOARD_PRICE]
    return length, price


@compiled
def boards_from(floor: Floor, place: int, kind: int, first: int) -> float:
    """Give the money for the length of board that begins with a cell, or none where it goes on."""
    cells, length = floor.cells, 0
    board = floor.showings[cells[first, LINE], kind, BOARD]
    begin = floor.faces[place, FIRST]
    for n in range(begin, begin + floor.faces[place, CELLS]):
        alike = cells[n, BLOCK] == cells[first, BLOCK] and cells[n, ROW] == cells[first, ROW]
        if alike and floor.showings[cells[n, LINE], kind, BOARD] == board:
            if n < first:
                return 0.0
            length += cells[n, FACINGS] * floor.lines[cells[n, LINE], WIDTH]
    own = int(board)
    number = math.ceil(length / floor.boards[own, LENGTH])
    price: float = floor.boards[own, BOARD_PRICE] * number
    return price


@compiled
def follow_money(sums: Floats) -> None:
    """Let money be worth more while too much is spent, and less while some is left."""
    step = _DEARER if sums[SPENT] > sums[MONEY] else -_DEARER
    least, most = _LEAST_DEAR * sums[CHARGE], sums[CHARGE]
    sums[DEAR] = min(most, max(least, sums[DEAR] * (1.0 + step)))


@compiled
def charged(sums: Floats) -> float:
    """Give what money beyond what there is counts as worth, as `packs.charged` does."""
    over = sums[SPENT] - sums[MONEY]
    if over <= _EPS:
        return 0.0
    counted: float = sums[CHARGE] * (over + LEAST_OVER * max(0.0, sums[MONEY]))
    return counted
