"""When another search is worth it where whole packs cost more than there is."""

from __future__ import annotations

import pytest

from shopfit.affording import Again, budget
from shopfit.affording.trim import worth
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Solution
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
    assert budget._little_lost(again, best) == enough
