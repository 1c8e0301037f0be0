"""The joint program: each family of constraints alone, and bounds that no layout exceeds."""

from __future__ import annotations

import math
from typing import Any

import pytest
from ortools.linear_solver import pywraplp

from shopfit.model.scenario import Scenario
from shopfit.solver import joint
from shopfit.solver.joint import JointProgram
from shopfit.solver.jointanswer import JointAnswer, Limits
from shopfit.solver.parts import slat_area
from shopfit.solver.stoppable import run
from shopfit.stopping import StopFlag

from . import build as b


def count(given: Scenario, name: str = "cab") -> int | None:
    """Count a fixture in the answer; none where the program has no answer."""
    problem, answer = b.joint(given)
    if answer.floor is None:
        assert answer.impossible
        return None
    return sum(problem.candidates[i].fixture == name for i in answer.floor.chosen)


def wanted(least: int, most: int | None = None, **subject: str) -> dict[str, Any]:
    return {"brief": {"wanted": [{**subject, "at_least": least, "at_most": most}]}}


# The room takes five cabinets: two on walls W and E each, one between them on wall N.
MOST = 5


@pytest.mark.parametrize("subject", [{"fixture": "cab"}, {"kind": "base-cabinet"}])
def test_numbers_wanted(subject: dict[str, str]):
    """As many as fit can be wanted, one more cannot; at most so many stand."""
    assert count(b.scenario()) == MOST
    assert count(b.scenario(**wanted(MOST, **subject))) == MOST
    assert count(b.scenario(**wanted(MOST + 1, **subject))) is None
    assert count(b.scenario(**wanted(0, 2, **subject))) == 2
    assert count(b.scenario(**wanted(0, 0, **subject))) == 0


def test_wanting_what_is_not_to_be_had_is_impossible():
    """A wanted kind without any fixture has no answer."""
    assert count(b.scenario(**wanted(1, kind="counter"))) is None


@pytest.mark.parametrize(("available", "owned", "most"), [(1, 0, 1), (1, 1, 2), (0, 3, 3)])
def test_stock(available: int, owned: int, most: int):
    """No more stand than can be had and are owned together."""
    given = b.scenario(fixtures=[b.fixture(available=available, owned=owned)])
    assert count(given) == most


@pytest.mark.parametrize(
    ("budget", "owned", "most"),
    [(299.0, 0, 2), (300.0, 0, 3), (301.0, 0, 3), (0.0, 0, 0), (200.0, 1, 3), (199.0, 2, 3)],
)
def test_budget(budget: float, owned: int, most: int):
    """Cabinets cost 100 each, those owned nothing; money is spent to the last."""
    given = b.scenario(fixtures=[b.fixture(owned=owned)], brief={"budget": budget})
    assert count(given) == most


def test_money_for_goods_counts():
    """Brackets cost money as well: with 40 over for them only 20 facings at 2 each hang."""
    hook = {"id": "hook", "kind": "hook", "depth": b.mm(100.0), "load": "5 kg", "price": 2}
    given = b.scenario(
        [b.line("tag", ways=["hook"], height=b.mm(100.0))],
        [b.fixture(slat_above=True, faces=[], kind="plinth")],
        sheets=[{**b.SHEET, "price": 0}],
        brackets=[hook],
        brief={"budget": 140.0, "run_bottom": b.mm(1950.0)},
    )
    _, answer = b.joint(given)
    assert answer.value == pytest.approx(20.0)
    assert answer.bound == pytest.approx(20.0)


def test_slat_wall_is_left_out_where_money_is_short():
    """Cabinets may stand without the slat-wall over them, which costs money of its own."""
    fixture = b.fixture(slat_above=True)
    hook = {"id": "hook", "kind": "hook", "depth": b.mm(100.0), "load": "5 kg", "price": 0}
    slat = 60 * 1000 * 1150 / (2400 * 1200)
    for more, with_slat in ((-0.01, 1), (0.01, 2)):
        given = b.scenario(
            [b.line(ways=["shelf", "hook"])],
            [fixture.model_copy(update={"available": 2})],
            sheets=[b.SHEET],
            brackets=[hook],
            brief={"budget": 200.0 + 2 * slat + more, "run_bottom": b.mm(1950.0)},
        )
        _, answer = b.joint(given)
        assert answer.floor is not None
        assert len(answer.floor.chosen) == 2
        assert len(answer.floor.slat) == with_slat


