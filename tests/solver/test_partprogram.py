"""Parts of a floor placed anew: each rule of the floor alone, beside what is kept."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from shopfit.model.scenario import Scenario
from shopfit.solver.facevalue import FaceValue, brought
from shopfit.solver.floor import FloorAnswer, FloorProblem
from shopfit.solver.joint import JointProgram
from shopfit.solver.partprogram import FloorRules, PartAnswer, PartProgram
from shopfit.solver.worth import worth
from shopfit.stopping import StopFlag

from . import build as b

HOOK = {"id": "hook", "kind": "hook", "depth": b.mm(100.0), "load": "5 kg", "price": 2}
SHEET = {**b.SHEET, "width": b.mm(1000.0), "height": b.mm(900.0)}
TAG = b.line("tag", ways=["hook"], height=b.mm(100.0))
PLINTH = b.fixture(slat_above=True, faces=[], kind="plinth")
ZONE = {"id": "till", "kind": "staff", "corners": b.box(0.0, 1600.0, 3000.0, 3000.0)}
TILL = b.fixture("till", kind="counter", stands=["divider"], faces=[b.face()])
NOTHING = FloorAnswer((), ())
ROUNDS = 40

RULES = {
    "conflicts": b.scenario(),
    "wanted": b.scenario(brief={"wanted": [{"fixture": "cab", "at_least": 0, "at_most": 2}]}),
    "stock": b.scenario(fixtures=[b.fixture(available=1, owned=2)]),
    "budget": b.scenario(brief={"budget": 250.0}),
    "owned": b.scenario(fixtures=[b.fixture(owned=1)], brief={"budget": 250.0}),
    "brackets": b.scenario(
        [TAG], [PLINTH], sheets=[SHEET], brackets=[HOOK], brief={"budget": 350.0}
    ),
    "sheets": b.scenario([TAG], [PLINTH], sheets=[{**SHEET, "available": 2}], brackets=[HOOK]),
    "gates": b.scenario(
        fixtures=[TILL, b.fixture()], zones=[ZONE], brief={"staff_aisle": b.mm(800.0)}
    ),
    "minimum": b.scenario([b.line(min_facings=90, max_facings=95)]),
}


def parts(
    scenario: Scenario, kept: FloorAnswer = NOTHING, forbidden: Any = ()
) -> tuple[FloorProblem, PartProgram]:
    """Give the program of all that may stand beside what is kept, its prices added."""
    problem, shown = b.floor(scenario)
    own = brought(problem, 0.0, 0.0)
    program = PartProgram(FloorRules(problem, 1.0), own, kept, forbidden)
    faces = FaceValue(problem, shown, worth(scenario))
    known = faces.at(own.widths(kept), problem.money_left(kept.chosen, kept.slat))
    for _ in range(ROUNDS):
        assert known is not None
        program.add_prices(known)
        answer = program.solve(b.LIMITS, StopFlag())
        if answer.floor is None:
            break
        money = problem.money_left(answer.floor.chosen, answer.floor.slat)
        known = faces.at(own.widths(answer.floor), money)
        assert known is not None
        if known.value >= answer.most - 1e-6:
            break
    else:
        pytest.fail("prices do not come to an end")
    return problem, program


def solved(*args: Any) -> tuple[FloorProblem, PartAnswer]:
    """Give the best floor."""
    problem, program = parts(*args)
    return problem, program.solve(b.LIMITS, StopFlag())


@pytest.mark.parametrize("rule", RULES)
def test_with_nothing_kept_it_finds_what_the_joint_program_does(rule: str):
    """Prices and small programs in turn end at the optimum of floor and faces together."""
    scenario = RULES[rule]
    problem, answer = solved(scenario)
    _, shown = b.floor(scenario)
    joint = JointProgram(problem, shown, worth(scenario)).solve(b.LIMITS, StopFlag())
    assert answer.most == pytest.approx(joint.value)
    assert answer.floor is not None
    assert answer.floor.chosen


@pytest.mark.parametrize("rule", RULES)
def test_what_is_kept_stands_and_counts(rule: str):
    """Any one fixture of the best floor kept, the rest found anew is as good."""
    scenario = RULES[rule]
    _, best = solved(scenario)
    assert best.floor is not None
    for i in best.floor.chosen:
        slat = tuple({i} & set(best.floor.slat))
        problem, answer = solved(scenario, FloorAnswer((i,), slat))
        assert answer.most == pytest.approx(best.most)
        assert answer.floor is not None
        assert i in answer.floor.chosen
        assert set(slat) <= set(answer.floor.slat)
        for group in problem.cliques:
            assert len(set(group.tolist()) & set(answer.floor.chosen)) <= 1


def test_only_what_does_not_exclude_is_free():
    """Beside a cabinet in the middle of wall N nothing that overlaps it may stand."""
    problem, _ = b.floor(b.scenario())
    rules = FloorRules(problem, 1.0)
    middle = next(
        i
        for i, c in enumerate(problem.candidates)
        if c.placement.wall == "N" and c.placement.offset_mm == pytest.approx(900.0)
    )
    free = rules.free([middle])
    apart = np.ones(len(free), dtype=bool)
    for group in problem.cliques:
        if middle in group:
            apart[group] = False
    apart[middle] = False
    assert free.tolist() == apart.tolist()
    assert 0 < free.sum() < len(free) - 1
    for group in rules.groups(free):
        assert free[group].all()
        assert group.size > 1


@pytest.mark.parametrize("most", [0, 1, 2])
def test_of_forbidden_sets_only_so_many_stand(most: int):
    """Of all positions together so many may stand; those kept count."""
    problem, _ = b.floor(b.scenario())
    every = frozenset(range(len(problem.candidates)))
    _, answer = solved(b.scenario(), NOTHING, [(every, most)])
    assert answer.floor is not None
    assert len(answer.floor.chosen) == most
    if most:
        kept = FloorAnswer(answer.floor.chosen[:1], ())
        _, answer = solved(b.scenario(), kept, [(every, most)])
        assert answer.floor is not None
        assert len(answer.floor.chosen) == most


def test_a_stop_ends_it():
    """A stop raised before the search ends it at once, and it is not called finished."""
    stop = StopFlag()
    stop.request()
    _, program = parts(b.scenario())
    assert not program.solve(b.LIMITS, stop).finished
