"""Programs written down once: both solvers agree on them, and a bound of one holds for all."""

from __future__ import annotations

import itertools
import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopfit.model.options import SolveOptions
from shopfit.solver.peers.answers import Care, Course
from shopfit.solver.peers.cpsat import CpSat
from shopfit.solver.peers.engines import Ears, End
from shopfit.solver.peers.highs import Highs
from shopfit.solver.peers.program import FloorProgram, GoodsProgram
from shopfit.solver.peers.summed import SummedProgram
from shopfit.solver.peers.whole import WholeProgram, size_of

from .. import build as b
from .judge import mixed

ENGINES = {"CP-SAT": CpSat, "HiGHS": Highs}


def course(scenario: Any = None, seconds: float = 5.0) -> Course:
    options = SolveOptions(seconds=seconds, workers=1)
    return Course(scenario or b.scenario(), options, lambda *event: None)


def solved(program: GoodsProgram, engine: str, seconds: float = 1.5) -> tuple[End, float, float]:
    """Solve a program to its end: how, best worth and bound."""
    worths, bounds = [-math.inf], [math.inf]
    ears = Ears(lambda worth, _: worths.append(worth), bounds.append, lambda: False)
    end = ENGINES[engine](program, SolveOptions(workers=1), 0.0).solve(seconds, ears)
    return end, max(worths), min(bounds)


def knapsack(sizes: list[int], worths: list[int], room: int, least: int) -> GoodsProgram:
    program = GoodsProgram(course())
    columns = [program.column(3.0, float(worth)) for worth in worths]
    program.row(columns, [float(size) for size in sizes], high=float(room))
    program.row(columns, low=float(least))
    return program


small = st.integers(1, 6)


@given(
    st.lists(st.tuples(small, small), min_size=1, max_size=4), st.integers(0, 20), st.integers(0, 4)
)
@settings(max_examples=20)
def test_both_solvers_find_what_trying_all_finds(items: list[tuple[int, int]], room, least):
    """Worth, bound and impossibility are those of every combination tried."""
    sizes, worths = [size for size, _ in items], [worth for _, worth in items]
    tried = [
        sum(w * n for w, n in zip(worths, counts, strict=True))
        for counts in itertools.product(range(4), repeat=len(items))
        if sum(s * n for s, n in zip(sizes, counts, strict=True)) <= room and sum(counts) >= least
    ]
    for engine in ENGINES:
        end, worth, bound = solved(knapsack(sizes, worths, room, least), engine)
        if not tried:
            assert end is End.IMPOSSIBLE
            continue
        assert end is End.PROVED
        assert worth == pytest.approx(max(tried))
        assert bound == pytest.approx(max(tried))


@pytest.mark.parametrize("engine", ENGINES)
def test_rounding_loses_nothing(engine: str):
    """Three of 1.9 fit in 5.7 where a row is counted in tenths; rounded down they still do."""
    program = GoodsProgram(course())
    column = program.column(10.0, 1.0)
    program.row([column], [1.9], high=5.7, scale=10.0)
    assert solved(program, engine)[1] == 3


@pytest.mark.parametrize("engine", ENGINES)
def test_rows_added_later_count(engine: str):
    """A set forbidden between two searches is kept by the second."""
    program = FloorProgram(course())
    for stands in program.stands:
        program.worth[stands] = 1.0
    handed = ENGINES[engine](program, SolveOptions(workers=1), 0.0)
    floors = []
    ears = Ears(lambda _, value: floors.append(program.floor(value)), lambda _: None, lambda: False)
    handed.solve(5.0, ears)
    first = floors[-1]
    handed.add(program.forbidding(first.chosen))
    handed.solve(5.0, ears)
    assert not set(first.chosen) <= set(floors[-1].chosen)


@pytest.mark.parametrize("engine", ENGINES)
def test_enough_ends_a_search(engine: str):
    """A search that is told that it is enough ends early, without an error."""
    program = WholeProgram(course(mixed()), exact=True)
    ears = Ears(lambda *_: None, lambda _: None, lambda: True)
    end = ENGINES[engine](program, SolveOptions(workers=1), 0.0).solve(60.0, ears)
    assert end in (End.LIMIT, End.PROVED)


