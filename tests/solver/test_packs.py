"""What goods on faces cost in whole packs and boards."""

from __future__ import annotations

import math
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from shopfit.quantities.shelving import shelf_segments
from shopfit.solver.assemble import rows_of
from shopfit.solver.display import FaceClass
from shopfit.solver.effort import Purse
from shopfit.solver.facearrays import BEST, NOW, SPENT
from shopfit.solver.fill import Filler
from shopfit.solver.filling import BlockPlan, Filling
from shopfit.solver.inturn import InTurn, in_turn
from shopfit.solver.packs import LEAST_OVER, Packs, Standing, charged, packs
from shopfit.solver.patterns import Pattern
from shopfit.solver.refit import refit
from shopfit.stopping import StopFlag
from tests.solver import build as b
from tests.solver.test_fill import kept

# Slat-wall with ten grooves, 100 mm deep.
WALL = FaceClass("slat", 10, 76.2, 100.0, 300.0, 100.0, 0.0)
HOOK = {"id": "hook", "kind": "hook", "depth": b.mm(150.0), "load": "5 kg", "price": 6.0, "pack": 4}
BOARD = {
    "id": "board",
    "length": b.mm(600.0),
    "depth": b.mm(200.0),
    "load": "40 kg",
    "price": 10.0,
}


def shop(**more: Any) -> Filler:
    """Give a filler of a wall for lines that stand on boards and lines that hang."""
    lines = [
        b.line("jar", width=b.mm(100.0), height=b.mm(120.0), ways=["shelf"], max_facings=30),
        b.line("tin", width=b.mm(150.0), height=b.mm(120.0), ways=["shelf"], max_facings=30),
        b.line("bag", width=b.mm(100.0), height=b.mm(120.0), ways=["hook"], max_facings=30),
    ]
    given = b.scenario(lines, brackets=[HOOK], shelves=[BOARD])
    return b.filler(given, [1500.0], classes=(WALL,), **more)


def filling(filler: Filler, *rows: dict[str, int]) -> Filling:
    """Give a filling of one block whose rows show so many facings."""
    (category,) = filler.categories
    pattern: Pattern = next(
        p for p in filler.display.patterns[category, 0] if len(p.rows) >= len(rows)
    )
    facings = {(0, r, name): n for r, row in enumerate(rows) for name, n in row.items() if n}
    return Filling([BlockPlan(0, category, pattern)], [1500 * 80], facings)


def cost(filler: Filler, *rows: dict[str, int]) -> float:
    return packs(filler.site.scenario).cost(filler.shown_in(filling(filler, *rows)))


@pytest.mark.parametrize(("jars", "boards"), [(1, 1), (5, 1), (6, 1), (7, 2), (12, 2), (13, 3)])
def test_a_length_of_shelf_takes_whole_boards(jars, boards):
    """Six jars of 100 mm fill a board of 600 mm; the seventh takes another."""
    assert cost(shop(), {"jar": jars}) == 10.0 * boards


def test_goods_on_one_board_share_it_and_rows_do_not():
    """Two jars and two tins are 500 mm long: one board in one row, two in two rows."""
    filler = shop()
    assert cost(filler, {"jar": 2, "tin": 2}) == 10.0
    assert cost(filler, {"jar": 2}, {"tin": 2}) == 20.0


@pytest.mark.parametrize(("bags", "boxes"), [(1, 1), (4, 1), (5, 2), (8, 2), (9, 3)])
def test_hooks_come_in_packs_over_all_rows(bags, boxes):
    """Four hooks a pack, wherever they hang; parts of packs count where they can be had."""
    filler = shop()
    half = {"bag": bags // 2}, {"bag": bags - bags // 2}
    assert cost(filler, *half) == 6.0 * boxes
    loose = packs(filler.site.scenario).loose(filler.shown_in(filling(filler, *half)))
    assert loose == pytest.approx(1.5 * bags)


def program_cost(known: Packs, chosen: list[Standing], standing: list[Standing]) -> float:
    """Give the least cost that a program finds for facings that it must choose."""
    model = cp_model.CpModel()
    shown = [(row, how, wide, model.new_int_var(n, n, "")) for row, how, wide, n in chosen]
    model.minimize(known.spent(model, shown, standing))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    return solver.objective_value / 1000


@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(0, 3), st.sampled_from(["jar", "tin", "bag"]), st.integers(0, 8)),
        max_size=8,
    ),
    st.integers(0, 3),
)
def test_a_program_counts_what_a_filling_costs(cells, free):
    """Whatever is chosen and whatever stands, the program's money is that of the purchases."""
    filler = shop()
    rows: list[dict[str, int]] = [{}, {}, {}, {}]
    for row, name, count in cells:
        rows[row][name] = rows[row].get(name, 0) + count
    known = packs(filler.site.scenario)
    sizes = {"jar": 8000, "tin": 12000, "bag": 8000}
    every: list[Standing] = [
        (row, filler.display.showings[name, 0], sizes[name], count)
        for row, own in enumerate(rows)
        for name, count in own.items()
    ]
    chosen = [each for each in every if each[0] != free]
    standing = [each for each in every if each[0] == free and each[3]]
    assert program_cost(known, chosen, standing) == pytest.approx(
        known.cost(e for e in every if e[3])
    )


