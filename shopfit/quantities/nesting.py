"""Nests rectangles on sheets so that a saw can cut them; pieces never turn."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from shopfit.cutting.bounds import fewest_boards
from shopfit.cutting.problem import PER_MM, Board, Form, Problem, whole
from shopfit.cutting.solve import solve
from shopfit.units import TOLERANCE_MM

Size = tuple[float, float]

# A tenth of a second where nothing is proved sooner; a run or a fixture more often comes.
USUAL_EFFORT, QUICK = 0.02, 0.002
# Parts of a saw cut that are kept between pieces where a whole one costs a sheet.
_SHARES = (1.0, 0.5, 0.0)


@dataclass(frozen=True)
class Spot:
    """A place on a sheet.

    Parameters
    ----------
    sheet
        0 is the first.
    x, z
        Lower left corner on it, mm.
    """

    sheet: int
    x: float
    z: float


@dataclass(frozen=True)
class Stock:
    """The sheet that pieces are cut from.

    Parameters
    ----------
    width, height
        Its size, mm.
    step
        Lower edges of pieces lie at whole multiples of it, mm; 0 for anywhere.
    kerf
        What the saw takes between two pieces, mm.
    """

    width: float
    height: float
    step: float = 0.0
    kerf: float = 0.0


def fewest_by_area(sizes: Iterable[Size], stock: Stock) -> int:
    """Give the number of sheets that no nesting of so much can be under, however it is divided."""
    area = sum(width * height for width, height in sizes)
    return math.ceil(area / (stock.width * stock.height) - 1e-9)


def fewest_sheets(sizes: Iterable[Size], stock: Stock, kerf: float = 0.0) -> int:
    """Give the number of sheets that no nesting can be under, with such a saw cut (mm)."""
    kinds = tuple(sizes)
    problem = _problem(kinds, tuple(1 for _ in kinds), stock, kerf)
    return fewest_boards(problem.boards[0], problem.demands)


def count_sheets(sizes: Sequence[Size], stock: Stock) -> int:
    """Say on how many sheets pieces go by a quick search, as `nest` would place them."""
    return _sheets(_nest(sizes, stock, QUICK, few_cuts=False))


def nest(sizes: Sequence[Size], stock: Stock, effort: float = USUAL_EFFORT) -> list[Spot]:
    """Nest pieces on as few sheets as are found, and of such nestings take one of few cuts.

    A whole saw cut is kept between neighbours unless that costs a sheet; then neighbours that
    fill the sheet share the cut and each comes out short by a part of it.

    Parameters
    ----------
    sizes
        Width and height of each piece, mm; none larger than the sheet.
    stock
        The sheet.
    effort
        How hard to search.

    Returns
    -------
    The place of each piece, in the order given.

    Raises
    ------
    ValueError
        If a piece is larger than the sheet.
    """
    for width, height in sizes:
        if width > stock.width + TOLERANCE_MM or height > stock.height + TOLERANCE_MM:
            raise ValueError(f"a piece {width} × {height} mm is larger than the sheet")
    return _nest(sizes, stock, effort, few_cuts=True)


def _nest(sizes: Sequence[Size], stock: Stock, effort: float, few_cuts: bool) -> list[Spot]:
    best: list[Spot] = []
    least = fewest_sheets(sizes, stock)
    for share in _SHARES if stock.kerf else (1.0,):
        spots = _spots(sizes, stock, share * stock.kerf, effort, few_cuts)
        if not best or _sheets(spots) < _sheets(best):
            best = spots
        if _sheets(best) <= least:
            break
    return best


def _sheets(spots: Sequence[Spot]) -> int:
    return 1 + max((spot.sheet for spot in spots), default=-1)


def _spots(
    sizes: Sequence[Size], stock: Stock, kerf: float, effort: float, few_cuts: bool
) -> list[Spot]:
    kinds = tuple(dict.fromkeys(sizes))
    demands = tuple(sizes.count(kind) for kind in kinds)
    answer = solve(_problem(kinds, demands, stock, kerf), effort, few_cuts=few_cuts)
    free: dict[Size, list[Spot]] = {kind: [] for kind in kinds}
    for sheet, pattern in enumerate(answer.patterns):
        for place in pattern.places:
            free[kinds[place.kind]].append(Spot(sheet, place.x / PER_MM, place.y / PER_MM))
    return [free[size].pop(0) for size in sizes]


def _problem(kinds: Sequence[Size], demands: tuple[int, ...], stock: Stock, kerf: float) -> Problem:
    cut = whole(kerf)
    room = [_up(stock.width) + cut, _up(stock.height) + cut]
    forms = tuple(
        (Form(min(room[0], whole(width) + cut), min(room[1], whole(height) + cut)),)
        for width, height in kinds
    )
    step = max(1, whole(stock.step))
    return Problem(demands, (Board(room[0], room[1], forms, step_y=step),))


def _up(size: float) -> int:
    return math.floor((size + TOLERANCE_MM) * PER_MM)
