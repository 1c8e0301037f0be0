"""Floors are chosen with care first, and with less of it where care costs much."""

from __future__ import annotations

import math

import pytest

from shopfit.model.options import SolveOptions
from shopfit.solver import choosing
from shopfit.solver.candidates import candidates
from shopfit.solver.choosing import CHOOSING_SHARE, FURTHER_ROUNDS, NEAR, FloorChooser
from shopfit.solver.connect import Blockage
from shopfit.solver.floor import FloorAnswer, face_classes
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
    scenario = b.scenario([b.line("tea")], [isle])
    site = Site(scenario)
    found = candidates(site)
    assert any(each.stands_free for each in found)
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
    """More care and the rules alone may take what they need until one floor is open."""
    within = chooser.worked + CHOOSING_SHARE * SECONDS
    asked = place((100.0, False), (90.0, False), (99.0, False), (98.0, True))
    chooser.choose(0.01)
    assert [work for _, work in asked] == [within, math.inf, within, math.inf]
    asked = place((100.0, False), (90.0, True), (99.0, False), (98.0, True))
    chooser.choose(0.01)
    assert [work for _, work in asked] == [within, math.inf, within, within]


@pytest.mark.parametrize(("work", "rounds"), [(0.0, 1), (1.5, 2), (1.6, 3), (1e9, 4)])
def test_the_floor_of_the_bound_is_one_on_which_all_is_reached(chooser, monkeypatch, work, rounds):
    """Rounds go on from it until nothing is cut off, or as long as there is work."""
    solved = []

    def solve(program, limits, stop):
        solved.append(program._entries)
        own = FloorAnswer((len(solved),), ())
        return JointAnswer(own, 90.0 - len(solved), bound=100.0 - len(solved), worked=0.75)

    def cut_off(problem, floor):
        return [] if floor.chosen == (4,) else [Blockage({0, floor.chosen[0]}, lasting=False)]

    monkeypatch.setattr(choosing.JointProgram, "solve", solve)
    monkeypatch.setattr(choosing, "blockages", cut_off)
    before = chooser.worked
    answer = chooser.bounded(0.01, work)
    assert len(solved) == rounds
    assert solved == sorted(set(solved)), "each round forbids something more"
    assert answer.bound == 99.0, (
        "the bound is that of the first round, before anything is forbidden"
    )
    assert answer.floor == (FloorAnswer((4,), ()) if rounds == 4 else None)
    assert answer.worked == chooser.worked - before == 0.75 * rounds


def test_the_best_open_floor_is_kept_where_nothing_better_opens(chooser, place):
    """The floor with too much care is better than one with ways closed."""
    asked = place((100.0, False), (80.0, True), (99.0, False), (98.0, False))
    assert chooser.choose(0.01)[1].value == 80.0
    assert len(asked) == RULES + 1


def test_without_any_open_floor_the_last_answer_is_given(chooser, place):
    """What the rules alone give is told, for its misses say why nothing fits."""
    place((None, False), (None, False), (None, False), (70.0, False))
    assert chooser.choose(0.01)[1].value == 70.0


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
