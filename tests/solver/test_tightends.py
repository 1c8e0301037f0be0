"""Turns back round the ends of islands (F13; 2010 ADA Standards, 403.5.2) as sets to forbid."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopfit.checks import check
from shopfit.model.layout import Claims, Layout
from shopfit.model.options import SolveOptions
from shopfit.solver.candidates import candidates
from shopfit.solver.conflicts import cliques, conflicting
from shopfit.solver.connect import Blockage, all_reached, blockages
from shopfit.solver.explain import explain
from shopfit.solver.floor import FloorAnswer, FloorProblem, floor_problem
from shopfit.solver.site import Site
from shopfit.stopping import StopFlag
from shopfit.units import INCH_MM

from . import build as b

IN = INCH_MM
# A tongue reaches so far from the south wall; the door is beside the aisle west of it.
LONG = 3000.0
DOOR = {**b.shop()["doors"][0], "wall": "W", "offset": b.mm(1000.0)}
PLINTH = b.fixture(
    "plinth", kind="plinth", width=b.mm(400.0), depth=b.mm(400.0), stands=["wall", "island"],
    faces=[],
)  # fmt: skip


def keep(x: float, y: float, angle: float = 90.0, name: str = "tongue") -> dict[str, Any]:
    """Pin a fixture with its back left corner at a place."""
    return {"fixture": name, "at": b.mm(x, y), "angle": str(angle)}


def tongue(
    end: float,
    leg: float = 48.0,
    wide: float = 36.0,
    pins: tuple[dict[str, Any], ...] = (),
    aisle: float = 36.0,
    bare: bool = False,
    isle: bool = False,
    **changes: Any,
) -> FloorProblem:
    """Give a room with two aisles and a way round the north end of what parts them; in inches.

    The tongue's front looks east, away from the door; if it is bare it shows nothing. Small
    islands that show something to the east are tried where wanted.
    """
    table = b.fixture(
        "tongue",
        kind="plinth" if bare else "table",
        width=b.mm(LONG),
        depth=b.mm(wide * IN),
        stands=["island"],
        faces=[] if bare else [b.face()],
    )
    small = b.fixture(
        "isle", width=b.mm(400.0), depth=b.mm(100.0), stands=["island"], faces=[b.face()]
    )
    brief = {"aisle": b.mm(aisle * IN), "step": b.mm(200.0), **changes.pop("brief", {})}
    kept = pins or (keep(leg * IN, 0.0),)
    site = Site(
        b.scenario(
            fixtures=[table, PLINTH, b.fixture(depth=b.mm(100.0)), *([small] if isle else [])],
            width=(2 * leg + wide) * IN,
            depth=LONG + end * IN,
            doors=[DOOR],
            pins={"keep": list(kept)},
            brief=brief,
            **changes,
        )
    )
    found = candidates(site)
    return floor_problem(site, found, cliques(found))


def closed(problem: FloorProblem, *numbers: int, turns: bool = True) -> list[Blockage]:
    """List the sets among these that cannot stand together."""
    found = blockages(problem, FloorAnswer(numbers, ()), turns)
    assert all_reached(problem, numbers) is (not found) or not turns
    return [group for group in found if group <= set(numbers)]


@pytest.mark.parametrize(
    ("end", "leg", "wide", "open_"),
    [
        (47.9, 42.0, 36.0, False),
        (48.0, 42.0, 36.0, True),
        (48.1, 42.0, 36.0, True),
        (48.0, 41.9, 36.0, False),
        (59.9, 41.9, 36.0, False),
        (60.0, 41.9, 36.0, True),
        (47.9, 42.0, 47.9, False),
        (47.9, 42.0, 48.0, True),
    ],
)
def test_42_48_42_or_60_round_what_is_under_48_in_wide(
    end: float, leg: float, wide: float, open_: bool
):
    """403.5.2: just under, at and just over every value of the clause."""
    problem = tongue(end, leg, wide)
    assert closed(problem, 0) == ([] if open_ else [frozenset({0})])
    assert closed(problem, 0, turns=False) == []


def test_an_aisle_of_the_wider_value_needs_no_such_rule():
    """Who is 48 in wide passes nowhere where it is too tight; the way is closed for good."""
    (group,) = closed(tongue(47.9, aisle=48.0), 0)
    assert group.lasting
    assert closed(tongue(48.0, aisle=48.0), 0) == []


def test_rulebooks_without_the_clause_forbid_nothing():
    """The values come from the rulebook; one that has none asks for the aisle alone."""
    assert closed(tongue(40.0, rulebook="england"), 0) == []
    assert closed(tongue(40.0, rulebook="us"), 0) == [frozenset({0})]


def test_sets_told_are_no_proof():
    """Another island that touches the tongue would give it other ends."""
    (group,) = closed(tongue(40.0), 0)
    assert not group.lasting
    wall = tongue(30.0)
    (group,) = closed(wall, 0)
    assert group.lasting


@pytest.mark.parametrize(("end", "proved"), [(40.0, False), (30.0, True)])
def test_a_clash_told_by_turns_alone_is_not_proved(end: float, proved: bool):
    """A pinned tongue closes its own way: by too tight a turn, or by leaving no aisle at all."""
    clash = explain(tongue(end).site.scenario, SolveOptions(seconds=2.0, workers=1), StopFlag())
    assert clash.proved is proved


def test_what_stands_before_the_end_is_named_with_it():
    """A plinth that leaves 40 of 60 in before the end; another in a corner is not to blame."""
    leg, north = 48 * IN, LONG + 60 * IN
    pins = (
        keep(leg, 0.0),
        keep(leg + 200.0, north - 20 * IN + 400.0, 0.0, "plinth"),
        keep(0.0, 400.0, 0.0, "plinth"),
    )
    problem = tongue(60.0, pins=pins)
    assert closed(problem, 0, 1, 2) == [frozenset({0, 1})]
    assert closed(problem, 0, 2) == []
    assert closed(problem, 1, 2) == []


def test_coming_along_before_the_end_is_no_turn():
    """With a second door beyond, the tongue's front is reached without turning back."""
    doors = [DOOR, {**DOOR, "id": "east", "wall": "E"}]
    problem = tongue(40.0)
    given = problem.site.scenario
    shop = given.shop.model_copy(
        update={"doors": b.scenario(width=3352.8, depth=LONG + 40 * IN, doors=doors).shop.doors}
    )
    site = Site(given.model_copy(update={"shop": shop}))
    found = candidates(site)
    assert closed(floor_problem(site, found, []), 0) == []


