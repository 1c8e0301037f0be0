"""Going on for a little where the best layout still misses a minimum."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from shopfit.model.options import SolveOptions
from shopfit.solver.bettering import FURTHER_SECONDS, Betterer
from shopfit.solver.effort import Purse
from shopfit.stopping import StopFlag


class Bettering(Betterer):
    """Betters nothing, but notes with how much work it is asked; each time less is missed."""

    missed: list[float]
    held: Any
    asked: list[float]

    def bettered(self, filler: Any, filling: Any, depth: Any, purse: Purse) -> Any:
        """Take the next best."""
        self.asked.append(purse.left)
        self.held.best = best(self.missed.pop(0))
        return filling


def best(missed: float) -> Any:
    return SimpleNamespace(score=SimpleNamespace(short=missed), filler=None, filling=None)


def further(missed: list[float], stopped: bool = False) -> list[float]:
    """Give what was missed each time that it was gone on."""
    stop = StopFlag()
    if stopped:
        stop.request()
    options = SolveOptions(seconds=1, workers=1)
    one = Bettering(options, stop, lambda *_: None, lambda: False, lambda: 0.0)
    first, *one.missed = missed
    one.held, one.asked = SimpleNamespace(best=best(first)), []
    taken: list[Any] = []
    one.further(one.held, taken.append)
    assert one.asked == [FURTHER_SECONDS] * len(taken)
    return [each.score.short for each in taken]


@pytest.mark.parametrize(
    ("missed", "taken"),
    [
        ([0.0], []),
        ([3.0, 0.0], [3.0]),
        ([3.0, 3.0], [3.0]),
        ([3.0, 2.0, 2.0], [3.0, 2.0]),
        ([9.0, 4.0, 1.0, 0.0], [9.0, 4.0, 1.0]),
    ],
)
def test_it_goes_on_only_while_less_and_less_is_missed(missed: list[float], taken: list[float]):
    """What misses nothing is left alone, and a turn that mends nothing is the last."""
    assert further(missed) == taken


def test_after_a_stop_it_does_not_go_on():
    """Whoever stopped the search wants what there is."""
    assert further([3.0, 0.0], stopped=True) == []


def test_nothing_is_bettered_where_nothing_was_found():
    """Where no floor is open there is nothing to go on from."""
    options = SolveOptions(seconds=1, workers=1)
    one = Bettering(options, StopFlag(), lambda *_: None, lambda: False, lambda: 0.0)
    one.asked = []
    one.further(SimpleNamespace(best=None), lambda _: None)  # type: ignore[arg-type]
    assert one.asked == []
