"""Ramps, handrails and steps, 405, 504 and 505: just under, at and just over each value.

By the 2010 ADA Standards for Accessible Design as published by the US Access Board, unless another
source stands beside a value.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfit.standards import Rulebook, handrails, load, ramps
from shopfit.units import INCH_MM

US, ENGLAND = load("us"), load("england")
IN = INCH_MM


@pytest.mark.parametrize(
    ("rise", "existing", "run"),
    [
        (6.0, False, 12),
        (6.0, True, 10),
        (5.99, True, 10),
        (6.01, True, 12),
        (3.0, True, 8),
        (2.99, True, 8),
        (3.01, True, 10),
        (3.0, False, 12),
    ],
)
def test_steepest_slopes(rise: float, existing: bool, run: float) -> None:
    """405.2 and Table 405.2: 1:12; on existing sites 1:10 up to 6 in and 1:8 up to 3 in."""
    assert ramps.steepest_slope(US, rise * IN, existing).value == pytest.approx(1 / run)
    assert ramps.run_length(US, rise * IN, existing) == pytest.approx(rise * run * IN)


@pytest.mark.parametrize(
    ("rise", "existing", "length", "handrails_", "runs"),
    [
        (6.0, False, 72, False, 1),
        (7.0, False, 84, True, 1),
        (30.0, False, 360, True, 1),
        (30.1, False, 361.2, True, 2),
        (3.0, True, 24, False, 1),
        (6.0, True, 60, False, 1),
    ],
)
def test_worked_ramps(
    rise: float, existing: bool, length: float, handrails_: bool, runs: int
) -> None:
    """Worked out by hand from 405.2, 405.6 and 405.8."""
    assert ramps.run_length(US, rise * IN, existing) == pytest.approx(length * IN)
    assert ramps.handrails_needed(US, rise * IN) is handrails_
    assert ramps.runs_needed(US, rise * IN) == runs


@pytest.mark.parametrize(
    ("rise", "runs"), [(0.0, 0), (0.1, 1), (29.9, 1), (30.0, 1), (30.1, 2), (60.0, 2), (60.1, 3)]
)
def test_runs(rise: float, runs: int) -> None:
    """405.6: 30 in a run."""
    assert ramps.runs_needed(US, rise * IN) == runs


@given(st.floats(0.1, 5000))
def test_runs_are_enough_and_one_fewer_is_not(rise: float) -> None:
    """Equal runs are within the limit, and fewer ones would not be."""
    runs = ramps.runs_needed(US, rise)
    assert US.requirement("ramp-rise").holds(rise / runs)
    assert runs == 1 or rise / (runs - 1) > US.mm("ramp-rise")


@pytest.mark.parametrize(("run", "us", "england"), [(19.9, 1, 1), (20.0, 0, 1), (20.1, 0, 0)])
def test_what_is_a_ramp(run: float, us: int, england: int) -> None:
    """106.5: steeper than 1:20. Approved Document K, 2.3, note: 1:20 or steeper."""
    assert ramps.is_ramp(US, 1 / run) is bool(us)
    assert ramps.is_ramp(ENGLAND, 1 / run) is bool(england)


@pytest.mark.parametrize(
    ("clause", "measure", "met"),
    [
        (ramps.cross_slope, 1 / 47.9, False),
        (ramps.cross_slope, 1 / 48, True),
        (ramps.cross_slope, 1 / 48.1, True),
        (ramps.clear_width, 35.9 * IN, False),
        (ramps.clear_width, 36.0 * IN, True),
        (ramps.clear_width, 36.1 * IN, True),
        (ramps.landing_slope, 1 / 47.9, False),
        (ramps.landing_slope, 1 / 48, True),
        (ramps.landing_slope, 1 / 48.1, True),
        (handrails.handrail_clearance, 1.49 * IN, False),
        (handrails.handrail_clearance, 1.5 * IN, True),
        (handrails.handrail_clearance, 1.51 * IN, True),
        (handrails.handrail_support, 19.9, True),
        (handrails.handrail_support, 20.0, True),
        (handrails.handrail_support, 20.1, False),
        (handrails.ramp_extension, 11.9 * IN, False),
        (handrails.ramp_extension, 12.0 * IN, True),
        (handrails.ramp_extension, 12.1 * IN, True),
    ],
)
def test_single_limits(clause, measure: float, met: bool) -> None:
    """405.3, 405.5, 405.7.1, 505.5, 505.6 and 505.10.1."""
    assert clause(US, measure).met is met


@pytest.mark.parametrize(("run", "met"), [(59.9, False), (60.0, True), (60.1, True)])
def test_landings_in_england(run: float, met: bool) -> None:
    """Approved Document M, 1.26(k): 1:60."""
    assert ramps.landing_slope(ENGLAND, 1 / run).met is met


@pytest.mark.parametrize(
    ("run", "turns", "width", "length"),
    [
        (36.0, False, 36, 60),
        (72.0, False, 72, 60),
        (36.0, True, 60, 60),
        (60.0, True, 60, 60),
        (60.1, True, 60.1, 60),
    ],
)
def test_landings(run: float, turns: bool, width: float, length: float) -> None:
    """405.7.2 to 405.7.4."""
    found = ramps.landing_size(US, run * IN, turns)
    assert found == pytest.approx((width * IN, length * IN))


@pytest.mark.parametrize(("drop", "free"), [(0.49, True), (0.5, True), (0.51, False)])
def test_small_drops_beside_landings(drop: float, free: bool) -> None:
    """405.9, exception 3: 1/2 in."""
    assert ramps.landing_edge_free(US, drop * IN) is free


@pytest.mark.parametrize(
    ("floor", "sphere", "protected"),
    [
        (11.9, 4.0, False),
        (12.0, 9.0, True),
        (12.1, 9.0, True),
        (0.0, 3.9, True),
        (0.0, 4.0, False),
        (0.0, float("inf"), False),
    ],
)
def test_edges(floor: float, sphere: float, protected: bool) -> None:
    """405.9.1 and 405.9.2: floor of 12 in, or what stops a sphere of 4 in."""
    assert ramps.edge_protected(US, floor * IN, sphere * IN) is protected


@pytest.mark.parametrize(
    ("height", "us", "england"),
    [
        (33.9 * IN, False, False),
        (34.0 * IN, True, False),
        (38.0 * IN, True, True),
        (38.1 * IN, False, True),
        (899.9, True, False),
        (900.0, True, True),
        (1000.0, False, True),
        (1000.1, False, False),
    ],
)
def test_heights_of_handrails(height: float, us: bool, england: bool) -> None:
    """505.4: 34 to 38 in. Approved Document K, 1998: 900 to 1000 mm."""
    assert all(one.met for one in handrails.handrail_height(US, height)) is us
    assert all(one.met for one in handrails.handrail_height(ENGLAND, height)) is england


@pytest.mark.parametrize(
    ("size", "met"),
    [(1.24, False), (1.25, True), (1.26, True), (1.99, True), (2.0, True), (2.01, False)],
)
def test_round_handrails(size: float, met: bool) -> None:
    """505.7.1: 1 1/4 to 2 in."""
    assert all(one.met for one in handrails.round_section(US, size * IN)) is met


@pytest.mark.parametrize(
    ("perimeter", "across", "met"),
    [
        (3.99, 1.0, False),
        (4.0, 1.0, True),
        (6.25, 2.25, True),
        (6.26, 2.25, False),
        (6.25, 2.26, False),
    ],
)
def test_other_handrails(perimeter: float, across: float, met: bool) -> None:
    """505.7.2: 4 to 6 1/4 in round, 2 1/4 in across."""
    assert all(one.met for one in handrails.other_section(US, perimeter * IN, across * IN)) is met


def test_handrails_run_on_beyond_steps() -> None:
    """505.10.2 and 505.10.3: 12 in at the top, a tread at the bottom."""
    assert handrails.stair_extensions(US, 11 * IN) == pytest.approx((12 * IN, 11 * IN))


@pytest.mark.parametrize(
    ("risers", "treads", "met"),
    [
        ((4.0, 7.0), (11.0,), True),
        ((3.9, 5.0), (11.0,), False),
        ((4.1, 7.1), (11.0,), False),
        ((6.9,), (10.9,), False),
        ((7.0,), (11.1,), True),
        ((), (), True),
    ],
)
def test_steps(risers: tuple[float, ...], treads: tuple[float, ...], met: bool) -> None:
    """504.2: risers of 4 to 7 in, treads of 11 in."""
    found = handrails.flight(US, [r * IN for r in risers], [t * IN for t in treads])
    assert all(one.met for one in found) is met


@pytest.mark.parametrize(
    ("sizes", "uneven"),
    [((), False), ((178.0,), False), ((178.0, 178.005), False), ((178.0, 178.02), True)],
)
def test_uneven_steps(sizes: tuple[float, ...], uneven: bool) -> None:
    """504.2: uniform in a flight."""
    assert handrails.uneven(US, sizes) is uneven


@pytest.mark.parametrize(
    ("radius", "out", "met"),
    [(0.5, 1.5, True), (0.51, 1.5, False), (0.5, 1.51, False), (0.49, 1.49, True)],
)
def test_nosings(radius: float, out: float, met: bool) -> None:
    """504.5: 1/2 in and 1 1/2 in."""
    assert all(one.met for one in handrails.nosing(US, radius * IN, out * IN)) is met


@pytest.mark.parametrize(
    ("ratio", "going"),
    [
        # Approved Document M, Table 1, second-hand: three pairs, straight between, none outside.
        (11.9, 0),
        (12, 2000),
        (13, 3000),
        (15, 5000),
        (17.5, 7500),
        (20, 10000),
        (25, 10000),
    ],
)
def test_goings_by_gradient_in_england(ratio: float, going: float) -> None:
    """The steeper a flight, the shorter; nothing steeper than the first pair."""
    assert ramps.longest_going(ENGLAND, 1 / ratio) == pytest.approx(going, abs=0.01)


@pytest.mark.parametrize(
    ("book", "ratio", "run"),
    [(US, 12, 30 * INCH_MM * 12), (US, 16, 30 * INCH_MM * 16), (ENGLAND, 20, 10000)],
)
def test_the_longest_run_is_by_rise_and_by_going(book: Rulebook, ratio: float, run: float) -> None:
    """2010 ADA Standards, 405.6: 30 in of rise at any slope, and no limit of going."""
    assert ramps.longest_run(book, 1 / ratio) == pytest.approx(run)
