"""Floors are chosen with care first, and with less of it where care costs much."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from shopfit.model.fixtures import Fixture
from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario
from shopfit.solver import choosing
from shopfit.solver.candidates import candidates
from shopfit.solver.choosing import (
    CHOOSING_SHARE,
    FURTHER_ROUNDS,
    NEAR,
    NEARLY_BEST,
    OPENING_SHARE,
    PATIENT_SHARE,
    Chosen,
    FloorChooser,
)
from shopfit.solver.connect import all_reached
from shopfit.solver.floor import FloorAnswer, FloorProblem, face_classes
from shopfit.solver.floorturns import FloorTurns
from shopfit.solver.jointanswer import JointAnswer
from shopfit.solver.range_display import display
from shopfit.solver.site import Site
from shopfit.solver.worth import worth
from shopfit.stopping import StopFlag

from . import build as b

APART, CAREFUL, FURTHER, RULES = range(4)
SECONDS = 30.0


@pytest.fixture(scope="module")
def chooser() -> FloorChooser:
    """Give a chooser for a room with islands."""
    isle = b.fixture("isle", kind="table", width=b.mm(600.0), stands=["island"])
    made = chooser_of(isle)
    assert any(each.stands_free for each in made.problem.candidates)
    return made


def chooser_of(fixture: Fixture) -> FloorChooser:
    """Give a chooser for a room with fixtures of one kind."""
    return chooser_for(b.scenario([b.line("tea")], [fixture]))


def chooser_for(scenario: Scenario) -> FloorChooser:
    """Give a chooser for a shop."""
    site = Site(scenario)
    found = candidates(site)
    shown = display(site, face_classes(found))
    options = SolveOptions(seconds=SECONDS)
    return FloorChooser(site, found, shown, worth(scenario), options, StopFlag())


@pytest.fixture
def place(chooser, monkeypatch):
    """Give a function that sets what every way of choosing shows and whether all is reached."""

    def put(*shown: tuple[float | None, bool]) -> list[tuple[int, float]]:
        asked: list[tuple[int, float]] = []

        def placed(problem, program, rounds, work, gap):
            value, open_ways = shown[len(asked)]
            asked.append((rounds, work))
            answer = None if value is None else JointAnswer(FloorAnswer((len(asked),), ()), value)
            return answer, open_ways

        monkeypatch.setattr(chooser, "_place", placed)
        return asked

    return put


def test_a_careful_floor_that_is_open_is_taken(chooser, place):
    """Nothing more is asked once the first way of choosing has an open floor."""
    asked = place((100.0, True))
    assert chooser.choose(0.01)[1].value == 100.0
    assert len(asked) == 1


@pytest.mark.parametrize("value", [100 * NEAR + 0.1, 100 * NEAR])
def test_more_care_is_taken_where_it_costs_little(chooser, place, value):
    """A floor that keeps off walls is taken as long as it shows nearly what the first could."""
    asked = place((100.0, False), (value, True))
    assert chooser.choose(0.01)[1].value == value
    assert len(asked) == 2


def test_where_care_costs_much_the_first_way_goes_on(chooser, place):
    """What closed ways at first is forbidden further, within a part of the seconds."""
    asked = place((100.0, False), (100 * NEAR - 0.1, True), (99.0, True))
    assert chooser.choose(0.01)[1].value == 99.0
    assert asked[FURTHER] == (FURTHER_ROUNDS, chooser.worked + CHOOSING_SHARE * SECONDS)


def test_rounds_go_on_as_long_as_there_is_no_floor(chooser, place):
    """More care and the rules alone may take longer until one floor is open, but not for ever."""
    within = chooser.worked + CHOOSING_SHARE * SECONDS
    patience = chooser.worked + PATIENT_SHARE * SECONDS
    asked = place((100.0, False), (90.0, False), (99.0, False), (98.0, True))
    chooser.choose(0.01)
    assert [work for _, work in asked] == [within, patience, within, patience]
    asked = place((100.0, False), (90.0, True), (99.0, False), (98.0, True))
    chooser.choose(0.01)
    assert [work for _, work in asked] == [within, patience, within, within]


@pytest.fixture
def shut(monkeypatch):
    """Have no floor's ways opened by taking out and placing anew."""
    monkeypatch.setattr(FloorTurns, "opened", lambda turns, answer, seconds: None)


