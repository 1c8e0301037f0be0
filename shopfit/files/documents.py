"""Reads YAML as plain text values, with the line of every field and no surprises."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

import yaml

from shopfit.errors import Fault

YAML_BYTES = 2_000_000
DEPTH = 24
Loc = tuple[str | int, ...]

_NOTHING = ("", "~", "null", "Null", "NULL")
# What a list's items are called after where they have no id.
_LABELS: Mapping[str, tuple[str, ...]] = {
    "faces": ("side",),
    "keep": ("fixture",),
    "wanted": ("fixture", "kind"),
    "cases": ("name",),
    "values": ("key",),
}
_SINGULAR: Mapping[str, str] = {
    "corners": "corner",
    "heights": "height",
    "blocks": "block",
    "touch": "pair",
    "apart": "pair",
    "order": "list",
    "way": "point",
}
_OF_CATEGORIES = ("touch", "apart", "order")
_OF_POINTS = ("at", "corners", "start", "size", "way")


@dataclass(frozen=True)
class Document:
    """What a file holds, and where in the file.

    Parameters
    ----------
    file
        The file's name.
    data
        Mappings, lists, texts and nothing; numbers stay text as written.
    lines
        Line of each field and item, from 1, by its path.
    """

    file: str
    data: Any
    lines: Mapping[Loc, int] = field(default_factory=dict)

    def at(self, loc: Loc) -> Any:
        """Give what is written at a path, or none."""
        value = self.data
        for step in loc:
            try:
                value = value[step]
            except (KeyError, IndexError, TypeError):
                return None
        return value

    def name(self, loc: Loc) -> str:
        """Say a path in the user's names, such as ``doors > front > offset``."""
        words = [
            step if isinstance(step, str) else self._item(loc[:index], step)
            for index, step in enumerate(loc)
        ]
        return " > ".join(words) or "whole file"

    def placed(self, fault: Fault) -> Fault:
        """Add the line to a fault whose place is in this file."""
        where = fault.where
        while where and where not in self._named_lines:
            where = where.rpartition(" > ")[0]
        if not where:
            return fault
        line = self._named_lines[where]
        return Fault(
            fault.file, f"{fault.where} (line {line})", fault.given, fault.allowed, fault.mend
        )

    @cached_property
    def _named_lines(self) -> dict[str, int]:
        return {self.name(loc): line for loc, line in self.lines.items()}

    def _item(self, parent: Loc, index: int) -> str:
        group = next((step for step in reversed(parent) if isinstance(step, str)), "")
        item = self.at((*parent, index))
        if isinstance(item, dict):
            for key in _LABELS.get(group, ("id",)):
                if item.get(key) and isinstance(item[key], str | int):
                    return str(item[key])
        elif group in _OF_CATEGORIES and isinstance(parent[-1], int):
            return f"category {index + 1}"
        elif not isinstance(item, list) and parent and group in _OF_POINTS:
            names = ("width", "depth") if group == "size" else ("x", "y")
            return names[index] if index < len(names) else f"number {index + 1}"
        return f"{_SINGULAR.get(group, 'item')} {index + 1}"


def read_bytes(path: Path, limit: int, wanted: str = "a file that is there") -> bytes | Fault:
    """Read a whole file of limited size, or say why not.

    Parameters
    ----------
    path, limit
        Which file, and of at most how many bytes.
    wanted
        What is allowed where there is none.
    """
    try:
        size = path.stat().st_size
        if size > limit:
            return Fault(
                path.name,
                "whole file",
                f"{size:,} bytes",
                f"at most {limit:,} bytes",
                "Take out what does not belong in it.",
            )
        return path.read_bytes()
    except FileNotFoundError:
        mend = "See to the name of the file."
        return Fault(path.name, "whole file", "nothing", wanted, mend)
    except OSError as error:
        return Fault(
            path.name,
            "whole file",
            error.strerror or "an unreadable file",
            "a file that can be read",
            "Make it an ordinary file and see to its permissions.",
        )


def missing_part(file: str) -> Fault:
    """Say that a file of a scenario is missing."""
    return Fault(
        file,
        "whole file",
        "nothing",
        "a file of this name in the scenario folder",
        f"Add {file}; `shopfit new` writes one to start from.",
    )


def read_yaml(path: Path, wanted: str = "a file that is there") -> tuple[Document, list[Fault]]:
    """Read a YAML file whose top is a mapping.

    Parameters
    ----------
    path, wanted
        See `read_bytes`.

    Returns
    -------
    What it holds (an empty mapping where it cannot be read) and its faults.
    """
    raw = read_bytes(path, YAML_BYTES, wanted)
    if isinstance(raw, Fault):
        return Document(path.name, None), [raw]
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        return Document(path.name, None), [not_utf8(path.name, f"line {line}")]
    return parse_yaml(path.name, text)


def not_commas(file: str, names: Sequence[str], columns: Iterable[str]) -> Fault | None:
    """Say that a list is not separated by commas, or nothing where it may be."""
    if len(names) != 1 or not re.search(r"[;\t|]", names[0]):
        return None
    given = names[0] if len(names[0]) <= 60 else f"{names[0][:60]}…"
    return Fault(
        file,
        "row 1",
        f"'{given}'",
        f"columns separated by commas: {','.join(columns)}",
        "Save it again with commas between the cells.",
    )


def not_utf8(file: str, where: str) -> Fault:
    """Say that a file is not UTF-8."""
    return Fault(
        file,
        where,
        "a letter that is not UTF-8",
        "UTF-8 text",
        "Save the file again with the encoding UTF-8.",
    )


