"""When another search is worth it where whole packs cost more than there is."""

from __future__ import annotations

from itertools import pairwise

import pytest

from shopfit.affording import Again, afford, budget
from shopfit.affording.asked import Asked
from shopfit.affording.trim import claims_anew, missing, shown, trim, without_hosts, worth
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Solution
from shopfit.quantities.takeoff import complete
from shopfit.stopping import StopFlag


@pytest.mark.parametrize(
    ("gap", "kept", "enough"),
    [
        (0.01, 1.0, True),
        (0.01, 0.96, False),
        (0.011, 0.96, True),
        (0.011, 0.95, True),
        (0.011, 0.949, False),
        (None, 0.96, True),
    ],
)
def test_a_little_lost_is_searched_for_only_where_the_first_search_ended(
    gap, kept, enough, met, kiosk_layout
):
    """With a gap of 1 %, which was good enough, any loss is worth a search; else one over 5 %."""
    proof = kiosk_layout.proof.model_copy(update={"gap": gap, "bound": None})
    first = complete(met, kiosk_layout.model_copy(update={"proof": proof}))
    options = SolveOptions(gap=0.01)
    given = _with_budget(met, first.claims.cost)
    again = Again(given, options, lambda _: None, StopFlag(), lambda *_, **__: None, first)
    value = kept * worth(met, first)
    left = first.model_copy(update={"proof": first.proof.model_copy(update={"objective": value})})
    best = Solution(outcome="layout", layout=left)
    assert budget._little_lost(again, best) == enough


@pytest.mark.parametrize(("bound", "enough"), [(1.0, True), (1.0526, True), (1.054, False)])
def test_the_first_floor_is_left_at_that_only_near_its_bound(bound, enough, met, kiosk_layout):
    """Its floor was chosen for money by the piece: under 95 % of it others are looked for."""
    value = worth(met, complete(met, kiosk_layout))
    proof = kiosk_layout.proof.model_copy(
        update={"gap": 0.5, "bound": bound * value, "objective": value}
    )
    first = complete(met, kiosk_layout.model_copy(update={"proof": proof}))
    given = _with_budget(met, first.claims.cost)
    again = Again(given, SolveOptions(), lambda _: None, StopFlag(), lambda *_, **__: None, first)
    best = Solution(outcome="layout", layout=first)
    assert budget._little_lost(again, best) == enough


def test_what_misses_a_minimum_is_always_searched_for_again(kiosk, kiosk_layout):
    """Another floor may miss less, however near to the first this one comes."""
    first = complete(kiosk, kiosk_layout)
    assert missing(kiosk, first) > 0
    given = _with_budget(kiosk, first.claims.cost)
    again = Again(given, SolveOptions(), lambda _: None, StopFlag(), lambda *_, **__: None, first)
    assert not budget._little_lost(again, Solution(outcome="layout", layout=first))


def _with_budget(kiosk, most):
    brief = kiosk.brief.model_copy(update={"budget": most})
    return kiosk.model_copy(update={"shop": kiosk.shop.model_copy(update={"brief": brief})})


@pytest.fixture
def met(kiosk, kiosk_layout):
    """Give a kiosk of which the hand layout meets every minimum, with a line that must hang."""
    facings, units = shown(kiosk_layout)
    lines = tuple(
        line.model_copy(update={"min_facings": facings[line.line], "holding": units[line.line]})
        for line in kiosk.lines
    )
    return kiosk.model_copy(update={"lines": lines})


def _without_runs(scenario, layout):
    runs = frozenset(run.id for run in layout.runs)
    return complete(scenario, claims_anew(scenario, without_hosts(layout, runs)))


def test_what_misses_a_minimum_is_given_where_only_something_dearer_misses_none(met, kiosk_layout):
    """The layout that can be bought is given, with no bound, and what one without misses costs."""
    first = complete(met, kiosk_layout)
    less = _without_runs(met, first)
    assert missing(met, less) > missing(met, first) == 0
    assert less.claims.cost < first.claims.cost
    given = _with_budget(met, less.claims.cost)

    def search(scenario, options, **_):
        return Solution(outcome="layout", layout=less)

    again = Again(given, SolveOptions(), lambda _: None, StopFlag(), search, first)
    found = afford(again, Solution(outcome="layout", layout=first))
    assert found.layout.claims.cost <= given.brief.budget
    assert missing(met, found.layout) == missing(met, less)
    assert found.layout.proof.bound is None
    assert found.layout.proof.gap is None
    assert found.layout.proof.missed == missing(met, less)
    assert "that misses no minimum costs" in found.clash.reason
    assert f"{first.claims.cost:,.2f}" in found.clash.reason
    assert found.clash.changes[0].facings == first.claims.facings


