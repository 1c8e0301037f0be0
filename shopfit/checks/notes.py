"""Words for findings: sources, lengths said with their margin, and directions on the plan."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from shopfit.geometry.shell import PlanPoint
from shopfit.model.finding import Severity
from shopfit.standards import Requirement
from shopfit.units import INCH_MM, TOLERANCE_MM, LengthStyle, format_length

_COMPASS = (
    "east",
    "north-east",
    "north",
    "north-west",
    "west",
    "south-west",
    "south",
    "south-east",
)


@dataclass(frozen=True)
class Source:
    """Where a requirement comes from.

    Parameters
    ----------
    source, clause, confidence
        As in a finding.
    """

    source: str
    clause: str = ""
    confidence: str = ""


BRIEF = Source("brief")
SHELL = Source("shop.yaml")
CATALOGUE = Source("fixtures.yaml")
RANGE = Source("range.csv")
PINS = Source("pins.yaml")
LAYOUT = Source("layout")
TRADE = Source("common practice, no source", confidence="common practice, no source")


def published(requirement: Requirement) -> Source:
    """Give the source of a published value."""
    return Source(
        f"{requirement.source}; {requirement.edition}", requirement.clause, requirement.confidence
    )


@dataclass(frozen=True)
class Words:
    """Lengths as the user wants to read them.

    Parameters
    ----------
    style
        The length style of the shop.
    """

    style: LengthStyle

    def say(self, length_mm: float) -> str:
        """Write a length, mm."""
        return format_length(length_mm, self.style)

    def enough(self, length_mm: float) -> str:
        """Write a length rounded up to the next step of a tape measure, for mends."""
        step = INCH_MM / 16 if self.style in ("ft-in", "in") else 1.0
        return self.say(max(math.ceil(length_mm / step - 1e-6), 1) * step)

    def fine(self, length_mm: float) -> str:
        """Write a small length so that it never reads as nought."""
        step = INCH_MM / 16 if self.style in ("ft-in", "in") else 1.0
        if abs(length_mm) < step:
            return f"{length_mm:.2f} mm"
        return self.say(length_mm)

    def versus(self, measured_mm: float, required_mm: float) -> str:
        """Write what was found, what is wanted, and by how much they differ."""
        margin = self.fine(abs(measured_mm - required_mm))
        side = "under" if measured_mm < required_mm else "over"
        return f"{self.say(measured_mm)} found, {self.say(required_mm)} wanted: {margin} {side} it"


def compass(direction: PlanPoint) -> str:
    """Name the nearest of eight compass points; north is up on the plan."""
    turn = math.atan2(direction[1], direction[0]) / (math.pi / 4)
    return _COMPASS[round(turn) % 8]


def middle(shape: BaseGeometry) -> PlanPoint | None:
    """Give a place inside a shape for a finding's mark, or none for an empty shape."""
    if shape.is_empty:
        return None
    point = shape.representative_point()
    return (round(point.x, 1), round(point.y, 1))


def way_out(shape: BaseGeometry, obstacle: BaseGeometry) -> float:
    """Give the least that a shape has to move to be off an obstacle, mm.

    Exact for shapes square to the plan; otherwise a little more than is needed. Which way a
    fixture may go is for `shopfit.checks.between.move_off` to say.
    """
    if shape.intersection(obstacle).is_empty:
        return 0.0
    (left, low, right, high) = obstacle.bounds
    (x0, y0, x1, y1) = shape.bounds
    return float(min(x1 - left, right - x0, y1 - low, high - y0))


def severity_of(movable: Iterable[bool]) -> Severity:
    """Give the severity of a missed published clearance.

    Parameters
    ----------
    movable
        For every fixture in the way: whether it is loose. Nothing in the way but the building
        is a violation.

    Source
    ------
    Loose fixtures come under barrier removal, 28 CFR 36.304(b)(3)-(4); second-hand.
    """
    flags = list(movable)
    return "barrier to review" if flags and all(flags) else "violation"


def more(measured: float, limit: float, slack: float = TOLERANCE_MM) -> bool:
    """Say whether a measure is over a limit by more than the tolerance."""
    return measured > limit + slack


def less(measured: float, limit: float, slack: float = TOLERANCE_MM) -> bool:
    """Say whether a measure is under a limit by more than the tolerance."""
    return measured < limit - slack


def join(names: Iterable[str], most: int = 6) -> str:
    """List names in words, cut short where there are many."""
    listed = list(names)
    if len(listed) > most:
        return f"{', '.join(listed[:most])} and {len(listed) - most} more"
    return ", ".join(listed)


def tame(value: float) -> float:
    """Give a number that can be reckoned with: infinity for whatever is no sane number."""
    return value if abs(value) <= 1e15 else math.inf


def plain_number(value: float) -> float | None:
    """Give a number for a finding, or none where it is no finite number."""
    return float(value) if abs(value) <= 1e15 else None
