"""Steps of the way in, and handrails."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.checks import check
from shopfit.model.finding import Finding

from . import build as b

STEPS = {"count": 2, "riser": "6 in", "tread": "11 in", "width": "48 in", "handrails": True}
RAMP = {
    "id": "ramp",
    "rise": "12 in",
    "run": "144 in",
    "width": "36 in",
    "handrails": True,
    "edge_protection": True,
    "top": {"length": "60 in", "width": "60 in"},
    "bottom": {"length": "60 in", "width": "60 in"},
}


def _found(
    steps: dict[str, Any] | None = None, rail: dict[str, Any] | None = None, ramp: bool = False
) -> list[Finding]:
    approach: dict[str, Any] = {"floor_above_grade": "12 in", "door": "front"}
    if steps is not None:
        approach["steps"] = {**STEPS, **steps}
    if rail is not None:
        approach["handrail"] = rail
    if ramp:
        approach["ramps"] = [RAMP]
    findings = check(b.scenario(approach=approach), b.layout())
    return [f for f in findings if f.code.startswith(("step-", "handrail-", "rails-"))]


def _codes(*given: Any, **more: Any) -> list[str]:
    return [f.code for f in _found(*given, **more) if f.severity == "violation"]


@pytest.mark.parametrize(
    ("change", "found"),
    [
        ({"riser": "7 in"}, []),
        ({"riser": "7.01 in"}, ["step-riser"]),
        ({"riser": "4 in"}, []),
        ({"riser": "3.99 in"}, ["step-riser"]),
        ({"tread": "11 in"}, []),
        ({"tread": "10.99 in"}, ["step-tread"]),
        ({"risers": ["6 in", "6 in"]}, []),
        ({"risers": ["6 in", "6.01 in"]}, ["step-risers-uneven"]),
        ({"treads": ["11 in", "11.01 in"]}, ["step-treads-uneven"]),
        ({"open_risers": False}, []),
        ({"open_risers": True}, ["step-open"]),
        ({"nosing_radius": "1/2 in"}, []),
        ({"nosing_radius": "0.51 in"}, ["step-nosing"]),
        ({"nosing_projection": "1 1/2 in"}, []),
        ({"nosing_projection": "1.51 in"}, ["step-nosing"]),
        ({"handrails": False}, ["step-handrails"]),
    ],
)
def test_flights(change: dict[str, Any], found: list[str]) -> None:
    """2010 ADA Standards, 504.2, 504.3, 504.5 and 505.2."""
    assert _codes(change) == found


@pytest.mark.parametrize(
    ("rail", "found"),
    [
        ({"height": "33.99 in"}, ["handrail-height"]),
        ({"height": "34 in"}, []),
        ({"height": "38 in"}, []),
        ({"height": "38.01 in"}, ["handrail-height"]),
        ({"clear": "1.49 in"}, ["handrail-clear"]),
        ({"clear": "1 1/2 in"}, []),
        ({"blocked": 20}, []),
        ({"blocked": 20.1}, ["handrail-blocked"]),
        ({"diameter": "1.24 in"}, ["handrail-section"]),
        ({"diameter": "1 1/4 in"}, []),
        ({"diameter": "2 in"}, []),
        ({"diameter": "2.01 in"}, ["handrail-section"]),
        ({"perimeter": "4 in", "across": "2 in"}, []),
        ({"perimeter": "3.99 in", "across": "2 in"}, ["handrail-section"]),
        ({"perimeter": "6 1/4 in", "across": "2 1/4 in"}, []),
        ({"perimeter": "6.26 in", "across": "2 1/4 in"}, ["handrail-section"]),
        ({"perimeter": "6 in", "across": "2.26 in"}, ["handrail-section"]),
        ({"out": "4 1/2 in"}, []),
        ({"out": "4.51 in"}, ["handrail-out"]),
        ({"beyond_ramp": "12 in"}, []),
        ({"beyond_ramp": "11.99 in"}, ["handrail-beyond"]),
    ],
)
def test_handrails_of_ramps(rail: dict[str, Any], found: list[str]) -> None:
    """2010 ADA Standards, 505.4 to 505.7, 505.10.1, and 307.2 for how far they stand out."""
    assert _codes(None, rail, ramp=True) == found


@pytest.mark.parametrize(
    ("rail", "clause"),
    [
        ({"beyond_top": "12 in"}, None),
        ({"beyond_top": "11.99 in"}, "505.10.2"),
        # One tread of 11 in beyond the bottom.
        ({"beyond_bottom": "11 in"}, None),
        ({"beyond_bottom": "10.99 in"}, "505.10.3"),
    ],
)
def test_handrails_run_on_beyond_steps(rail: dict[str, Any], clause: str | None) -> None:
    """2010 ADA Standards, 505.10.2 and 505.10.3."""
    found = [f for f in _found({}, rail) if f.severity == "violation"]
    assert [f.clause.endswith(clause or "") for f in found] == ([True] if clause else [])


def test_steps_that_do_not_climb_to_the_floor_are_pointed_out() -> None:
    """Two risers of 6 in climb the 12 in; two of 5 in do not."""
    assert [f for f in _found({}) if f.code == "step-climb"] == []
    assert [f.severity for f in _found({"riser": "5 in"}) if f.code == "step-climb"] == ["advice"]


def test_rails_that_were_not_measured_are_asked_for_once() -> None:
    """What is missing of rails and steps, in one finding; none once it is given."""
    found = [f for f in _found({"handrails": None}, ramp=True) if f.code == "rails-not-checked"]
    assert len(found) == 1
    assert "handrail of approach" in found[0].message
    assert "handrails, open_risers" in found[0].message
    whole = {
        "height": "36 in",
        "clear": "2 in",
        "diameter": "1 1/2 in",
        "beyond_ramp": "12 in",
        "beyond_top": "12 in",
        "beyond_bottom": "11 in",
    }
    steps = {"open_risers": False, "nosing_radius": "0 in", "nosing_projection": "0 in"}
    assert _found(steps, whole, ramp=True) == []
    some = {key: size for key, size in whole.items() if key not in ("clear", "beyond_top")}
    found = _found(steps, some, ramp=True)
    assert [f.code for f in found] == ["rails-not-checked"]
    assert "clear, beyond_top of handrail" in found[0].message
