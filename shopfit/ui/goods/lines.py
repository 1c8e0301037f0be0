"""Rows of the range as a table to change in place, a page at a time."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

import streamlit as st

from shopfit.errors import Fault
from shopfit.files.drafts import Row
from shopfit.files.parts import RANGE
from shopfit.files.rangefile import COLUMNS
from shopfit.model.range import WAYS
from shopfit.ui import session
from shopfit.ui.tables import marked, records
from shopfit.ui.tables.cells import Field
from shopfit.ui.tables.records import MARK, Records
from shopfit.ui.text import plain

PAGE = 100
HEADER_ROWS = 2  # the first line stands in row 2, after the header
_PLACE = re.compile(r"^row (\d+)(?:, (\w+))?")
MOST_MARKED = 30


def spec(bands: Sequence[str], categories: Sequence[str]) -> Records:
    """Describe lines of the range, with every column that a range may have."""
    fields = (
        Field(("line",), "Line"),
        Field(("category",), "Category", help=_known("Stands with its category", categories)),
        Field(("width",), "Width", "length", help="Of one front, as the customer sees it."),
        Field(("height",), "Height", "length"),
        Field(("depth",), "Depth", "length", help="Of one unit."),
        Field(("weight",), "Weight", "mass", help="Of one unit."),
        Field(("min_facings",), "Fewest", "number", help="Facings wanted.", usual="1"),
        Field(("max_facings",), "Most", "number", help="Facings wanted.", usual="4"),
        Field(("holding",), "Holding", "number", help="Fewest units held.", usual="0"),
        Field(("value",), "Value", "number", help="Of one facing.", usual="1"),
        Field(("ways",), "Ways", "choices", WAYS, help="Ways of display.", start="shelf"),
        Field(("band",), "Height band", "choice", tuple(bands)),
        Field(("secured",), "Locked", "yes or no", help="Only in a glass case."),
        Field(("new",), "New", "yes or no"),
    )
    told = {field.path[0] for field in fields}
    more = [name for name in COLUMNS if name not in told]
    others = tuple(Field((name,), name.replace("_", " ").capitalize()) for name in more)
    return Records("lines", "line", fields + others)


def _known(sentence: str, names: Sequence[str]) -> str:
    return f"{sentence}: {', '.join(names[:12])}." if names else f"{sentence}."


def item_of(row: Row) -> dict[str, Any]:
    """Give a row with its ways as a list."""
    item: dict[str, Any] = dict(row)
    if "ways" in item:
        item["ways"] = [way for way in re.split(r"[|;\s]+", row["ways"]) if way]
    return item


def row_of(item: Mapping[str, Any]) -> Row:
    """Give an item as a row again."""
    row = {name: value for name, value in item.items() if value not in (None, [])}
    if "ways" in row:
        row["ways"] = "|".join(row["ways"])
    return {name: str(value) for name, value in row.items()}


def faults_by_row(faults: Sequence[Fault]) -> dict[int, list[tuple[str, Fault]]]:
    """Sort faults of the range by the row of the table they belong to, with their columns.

    Parameters
    ----------
    faults
        Of the range.
    """
    found: dict[int, list[tuple[str, Fault]]] = {}
    for fault in faults:
        place = _PLACE.match(fault.where)
        if place and int(place[1]) >= HEADER_ROWS:
            row = int(place[1]) - HEADER_ROWS
            found.setdefault(row, []).append((place[2] or "", fault))
    return found


def show() -> None:
    """Show the lines, those with faults first told and then marked in their rows."""
    rows = session.draft().rows
    bands = [str(band.get("id")) for band in _brief().get("bands") or ()]
    categories = list(dict.fromkeys(row.get("category", "") for row in rows))
    table = spec(bands, [name for name in categories if name])
    faults = session.faults(RANGE)
    by_row = faults_by_row(faults)
    _marked(rows, by_row, table, [f for f in faults if not _PLACE.match(f.where)])
    chosen = _chosen(rows, by_row)
    start = _page(len(chosen))
    shown = chosen[start : start + PAGE]
    checks = [_said(by_row.get(place, ()), table) for place in shown]
    part = f"{start}-{st.session_state.get(session.own('lines-search'), '')}"
    items = [item_of(rows[place]) for place in shown]
    faulty = [_mends(by_row.get(place, ()), table) for place in shown]
    after = records.edit(table, items, checks, part, faulty)
    if after is not None:
        changed = list(rows)
        for place, item in zip(shown, after, strict=True):
            changed[place] = row_of(item)
        session.the_work().write("Change a line", rows=tuple(changed))
        st.rerun()
    with st.expander("Add, change or take out one line", expanded=not rows):
        formed = records.one_at_a_time(table, items)
    if formed is not None:
        _put(rows, shown, items, formed)
        st.rerun()


def _put(
    rows: tuple[Row, ...],
    shown: Sequence[int],
    before: Sequence[Mapping[str, Any]],
    after: Sequence[Mapping[str, Any]],
) -> None:
    if len(after) < len(before):
        gone = next(k for k in range(len(before)) if k >= len(after) or after[k] != before[k])
        session.write("Take out a line", rows=(*rows[: shown[gone]], *rows[shown[gone] + 1 :]))
        return
    changed = list(rows)
    for place, item in zip(shown, after, strict=False):
        changed[place] = row_of(item)
    changed += [row_of(item) for item in after[len(before) :]]
    session.write("Change the range", rows=tuple(changed))


def _brief() -> Mapping[str, Any]:
    brief = session.draft().shop.get("brief")
    return brief if isinstance(brief, Mapping) else {}


def _chosen(rows: Sequence[Row], by_row: Mapping[int, object]) -> list[int]:
    with st.container(horizontal=True, vertical_alignment="bottom"):
        wanted = st.text_input(
            "Find a line or category", key=session.own("lines-search"), width=260
        )
        faulty = st.toggle(
            "Only rows to mend", key=session.own("lines-faulty"), disabled=not by_row
        )
    words = (wanted or "").lower()
    return [
        place
        for place, row in enumerate(rows)
        if (not faulty or not by_row or place in by_row)
        and (not words or words in f"{row.get('line', '')} {row.get('category', '')}".lower())
    ]


def _page(count: int) -> int:
    if count <= PAGE:
        return 0
    pages = -(-count // PAGE)
    number = st.number_input(
        f"Page of {pages} ({count:,} lines)",
        1,
        pages,
        1,
        key=session.own(f"lines-page-{pages}"),
        width=220,
    )
    return (int(number) - 1) * PAGE


def _marked(
    rows: Sequence[Row],
    by_row: Mapping[int, Sequence[tuple[str, Fault]]],
    table: Records,
    others: Sequence[Fault],
) -> None:
    """List faulty cells with their mend, each marked where it stands."""
    if not by_row and not others:
        return
    labels = {field.path[0]: field.label for field in table.fields}
    cells = [
        {
            "row": f"{place + 1}",
            "line": rows[place].get("line", "") if place < len(rows) else "",
            "column": str(labels.get(column, column)),
            "given": f"{MARK}{fault.given}",
            "allowed": fault.allowed,
            "mend": fault.mend,
        }
        for place, faults in sorted(by_row.items())
        for column, fault in faults
    ]
    cells += [
        {"row": "", "line": "", "column": f.where, "given": f"{MARK}{f.given}"}
        | {"allowed": f.allowed, "mend": f.mend}
        for f in others
    ]
    with st.container(key="cells-to-mend"):
        count = len(cells)
        st.error(f"{count} cell{'s' if count != 1 else ''} to mend", icon=":material/warning:")
        marked.styled(cells[:MOST_MARKED], key="cells-listed")
        if count > MOST_MARKED:
            st.caption(plain(f"The first {MOST_MARKED} of {count:,}."))


def _mends(faults: Sequence[tuple[str, Fault]], table: Records) -> dict[str, str]:
    labels = {field.path[0]: field.label for field in table.fields}
    return {str(labels.get(column, "Line")): fault.mend for column, fault in faults}


def _said(faults: Sequence[tuple[str, Fault]], table: Records) -> str:
    labels = {field.path[0]: field.label for field in table.fields}
    told = [f"{labels.get(column, column)}: {fault.mend}" for column, fault in faults]
    return MARK + " ".join(told) if told else ""
