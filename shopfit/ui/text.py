"""Text of users made safe for Streamlit's Markdown, and faults as a table."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

import streamlit as st

from shopfit.errors import Fault

_MARKS = re.compile(r"([\\`*_{}\[\]()<>#+\-.!|~$:&])")
# What acts inside a label of our own: marks round words, links, formulas, names of icons.
_LABEL_MARKS = re.compile(r"([\\`_\[\]<>~$]|\*(?=.)|:(?=\w))")
MOST_FAULTS = 40


def plain(text: str) -> str:
    """Escape everything that Markdown would read as a mark, a link or a picture."""
    return _MARKS.sub(r"\\\1", text).replace("\n", " ")


def label(text: str) -> str:
    """Escape no more of a label than Markdown would read as a mark: screen readers say escapes."""
    return _LABEL_MARKS.sub(r"\\\1", text)


def plain_cells(rows: Sequence[dict[str, Any]]) -> list[dict[str, str]]:
    """Escape the cells of a table whose cells Streamlit reads as Markdown."""
    return [{name: plain(str(cell)) for name, cell in row.items()} for row in rows]


def fault_rows(faults: Sequence[Fault]) -> list[dict[str, Any]]:
    """Give faults of the input, one a row."""
    return [
        {
            "file": fault.file,
            "where": fault.where,
            "given": fault.given,
            "allowed": fault.allowed,
            "mend": fault.mend,
        }
        for fault in faults
    ]


def show_faults(faults: Sequence[Fault], heading: str = "") -> None:
    """Show faults of the input in a table, the first ones of very many."""
    count = len(faults)
    told = heading or f"{count} fault{'s' if count != 1 else ''} in what was given"
    with st.container(key="faults"):
        st.error(plain(told), icon=":material/warning:")
        st.table(plain_cells(fault_rows(faults[:MOST_FAULTS])), hide_index=True)
        if count > MOST_FAULTS:
            st.caption(f"The first {MOST_FAULTS} of {count}; mend these first.")
