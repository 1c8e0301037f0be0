"""Rows for fixing slat-wall: where screws and anchors go, and what on the wall is covered."""

from __future__ import annotations

from typing import Literal

from shopfit.model.base import Frozen


class FixingRow(Frozen):
    """One upright line of screws or anchors through a piece of slat-wall.

    Parameters
    ----------
    wall, datum
        The wall, and the named corner that distances are measured from.
    run, piece
        The run, and the piece of it, counted from the left and from below.
    kind
        A screw into a stud, or an anchor where a piece has too few studs behind it.
    at_mm
        From the datum.
    bottom_mm, top_mm
        Lowest and highest one above the finished floor.
    count
        How many.
    spacing_mm
        From one to the next; none for a single one.
    """

    wall: str
    datum: str
    run: str
    piece: int
    kind: Literal["screw", "anchor"]
    at_mm: float
    bottom_mm: float
    top_mm: float
    count: int
    spacing_mm: float | None


class ClashRow(Frozen):
    """Something on a wall that a layout covers.

    Parameters
    ----------
    wall, datum
        The wall, and the named corner that distances are measured from.
    thing, kind
        Its name and what it is.
    from_mm, to_mm, bottom_mm, top_mm
        Where it is.
    covered_by
        Tag of the fixture or run.
    how
        ``behind`` a fixture, ``under`` slat-wall, or ``beside`` either by less than a cover plate
        and a finger.
    gap_mm
        To the nearest edge; 0 where it is covered.
    """

    wall: str
    datum: str
    thing: str
    kind: str
    from_mm: float
    to_mm: float
    bottom_mm: float
    top_mm: float
    covered_by: str
    how: Literal["behind", "under", "beside"]
    gap_mm: float
