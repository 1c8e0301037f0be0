"""Says what the models refuse in the words of the trade, in the user's own names."""

from __future__ import annotations

import types
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Annotated, Any, Literal, Union, get_args, get_origin

import annotated_types
from pydantic import BaseModel, ValidationError, WithJsonSchema
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from shopfit.files.documents import Loc
from shopfit.files.rulewords import RULES
from shopfit.numerals import UnitError
from shopfit.units import ANGLE_HELP, LENGTH_HELP

SHOWN = 60
_UNITS = {LENGTH_HELP: " mm", ANGLE_HELP: " degrees"}
# What the models put behind a name that they refuse.
_KEY = "[key]"


@dataclass(frozen=True)
class Refusal:
    """What a model refused.

    Parameters
    ----------
    loc
        Path of the field.
    given, allowed, mend
        As in `shopfit.errors.Fault`.
    """

    loc: Loc
    given: str
    allowed: str
    mend: str


def shortened(value: object) -> str:
    """Show a value as the user wrote it, cut to a readable length."""
    if value is None:
        return "nothing"
    if isinstance(value, dict):
        return f"fields {', '.join(str(key) for key in value)[:SHOWN] or '(none)'}"
    if isinstance(value, list):
        return f"a list of {len(value)}"
    text = str(value)
    return f"'{text[:SHOWN]}…'" if len(text) > SHOWN else f"'{text}'"


def nearest(word: str, options: Iterable[str], otherwise: str) -> str:
    """Ask whether the nearest of the options was meant, or list them, or say something else."""
    names = list(dict.fromkeys(options))
    lowered = {name.lower(): name for name in names}
    close = get_close_matches(word.lower(), lowered, n=1, cutoff=0.7)
    if close:
        return f"Did you mean '{lowered[close[0]]}'?"
    if not names:
        return otherwise
    more = f" and {len(names) - 12} more" if len(names) > 12 else ""
    return f"Known: {', '.join(names[:12])}{more}."


def likely(word: str, options: Iterable[str]) -> list[str]:
    """Give the option that was likely meant, if any."""
    return get_close_matches(word, list(options), 1, 0.7)


def refusals(error: ValidationError, model: type[BaseModel], data: Any) -> list[Refusal]:
    """Say all that a model refused.

    Parameters
    ----------
    error
        What the model raised.
    model, data
        The model, and what it was given.
    """
    details = error.errors()
    locs = [detail["loc"] for detail in details]
    misspelt = {
        (*detail["loc"][:-1], close)
        for detail in details
        if detail["type"] == "extra_forbidden"
        for close in _close(detail["loc"], model)
    }
    return [
        _refusal(detail, model, data)
        for detail in details
        if not (detail["type"] == "missing" and detail["loc"] in misspelt)
        # "Too few" counts only what passed: where an item failed, that is already said.
        and not (detail["type"] == "too_short" and _any_below(detail["loc"], locs))
    ]


def _any_below(loc: Loc, locs: Iterable[Loc]) -> bool:
    return any(other != loc and other[: len(loc)] == loc for other in locs)


def _close(loc: Loc, model: type[BaseModel]) -> list[str]:
    """Give the known field that an unknown one is most like, if any."""
    return get_close_matches(str(loc[-1]), _fields_at(model, loc[:-1]), 1, 0.7)


def _refusal(detail: ErrorDetails, model: type[BaseModel], data: Any) -> Refusal:
    loc = tuple(detail["loc"])
    if loc and loc[-1] == _KEY:
        words = allowed_at(model, (*loc[:-2], _KEY))
        return Refusal(
            loc[:-1], shortened(loc[-2]), words, _mend("string_", str(loc[-2]), words, model, loc)
        )
    value = _look_up(data, loc)
    given, kind = shortened(value), detail["type"]
    raised = detail.get("ctx", {}).get("error")
    allowed = allowed_at(model, loc)
    field = str(loc[-1]) if loc else "it"
    if isinstance(raised, UnitError):
        return Refusal(loc, given, allowed, unit_mend(str(raised), value))
    if kind == "value_error":
        return _rule(loc, str(raised), data)
    if kind == "missing":
        missing = field if isinstance(loc[-1], str) else f"number {loc[-1] + 1} of the list"
        return Refusal(loc, "nothing", allowed, f"Add {missing}.")
    if kind == "extra_forbidden":
        known = f"one of the fields {', '.join(_fields_at(model, loc[:-1]))}"
        close = _close(loc, model)
        mend = f"Did you mean '{close[0]}'?" if close else "Take it out, or correct its name."
        return Refusal(loc, f"an unknown field '{field[:SHOWN]}'", known, mend)
    return Refusal(loc, given, allowed, _mend(kind, str(value), allowed, model, loc))


