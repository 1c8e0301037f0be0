"""Turns lists of parts and stock into a plan for the saw, one material after the other."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from typing import Literal

from shopfit.cutting.answer import Answer
from shopfit.cutting.problem import PER_MM, Board, Form, Pattern, Problem
from shopfit.cutting.sawing import Box, saw
from shopfit.cutting.solve import solve
from shopfit.model.cutting import (
    CutBoard,
    CutJob,
    CutPlan,
    CutProof,
    Part,
    PlacedPart,
    StockPiece,
    Uncut,
)
from shopfit.stopping import StopFlag
from shopfit.units import TOLERANCE_MM

_ANY = "any way of cutting that leaves whole pieces, guillotine or not"
_STAGED = "three stages of cuts: strips, pieces across them, pieces of these, and trimming"
_LENGTHS = "any way of cutting the lengths"


def cut(job: CutJob, effort: float = 1.0, stop: StopFlag | None = None) -> CutPlan:
    """Cut parts from stock: for the least money or the fewest boards, then with fewest cuts.

    Parameters
    ----------
    job
        Parts, stock and saw. Where no stock of a material has a price, equal stock counts by the
        board and unequal by area.
    effort
        How hard to search for each material; 1 is some five seconds where nothing is proved
        sooner. The plan depends on it alone, not on the machine.
    stop
        Raised to end early with the best plan so far.
    """
    stop = stop or StopFlag()
    boards: list[CutBoard] = []
    proofs: list[CutProof] = []
    uncut: list[Uncut] = []
    for material in dict.fromkeys(
        [*(s.material for s in job.stock), *(p.material for p in job.parts)]
    ):
        parts = [part for part in job.parts if part.material == material]
        stock = [piece for piece in job.stock if piece.material == material]
        if not parts:
            continue
        maker = _Material(job, stock, parts)
        answer = solve(maker.problem, effort, stop)
        boards += maker.boards(answer, len(boards) + 1)
        uncut += maker.uncut(answer)
        if answer.patterns and not maker.out_of_stock(answer):
            proofs.append(maker.proof(material, answer))
    return CutPlan(boards=tuple(boards), proofs=tuple(proofs), uncut=tuple(uncut), kerf_mm=job.kerf)


class _Material:
    """Parts and stock of one material, and the problem that they make."""

    def __init__(self, job: CutJob, stock: Sequence[StockPiece], parts: Sequence[Part]) -> None:
        self.job, self.stock, self.parts = job, stock, parts
        self.by_length = all(piece.width is None for piece in stock)
        priced = any(piece.price > 0 for piece in stock)
        sizes = {(piece.length, piece.width) for piece in stock}
        self.measure: Literal["boards", "money", "area"] = (
            "money" if priced else "boards" if len(sizes) == 1 else "area"
        )
        demands = tuple(part.count for part in parts)
        self.problem = Problem(demands, tuple(self._board(piece) for piece in stock))

    def _cost(self, piece: StockPiece) -> int:
        if self.measure == "money":
            return round(piece.price * 100)
        if self.measure == "boards":
            return 1
        return max(1, round(piece.length * (piece.width or 1.0)))

    def _board(self, piece: StockPiece) -> Board:
        kerf = _size(self.job.kerf)
        low = self._lowest(piece)
        width = _size(piece.length - 2 * piece.trim) + kerf
        height = 1
        if piece.width is not None:
            height = _size(piece.width - piece.trim - low) + kerf
        forms = tuple(self._forms(piece, part, width, height) for part in self.parts)
        return Board(
            width,
            height,
            forms,
            step_y=1 if piece.groove_pitch is None else _size(piece.groove_pitch),
            cost=self._cost(piece),
            most=piece.available,
        )

    def _phase(self, piece: StockPiece, part: Part) -> float:
        """Say how far above a multiple of the pitch a part begins, from the stock's edge, mm."""
        if piece.groove_pitch is None or part.groove is None:
            return 0.0
        phase = math.fmod(piece.first_groove - part.groove, piece.groove_pitch)
        phase += piece.groove_pitch if phase < -TOLERANCE_MM else 0.0
        return 0.0 if piece.groove_pitch - phase <= TOLERANCE_MM else max(0.0, phase)

    def _lowest(self, piece: StockPiece) -> float:
        """Give the lowest place that every part may have, mm from the stock's edge.

        Each part lies as far above a multiple of the pitch from there as its grooves ask.
        """
        if piece.groove_pitch is None:
            return piece.trim
        common = min(self._phase(piece, part) for part in self.parts)
        over = math.ceil((piece.trim - common - TOLERANCE_MM) / piece.groove_pitch)
        return common + max(0, over) * piece.groove_pitch

    def _forms(
        self, piece: StockPiece, part: Part, board_width: int, board_height: int
    ) -> tuple[Form, ...]:
        kerf = _size(self.job.kerf)
        if (piece.width is None) != (part.width is None):
            return ()
        if part.width is None:
            forms = [Form(_size(part.length) + kerf, 1)]
        else:
            lift = _size(self._lift(piece, part))
            forms = [Form(_size(part.length) + kerf, _size(part.width) + kerf + lift)]
            if part.turns and piece.groove_pitch is None and part.length != part.width:
                forms.append(Form(_size(part.width) + kerf, _size(part.length) + kerf, True))
        return tuple(
            form for form in forms if form.width <= board_width and form.height <= board_height
        )

    def _lift(self, piece: StockPiece, part: Part) -> float:
        if piece.groove_pitch is None:
            return 0.0
        common = min(self._phase(piece, each) for each in self.parts)
        return self._phase(piece, part) - common

    def boards(self, answer: Answer, first: int) -> list[CutBoard]:
        """Write down the boards, with the order of cuts on each."""
        return [
            self._written(pattern, first + number) for number, pattern in enumerate(answer.patterns)
        ]

    def _written(self, pattern: Pattern, number: int) -> CutBoard:
        piece = self.stock[pattern.board]
        low = self._lowest(piece)
        placed, end = [], 0
        for place in sorted(pattern.places, key=lambda place: (place.y, place.x)):
            part = self.parts[place.kind]
            length, width = part.length, part.width
            if place.form.turned and width is not None:
                length, width = width, length
            lift = 0.0 if width is None else self._lift(piece, part)
            # Pieces of a length lie end to end, whatever was wanted no more and left out.
            x = place.x if width is not None else end
            end = x + place.form.width
            placed.append(
                PlacedPart(
                    part=part.id,
                    purpose=part.purpose,
                    x_mm=round(piece.trim + x / PER_MM, 4),
                    y_mm=0.0 if width is None else round(low + place.y / PER_MM + lift, 4),
                    length_mm=length,
                    width_mm=width or 0.0,
                    turned=place.form.turned,
                )
            )
        board = CutBoard(
            number=number,
            stock=piece.id,
            name=piece.name or piece.id,
            material=piece.material,
            length_mm=piece.length,
            width_mm=piece.width,
            trim_mm=piece.trim,
            price=piece.price,
            parts=tuple(placed),
            groove_pitch_mm=piece.groove_pitch,
            first_groove_mm=piece.first_groove,
        )
        return sawn(board, self.job.kerf, self.job.keep_length, self.job.keep_width)

    def uncut(self, answer: Answer) -> list[Uncut]:
        """Say what was left over, and why."""
        fitting = set(self.problem.fitting)
        return [
            Uncut(
                part=self.parts[kind].id,
                count=count,
                why="no stock left" if kind in fitting else "too large",
            )
            for kind, count in sorted(Counter(answer.uncut).items())
        ]

    def out_of_stock(self, answer: Answer) -> bool:
        """Say whether pieces are left that more stock would take."""
        return not set(answer.uncut).isdisjoint(self.problem.fitting)

    def proof(self, material: str, answer: Answer) -> CutProof:
        """Say how good the answer is."""
        scale = 0.01 if self.measure == "money" else 1.0
        holds = _LENGTHS if self.by_length else _ANY if answer.any_cuts else _STAGED
        price = sum(self.stock[pattern.board].price for pattern in answer.patterns)
        return CutProof(
            material=material,
            boards=len(answer.patterns),
            cost=round(price, 2),
            measured_in=self.measure,
            found=round(answer.cost * scale, 2),
            bound=round(answer.bound * scale, 2),
            holds_for=holds,
        )


