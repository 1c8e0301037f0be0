"""Clauses as functions."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfit.model.openings import Door
from shopfit.model.shell import WallObstruction
from shopfit.standards import load
from shopfit.standards.doors import clear_opening, front_approach
from shopfit.standards.panels import wanted_space, working_space
from shopfit.standards.protrusion import projection_limit
from shopfit.standards.ramps import handrails_needed, steepest_slope
from shopfit.standards.turns import turn_matters, turn_width
from shopfit.units import INCH_MM

US = load("us")


def _door(**change: Any) -> Door:
    return Door.model_validate(
        {"id": "d", "wall": "w", "offset": "0", "width": "36 in", "height": "80 in", **change}
    )


@given(
    swing=st.sampled_from(["in", "out", "sliding", "none"]),
    closer=st.booleans(),
    latch=st.booleans(),
    inside=st.booleans(),
)
def test_a_door_pulled_on_one_side_is_pushed_on_the_other(
    swing: str, closer: bool, latch: bool, inside: bool
) -> None:
    """An outward door has inside what an inward door has outside."""
    door = _door(swing=swing, closer=closer, latch=latch)
    other = {"in": "out", "out": "in"}.get(swing, swing)
    turned = _door(swing=other, closer=closer, latch=latch)
    assert front_approach(US, door, inside) == front_approach(US, turned, not inside)


@given(depth=st.floats(0, 2000).map(lambda d: round(d, 1)))
def test_deep_openings_are_never_asked_for_less(depth: float) -> None:
    """The clear opening wanted does not fall with depth."""
    wanted = clear_opening(US, _door(depth=f"{depth} mm")).value
    assert wanted == (36 * INCH_MM if depth > 24 * INCH_MM else 32 * INCH_MM)


def test_panelboards_want_space_and_other_things_only_when_asked() -> None:
    """The user's own space wins."""
    thing = {
        "id": "p",
        "kind": "panelboard",
        "wall": "w",
        "offset": "0",
        "width": "14 in",
        "bottom": "40 in",
        "top": "70 in",
    }
    panel = WallObstruction.model_validate(thing)
    assert wanted_space(US, panel) == working_space(US)
    other = WallObstruction.model_validate({**thing, "kind": "thermostat"})
    assert wanted_space(US, other) is None
    asked = WallObstruction.model_validate({**thing, "clear": {"depth": "48 in"}})
    space = wanted_space(US, asked)
    assert space is not None
    assert space.depth == pytest.approx(48 * INCH_MM)


@given(rise=st.floats(1, 1000), existing=st.booleans())
def test_ramps_on_existing_sites_are_never_gentler(rise: float, existing: bool) -> None:
    """The exception only ever allows more, and nothing over 1:8."""
    slope = steepest_slope(US, rise, existing).value
    assert US.slope("ramp-slope") <= slope <= 1 / 8
    if not existing:
        assert slope == US.slope("ramp-slope")


@pytest.mark.parametrize(("rise", "needed"), [(6.0, False), (6.001, True), (5.999, False)])
def test_handrails_start_above_6_in(rise: float, needed: bool) -> None:
    """2010 ADA Standards, 405.8: strictly greater than 6 in."""
    assert handrails_needed(US, rise * INCH_MM) is needed


@pytest.mark.parametrize(
    ("edge", "below", "limit"),
    [
        (27.0, 0.0, math.inf),
        (27.001, 0.0, 4.0),
        (80.0, 0.0, 4.0),
        (80.001, 0.0, math.inf),
        (50.0, 18.0, 18.0),
        (50.0, 2.0, 4.0),
    ],
)
def test_projection_is_limited_between_27_and_80_in(
    edge: float, below: float, limit: float
) -> None:
    """2010 ADA Standards, 307.2."""
    found = projection_limit(US, edge * INCH_MM, below * INCH_MM)
    assert found == pytest.approx(limit * INCH_MM)


def test_doors_used_by_the_public_are_wider_in_england() -> None:
    """Approved Document M, volume 2, Table 2, as reprinted: 1000 mm; 800 mm for other doors."""
    england = load("england")
    assert clear_opening(england, _door(use="entrance")).value == 1000.0
    assert clear_opening(england, _door(use="staff")).value == 800.0
    assert clear_opening(england, _door(use="staff", depth="30 in")).value == 36 * INCH_MM


@pytest.mark.parametrize(
    ("element", "leg", "wanted"),
    [
        (47.9, 42.0, 48.0),
        (47.9, 42.1, 48.0),
        (47.9, 41.9, 60.0),
        (47.999, 36.0, 60.0),
        (48.0, 36.0, None),
        (48.1, 41.9, None),
        (1.0, 60.0, 48.0),
    ],
)
def test_turns_round_something_narrow_want_48_or_60_in(
    element: float, leg: float, wanted: float | None
) -> None:
    """2010 ADA Standards, 403.5.2: under 48 in wide; 42, 48 and 42 in, or 60 in at the turn."""
    found = turn_width(US, element * INCH_MM, leg * INCH_MM)
    assert (None if found is None else round(found.value / INCH_MM, 6)) == wanted
    assert turn_matters(US, element * INCH_MM) == (wanted is not None)
