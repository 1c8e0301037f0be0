"""Whole facings in blocks and rows: limits kept, minimums first, never worse than before."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopfit.model.range import Line
from shopfit.solver.fill import Filler
from shopfit.solver.filling import PER_MM, BlockPlan, Filling, grains
from shopfit.solver.patterns import Pattern
from shopfit.solver.refit import refit
from shopfit.stopping import StopFlag

from . import build as b

NONE: frozenset[int] = frozenset()
TWO_ROWS = Pattern((4, 4), (NONE, NONE))
EFFORT = 0.5


def kept(filler: Filler, filling: Filling) -> None:
    """Assert every rule of a filling afresh, from the goods' own sizes."""
    taken: dict[int, int] = {}
    rows: dict[tuple[int, int], int] = {}
    total: dict[str, int] = {}
    cost = 0.0
    for plan, width in zip(filling.plans, filling.widths, strict=True):
        assert width >= 0
        taken[plan.face] = taken.get(plan.face, 0) + width
    for (block, row, name), facings in filling.facings.items():
        plan = filling.plans[block]
        own = filler.site.scenario.line(name)
        shown = filler.display.showings[name, filler.faces[plan.face].kind]
        assert facings > 0
        assert own.category == plan.category
        assert shown.levels <= plan.pattern.rows[row]
        if own.band is not None:
            number = filler.display.bands[own.category].index(own.band)
            assert number in plan.pattern.groups[row]
        rows[block, row] = rows.get((block, row), 0) + facings * grains(own.width)
        total[name] = total.get(name, 0) + facings
        cost += shown.cost * facings
    for face, width in taken.items():
        assert width <= filler.faces[face].width * PER_MM + 1e-6
    for (block, _), width in rows.items():
        assert width <= filling.widths[block]
    for name, facings in total.items():
        assert facings <= filler.site.scenario.line(name).max_facings
        assert filling.total(name) == facings
    assert filler.money is None or cost <= filler.money + 1e-6
    assert filler.allowed(filling)


def filled(filler: Filler, plans: list[BlockPlan], widths: list[float], **more: Any) -> Filling:
    """Fill empty blocks of all categories."""
    start = Filling(plans, [int(width * PER_MM) for width in widths])
    categories = sorted({plan.category for plan in plans})
    return filler.refill(start, categories, EFFORT, 1, 0, StopFlag(), **more)


@pytest.mark.parametrize(("width", "facings"), [(999.9, 18), (1000.0, 20), (1000.1, 20)])
def test_rows_are_filled_to_the_last_facing(width: float, facings: int):
    """Ten jars of 100 mm fill 1000 mm; a tenth of a millimetre less holds nine a row."""
    filler = b.filler(b.scenario(), [width])
    filling = filled(filler, [BlockPlan(0, "goods", TWO_ROWS)], [width])
    kept(filler, filling)
    assert filling.total("jar") == facings


@pytest.mark.parametrize("most", [0, 7, 20, 21])
def test_most_facings(most: int):
    """No more facings than the range asks for."""
    given_lines = [b.line(max_facings=most), b.line("tin", max_facings=0)]
    filler = b.filler(b.scenario(given_lines), [1000.0])
    filling = filled(filler, [BlockPlan(0, "goods", TWO_ROWS)], [1000.0])
    kept(filler, filling)
    assert filling.total("jar") == min(most, 20)
    assert filling.total("tin") == 0


def test_minimums_before_facings():
    """A tray that takes nine jars' room stands, because one was wanted."""
    tray = b.line("tray", width=b.mm(900.0), min_facings=1)
    filler = b.filler(b.scenario([b.line(), tray]), [1000.0])
    filling = filled(filler, [BlockPlan(0, "goods", TWO_ROWS)], [1000.0])
    kept(filler, filling)
    assert (filling.total("tray"), filling.total("jar")) == (1, 11)
    assert filler.score(filling).short == 0


def test_shortfalls_are_counted_in_facings_and_units():
    """Two trays of three and 5 units of the 9 wanted are missing."""
    tray = b.line("tray", width=b.mm(900.0), depth=b.mm(350.0), min_facings=3, holding=9)
    filler = b.filler(b.scenario([tray]), [1000.0])
    empty = Filling([BlockPlan(0, "goods", TWO_ROWS)], [1000 * PER_MM])
    assert filler.score(empty).short == 3 + 9
    filling = filled(filler, empty.plans, [1000.0])
    kept(filler, filling)
    assert filling.total("tray") == 2
    assert filler.score(filling).short == 1 + 7


