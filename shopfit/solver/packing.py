"""What one face could show if goods hung anywhere on it: rectangles packed freely, with a bound."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from ortools.sat.python import cp_model

from shopfit.solver.fill import Filler
from shopfit.solver.filling import PER_MM, WORTH_SCALE, Linear, grains
from shopfit.solver.refill import StopOnRequest
from shopfit.solver.worth import heaviest
from shopfit.stopping import StopFlag

# Seconds after which a search is ended, for each unit of deterministic time.
SECONDS_PER_EFFORT = 5.0
# Ways of stretching a side: as it is, and to halves, thirds and so on.
STRETCHES = 6


@dataclass(frozen=True)
class Piece:
    """Equal rectangles that may be packed; they are never turned.

    Parameters
    ----------
    name
        What they are called.
    width, height
        Whole units of width and of height.
    worth
        Of the first one, the second and so on: whole numbers from nought up, none above the one
        before. There are as many rectangles as numbers.
    """

    name: str
    width: int
    height: int
    worth: tuple[int, ...]


@dataclass(frozen=True, order=True)
class Placed:
    """A rectangle packed.

    Parameters
    ----------
    left, bottom
        Of its lower left corner, in units from that of the face.
    width, height
        Whole units.
    name
        Of its piece.
    """

    left: int
    bottom: int
    width: int
    height: int
    name: str


@dataclass(frozen=True)
class Packing:
    """Rectangles packed on a face.

    Parameters
    ----------
    placed
        From the left.
    worth
        Sum of what they are worth.
    bound
        No packing is worth more.
    """

    placed: tuple[Placed, ...]
    worth: int
    bound: int

    @property
    def proved(self) -> bool:
        """Whether no packing is worth more than this one."""
        return self.worth == self.bound


@dataclass(frozen=True)
class _Copy:
    """One rectangle of the program: its piece and worth, whether it is packed, and where."""

    piece: Piece
    worth: int
    packed: cp_model.IntVar
    left: cp_model.IntVar
    bottom: cp_model.IntVar


def pack(
    width: int,
    height: int,
    pieces: Sequence[Piece],
    effort: float,
    workers: int,
    seed: int,
    stop: StopFlag,
) -> Packing:
    """Choose and place rectangles worth most on a face.

    They are not turned and do not overlap; nothing else is asked, no rows and no blocks. Packings
    in which nothing could be moved left or down are enough (Herz 1972, IBM Journal of Research and
    Development 16(5), 462-469, from memory), so a rectangle begins at a sum of widths and at a sum
    of heights.

    Parameters
    ----------
    width, height
        Of the face, whole units.
    pieces
        What may be packed.
    effort, workers, seed, stop
        Deterministic time, threads, seed and the stop flag.

    Raises
    ------
    ValueError
        If a size or a worth is out of range.
    """
    _refuse(pieces)
    usable = [_usable(piece, width, height) for piece in pieces]
    usable = [piece for piece in usable if piece.worth]
    most = sum(sum(piece.worth) for piece in usable)
    if not usable or stop.requested:
        return Packing((), 0, most)
    model = cp_model.CpModel()
    copies = _add_copies(model, width, height, usable)
    model.maximize(sum(copy.worth * copy.packed for copy in copies))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = workers
    solver.parameters.interleave_search = workers > 1
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = effort
    # The program's own measure of work leaves out what rectangles cost; the clock is the guard.
    solver.parameters.max_time_in_seconds = SECONDS_PER_EFFORT * effort
    status = solver.solve(model, StopOnRequest(stop))
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Packing((), 0, most)
    return _read(solver, copies)


def free_worth(
    filler: Filler,
    face: int,
    categories: Sequence[str],
    effort: float,
    workers: int,
    seed: int,
    stop: StopFlag,
) -> tuple[float, float]:
    """Say what one face could show if its goods hung anywhere, in no blocks and no rows.

    Goods begin at any level and at any place along the face; every line may have all its facings
    there, each counted by the greatest weight a row can have, wherever a line may hang. So no
    filling of the face, however it is divided, is worth more than the bound.

    Parameters
    ----------
    filler, face
        The faces of the floor, and the number of one of them.
    categories
        What may stand on it.
    effort, workers, seed, stop
        Deterministic time, threads, seed and the stop flag.

    Returns
    -------
    The worth of the best packing found, and the bound.
    """
    own = filler.faces[face]
    lines = [
        line
        for category in categories
        for line in filler.lines(category)
        if filler.can_show(line, face)
    ]
    # Places along the face are sums of widths, so all of them are whole in their common measure.
    unit = math.gcd(*(grains(line.width) for line in lines)) or 1
    weight = heaviest(filler.site.scenario.brief)
    pieces = []
    for line in lines:
        worth = [filler.worth.of(line.line, n * weight) for n in range(line.max_facings + 1)]
        pieces.append(
            Piece(
                line.line,
                grains(line.width) // unit,
                filler.display.showings[line.line, own.kind].levels,
                tuple(_whole(after - before) for before, after in pairwise(worth)),
            )
        )
    width, levels = int(own.width * PER_MM + 1e-6) // unit, filler.display.classes[own.kind].levels
    found = pack(width, levels, pieces, effort, workers, seed, stop)
    return found.worth / WORTH_SCALE, found.bound / WORTH_SCALE


def _whole(worth: float) -> int:
    """Count worth in whole hundredths, rounded up so that the bound stays one."""
    return math.ceil(worth * WORTH_SCALE - 1e-6)


def _refuse(pieces: Sequence[Piece]) -> None:
    for piece in pieces:
        if piece.width < 1 or piece.height < 1:
            raise ValueError(f"{piece.name}: width and height must be at least one unit")
        if any(worth < 0 for worth in piece.worth):
            raise ValueError(f"{piece.name}: worth must not be below nought")
        if any(after > before for before, after in pairwise(piece.worth)):
            raise ValueError(f"{piece.name}: none may be worth more than the one before")


def _usable(piece: Piece, width: int, height: int) -> Piece:
    """Leave out what is worth nothing, and more of a piece than the face holds of it alone."""
    most = (width // piece.width) * (height // piece.height)
    worth = tuple(worth for worth in piece.worth[:most] if worth > 0)
    return Piece(piece.name, piece.width, piece.height, worth)


def _add_copies(
    model: cp_model.CpModel, width: int, height: int, pieces: Sequence[Piece]
) -> list[_Copy]:
    """Add the rectangles, that none overlap, and what follows for rows, columns and area."""
    lefts = _sums([(piece.width, len(piece.worth)) for piece in pieces], width)
    bottoms = _sums([(piece.height, len(piece.worth)) for piece in pieces], height)
    copies: list[_Copy] = []
    across: list[cp_model.IntervalVar] = []
    upward: list[cp_model.IntervalVar] = []
    for piece in pieces:
        before: _Copy | None = None
        for worth in piece.worth:
            packed = model.new_bool_var("")
            left = _one_of(model, lefts, width - piece.width)
            bottom = _one_of(model, bottoms, height - piece.height)
            across.append(model.new_optional_fixed_size_interval_var(left, piece.width, packed, ""))
            upward.append(
                model.new_optional_fixed_size_interval_var(bottom, piece.height, packed, "")
            )
            copy = _Copy(piece, worth, packed, left, bottom)
            if before is not None:
                _set_in_order(model, before, copy, height)
            copies.append(copy)
            before = copy
    model.add_no_overlap_2d(across, upward)
    model.add_cumulative(across, [copy.piece.height for copy in copies], height)
    model.add_cumulative(upward, [copy.piece.width for copy in copies], width)
    _add_areas(model, width, height, copies)
    return copies


def _add_areas(model: cp_model.CpModel, width: int, height: int, copies: Sequence[_Copy]) -> None:
    """Add that areas fit, also with sides stretched so that whatever fitted fits still.

    Fekete and Schepers 2004, Mathematical Methods of Operations Research 60(2), 311-329, from
    memory.
    """
    for across in range(STRETCHES):
        for upward in range(STRETCHES):
            area: Linear = sum(
                _stretched(copy.piece.width, width, across)
                * _stretched(copy.piece.height, height, upward)
                * copy.packed
                for copy in copies
            )
            whole = _stretched(width, width, across) * _stretched(height, height, upward)
            model.add(area <= whole)


def _stretched(size: int, whole: int, parts: int) -> int:
    """Give a side as a share of `parts` times the whole, rounded to parts; nought leaves it."""
    if parts == 0:
        return size
    number, rest = divmod((parts + 1) * size, whole)
    return parts * size if rest == 0 else whole * number


def _set_in_order(model: cp_model.CpModel, before: _Copy, after: _Copy, height: int) -> None:
    """Pack equal rectangles one after the other, from the left and then from below."""
    model.add_implication(after.packed, before.packed)
    model.add(
        before.left * height + before.bottom + 1 <= after.left * height + after.bottom
    ).only_enforce_if(after.packed)


def _one_of(model: cp_model.CpModel, places: Sequence[int], most: int) -> cp_model.IntVar:
    allowed = cp_model.Domain.from_values([place for place in places if place <= most])
    return model.new_int_var_from_domain(allowed, "")


def _sums(sizes: Sequence[tuple[int, int]], most: int) -> list[int]:
    """List every sum of sizes, each taken at most so many times, up to a length."""
    found = 1
    mask = (1 << (most + 1)) - 1
    for size, number in sizes:
        for _ in range(min(number, most // size)):
            found |= (found << size) & mask
    return [place for place in range(most + 1) if found >> place & 1]


def _read(solver: cp_model.CpSolver, copies: Sequence[_Copy]) -> Packing:
    chosen = [copy for copy in copies if solver.boolean_value(copy.packed)]
    placed = sorted(
        Placed(
            solver.value(copy.left),
            solver.value(copy.bottom),
            copy.piece.width,
            copy.piece.height,
            copy.piece.name,
        )
        for copy in chosen
    )
    bound = math.floor(solver.best_objective_bound + 1e-6)
    return Packing(tuple(placed), sum(copy.worth for copy in chosen), bound)