def test_a_filler_in_packs_scores_whole_packs_and_keeps_to_their_money():
    """What the piece hides shows: one jar on a board of its own costs all of it."""
    filler = shop(money=5.0)
    one = filling(filler, {"jar": 1})
    assert filler.score(one).cost == pytest.approx(10.0 * 100 / 600)
    assert filler.allowed(one)
    known = packs(filler.site.scenario)
    assert filler.in_packs(known).score(one).cost == 10.0
    assert filler.in_packs(replace(known, money=10.0)).allowed(one)
    assert not filler.in_packs(replace(known, money=9.99)).allowed(one)
    # At a price more may be spent, and ranks lower.
    soft = filler.in_packs(replace(known, money=9.0, price=2.0))
    assert soft.money is None
    assert soft.allowed(one)
    assert soft.rank(one)[2] == pytest.approx(1.0 - 2.0 * (1.0 + LEAST_OVER * 9.0))


@pytest.mark.parametrize(
    ("spent", "counted"), [(99.0, 0.0), (100.0, 0.0), (100.01, 1.01), (120.0, 21.0)]
)
def test_any_money_too_much_counts_as_a_part_of_what_there_is(spent, counted):
    """Just under, at and over 100: a cent too much counts as more than the cent."""
    assert charged(spent, 100.0) == pytest.approx(counted)
    assert math.isfinite(charged(spent, -5.0))


def test_goods_on_one_board_stand_side_by_side_in_their_row():
    """A bag between jars and tins in the range hangs behind them, so one board holds both."""
    lines = [
        b.line("jar", height=b.mm(120.0), max_facings=9),
        b.line("bag", height=b.mm(120.0), ways=["hook"], max_facings=9),
        b.line("tin", height=b.mm(120.0), max_facings=9),
    ]
    filler = b.filler(
        b.scenario(lines, brackets=[HOOK], shelves=[BOARD]), [1500.0], classes=(WALL,)
    )
    mixed = filling(filler, {"jar": 2, "bag": 1, "tin": 2})
    problem: Any = SimpleNamespace(classes=[WALL])
    (row,) = rows_of(problem, filler, mixed, 0, 50.0)
    assert [slot.line for slot in row.slots] == ["jar", "tin", "bag"]
    assert [slot.from_mm for slot in row.slots] == [50.0, 250.0, 450.0]
    assert len(shelf_segments(row)) == 1
    # Without goods on boards the order is that of the range.
    (hung,) = rows_of(problem, filler, filling(filler, {"bag": 1, "tin": 1}), 0, 0.0)
    assert [slot.line for slot in hung.slots] == ["bag", "tin"]


def test_money_is_saved_by_a_refit_and_nothing_is_lost():
    """In place of jars and tins on two boards four bags hang from one pack, as many facings."""
    filler = shop()
    apart = filling(filler, {"jar": 2}, {"tin": 2})
    known = filler.in_packs(packs(filler.site.scenario))
    found, _ = refit(known, apart, [0], known.categories, 1.0, 1, 0, StopFlag(), saving=True)
    assert known.score(apart).cost == 20.0
    assert known.score(found).cost == 6.0
    assert known.score(found).worth == 4.0


@pytest.mark.parametrize("money", [0.0, 5.99, 6.0, 9.99, 10.0, 16.0, 25.0, 200.0])
def test_faces_filled_in_turn_keep_to_whole_boards(money):
    """Whatever there is to spend, boards count whole, and parts of packs as such."""
    given = shop().site.scenario
    filler = b.filler(given, [600.0, 900.0, 450.0], classes=(WALL,), kinds=[0, 0, 0])
    known = replace(packs(given), money=money, price=30.0)
    soft = filler.in_packs(known)
    turns = in_turn(soft, Filling([], []), (1, 2), math.inf, StopFlag(), Purse(0.2))
    *_, found = turns
    kept(filler, found)
    assert known.loose(filler.shown_in(found)) <= money + 1e-6
    if money >= 200.0:
        # Three rows on each face, of 6, 9 and 4 facings.
        assert sum(found.facings.values()) == 3 * (6 + 9 + 4)


@pytest.mark.parametrize("seed", range(4))
def test_what_is_spent_is_counted_right_while_faces_are_filled(seed):
    """Money as it is added up turn by turn is that of what stands."""
    given = shop().site.scenario
    filler = b.filler(given, [600.0, 900.0, 450.0], classes=(WALL,), kinds=[0, 0, 0])
    known = replace(packs(given), money=40.0, price=30.0)
    own, compared = InTurn(filler.in_packs(known), Filling([], []), seed), 0
    for _ in range(50):
        own.work(math.inf, 0.001)
        sums = own._arrays.floor.sums
        if sums[NOW] - known.over(float(sums[SPENT])) == sums[BEST]:
            assert known.loose(filler.shown_in(own.best())) == pytest.approx(sums[SPENT])
            compared += 1
    assert compared
