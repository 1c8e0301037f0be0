"""Reads tables of others: comma-separated text of any encoding and separator, and workbooks."""

from __future__ import annotations

import csv
import datetime
import io
import zipfile
import zlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import islice
from typing import Any

from shopfit.errors import Fault, InputFaults
from shopfit.files.rangefile import RANGE_ROWS

SHEET_BYTES = 50_000_000
UNPACKED_BYTES = 250_000_000
COLUMNS_READ = 200
CELL_SIGNS = 1_000
SEPARATORS = (",", ";", "\t", "|")
# Tried in this order; the last one reads anything, so what it gives is told.
_ENCODINGS = ("utf-8-sig", "cp1252", "latin-1")
_ZIP_FAULTS = (zipfile.BadZipFile, zlib.error, NotImplementedError, RuntimeError, EOFError, OSError)


@dataclass(frozen=True)
class SheetText:
    """A table as text.

    Parameters
    ----------
    cells
        Rows from the header on, each as long as the header; spaces at their ends are gone.
    notes
        What was guessed in reading it, for the owner to look at.
    """

    cells: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...] = ()

    @property
    def header(self) -> tuple[str, ...]:
        """Names of the columns."""
        return self.cells[0] if self.cells else ()

    @property
    def rows(self) -> tuple[tuple[str, ...], ...]:
        """Everything below the header."""
        return self.cells[1:]


def read_sheet(name: str, data: bytes, most_rows: int = RANGE_ROWS) -> SheetText:
    """Read a table from a CSV file or the first filled sheet of an XLSX workbook.

    Parameters
    ----------
    name
        File name, for its ending and for faults.
    data
        Contents of the file.
    most_rows
        Rows that it may have below the header.

    Raises
    ------
    InputFaults
        If it is too large, is no table, or unpacks to more than it should.
    """
    if len(data) > SHEET_BYTES:
        given, allowed = f"{len(data):,} bytes", f"at most {SHEET_BYTES:,} bytes"
        raise _fault(name, given, allowed, "Keep one row a line and take out pictures.")
    if data.startswith(b"PK\x03\x04"):
        rows, notes = _workbook(name, data, most_rows)
    elif data.startswith(b"\xd0\xcf\x11\xe0"):
        mend = "Save it as XLSX or CSV."
        raise _fault(name, "a workbook of an old kind", "an XLSX or a CSV file", mend)
    elif name.lower().endswith(".xlsx"):
        mend = "Save it as XLSX or CSV again."
        raise _fault(name, "no workbook inside", "an XLSX or a CSV file", mend)
    else:
        rows, notes = _text(name, data, most_rows)
    if not rows:
        raise _fault(name, "no rows", "a header and one row a line", "Look whether it is the file.")
    return SheetText(_squared(rows), notes)


def _text(name: str, data: bytes, most: int) -> tuple[list[list[str]], tuple[str, ...]]:
    text, notes = _decoded(name, data)
    separator = _separator(text)
    if separator != ",":
        words = {";": "semicolons", "\t": "tabs", "|": "bars"}[separator]
        notes = (*notes, f"Cells are separated by {words}.")
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    rows: list[list[str]] = []
    try:
        rows = _filled(name, reader, most)
    except csv.Error:
        given = f"a cell that does not end, near row {reader.line_num}"
        mend = 'Close the quotes; write an inch mark inside quotes twice: "7 1/2"" ".'
        raise _fault(name, given, "quotes in pairs", mend) from None
    return rows, notes


def _decoded(name: str, data: bytes) -> tuple[str, tuple[str, ...]]:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return data.decode("utf-16", errors="replace"), ()
    if b"\x00" in data[:4096]:
        mend = "Give the range as CSV or XLSX."
        raise _fault(name, "something that is no text", "a CSV or an XLSX file", mend)
    for encoding in _ENCODINGS:
        try:
            text = data.decode(encoding)
        except UnicodeDecodeError:
            continue
        if encoding == "utf-8-sig":
            return text, ()
        return text, ("It is not UTF-8; read as Western European. Look at letters with accents.",)
    raise AssertionError("latin-1 reads any bytes")