def test_everything_behind_a_tight_turn_is_ruled_out_at_once():
    """Behind a tongue that shows nothing lie the cabinets east of it, and none west of it."""
    problem = tongue(40.0, bare=True)
    along = {
        wall: [i for i, c in enumerate(problem.candidates) if c.placement.wall == wall and c.faces]
        for wall in "WE"
    }
    first = along["E"][-1]
    found = blockages(problem, FloorAnswer((0, first), ()))
    behind = {i for group in found for i in group - {0}}
    assert first in behind
    assert all(0 in group and len(group) == 2 and not group.lasting for group in found)
    assert behind.isdisjoint(along["W"])
    # The last of them reach past the end of the tongue.
    reaching = [i for i in along["E"] if problem.candidates[i].body.bounds[3] > LONG]
    assert set(along["E"]) - set(reaching) <= behind


def test_what_would_make_the_end_another_one_is_not_ruled_out():
    """An island at the tongue's flank may make its end wide enough to need no rule."""
    problem = tongue(40.0, 1200.0 / IN, 800.0 / IN, bare=True, isle=True)
    first = max(i for i, c in enumerate(problem.candidates) if c.placement.wall == "E" and c.faces)
    behind = {i for group in blockages(problem, FloorAnswer((0, first), ())) for i in group - {0}}
    flank = problem.candidates[0].body.bounds[2]
    isles = {i: c.body.bounds for i, c in enumerate(problem.candidates) if c.fixture == "isle"}
    beside = {i for i, (left, *_) in isles.items() if left == pytest.approx(flank)}
    apart = {i for i, (left, *_) in isles.items() if left > flank + 1}
    assert beside
    assert beside.isdisjoint(behind)
    assert apart & behind


def floors(problem: FloorProblem, wishes: list[int]) -> list[int]:
    """Choose positions in the order wished for, each if it may stand with those before."""
    chosen: list[int] = []
    for wish in wishes:
        own = problem.candidates[wish % len(problem.candidates)]
        if not any(conflicting(own, problem.candidates[i]) for i in chosen):
            chosen.append(wish % len(problem.candidates))
    return sorted(set(chosen))


CROWDED = [tongue(end, 60.0, 30.0, brief={"step": b.mm(230.0)}) for end in (38.0, 46.0, 52.0)]


@settings(max_examples=40)
@given(st.sampled_from(range(len(CROWDED))), st.lists(st.integers(0, 10**6), max_size=5))
def test_ways_agree_with_the_witness(number: int, wishes: list[int]):
    """Where the checks find a front cut off, by bodies or by turns alone, so does the solver."""
    problem = CROWDED[number]
    chosen = floors(problem, [0, *wishes])
    layout = Layout(
        scenario="nook",
        placements=tuple(
            problem.candidates[i].placement.model_copy(update={"id": f"F{k}"})
            for k, i in enumerate(chosen)
        ),
        runs=(),
        blocks=(),
        cuts=(),
        purchases=(),
        claims=Claims(facings=0, units=0, value=0.0, cost=0.0),
    )
    codes = {finding.code for finding in check(problem.site.scenario, layout)}
    found = blockages(problem, FloorAnswer(tuple(chosen), ()))
    own = [group for group in found if group <= set(chosen)]
    assert ("turn" in codes) is any(not group.lasting for group in own)
    # By the brief's aisle alone, by pinches too near one another, or by the rulebook's width.
    unreached = codes & {"reach", "pinches-apart", "accessible-route"}
    assert bool(unreached) is any(group.lasting for group in own)
