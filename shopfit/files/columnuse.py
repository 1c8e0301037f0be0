"""Which column of an owner's own list is which of the range, guessed once and kept."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches

from shopfit.files.drafts import Row, unmarked
from shopfit.files.rangefile import COLUMNS
from shopfit.files.sheets import SheetText
from shopfit.model.range import WAYS

LENGTHS = ("width", "height", "depth")
MASSES = ("weight",)
LENGTH_UNITS = ("in", "mm", "cm", "ft", "m")
MASS_UNITS = ("lb", "oz", "kg", "g")
NAMED = ("line", "category")

# Codes where a list has no others.
_NUMBERS = ("article number", "article no", "art no", "item number", "item no")
# Words that lists use for what the range calls by its own names; common practice, no source.
_WORDS: Mapping[str, tuple[str, ...]] = {
    "line": ("line", "item", "product", "article", "name", "description", "title", "goods"),
    "category": ("category", "group", "department", "dept", "family", "type", "section", "class"),
    "width": ("width", "wide", "w", "breadth", "face width", "front"),
    "height": ("height", "high", "tall", "h"),
    "depth": ("depth", "deep", "d", "length", "thickness"),
    "weight": ("weight", "mass", "wt", "unit weight"),
    "min_facings": ("min facings", "fewest", "fewest facings", "min", "minimum", "least"),
    "max_facings": ("max facings", "most", "most facings", "max", "maximum"),
    "holding": ("holding", "stock", "units", "quantity", "qty", "on hand", "units held"),
    "value": ("value", "margin", "profit", "worth", "score"),
    "ways": ("ways", "way", "display", "shown on", "how shown", "way of display"),
    "band": ("band", "height band", "eye level"),
    "secured": ("secured", "locked", "lock", "security"),
    "new": ("new", "is new", "novelty"),
    "code": ("code", "bar code", "barcode", "gtin", "ean", "upc", "sku", *_NUMBERS),
}
_MARK = re.compile(r"[\s_(\[,.\-]+(mm|cm|m|in|inch|inches|ft|feet|kg|g|lb|lbs|oz)[\s)\].]*$", re.I)
# With a sign or a short name of money before or after it; 1,200 is left to the owner.
_SIGN = r"(?:[$£€¥₹]|[A-Z]{3})?"
_MONEY = re.compile(rf"^{_SIGN}\s*(\d+)(?:[.,](\d{{1,2}}))?\s*{_SIGN}$")
_UNITS = {"inch": "in", "inches": "in", "feet": "ft", "lbs": "lb"}
_BARE = re.compile(r"^[-+]?(\d+([.,]\d+)?|\.\d+|\d+\s*[-\s]\s*\d+/\d+|\d+/\d+)$")
_WAY_WORDS = {
    "hooks": "hook",
    "peg": "hook",
    "pegs": "hook",
    "hanging": "hook",
    "shelves": "shelf",
    "shelving": "shelf",
    "cradles": "cradle",
    "cases": "case",
    "tables": "table",
    "face": "face-out",
    "faceout": "face-out",
}


@dataclass(frozen=True)
class ColumnUse:
    """How an owner's list is read as a range.

    Parameters
    ----------
    taken
        The owner's column for each column of the range.
    units
        Unit of numbers without one, by column of the range.
    instead
        What stands in every row of a column that the list does not have.
    """

    taken: Mapping[str, str] = field(default_factory=dict)
    units: Mapping[str, str] = field(default_factory=dict)
    instead: Mapping[str, str] = field(default_factory=dict)


def guess_use(
    header: Sequence[str], known: Mapping[str, str] | None = None, metric: bool = False
) -> ColumnUse:
    """Guess which column is which.

    Parameters
    ----------
    header
        Names of the owner's columns.
    known
        What was chosen before for columns of these names.
    metric
        Whether numbers without a unit are more likely mm and kg than in and lb.
    """
    taken = {ours: theirs for ours, theirs in (known or {}).items() if theirs in header}
    for name in _exact_first(header):
        ours = _meant(name, [each for each in COLUMNS if each not in taken])
        if ours is not None and name not in taken.values():
            taken[ours] = name
    units = {}
    for ours in (*LENGTHS, *MASSES):
        usual = ("mm" if metric else "in") if ours in LENGTHS else ("kg" if metric else "lb")
        units[ours] = unit_in(taken.get(ours, "")) or usual
    return ColumnUse({ours: taken[ours] for ours in COLUMNS if ours in taken}, units)


def unit_in(name: str) -> str:
    """Give the unit that a column's name ends in, such as ``Width (in)``; empty without one."""
    found = _MARK.search(name)
    if found is None:
        return ""
    unit = found[1].lower()
    return _UNITS.get(unit, unit)


