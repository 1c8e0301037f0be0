"""Sets that close a way, widened: whatever stands in a member's place closes it as well."""

from __future__ import annotations

import itertools

import pytest

from shopfit.solver.connect import Blockage, blockages, staff_reached
from shopfit.solver.floor import FloorAnswer, FloorProblem
from shopfit.solver.widening import Widened, widened

from . import build as b
from .test_connect import ZONE, chosen, passage, plinth


def only(problem: FloorProblem, numbers: list[int]) -> Blockage:
    """Give the one set among these that closes a way."""
    found = blockages(problem, FloorAnswer(tuple(sorted(numbers)), ()))
    (group,) = [one for one in found if one <= set(numbers)]
    return group


def closed_by_all(problem: FloorProblem, wide: Widened, front: int) -> bool:
    """Say whether every choice of as many members as may not stand cuts the front off."""
    apart = {(i, j) for group in problem.cliques for i in group.tolist() for j in group.tolist()}
    others = sorted(wide.members - {front})
    return all(
        front
        in {
            i
            for group in blockages(problem, FloorAnswer(tuple(sorted((*some, front))), ()))
            for i in group
        }
        for some in itertools.combinations(others, wide.most)
        if not any(pair in apart for pair in itertools.combinations(some, 2))
    )


def test_places_a_step_on_close_the_way_as_well():
    """Two plinths that close a passage do so a step on, too, and every such choice is forbidden."""
    problem, _ = b.floor(passage(plinth("plinth", 600.0)))
    west, east, goal = chosen(
        problem, ("plinth", "W", 3000.0), ("plinth", "E", 2100.0), ("cab", "N", 300.0)
    )
    closing = only(problem, [west, east, goal])
    wide = widened(problem, closing)
    assert wide.members > closing
    assert wide.most == len(closing) - 1
    assert closed_by_all(problem, wide, goal)


def test_staff_cut_off_in_many_ways():
    """What keeps staff out of their zone is widened in the same way."""
    problem, _ = b.floor(passage(plinth("plinth", 650.0), zones=ZONE))
    west, east = chosen(problem, ("plinth", "W", 3000.0), ("plinth", "E", 2100.0))
    closing = only(problem, [west, east])
    wide = widened(problem, closing)
    assert wide.members > closing
    assert wide.most == 1
    apart = {(i, j) for group in problem.cliques for i in group.tolist() for j in group.tolist()}
    for pair in itertools.combinations(sorted(wide.members), 2):
        assert pair in apart or not staff_reached(problem, list(pair))


@pytest.mark.parametrize("lasting", [True, False])
def test_what_does_not_last_or_is_not_known_stays_as_it_is(lasting: bool):
    """Without a front nothing is walked, and a set that does not last is never widened."""
    problem, _ = b.floor(passage(plinth("plinth", 650.0)))
    front = None if lasting else 0
    closing = Blockage({0, 1, 2}, lasting=lasting, front=front)
    assert widened(problem, closing) == Widened(frozenset({0, 1, 2}), 2)
