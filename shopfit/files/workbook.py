"""Writes the take-off as a workbook whose packs and totals are live formulas."""

from __future__ import annotations

from collections.abc import Sequence

from openpyxl import Workbook
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from shopfit import wording
from shopfit.files.bookparts import FIRST_ROW, finished, foot, listed, new_book, put
from shopfit.files.columns import plain_columns
from shopfit.model.base import Frozen
from shopfit.model.scenario import Shop
from shopfit.model.schedule import CutRow, FixtureRow, SetOutRow, ShoppingRow, TakeOff

SAW_CUT = (
    "Pieces nearer to a neighbour than a saw cut share that cut, and each comes out short by a "
    "part of it."
)
LOOSE_JOINT = (
    "A joint between studs has nothing behind it: back it as the sheet's maker says before "
    "anything is hung beside it."
)


def shopping_xlsx(take_off: TakeOff, shop: Shop, made: str = "") -> bytes:
    """Write the shopping list, the fixtures, the set-out and the sheets as a workbook.

    Packs, spares, totals and what is left of the budget are formulas of the numbers beside
    them, so that a changed price or count counts on.

    Parameters
    ----------
    take_off, shop
        The lists, and the shop whose name, units and currency they carry.
    made
        Moment of making, ISO 8601; the same lists and moment give the same bytes.

    Returns
    -------
    The file.
    """
    book = new_book()
    _shopping(book, take_off, shop, made)
    _list(book, "Fixtures", FixtureRow, take_off.fixtures, shop, made)
    _list(book, "Set-out", SetOutRow, take_off.set_out, shop, made)
    sheets = _list(book, "Sheets", CutRow, take_off.cuts, shop, made)
    notes = {
        SAW_CUT: any(row.tight for row in take_off.cuts),
        LOOSE_JOINT: any(row.joint == "between studs" for row in take_off.cuts),
    }
    for note in (note for note, wanted in notes.items() if wanted):
        put(sheets, sheets.max_row + 2, 1, note)
        sheets.print_area = f"A1:{get_column_letter(sheets.max_column)}{sheets.max_row}"
    return finished(book, shop, made)


def _shopping(book: Workbook, take_off: TakeOff, shop: Shop, made: str) -> None:
    columns = plain_columns(ShoppingRow, shop.units, shop.currency)
    sheet = _list(book, "Shopping list", ShoppingRow, take_off.shopping, shop, made)
    at = {column.header.split(" (")[0]: index for index, column in enumerate(columns, 1)}
    letter = {name: get_column_letter(index) for name, index in at.items()}
    last = FIRST_ROW + max(len(take_off.shopping), 1) - 1
    for row in range(FIRST_ROW, FIRST_ROW + len(take_off.shopping)):
        needed, owned, pack, packs, price = (
            f"{letter[name]}{row}"
            for name in ("Needed", "Owned", "Pieces a pack", "Packs to buy", "Price a pack")
        )
        formulas = {
            "Packs to buy": f"=CEILING(MAX({needed}-{owned},0)/{pack},1)",
            "Spare pieces": f"={owned}+{packs}*{pack}-{needed}",
            "Total": f"=ROUND({packs}*{price},2)",
        }
        for name, formula in formulas.items():
            sheet.cell(row, at[name]).value = formula
    money = letter["Total"]
    total = last + 2
    foot(sheet, total, at["Total"], "Total", f"=SUM({money}{FIRST_ROW}:{money}{last})")
    if take_off.budget is not None:
        foot(sheet, total + 1, at["Total"], "Budget", take_off.budget)
        left = f"={money}{total + 1}-{money}{total}"
        foot(sheet, total + 2, at["Total"], "Left of the budget", left)
    if take_off.made is not None:
        put(sheet, sheet.max_row + 2, 1, wording.made_money(take_off.made, shop.currency))
    sheet.print_area = f"A1:{money}{sheet.max_row}"


def _list(
    book: Workbook,
    title: str,
    record: type[Frozen],
    rows: Sequence[Frozen],
    shop: Shop,
    made: str,
) -> Worksheet:
    columns = plain_columns(record, shop.units, shop.currency)
    return listed(book, title, columns, rows, shop, made)
