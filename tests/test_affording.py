"""When another search is worth it where whole packs cost more than there is."""

from __future__ import annotations

from itertools import pairwise

import pytest

from shopfit.affording import Again, afford, budget
from shopfit.affording.trim import worth
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
    gap, kept, enough, kiosk, kiosk_layout
):
    """With a gap of 1 %, which was good enough, any loss is worth a search; else one over 5 %."""
    proof = kiosk_layout.proof.model_copy(update={"gap": gap})
    first = kiosk_layout.model_copy(update={"proof": proof})
    options = SolveOptions(gap=0.01)
    again = Again(kiosk, options, lambda _: None, StopFlag(), lambda *_, **__: None, first)
    value = kept * worth(kiosk, first)
    left = first.model_copy(update={"proof": first.proof.model_copy(update={"objective": value})})
    best = Solution(outcome="layout", layout=left)
    assert budget._little_lost(again, best, first) == enough
    # Of a later answer a little may be lost, whatever ended the first.
    assert budget._little_lost(again, best, first.model_copy()) == (kept >= 0.95)


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
    steps = [later - earlier for earlier, later in pairwise([0.0, *kept])]
    assert len(steps) > 1
    assert all(later > earlier for earlier, later in pairwise(steps))
