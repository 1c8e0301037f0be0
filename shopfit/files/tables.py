"""Writes lists as comma-separated text that opens safely in a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from typing import Any

from shopfit.files.columns import Cell, Measure, PlainColumn, plain_columns
from shopfit.files.workbook import shopping_xlsx
from shopfit.model.base import Frozen
from shopfit.model.fixing import ClashRow, FixingRow
from shopfit.model.scenario import Shop
from shopfit.model.schedule import CutRow, FixtureRow, SetOutRow, ShoppingRow, TakeOff
from shopfit.units import LengthStyle

__all__ = ["csv_text", "harmless", "plain_csv", "shopping_xlsx", "take_off_csv"]

# Text that a spreadsheet would take for a formula, as the OWASP page on CSV injection lists it
# (from memory); full-width forms are read alike by some.
_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


def csv_text(
    rows: Iterable[Frozen],
    units_style: LengthStyle,
    currency: str,
    record: type[Frozen] | None = None,
) -> str:
    """Write records as comma-separated text with one header line (RFC 4180, lines end in CR LF).

    Parameters
    ----------
    rows
        Records of one kind from `shopfit.model.schedule`.
    units_style, currency
        How the shop writes lengths and money; every length has a column in mm as well.
    record
        The kind, so that a table without rows has its header too; else taken from the first row.

    Returns
    -------
    The text; nothing at all where there are neither rows nor a kind.

    Raises
    ------
    KeyError
        If there is no table of such records.
    """
    listed = list(rows)
    kind = record or (type(listed[0]) if listed else None)
    if kind is None:
        return ""
    return plain_csv(plain_columns(kind, units_style, currency), listed)


def take_off_csv(take_off: TakeOff, shop: Shop) -> dict[str, str]:
    """Write the lists of a take-off, each with its header even where it is empty.

    Parameters
    ----------
    take_off, shop
        The lists, and the shop whose units and currency they are written in.

    Returns
    -------
    Texts by file name.
    """
    lists: dict[str, tuple[type[Frozen], Sequence[Frozen]]] = {
        "shopping.csv": (ShoppingRow, take_off.shopping),
        "fixtures.csv": (FixtureRow, take_off.fixtures),
        "set-out.csv": (SetOutRow, take_off.set_out),
        "sheets.csv": (CutRow, take_off.cuts),
        "fixings.csv": (FixingRow, take_off.fixings),
        "covered.csv": (ClashRow, take_off.covered),
    }
    return {
        name: csv_text(rows, shop.units, shop.currency, record)
        for name, (record, rows) in lists.items()
    }


def harmless(text: str) -> str:
    """Put an apostrophe before text that a spreadsheet would take for a formula."""
    return f"'{text}" if text.startswith(_FORMULA_STARTS) else text


def plain_csv(columns: Sequence[PlainColumn], rows: Iterable[Any]) -> str:
    """Write rows by columns of any kind, with one header line (RFC 4180).

    Parameters
    ----------
    columns
        What is read from each row, with its header.
    rows
        In the order wanted.
    """
    page = io.StringIO(newline="")
    writer = csv.writer(page, lineterminator="\r\n")
    writer.writerow([harmless(column.header) for column in columns])
    for row in rows:
        writer.writerow([_cell(column.read(row), column.measure) for column in columns])
    return page.getvalue()


def _cell(cell: Cell, measure: Measure) -> str:
    if cell is None:
        return ""
    if isinstance(cell, str):
        return harmless(cell)
    if measure == "money":
        return f"{cell:.2f}"
    return str(cell) if isinstance(cell, int) else f"{cell:.3f}".rstrip("0").rstrip(".")
