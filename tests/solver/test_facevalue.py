"""What faces can show at best, by one linear program for all floors, and what its prices say."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopfit.model.scenario import Scenario
from shopfit.solver.facevalue import FacesAt, FaceValue, brought
from shopfit.solver.floor import FloorAnswer
from shopfit.solver.joint import JointProgram
from shopfit.solver.worth import worth
from shopfit.stopping import StopFlag

from . import build as b

HOOK = {"id": "hook", "kind": "hook", "depth": b.mm(100.0), "load": "5 kg", "price": 2}


def mixed(**changes: object) -> Scenario:
    """Give goods for two classes of face: shelves of cabinets, and slat-wall above."""
    lines = [
        b.line("jar", max_facings=70),
        b.line("tin", width=b.mm(130.0), height=b.mm(210.0), max_facings=40, value=3),
        b.line("tag", ways=["hook"], width=b.mm(70.0), height=b.mm(100.0), max_facings=90),
    ]
    return b.scenario(
        lines, [b.fixture(slat_above=True)], sheets=[b.SHEET], brackets=[HOOK], **changes
    )


def value_of(scenario: Scenario) -> FaceValue:
    """Give the program of a scenario's faces."""
    problem, shown = b.floor(scenario)
    return FaceValue(problem, shown, worth(scenario))


def at(faces: FaceValue, widths: list[float], money: float | None = None) -> FacesAt:
    found = faces.at(np.array(widths), money)
    assert found is not None
    return found


@pytest.mark.parametrize("brief", [{}, {"budget": 700.0}, {"objective": "sales"}])
@pytest.mark.parametrize(("remainder", "spare"), [(0.0, 0.0), (45.0, 0.3)])
def test_a_floor_shows_what_the_joint_program_says(
    brief: dict[str, object], remainder: float, spare: float
):
    """On the floor of the joint program its faces are worth what the program found."""
    scenario = mixed(brief=brief)
    problem, shown = b.floor(scenario)
    program = JointProgram(problem, shown, worth(scenario), remainder, spare)
    answer = program.solve(b.LIMITS, StopFlag())
    assert answer.floor is not None
    own = brought(problem, remainder, spare)
    money = problem.money_left(answer.floor.chosen, answer.floor.slat)
    faces = at(value_of(scenario), own.widths(answer.floor).tolist(), money)
    assert faces.value + own.spare(answer.floor) == pytest.approx(answer.value)


def test_positions_bring_their_faces_less_the_remainder():
    """A cabinet 1000 mm wide brings 1000 less 70 of shelf, and slat-wall above as long."""
    problem, _ = b.floor(mixed())
    own = brought(problem, 70.0, 0.5)
    for i, candidate in enumerate(problem.candidates):
        if candidate.fixture is not None and candidate.slat:
            (shelf, wide), (slat, long) = *problem.widths[i], *problem.slat_widths[i]
            assert own.own[i, shelf] == wide - 70.0 == 930.0
            assert own.slat[i, slat] == long - 70.0
            face = problem.classes[shelf]
            area = wide * face.levels * face.pitch / 1e6
            assert own.own_spare[i] == pytest.approx(0.5 * area)
            floor = FloorAnswer((i,), (i,))
            assert own.spare(floor) == pytest.approx(own.own_spare[i] + own.slat_spare[i])
            assert own.widths(floor).sum() == wide + long - 140.0
            break
    else:
        pytest.fail("no cabinet with slat-wall")


def test_a_millimetre_more_is_worth_its_price():
    """While goods are more than room a price is what a little more width brings."""
    faces = value_of(b.scenario())
    first = at(faces, [2000.0])
    assert first.value == pytest.approx(40.0)
    assert at(faces, [2001.0]).value - first.value == pytest.approx(first.prices[0])
    assert first.prices[0] == pytest.approx(2 / 100)


def test_more_than_is_wanted_is_worth_nothing():
    """Where all that is wanted is shown, prices are nothing."""
    faces = value_of(b.scenario([b.line(max_facings=30)]))
    shown = at(faces, [2000.0])
    assert shown.value == pytest.approx(30.0)
    assert shown.prices[0] == pytest.approx(0.0)


@pytest.mark.parametrize(("width", "short"), [(0.0, 7.0), (300.0, 1.0), (350.0, 0.0)])
def test_what_is_missing_is_told(width: float, short: float):
    """Of seven facings that must be there two rows hold so many; the others are missing."""
    shown = at(value_of(b.scenario([b.line(min_facings=7)])), [width])
    assert shown.short == pytest.approx(short)


def test_money_for_what_stands_on_faces_has_a_price():
    """Brackets cost 2 each: with 40 to spend 20 tags hang, and one more of money hangs half."""
    scenario = b.scenario(
        [b.line("tag", ways=["hook"], height=b.mm(100.0))],
        [b.fixture(slat_above=True, faces=[], kind="plinth")],
        sheets=[b.SHEET],
        brackets=[HOOK],
        brief={"budget": 0.0},
    )
    faces, widths = value_of(scenario), [5000.0] * len(b.floor(scenario)[0].classes)
    some, more = at(faces, widths, 40.0), at(faces, widths, 41.0)
    assert some.value == pytest.approx(20.0)
    assert more.value - some.value == pytest.approx(some.money_price) == pytest.approx(0.5)


MIXED = mixed(brief={"budget": 0.0})
CLASSES = len(b.floor(MIXED)[0].classes)


@cache
def _mixed_faces() -> FaceValue:
    return value_of(MIXED)


WIDTHS = st.lists(st.floats(0.0, 6000.0), min_size=CLASSES, max_size=CLASSES)
MONEY = st.floats(0.0, 200.0)


@given(WIDTHS, MONEY, WIDTHS, MONEY)
@settings(max_examples=60, deadline=None)
def test_no_widths_show_more_than_prices_of_others_say(
    known: list[float], money: float, others: list[float], more: float
):
    """Prices found at some widths bound what any others can show, with any money."""
    faces = _mixed_faces()
    said = at(faces, known, money)
    shown = at(faces, others, more)
    assert shown.value <= said.most(np.array(others), more) + 1e-6 * max(1.0, abs(said.value))
    assert said.most(np.array(known), money) == pytest.approx(said.value)
