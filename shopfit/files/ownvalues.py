"""Reads a user's own values on top of a rulebook: a wider aisle, a lower counter."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from shopfit import standards
from shopfit.errors import Fault, InputFaults
from shopfit.files.documents import Document, read_yaml
from shopfit.files.wording import nearest, shortened
from shopfit.model.ownvalues import OwnValue, OwnValues
from shopfit.model.scenario import Shop
from shopfit.standards.rulebook import UNITS, Requirement, Rulebook, Unit, measure
from shopfit.units import LENGTH_HELP, TOLERANCE_MM, format_length

FIELDS = ("title", "based_on", "values")
ROW_FIELDS = ("key", "length", "ratio", "value", "unit", "why")
_WRITTEN: Mapping[Unit, str] = {
    "mm": f"length: {LENGTH_HELP}",
    "rise/run": 'ratio: a slope such as "1:20"',
}
_STRICTER = {"min": "at least", "under": "at least", "up to": "at least"}


def read_own_values(path: Path) -> Rulebook:
    """Read a file of own values.

    Parameters
    ----------
    path
        A YAML file with a title, the rulebook that it is based on, and values by the keys of that
        rulebook. Own values may only ask for more than published ones.

    Raises
    ------
    InputFaults
        With every fault of the file.
    """
    if not path.is_file():
        mend = f"Name a file, or a rulebook: {', '.join(standards.names())}."
        raise InputFaults([Fault(path.name, "whole file", "nothing", "a file of values", mend)])
    document, faults = read_yaml(path)
    if document.data is None:
        raise InputFaults(faults)
    base = _base(document, document.data, faults)
    own, more = _values(document, base)
    faults += more
    if faults or base is None:
        raise InputFaults(document.placed(fault) for fault in faults)
    book = standards.with_own(base.name, own, document.file)
    return book.with_own(path.stem, book.title, ())


def scenario_values(document: Document, rulebook: str | None) -> tuple[OwnValues, list[Fault]]:
    """Read the own values of a scenario.

    Parameters
    ----------
    document
        The file as read.
    rulebook
        The rulebook of the shop, or none where that is lost; ``based_on`` may be left out, and
        must be the same where it is given.

    Returns
    -------
    The values that can be read, and the faults.
    """
    if document.data is None:
        return OwnValues(), []
    faults: list[Fault] = []
    data: dict[str, Any] = document.data
    base = standards.load(rulebook) if rulebook in standards.names() and rulebook else None
    given = data.get("based_on")
    if given is not None and (base is None or given != base.name):
        found = _base(document, data, faults)
        if found is not None and base is not None:
            faults.append(
                Fault(
                    document.file,
                    "based_on",
                    shortened(given),
                    f"{base.name}, the rulebook of shop.yaml",
                    "Take the line out, or change one of the two.",
                )
            )
        base = base or found
    own, more = _values(document, base)
    return own, faults + more


def too_wide_for_brief(file: str, own: OwnValues, shop: Shop) -> Iterator[Fault]:
    """Find own widths of ways that the aisles of the brief do not keep to.

    Fixtures are placed by the brief, so that a wider way of one's own has to be in it.
    """
    rows = (
        ("route-width", "aisle", shop.brief.aisle),
        ("exit-width", "staff_aisle", shop.brief.staff_aisle),
    )
    for key, field, width in rows:
        for one in own.values:
            if one.key == key and one.value > width + TOLERANCE_MM:
                yield Fault(
                    file,
                    f"values > {key}",
                    one.written,
                    f"at most {format_length(width, shop.units)}, the {field} of the brief",
                    f"Write brief > {field} in shop.yaml as {one.written} or more.",
                )


def _values(document: Document, base: Rulebook | None) -> tuple[OwnValues, list[Fault]]:
    data: dict[str, Any] = document.data
    faults = list(_unknown_fields(document, data))
    rows = data.get("values")
    if not isinstance(rows, list) or not rows:
        faults.append(
            Fault(
                document.file,
                "values",
                shortened(rows),
                "a list of own values",
                "Give at least one, such as - {key: route-width, length: 44 in}.",
            )
        )
        rows = []
    own: dict[str, OwnValue] = {}
    for number, row in enumerate(rows, start=1):
        # Where the base is at fault, the values are looked through all the same.
        where = f"values > {_called(row, number)}"
        found = _own(document.file, where, row, base or standards.load("us"), own)
        if isinstance(found, OwnValue):
            own[found.key] = found
        else:
            faults += found
    title = data.get("title")
    named = title if isinstance(title, str) else ""
    return OwnValues(title=named, values=tuple(own.values())), faults


def _called(row: Any, number: int) -> str:
    key = row.get("key") if isinstance(row, dict) else None
    return str(key) if isinstance(key, str) else f"item {number}"


def _unknown_fields(document: Document, data: Mapping[str, Any]) -> Iterator[Fault]:
    for field in data:
        if field not in FIELDS:
            allowed = f"the fields {', '.join(FIELDS)}"
            yield Fault(document.file, field, field, allowed, nearest(field, FIELDS, ""))
    title = data.get("title")
    if title is not None and not isinstance(title, str):
        yield Fault(document.file, "title", shortened(title), "a name", "Write one line of text.")


def _base(document: Document, data: Mapping[str, Any], faults: list[Fault]) -> Rulebook | None:
    name = data.get("based_on")
    if isinstance(name, str) and name in standards.names():
        return standards.load(name)
    faults.append(
        Fault(
            document.file,
            "based_on",
            shortened(name),
            f"the name of a rulebook: {', '.join(standards.names())}",
            nearest(str(name), standards.names(), "Use us.") if name else "Add based_on: us.",
        )
    )
    return None


def _own(
    file: str, where: str, row: Any, base: Rulebook, known: Mapping[str, OwnValue]
) -> OwnValue | list[Fault]:
    if not isinstance(row, dict):
        allowed = "a key and a value, such as {key: route-width, length: 44 in}"
        return [Fault(file, where, shortened(row), allowed, "Write it with field names.")]
    faults = [
        Fault(
            file,
            f"{where} > {field}",
            field,
            f"the fields {', '.join(ROW_FIELDS)}",
            nearest(field, ROW_FIELDS, "Take it out."),
        )
        for field in row
        if field not in ROW_FIELDS
    ]
    key = row.get("key")
    if not isinstance(key, str) or key not in base:
        keys = [each.key for each in base]
        mend = nearest(str(key), keys, "") if key else "Name the value that is replaced."
        allowed = f"a key of the rulebook {base.name}; `shopfit values {base.name}` lists them"
        return [*faults, Fault(file, f"{where} > key", shortened(key), allowed, mend)]
    if key in known:
        mend = "Keep one of the two."
        faults.append(Fault(file, where, f"{key} a second time", "each key once", mend))
    published = base.requirement(key)
    value = _value(file, where, row, published)
    if isinstance(value, Fault):
        return [*faults, value]
    number, written = value
    if not published.as_strict(number):
        limit = _STRICTER.get(published.comparator, "at most")
        faults.append(
            Fault(
                file,
                where,
                written,
                f"{limit} {published.written}, as {published.clause} has it",
                "Own values may ask for more than published ones, never for less.",
            )
        )
    why = str(row.get("why") or "")
    return faults or OwnValue(key=published.key, value=number, written=written, why=why)


def _value(
    file: str, where: str, row: Mapping[str, Any], published: Requirement
) -> tuple[float, str] | Fault:
    units = [name for name, (unit, _) in UNITS.items() if unit == published.unit]
    allowed = _WRITTEN.get(published.unit, f"value: a number, and unit: {' or '.join(units)}")
    given = {field: row[field] for field in ("length", "ratio", "value", "unit") if field in row}
    shown = ", ".join(f"{field}: {text}" for field, text in given.items()) or "no value"
    wrong = Fault(
        file, where, f"'{shown}'", allowed, f"The published value is {published.written}."
    )
    try:
        value, unit, written = measure(given)
    except (KeyError, TypeError, ValueError, ZeroDivisionError):
        return wrong
    fields = {"mm": {"length"}, "rise/run": {"ratio"}}.get(unit, {"value", "unit"})
    if unit != published.unit or set(given) != fields or not 0 <= value < 1e9:
        return wrong
    return value, written