def test_pins_stand():
    """A pinned fixture stands although better places and better fixtures exist."""
    poor = b.fixture("poor", faces=[])
    pins = {"keep": [{"fixture": "poor", "wall": "N", "offset": b.mm(1000.0)}]}
    given = b.scenario(fixtures=[b.fixture(), poor], pins=pins)
    assert count(given, "poor") == 1
    assert count(given, "cab") == MOST - 1


def test_pins_that_overlap_are_impossible():
    """Two fixtures cannot both be kept in one place."""
    keep = [{"fixture": "cab", "wall": "N", "offset": b.mm(x)} for x in (0.0, 999.0)]
    assert count(b.scenario(pins={"keep": keep})) is None
    keep[1]["offset"] = b.mm(1000.0)
    assert count(b.scenario(pins={"keep": keep})) is not None


ZONE = [{"id": "till", "kind": "staff", "corners": b.box(0.0, 1500.0, 3000.0, 3000.0)}]
DESK = b.fixture(
    "desk", kind="counter", width=b.mm(600.0), depth=b.mm(600.0), stands=["divider"], faces=[]
)
BACK_DOOR = {
    "id": "back",
    "wall": "N",
    "offset": b.mm(1000.0),
    "width": b.mm(900.0),
    "height": b.mm(2100.0),
    "swing": "out",
    "latch": False,
    "use": "staff",
}


def desks(number: int, **changes: Any) -> Scenario:
    return b.scenario(fixtures=[DESK], zones=ZONE, **wanted(number, fixture="desk"), **changes)


@pytest.mark.parametrize(("number", "possible"), [(3, True), (4, False)])
def test_gates_for_staff(number: int, possible: bool):
    """Across a zone 3000 mm wide, three desks leave 1200 mm for staff and four only 600."""
    assert (count(desks(number), "desk") is not None) is possible


@pytest.mark.parametrize(("aisle", "possible"), [(1199.0, True), (1200.0, True), (1201.0, False)])
def test_the_gate_is_as_wide_as_the_staff_aisle(aisle: float, possible: bool):
    """Three desks leave exactly 1200 mm, if they stand together."""
    given = desks(3)
    brief = given.brief.model_copy(update={"staff_aisle": aisle})
    # The floor behind the desks stays 800 mm deep, so a deeper zone is given.
    zone = {"id": "till", "kind": "staff", "corners": b.box(0.0, 1500.0, 3000.0, 4000.0)}
    deep = b.scenario(fixtures=[DESK], zones=[zone], depth=4000.0)
    shop = deep.shop.model_copy(update={"brief": brief})
    assert (count(deep.model_copy(update={"shop": shop}), "desk") is not None) is possible


def test_a_staff_door_makes_the_gate_needless():
    """Where staff have a door of their own, desks may stand from wall to wall."""
    # Deep enough for the floor before the back door to end behind the desks.
    zone = {"id": "till", "kind": "staff", "corners": b.box(0.0, 1500.0, 3000.0, 4000.0)}
    deep = {"depth": 4000.0, "fixtures": [DESK], "zones": [zone], **wanted(5, fixture="desk")}
    door = b.shop()["doors"][0]
    assert count(b.scenario(doors=[door], **deep), "desk") is None
    assert count(b.scenario(doors=[door, BACK_DOOR], **deep), "desk") == 5


def test_minimums_go_before_everything():
    """Facings and units short of minimums are counted, and avoided at the cost of many others."""
    wide = b.line("tray", width=b.mm(900.0), min_facings=2, max_facings=2)
    given = b.scenario([b.line(), wide], brief={"budget": 100.0})
    _, answer = b.joint(given)
    assert answer.short == pytest.approx(0.0)
    # One cabinet of 1000 mm, three rows: 3000 mm, of which two trays take 1800.
    rows = 500 // 200
    assert answer.value == pytest.approx(2 + (rows * 1000 - 1800) / 100)
    _, answer = b.joint(
        b.scenario([wide.model_copy(update={"min_facings": 4, "max_facings": 4})],
                   brief={"budget": 100.0})
    )  # fmt: skip
    assert answer.short == pytest.approx(4 - rows * 1000 / 900)


