"""Ramps whose arrangement is known beforehand, at and around the lengths that they need."""

from __future__ import annotations

import pytest

from shopfit.units import INCH_MM

from . import build as b

NARROW = "43 in"  # room for one run with its handrails, 41 1/2 in, and no more


@pytest.mark.parametrize(
    ("rise", "ratio", "existing", "run"),
    [
        # 2010 ADA Standards, 405.2, and arithmetic on it.
        ("6 in", 12, False, 72),
        ("7 in", 12, False, 84),
        ("30 in", 12, False, 360),
        ("3 in", 8, True, 24),
        ("6 in", 10, True, 60),
    ],
)
@pytest.mark.parametrize("short", [0.0, 0.1])
def test_straight_ramps_take_their_run_and_two_landings(
    rise: str, ratio: float, existing: bool, run: float, short: float
) -> None:
    """At the length it fits, a tenth of an inch under it nothing does; landings are 60 in."""
    found = b.ask(rise, NARROW, f"{run + 120 - short} in", existing_site=existing)
    if short:
        assert found.arrangements == ()
        assert found.lacking is not None
        assert found.lacking.out_mm == pytest.approx(0.25 * INCH_MM)
        return
    (one,) = found.arrangements
    assert (one.form, one.ratio, b.inches(one.runs_mm)) == ("straight", ratio, [run])
    assert one.existing_site is existing
    assert one.handrails is (rise in ("7 in", "30 in"))
    assert b.inches([one.out_mm]) == [run + 120]


def test_a_slope_for_existing_sites_is_only_given_where_no_other_fits() -> None:
    """405.2 allows it where limits of space make it necessary."""
    roomy = b.ask("6 in", NARROW, "192 in", existing_site=True)
    assert {one.ratio for one in roomy.arrangements} == {12.0}
    tight = b.ask("6 in", NARROW, "191.9 in", existing_site=True)
    assert {one.ratio for one in tight.arrangements} == {11.0}


@pytest.mark.parametrize(("rise", "fits"), [("3 in", True), ("3.1 in", False)])
def test_one_in_eight_is_for_3_in_at_most(rise: str, fits: bool) -> None:
    """Table 405.2: over 3 in of rise an existing site may have 1:10, but not 1:8."""
    found = b.ask(rise, NARROW, "145 in", existing_site=True)
    assert bool(found.arrangements) is fits


@pytest.mark.parametrize(("rise", "out", "runs"), [("30 in", 480, 1), ("30.1 in", 541.2, 2)])
def test_over_30_in_a_landing_comes_between(rise: str, out: float, runs: int) -> None:
    """405.6: 30 in a run; 30.1 in is two runs with 60 in between them."""
    (one,) = b.ask(rise, NARROW, f"{out} in", limits={"slopes": [12]}).arrangements
    assert len(one.runs_mm) == runs
    assert [part.kind for part in one.parts].count("between") == runs - 1
    assert b.ask(rise, NARROW, f"{out - 0.1} in").arrangements == ()


@pytest.mark.parametrize(
    ("out", "fits"),
    # Landing at the door 60, run 180, turning landing 60, and a handrail's 2 3/4 beyond it.
    [("302.74 in", False), ("302.75 in", True), ("302.76 in", True)],
)
def test_a_switchback_of_30_in_has_two_runs_of_15_ft(out: str, fits: bool) -> None:
    """Two runs of 180 in side by side, each 36 in with 2 3/4 in on both sides: 83 in wide."""
    more = {"limits": {"slopes": [12], "most_turns": 1}, "door": {"offset": "2.75 in"}}
    found = b.ask("30 in", "83 in", out, **more).arrangements
    assert bool(found) is fits
    if fits:
        assert {one.form for one in found} == {"switchback"}
        assert b.inches([found[0].along_mm]) == [83.0]
        assert b.ask("30 in", "82.9 in", out, **more).arrangements == ()


@pytest.mark.parametrize(("along", "fits"), [("482.74 in", False), ("482.75 in", True)])
def test_along_the_wall_the_open_end_of_the_landing_has_its_rail(along: str, fits: bool) -> None:
    """A straight ramp along the wall: 60 + 360 + 60 in, and 2 3/4 in of rail at the far end."""
    door = {"offset": "2.75 in", "swing": "none"}
    found = b.ask("30 in", along, "41.5 in", limits={"most_turns": 0}, door=door).arrangements
    assert any(one.way == "right along the wall" for one in found) is fits


def test_a_rail_never_ends_in_the_floor_that_the_door_wants() -> None:
    """A door that opens outward wants 54 in of floor; a 36 in ramp ends 12 in before it."""
    out = {"door": {"swing": "out"}, "limits": {"slopes": [12], "most_turns": 0}}
    assert b.ask("30 in", "96 in", "491.9 in", **out).arrangements == ()
    (one, *_) = b.ask("30 in", "96 in", "492 in", **out).arrangements
    assert b.inches([one.parts[0].length_mm, one.parts[0].width_mm]) == [72.0, 54.0]
    wide = {**out, "limits": {**out["limits"], "width": "54 in"}}
    (one, *_) = b.ask("30 in", "96 in", "480 in", **wide).arrangements
    assert b.inches([one.parts[0].length_mm]) == [60.0]


@pytest.mark.parametrize(("rise", "needed"), [("1/2 in", False), ("0.51 in", True)])
def test_small_changes_in_level_want_no_ramp(rise: str, needed: bool) -> None:
    """303.4: over 1/2 in a ramp is wanted; up to there a bevel is enough."""
    found = b.ask(rise, NARROW, "200 in")
    assert found.needed is needed
    assert bool(found.arrangements) is needed
    assert needed or "bevel" in found.notes[0]


@pytest.mark.parametrize(
    ("out", "ratio"),
    # Approved Document M: 1.2 m at the foot; 2 m at 1:12 climbs 166 mm, 5 m at 1:15 climbs 333.
    # The floor before the door, 48 in, is that of the United States rulebook.
    [("4411.2 mm", 12.0), ("4411.1 mm", None)],
)
def test_goings_in_england(out: str, ratio: float | None) -> None:
    """166 mm at 1:12 is one flight of 1992 mm; a tenth of a millimetre less and nothing fits."""
    found = b.ask("166 mm", "1.7 m", out, rulebook="england", units="mm").arrangements
    assert [one.ratio for one in found][:1] == ([ratio] if ratio else [])


def test_gentler_flights_are_longer_in_england() -> None:
    """333 mm in one flight wants 1:15; at 1:12 it takes two flights with a landing of 1.5 m."""
    found = b.ask("333 mm", "1.7 m", "12 m", rulebook="england", limits={"steps": "no"})
    runs = {one.ratio: len(one.runs_mm) for one in found.arrangements}
    assert runs[15.0] == 1
    assert runs[12.0] == 2
