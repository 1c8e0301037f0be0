"""Cells of tables: as the owner reads them in the units chosen, and as they are written down."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from shopfit.numerals import UnitError
from shopfit.units import (
    LengthStyle,
    format_length,
    format_mass,
    parse_length,
    parse_line_load,
    parse_mass,
)

Kind = Literal[
    "text",
    "number",
    "length",
    "mass",
    "line load",
    "yes or no",
    "choice",
    "choices",
    "names",
    "lengths",
    "places",
]
Path = tuple[str | int, ...]

_YES = ("true", "yes", "on", "1", "y", "t")
_BARE = re.compile(r"^[-+]?\s*(\d+([.,]\d+)?|\.\d+|\d+\s*[-\s]\s*\d+/\d+|\d+/\d+)$")
_LENGTH_UNIT: Mapping[str, str] = {"ft-in": "in", "in": "in", "mm": "mm", "m": "m"}
_POUND_FOOT = 1.48816394  # kg/m in one lb/ft


@dataclass(frozen=True)
class Field:
    """One thing that is written of something.

    Parameters
    ----------
    path
        Where it stands in what is written.
    label
        What it is called on the page.
    kind
        How it is read.
    options
        What may be chosen, where it is a choice.
    help
        A sentence for whoever fills it in.
    start
        What stands there for a new one.
    usual
        What holds where nothing is written; shown, but not written down.
    words
        What options are called, where not by their own names.
    """

    path: Path
    label: str
    kind: Kind = "text"
    options: tuple[str, ...] = ()
    help: str = ""
    start: str = ""
    usual: str = ""
    words: Mapping[str, str] = field(default_factory=dict)


def metric(units: LengthStyle) -> bool:
    """Say whether masses are told in kilograms."""
    return units in ("mm", "m")


def shown(written: Any, field: Field, units: LengthStyle) -> Any:
    """Give what is written as the owner reads it; what cannot be read is shown as it stands."""
    if written is None:
        written = field.usual
    if field.kind == "yes or no":
        return str(written).lower() in _YES
    if field.kind == "choices":
        listed = written if isinstance(written, list | tuple) else [written]
        return [str(each) for each in listed if each]
    if field.kind == "places":
        return _places_shown(written, units)
    if field.kind in ("names", "lengths"):
        listed = written if isinstance(written, list | tuple) else [written]
        one = Field((), "", "length" if field.kind == "lengths" else "text")
        return ", ".join(str(shown(each, one, units)) for each in listed if each not in ("", None))
    text = str(written)
    try:
        if field.kind == "length" and text:
            return format_length(parse_length(text), units)
        if field.kind == "mass" and text:
            return format_mass(parse_mass(text), units)
        if field.kind == "line load" and text:
            load = parse_line_load(text)
            return f"{load:.4g} kg/m" if metric(units) else f"{load / _POUND_FOOT:.4g} lb/ft"
    except UnitError:
        pass
    return text


def written(given: Any, field: Field, units: LengthStyle) -> Any:
    """Give what the owner typed as it is written down; a bare number gets the unit of the page."""
    if field.kind == "yes or no":
        return "true" if given else "false"
    if field.kind == "choices":
        listed = given if isinstance(given, list | tuple) else re.split(r"[,\s]+", str(given or ""))
        return [each for each in listed if each]
    text = "" if given is None else str(given).strip()
    if not text:
        return None
    if field.kind == "places":
        return _places_written(text, units)
    if field.kind in ("names", "lengths"):
        kind: Kind = "length" if field.kind == "lengths" else "text"
        return [with_unit(each.strip(), kind, units) for each in text.split(",") if each.strip()]
    return with_unit(text, field.kind, units)


def with_unit(text: str, kind: Kind, units: LengthStyle) -> str:
    """Give a bare number the unit that the page is in; other text stays as it is."""
    if not _BARE.match(text):
        return text
    bare = text.replace(",", ".")
    if kind == "length":
        return f"{bare} {_LENGTH_UNIT[units]}"
    if kind == "mass":
        return f"{bare} {'kg' if metric(units) else 'lb'}"
    if kind == "line load":
        return f"{bare} {'kg/m' if metric(units) else 'lb/ft'}"
    return text


def unit_hint(kind: Kind, units: LengthStyle) -> str:
    """Say in which unit something is read; empty for what has none."""
    if kind in ("length", "lengths"):
        return {"ft-in": "ft, in"}.get(units, units)
    if kind == "mass":
        return "kg" if metric(units) else "lb"
    if kind == "line load":
        return "kg/m" if metric(units) else "lb/ft"
    return ""


def typing_hint(units: LengthStyle) -> str:
    """Say how lengths may be typed, and what a bare number is."""
    example = {"ft-in": "7' 8 1/2\" or 92.5", "in": "92 1/2", "mm": "2350", "m": "2.35"}[units]
    names = {"in": "inches", "mm": "millimetres", "m": "metres"}
    bare = names[_LENGTH_UNIT[units]]
    return f"Type {example}: a bare number is in {bare}. Any unit may be typed in any view."


def value_at(item: Any, path: Path) -> Any:
    """Give what is written at a place, or none."""
    for step in path:
        try:
            item = item[step]
        except (KeyError, IndexError, TypeError):
            return None
    return item


def with_value(item: Any, path: Path, value: Any) -> Any:
    """Give a copy with another value at a place; none takes the field out."""
    step, rest = path[0], path[1:]
    if isinstance(step, int):
        listed = list(item) if isinstance(item, list | tuple) else []
        listed += [None] * (step + 1 - len(listed))
        listed[step] = with_value(listed[step], rest, value) if rest else value
        return None if all(each is None for each in listed) else listed
    fields = dict(item) if isinstance(item, Mapping) else {}
    inner = with_value(fields.get(step), rest, value) if rest else value
    if inner is None or inner == {}:
        fields.pop(step, None)
    else:
        fields[step] = inner
    return fields


def _places_shown(written: Any, units: LengthStyle) -> str:
    field = Field((), "", "length")
    if not isinstance(written, Sequence) or isinstance(written, str):
        return str(written)
    return "; ".join(
        ", ".join(str(shown(size, field, units)) for size in place)
        if isinstance(place, list | tuple)
        else str(place)
        for place in written
    )


def _places_written(text: str, units: LengthStyle) -> list[Any]:
    pairs = [[size.strip() for size in place.split(",")] for place in text.split(";")]
    return [[with_unit(size, "length", units) for size in pair] for pair in pairs if any(pair)]