def test_holding_short():
    """A shelf 400 mm deep holds four units a facing; 81 units want more than 20 facings."""
    for holding, short in ((80, 0.0), (81, 1.0)):
        line = b.line(holding=holding, max_facings=100)
        _, answer = b.joint(b.scenario([line], brief={"budget": 100.0}))
        assert answer.short == pytest.approx(short)


def test_rows_need_their_height():
    """A tall line and a low one share a face: the tall row is counted once (nested heights)."""
    tall = b.line("tall", height=b.mm(260.0), max_facings=10)  # 300 mm with board and gap
    low = b.line("low", height=b.mm(160.0))  # 200 mm
    given = b.scenario([tall, low], brief={"budget": 100.0})
    _, answer = b.joint(given)
    # One cabinet: a tall and a low row, 10 facings each, or two low rows; never both.
    assert answer.value == pytest.approx(20.0)
    only = b.scenario([tall], brief={"budget": 100.0})
    assert b.joint(only)[1].value == pytest.approx(10.0)


def test_most_facings_are_kept():
    """No line has more facings than wanted, however much room there is."""
    given = b.scenario([b.line("a", max_facings=7), b.line("b", max_facings=0)])
    _, answer = b.joint(given)
    assert answer.value == pytest.approx(7.0)


def test_bands_keep_lines_to_their_rows():
    """A line for a band stands in rows with their middle in it and nowhere else."""
    brief = {"budget": 100.0, "bands": [{"id": "low", "bottom": b.mm(150.0), "top": b.mm(250.0)}]}
    free = b.joint(b.scenario([b.line()], brief=brief))[1].value
    kept = b.joint(b.scenario([b.line(band="low")], brief=brief))[1].value
    assert (free, kept) == (pytest.approx(20.0), pytest.approx(10.0))


def test_value_objective():
    """Counted by value, few dear facings are worth more than many cheap ones."""
    lines = [b.line("cheap"), b.line("dear", width=b.mm(400.0), value=9, max_facings=100)]
    facings = b.joint(b.scenario(lines, brief={"budget": 100.0}))[1]
    value = b.joint(b.scenario(lines, brief={"budget": 100.0, "objective": "value"}))[1]
    assert facings.value == pytest.approx(20.0)
    assert value.value == pytest.approx(2 * 1000 / 400 * 9)


def test_excluded_sets_do_not_stand_together():
    """A set that cuts something off is forbidden, and each part of it is still allowed."""
    given = b.scenario(**wanted(0, 2, fixture="cab"))
    problem, shown = b.floor(given)
    program = JointProgram(problem, shown, b.weights(given))
    seen: set[tuple[int, ...]] = set()
    for _ in range(3):
        answer = program.solve(b.LIMITS, StopFlag())
        assert answer.floor is not None
        assert len(answer.floor.chosen) == 2
        assert answer.floor.chosen not in seen
        seen.add(answer.floor.chosen)
        program.exclude(answer.floor.chosen)


def test_stop_ends_the_search():
    """A stop raised before the search ends it at once, and the bound is not called finished."""
    given = b.scenario()
    problem, shown = b.floor(given)
    stop = StopFlag()
    stop.request()
    answer = JointProgram(problem, shown, b.weights(given)).solve(
        Limits(nodes=10**6, gap=0.0, seconds=20.0), stop
    )
    assert not answer.finished
    assert answer.bound >= 100.0 or answer.floor is None


@pytest.mark.parametrize("enough", [-math.inf, -0.2])
def test_a_bound_that_is_low_enough_ends_the_search(enough: float):
    """More jars are wanted than all faces show: the bound says so, searched to the end or not."""
    given = b.scenario([b.line(min_facings=900)])
    problem, shown = b.floor(given)
    limits = Limits(nodes=10**4, gap=0.0, seconds=20.0, enough=enough)
    answer = JointProgram(problem, shown, {}).solve(limits, StopFlag())
    assert answer.finished
    assert answer.bound <= -0.2
    assert answer.value <= answer.bound + 1e-6
    assert (answer.value == pytest.approx(answer.bound)) or enough > -math.inf


def worth_by_hand(answer: JointAnswer) -> float:
    """Give what five cabinets hold: two rows of ten jars each."""
    assert answer.floor is not None
    return len(answer.floor.chosen) * 2 * 10.0


