"""A study: one or several scenarios, each solved under many changes, and what came of it."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field, WithJsonSchema

from shopfit.model.base import Frozen, Name

CaseStatus = Literal["layout", "no layout", "stopped", "failed"]

_VALUE: dict[str, Any] = {
    "type": ["string", "number", "boolean", "null"],
    "description": "one value, written as in the scenario's own files",
}
_VALUES = {
    "type": "array",
    "minItems": 1,
    "items": _VALUE,
    "description": "a list of values, such as [36 in, 42 in]",
}
_CHANGES = {
    "type": "object",
    "additionalProperties": _VALUE,
    "description": "fields and their values, such as brief.aisle: 36 in",
}
_LISTS = {
    "type": "object",
    "additionalProperties": _VALUES,
    "description": "fields, each with a list of values, such as brief.aisle: [36 in, 42 in]",
}

Written = Annotated[str | int | float | bool | None, WithJsonSchema(_VALUE)]
Values = Annotated[tuple[Written, ...], Field(min_length=1), WithJsonSchema(_VALUES)]
Changes = Annotated[dict[str, Written], WithJsonSchema(_CHANGES)]
Lists = Annotated[dict[str, Values], WithJsonSchema(_LISTS)]


class NamedCase(Frozen):
    """One case with a name of its own.

    Parameters
    ----------
    name
        What it is called in tables, and its folder.
    scenario
        The scenario folder, as listed in the study; every one of them if left out.
    set
        Its changes, on top of those of the whole study.
    """

    name: Name
    scenario: str | None = None
    set: Changes = Field(default_factory=dict)


class Study(Frozen):
    """What a study's file holds.

    A field is written as ``brief.aisle``, ``brief.wanted.<fixture or kind>.at_least``,
    ``catalogue.<id>.price``, ``range.<line>.max_facings``, ``rulebook``, or one of ``seconds``,
    ``workers``, ``seed`` and ``gap`` for the search itself.

    Parameters
    ----------
    name
        What is asked, for titles.
    scenarios
        Scenario folders, as paths from the folder of this file.
    set
        Changes in every case.
    vary
        Fields with the values to be tried; every combination of them is a case.
    cases
        Cases with names, besides those combinations.
    """

    name: Annotated[str, Field(min_length=1, max_length=80)] = "Study"
    scenarios: Annotated[tuple[str, ...], Field(min_length=1)]
    set: Changes = Field(default_factory=dict)
    vary: Lists = Field(default_factory=dict)
    cases: tuple[NamedCase, ...] = ()


class CaseRow(Frozen):
    """What came of one case.

    Parameters
    ----------
    case, folder
        Its name, and the folder its layout is in.
    key
        Digest of everything that the answer follows from.
    scenario, currency
        Its scenario, and the currency of its cost.
    changes
        What was changed, as written in the study.
    status
        ``layout``, ``no layout``, ``stopped`` before its end, or ``failed``.
    objective
        What was made largest.
    facings, value, worth
        Facings, their value, and what the objective came to.
    bound, gap
        What no layout exceeds on the positions tried, and the distance to it as a part of it.
    cost
        Money in all.
    violations
        Values checked that the layout does not meet.
    seconds
        How long it took.
    proved, repeatable
        Whether worth equals bound, and whether the same search gives the same layout again.
    message
        Why there is no layout, or what failed.
    digest
        Of the layout's text as it was written down, so that a changed one is not believed.
    """

    case: str
    folder: str
    key: str
    scenario: str
    currency: str = ""
    changes: dict[str, Written] = Field(default_factory=dict)
    status: CaseStatus
    objective: str = ""
    facings: int | None = None
    value: float | None = None
    worth: float | None = None
    bound: float | None = None
    gap: float | None = None
    cost: float | None = None
    violations: int | None = None
    seconds: float = 0.0
    proved: bool = False
    repeatable: bool = False
    message: str = ""
    digest: str = ""