def _separator(text: str) -> str:
    lines = [line for line in text[:20_000].splitlines() if line.strip()][:20]

    # The one that divides most of the lines into equally many cells, and into more than one.
    def steady(mark: str) -> tuple[int, int]:
        counts = [line.count(mark) for line in lines]
        usual = max(counts, key=counts.count, default=0)
        return (counts.count(usual) if usual else 0, sum(counts))

    return max(SEPARATORS, key=steady)


def _workbook(name: str, data: bytes, most: int) -> tuple[list[list[str]], tuple[str, ...]]:
    _trusted(name, data)
    from openpyxl import load_workbook

    try:
        book = load_workbook(io.BytesIO(data), read_only=True, data_only=True, keep_links=False)
        for sheet in book.worksheets:
            # Some writers state a wrong size, which would cut rows off.
            if hasattr(sheet, "reset_dimensions"):
                sheet.reset_dimensions()
            cells = ([_written(cell) for cell in row] for row in sheet.iter_rows(values_only=True))
            if rows := _filled(name, cells, most):
                more = len(book.worksheets) > 1
                return rows, ((f"Read from the sheet '{sheet.title}'.",) if more else ())
    except InputFaults:
        raise
    except Exception:  # noqa: BLE001 - a broken workbook can fail anywhere in its reader
        mend = "Open it, save it again as XLSX, without a password."
        raise _fault(name, "a workbook that cannot be read", "an XLSX file", mend) from None
    return [], ()


def _trusted(name: str, data: bytes) -> None:
    """Refuse what unpacks to more than a range can be, and XML that defines texts of its own."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            # No more than the size told is ever read of an entry, so the sum holds.
            total = sum(entry.file_size for entry in archive.infolist())
            if total > UNPACKED_BYTES:
                given = f"{total:,} bytes once unpacked"
                mend = "Copy the range alone into a new workbook."
                raise _fault(name, given, f"at most {UNPACKED_BYTES:,} bytes", mend)
            for entry in archive.infolist():
                if entry.filename.endswith((".xml", ".rels")):
                    with archive.open(entry) as stream:
                        if b"<!DOCTYPE" in stream.read(2048).upper():
                            mend = "Save it again with a spreadsheet program."
                            raise _fault(name, "XML with definitions", "a plain workbook", mend)
    except _ZIP_FAULTS:
        mend = "Open it, save it again as XLSX, without a password."
        raise _fault(name, "a workbook that cannot be read", "an XLSX file", mend) from None


def _filled(name: str, rows: Iterable[list[str]], most: int) -> list[list[str]]:
    """Give rows that hold something, from the header on; titles above it are passed over."""
    found: list[list[str]] = []
    title: list[str] = []
    for row in _tidy(rows):
        if not any(row):
            continue
        if not found and sum(bool(cell) for cell in row) < 2:
            title = title or row
            continue
        found.append(row)
        if len(found) > most + 1:
            given = f"more than {most:,} rows"
            mend = "Put lines of one size and way of display together."
            raise _fault(name, given, f"at most {most:,} rows", mend)
    # A table of one column has no row with two cells.
    return found or ([title] if title else [])


def _tidy(rows: Iterable[list[str]]) -> Iterator[list[str]]:
    for row in rows:
        yield [cell.strip()[:CELL_SIGNS] for cell in islice(row, COLUMNS_READ)]


def _written(cell: Any) -> str:
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        return f"{cell:.12g}"
    if isinstance(cell, datetime.datetime | datetime.date | datetime.time):
        return cell.isoformat()
    return str(cell)


def _squared(rows: list[list[str]]) -> tuple[tuple[str, ...], ...]:
    width = max((place + 1 for place, cell in enumerate(rows[0]) if cell), default=0)
    width = max(width, *(len(row) for row in rows[:50])) if rows[1:] else width
    return tuple(tuple([*row, *[""] * (width - len(row))][:width]) for row in rows)


def _fault(name: str, given: str, allowed: str, mend: str) -> InputFaults:
    return InputFaults([Fault(name, "whole file", given, allowed, mend)])