def parse_yaml(file: str, text: str) -> tuple[Document, list[Fault]]:
    """Read YAML text whose top is a mapping; see `read_yaml`."""
    builder = _Builder(file)
    try:
        data = builder.build(yaml.parse(text, Loader=_loader()))
    except _Refusal as refusal:
        return Document(file, None), [*builder.faults, refusal.fault]
    except yaml.YAMLError as error:
        return Document(file, None), [*builder.faults, _syntax(file, text, error)]
    if not isinstance(data, dict):
        fault = Fault(
            file,
            "whole file",
            "nothing" if data is None else "something without field names",
            "fields such as `name: ...`",
            "Write the fields at the left margin, each with a colon.",
        )
        return Document(file, None), [*builder.faults, fault]
    return Document(file, data, builder.lines), builder.faults


class _Refusal(Exception):  # noqa: N818 - carries a fault, is not one
    def __init__(self, fault: Fault) -> None:
        super().__init__(str(fault))
        self.fault = fault


class _Builder:
    """Builds values from parser events: texts stay as written, so ``no`` or ``1`` may be names."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.lines: dict[Loc, int] = {}
        self.faults: list[Fault] = []

    def build(self, events: Iterator[yaml.Event]) -> Any:
        data: Any = None
        documents = 0
        for event in events:
            if isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents > 1:
                    self._refuse(event, "a second document (---)", "one document", "Take out ---.")
                # A stream without text has no document and leaves nothing.
                data = self._value(next(events), events, ())
        return data

    def _value(self, event: yaml.Event, events: Iterator[yaml.Event], loc: Loc) -> Any:
        if getattr(event, "anchor", None):
            self._refuse(
                event,
                "an anchor or alias (& or *)",
                "every value written out",
                "Write the value again, or put the text in quotes.",
            )
        tag = getattr(event, "tag", None)
        if tag:
            self._refuse(event, f"a tag ({tag})", "plain values", "Take out the exclamation mark.")
        if len(loc) > DEPTH:
            self._refuse(event, "very deep nesting", f"{DEPTH} levels", "Check the brackets.")
        if isinstance(event, yaml.ScalarEvent):
            return None if event.implicit[0] and event.value in _NOTHING else event.value
        if isinstance(event, yaml.SequenceStartEvent):
            return self._list(events, loc)
        return self._mapping(events, loc)

    def _list(self, events: Iterator[yaml.Event], loc: Loc) -> list[Any]:
        items: list[Any] = []
        while not isinstance(event := next(events), yaml.SequenceEndEvent):
            here = (*loc, len(items))
            self.lines[here] = _line(event)
            items.append(self._value(event, events, here))
        return items

    def _mapping(self, events: Iterator[yaml.Event], loc: Loc) -> dict[str, Any]:
        fields: dict[str, Any] = {}
        while not isinstance(event := next(events), yaml.MappingEndEvent):
            key = self._value(event, events, (*loc, "?"))
            if not isinstance(key, str):
                self._refuse(
                    event,
                    "a field without a plain name",
                    "a name before the colon",
                    "Put texts with brackets or commas in quotes.",
                )
            here = (*loc, key)
            if key in fields:
                self.faults.append(
                    Fault(
                        self.file,
                        f"line {_line(event)}, {key}",
                        f"{key} a second time",
                        "each field once",
                        f"Take out one; the first stands in line {self.lines[here]}.",
                    )
                )
                self._value(next(events), events, (*loc, "?"))
                continue
            self.lines[here] = _line(event)
            fields[key] = self._value(next(events), events, here)
        return fields

    def _refuse(self, event: yaml.Event, given: str, allowed: str, mend: str) -> None:
        line = _line(event)
        raise _Refusal(Fault(self.file, f"line {line}", given, allowed, mend))


def _line(event: yaml.Event) -> int:
    return event.start_mark.line + 1 if event.start_mark else 1


def _loader() -> Any:
    return getattr(yaml, "CSafeLoader", yaml.SafeLoader)


def _syntax(file: str, text: str, error: yaml.YAMLError) -> Fault:
    lines = text.splitlines() or [""]
    context = str(getattr(error, "context", None) or "")
    unclosed = next((word for word in ("quoted", "flow") if word in context), None)
    mark = getattr(error, "context_mark" if unclosed else "problem_mark", None)
    number = min(mark.line + 1, len(lines)) if mark else 1
    written = lines[number - 1].strip()
    given = f"'{written[:60]}'" if written else "nothing"
    allowed = "a field and its value, indented like its neighbours"
    mend = (
        "Look here and one line above for uneven indentation, an open quote or bracket, or a "
        "missing space after a colon."
    )
    if isinstance(error, yaml.reader.ReaderError):
        number = text.count("\n", 0, int(error.position)) + 1
        given, allowed = "a control character", "printable text"
        mend = "Type the line again without the invisible character."
    elif any("\t" in _margin(line) for line in lines[max(number - 2, 0) : number]):
        given, allowed = "a tab before the text", "spaces before the text"
        mend = "Replace the tab by spaces, as many as in the lines around it."
    elif unclosed == "quoted":
        allowed, mend = "quotes in pairs", "Close the quote that opens here."
    elif unclosed == "flow":
        allowed = "brackets in pairs, with commas between what they hold"
        mend = "Look from here on for a missing comma, a missing bracket or a text to be quoted."
    return Fault(file, f"line {number}", given, allowed, mend)


def _margin(line: str) -> str:
    return line[: len(line) - len(line.lstrip())]
