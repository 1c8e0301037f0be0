"""Where the goods of a slot stand or hang, above the floor."""

from __future__ import annotations

from dataclasses import dataclass

from shopfit.geometry.wallface import FaceShape, groove_height
from shopfit.model.fixtures import Bracket, Catalogue, ShelfBoard
from shopfit.model.layout import Row, Slot
from shopfit.model.range import Line

HANGING = ("hook", "face-out")


@dataclass(frozen=True)
class GoodsPlace:
    """How the goods of a slot stand or hang, heights above the floor in mm.

    Parameters
    ----------
    support
        Height of the bracket, groove or shelf.
    bottom, top
        Of the goods.
    """

    support: float
    bottom: float
    top: float


def holder_of(catalogue: Catalogue, slot: Slot) -> Bracket | ShelfBoard | None:
    """Give the bracket or shelf board that holds a slot, or none on a fixture's own shelf."""
    items: list[Bracket | ShelfBoard] = [*catalogue.brackets, *catalogue.shelves]
    return next((item for item in items if item.id == slot.holder), None)


def goods_place(
    face: FaceShape, row: Row, slot: Slot, line: Line, holder: Bracket | ShelfBoard | None
) -> GoodsPlace:
    """Give where the goods of a slot stand or hang.

    Parameters
    ----------
    face, row, slot
        Where; the levels of slat-wall are its grooves.
    line, holder
        What is shown, and what holds it.
    """
    if face.kind == "slat" and slot.way in HANGING and row.high_groove is not None:
        groove = groove_height(face.bottom, face.pitch, row.high_groove)
        top = groove - (holder.rise if isinstance(holder, Bracket) else 0.0)
        return GoodsPlace(groove, top - line.height, top)
    rise = face.board
    if isinstance(holder, Bracket):
        rise = holder.rise
    elif isinstance(holder, ShelfBoard):
        rise = holder.thickness
    bottom = row.bottom_mm + rise
    return GoodsPlace(row.bottom_mm, bottom, bottom + line.height)
