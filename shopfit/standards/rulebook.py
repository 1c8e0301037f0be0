"""Reads rulebooks: requirements as data, each with clause, edition, source and confidence."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from importlib import resources
from typing import Any, Literal

import yaml

from shopfit.units import parse_length

Comparator = Literal["min", "max", "above", "under", "up to"]
Confidence = Literal["read", "second-hand", "memory"]


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
        The limit: mm where the unit is ``mm``, rise over run where it is ``rise/run``.
    unit
        ``mm`` or ``rise/run``.
    comparator
        ``min`` and ``max`` are met at equality; ``above`` and ``under`` say strictly where a
        rule begins, ``up to`` where it ends.
    clause
        Clause, with the standard's short title.
    edition, source
        Edition of the text, and where its text was seen.
    confidence
        ``read``, ``second-hand`` or ``memory``.
    printed
        The rounded figure of the other unit system in the published text; a label only.
    """

    key: str
    quantity: str
    value: float
    unit: Literal["mm", "rise/run"]
    comparator: Comparator
    clause: str
    edition: str
    source: str
    confidence: Confidence
    printed: str = ""


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

    def _value(self, key: str, unit: str) -> float:
        found = self.requirement(key)
        if found.unit != unit:
            raise KeyError(f"{key!r} is in {found.unit}, not in {unit}")
        return found.value


def names() -> tuple[str, ...]:
    """List the rulebooks there are, in alphabetical order."""
    files = resources.files("shopfit.standards").iterdir()
    return tuple(sorted(f.name[:-5] for f in files if f.name.endswith(".yaml")))


@cache
def load(name: str) -> Rulebook:
    """Load a rulebook.

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
    text = resources.files("shopfit.standards").joinpath(f"{name}.yaml").read_text("utf-8")
    data = yaml.safe_load(text)
    requirements: dict[str, Requirement] = {}
    if "based_on" in data:
        requirements.update({found.key: found for found in load(data["based_on"])})
    without: dict[str, str] = {}
    for gap in data.get("without", ()):
        for key in gap["keys"]:
            requirements.pop(key, None)
            without[key] = gap["why"]
    for row in data["requirements"]:
        found = _requirement(row, data["standards"][row["standard"]])
        requirements[found.key] = found
    return Rulebook(name, data["title"], requirements, without)


def _requirement(row: Mapping[str, Any], standard: Mapping[str, str]) -> Requirement:
    if "ratio" in row:
        rise, _, run = str(row["ratio"]).partition(":")
        value, unit = float(Fraction(rise) / Fraction(run)), "rise/run"
    else:
        value, unit = parse_length(row["length"]), "mm"
    return Requirement(
        key=row["key"],
        quantity=row["quantity"],
        value=value,
        unit="mm" if unit == "mm" else "rise/run",
        comparator=row["comparator"],
        clause=f"{standard['title']}, {row['clause']}",
        edition=standard["edition"],
        source=standard["source"],
        confidence=row["confidence"],
        printed=row.get("printed", ""),
    )
