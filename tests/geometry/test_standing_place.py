"""Where a traveller may stand before a front."""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely import affinity, box

from shopfit.geometry.freefloor import standing_place, standing_places


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


@pytest.mark.parametrize("turn", [0.0, 90.0, 180.0, 270.0, 33.0])
def test_many_places_are_those_found_one_by_one(turn: float):
    """Bands wide and narrow, before fronts that look any way."""
    bands = [
        affinity.rotate(box(-50.0, 0.0, wide - 50.0, deep), turn - 90.0, origin=(0.0, 0.0))
        for wide, deep in ((500.0, 900.0), (1300.0, 800.0))
    ]
    outward = (math.cos(math.radians(turn)), math.sin(math.radians(turn)))
    corners = np.array([band.exterior.coords[:4] for band in bands])
    for place, band in zip(standing_places(corners, np.full(2, turn), 1000.0), bands, strict=True):
        assert place.symmetric_difference(standing_place(band, outward, 1000.0)).area < 1e-3
