"""A scenario while it is being made: as written, faults and all, and judged at any time."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

import yaml

from shopfit.errors import Fault, InputFaults
from shopfit.files.documents import YAML_BYTES, Document, not_utf8, parse_yaml
from shopfit.files.parts import FIXTURES, PINS, RANGE, SHOP, VALUES, Parts
from shopfit.files.rangefile import COLUMNS, read_cells
from shopfit.files.scenario import judge_parts
from shopfit.model.scenario import Scenario

# Text that a spreadsheet would take for a formula; `tables.harmless` puts a mark before it.
_MARKED = ("'=", "'+", "'-", "'@")
Row = Mapping[str, str]


@dataclass(frozen=True)
class Draft:
    """What the files of a scenario hold, as written.

    Parameters
    ----------
    shop, fixtures, pins, values
        ``shop.yaml``, ``fixtures.yaml``, ``pins.yaml`` and ``values.yaml``: mappings, lists and
        texts, as the files are read before anything is judged; never changed in place.
    rows
        Rows of the range: written cells by column.
    columns
        Which column of the owner's own list each column of the range was taken from.
    """

    shop: Mapping[str, Any] = field(default_factory=dict)
    fixtures: Mapping[str, Any] = field(default_factory=dict)
    pins: Mapping[str, Any] = field(default_factory=dict)
    values: Mapping[str, Any] = field(default_factory=dict)
    rows: tuple[Row, ...] = ()
    columns: Mapping[str, str] = field(default_factory=dict)

    def changed(self, **parts: Any) -> Draft:
        """Give the draft with other parts."""
        return replace(self, **parts)


@dataclass(frozen=True)
class Judged:
    """What a draft comes to.

    Parameters
    ----------
    parts
        What can be used of it.
    scenario
        The whole, or none while there are faults.
    faults
        Every fault, in the names of the files.
    """

    parts: Parts
    scenario: Scenario | None
    faults: tuple[Fault, ...]


def read_draft(files: Mapping[str, bytes]) -> Draft:
    """Read a draft from a scenario's files; what is not there is empty.

    Parameters
    ----------
    files
        Contents by name; names that a scenario does not have are passed over.

    Raises
    ------
    InputFaults
        Where a file is no YAML or no table at all; faults of single values are left to `judge`.
    """
    faults: list[Fault] = []
    data: dict[str, Mapping[str, Any]] = {}
    for name in (SHOP, FIXTURES, PINS, VALUES):
        if name in files:
            document, more = _yaml(name, files[name])
            faults += more
            data[name] = document.data or {}
    rows: tuple[Row, ...] = ()
    if RANGE in files:
        from shopfit.files.sheets import read_sheet

        try:
            rows = _rows(read_sheet(RANGE, files[RANGE]).cells)
        except InputFaults as caught:
            faults += caught.faults
    if faults:
        raise InputFaults(faults)
    shop, fixtures, pins, values = (data.get(name, {}) for name in (SHOP, FIXTURES, PINS, VALUES))
    return Draft(shop, fixtures, pins, values, rows)


def draft_from_folder(folder: Path) -> Draft:
    """Read a draft from a scenario folder; see `read_draft`."""
    names = (SHOP, RANGE, FIXTURES, PINS, VALUES)
    return read_draft(
        {name: (folder / name).read_bytes() for name in names if (folder / name).is_file()}
    )


def judge(draft: Draft, folder: str = "") -> Judged:
    """Say what a draft comes to, with every fault.

    Parameters
    ----------
    draft
        What is judged.
    folder
        Name of the scenario, for titles.
    """
    documents = {
        SHOP: Document(SHOP, dict(draft.shop)),
        FIXTURES: Document(FIXTURES, dict(draft.fixtures)),
        PINS: Document(PINS, dict(draft.pins)),
    }
    if draft.values:
        documents[VALUES] = Document(VALUES, dict(draft.values))
    more = {name for row in draft.rows for name in row} - set(COLUMNS)
    header = [*COLUMNS, *sorted(more)]
    goods = read_cells([header, *([row.get(name, "") for name in header] for row in draft.rows)])
    parts, faults = judge_parts(documents, goods)
    ordered = InputFaults(faults).faults
    if ordered or parts.shop is None or parts.catalogue is None:
        return Judged(parts, None, ordered)
    scenario = Scenario(
        shop=parts.shop,
        lines=tuple(parts.lines.values()),
        catalogue=parts.catalogue,
        pins=parts.pins,
        own=parts.own,
        folder=folder,
    )
    return Judged(parts, scenario, ())


def draft_files(draft: Draft) -> dict[str, bytes]:
    """Give the files of a draft, which read back to the same draft."""
    files = {
        SHOP: yaml_text(draft.shop).encode("utf-8"),
        RANGE: _csv_text(draft.rows).encode("utf-8"),
        FIXTURES: yaml_text(draft.fixtures).encode("utf-8"),
    }
    optional = {PINS: draft.pins, VALUES: draft.values}
    return files | {
        name: yaml_text(data).encode("utf-8") for name, data in optional.items() if data
    }


def yaml_text(data: Mapping[str, Any]) -> str:
    """Write plain data as YAML that this package reads back the same."""
    return yaml.dump(
        dict(data),
        Dumper=_PlainDumper,
        sort_keys=False,
        allow_unicode=True,
        default_flow_style=None,
        width=100,
    )


class _PlainDumper(yaml.SafeDumper):
    """Writes every value out, for anchors are not read."""

    def ignore_aliases(self, data: Any) -> bool:
        return True


def _csv_text(rows: Sequence[Row]) -> str:
    from shopfit.files.tables import harmless

    more = sorted({name for row in rows for name in row} - set(COLUMNS))
    page = io.StringIO(newline="")
    writer = csv.writer(page, lineterminator="\n")
    header = [*COLUMNS, *more]
    writer.writerow(header)
    for row in rows:
        writer.writerow([harmless(row.get(name, "")) for name in header])
    return page.getvalue()


def _rows(cells: Sequence[Sequence[str]]) -> tuple[Row, ...]:
    if not cells:
        return ()
    header = [name.strip().lower().replace(" ", "_") for name in cells[0]]
    return tuple(
        {
            name or f"column {place + 1}": unmarked(cell)
            for place, (name, cell) in enumerate(zip(header, row, strict=False))
            if cell
        }
        for row in cells[1:]
        if any(row)
    )


def unmarked(cell: str) -> str:
    """Take away the mark that kept a cell from being a formula."""
    return cell[1:] if cell.startswith(_MARKED) else cell


def _yaml(name: str, raw: bytes) -> tuple[Document, list[Fault]]:
    if len(raw) > YAML_BYTES:
        given, allowed = f"{len(raw):,} bytes", f"at most {YAML_BYTES:,} bytes"
        mend = "Take out what does not belong in it."
        return Document(name, None), [Fault(name, "whole file", given, allowed, mend)]
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        return Document(name, None), [not_utf8(name, f"line {line}")]
    return parse_yaml(name, text)
