"""What is told of the stages of a search."""

from __future__ import annotations

import pytest

from shopfit.model.options import SolveOptions
from shopfit.model.proof import AFTER_FIRST
from shopfit.solver.filling import Score
from shopfit.solver.laterbounds import LaterBounds
from shopfit.solver.proving import COST, UNPROVED, Reached, _counted, _later, proof
from shopfit.solver.site import Site
from shopfit.solver.spacing import Spacing

from . import build as b


@pytest.mark.parametrize(
    ("value", "bound", "told", "gap"),
    [
        (90.0, 100.00001, 100.0001, 0.100001),
        (90.0, 100.0, 100.0, 0.1),
        (100.0, 89.99999, 89.9999, 0.100001),
        (100.0, 90.0, 90.0, 0.1),
        (100.0, 100.0, 100.0, 0.0),
        (0.0, 0.0, 0.0, 0.0),
    ],
)
def test_bounds_are_rounded_so_that_they_still_hold(value, bound, told, gap):
    """At most is rounded up and at least down; the gap is a part of the greater of the two."""
    stage = _later(COST, value, bound)
    assert (stage.value, stage.bound, stage.scope) == (value, told, AFTER_FIRST)
    assert stage.gap == pytest.approx(gap)


@pytest.mark.parametrize(("short", "known"), [(0.0, True), (1.0, False)])
def test_bounds_are_told_only_of_layouts_that_miss_no_minimum(short: float, known: bool):
    """A bound holds for layouts that miss none, so beside one that does it says nothing."""
    score = Score(short, 12.0, 0.0, 0.0)
    reached = Reached(score, 0.0, 12.0, 0.0, LaterBounds(), 1, Spacing(1), False, True)
    told = proof(Site(b.scenario()), SolveOptions(), reached)
    assert told.missed == short
    assert (told.bound, told.gap) == ((12.0, 0.0) if known else (None, None))
    assert told.status == ("proved" if known else "not measured")


@pytest.mark.parametrize(("bound", "told"), [(22.0001, 22.0), (22.9, 22.0), (22.99995, 23.0)])
def test_bounds_of_facings_are_whole(bound: float, told: float):
    """Of value they stay as they are."""
    assert _counted("facings", bound) == told
    assert _counted("value", bound) == bound
    assert _counted("facings", None) is None


def test_what_is_not_proved_is_not_told_as_proved():
    """Without a bound there is no gap, and the scope says so."""
    stage = _later(COST, 5.0, None)
    assert (stage.bound, stage.gap, stage.scope) == (None, None, UNPROVED)
