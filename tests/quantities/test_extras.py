"""Trims and inserts bought by length are cut piece by piece."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopfit.cutting.plan import cut
from shopfit.model.cutting import CutJob
from shopfit.quantities.extras import bars_needed

BAR = 2438.4
KERF = CutJob().kerf


@pytest.mark.parametrize(
    ("pieces", "bars"),
    [
        ((), 0),
        ((BAR,), 1),
        ((BAR + 0.009,), 1),
        ((BAR + 1.0,), 2),
        ((BAR, 1219.2), 2),
        (((BAR - KERF) / 2,) * 2, 1),
        (((BAR - KERF) / 2 + 0.1,) * 2, 2),
        ((1500.0, 1500.0, 1500.0), 3),
        ((1500.0, 900.0, 1500.0, 900.0), 2),
        ((3 * BAR,), 3),
    ],
)
def test_bars_are_what_pieces_are_cut_from(pieces: tuple[float, ...], bars: int) -> None:
    """A bar gives what fits with the kerf; the total of the lengths alone would promise more."""
    assert bars_needed(pieces, BAR) == bars


@settings(max_examples=25, deadline=None)
@given(st.lists(st.integers(50, 5000).map(float), max_size=12))
def test_bars_lie_between_the_total_and_the_first_that_fits(pieces: list[float]) -> None:
    """Never fewer than the lengths add up to, never more than by taking each bar that fits."""
    found = bars_needed(pieces, BAR)
    assert found >= math.ceil(sum(pieces) / BAR - 1e-3)
    room: list[float] = []
    for piece in sorted((p % BAR for p in pieces), reverse=True):
        if piece <= 0.05:
            continue
        at = next((k for k, left in enumerate(room) if left >= piece + KERF + 0.1), None)
        if at is None:
            room.append(BAR - piece)
        else:
            room[at] -= piece + KERF + 0.1
    assert found <= sum(int(p // BAR) for p in pieces) + len(room)


def test_many_short_pieces_are_proved() -> None:
    """Inserts for every groove are many pieces of few lengths: as few bars as there can be."""
    pieces = (1219.2,) * 40 + (609.6,) * 37
    job = {
        "stock": [{"id": "bar", "material": "bar", "length": "8 ft"}],
        "parts": [
            {"id": "a", "material": "bar", "length": "4 ft", "count": 40},
            {"id": "b", "material": "bar", "length": "2 ft", "count": 37},
        ],
    }
    plan = cut(CutJob.model_validate(job))
    assert bars_needed(pieces, BAR) == len(plan.boards)
    # Two of 4 ft do not leave the kerf: one of them and one of 2 ft, then three of 2 ft.
    assert len(plan.boards) == 40
