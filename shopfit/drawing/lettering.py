"""How wide and how high printed text is, so that labels can be kept apart."""

from __future__ import annotations

from functools import lru_cache

from reportlab.pdfbase.pdfmetrics import stringWidth

REGULAR = "Helvetica"
BOLD = "Helvetica-Bold"
CAP = 0.718  # height of capitals, in parts of the size; from the metrics of the font
ASCENT = 0.76
DESCENT = 0.22

SMALL = 2.8  # printed mm; its capitals are 2.01 mm high
NORMAL = 3.2
LARGE = 5.0


@lru_cache(maxsize=65536)
def _per_size(text: str, bold: bool) -> float:
    return float(stringWidth(printable(text), BOLD if bold else REGULAR, 1000)) / 1000


def width(text: str, size: float, bold: bool = False) -> float:
    """Give the printed width of one line of text, mm.

    Parameters
    ----------
    text
        The line.
    size
        Size of the lettering, printed mm.
    bold
        Whether it is bold.
    """
    return _per_size(text, bold) * size


@lru_cache(maxsize=65536)
def printable(text: str) -> str:
    """Give text without control characters, and with signs the font lacks shown as ``?``."""
    plain = "".join(sign if sign.isprintable() else " " for sign in text)
    return plain.encode("cp1252", errors="replace").decode("cp1252")


def shorten(text: str, room: float, size: float, bold: bool = False) -> str:
    """Cut text to a printed width, mm, with an ellipsis where something is left out."""
    if width(text, size, bold) <= room:
        return text
    short = text
    while short and width(short + "…", size, bold) > room:
        short = short[:-1]
    return short.rstrip() + "…" if short else ""


def wrap(text: str, room: float, size: float, bold: bool = False) -> list[str]:
    """Break text at spaces so that no line is wider than the room, mm; long words are cut."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width(longer, size, bold) <= room:
            lines[-1] = longer
        else:
            lines.append(shorten(word, room, size, bold))
    return lines