def sawn(board: CutBoard, kerf: float, keep_length: float, keep_width: float) -> CutBoard:
    """Add to a board the cuts that free its pieces, tags, and the offcuts worth keeping.

    Parameters
    ----------
    board
        With its pieces in place.
    kerf
        What the saw takes, mm.
    keep_length, keep_width
        Smallest offcut that is kept, either way round, mm.

    Raises
    ------
    NotGuillotine
        If no straight cuts right through free the pieces.
    """
    by_length = board.width_mm is None
    deep = 1.0 if board.width_mm is None else board.width_mm
    trim = board.trim_mm
    whole = (
        Box(trim, 0.0, board.length_mm - trim, deep)
        if by_length
        else Box(trim, trim, board.length_mm - trim, deep - trim)
    )
    boxes = [
        Box(
            part.x_mm,
            part.y_mm,
            part.x_mm + part.length_mm,
            part.y_mm + (deep if by_length else part.width_mm),
        )
        for part in board.parts
    ]
    done = saw(whole, boxes, kerf, (keep_length, math.inf if by_length else keep_width))
    kept = tuple(
        offcut.model_copy(update={"width_mm": 0.0}) if by_length else offcut
        for offcut in done.left
        if _kept(offcut.length_mm, offcut.width_mm, keep_length, keep_width, by_length)
    )
    parts = tuple(
        part.model_copy(update={"tag": tag})
        for part, tag in zip(board.parts, done.tags, strict=True)
    )
    return board.model_copy(update={"parts": parts, "cuts": done.cuts, "offcuts": kept})


def _kept(
    length: float, width: float, keep_length: float, keep_width: float, by_length: bool
) -> bool:
    if by_length:
        return length >= keep_length - TOLERANCE_MM
    large, small = max(length, width), min(length, width)
    most, least = max(keep_length, keep_width), min(keep_length, keep_width)
    return large >= most - TOLERANCE_MM and small >= least - TOLERANCE_MM


def _size(length_mm: float) -> int:
    # Rounded down within the tolerance, so that a third of a board goes on it three times.
    return math.floor(length_mm * PER_MM + 0.2)