def _mend(kind: str, value: str, allowed: str, model: type[BaseModel], loc: Loc) -> str:
    if kind == "literal_error":
        close = get_close_matches(value.lower(), _words_at(model, loc), 1, 0.6)
        return f"Did you mean '{close[0]}'?" if close else "Use one of these words."
    if kind.startswith("greater_than"):
        return "Write a larger one."
    if kind.startswith("less_than"):
        return "Write a smaller one."
    if kind.startswith(("int_", "float_", "finite")):
        return "Write the bare number, without a currency sign, a unit or a comma."
    if kind == "string_too_long":
        return "Shorten it."
    if kind.startswith("string_") and value.strip() in ("", "None"):
        return "Write what is missing, or take it out."
    if kind.startswith("string_"):
        return "Rename it with plain letters and digits."
    if kind == "too_long":
        return "Take out what is too much."
    if kind == "dict_type":
        return "Write a name, a colon and a value on each line."
    if kind == "too_short" and value not in ("[]", "()"):
        return "Add what is missing."
    if kind in ("tuple_type", "too_short", "missing"):
        return "Write a list: a dash before each item, or [a, b]."
    return "Write it so."


def unit_mend(sentence: str, value: object) -> str:
    """Say how to mend what has no unit, or one that is not known; the sentence is the reader's."""
    written = str(value).strip()
    if "an angle" in sentence:
        return "Write the number of degrees."
    if "a part of the whole" in sentence:
        return "Write a number, or per cent, such as 10 %."
    if "a slope" in sentence:
        return "Write how far it rises on which length, such as 1:48, or per cent, such as 2 %."
    if "a load per length" in sentence and "/" not in written:
        return "Write how much on which length, such as 30 lb/ft."
    if "no unit" in sentence:
        pairs = {
            "a force": ("lbf", "N"),
            "a mass": ("lb", "kg"),
            "a load per area": ("psf", "kPa"),
            "an area": ("sq ft", "m2"),
        }
        small, large = next((p for what, p in pairs.items() if what in sentence), ("in", "mm"))
        return f"Add the unit, such as {written} {small} or {written} {large}."
    if "unknown unit" in sentence:
        return "Use one of the units shown."
    if "," in written:
        return "Leave commas out, and write decimals with a point, as in 2.35."
    if "divides by nought" in sentence:
        return "Correct the fraction."
    return "Write a number and its unit."


def _rule(loc: Loc, sentence: str, data: Any) -> Refusal:
    item = _look_up(data, loc)
    rule = next((rule for start, rule in RULES.items() if sentence.startswith(start)), None)
    if rule is None:
        return Refusal(loc, shortened(item), sentence, "Change it so.")
    # A rule is kept by an item, or by the last of the fields that it is about.
    of = loc if isinstance(item, Mapping) else loc[:-1]
    fields = _look_up(data, of) or {}
    given = ", ".join(f"{key} {_bare(fields[key])}" for key in rule.shown if key in fields)
    place = (*of, rule.field) if rule.field else of
    return Refusal(place, given or "neither", rule.allowed or sentence, rule.mend)


def _bare(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list) and not any(isinstance(item, list | dict) for item in value):
        return " ".join(str(item) for item in value)
    return shortened(value).strip("'")


def _look_up(data: Any, loc: Loc) -> Any:
    for step in loc:
        try:
            data = data[step]
        except (KeyError, IndexError, TypeError):
            return None
    return data


def allowed_at(model: type[BaseModel], loc: Loc) -> str:
    """Say what may be written at a path of a model."""
    annotation, notes = _annotation_at(model, loc)
    if annotation is None:
        return "nothing"
    core, notes = _bare_type(annotation, notes)
    described = _described(notes) or _described_type(core, notes)
    limits = _limits(notes, _UNITS.get(described, ""))
    return f"{described}; {limits}" if limits else described


