"""What a change gains, told as far as it is proved and no farther."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from shopfit.limits.easings import Easing, Kind
from shopfit.model.base import Frozen
from shopfit.model.study import CaseStatus
from shopfit.sweep.work import Answer

Verdict = Literal[
    "gain proved",
    "proved to gain nothing",
    "loss proved",
    "proved to lose nothing",
    "within the noise of the search",
    "not known",
]
_EPS = 1e-6


@dataclass(frozen=True)
class Known:
    """What is known of the best there is: not under one number, not over the other.

    Parameters
    ----------
    least
        Worth of the best layout found that meets the values checked, or none.
    most
        Proved bound, or none.
    grid
        The positions that the bound holds for, in words.
    """

    least: float | None = None
    most: float | None = None
    grid: str | None = None


class Gain(Frozen):
    """What one change came to.

    Parameters
    ----------
    kind, change
        Which limit was moved, and how.
    status
        How its search ended.
    now, now_most, then, then_most
        Worth found and proved bound, before and after.
    found
        Worth after less worth before.
    least, most
        What the best there is gains at least and at most; none where not known.
    verdict
        What that proves.
    cost
        Money of the layout after the change.
    violations
        Values checked that the layout after it does not meet.
    seconds
        How long its search took.
    message
        Why there is no layout, or what failed.
    """

    kind: Kind
    change: str
    status: CaseStatus
    now: float | None = None
    now_most: float | None = None
    then: float | None = None
    then_most: float | None = None
    found: float | None = None
    least: float | None = None
    most: float | None = None
    verdict: Verdict = "not known"
    cost: float | None = None
    violations: int = 0
    seconds: float = 0.0
    message: str = ""


def known(answer: Answer) -> Known:
    """Give what an answer shows; a layout that does not meet the values checked shows no worth."""
    return Known(answer.worth if answer.sound else None, answer.bound, answer.grid)


def shared(now: Known, tried: Sequence[tuple[Easing, Known]]) -> tuple[Known, list[Known]]:
    """Let what is known of one scenario tell of the others.

    A layout that is allowed before is allowed after every easing, so its worth is had there too,
    and a bound after an easing holds before it. For a limit that is drawn tighter it is the other
    way round. Bounds are had elsewhere only for the same positions: with every other aisle islands
    in lanes stand on others. A layout over a bound stands on positions that it does not hold for:
    then no bound is known.

    Parameters
    ----------
    now
        Before any change.
    tried
        Every change with what is known after it. Only those that are nested take part.
    """
    for easing, then in tried:
        if easing.nested and easing.tighter:
            now = replace(now, least=_greater(now.least, then.least))
        elif easing.nested and then.grid == now.grid:
            now = replace(now, most=_lesser(now.most, then.most))
    now = _in_doubt(now)
    found = []
    for easing, then in tried:
        if easing.nested and easing.tighter and then.grid == now.grid:
            then = replace(then, most=_lesser(then.most, now.most))
        elif easing.nested and not easing.tighter:
            then = replace(then, least=_greater(then.least, now.least))
        found.append(_in_doubt(then))
    return now, found


def _in_doubt(what: Known) -> Known:
    """Leave out a bound that a layout exceeds."""
    exceeded = what.least is not None and what.most is not None and what.least > what.most + _EPS
    return replace(what, most=None) if exceeded else what


def gain(easing: Easing, now: Known, then: Known, answer: Answer) -> Gain:
    """Judge one change.

    Parameters
    ----------
    easing, answer
        The change and what its search ended with.
    now, then
        What is known before and after, as `shared` gives it.
    """
    least, most = _less(then.least, now.most), _less(then.most, now.least)
    if easing.nested and not easing.tighter:
        least = _greater(least, 0.0)
    elif easing.nested:
        most = _lesser(most, 0.0)
    return Gain(
        kind=easing.kind,
        change=easing.words,
        status=answer.status,
        now=now.least,
        now_most=now.most,
        then=then.least,
        then_most=then.most,
        found=_less(then.least, now.least),
        least=least,
        most=most,
        verdict=verdict(least, most, easing.tighter),
        cost=None if answer.layout is None else answer.layout.claims.cost,
        violations=answer.violations,
        seconds=answer.seconds,
        message=answer.message,
    )


def verdict(least: float | None, most: float | None, tighter: bool) -> Verdict:
    """Say what is proved of a change that gains no less and no more than two numbers."""
    if least is not None and least > _EPS:
        return "gain proved"
    if most is not None and most < -_EPS:
        return "loss proved"
    if not tighter and most is not None and most <= _EPS:
        return "proved to gain nothing"
    if tighter and least is not None and least >= -_EPS:
        return "proved to lose nothing"
    if least is None and most is None:
        return "not known"
    return "within the noise of the search"


def ranked(gains: Sequence[Gain]) -> list[Gain]:
    """Put what is proved to gain most first, then what was found to gain, then what could."""

    def rank(one: Gain) -> tuple[float, ...]:
        nothing = float("-inf")
        sizes = (one.least, one.found, one.most)
        least, found, most = (nothing if size is None else size for size in sizes)
        return -max(least, 0.0), -found, -most

    return sorted(gains, key=rank)


def _less(one: float | None, other: float | None) -> float | None:
    return None if one is None or other is None else one - other


def _greater(one: float | None, other: float | None) -> float | None:
    given = [each for each in (one, other) if each is not None]
    return max(given, default=None)


def _lesser(one: float | None, other: float | None) -> float | None:
    given = [each for each in (one, other) if each is not None]
    return min(given, default=None)
