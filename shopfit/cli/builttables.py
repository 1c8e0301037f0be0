"""Tables of a finished shop for the terminal: what drifted, what is passed, what is left."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.table import Table
from rich.text import Text

from shopfit import gathering, wording
from shopfit.cli.tables import findings_table, plain_table
from shopfit.files.measured import room_words
from shopfit.model.finding import Finding
from shopfit.model.measured import AsBuilt, Drift, Room
from shopfit.model.scenario import Scenario
from shopfit.units import LengthStyle, format_length

if TYPE_CHECKING:
    from rich.console import Console

_APART_MM = 1.0  # less than a tape tells


def show_as_built(screen: Console, scenario: Scenario, found: AsBuilt) -> None:
    """Print every measure, then what is new as built, then the caution."""
    screen.print(measures_table(scenario, found))
    if found.unmeasured:
        blank = found.unmeasured
        rows = "1 row of the list was" if blank == 1 else f"{blank} rows of the list were"
        screen.print(f"{rows} left blank.")
    for title, findings in (
        ("Limits passed as built", found.passed),
        ("Cannot stand as measured; measure what is beside it too", found.clashing),
    ):
        if findings:
            screen.print(_new(scenario, title, findings, found.findings))
    if found.differing:
        kinds = gathering.entries(found.differing, alike=1)
        told = ", ".join(f"{len(one.findings)} × {one.worst.code}" for one in kinds)
        screen.print(f"Not exactly as drawn, with no limit passed: {told}.")
    screen.print(verdict(found))
    screen.print(Text(wording.CAUTION, style="dim"))


def verdict(found: AsBuilt) -> str:
    """Say in one sentence what the measures come to."""
    if not found.passed and not found.clashing:
        return "As measured, no limit is passed that the layout kept to."
    parts = []
    if found.passed:
        count = len(found.passed)
        parts.append(f"{count} limit{'s are' if count != 1 else ' is'} passed")
    if found.clashing:
        parts.append("some measures do not go together")
    return f"As measured, {' and '.join(parts)}."


def measures_table(scenario: Scenario, found: AsBuilt) -> Table:
    """Give every measure as planned and as built, and how much further it may drift."""
    style = scenario.shop.units
    table = plain_table(
        "As built",
        [
            ("measure", False),
            ("planned", True),
            ("measured", True),
            ("drift", True),
            ("may shrink", True),
            ("may grow", True),
        ],
    )
    table.columns[0].ratio = 1
    table.expand = True
    for drift in found.drifts:
        size = wording.signed_length(drift.drift_mm, style)
        table.add_row(
            _named(drift, style),
            format_length(drift.planned_mm, style),
            format_length(drift.measured_mm, style),
            size,
            room_words(drift.less, style),
            room_words(drift.more, style),
        )
    return table


def _named(drift: Drift, style: LengthStyle) -> Text:
    told = Text(" ".join(part for part in (drift.what, drift.measure, drift.to) if part))
    if abs(drift.apart_mm) > _APART_MM:
        apart = format_length(abs(drift.apart_mm), style)
        told.append(f" Does not go together with other measures: {apart} apart.", style="yellow")
    nearest = _nearest((drift.less, drift.more))
    if nearest is not None:
        told.append(f" Then: {nearest.next}", style="dim")
    return told


def _nearest(rooms: Sequence[Room]) -> Room | None:
    """Give the side on which something is found soonest and not yet, or none."""
    found = [room for room in rooms if room.room_mm is not None]
    return min(found, key=lambda room: room.room_mm or 0.0) if found else None


def _new(
    scenario: Scenario, title: str, findings: Sequence[Finding], found: Sequence[Finding]
) -> Table:
    table = findings_table(scenario, "violation", gathering.among(findings, found))
    table.title = f"{title} ({len(findings)})"
    return table
