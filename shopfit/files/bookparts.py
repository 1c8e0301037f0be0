"""Parts of every workbook: headings, cells that stay text, page set-up, and packing."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Sequence
from datetime import UTC, datetime

from openpyxl import Workbook
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.worksheet import Worksheet
from openpyxl.xml.functions import tostring

from shopfit.files.columns import Cell, Measure, PlainColumn
from shopfit.model.base import Frozen
from shopfit.model.scenario import Shop

CAUTION = (
    "Caution: counted from the layout and the price list as given. Before anything is ordered, "
    "cut or hung, measure the shell again, and have loads, fixings, glass, electricity, exits "
    "and ramps judged by local code and licensed people."
)
HEADER_ROW = 4
FIRST_ROW = HEADER_ROW + 1
MANY, NARROW = 16, 15.0  # a list of more columns has narrow ones, so that it prints legibly
UNDATED = datetime(2000, 1, 1)
FORMATS: dict[Measure, str] = {
    "count": "0",
    "length": "0.0",
    "mass": "0.00",
    "money": "#,##0.00",
    "angle": "0.0",
}
_THIN = Side(style="thin", color="FF999999")
_WRAPPED = Alignment(wrap_text=True, vertical="top")


def new_book() -> Workbook:
    """Give a workbook without sheets."""
    book = Workbook()
    book.remove(book.worksheets[0])
    return book


def finished(book: Workbook, shop: Shop, made: str) -> bytes:
    """Give a workbook as a file.

    Parameters
    ----------
    book, shop
        What is written, and whose it is.
    made
        Moment of making, ISO 8601; the same book and moment give the same bytes.
    """
    moment = _moment(made)
    book.properties.creator = "shopfit"
    book.properties.title = ILLEGAL_CHARACTERS_RE.sub("", shop.name)
    book.properties.created = moment
    if book.calculation is not None:
        book.calculation.fullCalcOnLoad = True
    return _packed(book, moment)


def listed(
    book: Workbook,
    title: str,
    columns: Sequence[PlainColumn],
    rows: Sequence[Frozen],
    shop: Shop,
    made: str,
) -> Worksheet:
    """Write one list with its heading, header and page set-up.

    Parameters
    ----------
    book, title
        Where, and the name of the sheet.
    columns, rows
        What is read from each record.
    shop, made
        Whose, and when.
    """
    wide = len(columns) > MANY
    sheet: Worksheet = book.create_sheet(title)
    _heading(sheet, f"{shop.name}: {title.lower()}", made, len(columns))
    for index, column in enumerate(columns, 1):
        put(sheet, HEADER_ROW, index, column.header)
        header = sheet.cell(HEADER_ROW, index)
        header.font = Font(bold=True)
        header.fill = PatternFill("solid", fgColor="FFE7E6E0")
        header.alignment = _WRAPPED
        header.border = Border(bottom=_THIN)
    for number, row in enumerate(rows, FIRST_ROW):
        for index, column in enumerate(columns, 1):
            put(sheet, number, index, column.read(row), column.measure)
            if wide:
                sheet.cell(number, index).alignment = _WRAPPED
    for index, column in enumerate(columns, 1):
        letter = get_column_letter(index)
        size = sheet.column_dimensions[letter]
        size.width = min(_width(column, rows), NARROW) if wide else _width(column, rows)
        # Lengths are told in the shop's way beside it; unfolded, they are all there.
        size.hidden = column.header.endswith("(mm)") and shop.units != "mm"
        size.outlineLevel = int(size.hidden)
    _page(sheet, shop, len(columns), FIRST_ROW + len(rows) - 1)
    return sheet


def foot(sheet: Worksheet, row: int, column: int, words: str, amount: str | float) -> None:
    """Write a sum below a list: words, and beside them a number or a formula."""
    label, cell = sheet.cell(row, column - 1), sheet.cell(row, column)
    label.value, cell.value = words, amount
    label.font = cell.font = Font(bold=True)
    label.alignment = Alignment(horizontal="right")
    cell.number_format = FORMATS["money"]
    cell.border = Border(top=_THIN)


def _heading(sheet: Worksheet, title: str, made: str, columns: int) -> None:
    put(sheet, 1, 1, title)
    sheet.cell(1, 1).font = Font(bold=True, size=14)
    put(sheet, 2, 1, CAUTION)
    sheet.merge_cells(start_row=2, start_column=1, end_row=2, end_column=min(columns, MANY))
    sheet.cell(2, 1).alignment = _WRAPPED
    sheet.row_dimensions[2].height = 48
    put(sheet, 3, 1, f"Made {made}" if made else "Not dated")


def _page(sheet: Worksheet, shop: Shop, columns: int, last_row: int) -> None:
    sheet.freeze_panes = f"A{FIRST_ROW}"
    sheet.print_title_rows = f"{HEADER_ROW}:{HEADER_ROW}"
    sheet.print_area = f"A1:{get_column_letter(columns)}{max(last_row, FIRST_ROW)}"
    sheet.page_setup.orientation = "landscape"
    imperial = shop.units in ("ft-in", "in")
    sheet.page_setup.paperSize = sheet.PAPERSIZE_LETTER if imperial else sheet.PAPERSIZE_A4
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    sheet.page_setup.fitToWidth = 1
    sheet.page_setup.fitToHeight = 0
    if sheet.oddFooter is not None:
        sheet.oddFooter.center.text = "&A, page &P of &N"


def put(sheet: Worksheet, row: int, column: int, given: Cell, measure: Measure = "text") -> None:
    """Write a cell; text stays text, even where it looks like a formula."""
    cell = sheet.cell(row, column)
    if isinstance(given, str):
        cell.value = ILLEGAL_CHARACTERS_RE.sub("", given)
        cell.data_type = "s"
        cell.quotePrefix = given.startswith(("=", "+", "-", "@"))
        return
    cell.value = given
    if measure in FORMATS:
        cell.number_format = FORMATS[measure]


def _width(column: PlainColumn, rows: Sequence[Frozen]) -> float:
    longest = max((len(str(column.read(row) or "")) for row in rows), default=0)
    word = max(len(part) for part in column.header.split())
    return float(min(max(longest + 2, word + 2, 9), 42))


def _moment(made: str) -> datetime:
    if not made:
        return UNDATED
    moment = datetime.fromisoformat(made)
    moment = moment.astimezone(UTC) if moment.tzinfo is not None else moment
    return moment.replace(tzinfo=None, microsecond=0)


def _packed(book: Workbook, moment: datetime) -> bytes:
    """Save a workbook and pack it again, with one moment for every part of it."""
    saved = io.BytesIO()
    book.save(saved)
    book.properties.modified = moment
    packed = io.BytesIO()
    with zipfile.ZipFile(saved) as old, zipfile.ZipFile(packed, "w") as new:
        for entry in old.infolist():
            text = old.read(entry.filename)
            if entry.filename == "docProps/core.xml":
                text = tostring(book.properties.to_tree())
            # The zip format knows no moment before 1980.
            stamp = max(moment, datetime(1980, 1, 1)).timetuple()[:6]
            info = zipfile.ZipInfo(entry.filename, stamp)
            info.compress_type = zipfile.ZIP_DEFLATED
            new.writestr(info, text)
    return packed.getvalue()