def test_what_closed_ways_is_told_where_the_seconds_are_spent(chooser, place, shut):
    """A floor with ways closed is given where the last way of choosing found no time."""
    place((100.0, False), (90.0, False), (99.0, False), (None, False))
    assert chooser.choose(0.01)[1].value == 99.0


@pytest.mark.parametrize("reached", [True, False])
def test_the_floor_of_the_bound_is_given_where_all_is_reached(chooser, monkeypatch, reached):
    """Where something is cut off on it there is a bound, and no floor."""
    own = FloorAnswer((1,), ())
    answer = JointAnswer(own, 90.0, bound=99.0, worked=0.75)
    monkeypatch.setattr(choosing.JointProgram, "solve", lambda *_: answer)
    monkeypatch.setattr(choosing, "all_reached", lambda problem, chosen: reached)
    before = chooser.worked
    found = chooser.bounded()
    assert found.bound == 99.0
    assert found.floor == (own if reached else None)
    assert chooser.worked - before == 0.75


@pytest.fixture
def turned(monkeypatch):
    """Give a list of what is asked of turns, each of which gains a facing."""
    asked: list[tuple[FloorProblem, Sequence[int], float]] = []

    def bettered(turns, answer, sizes, seconds):
        asked.append((turns.rules.problem, sizes, seconds))
        turns.worked += 0.25
        return replace(answer, value=answer.value + 1.0)

    monkeypatch.setattr(choosing.FloorTurns, "bettered", bettered)
    return asked


def test_parts_are_placed_anew_with_islands_apart_and_then_under_the_rules(chooser, turned):
    """Half the seconds go to islands that keep apart, the rest to all that the rules allow."""
    chooser.choose(0.01)
    before = chooser.worked
    found = chooser.bettered(JointAnswer(FloorAnswer((0,), ()), 20.0), 2.0, StopFlag())
    assert found.value == 22.0
    assert [(sizes, seconds) for _, sizes, seconds in turned] == [
        (choosing.APART_SIZES, 1.0),
        (choosing.SIZES, 1.75),
    ]
    assert [problem is chooser.problem for problem, _, _ in turned] == [False, True]
    assert chooser.worked - before == 0.5


def test_a_floor_with_ways_closed_is_not_bettered(chooser, turned, monkeypatch):
    """Neither one on which something is cut off, nor none at all."""
    monkeypatch.setattr(choosing, "all_reached", lambda problem, chosen: False)
    for answer in (JointAnswer(FloorAnswer((0,), ()), 20.0), JointAnswer(None)):
        assert chooser.bettered(answer, 2.0, StopFlag()) is answer
    assert turned == []


@pytest.mark.parametrize(("value", "asked"), [(100 * NEARLY_BEST, 0), (100 * NEARLY_BEST - 0.1, 1)])
def test_without_islands_the_best_is_not_bettered(turned, value, asked):
    """There the bound of the program is for all floors, so a floor near it is left alone."""
    plain = chooser_of(b.fixture())
    answer = JointAnswer(FloorAnswer((0,), ()), value, bound=100.0)
    plain.bettered(answer, 2.0, StopFlag())
    assert len(turned) == asked


def test_the_best_open_floor_is_kept_where_nothing_better_opens(chooser, place):
    """The floor with too much care is better than one with ways closed."""
    asked = place((100.0, False), (80.0, True), (99.0, False), (98.0, False))
    assert chooser.choose(0.01)[1].value == 80.0
    assert len(asked) == RULES + 1


def test_without_any_open_floor_the_last_answer_is_given(chooser, place, shut):
    """What the rules alone give is told, for its misses say why nothing fits."""
    place((None, False), (None, False), (None, False), (70.0, False))
    assert chooser.choose(0.01)[1].value == 70.0