def test_bound_is_never_under_a_layout_by_hand():
    """Five cabinets of two rows of ten jars are there for all to see: the bound allows them."""
    _, answer = b.joint(b.scenario())
    assert answer.floor is not None
    assert len(answer.floor.chosen) == MOST
    assert answer.bound >= worth_by_hand(answer) - 1e-6
    assert answer.value == pytest.approx(worth_by_hand(answer))


@pytest.mark.parametrize("width", [110.0, 130.0, 170.0, 330.0, 990.0])
def test_bound_covers_whole_facings(width: float):
    """Whole facings never exceed the bound, and divisible ones reach it."""
    given = b.scenario([b.line(width=b.mm(width))])
    _, answer = b.joint(given)
    by_hand = MOST * 2 * (1000 // width)
    assert by_hand <= answer.bound + 1e-6
    assert answer.value == pytest.approx(MOST * 2 * 1000 / width)


def test_the_remainder_only_steers():
    """Faces taken as shorter give a lower worth, never a longer face."""
    given = b.scenario()
    problem, shown = b.floor(given)
    worths = [
        JointProgram(problem, shown, b.weights(given), rest).solve(b.LIMITS, StopFlag()).value
        for rest in (0.0, 45.0, 1000.0)
    ]
    assert worths == [pytest.approx(100.0), pytest.approx(95.5), pytest.approx(0.0)]


@pytest.mark.parametrize(("available", "runs"), [(0, 0), (1, 1), (2, 2), (1000, 5)])
def test_no_more_slat_wall_than_there_are_sheets(available: int, runs: int):
    """Half a sheet hangs over each of two cabinets of three; few sheets leave some bare."""
    hook = {"id": "hook", "kind": "hook", "depth": b.mm(100.0), "load": "5 kg", "price": 2}
    # As much slat-wall as hangs over one cabinet, 1000 mm wide, to the top of the display.
    sheet = {**b.SHEET, "width": b.mm(1000.0), "height": b.mm(900.0), "available": available}
    given = b.scenario(
        [b.line("tag", ways=["hook"], height=b.mm(100.0))],
        [b.fixture(slat_above=True, faces=[], kind="plinth")],
        sheets=[sheet],
        brackets=[hook],
        brief={"run_bottom": b.mm(1950.0)},
    )
    problem, answer = b.joint(given)
    assert answer.floor is not None
    area = sum(slat_area(problem.candidates[i].slat) for i in answer.floor.slat)
    assert area <= available * 1000.0 * 900.0 + 1e-6
    assert bool(answer.floor.slat) is bool(runs)


def test_a_line_that_must_be_there_takes_the_width_of_a_facing():
    """Of three lines that must be shown, each of a category of its own, two find a case to be in.

    Four facings of a line would stand above one another, so by lengths of rows alone a quarter of
    its width would be enough.
    """
    lines = [
        b.line(name, category=name, width=b.mm(400.0), min_facings=1, max_facings=1)
        for name in ("one", "two", "three")
    ]
    given = b.scenario(lines, [b.fixture(available=1)])
    _, answer = b.joint(given)
    assert answer.short == pytest.approx(0.5)


@pytest.mark.parametrize(("told", "bound"), [(1e18, 1e18), (1e19, math.inf), (1e20, math.inf)])
def test_what_stands_for_no_bound_is_none(
    told: float, bound: float, monkeypatch: pytest.MonkeyPatch
):
    """SCIP may end with a layout before its first relaxation; what it says then bounds nothing."""
    monkeypatch.setattr(pywraplp.Objective, "BestBound", lambda _: told)
    _, answer = b.joint(b.scenario())
    assert answer.floor is not None
    assert answer.bound == bound


@pytest.mark.parametrize("trying", [True, False])
def test_branches_are_tried_out_only_where_that_is_asked_for(
    trying: bool, monkeypatch: pytest.MonkeyPatch
):
    """The optimum is the same; only the way to it differs."""
    seen: list[str] = []

    def noted(program: Any, parameters: str, seconds: float, stop: StopFlag) -> tuple[int, bool]:
        seen.append(parameters)
        return run(program, parameters, seconds, stop)

    monkeypatch.setattr(joint, "run", noted)
    _, known = b.joint(b.scenario())
    _, answer = b.joint(b.scenario(), nodes=2000, gap=0.0, seconds=20.0, trying=trying)
    assert answer.value == pytest.approx(known.value)
    assert answer.floor is not None
    assert ("branching/pscost" in seen[-1]) is not trying
