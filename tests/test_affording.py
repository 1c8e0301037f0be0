"""When another search is worth it where whole packs cost more than there is."""

from __future__ import annotations

import pytest

from shopfit.affording import Again, budget
from shopfit.affording.trim import worth
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Solution
from shopfit.stopping import StopFlag


@pytest.mark.parametrize(
    ("seconds", "kept", "enough"),
    [
        (4.9, 1.0, True),
        (4.9, 0.96, False),
        (5.0, 0.96, True),
        (5.0, 0.95, True),
        (5.0, 0.949, False),
    ],
)
def test_a_little_lost_is_searched_for_only_within_the_seconds(
    seconds, kept, enough, kiosk, kiosk_layout
):
    """After less than half of ten seconds any loss is worth a search; later one over 5 %."""
    first = kiosk_layout.model_copy(
        update={"timing": kiosk_layout.timing.model_copy(update={"seconds": seconds})}
    )
    again = Again(
        kiosk, SolveOptions(seconds=10), lambda _: None, StopFlag(), lambda *_, **__: None, first
    )
    value = kept * worth(kiosk, first)
    left = first.model_copy(update={"proof": first.proof.model_copy(update={"objective": value})})
    best = Solution(outcome="layout", layout=left)
    assert budget._little_lost(again, best) == enough
