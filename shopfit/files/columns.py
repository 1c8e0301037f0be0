"""What columns each table has, in plain words, with lengths as the user writes them and in mm."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from operator import attrgetter
from typing import Any, Literal

from shopfit.model.base import Frozen
from shopfit.model.changes import ChangeRow
from shopfit.model.fixing import ClashRow, FixingRow
from shopfit.model.moves import MoveRow
from shopfit.model.schedule import (
    CategoryChange,
    CutRow,
    FixtureChange,
    FixtureRow,
    SetOutRow,
    ShoppingChange,
    ShoppingRow,
)
from shopfit.units import POUND_KG, LengthStyle, format_length

Measure = Literal["text", "count", "length", "mass", "money", "angle", "yes or no"]
Cell = str | int | float | None

STYLE_WORDS: dict[LengthStyle, str] = {"ft-in": "ft and in", "in": "in", "mm": "mm", "m": "m"}
DECIMALS = {"length": 2, "mass": 3, "money": 2, "angle": 3}


@dataclass(frozen=True)
class Column:
    """One thing that a record tells.

    Parameters
    ----------
    header
        What it is called, without its unit.
    read
        How it is read from the record: lengths in mm, masses in kg, angles in degrees.
    measure
        What it is.
    """

    header: str
    read: Callable[[Any], Any]
    measure: Measure = "text"


@dataclass(frozen=True)
class PlainColumn:
    """A column as written: its unit in the header, its cells text or numbers.

    Parameters
    ----------
    header, read
        Header with its unit, and how a cell is made from a record.
    measure
        What the cell is; ``text`` for a length in the user's style.
    """

    header: str
    read: Callable[[Any], Cell]
    measure: Measure


def plain_columns(
    record: type[Frozen], style: LengthStyle, currency: str
) -> tuple[PlainColumn, ...]:
    """Give the columns of a kind of record, with units.

    Parameters
    ----------
    record
        The kind.
    style, currency
        How the shop writes lengths and money.

    Raises
    ------
    KeyError
        If there is no table of such records.
    """
    return tuple(
        plain for column in COLUMNS[record] for plain in with_units(column, style, currency)
    )


def shown_length(length_mm: float, style: LengthStyle) -> str:
    """Write a length for a cell, mm given; with a true minus sign, which starts no formula."""
    return format_length(length_mm, style).replace("-", "−")


def with_units(column: Column, style: LengthStyle, currency: str) -> Iterable[PlainColumn]:
    """Give a column as written: lengths in the user's style and in mm, others in one unit."""
    read, header = column.read, column.header
    if column.measure == "length":
        if style != "mm":
            yield PlainColumn(
                f"{header} ({STYLE_WORDS[style]})",
                lambda record: None if read(record) is None else shown_length(read(record), style),
                "text",
            )
        yield PlainColumn(f"{header} (mm)", rounded(read, 2), "length")
    elif column.measure == "mass":
        if style in ("ft-in", "in"):
            yield PlainColumn(f"{header} (lb)", rounded(lambda r: read(r) / POUND_KG, 2), "mass")
        yield PlainColumn(f"{header} (kg)", rounded(read, 3), "mass")
    elif column.measure == "money":
        yield PlainColumn(f"{header} ({currency})", rounded(read, 2), "money")
    elif column.measure == "angle":
        yield PlainColumn(f"{header} (degrees)", rounded(read, 3), "angle")
    elif column.measure == "yes or no":
        yield PlainColumn(header, lambda record: "yes" if read(record) else "no", "text")
    else:
        yield PlainColumn(header, read, column.measure)


def rounded(read: Callable[[Any], Any], decimals: int) -> Callable[[Any], Cell]:
    """Read a number to so many decimals; nothing stays nothing."""

    def cell(record: Any) -> Cell:
        size = read(record)
        # Adding nought turns -0.0 into 0.0.
        return None if size is None else round(float(size), decimals) + 0.0

    return cell


def _columns(*columns: tuple[str, str] | tuple[str, str, Measure]) -> tuple[Column, ...]:
    return tuple(
        Column(header, attrgetter(name), rest[0] if rest else "text")
        for header, name, *rest in columns
    )


