"""Staff areas: entered, passed through, raised."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.checks import check
from shopfit.model.finding import Finding

from . import build as b


def _zone(**change: Any) -> list[dict[str, Any]]:
    return [{**b.SHOP["zones"][0], **change}]


def _found(scenario: Any, layout: Any = None) -> list[Finding]:
    findings = check(scenario, layout or b.layout())
    return [f for f in findings if f.code in ("staff-path", "staff-enter", "staff-raised")]


@pytest.mark.parametrize(
    ("raised", "corner", "found"),
    [
        # 2,200 by 2,000 mm: 47 sq ft.
        ("1/4 in", 2000.0, False),
        ("1/2 in", 2000.0, True),
        ("6.99 in", 2000.0, True),
        ("7 in", 2000.0, False),
        ("12 in", 2000.0, False),
    ],
)
def test_small_raised_areas(raised: str, corner: float, found: bool) -> None:
    """2010 ADA Standards, 203.9: under 300 sq ft and raised 7 in or more may be off the route."""
    got = _found(b.scenario(zones=_zone(raised=raised)))
    assert [f.code for f in got] == ["staff-raised"] * found


def _large(side: float, raised: str) -> list[Finding]:
    """Give a hall with a square staff area of a side."""
    far = 12000.0
    rooms = [
        {
            "id": "shop",
            "height": b.mm(b.HEIGHT),
            "corners": [b.mm(0.0, 0.0), b.mm(0.0, far), b.mm(far, far), b.mm(far, 0.0)],
            "walls": [{"id": "W"}, {"id": "N"}, {"id": "E"}, {"id": "S"}],
        }
    ]
    corners = [
        b.mm(far - side, far - side),
        b.mm(far - side, far),
        b.mm(far, far),
        b.mm(far, far - side),
    ]
    doors = [{**b.SHOP["doors"][0], "offset": b.mm(9000.0)}]
    zones = [{"id": "staff", "kind": "staff", "corners": corners, "raised": raised}]
    scenario = b.scenario(rooms=rooms, zones=zones, doors=doors, windows=[], obstructions=[])
    empty = b.layout().model_copy(
        update={"placements": (), "runs": (), "blocks": (), "cuts": (), "purchases": ()}
    )
    return _found(scenario, empty)


# 300 sq ft are 27.87 m2: 5,279.3 mm square.
@pytest.mark.parametrize(("side", "found"), [(5279.0, False), (5280.0, True)])
def test_large_raised_areas(side: float, found: bool) -> None:
    """2010 ADA Standards, 203.9: 300 sq ft."""
    assert [f.code for f in _large(side, "8 in")] == ["staff-raised"] * found


@pytest.mark.parametrize(
    ("gap", "found"), [(812.8, []), (812.7, ["staff-enter"]), (700.0, ["staff-enter"])]
)
def test_a_wheelchair_gets_into_a_staff_area(gap: float, found: list[str]) -> None:
    """2010 ADA Standards, 203.9: approach, enter and exit; a doorway is 32 in wide (404.2.3)."""
    assert [f.code for f in _closed(gap, 600.0)] == found


def _closed(gap: float, aisle: float, fixed: bool = True) -> list[Finding]:
    """Close the west edge of the zone, and its north edge but for a gap beside the till."""
    scenario = b.briefed(b.scenario(), staff_aisle=aisle)
    walls = {
        "id": "side",
        "at": b.mm(3750.0, 1000.0),
        "size": b.mm(100.0, 2000.0),
    }
    block = {
        "id": "block",
        "at": b.mm(4800.0 - gap - (1000.0 - gap) / 2, 1700.0),
        "size": b.mm(1000.0 - gap, 600.0),
    }
    columns = [walls, block]
    shop = scenario.shop.model_copy(update={"columns": b.scenario(columns=columns).shop.columns})
    scenario = b.refitted(scenario.model_copy(update={"shop": shop}), "till", fixed=fixed)
    return _found(scenario)


@pytest.mark.parametrize(
    ("fixed", "gap", "found"),
    [
        (True, 850.0, []),
        (False, 914.4, []),
        (False, 914.3, ["barrier to review"]),
        (False, 850.0, ["barrier to review"]),
    ],
)
def test_a_way_through_where_the_bounds_are_not_fixed(
    fixed: bool, gap: float, found: list[str]
) -> None:
    """2010 ADA Standards, 206.2.8: none in small areas behind fixed counters, 36 in elsewhere."""
    got = _closed(gap, 820.0, fixed)
    assert [f.severity for f in got] == found
    assert all(f.code == "staff-path" and "206.2.8" in f.clause for f in got)
