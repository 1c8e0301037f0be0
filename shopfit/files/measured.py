"""Reads and writes tape measurements of a finished shop: one row for each thing measured."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from shopfit.errors import Fault, InputFaults
from shopfit.files.columns import PlainColumn, shown_length
from shopfit.files.documents import not_utf8, read_bytes
from shopfit.files.tables import plain_csv
from shopfit.files.wording import nearest, shortened
from shopfit.geometry.built import GAP, Built, Handle, gap
from shopfit.geometry.measures import measures, things
from shopfit.model.base import plain
from shopfit.model.layout import Layout
from shopfit.model.measured import AsBuilt, Drift, Measured, Room, ToMeasure
from shopfit.model.scenario import Scenario
from shopfit.numerals import UnitError
from shopfit.units import LENGTH_HELP, LengthStyle, parse_length

COLUMNS = ("what", "measure", "to", "planned", "measured", "note")
REQUIRED = ("what", "measure", "measured")
BYTES, ROWS = 5_000_000, 10_000
FARTHEST_MM = 1_000_000.0


@dataclass
class _Reading:
    file: str
    built: Built
    handles: Mapping[tuple[str, str], Handle]
    names: Sequence[str]
    rows: list[Measured] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    seen: dict[tuple[str, str, str], int] = field(default_factory=dict)
    blank: int = 0

    def fault(self, where: str, given: str, allowed: str, mend: str) -> None:
        self.faults.append(Fault(self.file, where, given, allowed, mend))


def read_measured(
    path: Path, scenario: Scenario, layout: Layout
) -> tuple[tuple[Measured, ...], int]:
    """Read a file of tape measurements.

    Parameters
    ----------
    path
        A CSV file in UTF-8 with the columns ``what``, ``measure``, ``to``, ``planned``,
        ``measured`` and ``note``; only ``what``, ``measure`` and ``measured`` are needed.
    scenario, layout
        What was planned: every thing measured is a part of it.

    Returns
    -------
    Rows that were filled in, and how many were left blank.

    Raises
    ------
    InputFaults
        With every fault of the file, by row and column.
    """
    built = Built(scenario, layout)
    reading = _Reading(path.name, built, measures(built), things(built))
    raw = read_bytes(path, BYTES)
    if isinstance(raw, Fault):
        mend = "Write a list to fill in with `shopfit check --measuring-list`."
        raise InputFaults([Fault(raw.file, raw.where, raw.given, "a file of measurements", mend)])
    try:
        cells = list(csv.reader(io.StringIO(raw.decode("utf-8-sig"), newline=""), strict=True))
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise InputFaults([not_utf8(path.name, f"line {line}")]) from None
    except csv.Error:
        allowed = "cells between commas, quotes in pairs"
        mend = "Close the quotes, or write inches as 44 1/4 in."
        raise InputFaults(
            [Fault(path.name, "whole file", "a cell that does not end", allowed, mend)]
        ) from None
    header = _header(reading, cells[0] if cells else [])
    filled = [(n, row) for n, row in enumerate(cells[1:], 2) if any(cell.strip() for cell in row)]
    if len(filled) > ROWS:
        given, allowed = f"{len(filled):,} rows", f"at most {ROWS:,} rows below the header"
        reading.fault("whole file", given, allowed, "Take out what was not measured.")
    elif header is not None:
        for number, row in filled:
            _row(reading, number, header, row)
        if not reading.rows and not reading.faults:
            reading.fault("measured", "no sizes", "at least one", "Fill in what the tape says.")
    if reading.faults:
        raise InputFaults(reading.faults)
    return tuple(reading.rows), reading.blank


def _header(reading: _Reading, cells: Sequence[str]) -> list[str] | None:
    names = [cell.strip().lower() for cell in cells]
    before = len(reading.faults)
    for name in REQUIRED:
        if name not in names:
            allowed = f"the columns {', '.join(COLUMNS)}"
            reading.fault(f"row 1, {name}", "no such column", allowed, f"Add a column {name}.")
    for name in names:
        if name not in COLUMNS and name:
            mend = nearest(name, COLUMNS, "Take it out.")
            reading.fault(f"row 1, {name}", shortened(name), "a known column", mend)
        elif name and names.count(name) > 1:
            reading.fault(f"row 1, {name}", "twice", "each column once", "Take out one.")
    return names if len(reading.faults) == before else None


def _row(reading: _Reading, number: int, header: Sequence[str], cells: Sequence[str]) -> None:
    if any(cell.strip() for cell in cells[len(header) :]):
        reading.fault(
            f"row {number}",
            f"{len(cells)} cells",
            f"{len(header)} cells, as in the header",
            "Put a cell that holds a comma in double quotes.",
        )
        return
    row = {name: cell.strip() for name, cell in zip(header, cells, strict=False)}
    before = len(reading.faults)
    what = _thing(reading, number, "what", row.get("what", ""))
    measure = _measure(reading, number, what, row.get("measure", ""))
    to = _other(reading, number, what, measure, row.get("to", ""))
    size = _size(reading, number, row.get("measured", ""))
    size = _as_planned(reading, (what, measure, to), size)
    if len(reading.faults) > before or what is None or measure is None:
        return
    key = (what, measure, to)
    if key in reading.seen:
        reading.fault(
            f"row {number}",
            f"{' '.join(part for part in key if part)}, already in row {reading.seen[key]}",
            "each measure once",
            "Keep the better one.",
        )
        return
    reading.seen[key] = number
    if size is None:
        reading.blank += 1
        return
    reading.rows.append(Measured(row=number, what=what, measure=measure, to=to, measured_mm=size))


def _thing(reading: _Reading, number: int, column: str, given: str) -> str | None:
    exact = [name for name in reading.names if name.lower() == given.lower()]
    # "front door" is enough for "door front door" where nothing else is called so.
    loose = [n for n in reading.names if n.partition(" ")[2].lower() == given.lower()]
    found = exact or loose
    if len(found) == 1 and given:
        return found[0]
    if len(found) > 1:
        mend = f"Write one of: {', '.join(found)}."
    else:
        mend = nearest(given, reading.names, "Copy it from the measuring list.")
    allowed = "a tag, such as F3 or R1, or a name with its kind, such as door front"
    reading.fault(
        f"row {number}, {column}", shortened(given) if given else "nothing", allowed, mend
    )
    return None


def _measure(reading: _Reading, number: int, what: str | None, given: str) -> str | None:
    if what is None:
        return None
    tags = {placement.id for placement in reading.built.layout.placements}
    known = [measure for thing, measure in reading.handles if thing == what]
    known += [GAP] if what in tags else []
    wanted = " ".join(given.lower().split())
    if wanted in known:
        return wanted
    reading.fault(
        f"row {number}, measure",
        shortened(given) if given else "nothing",
        f"of {what}: {', '.join(known) or 'nothing; name the fixture first'}",
        nearest(wanted, known, "Write one of these."),
    )
    return None


def _other(
    reading: _Reading, number: int, what: str | None, measure: str | None, given: str
) -> str:
    if measure is None or what is None:
        return ""
    where = f"row {number}, to"
    if measure != GAP:
        if given:
            reading.fault(where, shortened(given), f"nothing, for {measure}", "Clear the cell.")
        return ""
    to = _thing(reading, number, "to", given)
    if to is not None and gap(reading.built, what, to) is None:
        allowed = "another fixture, a wall or a column"
        reading.fault(where, shortened(given), allowed, "Name what the gap goes to.")
    return to or ""


def _size(reading: _Reading, number: int, given: str) -> float | None:
    if not given:
        return None
    try:
        size = parse_length(given)
    except UnitError:
        size = -1.0
    if 0 <= size <= FARTHEST_MM:
        return size
    mend = "Write the size with its unit, or leave the cell blank."
    reading.fault(f"row {number}, measured", shortened(given), LENGTH_HELP, mend)
    return None


def _as_planned(
    reading: _Reading, key: tuple[str | None, str | None, str], size: float | None
) -> float | None:
    """Take a size that reads like the planned one for the planned one: no tape tells them apart."""
    what, measure, to = key
    if size is None or what is None or measure is None:
        return size
    handle = gap(reading.built, what, to) if to else reading.handles.get((what, measure))
    if handle is None:
        return size
    style = reading.built.scenario.shop.units
    planned = handle.read(reading.built)
    return planned if shown_length(planned, style) == shown_length(size, style) else size


def measuring_list_csv(rows: Iterable[ToMeasure], style: LengthStyle) -> str:
    """Write a list of what to measure, with a blank column to fill in (RFC 4180).

    Parameters
    ----------
    rows
        In the order wanted.
    style
        How the shop writes lengths.
    """

    def note(row: ToMeasure) -> str:
        if row.margin_mm is None:
            return row.note
        return f"{row.note}; {shown_length(row.margin_mm, style)} to spare"

    columns = (
        PlainColumn("what", lambda row: row.what, "text"),
        PlainColumn("measure", lambda row: row.measure, "text"),
        PlainColumn("to", lambda row: row.to, "text"),
        PlainColumn("planned", lambda row: shown_length(row.planned_mm, style), "text"),
        PlainColumn("measured", lambda row: "", "text"),
        PlainColumn("note", note, "text"),
    )
    return plain_csv(columns, rows)


def as_built_json(data: dict[str, Any]) -> str:
    """Write what `as_built_data` gives as text."""
    return json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def as_built_data(found: AsBuilt) -> dict[str, Any]:
    """Give a finished shop as plain data: each measure with its drift, and what is new."""
    return {
        "measures": [{**plain(one), "drift_mm": one.drift_mm} for one in found.drifts],
        "not_measured": found.unmeasured,
        "limits_passed": [plain(one) for one in found.passed],
        "cannot_stand_as_measured": [plain(one) for one in found.clashing],
        "not_as_drawn": [plain(one) for one in found.differing],
    }


def drifts_csv(found: AsBuilt, style: LengthStyle) -> str:
    """Write every measure as planned and as built, with the tolerance left (RFC 4180).

    Parameters
    ----------
    found
        The finished shop.
    style
        How the shop writes lengths.
    """

    def length(header: str, name: str) -> tuple[PlainColumn, ...]:
        return (
            PlainColumn(header, lambda row: shown_length(getattr(row, name), style), "text"),
            PlainColumn(f"{header} (mm)", lambda row: round(getattr(row, name), 2), "length"),
        )

    def left(header: str, name: str) -> tuple[PlainColumn, ...]:
        def room(row: Drift) -> Room:
            found: Room = getattr(row, name)
            return found

        return (
            PlainColumn(header, lambda row: room_words(room(row), style), "text"),
            PlainColumn(f"{header}: then", lambda row: room(row).next, "text"),
        )

    columns = (
        PlainColumn("Row", lambda row: row.row, "count"),
        PlainColumn("What", lambda row: row.what, "text"),
        PlainColumn("Measure", lambda row: row.measure, "text"),
        PlainColumn("To", lambda row: row.to, "text"),
        *length("Planned", "planned_mm"),
        *length("Measured", "measured_mm"),
        *length("Drift", "drift_mm"),
        *left("May grow by", "more"),
        *left("May shrink by", "less"),
    )
    return plain_csv(columns, found.drifts)


def room_words(room: Room, style: LengthStyle) -> str:
    """Say in a few words how much further a measure may drift."""
    if room.past_mm is not None:
        return f"past by {shown_length(room.past_mm, style)}"
    if room.room_mm is not None:
        return shown_length(room.room_mm, style)
    return f"over {shown_length(room.tried_mm, style)}" if room.tried_mm else "not tried"
