"""Ways of customers and staff: what closes them is found, and the smallest set is named."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.model.fixtures import Fixture
from shopfit.model.scenario import Scenario
from shopfit.solver.connect import blockages, customer_area, staff_reached
from shopfit.solver.floor import FloorAnswer, FloorProblem

from . import build as b

DEEP = 6000.0


def plinth(name: str, depth: float) -> Fixture:
    """Give a plinth that shows nothing, so that nobody needs to stand before it."""
    return b.fixture(name, kind="plinth", depth=b.mm(depth), faces=[])


def passage(*fixtures: Fixture, **changes: Any) -> Scenario:
    """Give a passage 2000 mm wide and 6000 deep with the door at its south end."""
    return b.scenario(fixtures=[b.fixture(), *fixtures], width=2000.0, depth=DEEP, **changes)


def chosen(problem: FloorProblem, *places: tuple[str, str, float]) -> list[int]:
    """Find candidates by fixture, wall and offset."""
    found = []
    for fixture, wall, offset in places:
        (number,) = [
            i
            for i, c in enumerate(problem.candidates)
            if (c.fixture, c.placement.wall) == (fixture, wall)
            and c.placement.offset_mm == pytest.approx(offset)
        ]
        found.append(number)
    return found


def cut(problem: FloorProblem, numbers: list[int]) -> list[frozenset[int]]:
    """List the sets among these that cannot stand together."""
    found = blockages(problem, FloorAnswer(tuple(sorted(numbers)), ()))
    return [group for group in found if group <= {*numbers, -1}]


# Two plinths face one another before a cabinet that is to be reached (wall E runs south from
# y 6000, so the second one spans y 2900 to 3900), and one stands beside the way.
NARROWED = (
    ("plinth", "W", 3000.0),
    ("plinth", "E", 2100.0),
    ("cab", "N", 300.0),
    ("plinth", "W", 1500.0),
)


@pytest.mark.parametrize(("depth", "open_"), [(549.0, True), (550.0, True), (551.0, False)])
def test_two_plinths_close_the_only_way(depth: float, open_: bool):
    """Between plinths 550 mm deep an aisle of 900 is left in a passage of 2000; then not."""
    problem, _ = b.floor(passage(plinth("plinth", depth)))
    west, east, goal, beside = chosen(problem, *NARROWED)
    found = cut(problem, [west, east, goal, beside])
    assert found == ([] if open_ else [frozenset({west, east, goal})])


def test_one_fixture_closes_the_way():
    """A plinth nearly as deep as the passage is wide is alone to blame."""
    problem, _ = b.floor(passage(plinth("block", 1500.0)))
    block, goal, beside = chosen(
        problem, ("block", "W", 3000.0), ("cab", "N", 300.0), ("cab", "W", 1500.0)
    )
    assert cut(problem, [block, goal, beside]) == [frozenset({block, goal})]
    assert cut(problem, [block, beside]) == []
    assert cut(problem, [goal, beside]) == []


def test_each_front_cut_off_is_named_with_its_own_set():
    """Two fronts behind one plinth make two sets, both with the plinth in them."""
    problem, _ = b.floor(passage(plinth("block", 1500.0)))
    block, north, west = chosen(
        problem, ("block", "W", 2000.0 - 200.0), ("cab", "N", 300.0), ("cab", "W", 3300.0)
    )
    assert set(cut(problem, [block, north, west])) == {
        frozenset({block, north}),
        frozenset({block, west}),
    }


def test_without_an_entrance_nothing_is_said_of_customers():
    """Where no door is marked as the entrance, ways cannot be judged."""
    problem, _ = b.floor(passage(plinth("block", 1500.0), doors=[]))
    block, goal = chosen(problem, ("block", "W", 3000.0), ("cab", "N", 300.0))
    assert customer_area(problem.site, []) is None
    assert cut(problem, [block, goal]) == []


ZONE = [{"id": "back", "kind": "staff", "corners": b.box(0.0, 4500.0, 2000.0, DEEP)}]


def test_what_is_kept_is_not_asked_for():
    """Of two plinths that close the way one is kept: it is named, and so may be what is beside."""
    problem, _ = b.floor(passage(plinth("plinth", 551.0)))
    west, east, goal, beside = chosen(problem, *NARROWED)
    floor = FloorAnswer(tuple(sorted([west, east, goal, beside])), ())
    for kept in ({west}, {west, beside}, {goal, west, beside}):
        found = [one for one in blockages(problem, floor, kept=kept) if one <= set(floor.chosen)]
        assert [one >= {west, east, goal} for one in found] == [True]
        assert found[0] <= {west, east, goal} | kept


def test_staff_cut_off_are_named():
    """Plinths that close the way to the staff zone are found, and no other plinth."""
    problem, _ = b.floor(passage(plinth("plinth", 650.0), zones=ZONE))
    west, east, beside = chosen(
        problem, ("plinth", "W", 3000.0), ("plinth", "E", 2100.0), ("plinth", "W", 1500.0)
    )
    assert not staff_reached(problem, [west, east])
    assert staff_reached(problem, [west, beside])
    assert cut(problem, [west, east, beside]) == [frozenset({west, east})]


def test_a_staff_door_opens_the_zone():
    """Staff who come in by a door of their own need no way through the shop."""
    door = b.shop(2000.0, DEEP)["doors"][0]
    back = {**door, "id": "back", "wall": "N", "use": "staff"}
    given = passage(plinth("plinth", 650.0), zones=ZONE, doors=[door, back])
    problem, _ = b.floor(given)
    west, east = chosen(problem, ("plinth", "W", 3000.0), ("plinth", "E", 2100.0))
    assert cut(problem, [west, east]) == []


def test_inner_doors_join_rooms():
    """A front in the second room is reached by the inner door, and not through the wall."""
    first = b.shop()["rooms"][0]
    second = {
        "id": "annexe",
        "height": b.mm(2500.0),
        "corners": [
            b.mm(x, y)
            for x, y in ((0.0, 3100.0), (0.0, 6000.0), (3000.0, 6000.0), (3000.0, 3100.0))
        ],
        "walls": [{"id": name} for name in ("W2", "N2", "E2", "S2")],
    }
    front = b.shop()["doors"][0]
    inner = {
        **front,
        "id": "inner",
        "wall": "N",
        "swing": "none",
        "use": "inner",
        "leads_to": "annexe",
        "depth": b.mm(100.0),
    }
    for doors, closed in (([front, inner], False), ([front], True)):
        problem, _ = b.floor(b.scenario(rooms=[first, second], doors=doors))
        (goal,) = chosen(problem, ("cab", "N2", 900.0))
        assert cut(problem, [goal]) == ([frozenset({goal})] if closed else [])


def test_the_search_gives_up_what_closes_the_way():
    """Two deep plinths are wanted and goods at the far end: the plinths stand out of the way."""
    given = passage(
        plinth("plinth", 700.0),
        brief={
            "wanted": [
                {"fixture": "plinth", "at_least": 2, "at_most": 2},
                {"fixture": "cab", "at_least": 1, "at_most": 1},
            ]
        },
    )
    layout = b.run(given).layout
    assert layout is not None
    problem, _ = b.floor(given)
    places = [(p.fixture, p.wall or "", p.offset_mm or 0.0) for p in layout.placements]
    assert sorted(name for name, _, _ in places) == ["cab", "plinth", "plinth"]
    assert cut(problem, chosen(problem, *places)) == []


BLOCK = {"keep": [{"fixture": "block", "wall": "W", "offset": b.mm(3000.0)}]}


@pytest.mark.parametrize(("number", "outcome"), [(6, "layout"), (9, "no layout")])
def test_everything_behind_a_blocker_is_ruled_out_at_once(number: int, outcome: str):
    """Six cabinets have room before a pinned plinth that closes the passage; nine have not."""
    brief = {"step": b.mm(100.0), "wanted": [{"fixture": "cab", "at_least": number}]}
    given = passage(plinth("block", 1500.0), brief=brief, pins=BLOCK)
    solution = b.run(given)
    assert solution.outcome == outcome
    if solution.layout is not None:
        problem, _ = b.floor(given)
        places = [(p.fixture, p.wall or "", p.offset_mm or 0.0) for p in solution.layout.placements]
        assert cut(problem, chosen(problem, *places)) == []
