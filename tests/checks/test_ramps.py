"""The way in from outside."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.checks import check

from . import build as b

RAMP = b.SHOP["approach"]["ramps"][0]
EDGE_ADVICE = "ramp-edges"


def _codes(floor: str, *ramps: dict[str, Any]) -> list[str]:
    approach = {"floor_above_grade": floor, "door": "front", "ramps": ramps}
    return b.codes(check(b.scenario(approach=approach), b.layout()))


def _ramp(**change: Any) -> dict[str, Any]:
    wide = {"length": "60 in", "width": "60 in"}
    return {**RAMP, "top": wide, "bottom": wide, **change}


@pytest.mark.parametrize(("run", "found"), [("72 in", []), ("71.9 in", ["ramp-slope"])])
def test_slope_is_1_in_12(run: str, found: list[str]) -> None:
    """2010 ADA Standards, 405.2: 6 in of rise want 72 in of run."""
    assert _codes("6 in", _ramp(run=run)) == found


@pytest.mark.parametrize(
    ("rise", "run", "existing", "found"),
    [
        ("3 in", "24 in", True, []),
        ("3 in", "24 in", False, ["ramp-slope"]),
        ("3 in", "23.9 in", True, ["ramp-slope"]),
        ("3.1 in", "24.8 in", True, ["ramp-slope"]),
        ("3.1 in", "31 in", True, []),
        ("6 in", "60 in", True, []),
        ("6 in", "59.9 in", True, ["ramp-slope"]),
        ("6.1 in", "61 in", True, ["ramp-slope", "ramp-handrails"]),
    ],
)
def test_existing_sites_may_be_steeper_for_small_rises(
    rise: str, run: str, existing: bool, found: list[str]
) -> None:
    """2010 ADA Standards, Table 405.2: 1:8 up to 3 in, 1:10 up to 6 in."""
    assert _codes(rise, _ramp(rise=rise, run=run, existing_site=existing)) == found


@pytest.mark.parametrize(("width", "found"), [("36 in", []), ("35.9 in", ["ramp-width"])])
def test_ramps_are_36_in_wide(width: str, found: list[str]) -> None:
    """2010 ADA Standards, 405.5: 36 in between handrails."""
    assert _codes("6 in", _ramp(width=width)) == found


@pytest.mark.parametrize(("rise", "found"), [("30 in", []), ("30.1 in", ["ramp-rise"])])
def test_one_run_climbs_30_in(rise: str, found: list[str]) -> None:
    """2010 ADA Standards, 405.6: 30 in."""
    assert _codes(rise, _ramp(rise=rise, run="400 in", handrails=True)) == found


@pytest.mark.parametrize("end", ["top", "bottom"])
@pytest.mark.parametrize(
    ("length", "width", "found"),
    [
        ("60 in", "36 in", []),
        ("59.9 in", "36 in", ["landing-short"]),
        ("60 in", "35.9 in", ["landing-narrow"]),
    ],
)
def test_landings(end: str, length: str, width: str, found: list[str]) -> None:
    """2010 ADA Standards, 405.7.2 and 405.7.3: as wide as the ramp, 60 in long."""
    codes = _codes("6 in", _ramp(**{end: {"length": length, "width": width}}))
    # The landing at the top is the floor outside the door as well.
    assert [code for code in codes if code != "door-outside"] == found


@pytest.mark.parametrize(
    ("leaves", "size", "found"),
    [
        (None, "59.9 in", []),
        ("ahead", "59.9 in", []),
        ("left", "60 in", []),
        ("right", "59.9 in", ["landing-short", "landing-turn"]),
        ("back left", "59.9 in", ["landing-turn"]),
    ],
)
def test_landings_where_the_ramp_turns(leaves: str | None, size: str, found: list[str]) -> None:
    """2010 ADA Standards, 405.7.4: 60 by 60 in, once a turn is told; in line, as wide as runs.

    The run that leaves it to a side has its landing's width before it.
    """
    landing = {"length": "60 in", "width": size}
    upper = _ramp(id="upper", bottom=landing)
    lower = _ramp(id="lower", top=landing, **({"leaves": leaves} if leaves else {}))
    assert sorted(_codes("12 in", upper, lower)) == found


@pytest.mark.parametrize(("rise", "found"), [("6 in", []), ("6.1 in", ["ramp-handrails"])])
def test_handrails_above_6_in(rise: str, found: list[str]) -> None:
    """2010 ADA Standards, 405.8: where the rise is greater than 6 in."""
    assert _codes(rise, _ramp(rise=rise, run="80 in")) == found
    assert _codes(rise, _ramp(rise=rise, run="80 in", handrails=True)) == []


@pytest.mark.parametrize(
    ("floor", "found"),
    [("12 in", []), ("12.25 in", []), ("12.3 in", ["ramp-climb"]), ("11 in", ["ramp-climb"])],
)
def test_rises_add_up_to_the_floor(floor: str, found: list[str]) -> None:
    """Two ramps of 6 in reach 12 in; 1/4 in needs no treatment (2010 ADA Standards, 303.2)."""
    assert _codes(floor, _ramp(), _ramp(id="second")) == found


@pytest.mark.parametrize(("floor", "found"), [("1/2 in", []), ("0.51 in", ["no-ramp"])])
def test_a_floor_over_half_an_inch_wants_a_ramp(floor: str, found: list[str]) -> None:
    """2010 ADA Standards, 303.4: 1/2 in."""
    assert _codes(floor) == found


def test_gentle_slopes_are_no_ramps() -> None:
    """2010 ADA Standards, 403.3: up to 1:20 is a walking surface, so no handrails are asked for."""
    assert _codes("7 in", _ramp(rise="7 in", run="140 in")) == []
    assert _codes("7 in", _ramp(rise="7 in", run="139 in")) == ["ramp-handrails"]


def test_missing_edge_protection_is_pointed_out() -> None:
    """Open sides are the user's to tell."""
    approach = {"floor_above_grade": "6 in", "ramps": [_ramp(edge_protection=False)]}
    findings = check(b.scenario(approach=approach), b.layout())
    assert [f.severity for f in findings if f.code == EDGE_ADVICE] == ["advice"]


