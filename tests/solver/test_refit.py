"""Faces emptied and filled anew: limits kept, what stands elsewhere untouched, never worse."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopfit.model.range import Line
from shopfit.solver.fill import Filler
from shopfit.solver.filling import PER_MM, BlockPlan, Filling
from shopfit.solver.improve import improve
from shopfit.solver.refit import refit
from shopfit.stopping import StopFlag

from . import build as b
from .test_fill import NONE, TWO_ROWS, hung, kept, ranges

EFFORT = 0.3


def again(filler: Filler, filling: Filling, faces: list[int], categories: list[str]) -> Filling:
    found, used = refit(filler, filling, faces, categories, EFFORT, 1, 0, StopFlag())
    assert 0 <= used <= EFFORT * 1.5
    return found


def empty() -> Filling:
    return Filling([], [])


def test_an_empty_face_is_filled_to_the_optimum():
    """One tall row beside low ones cannot beat two low rows: 20 jars on 1000 mm."""
    lines = [b.line(), b.line("vase", height=b.mm(400.0))]
    filler = b.filler(b.scenario(lines), [1000.0])
    filling = again(filler, empty(), [0], ["goods"])
    kept(filler, filling)
    assert filling.total("jar") == 20


def test_the_division_of_the_height_is_chosen():
    """Wanted vases get one tall row in a block of their own category's division."""
    lines = [b.line(max_facings=4), b.line("vase", height=b.mm(400.0), category="vases")]
    filler = b.filler(b.scenario(lines), [1000.0])
    filling = again(filler, empty(), [0], ["goods", "vases"])
    kept(filler, filling)
    # Two rows of two jars are 200 mm wide, so eight vases stand beside them.
    assert (filling.total("jar"), filling.total("vase")) == (4, 8)


def test_other_faces_stay_as_they_are():
    """What stands on the faces not named is the same before and after, and counts."""
    filler = b.filler(b.scenario([b.line(max_facings=25)]), [1000.0, 1000.0])
    plans = [BlockPlan(0, "goods", TWO_ROWS), BlockPlan(1, "goods", TWO_ROWS)]
    start = Filling(plans, [1000 * PER_MM, 1000 * PER_MM], {(0, 0, "jar"): 10, (1, 0, "jar"): 3})
    filling = again(filler, start, [1], ["goods"])
    kept(filler, filling)
    left = {
        (filling.plans[block].pattern, row, name): count
        for (block, row, name), count in filling.facings.items()
        if filling.plans[block].face == 0
    }
    assert left == {(TWO_ROWS, 0, "jar"): 10}
    assert filling.total("jar") == 25


def test_nothing_is_given_back_for_nothing():
    """Where no filling is better, the very same one is handed back."""
    filler = b.filler(b.scenario(), [1000.0])
    start = Filling(
        [BlockPlan(0, "goods", TWO_ROWS)], [1000 * PER_MM], {(0, 0, "jar"): 10, (0, 1, "jar"): 10}
    )
    assert again(filler, start, [0], ["goods"]) is start
    assert again(filler, start, [0], []) is start


@pytest.mark.parametrize(("money", "facings"), [(14.99, 9), (15.0, 10), (None, 30)])
def test_money(money: float | None, facings: int):
    """Hooks at 1.50 each are hung as long as money lasts."""
    filler = hung(money)
    filling = again(filler, empty(), [0], ["goods"])
    kept(filler, filling)
    assert filling.total("jar") == facings


def test_minimums_of_lines_elsewhere_are_counted_once():
    """Facings on other faces already meet a minimum, so room goes to what is short."""
    lines = [b.line("a", min_facings=5), b.line("z", min_facings=8, category="zed")]
    filler = b.filler(b.scenario(lines), [1000.0, 500.0])
    start = Filling([BlockPlan(0, "goods", TWO_ROWS)], [1000 * PER_MM], {(0, 0, "a"): 5})
    filling = again(filler, start, [1], ["goods", "zed"])
    kept(filler, filling)
    assert filler.score(filling).short == 0
    assert filling.total("z") >= 8


def test_holding_goes_before_facings():
    """Deep goods hold few units a facing; as many facings stand as the holding needs."""
    lines = [
        b.line("deep", depth=b.mm(400.0), width=b.mm(300.0), holding=5),
        b.line("thin", category="thin"),
    ]
    filler = b.filler(b.scenario(lines), [1000.0])
    filling = again(filler, empty(), [0], ["goods", "thin"])
    kept(filler, filling)
    assert filling.total("deep") == 5 or filler.score(filling).short == 0
    assert filling.total("deep") >= 5