def use_columns(sheet: SheetText, use: ColumnUse) -> tuple[tuple[Row, ...], tuple[str, ...]]:
    """Read rows of a range from an owner's list.

    Names become such as a range may have; numbers without a unit get theirs.

    Returns
    -------
    The rows, and what was changed, in words.
    """
    places = {ours: sheet.header.index(theirs) for ours, theirs in use.taken.items()}
    rows, renamed = [], 0
    for cells in sheet.rows:
        row = {name: text for name, text in use.instead.items() if text}
        for ours, place in places.items():
            written = unmarked(cells[place])
            if written:
                row[ours] = _cell(ours, written, use.units)
                renamed += ours in NAMED and row[ours] != written
        if row.keys() - use.instead.keys():
            rows.append(row)
    twice = _told_apart(rows)
    notes = []
    if renamed:
        names = "name" if renamed == 1 else "names"
        notes.append(f"{renamed:,} {names} had signs that drawings and lists cannot take.")
    if twice:
        lines = "line" if twice == 1 else "lines"
        notes.append(f"{twice:,} {lines} with the name of another got a number after it.")
    return tuple(rows), tuple(notes)


def plain_name(text: str) -> str:
    """Give a name with letters, digits, spaces, dots and dashes only, as near as can be."""
    spoken = text.replace("&", " and ").replace("/", "-").replace('"', " in").replace("½", " 1-2")
    bare = unicodedata.normalize("NFKD", spoken).encode("ascii", "ignore").decode()
    name = re.sub(r"\s+", " ", re.sub(r"[^A-Za-z0-9 ._-]", " ", bare)).strip(" ._-")
    return name[:60].strip()


def _cell(ours: str, written: str, units: Mapping[str, str]) -> str:
    if ours in NAMED or ours == "band":
        return plain_name(written) or written
    if ours in units and _BARE.match(written):
        return f"{written.replace(',', '.')} {units[ours]}"
    if ours == "value" and (money := _MONEY.match(written)):
        return ".".join(filter(None, money.groups()))
    if ours == "ways":
        words = re.split(r"[|;,/\s]+", written.lower())
        ways = [_WAY_WORDS.get(word, word) for word in words if word and word != "out"]
        return "|".join(dict.fromkeys(ways)) if set(ways) <= set(WAYS) else written
    return written


def _told_apart(rows: list[dict[str, str]]) -> int:
    """Put a number after names that stand already, in place, and count these."""
    seen: set[str] = set()
    changed = 0
    for row in rows:
        name = row.get("line", "")
        if name and name in seen:
            number = 2
            while f"{name[:56]} {number}" in seen:
                number += 1
            row["line"] = f"{name[:56]} {number}"
            changed += 1
        seen.add(row.get("line", ""))
    return changed


def _exact_first(header: Sequence[str]) -> list[str]:
    named = [name for name in dict.fromkeys(header) if name]
    return sorted(
        named,
        key=lambda name: (_bare(name).replace(" ", "_") not in COLUMNS, _bare(name) in _NUMBERS),
    )


def _bare(name: str) -> str:
    return re.sub(r"[\s_\-.]+", " ", _MARK.sub("", name).strip().lower()).strip()


def _words(ours: str) -> tuple[str, ...]:
    return _WORDS.get(ours, (ours.replace("_", " "),))


def _meant(name: str, free: Sequence[str]) -> str | None:
    bare = _bare(name)
    for ours in free:
        if bare in _words(ours):
            return ours
    # Whole words come before likeness: an article name is no article number.
    inside = [ours for ours in free if any(w in bare.split() for w in _words(ours) if len(w) > 3)]
    if len(inside) == 1:
        return inside[0]
    words = {word: ours for ours in free for word in _words(ours) if len(word) > 3}
    close = get_close_matches(bare, words, 1, 0.82)
    return words[close[0]] if close else None