@pytest.mark.parametrize("engine", ENGINES)
def test_a_search_cut_short_proves_nothing_false(engine: str):
    """Ended before it has begun, a search tells no bound that is under the optimum."""
    program = SummedProgram(course(b.scenario(fixtures=[b.fixture(available=1)])))
    _, _, bound = solved(program, engine, seconds=1e-4)
    assert bound >= 20.0


@pytest.mark.parametrize("objective", ["facings", "value"])
def test_the_program_of_sums_bounds_the_whole_one(objective: str):
    """Faces added up can only show more; one block a face and category only less."""
    given_ = mixed(("tea",), objective=objective)
    summed = solved(SummedProgram(course(given_)), "HiGHS")[2]
    exact = solved(WholeProgram(course(given_), exact=True), "CP-SAT")
    choice = solved(WholeProgram(course(given_), exact=False), "CP-SAT")
    assert choice[1] <= exact[2] + 1e-6
    assert exact[1] <= summed + 1e-6
    assert exact[1] <= exact[2] + 1e-6


def test_a_remainder_takes_worth_away():
    """A row of 1000 mm holds ten jars of 100 and, with 70 mm off, nine."""
    given_ = b.scenario(fixtures=[b.fixture(available=1)])
    worths = [solved(SummedProgram(course(given_), off), "HiGHS")[1] for off in (0.0, 70.0)]
    assert worths == [pytest.approx(20.0), pytest.approx(18.0)]


def test_more_can_be_demanded():
    """What is worth as much as the best is no longer an answer, and at the optimum nothing is."""
    program = SummedProgram(course(b.scenario(fixtures=[b.fixture(available=1)])))
    program.demand(19.0)
    assert solved(program, "HiGHS")[1] == pytest.approx(20.0)
    program.demand(20.0)
    assert solved(program, "HiGHS")[0] is End.IMPOSSIBLE


def test_sizes_are_those_of_the_program():
    """What a program is estimated at is at most what it has, but for positions and sets."""
    own = course(mixed())
    for exact in (False, True):
        program = WholeProgram(own, exact)
        estimated = size_of(own, exact)
        assert 0.5 * len(program.low) <= estimated <= 1.2 * len(program.low)


def gondolas(**changes: Any) -> Any:
    """Give a room with gondolas, looked at from front and back, of which rows are tried too."""
    faces = [b.face(side=side) for side in ("front", "back")]
    isle = b.fixture(
        "isle", kind="gondola", width=b.mm(600.0), stands=["island"], faces=faces, **changes
    )
    brief = {"step": b.mm(600.0)}
    return b.scenario(fixtures=[isle], width=4500.0, depth=4500.0, brief=brief)


@pytest.mark.parametrize("engine", ENGINES)
def test_islands_of_a_row_count_one_by_one(engine: str):
    """Of five gondolas that can be had no more stand, in rows or alone, and money counts each."""
    own = course(gondolas(available=5))
    program = SummedProgram(own)
    assert any(candidate.row > 1 for candidate in own.problem.candidates)
    floors = []
    ears = Ears(lambda _, value: floors.append(program.floor(value)), lambda _: None, lambda: False)
    ENGINES[engine](program, SolveOptions(workers=1), 0.0).solve(4.0, ears)
    counts = [sum(own.problem.candidates[i].row for i in floor.chosen) for floor in floors]
    assert max(counts) == 5


def test_care_keeps_islands_apart_and_off_walls():
    """With care two islands that the rules let stand back to back exclude one another."""
    own = course(gondolas())
    rules, apart, clear = (FloorProgram(own, care) for care in Care)
    assert own.islands
    assert len(rules.stands) == len(apart.stands) == len(clear.stands)
    assert sum(rules.high[n] for n in rules.stands) == len(rules.stands)
    hemmed = sum(candidate.hemmed_in for candidate in own.problem.candidates)
    assert 0 < hemmed < len(clear.stands)
    assert sum(clear.high[n] for n in clear.stands) == len(clear.stands) - hemmed
    most = []
    for program in (rules, apart):
        for n in program.stands:
            program.worth[n] = 1.0
        most.append(solved(program, "HiGHS", 4.0)[1])
    assert most[0] > most[1]


def test_a_program_that_highs_does_not_take_is_an_error():
    """A column twice in a row is refused, not passed over in silence."""
    program = GoodsProgram(course())
    column = program.column(1.0, 1.0)
    program.row([column, column], high=1.0)
    with pytest.raises(ValueError, match="does not take"):
        Highs(program, SolveOptions(workers=1), 0.0)
