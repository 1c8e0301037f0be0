"""A scenario's own values stand on top of its rulebook wherever it is asked for."""

from __future__ import annotations

import pytest

from shopfit import standards
from shopfit.checks import check
from shopfit.drawing.desk import Desk
from shopfit.drawing.planshell import clear_spaces
from shopfit.geometry.shell import survey
from shopfit.model.layout import Layout
from shopfit.model.ownvalues import OwnValue, OwnValues
from shopfit.model.scenario import Scenario
from shopfit.solver.site import Site
from shopfit.units import INCH_MM


def with_own(scenario: Scenario, key: str, inches: float, rulebook: str = "us") -> Scenario:
    own = OwnValue(key=key, value=inches * INCH_MM, written=f"{inches:g} in", why="ours")
    shop = scenario.shop.model_copy(update={"rulebook": rulebook})
    return scenario.model_copy(update={"own": OwnValues(values=(own,)), "shop": shop})


def test_without_own_values_it_is_the_published_rulebook(kiosk: Scenario) -> None:
    """Nothing is copied or renamed."""
    assert standards.of(kiosk) is standards.load("us")


def test_checks_solver_and_drawings_ask_the_same_book(
    kiosk: Scenario, kiosk_layout: Layout
) -> None:
    """A deeper door space of one's own is drawn, kept clear and measured."""
    given = with_own(kiosk, "door-push-depth", 60.0)
    assert standards.of(given).mm("door-push-depth") == pytest.approx(60 * INCH_MM)
    assert Site(given).rulebook is standards.of(given)
    assert Desk.of(given, kiosk_layout).rulebook is standards.of(given)
    (space,) = [s for tag, _, s in clear_spaces(given, survey(given.shop), standards.of(given))][:1]
    (before,) = [s for tag, _, s in clear_spaces(kiosk, survey(kiosk.shop), standards.of(kiosk))][
        :1
    ]
    assert space.area > before.area


def test_a_missed_own_value_is_found_and_told_as_own(kiosk: Scenario, kiosk_layout: Layout) -> None:
    """An aisle of 36 in meets the rulebook and misses 60 in of one's own; the clause says both."""
    before = {finding.code for finding in check(kiosk, kiosk_layout)}
    assert "aisle-wish" not in before
    found = check(with_own(kiosk, "route-width", 60.0), kiosk_layout)
    wish = next(f for f in found if f.code == "aisle-wish")
    assert wish.required == pytest.approx(60 * INCH_MM)
    assert wish.confidence == "own"
    assert "own value (ours); published: 36 in" in wish.clause


def test_own_values_that_ask_for_less_do_not_count(kiosk: Scenario) -> None:
    """Where the rulebook was changed afterwards, the stricter of the two holds."""
    assert standards.of(with_own(kiosk, "route-width", 30.0)) is standards.load("us")
    england = with_own(kiosk, "turn-wide", 70.0, "england")
    assert standards.of(england) is standards.load("england")
