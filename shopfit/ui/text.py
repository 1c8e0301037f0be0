"""Text of users made safe for Streamlit's Markdown."""

from __future__ import annotations

import re
from typing import Any

_MARKS = re.compile(r"([\\`*_{}\[\]()<>#+\-.!|~$:&])")


def plain(text: str) -> str:
    """Escape everything that Markdown would read as a mark, a link or a picture."""
    return _MARKS.sub(r"\\\1", text).replace("\n", " ")


def plain_cells(rows: list[dict[str, Any]]) -> list[dict[str, str]]:
    """Escape the cells of a table whose cells Streamlit reads as Markdown."""
    return [{name: plain(str(cell)) for name, cell in row.items()} for row in rows]