COLUMNS: dict[type[Frozen], tuple[Column, ...]] = {
    FixtureRow: _columns(
        ("Tag", "tag"),
        ("Fixture", "fixture"),
        ("Name", "name"),
        ("Kind", "kind"),
        ("Width", "width_mm", "length"),
        ("Depth", "depth_mm", "length"),
        ("Height", "height_mm", "length"),
        ("Wall", "wall"),
        ("From the wall's left end", "offset_mm", "length"),
        ("Back left corner, east", "x_mm", "length"),
        ("Back left corner, north", "y_mm", "length"),
        ("Direction of its width", "angle_deg", "angle"),
        ("Fastened to the building", "fixed", "yes or no"),
        ("Price each", "price", "money"),
    ),
    SetOutRow: _columns(
        ("Wall or fixture", "where"),
        ("Run", "run"),
        ("Side", "side"),
        ("Measured from", "datum"),
        ("Category", "category"),
        ("Block", "block"),
        ("Row from the lowest", "row", "count"),
        ("Line", "line"),
        ("Way of display", "way"),
        ("Held by", "holder"),
        ("Holder's name", "holder_name"),
        ("Brackets", "brackets", "count"),
        ("Shelf boards", "boards", "count"),
        ("Groove from the lowest", "groove", "count"),
        ("Height above finished floor", "height_mm", "length"),
        ("First bracket's centre", "first_mm", "length"),
        ("Next bracket's centre after", "spacing_mm", "length"),
        ("Last bracket's centre", "last_mm", "length"),
        ("Shelf board from", "shelf_from_mm", "length"),
        ("Shelf board to", "shelf_to_mm", "length"),
        ("Goods from", "from_mm", "length"),
        ("Goods to", "to_mm", "length"),
        ("Goods stand at or hang from", "goods_mm", "length"),
        ("Facings", "facings", "count"),
        ("Units", "units", "count"),
        ("Load on this groove or shelf", "load_kg", "mass"),
    ),
    CutRow: _columns(
        ("Sheet number", "sheet_number", "count"),
        ("Piece on the sheet", "number", "count"),
        ("Sheet", "sheet"),
        ("Sheet's name", "sheet_name"),
        ("Sheet width", "sheet_width_mm", "length"),
        ("Sheet height", "sheet_height_mm", "length"),
        ("Piece width", "width_mm", "length"),
        ("Piece height", "height_mm", "length"),
        ("From the sheet's left edge", "sheet_x_mm", "length"),
        ("From the sheet's lower edge", "sheet_z_mm", "length"),
        ("Nearer to a neighbour than a saw cut", "tight", "yes or no"),
        ("Run", "run"),
        ("Wall", "wall"),
        ("Measured from", "datum"),
        ("Hangs from", "from_mm", "length"),
        ("Hangs to", "to_mm", "length"),
        ("Lower edge above finished floor", "bottom_mm", "length"),
        ("Upper edge above finished floor", "top_mm", "length"),
        ("Left edge falls on", "joint"),
    ),
    ShoppingRow: _columns(
        ("Item", "item"),
        ("Name", "name"),
        ("Kind", "kind"),
        ("Needed", "needed", "count"),
        ("Owned", "owned", "count"),
        ("Pieces a pack", "pack", "count"),
        ("Packs to buy", "packs", "count"),
        ("Spare pieces", "spare", "count"),
        ("Price a pack", "price", "money"),
        ("Total", "total", "money"),
    ),
    FixingRow: _columns(
        ("Wall", "wall"),
        ("Measured from", "datum"),
        ("Run", "run"),
        ("Piece from the left", "piece", "count"),
        ("Fixing", "kind"),
        ("At", "at_mm", "length"),
        ("Lowest above finished floor", "bottom_mm", "length"),
        ("Highest above finished floor", "top_mm", "length"),
        ("How many", "count", "count"),
        ("Next one after", "spacing_mm", "length"),
    ),
    ClashRow: _columns(
        ("Wall", "wall"),
        ("Measured from", "datum"),
        ("Thing", "thing"),
        ("Kind", "kind"),
        ("From", "from_mm", "length"),
        ("To", "to_mm", "length"),
        ("Lower edge above finished floor", "bottom_mm", "length"),
        ("Upper edge above finished floor", "top_mm", "length"),
        ("Covered by", "covered_by"),
        ("How", "how"),
        ("Gap", "gap_mm", "length"),
    ),
    MoveRow: _columns(
        ("What", "part"),
        ("Tag", "tag"),
        ("Name", "name"),
        ("Step", "step"),
        ("Before", "before"),
        ("After", "after"),
        ("Moved by", "moved_mm", "length"),
        ("Turned by", "turned_deg", "angle"),
        ("Line", "line"),
        ("Facings before", "facings_before", "count"),
        ("Facings after", "facings_after", "count"),
        ("Pieces before", "pieces_before", "count"),
        ("Pieces after", "pieces_after", "count"),
        ("Pieces that change their place", "pieces_moved", "count"),
        ("Counts as moves", "moves", "count"),
    ),
    ChangeRow: _columns(
        ("Do", "do"),
        ("Item", "item"),
        ("Name", "name"),
        ("How many", "number", "count"),
        ("Money", "money", "money"),
        ("Tag before", "tag_before"),
        ("Tag after", "tag_after"),
        ("Moved by", "moved_mm", "length"),
        ("Turned by", "turned_deg", "angle"),
    ),
    CategoryChange: _columns(
        ("Category", "category"),
        ("Facings before", "before", "count"),
        ("Facings after", "after", "count"),
    ),
    FixtureChange: _columns(
        ("Change", "change"),
        ("Fixture", "fixture"),
        ("Name", "name"),
        ("Tag before", "tag_before"),
        ("Tag after", "tag_after"),
        ("Moved by", "moved_mm", "length"),
        ("Turned by", "turned_deg", "angle"),
    ),
    ShoppingChange: _columns(
        ("Item", "item"),
        ("Name", "name"),
        ("Kind", "kind"),
        ("Packs before", "packs_before", "count"),
        ("Packs after", "packs_after", "count"),
        ("Total before", "total_before", "money"),
        ("Total after", "total_after", "money"),
    ),
}
