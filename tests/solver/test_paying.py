"""Goods chosen anew so that whole packs keep to the budget."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from shopfit.affording.trim import claims_anew, missing
from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.progress import unheard
from shopfit.model.scenario import Scenario
from shopfit.quantities.takeoff import complete
from shopfit.solver.effort import Purse
from shopfit.solver.held import Filled
from shopfit.solver.paying import Payer
from shopfit.solver.search import Search
from shopfit.solver.site import Site
from shopfit.solver.spending import laid_out
from shopfit.stopping import StopFlag

OPTIONS = SolveOptions(seconds=3.0, workers=2)


def with_budget(given: Scenario, budget: float | None) -> Scenario:
    brief = given.brief.model_copy(update={"budget": budget})
    return given.model_copy(update={"shop": given.shop.model_copy(update={"brief": brief})})


@pytest.fixture(scope="module")
def search(kiosk: Scenario) -> Any:
    """Give a search of the kiosk at its end, and what it found for money enough."""
    own = Search(with_budget(kiosk, None), OPTIONS, unheard, StopFlag(), None, complete, False)
    with pytest.MonkeyPatch.context() as patch:
        # Whole packs are saved at the end of every search, which is looked at by itself here.
        patch.setattr(Payer, "saved", lambda _, found, purse: found)
        own.run()
    return own


@pytest.fixture(scope="module")
def found(search: Any) -> Filled:
    best = search._best
    assert best is not None
    return best


def payer(search: Any, given: Scenario) -> Payer:
    return Payer(search._betterer, given, complete)


def cost(given: Scenario, filled: Filled) -> float:
    return complete(given, laid_out(filled)).claims.cost


def test_without_a_budget_or_within_it_nothing_is_chosen_anew(kiosk, search, found):
    """There is nothing to keep to, or it is kept."""
    free = with_budget(kiosk, None)
    assert payer(search, free).paid(found, Purse(1.0)) is None
    site = found.problem.site.scenario
    assert payer(search, site).paid(found, Purse(1.0)) is None


def test_whole_packs_are_saved_and_nothing_else_is_lost(kiosk, search, found):
    """At least one pack or board less is bought, for as many facings of as much value."""
    own = payer(search, with_budget(kiosk, None))
    less = own.saved(found, Purse(3.0))
    cheapest = min(item.price for item in (*kiosk.catalogue.brackets, *kiosk.catalogue.shelves))
    assert cost(kiosk, less) <= cost(kiosk, found) - cheapest
    assert less.score.short == found.score.short == 0
    assert less.score.worth >= found.score.worth
    assert less.score.second >= found.score.second
    assert less.filler.allowed(less.filling)
    again = own.saved(less, Purse(3.0))
    assert cost(kiosk, again) <= cost(kiosk, less)


@pytest.mark.parametrize(("more", "saves"), [(-0.01, False), (0.0, True), (0.01, True)])
def test_packs_are_saved_only_where_the_budget_is_kept(more, saves, kiosk, search, found):
    """Just under, at and over what the layout costs: under it goods are chosen anew instead."""
    given = with_budget(kiosk, round(cost(kiosk, found) + more, 2))
    # The floor is the one found; only the money that there is differs.
    problem = replace(found.problem, site=Site(given))
    own = replace(found, problem=problem)
    less = payer(search, given).saved(own, Purse(3.0))
    assert (less is not own) is saves
    assert (payer(search, given).paid(own, Purse(0.5)) is None) is saves


def test_what_cannot_be_saved_stays_as_it_is(kiosk, search, found):
    """Without work left the same filled floor comes back."""
    assert payer(search, with_budget(kiosk, None)).saved(found, Purse(0.0)) is found


@pytest.mark.parametrize("less", [0.01, 20.0, 40.0])
def test_goods_keep_to_the_budget_and_no_minimum_is_lost(less, kiosk, search, found):
    """With a little less than the layout costs packs and boards are shared, not goods given up."""
    budget = round(cost(kiosk, found) - less, 2)
    given = with_budget(kiosk, budget)
    paid = payer(search, given).paid(found, Purse(3.0))
    assert paid is not None
    assert found.score.short == paid.score.short == 0
    assert cost(given, paid) <= budget + 0.01
    assert paid.filler.allowed(paid.filling)
    assert paid.score.worth >= 0.9 * found.score.worth


def test_equal_requests_give_equal_goods(kiosk, search, found):
    """The work is counted, not timed."""
    given = with_budget(kiosk, round(cost(kiosk, found) - 30.0, 2))
    first, second = (payer(search, given).paid(found, Purse(1.5)) for _ in range(2))
    assert first is not None
    assert second is not None
    assert laid_out(first).blocks == laid_out(second).blocks


def test_fixtures_and_slat_wall_are_left_out_where_goods_alone_cannot_save_enough(
    kiosk, search, found
):
    """With half of the money no more stands than before, and nothing asked for is left out."""
    given = with_budget(kiosk, round(0.5 * cost(kiosk, found), 2))
    paid = payer(search, given).paid(found, Purse(3.0))
    assert paid is not None
    before, after = laid_out(found), laid_out(paid)
    assert cost(given, paid) < cost(given, found)
    standing = [given.catalogue.fixture(each.fixture) for each in after.placements]
    for wish in given.brief.wanted:
        there = sum(one.id == wish.fixture or one.kind == wish.kind for one in standing)
        assert there >= wish.at_least
    assert len(after.runs) + len(after.placements) <= len(before.runs) + len(before.placements)


def test_other_prices_are_searched_but_those_that_hold_are_paid(kiosk, search, found):
    """A layout within the budget by the prices that were searched is looked at all the same."""
    given = with_budget(kiosk, round(2.0 * cost(kiosk, found), 2))
    paid = payer(search, given).paid(found, Purse(1.0))
    assert paid is not None
    assert paid.score.worth >= found.score.worth
    assert replace(paid, filling=found.filling) == found


def halved(scenario: Scenario, layout: Layout) -> Layout | None:
    """Leave the lowest row of each block, whatever minimums that takes; it is cheap enough."""
    blocks = tuple(one.model_copy(update={"rows": one.rows[:1]}) for one in layout.blocks)
    return complete(scenario, claims_anew(scenario, layout.model_copy(update={"blocks": blocks})))


@pytest.mark.parametrize(("more", "given_up"), [(-0.01, True), (0.0, False), (0.01, False)])
def test_minimums_are_given_up_only_for_a_budget_that_is_not_kept(
    more, given_up, kiosk, search, found
):
    """Just under, at and over what a floor costs; what is left over is spent on minimums again."""
    budget = round(cost(kiosk, found) + more, 2)
    given = with_budget(kiosk, budget)
    own = replace(payer(search, given), kept=halved)
    within = own.within(found, Purse(3.0))
    assert (within is not None) is given_up
    if within is not None:
        bare = halved(given, complete(given, laid_out(found)))
        assert bare is not None
        assert cost(given, within) <= budget + 0.005
        assert within.score.short < missing(given, bare)
        assert within.filler.allowed(within.filling)


@pytest.mark.parametrize("kept", [None, lambda scenario, layout: None])
def test_nothing_is_given_up_where_nothing_is_left_of_it(kept, kiosk, search, found):
    """Nobody asked for it, or no less can be bought."""
    given = with_budget(kiosk, round(0.5 * cost(kiosk, found), 2))
    assert replace(payer(search, given), kept=kept).within(found, Purse(1.0)) is None


def test_what_is_left_still_too_dear_is_not_given(kiosk, search, found):
    """Who takes out too little is not trusted."""
    given = with_budget(kiosk, round(0.5 * cost(kiosk, found), 2))
    own = replace(payer(search, given), kept=lambda scenario, layout: layout)
    assert own.within(found, Purse(1.0)) is None
