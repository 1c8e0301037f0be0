"""What is told of the stages of a search."""

from __future__ import annotations

import pytest

from shopfit.model.proof import AFTER_FIRST
from shopfit.solver.proving import COST, UNPROVED, _later


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


def test_what_is_not_proved_is_not_told_as_proved():
    """Without a bound there is no gap, and the scope says so."""
    stage = _later(COST, 5.0, None)
    assert (stage.bound, stage.gap, stage.scope) == (None, None, UNPROVED)