@pytest.mark.parametrize("bound", [None, 40.0])
def test_a_bound_is_told_where_only_a_later_answer_misses_nothing(bound, met, kiosk_layout):
    """It holds for whatever misses no minimum, though the first layout is told without."""
    later = complete(met, kiosk_layout)
    first = _without_runs(met, later)
    proof = first.proof.model_copy(update={"bound": None, "gap": None})
    claims = first.claims.model_copy(update={"cost": later.claims.cost + 1.0})
    first = first.model_copy(update={"proof": proof, "claims": claims})
    given = _with_budget(met, later.claims.cost)

    def search(scenario, options, **_):
        # Of what a later search reckons with only that search has the bound.
        return Solution(outcome="layout", layout=later, bound=12.0)

    again = Again(given, SolveOptions(), lambda _: None, StopFlag(), search, first)
    found = afford(again, Solution(outcome="layout", layout=first, bound=bound))
    assert missing(met, first) > missing(met, found.layout) == 0
    assert found.layout.proof.bound == bound
    value = worth(given, found.layout)
    assert found.layout.proof.gap == (None if bound is None else pytest.approx(1 - value / 40.0))
    assert found.bound is None


def test_ever_more_is_kept_back_where_the_same_is_found_again(kiosk, kiosk_layout, monkeypatch):
    """A search that goes on finding what is too dear is asked with a growing part kept back."""
    monkeypatch.setattr(budget, "_trimmed", lambda *_: None)
    first, kept = complete(kiosk, kiosk_layout), []

    def search(scenario, options, **_):
        kept.append(budget_of - scenario.brief.budget)
        return Solution(outcome="layout", layout=first)

    budget_of = first.claims.cost - 20.0
    brief = kiosk.brief.model_copy(update={"budget": budget_of})
    dear = kiosk.model_copy(update={"shop": kiosk.shop.model_copy(update={"brief": brief})})
    again = Again(dear, SolveOptions(), lambda _: None, StopFlag(), search, first)
    afford(again, Solution(outcome="layout", layout=first))
    # At first nothing is kept back: packs are reckoned at what they came to.
    assert kept[0] == 0.0
    steps = [later - earlier for earlier, later in pairwise(kept)]
    assert len(steps) > 1
    assert all(later > earlier for earlier, later in pairwise(steps))


@pytest.mark.parametrize(
    ("asked", "money", "each"),
    [
        (30, 500.0, 5),
        (13, 500.0, 13 / 6),
        (12, 500.0, 2),
        (8, 500.0, 2),
        (3, 500.0, 1.5),
        (8, None, 4),
    ],
)
def test_a_further_search_for_money_is_short(asked, money, each, kiosk, kiosk_layout):
    """A sixth of the seconds, but 2 s or half of them at least; half where only sheets are few."""
    first, seconds = complete(kiosk, kiosk_layout), []

    def search(scenario, options, **_):
        seconds.append(options.seconds)
        return Solution(outcome="no layout")

    given = _with_budget(kiosk, money)
    options = SolveOptions(seconds=asked)
    Again(given, options, lambda _: None, StopFlag(), search, first).solve(Asked(), 1.0)
    assert seconds == [pytest.approx(each)]


def test_of_two_answers_that_counts_which_shows_more_once_the_floor_carries_it(
    met, kiosk_layout, monkeypatch
):
    """What has to be taken out for the floor is taken out before answers are compared."""
    first = complete(met, kiosk_layout)
    less = _without_runs(met, first)
    given = _with_budget(met, first.claims.cost)
    again = Again(given, SolveOptions(), lambda _: None, StopFlag(), lambda *_, **__: None, first)
    found = Solution(outcome="layout", layout=first)
    assert budget._trimmed(again, found, first, 1.0).layout.runs == first.runs
    monkeypatch.setattr(budget, "lightened", lambda scenario, layout: less)
    lighter = budget._trimmed(again, found, first, 1.0)
    assert lighter.layout.runs == less.runs
    assert lighter.layout.proof.objective == worth(given, less)
    assert "the floor carries" in lighter.layout.proof.stages[-1].scope


def test_as_few_minimums_as_can_be_are_given_up(met, kiosk_layout):
    """Kept where they are to be kept; else what misses least for the money saved goes first."""
    whole = complete(met, kiosk_layout)
    cheaper = whole.claims.cost - 1.0
    assert trim(met, whole, cheaper) is None
    less = trim(met, whole, cheaper, giving_up=True)
    assert less is not None
    assert less.claims.cost <= cheaper
    runs = _without_runs(met, whole)
    assert 0 < missing(met, less) <= missing(met, runs)