@pytest.mark.parametrize("objective", ["facings", "value"])
def test_first_and_second_objective(objective: str):
    """Facings first or value first; the score names both in that order."""
    lines = [b.line("cheap"), b.line("dear", width=b.mm(400.0), value=9)]
    filler = b.filler(b.scenario(lines, brief={"objective": objective}), [1000.0])
    filling = filled(filler, [BlockPlan(0, "goods", TWO_ROWS)], [1000.0])
    kept(filler, filling)
    count = {"facings": (20, 0), "value": (4, 4)}[objective]
    assert (filling.total("cheap"), filling.total("dear")) == count
    facings, value = sum(count), count[0] + 9 * count[1]
    score = filler.score(filling)
    assert (score.worth, score.second) == (
        (facings, value) if objective == "facings" else (value, facings)
    )


def hung(money: float | None, lines: list[Line] | None = None, **changes: Any) -> Filler:
    """Give a filler of one slat-wall face on which each jar costs a hook of 1.5."""
    hook = {"id": "hook", "kind": "hook", "depth": b.mm(200.0), "load": "9 kg", "price": 1.5}
    hook |= changes
    lines = lines or [b.line(ways=["hook"])]
    given = b.scenario(lines, sheets=[b.SHEET], brackets=[hook])
    slat = b.FaceClass("slat", 12, 75.0, 900.0, 500.0, 300.0, 0.0)
    return b.filler(given, [1000.0], money, classes=(slat,))


@pytest.mark.parametrize(("money", "facings"), [(14.99, 9), (15.0, 10), (15.01, 10), (None, 20)])
def test_money_for_brackets(money: float | None, facings: int):
    """Hooks at 1.50 each are hung as long as money lasts."""
    filler = hung(money)
    filling = filled(filler, [BlockPlan(0, "goods", TWO_ROWS)], [1000.0])
    kept(filler, filling)
    assert filling.total("jar") == facings


@pytest.mark.parametrize(("money", "facings"), [(3.33, 9), (3.3333, 9), (3.34, 10)])
def test_thirds_of_money_are_not_rounded_away(money: float, facings: int):
    """Hooks at three for 1 cost a third each, and ten of them more than 3.33."""
    filler = hung(money, price=1, pack=3)
    filling = filled(filler, [BlockPlan(0, "goods", TWO_ROWS)], [1000.0])
    assert filling.total("jar") == facings
    kept(filler, filling)
    again, _ = refit(filler, Filling([], []), [0], ["goods"], EFFORT, 1, 0, StopFlag())
    assert again.total("jar") == facings
    kept(filler, again)


def test_money_spent_elsewhere_is_gone():
    """What other categories' hooks cost is not spent twice."""
    lines = [b.line(ways=["hook"]), b.line("mug", category="mugs", ways=["hook"])]
    filler = hung(15.0, lines)
    plans = [BlockPlan(0, "goods", TWO_ROWS), BlockPlan(0, "mugs", TWO_ROWS)]
    start = Filling(plans, [500 * PER_MM, 500 * PER_MM], {(1, 0, "mug"): 4})
    filling = filler.refill(start, ["goods"], EFFORT, 1, 0, StopFlag())
    kept(filler, filling)
    assert filling.total("mug") == 4
    assert filling.total("jar") == 6


def test_later_stages_keep_the_earlier_ones():
    """Second, then cost: value rises at the same facings, then money falls at the same value."""
    lines = [
        b.line("plain", ways=["hook"], max_facings=20),
        b.line("fine", ways=["hook"], max_facings=6, value=5),
    ]
    filler = hung(None, lines)
    plans = [BlockPlan(0, "goods", TWO_ROWS)]
    start = Filling(plans, [1000 * PER_MM], {(0, 0, "plain"): 10, (0, 1, "plain"): 10})
    second = filler.refill(start, ["goods"], EFFORT, 1, 0, StopFlag(), True, "second")
    kept(filler, second)
    assert (second.total("fine"), second.total("plain")) == (6, 14)
    cost = filler.refill(second, ["goods"], EFFORT, 1, 0, StopFlag(), True, "cost")
    assert filler.score(cost).key() >= filler.score(second).key()


