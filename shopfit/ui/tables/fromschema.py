"""Fields read off a model, with its own words: for all that no table of the page lists by hand."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel, BeforeValidator

from shopfit import units
from shopfit.files.schemas import field_words
from shopfit.ui.tables.cells import Field, Kind, Path

NOT_SAID = {"": "not said", "true": "yes", "false": "no"}
_KINDS: Mapping[Callable[..., Any], Kind] = {
    units.parse_length: "length",
    units.parse_mass: "mass",
    units.parse_line_load: "line load",
}
_HOW: Mapping[Callable[..., Any], str] = {
    units.parse_slope: units.SLOPE_HELP,
    units.parse_area: units.AREA_HELP,
    units.parse_share: units.SHARE_HELP,
    units.parse_pressure: units.PRESSURE_HELP,
    units.parse_force: units.FORCE_HELP,
}


@dataclass(frozen=True)
class _Kind:
    """A field's type, without what pydantic wraps it in."""

    bare: Any
    reader: Callable[..., Any] | None
    may_lack: bool


def fields_of(
    model: type[BaseModel], told: Collection[Field] = (), path: Path = (), sure: bool = True
) -> tuple[Field, ...]:
    """Give a field for each single thing that may be written of something.

    Parameters
    ----------
    model
        What it is.
    told
        Fields that are on the page already; these are left out.
    path
        Where it stands in what is written.
    sure
        Whether it is there even if nothing is written of it, so that what is usual holds.

    Returns
    -------
    The fields. Lists of things and mappings are left out: they are tables of their own.
    """
    known = {_named(field.path) for field in told}
    words = field_words(model)
    found: list[Field] = []
    for name, info in model.model_fields.items():
        here, kind = (*path, name), _unwrapped(info.annotation, info.metadata)
        if isinstance(kind.bare, type) and issubclass(kind.bare, BaseModel):
            found += fields_of(kind.bare, told, here, sure and not kind.may_lack)
        elif _named(here) not in known:
            usual = info.get_default(call_default_factory=True) if sure else None
            found += _leaves(here, kind, words.get(name, ""), usual)
    return tuple(found)


def lists_of(model: type[BaseModel], path: Path = ()) -> dict[Path, Any]:
    """Give the lists of things and the mappings of a model by where they stand, with their type."""
    found: dict[Path, Any] = {}
    for name, info in model.model_fields.items():
        here, kind = (*path, name), _unwrapped(info.annotation, info.metadata)
        if isinstance(kind.bare, type) and issubclass(kind.bare, BaseModel):
            found |= lists_of(kind.bare, here)
        elif not _leaves(here, kind, "", None):
            found[here] = kind.bare
    return found


def _named(path: Path) -> Path:
    return tuple(step for step in path if isinstance(step, str))


def _unwrapped(annotation: Any, metadata: Collection[Any] = ()) -> _Kind:
    reader = next((mark.func for mark in metadata if isinstance(mark, BeforeValidator)), None)
    if get_origin(annotation) is Annotated:
        inner, *marks = get_args(annotation)
        kind = _unwrapped(inner, marks)
        return _Kind(kind.bare, kind.reader or reader, kind.may_lack)
    if get_origin(annotation) in (Union, UnionType):
        some = [each for each in get_args(annotation) if each is not NoneType]
        kind = _unwrapped(some[0])
        return _Kind(kind.bare, kind.reader or reader, may_lack=True)
    return _Kind(annotation, reader, may_lack=False)


def _leaves(path: Path, kind: _Kind, words: str, usual: Any) -> list[Field]:
    """Give the field or, for a place or a size, the two fields of something that is single."""
    label, help_ = _label(path), words
    if get_origin(kind.bare) is tuple:
        return _several(path, kind, words)
    if get_origin(kind.bare) is Literal:
        options = get_args(kind.bare)
        more = ("",) if kind.may_lack else ()
        written = "" if usual is None else str(usual)
        return [Field(path, label, "choice", (*more, *options), help_, "", written, NOT_SAID)]
    if kind.bare is bool:
        if kind.may_lack:
            return [Field(path, label, "choice", tuple(NOT_SAID), help_, words=NOT_SAID)]
        return [Field(path, label, "yes or no", help=help_, usual=_usual(usual, kind))]
    if kind.bare in (int, float) and kind.reader in (None, units.parse_angle):
        return [Field(path, label, "number", help=help_, usual=_usual(usual, kind))]
    if kind.bare in (str, int, float):
        how = _HOW.get(kind.reader, "") if kind.reader else ""
        help_ = f"{help_} Write {how}." if how else help_
        cell = _KINDS.get(kind.reader, "text") if kind.reader else "text"
        return [Field(path, label, cell, help=help_, usual=_usual(usual, kind))]
    return []


def _several(path: Path, kind: _Kind, words: str) -> list[Field]:
    first, *rest = get_args(kind.bare)
    inner, label = _unwrapped(first), _label(path)
    if rest != [...]:
        if inner.reader is not units.parse_length:
            return []
        return [
            Field((*path, place), f"{label}, {side}", "length", help=words)
            for place, side in enumerate(("east", "north"))
        ]
    if inner.bare is str:
        return [Field(path, label, "names", help=f"{words} With commas between.")]
    if inner.reader is units.parse_length:
        return [Field(path, label, "lengths", help=f"{words} With commas between.")]
    pair = [_unwrapped(each).reader for each in get_args(inner.bare)]
    if get_origin(inner.bare) is tuple and pair == [units.parse_length] * 2:
        how = "East, north of each corner in order, with semicolons between: 0, 88; 120, 88."
        return [Field(path, label, "places", help=f"{words} {how}")]
    return []


def _label(path: Path) -> str:
    names = [str(step).replace("_", " ") for step in _named(path)]
    return ": ".join(names).capitalize()


def _usual(usual: Any, kind: _Kind) -> str:
    """Write what holds where nothing is written, as it would be written."""
    if isinstance(usual, bool):
        return str(usual).lower()
    if not isinstance(usual, int | float):
        return str(usual) if isinstance(usual, str) else ""
    if kind.reader is units.parse_share:
        return f"{100 * usual:g} %"
    unit = _KINDS.get(kind.reader, "number") if kind.reader else "number"
    suffix = {"length": " mm", "mass": " kg", "line load": " kg/m"}.get(unit, "")
    return f"{usual:.12g}{suffix}"
