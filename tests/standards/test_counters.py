"""Counters, check-outs, fitting rooms, benches and tables: just under, at and just over.

All of it by the 2010 ADA Standards for Accessible Design as published by the US Access Board.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfit.standards import load
from shopfit.standards.counters import (
    altered_low_part,
    bench,
    checkout_counter,
    checkouts_wanted,
    fitting_shelf,
    low_part,
    table_height,
)
from shopfit.units import INCH_MM

US = load("us")
IN = INCH_MM
SQ_FT = 0.3048**2


@pytest.mark.parametrize(
    ("length", "height", "forward", "counter", "met"),
    [
        (36.0, 36.0, False, 72.0, True),
        (35.9, 36.0, False, 72.0, False),
        (36.1, 35.9, False, 72.0, True),
        (36.0, 36.1, False, 72.0, False),
        (30.0, 36.0, True, 72.0, True),
        (29.9, 36.0, True, 72.0, False),
        # A counter shorter than that is low all along.
        (30.0, 36.0, False, 30.0, True),
        (29.9, 36.0, False, 30.0, False),
        (36.0, 36.0, False, 36.0, True),
        (35.9, 36.0, False, 36.0, False),
    ],
)
def test_low_parts(length: float, height: float, forward: bool, counter: float, met: bool) -> None:
    """904.4.1 and 904.4.2."""
    found = low_part(US, length * IN, height * IN, forward, counter * IN)
    assert all(one.met for one in found) is met


@pytest.mark.parametrize(("length", "met"), [(23.9, False), (24.0, True), (24.1, True)])
def test_low_parts_in_alterations(length: float, met: bool) -> None:
    """904.4, exception: 24 in."""
    assert altered_low_part(US, length * IN).met is met


@pytest.mark.parametrize(
    ("aisles", "feet", "wanted"),
    [
        (0, 9000.0, 0),
        (1, 9000.0, 1),
        (4, 9000.0, 1),
        (5, 5000.0, 2),
        (5, 4999.9, 1),
        (8, 9000.0, 2),
        (9, 9000.0, 3),
        (15, 9000.0, 3),
        # 20 per cent of those beyond 15, counted up (104.2).
        (16, 9000.0, 4),
        (20, 9000.0, 4),
        (21, 9000.0, 5),
        (30, 100.0, 1),
    ],
)
def test_check_outs(aisles: int, feet: float, wanted: int) -> None:
    """227.2 and Table 227.2."""
    assert checkouts_wanted(US, aisles, feet * SQ_FT) == wanted


@given(st.integers(0, 200), st.floats(0, 2000))
def test_more_check_outs_never_want_fewer(aisles: int, area: float) -> None:
    """The count grows with the number of aisles, and never passes it."""
    wanted = checkouts_wanted(US, aisles, area)
    assert wanted <= aisles
    assert checkouts_wanted(US, aisles + 1, area) >= wanted


@pytest.mark.parametrize(
    ("height", "edge", "met"),
    [(38.0, 2.0, True), (38.1, 2.0, False), (37.9, 2.1, False), (37.9, 1.9, True)],
)
def test_check_out_counters(height: float, edge: float, met: bool) -> None:
    """904.3.2: 38 in and 2 in of edge."""
    assert all(one.met for one in checkout_counter(US, height * IN, edge * IN)) is met


@pytest.mark.parametrize(
    ("height", "met"),
    [(39.9, False), (40.0, True), (40.1, True), (47.9, True), (48.0, True), (48.1, False)],
)
def test_shelves_in_fitting_rooms(height: float, met: bool) -> None:
    """803.5: 40 to 48 in."""
    assert all(one.met for one in fitting_shelf(US, height * IN)) is met


@pytest.mark.parametrize(
    ("length", "depth", "height", "met"),
    [
        (42.0, 20.0, 17.0, True),
        (42.1, 24.0, 19.0, True),
        (41.9, 22.0, 18.0, False),
        (42.0, 19.9, 18.0, False),
        (42.0, 24.1, 18.0, False),
        (42.0, 22.0, 16.9, False),
        (42.0, 22.0, 19.1, False),
    ],
)
def test_benches(length: float, depth: float, height: float, met: bool) -> None:
    """903.3 and 903.5."""
    assert all(one.met for one in bench(US, length * IN, depth * IN, height * IN)) is met


@pytest.mark.parametrize(
    ("height", "met"),
    [(27.9, False), (28.0, True), (28.1, True), (33.9, True), (34.0, True), (34.1, False)],
)
def test_tables(height: float, met: bool) -> None:
    """902.3: 28 to 34 in."""
    assert all(one.met for one in table_height(US, height * IN)) is met
