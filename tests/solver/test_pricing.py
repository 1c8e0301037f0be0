"""Tests of filling single faces at prices, and whole floors by such fillings."""

from __future__ import annotations

import itertools
import random
from dataclasses import replace
from threading import Timer

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopfit.model.range import Line
from shopfit.solver.facefilling import Prices
from shopfit.solver.facesprogram import Demand
from shopfit.solver.fill import Filler
from shopfit.solver.filling import Filling
from shopfit.solver.master import Master
from shopfit.solver.pricing import Pricer
from shopfit.solver.renew import QUICK, THOROUGH, groups, kin, renew
from shopfit.stopping import StopFlag
from tests.solver import build as b
from tests.solver.test_fill import hung, kept

widths = st.integers(2, 12).map(lambda k: k * 25.0)
drawn = st.lists(st.tuples(widths, st.integers(1, 4), st.integers(1, 9)), min_size=1, max_size=4)


def lines_of(entries: list[tuple[float, int, int]]) -> list[Line]:
    """Make lines of one category from widths and most facings."""
    return [
        b.line(f"l{n}", width=b.mm(width), max_facings=most)
        for n, (width, most, _) in enumerate(entries)
    ]


def pricer_of(filler: Filler) -> Pricer:
    """Make the pricer of a filler's faces."""
    lines = {name: filler.lines(name) for name in filler.site.scenario.categories}
    return Pricer(lines, filler.display, filler.faces)


@pytest.mark.parametrize(("each_row", "shown"), [(False, 3), (True, 6)])
def test_most_facings_limit_a_filling_or_each_of_its_rows(each_row: bool, shown: int):
    """Two rows hold five each and three are wanted: three in all, or three in each row."""
    filler = b.filler(b.scenario([b.line(width=b.mm(200.0), max_facings=3)]), [1000.0])
    lines = {name: filler.lines(name) for name in filler.categories}
    pricer = Pricer(lines, filler.display, filler.faces, each_row)
    kind = pricer.types[0]
    value, filling = pricer.priced(kind, Prices({"jar": 0.0}, {"jar": 1.0}), {"jar": 3}).best(
        kind.units
    )
    assert value == 6.0
    assert filling.facings == {"jar": shown}


@settings(max_examples=40)
@given(drawn, st.integers(8, 40))
def test_no_filling_of_one_row_is_worth_more(entries: list[tuple[float, int, int]], width: int):
    """A face with one row is a bounded knapsack; trying everything finds no more."""
    lines = lines_of(entries)
    one_row = replace(b.SHELF, levels=b.SHELF.levels // 2)
    filler = b.filler(b.scenario(lines), [width * 25.0], classes=(one_row,))
    pricer = pricer_of(filler)
    worth = {line.line: float(own[2]) for line, own in zip(lines, entries, strict=True)}
    prices = Prices(dict.fromkeys(worth, 0.0), worth)
    caps = {line.line: line.max_facings for line in lines}
    kind = pricer.types[0]
    value, filling = pricer.priced(kind, prices, caps).best(kind.units)
    best = max(
        sum(n * worth[line.line] for n, line in zip(counts, lines, strict=True))
        for counts in itertools.product(*(range(line.max_facings + 1) for line in lines))
        if sum(n * ln.width for n, ln in zip(counts, lines, strict=True)) <= width * 25.0
    )
    assert len(filler.display.patterns["goods", 0][0].rows) == 1
    assert value == pytest.approx(best)
    assert sum(n * worth[name] for name, n in filling.facings.items()) == pytest.approx(best)


def test_narrower_faces_are_priced_with_the_widest():
    """What is worked out for a wide face gives the same for a narrow one as for it alone."""
    lines = [b.line("a", width=b.mm(150.0)), b.line("b", width=b.mm(225.0))]
    filler = b.filler(b.scenario(lines), [1200.0, 700.0])
    pricer = pricer_of(filler)
    prices = Prices({"a": 1.0, "b": 1.7}, {"a": 0.0, "b": 0.0})
    caps = {"a": 4, "b": 4}
    wide, narrow = pricer.types
    together = pricer.priced(wide, prices, caps).best(narrow.units)
    alone = pricer.priced(narrow, prices, caps).best(narrow.units)
    assert together[0] == pytest.approx(alone[0])
    assert together[1].facings == alone[1].facings


def test_new_goods_keep_to_near_faces():
    """A face too far from the entrance is not given new goods, whatever their price."""
    lines = [b.line("old"), b.line("fresh", new=True)]
    filler = b.filler(b.scenario(lines), [1000.0])
    pricer = pricer_of(filler)
    kind = pricer.types[0]
    prices = Prices({"old": 1.0, "fresh": 9.0}, {"old": 0.0, "fresh": 0.0})
    caps = {"old": 4, "fresh": 4}
    far = type(kind)(kind.kind, kind.units, near=False)
    assert "fresh" in pricer.priced(kind, prices, caps).best(kind.units)[1].facings
    assert set(pricer.priced(far, prices, caps).best(far.units)[1].facings) == {"old"}


@settings(max_examples=12)
@given(drawn, st.lists(st.integers(12, 40), min_size=1, max_size=3))
def test_renewals_keep_every_rule_and_are_no_worse(
    entries: list[tuple[float, int, int]], faces: list[int]
):
    """A renewal never breaks a rule nor loses what stood before."""
    filler = b.filler(b.scenario(lines_of(entries)), [width * 25.0 for width in faces])
    filling = Filling([], [])
    for depth in (QUICK, THOROUGH):
        before = filler.score(filling).key()
        filling = renew(filler, filling, range(len(faces)), depth, 0, StopFlag())
        kept(filler, filling)
        assert filler.allowed(filling)
        assert filler.score(filling).key() >= before


@pytest.mark.parametrize(
    ("money", "facings"), [(14.99, 9), (15.0, 10), (44.9, 29), (45.0, 30), (None, 30)]
)
def test_money_limits_what_is_taken(money: float | None, facings: int):
    """Ten hooks at 1.50 need 15.00; a cent less never buys more than nine.

    For 44.90 the program takes nearly all of a filling of 30, which no choice ends with.
    """
    stop = StopFlag()
    guard = Timer(10.0, stop.request)
    guard.start()
    filler = hung(money)
    lines = {name: filler.lines(name) for name in filler.site.scenario.categories}
    names = [line.line for own in lines.values() for line in own]
    demand = Demand(
        dict.fromkeys(names, 1000), dict.fromkeys(names, 0), dict.fromkeys(names, 0), {}, money
    )
    master = Master(lines, filler.display, filler.faces, demand, filler.worth)
    assert master.generate(8, stop, 0) is not None
    master.dive(2, 2, stop)
    guard.cancel()
    assert not stop.requested
    filling = master.filling(filler.faces)
    assert sum(filling.facings.values()) <= facings
    assert filler.allowed(filling)
    if money is None:
        assert sum(filling.facings.values()) == facings


def test_groups_hold_every_face_once():
    """Many faces are split into groups, none left out and none twice."""
    filler = b.filler(b.scenario(), [500.0] * 90)
    found = groups(filler, Filling([], []))
    assert sorted(n for group in found for n in group) == list(range(90))
    assert len(found) > 1


def test_kin_is_as_large_as_asked():
    """A group drawn has as many different faces as asked, or all there are."""
    filler = b.filler(b.scenario(), [500.0] * 5)
    assert len(set(kin(filler, Filling([], []), random.Random(1), 3))) == 3
    assert kin(filler, Filling([], []), random.Random(1), 9) == [0, 1, 2, 3, 4]
