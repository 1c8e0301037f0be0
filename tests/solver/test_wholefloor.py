"""All faces in one program: limits kept, the very best found, and told when nothing is left."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopfit.bench.known import known
from shopfit.model.options import SolveOptions
from shopfit.model.range import Line
from shopfit.solver.filling import PER_MM, BlockPlan, Filling
from shopfit.solver.refit import refit
from shopfit.solver.run import solve
from shopfit.solver.wholefloor import MOST_CELLS, cells, fill_whole_floor, workable
from shopfit.stopping import StopFlag

from . import build as b
from .test_fill import TWO_ROWS, hung, kept, ranges

SECONDS = 5.0
EMPTY = Filling([], [])


@pytest.mark.parametrize(("width", "facings"), [(999.9, 18), (1000.0, 20), (1000.1, 20)])
def test_filled_to_the_last_facing(width: float, facings: int):
    """Ten jars of 100 mm fill 1000 mm; a tenth of a millimetre less holds nine a row."""
    filler = b.filler(b.scenario(), [width])
    answer = fill_whole_floor(filler, EMPTY, SECONDS, 0, StopFlag())
    assert answer.filling is not None
    kept(filler, answer.filling)
    assert answer.filling.total("jar") == facings
    assert answer.exhausted
    assert answer.finished


def test_the_best_is_known_to_be_the_best():
    """Where nothing better can stand on these faces, no filling is given and that is said."""
    filler = b.filler(b.scenario(), [1000.0])
    best = Filling(
        [BlockPlan(0, "goods", TWO_ROWS)], [1000 * PER_MM], {(0, 0, "jar"): 10, (0, 1, "jar"): 10}
    )
    answer = fill_whole_floor(filler, best, SECONDS, 0, StopFlag())
    assert (answer.filling, answer.exhausted) == (None, True)


@pytest.mark.parametrize(("enough", "counted"), [(1, 2), (2, 4), (3, 4), (99, 6)])
def test_facings_are_counted_until_there_are_enough(enough: int, counted: int):
    """Each of three faces adds its two rows of jars, until there are more than enough."""
    filler = b.filler(b.scenario(), [1000.0] * 3)
    assert cells(filler) == 6
    assert cells(filler, enough) == counted


def test_blocks_of_several_divisions_stand_side_by_side():
    """Wanted vases get a tall row beside two low rows of jars, of one category on one face."""
    lines = [b.line(max_facings=4), b.line("vase", height=b.mm(400.0))]
    filler = b.filler(b.scenario(lines), [1000.0])
    answer = fill_whole_floor(filler, EMPTY, SECONDS, 0, StopFlag())
    assert answer.filling is not None
    kept(filler, answer.filling)
    assert (answer.filling.total("jar"), answer.filling.total("vase")) == (4, 8)


@pytest.mark.parametrize(("least", "found"), [(9, 9), (10, 10), (11, None)])
def test_minimums_are_met_or_nothing_is_given(least: int, found: int | None):
    """Of vases 100 mm wide in a tall row as many stand as there must be, ten at most."""
    lines = [b.line(), b.line("vase", height=b.mm(400.0), min_facings=least)]
    filler = b.filler(b.scenario(lines), [1000.0])
    answer = fill_whole_floor(filler, EMPTY, SECONDS, 0, StopFlag())
    if found is None:
        assert answer.filling is None
        assert answer.exhausted
        return
    assert answer.filling is not None
    kept(filler, answer.filling)
    assert answer.filling.total("vase") == found


@pytest.mark.parametrize(("holding", "deep"), [(4, 1), (5, 2), (8, 2), (9, 3)])
def test_units_held_are_counted(holding: int, deep: int):
    """A wide line of four units a facing has as many facings as its holding needs."""
    wide = {"width": b.mm(300.0), "depth": b.mm(100.0)}
    lines = [b.line("deep", holding=holding, **wide), b.line("thin")]
    filler = b.filler(b.scenario(lines), [1000.0])
    assert filler.display.showings["deep", 0].units == 4
    answer = fill_whole_floor(filler, EMPTY, SECONDS, 0, StopFlag())
    assert answer.filling is not None
    kept(filler, answer.filling)
    assert answer.filling.total("deep") == deep


@pytest.mark.parametrize(("money", "facings"), [(14.99, 9), (15.0, 10), (None, 30)])
def test_money(money: float | None, facings: int):
    """Hooks at 1.50 each are hung as long as money lasts."""
    filler = hung(money)
    answer = fill_whole_floor(filler, EMPTY, SECONDS, 0, StopFlag())
    assert answer.filling is not None
    kept(filler, answer.filling)
    assert answer.filling.total("jar") == facings


def test_a_stop_ends_it_at_once():
    """Once a stop is asked for nothing is searched, and nothing is said to be exhausted."""
    stop = StopFlag()
    stop.request()
    answer = fill_whole_floor(b.filler(b.scenario(), [1000.0]), EMPTY, SECONDS, 0, stop)
    assert (answer.filling, answer.exhausted, answer.finished) == (None, False, False)


def test_of_use_for_few_faces_that_miss_nothing():
    """More facings in rows than the limit, or a minimum missed, are left to other searches."""
    few = b.filler(b.scenario(), [1000.0])
    each = cells(few)
    assert each > 0
    assert workable(few, EMPTY)
    most = MOST_CELLS // each
    assert workable(b.filler(b.scenario(), [1000.0] * most), EMPTY)
    assert not workable(b.filler(b.scenario(), [1000.0] * (most + 1)), EMPTY)
    assert not workable(b.filler(b.scenario([b.line(min_facings=1)]), [1000.0]), EMPTY)


@settings(max_examples=20)
@given(ranges, st.integers(2000, 8000), st.integers(2000, 6000), st.booleans())
def test_never_less_than_a_refit_of_all_faces(
    lines: list[Line], one: int, other: int, by_value: bool
):
    """Whatever a refit finds, one program finds as much or more, and what it ends with is best."""
    brief = {"objective": "value" if by_value else "facings"}
    given_lines = [line.model_copy(update={"min_facings": 0, "holding": 0}) for line in lines]
    filler = b.filler(b.scenario(given_lines, brief=brief), [one / 10, other / 10])
    names = filler.site.scenario.categories
    refitted, _ = refit(filler, EMPTY, [0, 1], names, 0.05, 1, 0, StopFlag())
    answer = fill_whole_floor(filler, EMPTY, SECONDS, 0, StopFlag())
    found = EMPTY if answer.filling is None else answer.filling
    kept(filler, found)
    assert answer.exhausted
    assert filler.score(found).worth >= filler.score(refitted).worth - 1e-3


@pytest.mark.parametrize("seed", [10, 14, 15])
def test_small_shops_with_a_known_optimum_are_proved(seed: int):
    """Shops cut from a finished layout, that whole faces at prices leave a facing or two short."""
    made = known("stall", seed)
    found = solve(
        made.scenario,
        SolveOptions(seconds=6, seed=1),
        listener=lambda progress: None,
        stop=StopFlag(),
    )
    assert found.layout is not None
    assert found.layout.proof is not None
    assert found.layout.proof.status == "proved"
    assert found.layout.proof.objective == made.optimum


def test_what_is_known_of_other_floors_is_to_be_bettered():
    """Asked for more than another floor shows, a floor that shows as much has no answer."""
    filler = b.filler(b.scenario(), [1000.0])
    most = fill_whole_floor(filler, EMPTY, SECONDS, 0, StopFlag())
    assert most.filling is not None
    worth = filler.score(most.filling).worth
    more = fill_whole_floor(filler, EMPTY, SECONDS, 0, StopFlag(), worth)
    assert (more.filling, more.exhausted) == (None, True)
    as_much = fill_whole_floor(filler, EMPTY, SECONDS, 0, StopFlag(), worth - 1)
    assert as_much.filling is not None
