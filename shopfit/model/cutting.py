"""What is cut from what stock, and the plan a saw follows."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from shopfit.model.base import Frozen, Money, Name, NonNegativeLength, PositiveLength

# What a circular saw takes, 1/8 in; common practice, no source.
USUAL_KERF_MM = 3.175

Saw = Literal["rip", "crosscut"]


class StockPiece(Frozen):
    """A sheet or a length that can be bought, or is there already.

    Parameters
    ----------
    id, name
        Its number in the list and its name in words.
    material
        What it is; parts are cut from stock of their own material.
    length, width
        Its size; the length lies along the grain or the grooves. A length of timber, trim or rail
        has no width.
    price
        Of one; nought if it is owned already.
    available
        How many can be had.
    trim
        Cut off all round before anything is measured, because edges come damaged.
    groove_pitch, first_groove
        Of grooves along the length: from one to the next, and from the lower edge to the lowest.
    """

    id: Name
    name: str = Field(default="", max_length=120)
    material: Name
    length: PositiveLength
    width: PositiveLength | None = None
    price: Money = 0.0
    available: Annotated[int, Field(ge=0, le=100_000)] = 100_000
    trim: NonNegativeLength = 0.0
    groove_pitch: PositiveLength | None = None
    first_groove: NonNegativeLength = 0.0

    @model_validator(mode="after")
    def _large_enough(self) -> StockPiece:
        if 2 * self.trim >= min(self.length, self.width or self.length):
            raise ValueError("trim must leave something of the stock")
        return self


class Part(Frozen):
    """Equal pieces that are wanted.

    Parameters
    ----------
    id
        What they are called.
    material
        What they are cut from.
    length, width
        Size as cut; the length lies along the grain or the grooves. No width if it is a length.
    count
        How many.
    turns
        Whether they may lie a quarter turn round, across the grain; never where there are grooves.
    purpose
        What they are for.
    groove
        From the lower edge up to the lowest groove, where the stock has grooves; pieces that are
        joined end to end have the same, so that grooves run through. As on a whole sheet if left
        out.
    """

    id: Name
    material: Name
    length: PositiveLength
    width: PositiveLength | None = None
    count: Annotated[int, Field(ge=1, le=10_000)] = 1
    turns: bool = False
    purpose: str = Field(default="", max_length=120)
    groove: NonNegativeLength | None = None


class CutJob(Frozen):
    """Parts, the stock to cut them from, and the saw.

    Parameters
    ----------
    stock, parts
        What there is and what is wanted.
    kerf
        What the saw takes.
    keep_length, keep_width
        Offcuts at least so large, either way round, are kept; the rest is waste.
    """

    stock: tuple[StockPiece, ...] = ()
    parts: tuple[Part, ...] = ()
    kerf: NonNegativeLength = USUAL_KERF_MM
    keep_length: PositiveLength = 304.8
    keep_width: PositiveLength = 101.6


class PlacedPart(Frozen):
    """A piece on its board.

    Parameters
    ----------
    part, purpose
        Which part, and what it is for.
    x_mm, y_mm
        Lower left corner on the board, from the stock's own corner.
    length_mm, width_mm
        Size along the board's length and across it.
    turned
        Whether it lies a quarter turn round.
    tag
        As the cuts name it; nothing where it is the whole board.
    """

    part: str
    purpose: str = ""
    x_mm: float
    y_mm: float = 0.0
    length_mm: float
    width_mm: float = 0.0
    turned: bool = False
    tag: str = ""


class SawCut(Frozen):
    """One cut, right through the piece that is on the saw.

    Parameters
    ----------
    number
        In sawing order, from 1.
    saw
        ``rip`` along the board's length, ``crosscut`` across it.
    set_mm
        Where the fence or stop is set: from the edge that the piece on the saw is measured from,
        its lower one for a rip, its left one for a crosscut.
    of
        Tag of what is on the saw; nothing for the whole board. Strips are A, B, C, the pieces of
        a strip A1, A2, the pieces of these A1a, A1b.
    frees
        Tag of what the cut frees; nothing for waste.
    leaves
        Tag of the last piece, where what is left on the saw needs no further cut to be it.
    from_mm, to_mm
        Ends of the cut on the board, x and y of each.
    """

    number: int
    saw: Saw
    set_mm: float
    of: str
    frees: str
    from_mm: tuple[float, float]
    to_mm: tuple[float, float]
    leaves: str = ""


class Offcut(Frozen):
    """What is left over and large enough to keep.

    Parameters
    ----------
    x_mm, y_mm, length_mm, width_mm
        Where it lies on the board, and its size.
    """

    x_mm: float
    y_mm: float
    length_mm: float
    width_mm: float


class CutBoard(Frozen):
    """A sheet or length, and what is cut from it.

    Parameters
    ----------
    number
        From 1, through all materials.
    stock, name, material
        Which stock, its name in words, what it is.
    length_mm, width_mm, trim_mm
        Its size; no width if it is a length.
    price
        Of it.
    parts, cuts, offcuts
        Pieces on it, cuts in sawing order, what is kept.
    groove_pitch_mm, first_groove_mm
        Of its grooves, if any.
    """

    number: int
    stock: str
    name: str
    material: str
    length_mm: float
    width_mm: float | None = None
    trim_mm: float = 0.0
    price: float = 0.0
    parts: tuple[PlacedPart, ...] = ()
    cuts: tuple[SawCut, ...] = ()
    offcuts: tuple[Offcut, ...] = ()
    groove_pitch_mm: float | None = None
    first_groove_mm: float = 0.0

    @property
    def used(self) -> float:
        """The part of the board that ends up in pieces."""
        if self.width_mm is None:
            return sum(part.length_mm for part in self.parts) / self.length_mm
        area = sum(part.length_mm * part.width_mm for part in self.parts)
        return area / (self.length_mm * self.width_mm)


class CutProof(Frozen):
    """How good the plan is for one material.

    Parameters
    ----------
    material
        Which.
    boards, cost
        Boards taken, and what they cost.
    measured_in
        What is made least: ``boards``, ``money``, or ``area`` where nothing has a price.
    found, bound
        That of the plan, and what no plan can be below.
    holds_for
        Which plans the bound holds for.
    """

    material: str
    boards: int
    cost: float
    measured_in: Literal["boards", "money", "area"]
    found: float
    bound: float
    holds_for: str

    @property
    def proved(self) -> bool:
        """Whether no plan that the bound holds for is better."""
        return self.found <= self.bound + 1e-6

    @property
    def gap(self) -> float:
        """How far the plan may be above the best, as a part of it."""
        return 0.0 if self.proved else (self.found - self.bound) / self.found


class Uncut(Frozen):
    """Pieces that no stock was left or large enough for.

    Parameters
    ----------
    part, count
        Which, and how many.
    why
        ``too large`` for every stock of its material, or ``no stock left``.
    """

    part: str
    count: int
    why: Literal["too large", "no stock left"]


class CutPlan(Frozen):
    """How every part is cut.

    Parameters
    ----------
    boards
        In the order of the materials in the list of stock.
    proofs
        One for each material.
    uncut
        What could not be cut.
    kerf_mm
        What the saw takes.
    """

    boards: tuple[CutBoard, ...] = ()
    proofs: tuple[CutProof, ...] = ()
    uncut: tuple[Uncut, ...] = ()
    kerf_mm: float = USUAL_KERF_MM

    @property
    def cost(self) -> float:
        """Money for all boards, to the hundredth."""
        return round(sum(board.price for board in self.boards), 2)


class PartRow(Frozen):
    """A piece of a cut list, and where it lies on its board.

    Parameters
    ----------
    board, piece
        Number of the board, and of the piece on it, such as 2.1.
    part, purpose
        Which part, and what it is for.
    stock, name, material
        What it is cut from.
    length_mm, width_mm
        Size as it lies: along the board's length, and across it; no width of a length.
    x_mm, y_mm
        Lower left corner on the board.
    turned
        Whether it lies a quarter turn round.
    """

    board: int
    piece: str
    part: str
    purpose: str
    stock: str
    name: str
    material: str
    length_mm: float
    width_mm: float | None
    x_mm: float
    y_mm: float | None
    turned: bool


class SawRow(Frozen):
    """A cut of the list of cuts, in sawing order.

    Parameters
    ----------
    board, name
        The board.
    cut
        Number of the cut on its board.
    on, saw, set_mm, frees
        What is on the saw, whether it is ripped or crosscut, where the fence or stop is set, and
        what comes free.
    """

    board: int
    name: str
    cut: int
    on: str
    saw: Saw
    set_mm: float
    frees: str


class OffcutRow(Frozen):
    """Something left over that is kept.

    Parameters
    ----------
    board, name, material
        The board it is left of.
    length_mm, width_mm
        Its size; no width of a length.
    """

    board: int
    name: str
    material: str
    length_mm: float
    width_mm: float | None
