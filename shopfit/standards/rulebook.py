"""Reads rulebooks: requirements as data, each with clause, edition, source and confidence."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from importlib import resources
from typing import Any, Literal

import yaml

from shopfit.units import INCH_MM, POUND_KG, TOLERANCE_MM, parse_length

Comparator = Literal["min", "max", "above", "under", "up to"]
Confidence = Literal["read", "second-hand", "memory", "common practice, no source", "own"]
Unit = Literal["mm", "rise/run", "m2", "kg", "kg/m", "kPa", "kN/m", "N", "s", "count", "percent"]

GRAVITY = 9.80665  # m/s2, standard gravity (3rd CGPM, 1901)
_FOOT_M = INCH_MM * 12 / 1000
# What values are written in, and what they are in the unit of the house.
UNITS: Mapping[str, tuple[Unit, float]] = {
    "sq ft": ("m2", _FOOT_M**2),
    "sq m": ("m2", 1.0),
    "lb": ("kg", POUND_KG),
    "kg": ("kg", 1.0),
    "lb/ft": ("kg/m", POUND_KG / _FOOT_M),
    "psf": ("kPa", POUND_KG * GRAVITY / _FOOT_M**2 / 1000),
    "plf": ("kN/m", POUND_KG * GRAVITY / _FOOT_M / 1000),
    "lbf": ("N", POUND_KG * GRAVITY),
    "N": ("N", 1.0),
    "s": ("s", 1.0),
    "count": ("count", 1.0),
    "percent": ("percent", 1.0),
}


@dataclass(frozen=True)
class Requirement:
    """One published value.

    Parameters
    ----------
    key
        Its name in the rulebook, such as ``route-width``.
    quantity
        What is measured, in words.
    value
        The limit, in its unit.
    unit
        ``mm``, ``rise/run``, ``m2``, ``kg``, ``kg/m``, ``kPa``, ``kN/m``, ``N``, ``s``, ``count``
        or ``percent``.
    comparator
        ``min`` and ``max`` are met at equality; ``above`` and ``under`` say strictly where a
        rule begins, ``up to`` where it ends.
    clause
        Clause, with the standard's short title.
    edition, source
        Edition of the text, and where its text was seen.
    confidence
        ``read``, ``second-hand``, ``memory``, ``common practice, no source``, or ``own`` for a
        value that the user sets.
    printed
        The rounded figure of the other unit system in the published text; a label only.
    written
        The value as it is published, such as ``48 in`` or ``100 psf``.
    standard
        Short title of the standard.
    """

    key: str
    quantity: str
    value: float
    unit: Unit
    comparator: Comparator
    clause: str
    edition: str
    source: str
    confidence: Confidence
    printed: str = ""
    written: str = ""
    standard: str = ""

    @property
    def slack(self) -> float:
        """The tolerance that a measure may miss it by, in its unit."""
        return TOLERANCE_MM if self.unit == "mm" else 1e-9 * max(1.0, abs(self.value))

    def holds(self, measured: float) -> bool:
        """Say whether a measure stands to the value as the comparator says, within the tolerance.

        Touching is meeting: at the value ``min``, ``max`` and ``up to`` hold, ``above`` and
        ``under`` do not.
        """
        spare = measured - self.value
        if self.comparator == "min":
            return spare >= -self.slack
        if self.comparator == "above":
            return spare > self.slack
        if self.comparator == "under":
            return spare < -self.slack
        return spare <= self.slack

    def margin(self, measured: float) -> float:
        """Give how far a measure is on the right side of the value; negative if it misses."""
        return (
            measured - self.value if self.comparator in ("min", "above") else self.value - measured
        )

    def as_strict(self, value: float) -> bool:
        """Say whether another value, in the same unit, asks for as much as this one or for more.

        A limit from which something is asked for is stricter where that begins sooner.
        """
        spare = value - self.value
        least = self.comparator in ("min", "under", "up to")
        return spare >= -self.slack if least else spare <= self.slack


@dataclass(frozen=True)
class Outcome:
    """A measure set against a value.

    Parameters
    ----------
    requirement
        The value.
    measured
        What was measured, in the unit of the value.
    """

    requirement: Requirement
    measured: float

    @property
    def met(self) -> bool:
        """Whether the value is met."""
        return self.requirement.holds(self.measured)

    @property
    def margin(self) -> float:
        """How far it is met; under nought if it is missed."""
        return self.requirement.margin(self.measured)


class Rulebook:
    """Requirements by key.

    Parameters
    ----------
    name, title
        Short name, and the name that people read.
    requirements
        By key.
    without
        Why it has no value for some keys of other rulebooks, in words, by key.
    """

    def __init__(
        self,
        name: str,
        title: str,
        requirements: Mapping[str, Requirement],
        without: Mapping[str, str] | None = None,
    ) -> None:
        self.name = name
        self.title = title
        self._requirements = dict(requirements)
        self._without = dict(without or {})

    def __iter__(self) -> Iterator[Requirement]:
        """Go through the requirements in the order of the data."""
        return iter(self._requirements.values())

    def __contains__(self, key: object) -> bool:
        """Say whether there is a value by this key."""
        return key in self._requirements

    def requirement(self, key: str) -> Requirement:
        """Give a requirement; raises KeyError with the key and the rulebook."""
        try:
            return self._requirements[key]
        except KeyError:
            raise KeyError(f"the rulebook {self.name!r} has no value {key!r}") from None

    def why_without(self, *keys: str) -> str:
        """Say why some value is not there; empty where all of them are."""
        for key in keys:
            if key not in self:
                return self._without.get(key, f"the rulebook {self.title} has no value for it")
        return ""

    def mm(self, key: str) -> float:
        """Give a length, mm.

        Raises
        ------
        KeyError
            If the rulebook has no such value, or it is not a length.
        """
        return self._value(key, "mm")

    def slope(self, key: str) -> float:
        """Give a slope as rise over run.

        Raises
        ------
        KeyError
            If the rulebook has no such value, or it is not a slope.
        """
        return self._value(key, "rise/run")

    def number(self, key: str, unit: Unit) -> float:
        """Give a value in another unit.

        Raises
        ------
        KeyError
            If the rulebook has no such value, or it is not in this unit.
        """
        return self._value(key, unit)

    def outcome(self, key: str, measured: float) -> Outcome:
        """Set a measure, in the unit of the value, against a value; raises KeyError."""
        return Outcome(self.requirement(key), measured)

    def with_own(self, name: str, title: str, own: Iterable[Requirement]) -> Rulebook:
        """Give this rulebook with some values replaced by the user's own.

        Parameters
        ----------
        name, title
            Of the new rulebook.
        own
            Values by keys of this one.

        Raises
        ------
        KeyError
            If a key is not one of this rulebook.
        """
        replaced = {found.key: found for found in own}
        for key in replaced:
            self.requirement(key)
        return Rulebook(name, title, {**self._requirements, **replaced}, self._without)

    def _value(self, key: str, unit: str) -> float:
        found = self.requirement(key)
        if found.unit != unit:
            raise KeyError(f"{key!r} is in {found.unit}, not in {unit}")
        return found.value


def names() -> tuple[str, ...]:
    """List the rulebooks there are, in alphabetical order."""
    folders = resources.files("shopfit.standards").iterdir()
    return tuple(sorted(f.name for f in folders if f.joinpath("rulebook.yaml").is_file()))


@cache
def load(name: str) -> Rulebook:
    """Load a rulebook: a folder with ``rulebook.yaml`` and any number of other files of values.

    Parameters
    ----------
    name
        Such as ``us``.

    Raises
    ------
    KeyError
        If there is no such rulebook; the message lists those there are.
    """
    if name not in names():
        raise KeyError(f"there is no rulebook {name!r}; there are: {', '.join(names())}")
    folder = resources.files("shopfit.standards").joinpath(name)
    files = sorted((f for f in folder.iterdir() if f.name.endswith(".yaml")), key=lambda f: f.name)
    parts = [yaml.load(f.read_text("utf-8"), Loader=_loader()) for f in files]
    about = next(part for part in parts if "title" in part)
    requirements: dict[str, Requirement] = {}
    if "based_on" in about:
        requirements.update({found.key: found for found in load(about["based_on"])})
    without: dict[str, str] = {}
    for gap in about.get("without", ()):
        for key in gap["keys"]:
            requirements.pop(key, None)
            without[key] = gap["why"]
    standards = {key: text for part in parts for key, text in part.get("standards", {}).items()}
    own: dict[str, Requirement] = {}
    for row in (row for part in parts for row in part.get("requirements", ())):
        found = _requirement(row, standards[row["standard"]])
        if found.key in own:
            raise ValueError(f"the rulebook {name!r} gives {found.key!r} twice")
        own[found.key] = found
    return Rulebook(name, about["title"], {**requirements, **own}, without)


def _loader() -> Any:
    return getattr(yaml, "CSafeLoader", yaml.SafeLoader)


def own_value(
    published: Requirement, value: float, written: str, why: str, source: str
) -> Requirement:
    """Give a user's own value in place of a published one.

    Parameters
    ----------
    published
        The value replaced.
    value, written
        The new value in the unit of the old one, and as the user wrote it.
    why
        The user's reason, or nothing.
    source
        The user's file.
    """
    reason = f" ({why})" if why else ""
    return replace(
        published,
        value=value,
        clause=f"own value{reason}; published: {published.written}, {published.clause}",
        edition="own",
        source=source,
        confidence="own",
        printed="",
        written=written,
    )


def measure(row: Mapping[str, Any]) -> tuple[float, Unit, str]:
    """Read the value of a row: number, unit of the house, and as written.

    Parameters
    ----------
    row
        With one of ``length``, ``ratio``, or ``value`` and ``unit``.

    Raises
    ------
    UnitError
        If a length cannot be read.
    ValueError
        If a number or ratio cannot be read.
    KeyError
        If the row has none of them, or the unit is unknown.
    """
    if "ratio" in row:
        rise, _, run = str(row["ratio"]).partition(":")
        return float(Fraction(rise) / Fraction(run)), "rise/run", str(row["ratio"])
    if "length" in row:
        return parse_length(row["length"]), "mm", str(row["length"])
    unit, factor = UNITS[row["unit"]]
    written = str(row["value"]) if unit == "count" else f"{row['value']} {row['unit']}"
    return float(row["value"]) * factor, unit, written


def _requirement(row: Mapping[str, Any], standard: Mapping[str, str]) -> Requirement:
    value, unit, written = measure(row)
    return Requirement(
        key=row["key"],
        quantity=row["quantity"],
        value=value,
        unit=unit,
        comparator=row["comparator"],
        clause=standard["title"] + (f", {row['clause']}" if row["clause"] != "none" else ""),
        edition=standard["edition"],
        source=standard["source"],
        confidence=row["confidence"],
        printed=row.get("printed", ""),
        written=written,
        standard=standard["title"],
    )
