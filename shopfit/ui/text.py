"""Text of users made safe for Streamlit's Markdown."""

from __future__ import annotations

import re

_MARKS = re.compile(r"([\\`*_{}\[\]()<>#+\-.!|~$:&])")


def plain(text: str) -> str:
    """Escape everything that Markdown would read as a mark, a link or a picture."""
    return _MARKS.sub(r"\\\1", text).replace("\n", " ")
