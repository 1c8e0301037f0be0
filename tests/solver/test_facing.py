"""Sets between opposite walls: all pairs that leave less than an aisle, and no others."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopfit.model.scenario import Scenario
from shopfit.solver.candidate import Candidate
from shopfit.solver.candidates import candidates
from shopfit.solver.facing import facing, largest_of
from shopfit.solver.site import Site

from . import build as b
from .test_connect import plinth

AISLE = 1300.0


def passage(width: float, *, plinths: float | None = None, **changes) -> Scenario:
    """Give a passage along which cabinets 500 mm deep stand on both sides, and perhaps plinths."""
    more = [] if plinths is None else [plinth("plinth", plinths)]
    brief = {"aisle": b.mm(AISLE)}
    return b.scenario(
        fixtures=[b.fixture(), *more], width=width, depth=5000.0, brief=brief, **changes
    )


def pairs(groups, found: list[Candidate]) -> set[tuple[int, int]]:
    """List the pairs of the sets that stand at different walls."""
    return {
        (i, j)
        for group in groups
        for i, j in itertools.combinations(group.tolist(), 2)
        if found[i].placement.wall != found[j].placement.wall
    }


def near(found: list[Candidate]) -> set[tuple[int, int]]:
    """List the pairs at the west and the east wall that are nearer than an aisle."""
    sides = [[i for i, c in enumerate(found) if c.placement.wall == wall] for wall in "WE"]
    return {
        (min(i, j), max(i, j))
        for i in sides[0]
        for j in sides[1]
        if found[i].body.distance(found[j].body) < AISLE - 0.1
    }


def clear(found: list[Candidate], pair: tuple[int, int]) -> bool:
    """Say whether two candidates leave an aisle between them."""
    return found[pair[0]].body.distance(found[pair[1]].body) >= AISLE


@settings(max_examples=25, deadline=None)
@given(st.floats(1900.0, 2600.0), st.sampled_from([None, 100.0, 400.0, 700.0]))
def test_all_pairs_nearer_than_an_aisle_and_no_others(width: float, plinths: float | None):
    """Every two at opposite walls between which nobody gets through are in some set together."""
    found = list(candidates(Site(passage(width, plinths=plinths))))
    told = pairs(facing(found, AISLE), found)
    assert near(found) <= told
    assert not any(clear(found, pair) for pair in told)


@pytest.mark.parametrize(("width", "some"), [(2299.0, True), (2300.0, False), (2301.0, False)])
def test_cabinets_that_leave_an_aisle_before_one_another_need_no_set(width: float, some: bool):
    """Between cabinets 500 mm deep an aisle of 1300 is left in a passage of 2300."""
    found = candidates(Site(passage(width)))
    assert bool(facing(found, AISLE)) is some


def test_what_stands_at_one_wall_shares_a_point():
    """Members of a set at the same wall overlap, so at most one of all of them can stand."""
    found = candidates(Site(passage(2200.0, plinths=400.0)))
    for group in facing(found, AISLE):
        for i, j in itertools.combinations(group.tolist(), 2):
            if found[i].placement.wall == found[j].placement.wall:
                assert found[i].body.distance(found[j].body) <= 0.1


def test_backs_to_each_other_are_no_way():
    """Of two rooms with a thin wall between them, what stands at both its sides may stand."""
    rooms = [
        {
            "id": room,
            "height": b.mm(2500.0),
            "corners": b.box(left, 0.0, left + 3000.0, 4000.0),
            "walls": [{"id": f"{room}{side}"} for side in "WNES"],
        }
        for room, left in (("A", 0.0), ("B", 3100.0))
    ]
    door = {"id": "door", "wall": "AS", "offset": b.mm(1000.0), "width": b.mm(900.0)}
    door |= {"height": b.mm(2100.0), "swing": "out", "latch": False}
    found = candidates(Site(b.scenario(rooms=rooms, doors=[door])))
    assert {"AE", "BW"} <= {one.placement.wall for one in found}
    told = pairs(facing(found, AISLE), list(found))
    assert all({found[i].placement.wall for i in pair} != {"AE", "BW"} for pair in told)


@given(st.lists(st.sets(st.integers(0, 7), min_size=1), max_size=12))
def test_sets_within_others_are_dropped(groups: list[set[int]]):
    """What is left is every set that lies in no other, once each."""
    left = largest_of([np.array(sorted(group)) for group in groups], 8)
    expected = {frozenset(g) for g in groups if not any(g < other for other in groups)}
    assert {frozenset(group.tolist()) for group in left} == expected
    assert len(left) == len(expected)
