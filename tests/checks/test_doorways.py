"""Thresholds, handles, force, closing, glass, the ground outside, and how many entrances."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.checks import check
from shopfit.model.finding import Finding

from . import build as b


def _doors(**change: Any) -> list[dict[str, Any]]:
    return [{**b.SHOP["doors"][0], **change}]


def _found(code: str, approach: Any = None, **change: Any) -> list[Finding]:
    more = {} if approach is None else {"approach": approach}
    findings = check(b.scenario(doors=_doors(**change), **more), b.layout())
    return [f for f in findings if f.code == code]


@pytest.mark.parametrize(
    ("height", "run", "existing", "found"),
    [
        # 404.2.5: 1/2 in; 303.2: up to 1/4 in upright.
        ("1/4 in", None, False, []),
        ("0.251 in", None, False, ["advice"]),
        ("0.251 in", "0 in", False, ["violation"]),
        ("1/2 in", "1/2 in", False, []),
        ("1/2 in", "0.49 in", False, ["violation"]),
        ("0.501 in", "2 in", False, ["violation"]),
        # Existing ones 3/4 in, bevelled 1:2: 1/2 in above the upright 1/4 in wants 1 in.
        ("3/4 in", "1 in", True, []),
        ("3/4 in", "0.99 in", True, ["violation"]),
        ("3/4 in", "1 in", False, ["violation"]),
        ("0.751 in", "3 in", True, ["violation"]),
    ],
)
def test_thresholds(height: str, run: str | None, existing: bool, found: list[str]) -> None:
    """2010 ADA Standards, 404.2.5 and 303.3: height, and bevels not steeper than 1:2."""
    change: dict[str, Any] = {"threshold": height, "threshold_existing": existing}
    if run is not None:
        change["threshold_run"] = run
    found_here = _found("threshold", **change) + _found("threshold-bevel", **change)
    assert [f.severity for f in found_here] == found


@pytest.mark.parametrize(
    ("code", "field", "under", "at", "over", "least"),
    [
        # 404.2.7: handles 34 to 48 in up.
        ("door-hardware", "hardware_height", "33.99 in", "34 in", "35 in", True),
        ("door-hardware", "hardware_height", "47 in", "48 in", "48.01 in", False),
        # 404.2.8.1: 5 s from 90 to 12 degrees.
        ("door-closing", "closing_seconds", 4.99, 5, 6, True),
        # 404.2.10: smooth 10 in up.
        ("door-smooth", "smooth", "9.99 in", "10 in", "12 in", True),
        # 404.2.11: glass at most 43 in up.
        ("door-glass", "glass_bottom", "42 in", "43 in", "43.01 in", False),
        # 307.4: closers and stops 78 in.
        ("door-closer-height", "closer_height", "77.99 in", "78 in", "79 in", True),
    ],
)
def test_parts_of_doors(code: str, field: str, under: Any, at: Any, over: Any, least: bool) -> None:
    """Each value of 404.2.7 to 404.2.11 and 307.4, just under, at and just over."""
    missed = [bool(_found(code, closer=True, **{field: each})) for each in (under, at, over)]
    assert missed == ([True, False, False] if least else [False, False, True])


@pytest.mark.parametrize(("seconds", "found"), [(1.49, True), (1.5, False)])
def test_spring_hinges_take_a_second_and_a_half(seconds: float, found: bool) -> None:
    """2010 ADA Standards, 404.2.8.2: 1.5 s from 70 degrees."""
    assert bool(_found("door-closing", spring_hinge=True, closing_seconds=seconds)) is found


@pytest.mark.parametrize(("bottom", "found"), [("66 in", True), ("66.01 in", False)])
def test_glass_up_high_may_be_there(bottom: str, found: bool) -> None:
    """2010 ADA Standards, 404.2.11: unless the lowest part is above 66 in."""
    assert bool(_found("door-glass", glass_bottom=bottom)) is found


@pytest.mark.parametrize(
    ("change", "found"),
    [
        # 404.2.9: inner hinged doors, sliding and folding doors; no fire doors, no outer hinged.
        ({"swing": "sliding", "force": "5 lbf"}, False),
        ({"swing": "sliding", "force": "5.01 lbf"}, True),
        ({"swing": "in", "force": "9 lbf"}, False),
        ({"swing": "sliding", "force": "9 lbf", "fire_door": True}, False),
    ],
)
def test_force_to_open(change: dict[str, Any], found: bool) -> None:
    """2010 ADA Standards, 404.2.9: 5 lbf, for the doors that it is about."""
    got = _found("door-force", **change)
    assert bool(got) is found
    if found:
        assert got[0].unit == "N"
        assert "lbf" in got[0].message


_LEVEL: dict[str, Any] = {"floor_above_grade": "0 in"}


@pytest.mark.parametrize(
    ("swing", "ground", "found"),
    [
        # Swings in: pushed from outside, 48 in deep. Swings out: pulled, 60 in and 18 in.
        ("in", {"depth": "48 in"}, 0),
        ("in", {"depth": "47.99 in"}, 1),
        ("out", {"depth": "60 in", "latch_side": "18 in"}, 0),
        ("out", {"depth": "59.99 in", "latch_side": "18 in"}, 1),
        ("out", {"depth": "60 in", "latch_side": "17.99 in"}, 1),
        ("out", {"depth": "59 in", "latch_side": "17 in"}, 2),
    ],
)
def test_level_ground_outside(swing: str, ground: dict[str, str], found: int) -> None:
    """2010 ADA Standards, Table 404.2.4.1, on the outer side."""
    got = _found("door-outside", _LEVEL, swing=swing, outside=ground)
    assert len(got) == found
    assert all("404.2.4.1" in f.clause for f in got)


@pytest.mark.parametrize(
    ("length", "width", "found"),
    [("60 in", "54 in", 0), ("59.99 in", "54 in", 1), ("60 in", "53.99 in", 1)],
)
def test_the_landing_of_a_ramp_is_the_ground_outside(length: str, width: str, found: int) -> None:
    """A door 36 in wide that is pulled wants 60 in, and 18 in beside the latch (405.7.5)."""
    ramp = {**b.SHOP["approach"]["ramps"][0], "top": {"length": length, "width": width}}
    approach = {"floor_above_grade": "6 in", "door": "front", "ramps": [ramp]}
    assert len(_found("door-outside", approach, swing="out")) == found


@pytest.mark.parametrize(
    ("top", "found"),
    [
        # Along the wall the length is beside the door and the width before it.
        ({"length": "54 in", "width": "60 in"}, 0),
        ({"length": "53.99 in", "width": "60 in"}, 1),
        ({"length": "54 in", "width": "59.99 in"}, 1),
        # Told where it lies, it is measured on either side: hinges left, as one comes out.
        ({"length": "54 in", "width": "60 in", "left": "0 in"}, 0),
        ({"length": "54 in", "width": "60 in", "left": "0.01 in"}, 1),
    ],
)
def test_the_landing_lies_as_told(top: dict[str, str], found: int) -> None:
    """A pulled door wants 60 in before it, and 18 in at the latch, whichever way the ramp goes."""
    ramp = {**b.SHOP["approach"]["ramps"][0], "top": top, "leaves": "left"}
    approach = {"floor_above_grade": "6 in", "door": "front", "ramps": [ramp]}
    assert len(_found("door-outside", approach, swing="out", hinge="left")) == found


@pytest.mark.parametrize(
    ("drop", "slope", "codes"),
    [
        ("1/4 in", "1:48", []),
        ("0.26 in", "1:48", ["door-step"]),
        ("1/2 in", "1:48", ["door-step"]),
        ("0.51 in", "1:48", ["door-step!"]),
        ("0 in", "1:47.9", ["door-outside-slope!"]),
    ],
)
def test_drop_and_slope_outside(drop: str, slope: str, codes: list[str]) -> None:
    """2010 ADA Standards, 303.2 to 303.4 and 404.2.4.4: 1:48; above 1/2 in a ramp."""
    ground = {"depth": "60 in", "drop": drop, "slope": slope}
    scenario = b.scenario(doors=_doors(outside=ground), approach=_LEVEL)
    found = [
        f for f in check(scenario, b.layout()) if f.code in ("door-step", "door-outside-slope")
    ]
    assert [f.code + "!" * (f.severity == "violation") for f in found] == codes


def _entrances(*widths: float) -> list[Finding]:
    doors = [
        {
            **b.SHOP["doors"][0],
            "id": f"door {k}",
            "offset": b.mm(300.0 + 1100.0 * k),
            "width": b.mm(width),
            "swing": "none",
        }
        for k, width in enumerate(widths)
    ]
    return list(check(b.scenario(doors=doors), b.layout()))


@pytest.mark.parametrize(
    ("widths", "counted", "severity"),
    [
        # 206.4.1: 60 per cent, counted up: 1 of 1, 2 of 2, 2 of 3, 3 of 4, 3 of 5.
        ((812.8, 812.8, 700.0), [], "advice"),
        ((812.8, 700.0), [2.0], "violation"),
        ((812.8, 700.0, 700.0), [2.0], "violation"),
        ((812.8, 812.8, 812.8, 700.0), [], "advice"),
        ((812.8, 812.8, 812.8, 700.0, 700.0), [], "advice"),
        ((812.8, 812.8, 700.0, 700.0, 700.0), [3.0], "violation"),
    ],
)
def test_sixty_per_cent_of_entrances(
    widths: tuple[float, ...], counted: list[float], severity: str
) -> None:
    """2010 ADA Standards, 206.4.1; where enough entrances meet the values the rest is advice."""
    findings = _entrances(*widths)
    assert [f.required for f in findings if f.code == "entrances"] == counted
    assert {f.severity for f in findings if f.code == "door-width"} == {severity}


def test_what_was_not_measured_is_said_once_for_all_doors() -> None:
    """One finding a kind of measure, with all doors and fields, and none once all is given."""
    door = b.SHOP["doors"][0]
    other = {**door, "id": "back", "offset": b.mm(300.0), "closer": True, "use": "exit"}
    findings = check(b.scenario(doors=[door, other]), b.layout())
    parts = [f for f in findings if f.code == "door-parts-not-checked"]
    assert len(parts) == 1
    assert "hardware_height" in parts[0].message
    assert parts[0].subject == "front, back"
    assert "closer_height of back" in parts[0].message
    assert "404.2.7" in parts[0].clause
    handling = [f for f in findings if f.code == "door-handling-not-checked"]
    assert [f.subject for f in handling] == ["back"]
    outside = [f for f in findings if f.code == "door-outside-not-checked"]
    assert [f.subject for f in outside] == ["back"]
    measured = {
        "threshold": "0 in",
        "recess": "0 in",
        "hardware_height": "40 in",
        "smooth": "10 in",
    }
    codes = {f.code for f in check(b.scenario(doors=_doors(**measured)), b.layout())}
    assert not codes & {
        "door-parts-not-checked",
        "door-handling-not-checked",
        "door-outside-not-checked",
    }
