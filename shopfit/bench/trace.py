"""What a search told while it ran, and when it had reached what."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

PER_CENT = 0.01
_PROVED = 1e-9


@dataclass(frozen=True)
class Event:
    """One message of a search.

    Parameters
    ----------
    seconds
        Since its start.
    value, bound
        Worth of the best layout so far that meets every rule, and what no layout exceeds; none
        until known.
    """

    seconds: float
    value: float | None = None
    bound: float | None = None


@dataclass(frozen=True)
class Reached:
    """What a search reached, and when; times in seconds since its start, none for never.

    Parameters
    ----------
    value, bound, gap
        At its end; the gap as a part of the bound.
    first, one_percent, proof
        The first layout that meets every rule, a gap of at most 1 %, and a gap of nought.
    """

    value: float | None = None
    bound: float | None = None
    gap: float | None = None
    first: float | None = None
    one_percent: float | None = None
    proof: float | None = None


def gap(value: float | None, bound: float | None) -> float | None:
    """Give the distance of value and bound as a part of the bound; none while one is unknown."""
    if value is None or bound is None:
        return None
    return max(0.0, bound - value) / abs(bound) if bound else float(value < bound)


def reached(events: Sequence[Event]) -> Reached:
    """Say what a search reached and when, from what it told in the order it told it.

    The best value and the best bound count, whichever message they came with.
    """
    value: float | None = None
    bound: float | None = None
    first: float | None = None
    near: float | None = None
    proof: float | None = None
    for event in events:
        if event.value is not None:
            first = event.seconds if first is None else first
            value = event.value if value is None else max(value, event.value)
        if event.bound is not None:
            bound = event.bound if bound is None else min(bound, event.bound)
        now = gap(value, bound)
        if now is not None and now <= PER_CENT + _PROVED and near is None:
            near = event.seconds
        if now is not None and now <= _PROVED and proof is None:
            proof = event.seconds
    return Reached(value, bound, gap(value, bound), first, near, proof)


def improvements(events: Sequence[Event]) -> tuple[Event, ...]:
    """Keep the messages that told a better value or a better bound than all before."""
    kept: list[Event] = []
    value: float | None = None
    bound: float | None = None
    for event in events:
        higher = event.value is not None and (value is None or event.value > value)
        lower = event.bound is not None and (bound is None or event.bound < bound)
        if higher:
            value = event.value
        if lower:
            bound = event.bound
        if higher or lower:
            kept.append(Event(event.seconds, value, bound))
    return tuple(kept)


def seconds_to(events: Sequence[Event], value: float) -> float | None:
    """Give when a search first had a layout worth at least so much, or none."""
    for event in events:
        if event.value is not None and event.value >= value - _PROVED:
            return event.seconds
    return None
