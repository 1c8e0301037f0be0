"""Says what has drifted in a finished shop, which limits are passed, and what tolerance is left."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from functools import partial

from shopfit.asbuilt.building import build, handle_of
from shopfit.asbuilt.witness import AS_DRAWN, CLASHES, counts, far, near, new_ones, whole
from shopfit.gathering import in_order, sentence
from shopfit.geometry.built import Built, Handle
from shopfit.model.finding import Finding
from shopfit.model.layout import Layout
from shopfit.model.measured import AsBuilt, Drift, Measured, Room
from shopfit.model.scenario import Scenario
from shopfit.units import INCH_MM

Known = tuple[Sequence[Finding], Sequence[Finding]]
FARTHEST_MM = 6 * INCH_MM
PRECISION_MM = 0.25
_WORSE_MM = 0.1
_STEPS_MM = (INCH_MM / 8, INCH_MM / 2, INCH_MM, 2 * INCH_MM, 4 * INCH_MM, FARTHEST_MM)


def as_built(
    scenario: Scenario,
    layout: Layout,
    rows: Sequence[Measured],
    *,
    unmeasured: int = 0,
    seconds: float = 60.0,
) -> tuple[Built, AsBuilt]:
    """Judge a finished shop by tape measurements.

    Parameters
    ----------
    scenario, layout
        What was planned.
    rows
        What was measured.
    unmeasured
        Rows of the list that were left blank, to be told.
    seconds
        How long the tolerances left may take; what there is no time for is told as not tried.

    Returns
    -------
    The shop as built; and every measure with its drift and the tolerance left, with the findings
    that are new.

    Raises
    ------
    ValueError
        If a measure cannot be.
    """
    planned = Built(scenario, layout)
    built = build(planned, rows)
    findings = whole(built)
    fresh = new_ones(findings, whole(planned))
    missed = [finding for finding in fresh if counts(finding)]
    end = time.monotonic() + seconds
    known = (near(built), far(built))
    drifts = tuple(_drift(planned, built, row, known, end) for row in rows)
    return built, AsBuilt(
        drifts=drifts,
        passed=in_order(one for one in missed if one.code not in AS_DRAWN | CLASHES),
        clashing=in_order(one for one in missed if one.code in CLASHES),
        differing=in_order(one for one in missed if one.code in AS_DRAWN),
        findings=findings,
        unmeasured=unmeasured,
    )


def _drift(planned: Built, built: Built, row: Measured, known: Known, end: float) -> Drift:
    handle = handle_of(planned, row)
    now = handle.read(built)
    return Drift(
        row=row.row,
        what=row.what,
        measure=row.measure,
        to=row.to,
        planned_mm=handle.read(planned),
        measured_mm=row.measured_mm,
        apart_mm=now - row.measured_mm,
        more=tolerance(built, handle, 1, known, end),
        less=tolerance(built, handle, -1, known, end),
    )


def tolerance(
    built: Built, handle: Handle, way: int, known: Known, end: float = float("inf")
) -> Room:
    """Say how much further a measure may grow or shrink before something more is found.

    It is set to ever larger sizes up to 6 in away, the checks of things near it are asked each
    time, and the first step at which they find more is halved down to 0.25 mm. The checks of ways
    are asked at the size found so, and halve it further if they find more there. What is found
    only between two steps and no longer at the larger is not seen.

    Parameters
    ----------
    built, handle
        The shop as built, and one of its measures.
    way
        1 to grow, -1 to shrink.
    known
        What `near` and `far` find as built.
    end
        Moment of the monotonic clock after which it is not tried.
    """
    size = handle.read(built)
    asked = partial(_beyond, built, handle, way, size)
    past = _past(built, handle, way, size, known[0])
    if past is not None or time.monotonic() > end:
        return past or Room()
    room, tried = _stepped(partial(asked, near, known[0]), way, size)
    reach = tried if room is None else room.room_mm or 0.0
    if reach > PRECISION_MM:
        found = asked(far, known[1], reach)
        if found is not None:
            return _halved(partial(asked, far, known[1]), 0.0, reach, found)
    return room or Room(tried_mm=tried)


def _beyond(
    built: Built,
    handle: Handle,
    way: int,
    size: float,
    witness: Callable[[Built], tuple[Finding, ...]],
    known: Sequence[Finding],
    by: float,
) -> Finding | None:
    """Give the first new finding where a measure drifts further, or none."""
    try:
        fresh = new_ones(witness(handle.put(built, size + way * by)), known)
    except (ValueError, ArithmeticError):
        return None
    return fresh[0] if fresh else None


def _past(
    built: Built, handle: Handle, way: int, size: float, known: Sequence[Finding]
) -> Room | None:
    """Say by how much a limit is passed already that gets worse this way, or none."""
    try:
        there = near(handle.put(built, max(size + way, 0.0)))
    except (ValueError, ArithmeticError):
        return None
    missed = {(one.code, one.subject, one.clause): _miss(one) for one in there}
    worst: tuple[float, Finding] | None = None
    for one in known:
        before, after = _miss(one), missed.get((one.code, one.subject, one.clause))
        if before is None or after is None or after < before + _WORSE_MM:
            continue
        if worst is None or before > worst[0]:
            worst = before, one
    return None if worst is None else Room(past_mm=worst[0], next=sentence(worst[1]))


def _miss(finding: Finding) -> float | None:
    if finding.required is None or finding.measured is None or finding.unit != "mm":
        return None
    return abs(finding.measured - finding.required)


def _stepped(
    beyond: Callable[[float], Finding | None], way: int, size: float
) -> tuple[Room | None, float]:
    """Go on in ever larger steps; give the room left where something is found, and how far."""
    within = 0.0
    for step in _STEPS_MM:
        by = step if way > 0 else min(step, size)
        if by <= within:
            break
        found = beyond(by)
        if found is not None:
            return _halved(beyond, within, by, found), by
        within = by
    return None, within


def _halved(
    beyond: Callable[[float], Finding | None], within: float, outside: float, found: Finding
) -> Room:
    tried = outside
    while outside - within > PRECISION_MM:
        middle = (within + outside) / 2
        at_middle = beyond(middle)
        if at_middle is None:
            within = middle
        else:
            outside, found = middle, at_middle
    return Room(room_mm=within, tried_mm=tried, next=sentence(found))
