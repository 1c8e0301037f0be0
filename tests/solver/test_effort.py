"""Work is counted, the same for the same search, and ends a search that has none left."""

from __future__ import annotations

import math

import pytest

from shopfit.model.options import SolveOptions
from shopfit.solver.bettering import SOUNDING_SHARE, Betterer
from shopfit.solver.effort import (
    Purse,
    Work,
    dense_seconds,
    most_nodes,
    node_seconds,
    part_seconds,
    walk_seconds,
    whole_facings_seconds,
)
from shopfit.solver.filling import Filling
from shopfit.solver.renew import MIDDLING, QUICK, renew, scarce
from shopfit.stopping import StopFlag

from . import build as b

LINES = [b.line(f"line {n}", width=b.mm(60.0 + 17.0 * n), max_facings=9) for n in range(6)]
WIDTHS = [700.0, 930.0, 1110.0]


def test_a_purse_lends_what_is_left_and_takes_off_what_was_spent():
    """Of ten, four are lent and one of them spent; more is lent than is left, and it is all."""
    purse = Purse(10.0)
    with purse.lent(4.0) as own:
        assert own.left == 4.0
        own.spend(1.0)
    assert purse.left == pytest.approx(9.0)
    with purse.lent(20.0) as own:
        assert own.left == pytest.approx(9.0)
        own.spend(11.0)
    assert purse.left == pytest.approx(-2.0)


def test_an_empty_purse_lends_nothing():
    """Overdrawn, it lends nothing, and what is spent all the same is taken off."""
    purse = Purse(-2.0)
    with purse.lent(1.0) as own:
        assert own.left == 0.0
        own.spend(0.5)
    assert purse.left == pytest.approx(-2.5)


def test_more_work_takes_longer():
    """Each kind of work has its time."""
    nothing = Work().seconds
    assert nothing == 0.0
    for name in ("steps", "cells", "looks", "solves"):
        assert Work(**{name: 10}).seconds > nothing


def test_nodes_with_whole_facings_are_quick():
    """A small program branches often; each node is cheaper than one of a floor of any size."""
    assert whole_facings_seconds(0, 0) == 0.0
    assert 0.0 < whole_facings_seconds(0, 100) < 100 * node_seconds(0)
    assert whole_facings_seconds(100, 0) > 0.0


@pytest.mark.parametrize(
    ("blocks", "more"), [(39_999, False), (40_000, False), (40_001, True)], ids=str
)
def test_faces_that_divide_in_many_ways_take_longer(blocks: int, more: bool):
    """Beyond what usual shops have every step counts more; up to that none does."""
    assert (dense_seconds(blocks, 100) > 0.0) is more
    assert dense_seconds(blocks, 0) == 0.0


def test_finding_out_what_cuts_off_takes_longer_than_walking():
    """More stands or is cut off, more is walked; a larger part of a floor takes longer."""
    assert 0.0 < walk_seconds(5, False) < walk_seconds(50, False) < walk_seconds(50, True)
    assert 0.0 < part_seconds(0, 1, 0) < part_seconds(0, 2, 0) < part_seconds(9, 2, 90)


def spent(seconds: float) -> tuple[Filling, float]:
    filler = b.filler(b.scenario(LINES), WIDTHS)
    purse = Purse(seconds)
    filling = renew(filler, Filling([], []), range(3), MIDDLING, 0, StopFlag(), purse)
    assert filler.allowed(filling)
    return filling, seconds - purse.left


def test_equal_renewals_do_equal_work():
    """What is spent is counted, so it is the same to the last digit."""
    (one, first), (other, second) = spent(5.0), spent(5.0)
    assert first == second > 0.0
    assert one == other


def test_a_renewal_ends_soon_without_work_left():
    """With hardly anything to spend the surest fillings are taken, and something still stands."""
    (poor, little), (_, much) = spent(1e-4), spent(60.0)
    assert little < much
    assert poor.facings


def test_scarce_faces_are_those_that_alone_can_show_what_is_missing():
    """A line that only the wide face can show makes a group of that face."""
    wide = b.line("wide", category="wide", width=b.mm(1000.0), min_facings=1, max_facings=1)
    filler = b.filler(b.scenario([*LINES, wide]), WIDTHS)
    assert scarce(filler, Filling([], [])) == [[2]]
    given = Betterer(
        options=SolveOptions(seconds=1.0),
        stop=StopFlag(),
        keep=lambda filler, filling: None,
        enough=lambda: False,
        goal=lambda: math.inf,
    )
    filling = given.filled(filler, Filling([], []), QUICK, Purse(1.0))
    assert filler.score(filling).short == 0
    assert scarce(filler, filling) == []


def test_sounding_a_floor_takes_a_part_of_the_work():
    """A floor is filled for a while only, and what is left is there to fill it further."""
    filler = b.filler(b.scenario(LINES), WIDTHS)
    betterer = Betterer(
        SolveOptions(), StopFlag(), lambda *_: None, lambda: False, lambda: math.inf
    )
    purse = Purse(1.0)
    sounded = betterer.sounded(filler, Filling([], []), purse)
    assert filler.allowed(sounded)
    assert sounded.facings
    assert 1.0 - SOUNDING_SHARE - 0.05 < purse.left < 1.0


def test_nodes_of_floors_are_few_where_each_is_dear():
    """Four a second where sets are small; where they are large no more than nodes may take."""
    assert most_nodes(30.0, 0) == 121
    assert most_nodes(0.0, 0) == 1
    large = 1_000_000
    assert (most_nodes(30.0, large) - 1) * node_seconds(large) <= 0.15 * 30.0
    assert most_nodes(300.0, large) * node_seconds(large) > 0.15 * 300.0
