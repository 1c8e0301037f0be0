"""Fitting rooms: how many, how large, how equipped."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.checks import check
from shopfit.model.finding import Finding

from . import build as b

GOOD: dict[str, Any] = {
    "width": "60 in",
    "depth": "82 in",
    "door_width": "32 in",
    "bench_length": "42 in",
    "bench_depth": "20 in",
    "bench_height": "18 in",
    "shelf": "44 in",
}


def _found(*rooms: dict[str, Any]) -> list[Finding]:
    given = [{"id": f"room {k}", **GOOD, **room} for k, room in enumerate(rooms)]
    findings = check(b.scenario(fitting_rooms=given), b.layout())
    return [f for f in findings if f.code.startswith("fitting")]


def test_a_room_that_meets_the_values_is_silent() -> None:
    """60 in beside the bench, a bench, a shelf within reach."""
    assert _found({}) == []


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"door_width": "31.99 in"}, "fitting-door"),
        ({"width": "59.99 in"}, "fitting-turning"),
        ({"depth": "79.99 in"}, "fitting-turning"),
        ({"bench_length": "41.99 in"}, "fitting-bench"),
        ({"bench_depth": "19.99 in"}, "fitting-bench"),
        ({"bench_depth": "24.01 in", "depth": "90 in"}, "fitting-bench"),
        ({"bench_height": "16.99 in"}, "fitting-bench"),
        ({"bench_height": "19.01 in"}, "fitting-bench"),
        ({"bench_length": None}, "fitting-bench"),
        ({"shelf": "39.99 in"}, "fitting-shelf"),
        ({"shelf": "48.01 in"}, "fitting-shelf"),
        # 803.3: 30 in by 48 in beyond the swing of 32 in; 82 - 20 - 32 = 30 in.
        ({"door_in": True, "depth": "81.99 in"}, "fitting-door-in"),
        ({"door_in": True, "depth": "90 in", "width": "47.99 in"}, "fitting-door-in"),
    ],
)
def test_what_a_room_lacks(change: dict[str, Any], code: str) -> None:
    """2010 ADA Standards, 803.2 to 803.5, 903 and 404.2.3, just past each limit."""
    found = _found(change)
    assert found[0].code == "fitting-rooms"
    assert code in {f.code for f in found}
    assert all("803" in f.clause or "903" in f.clause for f in found if "bench" in f.code)


@pytest.mark.parametrize(
    "change",
    [
        {"depth": "80 in"},
        {"bench_depth": "24 in", "depth": "84 in"},
        {"bench_height": "17 in"},
        {"bench_height": "19 in"},
        {"shelf": "40 in"},
        {"shelf": "48 in"},
        {"door_in": True},
        {"shelf": None},
    ],
)
def test_rooms_at_the_limits(change: dict[str, Any]) -> None:
    """2010 ADA Standards, 803 and 903, at each limit."""
    assert _found(change) == []


@pytest.mark.parametrize(
    ("good", "bad", "found"),
    [(1, 5, False), (0, 6, True), (1, 19, False), (1, 20, True), (2, 19, False)],
)
def test_five_per_cent_of_a_group(good: int, bad: int, found: bool) -> None:
    """2010 ADA Standards, 222.1: 5 per cent, at least one, counted up."""
    rooms = [{}] * good + [{"width": "40 in"}] * bad
    assert ("fitting-rooms" in {f.code for f in _found(*rooms)}) is found


def test_the_rooms_that_lack_least_are_told_in_full() -> None:
    """Of 21 rooms two are wanted: beside a good one, what the next best lacks is told."""
    small, bad = {"width": "40 in"}, {"width": "40 in", "shelf": "60 in"}
    found = _found({}, *[bad] * 19, small)
    assert [f.code for f in found] == ["fitting-rooms", "fitting-turning"]
    found = _found(*[bad] * 19, small, small)
    assert [f.code for f in found] == ["fitting-rooms", "fitting-turning", "fitting-turning"]
    assert found[1].subject != found[2].subject


@pytest.mark.parametrize(
    ("depth", "width", "wanted"), [("81.99 in", "60 in", 30.0), ("90 in", "47.99 in", 48.0)]
)
def test_floor_beyond_a_door_goes_by_the_width(depth: str, width: str, wanted: float) -> None:
    """2010 ADA Standards, 803.3: 30 in where 48 in go across the room, else 48 in."""
    found = _found({"door_in": True, "depth": depth, "width": width})
    (told,) = (f for f in found if f.code == "fitting-door-in")
    assert told.required == pytest.approx(wanted * 25.4)
    assert told.measured is not None
    assert told.measured < told.required


def test_every_group_is_counted_by_itself() -> None:
    """One good room in another group does not help."""
    found = _found({"group": "north"}, {"group": "south", "width": "40 in"})
    assert [f.subject for f in found if f.code == "fitting-rooms"] == ["south"]
