"""Finishes of the shell, and the rows of their take-off."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from shopfit.model.base import Area, Frozen, Money, Name, PositiveLength, Share

# Common practice, no source: a tenth more than is measured is bought for cuts and breakage.
WASTE = 0.10

FinishItem = Literal[
    "wall board",
    "wainscot",
    "baseboard",
    "crown",
    "trim",
    "wall paint",
    "ceiling paint",
    "floor finish",
    "insulation",
    "lights",
]
FinishUnit = Literal["m2", "m", "corners", "pieces"]


class Boards(Frozen):
    """Boards bought by the piece.

    Parameters
    ----------
    width, height
        Of one board.
    waste
        Part bought over what is measured: common practice, no source.
    price
        Of one board.
    """

    width: PositiveLength
    height: PositiveLength
    waste: Share = WASTE
    price: Money = 0.0


class Wainscot(Boards):
    """Boards along the foot of walls, under windows.

    Parameters
    ----------
    top
        Height of its upper edge above the finished floor; under a window it ends at the sill.
    walls
        Walls that have it; those with windows if left out.
    width, height, waste, price
        As for boards.
    """

    top: PositiveLength
    walls: tuple[Name, ...] = ()


class Lengths(Frozen):
    """Mouldings bought by the length, never fewer than all pieces are cut from.

    Parameters
    ----------
    length
        Of one length as bought.
    waste
        Part bought over what is measured, offcuts included: common practice, no source.
    price
        Of one piece.
    """

    length: PositiveLength
    waste: Share = WASTE
    price: Money = 0.0


class Cover(Frozen):
    """What is bought by the area that one pack covers.

    Parameters
    ----------
    covers
        Area that one pack covers, once.
    waste
        Part bought over what is measured: common practice, no source.
    price
        Of one pack.
    """

    covers: Area
    waste: Share = WASTE
    price: Money = 0.0


class Paint(Cover):
    """Paint by the can.

    Parameters
    ----------
    coats
        How many times the area is painted.
    covers, waste, price
        As for a cover.
    """

    coats: Annotated[int, Field(ge=1, le=6)] = 2


class Insulation(Cover):
    """Insulation between studs.

    Parameters
    ----------
    stud
        Thickness of a stud, which takes no insulation.
    walls
        Walls that have it; all if left out.
    covers, waste, price
        As for a cover.
    """

    stud: PositiveLength = 38.1
    walls: tuple[Name, ...] = ()


class Lights(Frozen):
    """Lights along slat-wall runs.

    Parameters
    ----------
    spacing
        Farthest from one light to the next along a run, and half of it from an end.
    price
        Of one light.
    """

    spacing: PositiveLength
    price: Money = 0.0


class Finishes(Frozen):
    """What the shell is finished with; what is left out is not counted.

    Parameters
    ----------
    wall_board
        Boards on every wall.
    wainscot
        Boards along the foot of walls, under windows.
    baseboard, crown, trim
        Mouldings at the foot and the top of walls, and round openings.
    wall_paint
        Paint on walls, but not on wainscot.
    ceiling_paint
        Paint on ceilings, taken to be as large as the floor.
    floor
        Floor finish.
    insulation
        Insulation between the studs.
    lights
        Lights along slat-wall runs.
    behind_slat_wall
        Whether board and paint go on behind slat-wall too.
    """

    wall_board: Boards | None = None
    wainscot: Wainscot | None = None
    baseboard: Lengths | None = None
    crown: Lengths | None = None
    trim: Lengths | None = None
    wall_paint: Paint | None = None
    ceiling_paint: Paint | None = None
    floor: Cover | None = None
    insulation: Insulation | None = None
    lights: Lights | None = None
    behind_slat_wall: bool = True


class FinishPart(Frozen):
    """What one wall, room, opening or run adds to an item.

    Parameters
    ----------
    item
        Which.
    where
        The wall, room, opening or run.
    formula
        How it was reckoned, in the shop's units.
    amount, unit
        The result: square metres, metres, or a number.
    """

    item: FinishItem
    where: str
    formula: str
    amount: float
    unit: FinishUnit


class FinishRow(Frozen):
    """One item to buy.

    Parameters
    ----------
    item
        Which.
    amount, unit
        As measured: square metres, metres, or a number; paint by the area of all coats.
    waste
        Part bought over it.
    pack
        What one piece, length or can covers, in the same unit.
    cut
        Lengths that its pieces are cut from, of which no fewer are bought; 0 where nothing is cut.
    packs, price, total
        How many, price each, and both multiplied.
    note
        Corners to be mitred or coped, and what was left out.
    """

    item: FinishItem
    amount: float
    unit: FinishUnit
    waste: float
    pack: float
    cut: int = 0
    packs: int
    price: float
    total: float
    note: str = ""


class FinishTakeOff(Frozen):
    """What the finishes of the shell take.

    Parameters
    ----------
    rows
        What to buy.
    parts
        What each row is the sum of.
    total
        Money in all.
    """

    rows: tuple[FinishRow, ...] = ()
    parts: tuple[FinishPart, ...] = ()
    total: float = 0.0