def test_bands_are_kept():
    """A line for the upper row stays out of the lower one."""
    bands = [{"id": "up", "bottom": b.mm(350.0), "top": b.mm(600.0)}]
    lines = [b.line(band="up")]
    filler = b.filler(b.scenario(lines, brief={"bands": bands}), [1000.0])
    filling = again(filler, empty(), [0], ["goods"])
    kept(filler, filling)
    assert filling.total("jar") == 10


@settings(max_examples=15)
@given(ranges, st.integers(2000, 12000), st.integers(2000, 9000), st.booleans())
def test_refits_of_any_range_keep_the_rules(
    lines: list[Line], one: int, other: int, by_value: bool
):
    """Face after face, and then both at once: every rule is kept and nothing gets worse."""
    brief = {"objective": "value" if by_value else "facings"}
    filler = b.filler(b.scenario(lines, brief=brief), [one / 10, other / 10])
    filling = empty()
    for faces in ([0], [1], [0, 1]):
        score = filler.score(filling).key()
        found, _ = refit(
            filler, filling, faces, filler.site.scenario.categories, 0.05, 1, 0, StopFlag()
        )
        kept(filler, found)
        assert filler.score(found).key() >= score
        shut = {0, 1} - set(faces)
        for face in shut:
            assert sorted(
                (filling.plans[k].category, r, name, n)
                for (k, r, name), n in filling.facings.items()
                if filling.plans[k].face == face
            ) == sorted(
                (found.plans[k].category, r, name, n)
                for (k, r, name), n in found.facings.items()
                if found.plans[k].face == face
            )
        filling = found


def mixed() -> Filler:
    """Give three faces and two categories that must be shared out among them."""
    lines = [
        b.line(f"{category}{n}", category=category, width=b.mm(width), max_facings=9)
        for category in ("a", "z")
        for n, width in enumerate((70.0, 110.0, 130.0, 190.0))
    ]
    return b.filler(b.scenario(lines), [1000.0, 700.0, 450.0])


@pytest.mark.parametrize("workers", [1, 2])
def test_improving_only_gets_better_and_is_repeatable(workers: int):
    """Every filling told of is better than the last, and a second run gives the same."""
    ends = []
    for _ in range(2):
        filler, told = mixed(), [(0.0, 0.0)]
        tell = lambda found: told.append(filler.score(found).key()[:3])  # noqa: E731, B023
        found = improve(filler, empty(), 0.15, workers, 3, StopFlag(), 1e9, tell)
        kept(filler, found)
        assert told == sorted(told)
        assert len(set(told)) == len(told)
        assert filler.score(found).key()[:3] == told[-1]
        ends.append((found.plans, found.widths, found.facings))
    assert ends[0] == ends[1]


def test_improving_ends_at_the_goal_and_at_a_stop():
    """At a goal already reached, or with the stop flag up, nothing is tried."""
    filler, stop = mixed(), StopFlag()
    start = empty()
    assert improve(filler, start, 5, 1, 0, stop, 0.0, lambda _: None) is start
    stop.request()
    assert improve(filler, start, 5, 1, 0, stop, 1e9, lambda _: None) is start
    assert refit(filler, start, [0], ["a"], EFFORT, 1, 0, stop) == (start, 0.0)


def test_patterns_are_kept_to_their_rows():
    """A row number of a block always lies within its division."""
    filler = mixed()
    found = again(filler, empty(), [0, 1, 2], ["a", "z"])
    kept(filler, found)
    assert all(row < len(found.plans[block].pattern.rows) for block, row, _ in found.facings)
    assert all(group == NONE for plan in found.plans for group in plan.pattern.groups)


@pytest.mark.parametrize("value", [1.0, 1e3, 1e6])
def test_dear_goods_are_filled_like_cheap_ones(value: float):
    """The range allows values up to a million a facing; the program's numbers still hold them."""
    lines = [
        b.line(f"ring {n}", value=value, min_facings=2, max_facings=50, holding=300)
        for n in range(8)
    ]
    given_shop = b.scenario(lines, brief={"objective": "value"})
    filler = b.filler(given_shop, [2400.0, 2400.0, 2400.0])
    filling = again(filler, empty(), [0, 1, 2], ["goods"])
    kept(filler, filling)
    assert filling.total("ring 0") > 0
    assert sum(filling.facings.values()) >= 130
