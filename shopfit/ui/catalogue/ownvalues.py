"""Own values on top of the published ones: a wider aisle, a lower counter, and why."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import streamlit as st

from shopfit import standards
from shopfit.files.parts import VALUES
from shopfit.standards.rulebook import Rulebook
from shopfit.ui import session
from shopfit.ui.tables import parts, records
from shopfit.ui.tables.cells import Field, with_unit
from shopfit.ui.tables.parts import Part
from shopfit.ui.tables.records import Records
from shopfit.ui.text import plain, plain_cells
from shopfit.units import LengthStyle

_MEASURES = ("length", "ratio", "value", "unit")


def own_values(keys: tuple[str, ...]) -> Records:
    """Describe values of one's own."""
    return Records(
        "own-values",
        "value of your own",
        (
            Field(("key",), "Published value", "choice", keys),
            Field(
                ("written",),
                "Mine",
                help="With its unit, such as 44 in, 1:20 or 5 lbf: stricter than published.",
            ),
            Field(("why",), "Why"),
        ),
    )


def title() -> Records:
    """Describe what the values are called."""
    told = "What the published values are called with these on top; made up if left empty."
    return Records("values-title", "title", (Field(("title",), "Title", help=told),))


def show() -> None:
    """Show own values beside the published ones."""
    st.caption(
        "Ask for more than the published values checked; never for less. A wider way also has "
        "to stand in the brief, for fixtures are placed by that."
    )
    book = _book()
    spec = own_values(tuple(requirement.key for requirement in book))
    part = Part(VALUES, ("values",))
    items = [as_shown(item) for item in part.items()]
    faults, group = session.faults(VALUES, "values"), ("values",)
    checks = records.checks_of(faults, group, items, spec)
    faulty = records.faulty_cells(faults, group, items, spec)
    changed = parts.changes(spec, items, checks, faulty)
    if changed is not None:
        rows = [as_written(item, book, session.units()) for item in changed.items]
        # A file without values is no file of values.
        whole = {**session.draft().values, "values": rows} if rows else {}
        Part(VALUES).write("Change a value of our own", whole, changed.by_form)
    if items:
        parts.single(title(), Part(VALUES))
    with st.expander("The published values"):
        cells = [
            {"value": one.key, "of": one.quantity, "published": one.written, "clause": one.clause}
            for one in book
        ]
        st.table(plain_cells(cells), hide_index=True)
    st.caption(plain(f"Published values: {book.title}."))


def _book() -> Rulebook:
    written = str(session.draft().shop.get("rulebook") or "us")
    return standards.load(written if written in standards.names() else "us")


def as_shown(item: Mapping[str, Any]) -> dict[str, Any]:
    """Give a row with its measure in one text."""
    told = " ".join(str(item[name]) for name in _MEASURES if item.get(name) is not None)
    rest = {name: each for name, each in item.items() if name not in _MEASURES}
    return {**rest, "written": told}


def as_written(item: Mapping[str, Any], book: Rulebook, units: LengthStyle) -> dict[str, Any]:
    """Give a row with its measure as the file has it.

    Parameters
    ----------
    item, book
        The row as typed, and the published values, whose units say what it measures.
    units
        What a bare length is in.
    """
    row = {name: each for name, each in item.items() if name != "written"}
    text, key = str(item.get("written") or "").strip(), item.get("key")
    unit = book.requirement(key).unit if isinstance(key, str) and key in book else "mm"
    if unit == "mm":
        return {**row, "length": with_unit(text, "length", units)}
    if unit == "rise/run":
        return {**row, "ratio": text}
    number, _, named = text.partition(" ")
    return {**row, "value": number, "unit": named.strip() or ("count" if unit == "count" else "")}