def test_fixed_widths_stay():
    """Where block widths are fixed, only what stands in them changes."""
    filler = b.filler(b.scenario(), [1000.0])
    filling = filled(filler, [BlockPlan(0, "goods", TWO_ROWS)], [550.0], fixed_widths=True)
    assert filling.widths == [550 * PER_MM]
    assert filling.total("jar") == 10
    loose = filled(filler, [BlockPlan(0, "goods", TWO_ROWS)], [550.0])
    assert loose.total("jar") == 20


def test_blocks_follow_the_relaxation_along_the_faces():
    """A block that meets the end of a face goes on at the start of the next; nothing overhangs."""
    lines = [b.line(), b.line("mug", category="mugs")]
    filler = b.filler(b.scenario(lines), [1000.0, 600.0])
    start = filler.start({("mugs", 0, TWO_ROWS): 700.0, ("goods", 0, TWO_ROWS): 800.0})
    laid = [
        (plan.face, plan.category, width)
        for plan, width in zip(start.plans, start.widths, strict=True)
    ]
    assert laid == [
        (0, "goods", 800 * PER_MM),
        (0, "mugs", 200 * PER_MM),
        (1, "mugs", 500 * PER_MM),
    ]
    too_much = filler.start({("goods", 0, TWO_ROWS): 5000.0})
    assert too_much.widths == [1000 * PER_MM, 600 * PER_MM]
    assert filler.start({}).plans == []


def test_allowed_refuses_each_excess():
    """Too many facings, too wide blocks and too much money are each refused."""
    filler = hung(3.0, [b.line(ways=["hook"], max_facings=2)])
    plans = [BlockPlan(0, "goods", TWO_ROWS)]
    assert filler.allowed(Filling(plans, [1000 * PER_MM], {(0, 0, "jar"): 2}))
    assert not filler.allowed(Filling(plans, [1000 * PER_MM + 1], {(0, 0, "jar"): 2}))
    assert not filler.allowed(Filling(plans, [1000 * PER_MM], {(0, 0, "jar"): 2, (0, 1, "jar"): 1}))
    poor = hung(2.99, [b.line(ways=["hook"], max_facings=2)])
    assert not poor.allowed(Filling(plans, [1000 * PER_MM], {(0, 0, "jar"): 2}))


@pytest.mark.parametrize(
    ("length", "whole"), [(100.0, 8000), (88.9, 7112), (1.5875, 127), (82.551, 6605), (0.001, 1)]
)
def test_lengths_round_up(length: float, whole: int):
    """Goods never become narrower by rounding."""
    assert grains(length) == whole


def test_a_stop_leaves_the_filling_whole():
    """With the stop flag up, the answer is still a filling that keeps every rule."""
    filler = b.filler(b.scenario(), [1000.0])
    stop = StopFlag()
    stop.request()
    start = Filling([BlockPlan(0, "goods", TWO_ROWS)], [1000 * PER_MM], {(0, 0, "jar"): 3})
    filling = filler.refill(start, ["goods"], EFFORT, 1, 0, stop)
    kept(filler, filling)
    assert filling.total("jar") >= 3


lines_drawn = st.builds(
    lambda n, width, height, least, more, holding, value, category: b.line(
        f"line {n}",
        category=category,
        width=b.mm(width / 10),
        height=b.mm(height),
        min_facings=least,
        max_facings=least + more,
        holding=holding,
        value=value,
    ),
    st.integers(0, 999),
    st.integers(300, 4000),
    st.integers(50, 450).map(float),
    st.integers(0, 2),
    st.integers(0, 6),
    st.integers(0, 10),
    st.integers(1, 9),
    st.sampled_from(["a", "z"]),
)
ranges = st.lists(lines_drawn, min_size=1, max_size=5, unique_by=lambda line: line.line)


@settings(max_examples=15)
@given(ranges, st.integers(3000, 12000), st.integers(3000, 9000))
def test_fillings_of_any_range_keep_the_rules(lines: list[Line], one: int, other: int):
    """From the relaxation's blocks, each refill keeps every rule and is no worse than before."""
    filler = b.filler(b.scenario(lines), [one / 10, other / 10])
    blocks = {
        (category, 0, pattern): 400.0
        for (category, _), own in filler.display.patterns.items()
        for pattern in own[:2]
    }
    filling = filler.start(blocks)
    kept(filler, filling)
    for fixed in (True, False):
        score = filler.score(filling).key()
        filling = filler.refill(
            filling, filler.site.scenario.categories, 0.05, 1, 0, StopFlag(), fixed_widths=fixed
        )
        kept(filler, filling)
        assert filler.score(filling).key() >= score