def _english(*ramps: dict[str, Any]) -> list[str]:
    climbed = sum(int(ramp["rise"].split()[0]) for ramp in ramps)
    approach = {"floor_above_grade": f"{climbed} mm", "ramps": ramps}
    scenario = b.scenario(rulebook="england", approach=approach)
    return [code for code in b.codes(check(scenario, b.layout())) if code != "door-width"]


@pytest.mark.parametrize(
    ("rise", "run", "found"),
    [
        ("500 mm", "10 m", []),
        ("501 mm", "10000 mm", ["ramp-rise", "ramp-gradient"]),
        ("510 mm", "10001 mm", ["ramp-rise", "ramp-going"]),
    ],
)
def test_english_flights_are_10_m_long_and_climb_half_a_metre(
    rise: str, run: str, found: list[str]
) -> None:
    """Approved Document M, 1.26(c), wording before 2013: 10 m and 500 mm."""
    wide = {"length": "1200 mm", "width": "1500 mm"}
    ramp = _ramp(rise=rise, run=run, width="1500 mm", top=wide, bottom=wide, handrails=True)
    assert _english(ramp) == found


@pytest.mark.parametrize(
    ("between", "found"), [("1500 mm", []), ("1499 mm", ["landing-short"] * 2)]
)
def test_english_landings_between_flights_are_longer(between: str, found: list[str]) -> None:
    """Approved Document M, 1.26(h) and (i), wording before 2013: 1200 and 1500 mm."""
    end = {"length": "1200 mm", "width": "1500 mm"}
    middle = {"length": between, "width": "1500 mm"}
    common = {"rise": "400 mm", "run": "8000 mm", "width": "1500 mm", "handrails": True}
    upper = _ramp(id="upper", top=end, bottom=middle, **common)
    lower = _ramp(id="lower", top=middle, bottom=end, **common)
    assert _english(upper, lower) == found


@pytest.mark.parametrize(
    ("rise", "run", "found"),
    [
        # Goings by gradient: 2 m at 1:12, 5 m at 1:15, 10 m at 1:20, straight between.
        ("166 mm", "1999.9 mm", []),
        ("167 mm", "2004 mm", ["ramp-gradient"]),
        ("285 mm", "3990 mm", []),
        ("286 mm", "4004 mm", ["ramp-gradient"]),
        ("333 mm", "4995 mm", []),
        ("334 mm", "5010 mm", ["ramp-gradient"]),
        ("500 mm", "10 m", []),
    ],
)
def test_flights_are_shorter_the_steeper_they_are_in_england(
    rise: str, run: str, found: list[str]
) -> None:
    """Approved Document M, Table 1, second-hand: just under, at and just over the pairs."""
    wide = {"length": "1500 mm", "width": "1500 mm"}
    ramp = _ramp(rise=rise, run=run, width="1500 mm", handrails=True, top=wide, bottom=wide)
    approach = {"floor_above_grade": rise, "door": "front", "ramps": [ramp]}
    codes = b.codes(check(b.scenario(rulebook="england", approach=approach), b.layout()))
    assert [code for code in codes if code.startswith("ramp")] == found


@pytest.mark.parametrize(
    ("change", "found"),
    [
        ({"cross_slope": "1:48"}, []),
        ({"cross_slope": "1:47.9"}, ["ramp-cross-slope"]),
        ({"top": {"length": "60 in", "width": "60 in", "slope": "1:48"}}, []),
        ({"top": {"length": "60 in", "width": "60 in", "slope": "2.1 %"}}, ["landing-slope"]),
        ({"bottom": {"length": "60 in", "width": "60 in", "slope": "1:47.9"}}, ["landing-slope"]),
    ],
)
def test_slopes_across_and_of_landings(change: dict[str, Any], found: list[str]) -> None:
    """2010 ADA Standards, 405.3 and 405.7.1: 1:48."""
    assert _codes("6 in", _ramp(**change)) == found


def test_slopes_that_were_not_measured_are_named_once() -> None:
    """One finding for all ramps and landings; none where all is given."""
    approach = {"floor_above_grade": "6 in", "door": "front", "ramps": [_ramp()]}
    findings = check(b.scenario(approach=approach), b.layout())
    missing = [f for f in findings if f.code == "ramp-level-not-checked"]
    assert len(missing) == 1
    assert "cross_slope of ramp" in missing[0].message
    level = {"length": "60 in", "width": "60 in", "slope": "0"}
    approach["ramps"] = [_ramp(cross_slope="0", top=level, bottom=level)]
    codes = {f.code for f in check(b.scenario(approach=approach), b.layout())}
    assert "ramp-level-not-checked" not in codes
