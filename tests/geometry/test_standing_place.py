"""Where a traveller may stand before a front."""

from __future__ import annotations

import pytest
from shapely import box

from shopfit.geometry.freefloor import standing_place


@pytest.mark.parametrize(
    ("front", "width", "expected"),
    [
        (500.0, 1000.0, (-250.0, 0.0, 750.0, 900.0)),
        (999.0, 1000.0, (-0.5, 0.0, 999.5, 900.0)),
        (1000.0, 1000.0, (0.0, 0.0, 1000.0, 900.0)),
        (1200.0, 1000.0, (0.0, 0.0, 1200.0, 900.0)),
    ],
)
def test_only_fronts_narrower_than_the_traveller_are_widened(
    front: float, width: float, expected: tuple[float, ...]
):
    """A band under the traveller's width grows to it on both sides; depth never changes."""
    place = standing_place(box(0.0, 0.0, front, 900.0), (0.0, 1.0), width)
    assert place.bounds == pytest.approx(expected)


def test_widening_is_across_the_way_out():
    """A front that looks east is widened north and south."""
    place = standing_place(box(0.0, 0.0, 900.0, 500.0), (1.0, 0.0), 700.0)
    assert place.bounds == pytest.approx((0.0, -100.0, 900.0, 600.0))
