"""Floors bettered part by part: never worse, every way open, what is pinned left alone."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from shopfit.model.scenario import Scenario
from shopfit.solver import floorturns
from shopfit.solver.connect import Blockage, all_reached
from shopfit.solver.facevalue import FaceValue, brought
from shopfit.solver.floor import FloorAnswer, FloorProblem
from shopfit.solver.floorturns import FloorTurns
from shopfit.solver.joint import JointProgram
from shopfit.solver.jointanswer import JointAnswer
from shopfit.solver.partprogram import FloorRules
from shopfit.solver.worth import worth
from shopfit.stopping import StopFlag

from . import build as b

SIZES = (1, 2, 4)
LONG = 1e3


def turns_of(
    scenario: Scenario, stop: StopFlag | None = None, seed: int = 0
) -> tuple[FloorProblem, FloorTurns]:
    problem, shown = b.floor(scenario)
    turns = FloorTurns(
        FloorRules(problem, 1.0),
        brought(problem, 0.0, 0.0),
        FaceValue(problem, shown, worth(scenario)),
        [],
        random.Random(seed),
        stop or StopFlag(),
    )
    return problem, turns


def poor(problem: FloorProblem, turns: FloorTurns, *chosen: int) -> JointAnswer:
    """Give a floor with few fixtures as an answer."""
    floor = FloorAnswer(chosen, ())
    faces = turns.faces.at(turns.brought.widths(floor), None)
    assert faces is not None
    return JointAnswer(floor, faces.value, 1e6, faces.short, faces.blocks)


def at(problem: FloorProblem, wall: str, offset: float) -> int:
    return next(
        i
        for i, c in enumerate(problem.candidates)
        if c.placement.wall == wall and c.placement.offset_mm == pytest.approx(offset)
    )


def test_from_a_poor_floor_to_the_best():
    """From one cabinet in the wrong place the optimum of the joint program is found."""
    scenario = b.scenario()
    problem, turns = turns_of(scenario)
    start = poor(problem, turns, at(problem, "N", 600.0))
    found = turns.bettered(start, SIZES, LONG)
    _, shown = b.floor(scenario)
    best = JointProgram(problem, shown, worth(scenario)).solve(b.LIMITS, StopFlag())
    assert start.value < found.value == pytest.approx(best.value)
    assert found.floor is not None
    assert all_reached(problem, found.floor.chosen)
    assert found.bound == start.bound
    own = turns.faces.at(turns.brought.widths(found.floor), None)
    assert own is not None
    assert found.value == pytest.approx(own.value)
    assert sum(found.blocks.values()) <= turns.brought.widths(found.floor).sum() + 1e-6
    assert turns.worked > 0.0
    assert turns.repeatable


def test_what_closes_a_way_is_not_placed(monkeypatch: pytest.MonkeyPatch):
    """As if cabinets on wall E hid what is behind them: as many stand as the others allow."""
    problem, turns = turns_of(b.scenario())
    east = [i for i, c in enumerate(problem.candidates) if c.placement.wall == "E"]
    asked = []

    def closed(floor_problem: FloorProblem, floor: FloorAnswer, kept: set[int]) -> list[Blockage]:
        asked.append(floor)
        assert kept < set(floor.chosen)
        return [Blockage(kept | {i}) for i in floor.chosen if i in east]

    monkeypatch.setattr(floorturns, "blockages", closed)
    monkeypatch.setattr(floorturns, "_MOST_ANSWERS", 50)
    start = poor(problem, turns, at(problem, "N", 600.0))
    found = turns.bettered(start, SIZES, LONG)
    assert found.floor is not None
    assert any(set(floor.chosen) & set(east) for floor in asked)
    assert not set(found.floor.chosen) & set(east)
    program = JointProgram(problem, b.floor(b.scenario())[1], worth(b.scenario()))
    program.exclude(east, 0)
    assert found.value == pytest.approx(program.solve(b.LIMITS, StopFlag()).value)


def test_pins_stay():
    """A pinned fixture is never taken away, though it stands where two could."""
    poor_one = b.fixture("poor", faces=[])
    pins = {"keep": [{"fixture": "poor", "wall": "N", "offset": b.mm(1000.0)}]}
    problem, turns = turns_of(b.scenario(fixtures=[b.fixture(), poor_one], pins=pins))
    (pin,) = [i for i, c in enumerate(problem.candidates) if c.pinned]
    found = turns.bettered(poor(problem, turns, pin), SIZES, LONG)
    other = next(
        i
        for i, free in enumerate(turns.rules.free([pin]))
        if free and problem.candidates[i].fixture == "cab"
    )
    more = turns.bettered(poor(problem, turns, *sorted((pin, other))), SIZES, LONG)
    for answer in (found, more):
        assert answer.floor is not None
        assert pin in answer.floor.chosen
    assert more.floor is not None
    assert len(more.floor.chosen) == 5, "four cabinets stand beside it"


@pytest.mark.parametrize("stopped", [True, False])
def test_without_seconds_or_after_a_stop_nothing_changes(stopped: bool):
    """The answer given is given back, itself."""
    stop = StopFlag()
    if stopped:
        stop.request()
    problem, turns = turns_of(b.scenario(), stop)
    start = poor(problem, turns, at(problem, "N", 600.0))
    assert turns.bettered(start, SIZES, LONG if stopped else 0.0) is start


def test_the_best_is_given_back():
    """A floor that cannot be bettered is given back, itself."""
    problem, turns = turns_of(b.scenario())
    found = turns.bettered(poor(problem, turns, at(problem, "N", 600.0)), SIZES, LONG)
    assert turns.bettered(found, SIZES, LONG) is found


def test_equal_turns_do_equal_work():
    """The same seed gives the same floor after the same work."""
    found = []
    for _ in range(2):
        problem, turns = turns_of(b.scenario(width=5000.0), seed=3)
        answer = turns.bettered(poor(problem, turns, at(problem, "N", 600.0)), SIZES, 0.5)
        found.append((answer.floor, answer.value, turns.worked))
    assert found[0] == found[1]


@pytest.mark.parametrize(("much", "most"), [(5e-3, 3), (1e9, 1)])
def test_it_goes_on_as_long_as_much_is_gained(
    much: float, most: int, monkeypatch: pytest.MonkeyPatch
):
    """Gains of a part of the worth earn as many seconds again; smaller ones end with the first."""
    monkeypatch.setattr(floorturns, "_MUCH", much)
    problem, turns = turns_of(b.scenario())
    start = poor(problem, turns, *sorted(at(problem, wall, 900.0) for wall in "WNE"))
    gains = iter([1.0, 1.0, 0.0, 0.0, 0.0])
    tried = []

    def anew(turns: FloorTurns, best: floorturns._Shown, centre: int, size: int) -> object:
        tried.append(centre)
        turns.worked += 1.0
        return replace(best, worth=best.worth + next(gains))

    monkeypatch.setattr(FloorTurns, "_anew", anew)
    assert turns.bettered(start, (1,), 0.5).value == start.value + min(most, 2)
    assert len(tried) == most


def test_strict_seconds_are_not_lengthened(monkeypatch: pytest.MonkeyPatch):
    """However much is gained, no part is begun after them."""
    problem, turns = turns_of(b.scenario())
    start = poor(problem, turns, *sorted(at(problem, wall, 900.0) for wall in "WNE"))
    tried = []

    def anew(turns: FloorTurns, best: floorturns._Shown, centre: int, size: int) -> object:
        tried.append(centre)
        turns.worked += 1.0
        return replace(best, worth=2 * best.worth)

    monkeypatch.setattr(FloorTurns, "_anew", anew)
    turns.bettered(start, (1,), 0.5, strict=True)
    assert len(tried) == 1


def closed_by_east(problem: FloorProblem, monkeypatch: pytest.MonkeyPatch) -> set[int]:
    """As if cabinets on wall E hid what is behind them; give these."""
    east = {i for i, c in enumerate(problem.candidates) if c.placement.wall == "E"}

    def closed(floor_problem: FloorProblem, floor: FloorAnswer, kept: set[int]) -> list[Blockage]:
        return [Blockage({i}) for i in floor.chosen if i in east]

    monkeypatch.setattr(floorturns, "blockages", closed)
    return east


def test_what_closes_ways_is_taken_out_and_the_rest_stays(monkeypatch: pytest.MonkeyPatch):
    """Two cabinets close a way, two do not: these are left, and what they can show is told."""
    problem, turns = turns_of(b.scenario())
    east = closed_by_east(problem, monkeypatch)
    own = [at(problem, "N", 600.0), at(problem, "W", 600.0)]
    start = poor(problem, turns, *sorted([*own, *sorted(east)[::40][:2]]))
    found = turns.opened(start, LONG)
    assert found is not None
    assert found.floor is not None
    assert set(found.floor.chosen) == set(own)
    assert found.value == pytest.approx(poor(problem, turns, *own).value)
    assert found.bound == start.bound


def test_what_must_be_there_is_placed_anew(monkeypatch: pytest.MonkeyPatch):
    """Two cabinets are wanted and one of two closes a way: it stands elsewhere then."""
    wanted = {"wanted": [{"fixture": "cab", "at_least": 2}]}
    problem, turns = turns_of(b.scenario(brief=wanted))
    east = closed_by_east(problem, monkeypatch)
    kept = at(problem, "N", 600.0)
    found = turns.opened(poor(problem, turns, *sorted([kept, min(east)])), LONG)
    assert found is not None
    assert found.floor is not None
    assert kept in found.floor.chosen
    assert len(found.floor.chosen) >= 2
    assert not east & set(found.floor.chosen)


def test_what_cannot_be_opened_in_the_time_is_none(monkeypatch: pytest.MonkeyPatch):
    """Without seconds nothing is taken out; a floor that is open is given as it is."""
    problem, turns = turns_of(b.scenario())
    east = closed_by_east(problem, monkeypatch)
    open_one = poor(problem, turns, at(problem, "N", 600.0))
    shut = poor(problem, turns, min(east))
    assert turns.opened(shut, 0.0) is None
    found = turns.opened(open_one, 0.0)
    assert found is not None
    assert found.floor == open_one.floor
    turns.stop.request()
    assert turns.opened(shut, LONG) is None
