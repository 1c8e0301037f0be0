"""Places where one face can go on in another: all that a fixed floor has, and no others."""

from __future__ import annotations

import itertools

import pytest

from shopfit.bench.instances import instance
from shopfit.model.scenario import Scenario
from shopfit.solver.candidates import candidates
from shopfit.solver.fixing import fix
from shopfit.solver.floor import FloorAnswer, FloorProblem
from shopfit.solver.joints import joints
from shopfit.solver.neighbours import neighbours
from shopfit.solver.site import Site

from . import build as b

# The first positions of a shop are looked at in pairs.
MOST = 120


def wishing(scenario: Scenario) -> Scenario:
    """Give a shop one wish on the places of goods, so that neighbours are looked at."""
    brief = scenario.shop.brief
    rules = brief.merchandising.model_validate({"blocks": {scenario.categories[0]: 1}})
    brief = brief.model_copy(update={"merchandising": rules})
    shop = scenario.shop.model_copy(update={"brief": brief})
    return scenario.model_copy(update={"shop": shop})


def adjoining(problem: FloorProblem, i: int, j: int) -> bool:
    """Say whether a face of one position goes on in one of another where both stand."""
    fixed = fix(problem, FloorAnswer((i, j), (i, j)))
    near = neighbours(problem.site, fixed.faces)
    assert near is not None
    over = {run.id: run.over for run in fixed.runs}
    owners = [over.get(face.host, (face.host,)) for face in fixed.faces]
    joined = any(len(tags) > 1 for tags in over.values())
    return joined or any(owners[link.left] != owners[link.right] for link in near.links)


@pytest.mark.parametrize("seed", range(2))
def test_fixtures_side_by_side_and_slat_wall_side_by_side_meet_at_a_joint(seed: int):
    """Wherever faces of two positions at one wall adjoin, a joint has the one and the other."""
    problem, _ = b.floor(wishing(instance("stall", seed)))
    found = problem.candidates[:MOST]
    told = {
        frozenset((i, j)) for ending, beginning in joints(found) for i in ending for j in beginning
    }
    some = False
    for i, j in itertools.combinations(range(len(found)), 2):
        one, other = found[i], found[j]
        same = one.placement.wall == other.placement.wall
        if one.fixture is None or other.fixture is None or one.placement.wall is None or not same:
            continue
        if one.body.intersection(other.body).area < 1.0 and adjoining(problem, i, j):
            some = True
            assert frozenset((i, j)) in told
    assert some


def test_at_a_joint_at_most_one_ends_and_one_begins():
    """What ends at one place overlaps, and so does what begins there."""
    found = candidates(Site(instance("stall", 0)))
    for joint in joints(found):
        for group in joint:
            for i, j in itertools.combinations(group, 2):
                assert found[i].body.intersection(found[j].body).area > 1.0


@pytest.mark.parametrize(("gap", "near"), [(50.7, True), (50.8, False), (50.9, False)])
def test_fixtures_a_little_apart(gap: float, near: bool):
    """Faces less than 50.8 mm apart go on in one another."""
    given = b.scenario(
        fixtures=[b.fixture(width=b.mm(1000.0 - gap))], brief={"step": b.mm(1000.0)}, width=3000.0
    )
    found = candidates(Site(given))
    pairs = {
        (found[i].placement.offset_mm, found[j].placement.offset_mm)
        for ending, beginning in joints(found)
        for i in ending
        for j in beginning
        if found[i].placement.wall == "N" == found[j].placement.wall
    }
    assert ((0.0, 1000.0) in pairs) is near
