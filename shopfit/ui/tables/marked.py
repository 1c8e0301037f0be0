"""Rows that have to be mended once more, with the cells at fault marked by colour and by text."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import streamlit as st

from shopfit.ui.tables.cells import Field
from shopfit.ui.text import plain

MARK = "⚠ "
MOST = 30
# Dark letters on a light ground of their own, so that they read in light and dark alike.
FAULTY = "background-color: #fbe3d2; color: #5c2a05; font-weight: 600"


def show(
    fields: Sequence[Field], rows: Sequence[Mapping[str, Any]], faulty: Sequence[Mapping[str, str]]
) -> None:
    """Show the rows with faults below their table, for cells in it cannot be coloured.

    Parameters
    ----------
    fields
        Columns of the table; the first is a row's name.
    rows
        Its cells by column.
    faulty
        For each row, the mend of every column that is at fault.
    """
    places = [place for place, mends in enumerate(faulty) if mends]
    if not places:
        return
    columns = [
        field.label
        for number, field in enumerate(fields)
        if number == 0 or any(field.label in faulty[place] for place in places)
    ]
    cells = [
        {
            "row": str(place + 1),
            **{name: _cell(rows[place].get(name), faulty[place].get(name)) for name in columns},
        }
        for place in places[:MOST]
    ]
    st.caption("Rows to mend: the cells marked, with what to do")
    styled(cells, key="rows-to-mend")
    if len(places) > MOST:
        st.caption(plain(f"The first {MOST} of {len(places):,}."))


def styled(cells: Sequence[Mapping[str, str]], key: str) -> None:
    """Show a table in which every cell that begins with the mark stands out."""
    import pandas as pd

    frame = pd.DataFrame([{name: plain(cell) for name, cell in row.items()} for row in cells])
    with st.container(key=key):
        st.table(frame.style.map(_style), hide_index=True)


def _cell(given: Any, mend: str | None) -> str:
    shown = "" if given is None else str(given)
    return shown if mend is None else f"{MARK}{shown or 'nothing'}: {mend}"


def _style(cell: str) -> str:
    return FAULTY if cell.startswith(MARK) else ""
