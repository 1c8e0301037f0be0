"""Aisles across a room: what is asked, and what each number of rows of islands leaves."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from shopfit.model.base import Frozen, NonNegativeLength, PositiveLength
from shopfit.units import LengthStyle

Binds = Literal["brief", "route", "turn"]


class AisleTask(Frozen):
    """What is asked of the aisles across a room.

    Parameters
    ----------
    room
        Clear width of the room across the aisles, wall to wall.
    left, right
        Depth of what stands along one wall and along the other; nought for a bare wall.
    island
        Depth of an island, front to front; two fixtures back to back count together.
    aisle
        Least width wanted of every aisle; the width of a route counts where it is more.
    rows
        Number of rows of islands; the most that fit if left out.
    end
        Clear way round the ends of islands.
    length
        Length of an aisle, for passing spaces.
    rulebook, units
        By name, and how lengths are written.
    """

    room: PositiveLength
    left: NonNegativeLength = 0.0
    right: NonNegativeLength = 0.0
    island: PositiveLength | None = None
    aisle: NonNegativeLength = 0.0
    rows: Annotated[int, Field(ge=0, le=60)] | None = None
    end: NonNegativeLength | None = None
    length: PositiveLength | None = None
    rulebook: str = "us"
    units: LengthStyle = "ft-in"


class AisleRow(Frozen):
    """One way to fill the width of a room.

    Parameters
    ----------
    rows, words
        Rows of islands, and what stands across the room in words.
    aisles
        How many aisles there are.
    fixtures_mm
        Depth of all that stands.
    aisle_mm, binds, clause, confidence
        Least width of each aisle, which number asks for it, and where it comes from.
    needed_mm, spare_mm
        Width needed, and what is left of the room; under nought where it lacks.
    fits
        Whether it fits, touching counted as fitting, and ends can be turned round.
    shared_mm
        Width of each aisle if what is left is shared out evenly; nought at least.
    end_mm
        Clear way that the ends of islands want, or none.
    end_spare_mm
        What the way round the ends has more than that, where it is known.
    passing
        Passing spaces wanted in each aisle, where its length is known.
    """

    rows: int
    words: str
    aisles: int
    fixtures_mm: float
    aisle_mm: float
    binds: Binds
    clause: str
    confidence: str
    needed_mm: float
    spare_mm: float
    fits: bool
    shared_mm: float
    end_mm: float | None = None
    end_spare_mm: float | None = None
    passing: int | None = None


class AisleAnswer(Frozen):
    """What was found.

    Parameters
    ----------
    task
        What was asked.
    rows
        Without islands and with ever more rows, up to the first number that does not fit; or the
        number asked for.
    most
        The most rows of islands that fit, or none where not even none does.
    notes
        What else to know.
    """

    task: AisleTask
    rows: tuple[AisleRow, ...]
    most: int | None
    notes: tuple[str, ...] = ()
