"""Showing that a change helps: a layout found with it that can be bought, or none."""

from __future__ import annotations

import time

import pytest

from shopfit.model.layout import Layout, Purchase
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Listener, Progress, Solution
from shopfit.model.scenario import Scenario
from shopfit.quantities.takeoff import complete
from shopfit.solver import showing
from shopfit.solver.proving import missed_stage
from shopfit.solver.run import solve
from shopfit.solver.showing import Shower
from shopfit.solver.spending import Bought, price_of, sheets_over
from shopfit.stopping import StopFlag

from . import build as b

OPTIONS = SolveOptions(seconds=5, workers=1)
# Seconds after which a solver that never ends is given up, and in which it is to be stopped.
GIVEN_UP, PATIENCE = 10.0, 8.0


def shown(
    given: Scenario, bought: Bought | None = None, stop: StopFlag | None = None
) -> int | None:
    """Give the facings of a layout that is soon found and can be bought, or none."""
    shower = Shower(solve, bought)
    layout = shower.laid(given, OPTIONS, stop or StopFlag())
    return layout.claims.facings if layout is not None and shower.fits(given, layout) else None


def test_facings_of_a_layout_that_meets_every_minimum():
    """Some layout is found, with what is wanted at least."""
    facings = shown(b.scenario(lines=[b.line(min_facings=40)]), complete)
    assert facings is not None
    assert facings >= 40


def test_a_minimum_that_no_layout_meets_shows_nothing():
    """More facings than all faces of the room can show are wanted."""
    assert shown(b.scenario(lines=[b.line(min_facings=900)]), complete) is None


@pytest.mark.parametrize(("budget", "fits"), [(799.98, False), (800.0, True), (800.02, True)])
def test_whole_packs_keep_to_the_budget(budget: float, fits: bool):
    """What is bought for any layout costs 800 here: under it nothing is shown, from it on it is."""

    def bought(scenario: Scenario, layout: Layout) -> Layout:
        claims = layout.claims.model_copy(update={"cost": 800.0})
        return layout.model_copy(update={"claims": claims})

    given = b.scenario(lines=[b.line(min_facings=1)], brief={"budget": budget})
    assert (shown(given, bought) is not None) is fits
    assert shown(given) is not None


@pytest.mark.parametrize("cheaper", [True, False])
@pytest.mark.parametrize("missed", [0.0, 2.0])
def test_the_cheaper_of_what_was_found_and_what_was_filled_for_the_budget(
    cheaper: bool, missed: float
):
    """Where there is a budget goods are chosen anew for it; what misses a minimum is not shown."""
    given = b.scenario(lines=[b.line(min_facings=1)], brief={"budget": 100.0})
    dear = b.run(given).layout
    assert dear is not None
    assert dear.proof is not None
    claims = dear.claims.model_copy(update={"facings": dear.claims.facings - 1})
    proof = dear.proof.model_copy(update={"stages": (missed_stage(missed), *dear.proof.stages)})
    other = dear.model_copy(update={"claims": claims, "proof": proof})
    costs = {dear.claims.facings: 120.0, claims.facings: 90.0 if cheaper else 130.0}
    heard: list[tuple[float, bool]] = []

    def search(
        scenario: Scenario,
        options: SolveOptions,
        *,
        listener: Listener,
        stop: StopFlag,
        bought: Bought | None,
        **_: object,
    ) -> Solution:
        heard.append((options.gap, bought is not None))
        listener(Progress("filling faces", 1.0, facings=1, objective=1.0))
        assert not stop.requested, "a stop would leave no time for choosing goods"
        return Solution(outcome="layout", layout=dear, paid=other)

    def bought(_: Scenario, layout: Layout) -> Layout:
        cost = costs[layout.claims.facings]
        return layout.model_copy(update={"claims": layout.claims.model_copy(update={"cost": cost})})

    found = Shower(search, bought).laid(given, OPTIONS, StopFlag())
    assert heard == [(1.0, True)]
    assert found is not None
    assert found.claims.cost == (90.0 if cheaper and not missed else 120.0)


@pytest.mark.parametrize(("packs", "fits"), [(2, True), (3, True), (4, False)])
def test_no_more_whole_sheets_than_can_be_had(packs: int, fits: bool):
    """Three packs can be had; a layout that is cut from four is not shown."""

    def bought(scenario: Scenario, layout: Layout) -> Layout:
        own = Purchase(item="sheet", kind="sheet", needed=packs, packs=packs, price=60, total=60)
        return layout.model_copy(update={"purchases": (own,)})

    sheet = {**b.SHEET, "available": 3}
    given = b.scenario(lines=[b.line(min_facings=1)], sheets=[sheet])
    assert (shown(given, bought) is not None) is fits


def silent(
    scenario: Scenario,
    options: SolveOptions,
    *,
    listener: Listener,
    stop: StopFlag,
    **_: object,
) -> Solution:
    """Find nothing until stopped."""
    ends = time.monotonic() + GIVEN_UP
    while not stop.requested and time.monotonic() < ends:
        time.sleep(0.01)
    return Solution(outcome="no layout")


def test_the_search_ends_with_the_first_layout_and_with_a_stop():
    """A solver that never ends by itself is stopped by its own first layout, or by a person."""
    heard: list[bool] = []

    def endless(
        scenario: Scenario,
        options: SolveOptions,
        *,
        listener: Listener,
        stop: StopFlag,
        **_: object,
    ) -> Solution:
        ends = time.monotonic() + GIVEN_UP
        while not stop.requested and time.monotonic() < ends:
            listener(Progress("filling faces", 1.0, facings=1, objective=1.0))
        heard.append(stop.requested)
        return Solution(outcome="no layout")

    every, began = StopFlag(), time.monotonic()
    given = b.scenario()
    assert Shower(endless, None).laid(given, OPTIONS, every) is None
    assert heard == [True]
    assert not every.requested
    assert time.monotonic() - began < PATIENCE
    every.request()
    assert Shower(silent, None).laid(given, OPTIONS, every) is None
    assert time.monotonic() - began < PATIENCE


def test_a_clock_ends_a_search_that_finds_nothing(monkeypatch: pytest.MonkeyPatch):
    """A solver that never ends by itself and tells of no layout is stopped all the same."""
    monkeypatch.setattr(showing, "_GUARD_SECONDS", 0.1)
    monkeypatch.setattr(showing, "_GUARD_SHARE", 0.0)
    began, every = time.monotonic(), StopFlag()
    assert Shower(silent, None).laid(b.scenario(), OPTIONS, every) is None
    assert 0.1 <= time.monotonic() - began < PATIENCE
    assert not every.requested


def test_prices_are_those_of_what_is_bought():
    """The price of a layout is the cost that its purchases come to; without them there is none."""
    given = b.scenario(lines=[b.line(min_facings=1)])
    layout = b.run(given).layout
    assert layout is not None
    price = price_of(given, complete)
    assert price is not None
    assert price(layout) == complete(given, layout).claims.cost > 0
    assert price_of(given, None) is None
    assert sheets_over(given, complete(given, layout)) == {}
