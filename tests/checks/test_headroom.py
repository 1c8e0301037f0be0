"""Beams, sloping ceilings and low walls over the ways."""

from __future__ import annotations

from typing import Any

import pytest
from shapely import Polygon

from shopfit.checks import check
from shopfit.model.finding import Finding

from . import build as b


def _beam(bottom: str, west: float, south: float, east: float, north: float) -> dict[str, Any]:
    corners = [b.mm(west, south), b.mm(west, north), b.mm(east, north), b.mm(east, south)]
    return {"id": "beam", "corners": corners, "bottom": bottom}


def _found(*overheads: dict[str, Any], **more: Any) -> list[Finding]:
    findings = check(b.scenario(overheads=overheads, **more), b.layout())
    return [f for f in findings if f.code.startswith("headroom")]


@pytest.mark.parametrize(
    ("bottom", "found"), [("79.99 in", ["violation"]), ("80 in", []), ("80.01 in", [])]
)
def test_beams_over_a_way(bottom: str, found: list[str]) -> None:
    """2010 ADA Standards, 307.4: 80 in."""
    got = _found(_beam(bottom, 2500.0, 1600.0, 3500.0, 1800.0))
    assert [f.severity for f in got] == found
    assert all("307.4" in f.clause and f.drawn_mm and f.margin for f in got)


def test_a_beam_over_fixtures_alone_is_in_nobodys_way() -> None:
    """What stands below to the floor is the barrier of 307.4; the rest of a beam is not covered."""
    # Table F4 covers x 2000 to 3200, y 1900 to 2700.
    assert _found(_beam("70 in", 2000.0, 1900.0, 3200.0, 2700.0)) == []
    over = _found(_beam("70 in", 2000.0, 1900.0, 3200.0, 2800.0))
    assert [f.severity for f in over] == ["violation"]
    assert Polygon(over[0].drawn_mm[0]).area == pytest.approx(1200.0 * 100.0, rel=0.05)


@pytest.mark.parametrize(("gap", "found"), [(303.0, []), (307.0, ["violation"])])
def test_a_slit_that_nobody_gets_into_does_not_count(gap: float, found: list[str]) -> None:
    """Floor on which no disc of 12 in fits is not walked on; common practice, no source."""
    # Between the fronts of the cabinets, at y 4190.4, and the back of table F4.
    layout = b.moved(b.layout(), "F4", y_mm=4190.4 - gap)
    beam = _beam("70 in", 2300.0, 4190.4 - gap, 2900.0, 4190.4)
    findings = check(b.scenario(overheads=[beam]), layout)
    assert [f.severity for f in findings if f.code == "headroom"] == found


def test_under_a_low_beam_behind_the_counter_is_advice() -> None:
    """Only staff walk there."""
    got = _found(_beam("70 in", 4000.0, 200.0, 5800.0, 600.0))
    assert [f.severity for f in got] == ["advice"]


def _sloping(west: float, east: float) -> list[dict[str, Any]]:
    """Give the room under one plane that falls from one side wall to the other."""
    room = b.SHOP["rooms"][0]
    width = b.WIDTH
    walls = [
        {"id": "W", "heights": [{"offset": b.mm(0.0), "height": b.mm(west)}]},
        {
            "id": "N",
            "heights": [
                {"offset": b.mm(0.0), "height": b.mm(west)},
                {"offset": b.mm(width), "height": b.mm(east)},
            ],
        },
        {"id": "E", "heights": [{"offset": b.mm(0.0), "height": b.mm(east)}]},
        {
            "id": "S",
            "heights": [
                {"offset": b.mm(0.0), "height": b.mm(east)},
                {"offset": b.mm(width), "height": b.mm(west)},
            ],
        },
    ]
    return [{**room, "walls": walls}]


@pytest.mark.parametrize(
    ("west", "low_to"), [(2032.0, 0.0), (1932.0, 600.0), (1732.0, 1800.0), (2100.0, 0.0)]
)
def test_sloping_ceilings_are_low_as_far_as_the_plane_says(west: float, low_to: float) -> None:
    """One in six: from 1,932 mm at the wall it takes 600 mm to the headroom of 2,032 mm."""
    got = _found(rooms=_sloping(west, west + 1000.0), windows=[])
    if not low_to:
        assert got == []
        return
    assert [f.severity for f in got] == ["violation"]
    assert got[0].measured == pytest.approx(west, abs=1.0)
    east = max(x for line in got[0].drawn_mm for x, _ in line)
    assert east == pytest.approx(low_to, abs=2.0)


def test_a_bent_ceiling_that_is_low_is_not_guessed() -> None:
    """The ridge of a roof is not measured, so what is low has to be drawn; then it is checked."""
    rooms = _sloping(1800.0, 1800.0)
    for name, wall in zip("WNES", rooms[0]["walls"], strict=True):
        if name in "NS":
            wall["heights"].insert(1, {"offset": b.mm(3000.0), "height": b.mm(3200.0)})
    got = _found(rooms=rooms, windows=[])
    assert [f.severity for f in got] == ["not checked"]
    assert "overheads" in got[0].mend
    # 1,800 to 3,200 mm over 3,000 mm: 2,032 mm after 497.2 mm.
    left = _beam("1800 mm", 0.0, 0.0, 500.0, 4800.0)
    right = {**_beam("1800 mm", 5500.0, 0.0, 6000.0, 4800.0), "id": "other side"}
    drawn = _found(left, right, rooms=rooms, windows=[])
    assert "not checked" not in {f.severity for f in drawn}
    assert "violation" in {f.severity for f in drawn}


def test_walls_that_are_high_enough_are_not_called_low() -> None:
    """One wall steps down to 1,800 mm: it alone is named, and drawn it is no longer asked for."""
    rooms = _sloping(2500.0, 2500.0)
    rooms[0]["walls"][1]["heights"].insert(1, {"offset": b.mm(3000.0), "height": b.mm(1800.0)})
    got = _found(rooms=rooms, windows=[])
    assert [f.severity for f in got] == ["not checked"]
    assert " at N, so how far" in got[0].message
    # From 2,500 to 1,800 mm over 3,000 mm: under 2,032 mm from 2,005.7 to 3,994.3 mm.
    drawn = _beam("1800 mm", 2000.0, 4700.0, 4000.0, 4800.0)
    assert "not checked" not in {f.severity for f in _found(drawn, rooms=rooms, windows=[])}


def test_a_room_that_is_low_all_over() -> None:
    """A level ceiling under 80 in is a violation wherever people walk."""
    rooms = [{**b.SHOP["rooms"][0], "height": b.mm(2031.0)}]
    doors = [{**b.SHOP["doors"][0], "height": b.mm(2031.0)}]
    got = _found(rooms=rooms, doors=doors)
    assert "violation" in {f.severity for f in got}
