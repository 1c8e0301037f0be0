"""Joins neighbouring goods into lengths of shelf board."""

from __future__ import annotations

import math

from shopfit.model.fixtures import ShelfBoard
from shopfit.model.layout import Row, Slot
from shopfit.units import TOLERANCE_MM


def shelf_segments(row: Row) -> list[list[Slot]]:
    """Join a row's neighbouring slots that stand on one length of the same shelf board.

    Parameters
    ----------
    row
        A row; slots without a holder, or in brackets, are passed over.

    Returns
    -------
    Slots of each length of board, from left to right.
    """
    segments: list[list[Slot]] = []
    for slot in sorted(row.slots, key=lambda slot: slot.from_mm):
        if slot.way != "shelf" or slot.holder is None:
            continue
        last = segments[-1][-1] if segments else None
        if (
            last is not None
            and last.holder == slot.holder
            and abs(slot.from_mm - last.to_mm) <= TOLERANCE_MM
        ):
            segments[-1].append(slot)
        else:
            segments.append([slot])
    return segments


def boards_needed(segment: list[Slot], board: ShelfBoard) -> int:
    """Give the boards that a length of shelf needs, end to end.

    Parameters
    ----------
    segment
        Slots on it, from left to right.
    board
        The board as bought.
    """
    length = segment[-1].to_mm - segment[0].from_mm
    return max(1, math.ceil((length - TOLERANCE_MM) / board.length))
