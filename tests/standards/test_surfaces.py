"""Floors, chapter 3: just under, at and just over each value.

All of it by the 2010 ADA Standards for Accessible Design as published by the US Access Board.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfit.standards import load
from shopfit.standards.surfaces import (
    bevel,
    carpet,
    clear_floor,
    counted_toe_depth,
    knee_room,
    level_change,
    opening,
    toe_room,
    turning_circle,
    turning_tee,
)
from shopfit.units import INCH_MM

US = load("us")
IN = INCH_MM


@pytest.mark.parametrize(
    ("rise", "treatment"),
    [
        (0.0, "none"),
        (0.249, "none"),
        (0.25, "none"),
        (0.251, "bevel"),
        (0.499, "bevel"),
        (0.5, "bevel"),
        (0.501, "ramp"),
        (6.0, "ramp"),
    ],
)
def test_changes_in_level(rise: float, treatment: str) -> None:
    """303.2 to 303.4: up to 1/4 in vertical, up to 1/2 in bevelled, then a ramp."""
    assert level_change(US, rise * IN) == treatment


@pytest.mark.parametrize(("run", "met"), [(1.99, False), (2.0, True), (2.01, True)])
def test_bevels(run: float, met: bool) -> None:
    """303.3: not steeper than 1:2."""
    assert bevel(US, 1 / run).met is met


@pytest.mark.parametrize(("size", "met"), [(0.499, True), (0.5, True), (0.501, False)])
def test_openings_and_carpets(size: float, met: bool) -> None:
    """302.2 and 302.3: half an inch."""
    assert opening(US, size * IN).met is met
    assert carpet(US, size * IN).met is met


@pytest.mark.parametrize(("diameter", "met"), [(59.9, False), (60.0, True), (60.1, True)])
def test_turning_circles(diameter: float, met: bool) -> None:
    """304.3.1: 60 in."""
    found = turning_circle(US, diameter * IN)
    assert found.met is met
    assert found.requirement.clause.endswith("304.3.1")


@pytest.mark.parametrize(
    ("square", "lane", "arm", "base", "met"),
    [
        (60.0, 36.0, 12.0, 24.0, True),
        (59.9, 36.0, 12.0, 24.0, False),
        (60.0, 35.9, 12.0, 24.0, False),
        (60.0, 36.0, 11.9, 24.0, False),
        (60.0, 36.0, 12.0, 23.9, False),
        (60.1, 36.1, 12.1, 24.1, True),
    ],
)
def test_turning_tees(square: float, lane: float, arm: float, base: float, met: bool) -> None:
    """304.3.2: 60 in square, 36 in lanes, arms of 12 in and a base of 24 in."""
    found = turning_tee(US, square * IN, lane * IN, arm * IN, base * IN)
    assert all(one.met for one in found) is met


@pytest.mark.parametrize(
    ("forward", "alcove", "across", "along", "clause"),
    [
        (True, 0.0, 30, 48, "305.3"),
        (True, 24.0, 30, 48, "305.3"),
        (True, 24.1, 36, 48, "305.7.1"),
        (False, 14.9, 30, 48, "305.3"),
        (False, 15.0, 30, 48, "305.3"),
        (False, 15.1, 30, 60, "305.7.2"),
    ],
)
def test_clear_floor(
    forward: bool, alcove: float, across: float, along: float, clause: str
) -> None:
    """305.3 and 305.7: an alcove is deep where it exceeds 24 in, or 15 in sideways."""
    found = clear_floor(US, forward, alcove * IN)
    assert found.across_mm == pytest.approx(across * IN)
    assert found.along_mm == pytest.approx(along * IN)
    assert found.clause.endswith(clause)


@pytest.mark.parametrize(
    ("width", "low", "high", "met"),
    [
        (30.0, 11.0, 8.0, True),
        (29.9, 11.0, 8.0, False),
        (30.0, 10.9, 8.0, False),
        (30.0, 11.0, 7.9, False),
        (30.1, 11.1, 8.1, True),
    ],
)
def test_room_for_knees(width: float, low: float, high: float, met: bool) -> None:
    """306.3: 30 in wide, 11 in deep at 9 in and 8 in deep at 27 in."""
    assert all(one.met for one in knee_room(US, width * IN, low * IN, high * IN)) is met


@pytest.mark.parametrize(
    ("toe", "knee", "counted", "met"),
    [
        (17.0, 11.0, 17.0, True),
        (16.9, 11.0, 16.9, False),
        (17.1, 11.1, 17.1, True),
        # No more than 6 in beyond the room for knees counts.
        (20.0, 10.9, 16.9, False),
        (20.0, 11.0, 17.0, True),
        # No more than 25 in counts at all.
        (30.0, 30.0, 25.0, True),
    ],
)
def test_room_for_toes(toe: float, knee: float, counted: float, met: bool) -> None:
    """306.2: 17 in deep, of what counts."""
    assert counted_toe_depth(US, toe * IN, knee * IN) == pytest.approx(counted * IN)
    assert all(one.met for one in toe_room(US, 30 * IN, toe * IN, knee * IN)) is met


@given(toe=st.floats(0, 2000), knee=st.floats(0, 2000), more=st.floats(0, 100))
def test_more_room_never_counts_for_less(toe: float, knee: float, more: float) -> None:
    """What counts grows with either depth, and is never more than there is."""
    counted = counted_toe_depth(US, toe, knee)
    assert counted <= toe
    assert counted_toe_depth(US, toe + more, knee) >= counted
    assert counted_toe_depth(US, toe, knee + more) >= counted
