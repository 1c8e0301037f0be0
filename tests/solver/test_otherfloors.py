"""Floors one after the other: each has more of something than all before, and none closes a way."""

from __future__ import annotations

import itertools
from collections import Counter

import pytest

from shopfit.bench.instances import instance
from shopfit.model.options import SolveOptions
from shopfit.solver.candidates import candidates
from shopfit.solver.choosing import FloorChooser
from shopfit.solver.connect import all_reached
from shopfit.solver.fixing import fix
from shopfit.solver.floor import FloorAnswer, FloorProblem, face_classes
from shopfit.solver.otherfloors import OtherFloors, touching
from shopfit.solver.range_display import display
from shopfit.solver.run import solve
from shopfit.solver.site import Site
from shopfit.solver.worth import worth
from shopfit.stopping import StopFlag

from . import build as b

MOST = 40


def others(scenario) -> OtherFloors:
    """Give the floors of a shop, one after the other."""
    site = Site(scenario)
    found = candidates(site)
    shown, aim = display(site, face_classes(found)), worth(scenario)
    options = SolveOptions(seconds=10.0)
    return OtherFloors(FloorChooser(site, found, shown, aim, options, StopFlag()), shown, aim)


def each(floors: OtherFloors, known: float) -> list[tuple[float, FloorAnswer]]:
    """List the floors that could show more, passing over each."""
    given: list[tuple[float, FloorAnswer]] = []
    while len(given) < MOST:
        answer = floors.next(known, StopFlag())
        if answer is None:
            return given
        assert answer.floor is not None
        given.append((answer.value, answer.floor))
        floors.without(floors.problem, answer.floor)
    raise AssertionError("floors do not end")


def covers(problem: FloorProblem, one: FloorAnswer, other: FloorAnswer) -> bool:
    """Say whether a floor has as many faces of every width, and as much slat-wall."""

    def faces(floor: FloorAnswer) -> list[tuple[int, float]]:
        return [face for i in floor.chosen for face in problem.widths[i]]

    def hung(floor: FloorAnswer) -> Counter[int]:
        length = Counter[int]()
        for i in floor.slat:
            for k, width in problem.slat_widths[i]:
                length[k] += width
        return length

    enough = all(hung(one)[k] >= length - 0.5 for k, length in hung(other).items())
    return enough and all(
        sum(kind == k and own >= width - 0.01 for kind, own in faces(one))
        >= sum(kind == k and own >= width - 0.01 for kind, own in faces(other))
        for k, width in faces(other)
    )


@pytest.mark.parametrize("seed", [0, 2])
def test_each_floor_has_more_of_something_than_all_before(seed: int):
    """No floor is covered by an earlier one, all have open ways, and some day there is no more."""
    floors = others(instance("stall", seed))
    first = floors.next(0.0, StopFlag())
    assert first is not None
    known = first.value - 1.2
    given = each(floors, known)
    assert given
    for n, (value, floor) in enumerate(given):
        assert value >= known
        assert all_reached(floors.problem, floor.chosen)
        assert not any(covers(floors.problem, before, floor) for _, before in given[:n])


def test_none_is_given_that_could_not_show_more():
    """What is asked for is more than what is known: a whole facing where facings count."""
    floors = others(instance("stall", 0))
    first = floors.next(0.0, StopFlag())
    assert first is not None
    most = int(first.value)
    assert floors.next(most - 1.0, StopFlag()) is not None
    assert floors.next(float(most), StopFlag()) is None


def test_a_floor_of_other_positions_is_not_passed_over():
    """Numbers of one list of positions mean nothing in another."""
    floors, same = others(instance("stall", 0)), others(instance("stall", 0))
    first = floors.next(0.0, StopFlag())
    assert first is not None
    assert first.floor is not None
    floors.without(same.problem, first.floor)
    again = floors.next(0.0, StopFlag())
    assert again is not None
    assert again.floor == first.floor


def test_a_stop_ends_it():
    """No floor is looked for any more."""
    stop = StopFlag()
    stop.request()
    assert others(instance("stall", 0)).next(0.0, stop) is None


def test_pieces_that_touch_are_those_that_make_one_run():
    """Two pieces touch just where they are joined when a floor is fixed."""
    problem, _ = b.floor(instance("stall", 0))
    touch = set(touching(problem))
    assert touch
    hung = [i for i, one in enumerate(problem.candidates) if one.slat]
    bodies = [one.body for one in problem.candidates]
    for i, j in itertools.combinations(hung, 2):
        if bodies[i].intersection(bodies[j]).area < 1.0:
            runs = fix(problem, FloorAnswer((i, j), (i, j))).runs
            assert (len(runs) == 1) == ((i, j) in touch or (j, i) in touch)


def test_a_better_floor_is_found_once_one_is_filled_to_the_end():
    """The best of the floor chosen is 61; of one with fewer wide cabinets, and longer runs, 62."""
    scenario = instance("stall", 0)
    solution = solve(
        scenario, SolveOptions(seconds=10.0, workers=2), listener=lambda _: None, stop=StopFlag()
    )
    assert solution.layout is not None
    assert solution.layout.proof is not None
    assert solution.layout.proof.objective >= 62
