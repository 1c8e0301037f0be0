"""Reads lists of parts and stock to be cut, and writes the lists that a saw follows."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any, TypeVar

from pydantic import ValidationError

from shopfit import wording
from shopfit.errors import Fault, InputFaults
from shopfit.files.columns import Column, PlainColumn, with_units
from shopfit.files.documents import not_commas, not_utf8, read_bytes
from shopfit.files.tables import harmless, plain_csv
from shopfit.files.wording import likely, nearest, refusals, shortened, unit_mend
from shopfit.model.base import Frozen
from shopfit.model.cutting import CutJob, OffcutRow, Part, PartRow, SawRow, StockPiece
from shopfit.model.making import Made, MadeRow
from shopfit.numerals import UnitError
from shopfit.units import LENGTH_HELP, LengthStyle, format_length, parse_length

LIST_BYTES = 5_000_000
LIST_ROWS = 5_000
PIECES = 10_000
COMMAND_LINE = "command line"

# Names of columns where they are not those of the fields.
_CALLED: dict[type[Frozen], dict[str, str]] = {
    Part: {"id": "part", "turns": "may_turn", "purpose": "for"},
    StockPiece: {"id": "stock"},
}
_YES_NO = {"yes": True, "y": True, "true": True, "no": False, "n": False, "false": False}
Record = TypeVar("Record", Part, StockPiece)


def read_cut_job(
    parts: Path, stock: Path, kerf: str | None = None, keep: tuple[str, str] | None = None
) -> CutJob:
    """Read lists of parts and stock.

    Parameters
    ----------
    parts, stock
        CSV files in UTF-8 with a header each. Columns of parts: part, material, length, width,
        count, may_turn, for, groove. Columns of stock: stock, name, material, length, width,
        price, available, trim, groove_pitch, first_groove.
    kerf
        What the saw takes, with its unit; 1/8 in if left out.
    keep
        Length and width from which on offcuts are kept, with their units.

    Raises
    ------
    InputFaults
        With every fault of both files and of what was typed.
    """
    faults: list[Fault] = []
    wanted = _read(parts, Part, faults)
    had = _read(stock, StockPiece, faults)
    typed: dict[str, Any] = {}
    names = [("--kerf", "kerf", kerf)]
    if keep is not None:
        names += [("--keep", "keep_length", keep[0]), ("--keep", "keep_width", keep[1])]
    for option, name, given in names:
        if given is not None:
            typed |= _length(option, name, given, faults)
    if not faults:
        faults += _across(parts.name, stock.name, wanted, had)
    if faults:
        raise InputFaults(faults)
    return CutJob(
        stock=tuple(piece for _, piece in had), parts=tuple(part for _, part in wanted), **typed
    )


def _length(option: str, name: str, given: str, faults: list[Fault]) -> dict[str, str]:
    try:
        length = parse_length(given)
    except UnitError as error:
        mend = unit_mend(str(error), given)
        faults.append(Fault(COMMAND_LINE, option, shortened(given), LENGTH_HELP, mend))
        return {}
    if length < 0 or (name != "kerf" and length == 0):
        allowed = "nought or more" if name == "kerf" else "more than nought"
        faults.append(Fault(COMMAND_LINE, option, shortened(given), allowed, "Write it anew."))
        return {}
    return {name: given}


def _read(path: Path, model: type[Record], faults: list[Fault]) -> list[tuple[int, Record]]:
    if not path.exists():
        mend = "See to the name of the file."
        faults.append(Fault(path.name, "whole file", "nothing", "a file that is there", mend))
        return []
    raw = read_bytes(path, LIST_BYTES)
    if isinstance(raw, Fault):
        faults.append(raw)
        return []
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        faults.append(not_utf8(path.name, "whole file"))
        return []
    try:
        rows = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    except csv.Error:
        mend = 'Close the quotes; write an inch mark inside quotes twice: "7 1/2"" ".'
        allowed = "cells between commas, quotes in pairs"
        faults.append(Fault(path.name, "whole file", "a cell that does not end", allowed, mend))
        return []
    before = len(faults)
    header = _header(path.name, rows[0] if rows else [], model, faults)
    if len(faults) > before:
        return []
    filled = [(n, cells) for n, cells in enumerate(rows[1:], 2) if any(c.strip() for c in cells)]
    if not 0 < len(filled) <= LIST_ROWS:
        mend = "Add a row for each." if not filled else "Put equal ones together by their count."
        allowed = f"1 to {LIST_ROWS:,} rows below the header"
        faults.append(Fault(path.name, "whole file", f"{len(filled):,} rows", allowed, mend))
        return []
    found: list[tuple[int, Record]] = []
    for number, cells in filled:
        record = _row(path.name, number, cells, header, model, faults)
        if record is not None:
            found.append((number, record))
    return found


def _columns(model: type[Frozen]) -> dict[str, str]:
    """Give the field of each column."""
    called = _CALLED[model]
    return {called.get(field, field): field for field in model.model_fields}


def _header(file: str, cells: list[str], model: type[Frozen], faults: list[Fault]) -> list[str]:
    fields = _columns(model)
    names = [cell.strip().lower().replace(" ", "_") for cell in cells]
    while names and not names[-1]:
        names.pop()
    wrong = not_commas(file, names, fields)
    if wrong is not None:
        faults.append(wrong)
        return []
    meant = {close for name in names if name not in fields for close in likely(name, fields)}
    for index, name in enumerate(names):
        place = f"row 1, column {index + 1}"
        if name not in fields:
            mend = nearest(name, fields, "Take it out.")
            allowed = f"one of {', '.join(fields)}"
            faults.append(Fault(file, place, shortened(name), allowed, mend))
        elif name in names[:index]:
            faults.append(Fault(file, place, f"{name} twice", "each column once", "Take out one."))
    for name, field in fields.items():
        if model.model_fields[field].is_required() and name not in names and name not in meant:
            mend = f"Add a column {name}."
            faults.append(Fault(file, f"row 1, {name}", "no such column", "a column", mend))
    return names


def _row(
    file: str,
    number: int,
    cells: list[str],
    header: list[str],
    model: type[Record],
    faults: list[Fault],
) -> Record | None:
    place = f"row {number}"
    if any(cell.strip() for cell in cells[len(header) :]):
        given, allowed = f"{len(cells)} cells", f"{len(header)} cells, as in the header"
        mend = "Put a cell that holds a comma in double quotes."
        faults.append(Fault(file, place, given, allowed, mend))
        return None
    fields = _columns(model)
    columns = {field: name for name, field in fields.items()}
    pairs = zip(header, (cell.strip() for cell in cells), strict=False)
    data: dict[str, Any] = {fields[name]: cell for name, cell in pairs if cell}
    before = len(faults)
    if "turns" in data:
        turns = _YES_NO.get(str(data["turns"]).lower())
        if turns is None:
            given = shortened(data["turns"])
            mend = "Write yes where the grain does not matter."
            faults.append(Fault(file, f"{place}, may_turn", given, "yes or no", mend))
        data["turns"] = bool(turns)
    try:
        record = model.model_validate(data)
    except ValidationError as error:
        for each in refusals(error, model, data):
            cell = f", {columns.get(str(each.loc[0]), each.loc[0])}" if each.loc else ""
            faults.append(Fault(file, place + cell, each.given, each.allowed, each.mend))
        return None
    return record if len(faults) == before else None


def _across(
    parts_file: str,
    stock_file: str,
    parts: list[tuple[int, Part]],
    stock: list[tuple[int, StockPiece]],
) -> Iterator[Fault]:
    for file, rows, column in ((parts_file, parts, "part"), (stock_file, stock, "stock")):
        named: dict[str, int] = {}
        for number, record in rows:
            first = named.setdefault(record.id, number)
            if first != number:
                given = f"{shortened(record.id)}, already in row {first}"
                mend = "Rename one of the two, or put them together."
                yield Fault(file, f"row {number}, {column}", given, "each name once", mend)
    materials = {piece.material for _, piece in stock}
    for number, part in parts:
        if part.material not in materials:
            mend = nearest(part.material, materials, f"Add stock of it to {stock_file}.")
            given = shortened(part.material)
            allowed = "a material that there is stock of"
            yield Fault(parts_file, f"row {number}, material", given, allowed, mend)
    for material in sorted(materials):
        yield from _of_material(
            stock_file, [(n, piece) for n, piece in stock if piece.material == material]
        )
    pieces = sum(part.count for _, part in parts)
    if pieces > PIECES:
        given, allowed = f"{pieces:,} pieces", f"at most {PIECES:,} pieces"
        yield Fault(parts_file, "whole file", given, allowed, "Cut them in several lots.")


def _of_material(file: str, stock: list[tuple[int, StockPiece]]) -> Iterator[Fault]:
    first_row, first = stock[0]
    for number, piece in stock[1:]:
        if (piece.width is None) != (first.width is None):
            given = "a length" if piece.width is None else "a sheet"
            allowed = f"all of one material sheets or all lengths, as in row {first_row}"
            mend = "Give the other a material of its own."
            yield Fault(file, f"row {number}, width", given, allowed, mend)
        if piece.groove_pitch != first.groove_pitch:
            given = format_length(piece.groove_pitch, "mm") if piece.groove_pitch else "none"
            allowed = f"one groove pitch for a material, as in row {first_row}"
            mend = "Give the other a material of its own."
            yield Fault(file, f"row {number}, groove_pitch", given, allowed, mend)


_LISTS: dict[type[Frozen], tuple[Column, ...]] = {
    PartRow: (
        Column("Board", lambda row: row.board, "count"),
        Column("Piece", lambda row: row.piece),
        Column("Part", lambda row: row.part),
        Column("For", lambda row: row.purpose),
        Column("Length", lambda row: row.length_mm, "length"),
        Column("Width", lambda row: row.width_mm, "length"),
        Column("Turned", lambda row: row.turned, "yes or no"),
        Column("Cut from", lambda row: row.name),
        Column("Material", lambda row: row.material),
        Column("From the board's left end", lambda row: row.x_mm, "length"),
        Column("From the board's lower edge", lambda row: row.y_mm, "length"),
    ),
    SawRow: (
        Column("Board", lambda row: row.board, "count"),
        Column("Cut", lambda row: row.cut, "count"),
        Column("Of", lambda row: row.name),
        Column("On the saw", lambda row: row.on),
        Column("Saw", lambda row: row.saw),
        Column("Set at", lambda row: row.set_mm, "length"),
        Column("Frees", lambda row: row.frees),
    ),
    MadeRow: (
        Column("Item", lambda row: row.item),
        Column("Name", lambda row: row.name),
        Column("Part", lambda row: row.part),
        Column("For one", lambda row: row.count, "count"),
        Column("In all", lambda row: row.in_all, "count"),
        Column("Material", lambda row: row.material_name),
        Column("Length", lambda row: row.length_mm, "length"),
        Column("Width", lambda row: row.width_mm, "length"),
        Column("Thickness", lambda row: row.thickness_mm, "length"),
        Column("Note", lambda row: row.note),
    ),
    OffcutRow: (
        Column("Board", lambda row: row.board, "count"),
        Column("Left of", lambda row: row.name),
        Column("Material", lambda row: row.material),
        Column("Length", lambda row: row.length_mm, "length"),
        Column("Width", lambda row: row.width_mm, "length"),
    ),
}


def cut_columns(record: type[Frozen], units: LengthStyle) -> tuple[PlainColumn, ...]:
    """Give the columns of pieces, cuts or offcuts; raises KeyError for another kind of record."""
    return tuple(each for column in _LISTS[record] for each in with_units(column, units, ""))


def cut_csv(record: type[Frozen], rows: tuple[Any, ...], units: LengthStyle) -> str:
    """Write pieces, cuts or offcuts as comma-separated text, with a header even where empty.

    Parameters
    ----------
    record, rows
        Which kind, and the rows.
    units
        How lengths are written; every length has a column in mm as well.
    """
    return plain_csv(cut_columns(record, units), rows)


def made_csv(made: Made, units: LengthStyle, currency: str) -> str:
    """Write the parts of what is made as comma-separated text; money and cautions below them."""
    below = io.StringIO(newline="")
    writer = csv.writer(below, lineterminator="\r\n")
    writer.writerow([])
    writer.writerows(
        [harmless(note)] for note in (wording.made_money(made, currency), *made.cautions)
    )
    return plain_csv(cut_columns(MadeRow, units), made.rows) + below.getvalue()
