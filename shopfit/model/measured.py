"""Tape measurements of a finished shop, and what they come to."""

from __future__ import annotations

from pydantic import Field

from shopfit.model.base import Frozen
from shopfit.model.finding import Finding


class Measured(Frozen):
    """One row that somebody filled in.

    Parameters
    ----------
    row
        Row of the file; its header is row 1.
    what, measure, to
        The thing, which of its measures, and for a gap the other thing.
    measured_mm
        What the tape said.
    """

    row: int
    what: str
    measure: str
    to: str = ""
    measured_mm: float = Field(ge=0)


class ToMeasure(Frozen):
    """One row of a list of what to measure.

    Parameters
    ----------
    what, measure, to
        As in `Measured`.
    planned_mm
        What it is in the layout.
    margin_mm
        How far it is from the nearest value that it is measured for, or none.
    note
        Why it is measured.
    """

    what: str
    measure: str
    to: str = ""
    planned_mm: float
    margin_mm: float | None = None
    note: str = ""


class Room(Frozen):
    """How much further a measure may drift one way.

    Parameters
    ----------
    room_mm
        Least distance tried at which something more is found, less the precision of the search;
        none where nothing was found as far as was tried, or it was not tried.
    tried_mm
        How far it was tried; 0 where there was no time for it.
    past_mm
        How far a limit is passed already that gets worse this way, or none.
    next
        What is found then: the sentence of the finding.
    """

    room_mm: float | None = None
    tried_mm: float = 0.0
    past_mm: float | None = None
    next: str = ""


class Drift(Frozen):
    """A measure as planned and as built.

    Parameters
    ----------
    row, what, measure, to
        As in `Measured`.
    planned_mm, measured_mm
        Both sizes.
    apart_mm
        What the finished shop that all measures make comes to, less what was measured here;
        other than nought where measures contradict each other.
    more, less
        How much further it may grow and shrink.
    """

    row: int
    what: str
    measure: str
    to: str = ""
    planned_mm: float
    measured_mm: float
    apart_mm: float = 0.0
    more: Room = Room()
    less: Room = Room()

    @property
    def drift_mm(self) -> float:
        """How much larger it is than planned."""
        return self.measured_mm - self.planned_mm


class AsBuilt(Frozen):
    """A finished shop measured by tape, against its layout.

    Parameters
    ----------
    drifts
        Every measure, in the order of the file.
    passed
        Limits that are passed as built and were not as planned.
    clashing
        What cannot stand as measured: things in one another or through walls. More has to be
        measured there.
    differing
        What is not exactly as drawn, though no limit is passed: gaps under slat-wall, backs off
        walls, pins.
    findings
        All that the checks find as built.
    unmeasured
        Rows of the file that were left blank.
    """

    drifts: tuple[Drift, ...] = ()
    passed: tuple[Finding, ...] = ()
    clashing: tuple[Finding, ...] = ()
    differing: tuple[Finding, ...] = ()
    findings: tuple[Finding, ...] = ()
    unmeasured: int = 0
