"""Reads the range: one line a row, with every faulty cell named."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path
from typing import TextIO

from pydantic import ValidationError

from shopfit.errors import Fault
from shopfit.files.documents import missing_part, not_commas, not_utf8
from shopfit.files.wording import nearest, refusals, shortened
from shopfit.model.range import Line

RANGE_BYTES = 50_000_000
RANGE_ROWS = 100_000
FAULTS_SHOWN = 200

COLUMNS = tuple(Line.model_fields)
REQUIRED = tuple(name for name, info in Line.model_fields.items() if info.is_required())
_YES_NO = {"yes": True, "y": True, "true": True, "1": True}
_YES_NO |= {"no": False, "n": False, "false": False, "0": False}
_YES_NO_HELP = "yes or no"
_YES_NO_COLUMNS = ("secured", "new")


@dataclass
class RangeText:
    """What was read of a range.

    Parameters
    ----------
    lines
        Lines by row; the header is row 1.
    faults
        What could not be read.
    rows
        Rows read so far, with the header.
    named
        Row in which each line's name stood first.
    """

    lines: dict[int, Line] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    rows: int = 0
    named: dict[str, int] = field(default_factory=dict)


def read_range(path: Path, file: str = "range.csv") -> RangeText:
    """Read a range file row by row.

    Parameters
    ----------
    path
        A CSV file in UTF-8, with or without a byte order mark, with a header.
    file
        Its name in faults.
    """
    found = RangeText()
    try:
        size = path.stat().st_size
        if size > RANGE_BYTES:
            _add(
                found,
                file,
                "whole file",
                f"{size:,} bytes",
                f"at most {RANGE_BYTES:,} bytes",
                "Keep one row a line and take out what does not belong in it.",
            )
            return found
        with path.open(encoding="utf-8-sig", newline="") as stream:
            filled = _count(stream, found)
        if filled > RANGE_ROWS:
            _add(
                found,
                file,
                "whole file",
                f"{filled:,} rows",
                f"at most {RANGE_ROWS:,} rows",
                "Put lines of one size and way of display together.",
            )
            return found
        with path.open(encoding="utf-8-sig", newline="") as stream:
            _read(csv.reader(stream, strict=True), file, found)
    except FileNotFoundError:
        found.faults.append(_missing(path, file))
    except UnicodeDecodeError:
        found.faults.append(not_utf8(file, _undecodable(path)))
    except csv.Error:
        _add(
            found,
            file,
            f"row {found.rows + 1}",
            "a cell that does not end",
            "cells between commas, quotes in pairs",
            'Close the quotes; write an inch mark inside quotes twice: "7 1/2"" ".',
        )
    except OSError as error:
        _add(
            found,
            file,
            "whole file",
            error.strerror or "an unreadable file",
            "a file that can be read",
            "Make it an ordinary file and see to its permissions.",
        )
    return found


def _missing(path: Path, file: str) -> Fault:
    """Say that there is no range, and what to do with a workbook in its place."""
    book = path.with_suffix(".xlsx")
    if not book.is_file():
        return missing_part(file)
    mend = f"Save it as {file} with a column for each, or take it in on the page (Range)."
    return Fault(file, "whole file", f"{book.name}, a workbook", "a CSV file", mend)


def _undecodable(path: Path) -> str:
    data = path.read_bytes()
    try:
        data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        lines = data.count(b"\n", 0, error.start)
        return f"line {lines + 1}"
    return "whole file"


def _count(stream: TextIO, found: RangeText) -> int:
    """Count rows that hold something, without the header, and keep none of them."""
    filled = 0
    for cells in csv.reader(stream, strict=True):
        found.rows += 1
        filled += any(cell.strip() for cell in cells)
    return filled - 1


def read_cells(rows: Iterable[list[str]], file: str = "range.csv") -> RangeText:
    """Read a range from rows of cells, the header first.

    Parameters
    ----------
    rows
        Cells as text; at most as many rows as a range may have.
    file
        Its name in faults.
    """
    found = RangeText()
    _read(iter(rows), file, found)
    return found


def _read(rows: Iterator[list[str]], file: str, found: RangeText) -> None:
    header = _header(next(rows, []), file, found)
    found.rows = 1
    hidden = 0
    for cells in rows if header else ():
        found.rows += 1
        if not any(cell.strip() for cell in cells):
            continue
        if len(found.faults) < FAULTS_SHOWN:
            found.faults += _row(cells, header, file, found)
        else:
            # Only counted, for the wording of a hundred thousand faults takes long.
            hidden += _row_is_faulty(cells, header, file, found)
    if hidden:
        found.faults.append(further_rows(f"{hidden:,} more", file))
    if header and not found.lines and not found.faults:
        _add(found, file, "whole file", "no rows", "at least one line", "Add a row a line sold.")


def _header(cells: list[str], file: str, found: RangeText) -> list[str]:
    names = [cell.strip().lower().replace(" ", "_") for cell in cells]
    while names and not names[-1]:
        names.pop()
    before = len(found.faults)
    wrong = not_commas(file, names, COLUMNS)
    if wrong is not None:
        found.faults.append(wrong)
        return []
    misspelt = {
        close
        for name in names
        if name not in COLUMNS
        for close in get_close_matches(name, COLUMNS, 1, 0.7)
    }
    for name in REQUIRED:
        if name not in names and name not in misspelt:
            _add(
                found,
                file,
                f"row 1, {name}",
                "no such column",
                f"the columns {', '.join(REQUIRED)} and, if wanted, "
                f"{', '.join(sorted(set(COLUMNS) - set(REQUIRED), key=COLUMNS.index))}",
                f"Add a column {name}.",
            )
    for index, name in enumerate(names):
        if name not in COLUMNS:
            mend = nearest(name, COLUMNS, "") if name else "Name it or take it out."
            _add(found, file, f"row 1, column {index + 1}", shortened(name), "a known column", mend)
        elif name in names[:index]:
            _add(found, file, f"row 1, {name}", "twice", "each column once", "Take out one.")
    return names if len(found.faults) == before else []


def _row(cells: list[str], header: list[str], file: str, found: RangeText) -> list[Fault]:
    place = f"row {found.rows}"
    if any(cell.strip() for cell in cells[len(header) :]):
        return [
            Fault(
                file,
                place,
                f"{len(cells)} cells",
                f"{len(header)} cells, as in the header",
                "Put a cell that holds a comma in double quotes.",
            )
        ]
    written, data = _cells(cells, header)
    faults = [*_yes_no(written, file, place), *_name_twice(written, file, place, found)]
    try:
        line = Line.model_validate(data)
    except ValidationError as error:
        for refusal in refusals(error, Line, data):
            cell = f", {refusal.loc[0]}" if refusal.loc else ""
            faults.append(Fault(file, place + cell, refusal.given, refusal.allowed, refusal.mend))
    else:
        if not faults:
            found.lines[found.rows] = line
    return faults


def _row_is_faulty(cells: list[str], header: list[str], file: str, found: RangeText) -> bool:
    written, data = _cells(cells, header)
    faulty = any(cell.strip() for cell in cells[len(header) :])
    faulty |= any(_yes_no(written, file, "")) or any(_name_twice(written, file, "", found))
    try:
        Line.model_validate(data)
    except ValidationError:
        return True
    return faulty


def _cells(cells: list[str], header: list[str]) -> tuple[dict[str, str], dict[str, object]]:
    """Give the filled cells by column, as written and as the model reads them."""
    pairs = zip(header, (cell.strip() for cell in cells), strict=False)
    written = {name: cell for name, cell in pairs if cell}
    data: dict[str, object] = {**written}
    if "ways" in written:
        data["ways"] = [way.lower() for way in re.split(r"[|;\s]+", written["ways"]) if way]
    for name in _YES_NO_COLUMNS:
        if name in written:
            data[name] = _YES_NO.get(written[name].lower(), False)
    return written, data


def _name_twice(
    written: dict[str, str], file: str, place: str, found: RangeText
) -> Iterator[Fault]:
    name = written.get("line", "")
    first = found.named.setdefault(name, found.rows)
    if name and first != found.rows:
        yield Fault(
            file,
            f"{place}, line",
            f"{shortened(name)}, already in row {first}",
            "each line once",
            "Rename one of the two, or put them together.",
        )


def further_rows(how_many: str, file: str = "range.csv") -> Fault:
    """Say that there are more faulty rows than are shown."""
    return Fault(
        file, "rows not shown", f"{how_many} with faults", "none", "Mend the rows shown first."
    )


def _yes_no(written: dict[str, str], file: str, place: str) -> Iterator[Fault]:
    for name in _YES_NO_COLUMNS:
        answer = written.get(name)
        if answer is not None and answer.lower() not in _YES_NO:
            given = shortened(answer)
            yield Fault(file, f"{place}, {name}", given, _YES_NO_HELP, "Write yes or no.")


def _add(found: RangeText, file: str, where: str, given: str, allowed: str, mend: str) -> None:
    found.faults.append(Fault(file, where, given, allowed, mend))
