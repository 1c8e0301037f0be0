"""Reach, handling and protruding objects, chapter 3: just under, at and just over each value.

All of it by the 2010 ADA Standards for Accessible Design as published by the US Access Board.
"""

from __future__ import annotations

import pytest

from shopfit.standards import load
from shopfit.standards.protrusion import (
    between_posts,
    handrail_projection,
    headroom,
    post_overhang,
)
from shopfit.standards.reach import (
    food_shelves_within_reach,
    forward_reach,
    handling,
    side_reach,
)
from shopfit.units import INCH_MM

US = load("us")
IN = INCH_MM


@pytest.mark.parametrize(
    ("over", "high"),
    [
        (0.0, 48),
        (19.9, 48),
        (20.0, 48),
        (20.1, 44),
        (24.9, 44),
        (25.0, 44),
        (25.1, None),
    ],
)
def test_forward_reach(over: float, high: float | None) -> None:
    """308.2: 48 in, over more than 20 in 44 in, over more than 25 in none."""
    reach = forward_reach(US, over * IN)
    assert (reach is None) == (high is None)
    if reach is not None and high is not None:
        for off, within in ((-0.1, True), (0.0, True), (0.1, False)):
            assert reach.holds((high + off) * IN) is within
            assert reach.holds((15 - off) * IN) is within


@pytest.mark.parametrize(
    ("over", "height", "high"),
    [
        (0.0, 0.0, 48),
        (9.9, 40.0, 48),
        (10.0, 40.0, 48),
        (10.1, 34.0, 46),
        (10.1, 33.9, 46),
        (10.1, 34.1, None),
        (24.0, 34.0, 46),
        (23.9, 34.0, 46),
        (24.1, 34.0, None),
    ],
)
def test_side_reach(over: float, height: float, high: float | None) -> None:
    """308.3: 48 in with up to 10 in between, 46 in over up to 24 in of at most 34 in height."""
    reach = side_reach(US, over * IN, height * IN)
    assert (reach is None) == (high is None)
    if reach is not None and high is not None:
        for off, within in ((-0.1, True), (0.0, True), (0.1, False)):
            assert reach.holds((high + off) * IN) is within
            assert reach.holds((15 - off) * IN) is within


@pytest.mark.parametrize(
    ("shelves", "wanted"), [(0, 0), (1, 1), (2, 1), (3, 2), (4, 2), (5, 3), (100, 50)]
)
def test_shelves_for_food(shelves: int, wanted: int) -> None:
    """227.4: half of them, counted up (104.2)."""
    assert food_shelves_within_reach(US, shelves) == wanted


@pytest.mark.parametrize(("pounds", "met"), [(4.99, True), (5.0, True), (5.01, False)])
def test_force_of_handling(pounds: float, met: bool) -> None:
    """309.4: 5 lbf, 22.2 N in print."""
    assert handling(US, pounds * 4.4482216152605).met is met


@pytest.mark.parametrize(
    ("height", "closer", "met"),
    [
        (79.9, False, False),
        (80.0, False, True),
        (80.1, False, True),
        (77.9, True, False),
        (78.0, True, True),
        (78.1, True, True),
    ],
)
def test_headroom(height: float, closer: bool, met: bool) -> None:
    """307.4: 80 in, 78 in under closers."""
    assert headroom(US, height * IN, closer).met is met


@pytest.mark.parametrize(
    ("overhang", "edge", "met"),
    [
        (11.9, 27.1, True),
        (12.0, 27.1, True),
        (12.1, 27.1, False),
        (12.1, 27.0, None),
        (12.1, 80.0, False),
        (12.1, 80.1, None),
    ],
)
def test_things_on_posts(overhang: float, edge: float, met: bool | None) -> None:
    """307.3: 12 in at most, over 27 and up to 80 in."""
    found = post_overhang(US, overhang * IN, edge * IN)
    assert (None if found is None else found.met) is met


@pytest.mark.parametrize(
    ("edge", "apart", "may"),
    [
        (50.0, 12.0, True),
        (50.0, 12.1, False),
        (26.9, 13.0, True),
        (27.0, 13.0, True),
        (27.1, 13.0, False),
        (79.9, 13.0, False),
        (80.0, 13.0, True),
        (80.1, 13.0, True),
    ],
)
def test_things_between_posts(edge: float, apart: float, may: bool) -> None:
    """307.3: more than 12 in apart, then at or below 27 in, or at or above 80 in."""
    assert between_posts(US, edge * IN, apart * IN) is may


@pytest.mark.parametrize(("out", "met"), [(4.4, True), (4.5, True), (4.6, False)])
def test_handrails_beside_a_way(out: float, met: bool) -> None:
    """307.2, exception: 4 1/2 in."""
    assert handrail_projection(US, out * IN).met is met
