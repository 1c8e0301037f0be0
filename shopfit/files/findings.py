"""Writes findings with their numbers: as comma-separated text, and as data for scripts."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from operator import attrgetter
from typing import Any

from shopfit import gathering, standards, wording
from shopfit.files.columns import Cell, Column, PlainColumn, rounded, shown_length, with_units
from shopfit.files.tables import plain_csv
from shopfit.model.base import plain
from shopfit.model.finding import Finding
from shopfit.model.scenario import Scenario
from shopfit.units import LengthStyle


@dataclass(frozen=True)
class _Row:
    number: int
    finding: Finding


def findings_csv(findings: Iterable[Finding], units: LengthStyle) -> str:
    """Write findings as comma-separated text (RFC 4180), in the order of their numbers.

    Parameters
    ----------
    findings
        In any order.
    units
        How the shop writes lengths.
    """
    ordered = gathering.in_order(findings)
    rows = [_Row(number, finding) for number, finding in enumerate(ordered, start=1)]
    return plain_csv(_columns(units), rows)


def findings_json(data: dict[str, Any]) -> str:
    """Write what `findings_data` gives as text."""
    return json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def findings_data(scenario: Scenario, findings: Iterable[Finding]) -> dict[str, Any]:
    """Give findings as plain data: counts, rulebook, every finding with its number, cautions.

    Parameters
    ----------
    scenario
        What was checked against.
    findings
        In any order; they come out in the order of their numbers.
    """
    ordered = gathering.in_order(findings)
    return {
        "scenario": scenario.folder,
        "shop": scenario.shop.name,
        "verdict": wording.verdict(ordered),
        "counts": wording.severity_counts(ordered),
        "rulebook": _rulebook(scenario),
        "findings": [
            {"number": number, **plain(finding)} for number, finding in enumerate(ordered, start=1)
        ],
        "caution": wording.CAUTION,
        "cautions": [{"about": about, "text": text} for about, text in wording.CAUTIONS],
    }


def _rulebook(scenario: Scenario) -> dict[str, Any]:
    name = scenario.shop.rulebook
    known = name in standards.names()
    if not known:
        return {"name": name, "title": "", "editions": [], "own_values": []}
    book = standards.of(scenario)
    editions = dict.fromkeys((one.standard, one.edition) for one in book if one.standard)
    return {
        "name": name,
        "title": book.title,
        "editions": [{"standard": text, "edition": edition} for text, edition in editions],
        "own_values": [
            {"key": one.key, "value": one.written, "clause": one.clause}
            for one in book
            if one.confidence == "own"
        ],
    }


def _columns(style: LengthStyle) -> tuple[PlainColumn, ...]:
    def amount(finding: Finding, size: float | None) -> str | None:
        if size is None:
            return None
        if finding.unit == "mm":
            return shown_length(size, style)
        return wording.amount(size, finding.unit, style, "money").replace("-", "−")

    def text(header: str, name: str) -> PlainColumn:
        return PlainColumn(header, attrgetter(f"finding.{name}"), "text")

    def written(header: str, name: str) -> PlainColumn:
        read = attrgetter(name)
        return PlainColumn(header, lambda row: amount(row.finding, read(row.finding)), "text")

    def number(header: str, name: str) -> PlainColumn:
        return PlainColumn(header, rounded(attrgetter(f"finding.{name}"), 3), "count")

    height = Column("Height above finished floor", attrgetter("finding.height_mm"), "length")
    return (
        PlainColumn("No.", attrgetter("number"), "count"),
        text("Check", "code"),
        text("Severity", "severity"),
        text("About", "subject"),
        text("Found", "message"),
        text("What to do", "mend"),
        written("Required", "required"),
        written("Measured", "measured"),
        written("Margin", "margin"),
        number("Required, as a number", "required"),
        number("Measured, as a number", "measured"),
        number("Margin, as a number", "margin"),
        text("Unit of the numbers", "unit"),
        text("Clause", "clause"),
        text("Source", "source"),
        text("How far the source is known", "confidence"),
        PlainColumn("Place, east (mm)", _part_of_place(0), "length"),
        PlainColumn("Place, north (mm)", _part_of_place(1), "length"),
        text("Wall", "wall"),
        *with_units(height, style, ""),
    )


def _part_of_place(index: int) -> Callable[[Any], Cell]:
    def coordinate(row: Any) -> float | None:
        place: tuple[float, float] | None = row.finding.at_mm
        return place[index] if place else None

    return rounded(coordinate, 2)
