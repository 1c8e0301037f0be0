"""Faces filled anew a few at a time with what all others leave."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopfit.model.options import SolveOptions
from shopfit.model.range import Line
from shopfit.solver.bettering import Betterer
from shopfit.solver.effort import Purse
from shopfit.solver.facearrays import BEST, NOW
from shopfit.solver.fill import Filler
from shopfit.solver.filling import PER_MM, BlockPlan, Filling
from shopfit.solver.inturn import InTurn, in_turn, made_ready
from shopfit.solver.renew import QUICK
from shopfit.solver.turns import turn
from shopfit.stopping import StopFlag
from tests.solver import build as b
from tests.solver.test_fill import hung, kept, ranges


def last(found: Iterable[Filling]) -> Filling:
    """Give what comes last."""
    *_, final = found
    return final


def filled(filler: Filler, filling: Filling, seconds: float = 0.05, seed: int = 1) -> Filling:
    """Fill faces in turn for so much work."""
    return last(in_turn(filler, filling, (seed,), math.inf, StopFlag(), Purse(seconds)))


@settings(max_examples=25)
@given(ranges, st.lists(st.integers(3000, 9000), min_size=1, max_size=5))
def test_any_range_keeps_every_rule_and_nothing_is_lost(lines: list[Line], faces: list[int]):
    """Whatever the goods and faces, rules are kept and the filling is no worse each time."""
    filler = b.filler(b.scenario(lines), [width / 10 for width in faces])
    filling = Filling([], [])
    for seed in (1, 2):
        before = filler.score(filling)
        filling = filled(filler, filling, 0.01, seed)
        kept(filler, filling)
        after = filler.score(filling)
        assert after.short <= before.short
        assert after.short < before.short or after.worth >= before.worth


def test_one_kind_of_goods_fills_every_face():
    """What fits with no choice to be made is all shown: two rows of 5 on each of three faces."""
    filler = b.filler(b.scenario([b.line(width=b.mm(200.0), max_facings=99)]), [1000.0] * 3)
    filling = filled(filler, Filling([], []))
    assert filling.total("jar") == 3 * 2 * 5


def test_the_same_seed_and_work_give_the_same():
    """Work is counted, not timed."""
    lines = [b.line(f"l{n}", width=b.mm(75.0 + 25.0 * n), max_facings=6) for n in range(6)]
    filler = b.filler(b.scenario(lines), [900.0, 700.0, 500.0])
    one, other = (filled(filler, Filling([], [])) for _ in range(2))
    assert one == other


def test_what_is_loaded_beforehand_is_what_fills():
    """Loops loaded beside other work are not compiled once more for a floor with goods."""
    made_ready().join()
    filler = b.filler(b.scenario([b.line()]), [1000.0])
    for goal in (math.inf, 2):
        last(in_turn(filler, Filling([], []), (1,), goal, StopFlag(), Purse(0.01)))
    assert len(turn.signatures) == 1


def test_what_is_a_little_worse_is_kept_at_times_and_the_best_is_given():
    """Eight wide facings hide ten slim ones at times, and ten are shown in the end."""
    lines = [
        b.line(name, width=b.mm(width), max_facings=99)
        for name, width in (("slim", 100.0), ("wide", 120.0))
    ]
    filler = b.filler(b.scenario(lines), [500.0])
    alone = InTurn(filler, Filling([], []), 1)
    alone.work(math.inf, 0.001)
    sums, shown = alone._arrays.floor.sums, set()
    for _ in range(50):
        alone.work(math.inf, 1e-5)
        shown.add((sums[NOW], sums[BEST]))
    assert {(8.0, 10.0), (10.0, 10.0)} <= shown
    assert {best for _, best in shown} == {10.0}
    assert alone.best().total("slim") == 10


@pytest.mark.parametrize("dear", ["left", "right"])
def test_faces_are_filled_at_the_prices_given(dear: str):
    """Of goods as large and worth as much, those whose places are dearer are shown."""
    lines = [b.line(name, width=b.mm(200.0), max_facings=99) for name in ("left", "right")]
    filler = b.filler(b.scenario(lines), [1000.0])
    prices = {"left": 1.0, "right": 1.0} | {dear: 2.0}
    purse = Purse(0.01)
    turns = in_turn(filler, Filling([], []), (1,), math.inf, StopFlag(), purse, prices)
    assert last(turns).total(dear) == 2 * 5


def test_several_seeds_side_by_side_give_the_best_of_them():
    """Threads do not change what comes out: it is the best of what each seed gives alone."""
    lines = [b.line(f"l{n}", width=b.mm(75.0 + 25.0 * n), max_facings=6) for n in range(6)]
    filler = b.filler(b.scenario(lines), [900.0, 700.0, 500.0])
    alone = [filled(filler, Filling([], []), 1e-4, seed) for seed in (1, 2, 3)]
    purse = Purse(1e-4)
    together = last(in_turn(filler, Filling([], []), (1, 2, 3), math.inf, StopFlag(), purse))
    assert filler.rank(together) == max(filler.rank(each) for each in alone)
    assert purse.left <= 0.0


@pytest.mark.parametrize("most", [2, 3])
def test_a_missed_minimum_is_mended_at_the_cost_of_better_goods(most: int):
    """A line worth little that must be there is shown, once for each facing that it must have."""
    lines = [
        b.line("dear", width=b.mm(100.0), max_facings=99, value=9),
        b.line("must", width=b.mm(450.0), min_facings=2, max_facings=most, value=1),
    ]
    given_ = b.scenario(lines, brief={"objective": "value"})
    filler = b.filler(given_, [500.0, 500.0])
    full = filled(filler, Filling([], []))
    assert filler.score(full).short == 0
    assert full.total("must") == 2
    kept(filler, full)


@pytest.mark.parametrize(("money", "facings"), [(14.99, 9), (15.0, 10), (None, 30)])
def test_money_is_not_overspent(money: float | None, facings: int):
    """Ten hooks at 1.50 need 15.00; a filling that costs more is put back."""
    filler = hung(money)
    filling = filled(filler, Filling([], []))
    kept(filler, filling)
    assert sum(filling.facings.values()) <= facings


def test_a_stop_leaves_what_stands():
    """With a stop asked for nothing is tried."""
    stop = StopFlag()
    stop.request()
    filler = b.filler(b.scenario(), [1000.0])
    assert filled(filler, Filling([], [])).facings
    found = last(in_turn(filler, Filling([], []), (1,), math.inf, stop, Purse(9.0)))
    assert found.facings == {}


@pytest.mark.parametrize(("goal", "more"), [(1.0, False), (30.0, False), (31.0, True)])
def test_a_goal_that_is_reached_ends_it(goal: float, more: bool):
    """Thirty facings stand: with a goal of as many or fewer nothing is tried, and no work spent."""
    filler = b.filler(b.scenario([b.line(width=b.mm(200.0), max_facings=99)]), [1000.0] * 3)
    full, purse = filled(filler, Filling([], [])), Purse(0.01)
    again = last(in_turn(filler, full, (1,), goal, StopFlag(), purse))
    assert filler.score(again).worth == 30.0
    assert (purse.left < 0.01) is more


def slims_where_the_wide_one_fits(widths: list[float]) -> tuple[Filler, Filling]:
    """Give faces of one row, on the first of which two slim goods stand instead of a wide one.

    The wide one is far larger than usual, for the slim ones and the card are low.
    """
    lines = [
        b.line("wide", width=b.mm(490.0), height=b.mm(180.0), max_facings=1),
        b.line("slim", width=b.mm(240.0), height=b.mm(10.0), max_facings=2),
        b.line("card", width=b.mm(240.0), height=b.mm(10.0), ways=["hook"]),
    ]
    one_row = replace(b.SHELF, levels=b.SHELF.levels // 2)
    filler = b.filler(b.scenario(lines), widths, classes=(one_row,))
    pattern = filler.display.patterns["goods", 0][0]
    standing = Filling([BlockPlan(0, "goods", pattern)], [480 * PER_MM], {(0, 0, "slim"): 2})
    kept(filler, standing)
    return filler, standing


@pytest.mark.parametrize(("beside", "wide", "slim"), [([485.0], 1, 2), ([], 0, 2)])
def test_large_goods_come_in_for_small_ones_if_these_fit_elsewhere(
    beside: list[float], wide: int, slim: int
):
    """One face at a time, the wide one in place of two shows one less for a while.

    With a face beside it all three are shown in the end; with none, what showed most is given.
    """
    filler, standing = slims_where_the_wide_one_fits([500.0, *beside])
    alone = InTurn(filler, standing, 1, together=1)
    alone.work(math.inf, 0.05)
    found = alone.best()
    kept(filler, found)
    assert (found.total("wide"), found.total("slim")) == (wide, slim)


def test_faces_without_wishes_are_filled_in_turn():
    """A floor of faces is filled by whoever betters it, and the best is kept."""
    filler = b.filler(b.scenario([b.line(max_facings=9999)]), [500.0] * 46)
    seen: list[Filling] = []
    betterer = Betterer(
        SolveOptions(seconds=5.0),
        StopFlag(),
        lambda _, filling: seen.append(filling),
        lambda: False,
        lambda: float("inf"),
    )
    purse = Purse(1.0)
    filling = betterer.filled(filler, Filling([], []), QUICK, purse)
    kept(filler, filling)
    assert filling.total("jar") > 0
    assert seen[-1] is filling
    assert purse.left < 1.0


def test_a_filling_that_misses_no_minimum_any_more_is_told_before_it_is_bettered():
    """Someone who waits for a first layout that keeps the minimums has it at once."""
    lines = [
        b.line(f"l{n}", width=b.mm(60.0 + 7.0 * n), min_facings=1, max_facings=9) for n in range(30)
    ]
    filler = b.filler(b.scenario(lines), [930.0, 710.0, 540.0] * 5)
    worths: list[float] = []

    def heard(_: Filler, filling: Filling) -> None:
        if filler.score(filling).short == 0:
            worths.append(filler.score(filling).worth)

    options = SolveOptions(seconds=5.0)
    betterer = Betterer(options, StopFlag(), heard, lambda: False, lambda: math.inf)
    betterer.filled(filler, Filling([], []), QUICK, Purse(1.0))
    assert worths[0] < worths[-1]
