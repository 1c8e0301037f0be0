"""Carpets, gaps, slopes and changes in level."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.checks import check
from shopfit.model.finding import Finding

from . import build as b


def _room(**change: Any) -> list[Finding]:
    return list(check(b.scenario(rooms=[{**b.SHOP["rooms"][0], **change}]), b.layout()))


@pytest.mark.parametrize(
    ("field", "at", "over", "code", "clause"),
    [
        ("carpet", "1/2 in", "0.501 in", "carpet", "302.2"),
        ("gaps", "1/2 in", "0.501 in", "floor-gaps", "302.3"),
        ("slope", "1:20", "1:19.9", "floor-slope", "403.3"),
        ("cross_slope", "1:48", "1:47.9", "floor-slope", "403.3"),
    ],
)
def test_surfaces(field: str, at: str, over: str, code: str, clause: str) -> None:
    """2010 ADA Standards, 302.2, 302.3 and 403.3: pile 1/2 in, gaps 1/2 in, 1:20 and 1:48."""
    assert [f for f in _room(**{field: at}) if f.code == code] == []
    found = [f for f in _room(**{field: over}) if f.code == code]
    assert [f.severity for f in found] == ["violation"]
    assert found[0].clause.endswith(clause)
    assert found[0].margin is not None
    assert found[0].margin < 0


@pytest.mark.parametrize(("slope", "found"), [("1:48", []), ("1:47.9", ["advice"])])
def test_floor_where_one_stands_is_nearly_level(slope: str, found: list[str]) -> None:
    """2010 ADA Standards, 305.2 (and 304.2, 404.2.4.4): 1:48, along ways 1:20."""
    got = [f for f in _room(slope=slope) if f.code == "floor-slope-standing"]
    assert [f.severity for f in got] == found


def _levels(rise: str, run: str | None) -> list[Finding]:
    back = {
        "id": "back",
        "height": b.mm(b.HEIGHT),
        "level": rise,
        "corners": [
            b.mm(-3000.0, 0.0),
            b.mm(-3000.0, 4800.0),
            b.mm(-100.0, 4800.0),
            b.mm(-100.0, 0.0),
        ],
        "walls": [{"id": f"B{w}"} for w in "WNES"],
    }
    inner = {
        **b.SHOP["doors"][0],
        "id": "through",
        "wall": "W",
        "offset": b.mm(2300.0),
        "use": "inner",
        "leads_to": "back",
        "depth": b.mm(100.0),
        **({"threshold_run": run} if run is not None else {}),
    }
    rooms, doors = [b.SHOP["rooms"][0], back], [b.SHOP["doors"][0], inner]
    findings = check(b.scenario(rooms=rooms, doors=doors, windows=[]), b.layout())
    return [f for f in findings if f.code == "level-change"]


@pytest.mark.parametrize(
    ("rise", "run", "found"),
    [
        ("1/4 in", None, []),
        ("-1/4 in", None, []),
        ("0.26 in", None, ["advice"]),
        ("0.26 in", "0 in", ["violation"]),
        ("1/2 in", "1/2 in", []),
        ("1/2 in", "0.49 in", ["violation"]),
        ("-1/2 in", "1/2 in", []),
        ("0.51 in", "4 in", ["violation"]),
    ],
)
def test_levels_from_room_to_room(rise: str, run: str | None, found: list[str]) -> None:
    """2010 ADA Standards, 303.2 to 303.4: upright, bevelled 1:2, or a ramp above 1/2 in."""
    got = _levels(rise, run)
    assert [f.severity for f in got] == found
    assert all("303." in f.clause and f.drawn_mm for f in got)


def test_floors_that_were_not_measured_are_named_once() -> None:
    """One finding for all rooms and fields; none where all is given."""
    got = [f for f in _room() if f.code == "floors-not-checked"]
    assert len(got) == 1
    assert "carpet, gaps, slope, cross_slope of shop" in got[0].message
    given = {"carpet": "0 in", "gaps": "0 in", "slope": "0", "cross_slope": "0"}
    assert "floors-not-checked" not in {f.code for f in _room(**given)}