def test_where_all_else_fails_the_last_floor_is_opened(chooser, place, monkeypatch):
    """What closes ways is taken out, under the rules alone and within a part of the seconds."""
    asked = []

    def opened(turns, answer, seconds):
        asked.append((answer.value, seconds))
        return JointAnswer(FloorAnswer((), ()), 60.0)

    monkeypatch.setattr(FloorTurns, "opened", opened)
    place((100.0, False), (None, False), (90.0, False), (70.0, False))
    problem, answer = chooser.choose(0.01)
    assert problem is chooser.problem
    assert answer.value == 60.0
    assert asked == [(70.0, OPENING_SHARE * SECONDS)]


def test_minimums_missed_are_compared_below_nothing(chooser, place):
    """Where even the best floor misses minimums its worth is negative, and near is near."""
    asked = place((-100.0, False), (-102.0, True))
    assert chooser.choose(0.01)[1].value == -102.0
    assert len(asked) == 2


def test_further_rounds_end_with_their_work(chooser):
    """No round begins once the work is spent."""
    problem = chooser.problem
    program = chooser._program(problem)
    chooser.worked = 5.0
    assert chooser._place(problem, program, 3, 4.9, 0.01) == (None, False)
    answer, _ = chooser._place(problem, program, 1, 5.0, 0.01)
    assert answer is not None


@pytest.mark.parametrize(
    ("own", "known", "reached", "better"),
    [
        (10.0, 9.0, True, True),
        (10.0, 10.0, True, True),
        (10.0, 11.0, True, False),
        (12.0, 9.0, False, False),
    ],
)
def test_a_floor_with_ways_closed_never_takes_the_place_of_an_open_one(
    chooser, monkeypatch, own, known, reached, better
):
    """Worth counts among floors on which everything is reached."""
    monkeypatch.setattr(choosing, "all_reached", lambda problem, chosen: reached)
    one, other = (
        Chosen(
            chooser, chooser._display, chooser.problem, JointAnswer(FloorAnswer((0,), ()), value)
        )
        for value in (own, known)
    )
    assert one.outshines(other) is better


def test_opposite_walls_keep_a_way_between_corners(monkeypatch):
    """Where the aisle is wider than what cabinets leave before one another, ways stay open.

    In a passage of 2200 mm cabinets 500 mm deep on both sides leave 1200, less than the aisle of
    1220; past the corners of cabinets on opposite walls there has to be as much.
    """
    goods = [b.line(f"tea{k}", max_facings=200) for k in range(3)]
    made = chooser_for(
        b.scenario(goods, [b.fixture()], width=2200.0, depth=9000.0, brief={"aisle": b.mm(1220.0)})
    )
    asked = rounds_of(made, monkeypatch)
    problem, answer = made.choose(0.01)
    assert answer is not None
    assert answer.floor is not None
    assert all_reached(made.problem, answer.floor.chosen)
    assert [open_ways for _, open_ways in asked[:2]] == [False, True]
    assert problem is asked[1][0]
    assert problem is not made.problem


def rounds_of(made: FloorChooser, monkeypatch) -> list[tuple[FloorProblem, bool]]:
    """Give a list of what floors are chosen from, and whether all was reached on them."""
    asked: list[tuple[FloorProblem, bool]] = []
    place = made._place

    def placed(problem, program, rounds, work, gap):
        found = place(problem, program, 1, work, gap)
        asked.append((problem, found[1]))
        return found

    monkeypatch.setattr(made, "_place", placed)
    return asked


@pytest.mark.parametrize(
    ("few", "budget", "gap", "trying"),
    [
        (0, 1e4, 0.0049, True),
        (0, 1e4, 0.005, False),
        (0, 1e4, 0.05, False),
        (0, None, 0.05, True),
        (1000, 1e4, 0.05, True),
    ],
)
def test_branches_are_not_tried_out_where_money_counts_and_positions_are_many(
    few: int, budget: float | None, gap: float, trying: bool, monkeypatch: pytest.MonkeyPatch
):
    """A node takes a second there; bounds, and floors without a budget, are searched as ever."""
    monkeypatch.setattr(choosing, "FEW_POSITIONS", few)
    own = chooser_for(b.scenario([b.line("tea")], brief={"budget": budget}))
    assert own.limits(gap).trying is trying