def _fields_at(model: type[BaseModel], loc: Loc) -> Mapping[str, FieldInfo]:
    annotation, notes = _annotation_at(model, loc)
    core, _ = _bare_type(annotation, notes)
    return core.model_fields if isinstance(core, type) and issubclass(core, BaseModel) else {}


def _words_at(model: type[BaseModel], loc: Loc) -> list[str]:
    core, _ = _bare_type(*_annotation_at(model, loc))
    return [str(word) for word in get_args(core)] if get_origin(core) is Literal else []


def _annotation_at(model: type[BaseModel], loc: Loc) -> tuple[Any, tuple[Any, ...]]:
    annotation: Any = model
    notes: tuple[Any, ...] = ()
    for step in loc:
        core, _ = _bare_type(annotation, notes)
        if isinstance(core, type) and issubclass(core, BaseModel):
            info = core.model_fields.get(str(step))
            if info is None:
                return None, ()
            annotation, notes = info.annotation, tuple(info.metadata)
        elif get_origin(core) is tuple:
            parts = get_args(core)
            several = len(parts) == 2 and parts[1] is Ellipsis
            if not isinstance(step, int) or (not several and step >= len(parts)):
                return None, ()
            annotation, notes = parts[0] if several else parts[step], ()
        elif get_origin(core) is dict:
            key, value = get_args(core)
            annotation, notes = key if step == _KEY else value, ()
        else:
            return None, ()
    return annotation, notes


def _bare_type(annotation: Any, notes: tuple[Any, ...]) -> tuple[Any, tuple[Any, ...]]:
    while True:
        origin = get_origin(annotation)
        if origin is Annotated:
            annotation, *more = get_args(annotation)
            for note in more:
                notes += tuple(note.metadata) if isinstance(note, FieldInfo) else (note,)
        elif origin in (Union, types.UnionType):
            annotation = next(part for part in get_args(annotation) if part is not type(None))
        else:
            return annotation, notes


def _described(notes: tuple[Any, ...]) -> str | None:
    for note in notes:
        if isinstance(note, WithJsonSchema) and note.json_schema:
            return str(note.json_schema["description"])
    return None


def _described_type(core: Any, notes: tuple[Any, ...]) -> str:
    if get_origin(core) is Literal:
        *first, last = (str(word) for word in get_args(core))
        return f"{', '.join(first)} or {last}" if first else last
    if get_origin(core) is tuple:
        parts = get_args(core)
        if parts[-1] is not Ellipsis:
            return f"a list of {len(parts)}"
        of, _ = _bare_type(parts[0], ())
        return f"a list of {_described_type(of, ())}" if get_origin(of) is Literal else "a list"
    if isinstance(core, type) and issubclass(core, BaseModel):
        return f"fields {', '.join(core.model_fields)}"
    if get_origin(core) is dict:
        return "names, each with a value"
    if core is str:
        patterned = any(getattr(note, "pattern", None) for note in notes)
        letters = " of plain letters, digits, spaces, dots, dashes and underscores"
        return f"a name{letters if patterned else ''}"
    words = {bool: "true or false", int: "a whole number", float: "a number"}
    return words.get(core, "a value")


def _limits(notes: tuple[Any, ...], unit: str) -> str:
    words = []
    for note in notes:
        if isinstance(note, annotated_types.Gt):
            words.append(f"over {_size(note.gt, unit)}")
        elif isinstance(note, annotated_types.Ge):
            words.append(f"at least {_size(note.ge, unit)}")
        elif isinstance(note, annotated_types.Lt):
            words.append(f"under {_size(note.lt, unit)}")
        elif isinstance(note, annotated_types.Le):
            words.append(f"at most {_size(note.le, unit)}")
        elif isinstance(note, annotated_types.MinLen):
            words.append(f"at least {note.min_length} long")
        elif isinstance(note, annotated_types.MaxLen):
            words.append(f"at most {note.max_length} long")
    return ", ".join(dict.fromkeys(words))


def _size(limit: Any, unit: str) -> str:
    return f"{limit:,.12g}{unit}" if limit else "0"
