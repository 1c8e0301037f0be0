"""Ways, chapters 2 and 4: just under, at and just over each value.

All of it by the 2010 ADA Standards for Accessible Design as published by the US Access Board.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfit.standards import load
from shopfit.standards.routes import (
    clear_width,
    entrances_wanted,
    fitting_rooms_wanted,
    passing_space,
    passing_spaces,
    raised_area_exempt,
    staff_path_wanted,
    walking_surface,
)
from shopfit.units import INCH_MM

US = load("us")
IN = INCH_MM
FT = 12 * IN
SQ_FT = 0.3048**2


@pytest.mark.parametrize(
    ("width", "length", "apart", "met"),
    [
        (35.9, math.inf, math.inf, False),
        (36.0, math.inf, math.inf, True),
        (36.1, math.inf, math.inf, True),
        (31.9, 24.0, 48.0, False),
        (32.0, 24.0, 48.0, True),
        (32.1, 23.9, 48.1, True),
        (32.0, 24.1, 48.0, False),
        (32.0, 24.0, 47.9, False),
        (36.0, 24.1, 0.0, True),
    ],
)
def test_clear_width(width: float, length: float, apart: float, met: bool) -> None:
    """403.5.1: 36 in; 32 in for up to 24 in, 48 in from the next."""
    assert clear_width(US, width * IN, length * IN, apart * IN).met is met


@pytest.mark.parametrize(
    ("width", "feet", "count"),
    [
        (59.9, 199.9, 0),
        (59.9, 200.0, 0),
        (59.9, 200.1, 1),
        (59.9, 400.0, 1),
        (59.9, 400.1, 2),
        (60.0, 1000.0, 0),
        (60.1, 1000.0, 0),
        (36.0, 0.0, 0),
    ],
)
def test_passing_spaces(width: float, feet: float, count: int) -> None:
    """403.5.3: ways under 60 in, every 200 ft at most."""
    assert passing_spaces(US, width * IN, feet * FT) == count


@pytest.mark.parametrize(
    ("width", "length", "met"), [(60.0, 60.0, True), (59.9, 60.0, False), (60.0, 59.9, False)]
)
def test_a_passing_space(width: float, length: float, met: bool) -> None:
    """403.5.3: 60 in by 60 in."""
    assert all(one.met for one in passing_space(US, width * IN, length * IN)) is met


@pytest.mark.parametrize(
    ("run", "cross", "met"),
    [
        (20.0, 48.0, True),
        (19.9, 48.0, False),
        (20.1, 48.1, True),
        (20.0, 47.9, False),
    ],
)
def test_walking_surfaces(run: float, cross: float, met: bool) -> None:
    """403.3: 1:20 along, 1:48 across."""
    assert all(one.met for one in walking_surface(US, 1 / run, 1 / cross)) is met


@pytest.mark.parametrize(
    ("feet", "fixed", "wanted"),
    [
        (999.9, True, False),
        (1000.0, True, True),
        (1000.1, True, True),
        (10.0, False, True),
    ],
)
def test_paths_in_staff_areas(feet: float, fixed: bool, wanted: bool) -> None:
    """206.2.8, exception 1: less than 1,000 sq ft behind what is permanently installed."""
    assert staff_path_wanted(US, feet * SQ_FT, fixed) is wanted


@pytest.mark.parametrize(
    ("feet", "raised", "exempt"),
    [
        (299.9, 7.0, True),
        (300.0, 7.0, False),
        (299.9, 6.9, False),
        (299.9, 7.1, True),
    ],
)
def test_raised_staff_areas(feet: float, raised: float, exempt: bool) -> None:
    """203.9: less than 300 sq ft, 7 in or more."""
    assert raised_area_exempt(US, feet * SQ_FT, raised * IN) is exempt


@pytest.mark.parametrize(
    ("entrances", "wanted"), [(0, 0), (1, 1), (2, 2), (3, 2), (4, 3), (5, 3), (10, 6)]
)
def test_entrances(entrances: int, wanted: int) -> None:
    """206.4.1: 60 per cent, counted up (104.2)."""
    assert entrances_wanted(US, entrances) == wanted


@pytest.mark.parametrize(("rooms", "wanted"), [(0, 0), (1, 1), (20, 1), (21, 2), (40, 2), (41, 3)])
def test_fitting_rooms(rooms: int, wanted: int) -> None:
    """222.1: 5 per cent, at least one, counted up (104.2)."""
    assert fitting_rooms_wanted(US, rooms) == wanted


@given(st.floats(1, 2000), st.floats(0, 500_000), st.floats(0, 500_000))
def test_longer_ways_never_want_fewer_passing_spaces(
    width: float, length: float, more: float
) -> None:
    """The count grows with length, and spaces so placed are near enough."""
    count = passing_spaces(US, width, length)
    assert passing_spaces(US, width, length + more) >= count
    if US.requirement("passing-width").holds(width):
        assert length / (count + 1) <= 200 * FT + 0.011
