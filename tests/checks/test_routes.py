"""Ways of customers, staff and people who leave."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.checks import check
from shopfit.model.layout import Layout, Placement

from . import build as b


def _wall_of_tables(gap: float, **table: Any) -> tuple[Any, Layout]:
    """Part the shop at y 1900 to 2700 with a row of tables that leaves a gap at the west wall."""
    # The tables show nothing here, so that only the way past them counts.
    scenario = b.refitted(b.scenario(columns=[], zones=[], obstructions=[]), "table-4", **table)
    scenario = b.briefed(scenario, wanted=())
    row = [
        Placement(id=f"T{k}", fixture="table-4", x_mm=gap + 1200.0 * k, y_mm=2700.0, angle_deg=0)
        for k in range(4)
    ]
    rest = Placement(id="T9", fixture="table-4", x_mm=4800.0, y_mm=2700.0, angle_deg=0)
    kept = tuple(p for p in b.layout().placements if p.id in ("F1", "F2", "F3"))
    # Run R2 on wall W stands in the gap; leave it out.
    layout = b.layout().model_copy(
        update={"placements": (*kept, *row, rest), "runs": b.layout().runs[:1]}
    )
    return scenario, layout


def _codes(scenario: Any, layout: Layout) -> list[str]:
    wanted = ("reach", "accessible-route", "staff-reach", "exit-reach")
    return [code for code in b.codes(check(scenario, layout)) if code in wanted]


@pytest.mark.parametrize(
    ("gap", "found"),
    [(b.AISLE + 1, []), (b.AISLE, []), (b.AISLE - 0.1, ["reach"] * 3)],
)
def test_customers_pass_a_gap_of_exactly_the_aisle(gap: float, found: list[str]) -> None:
    """Two cabinets and a case lie beyond the only gap (F5)."""
    scenario, layout = _wall_of_tables(gap, faces=(), depth=800.0)
    shifted = [p for p in layout.placements if p.id != "T9"]
    layout = layout.model_copy(update={"placements": tuple(shifted)})
    # Close the east end: the four tables reach from the gap to gap + 4800.
    plug = Placement(id="T9", fixture="table-4", x_mm=6000.0 - 800.0, y_mm=2700.0, angle_deg=-90)
    blocked = layout.model_copy(update={"placements": (*layout.placements, plug)})
    assert _codes(scenario, blocked) == found


def test_a_way_of_36_in_is_told_apart_from_none() -> None:
    """The message says whether a published way is left; without one the clause is named."""
    scenario, layout = _wall_of_tables(950.0, faces=())
    findings = [f for f in check(scenario, layout) if f.code in ("reach", "accessible-route")]
    assert {f.code for f in findings} == {"reach"}
    assert all("36" in f.message or "3' 0" in f.message for f in findings)
    scenario, layout = _wall_of_tables(900.0, faces=())
    findings = [f for f in check(scenario, layout) if f.code == "accessible-route"]
    assert [f.severity for f in findings] == ["barrier to review"] * 3
    assert "403.5.1" in findings[0].clause
    scenario, layout = _wall_of_tables(900.0, faces=(), fixed=True)
    findings = [f for f in check(scenario, layout) if f.code == "accessible-route"]
    assert [f.severity for f in findings] == ["violation"] * 3


def test_without_an_entrance_the_way_is_not_checked() -> None:
    """The finding says what to add."""
    findings = check(b.scenario(doors=[]), b.layout())
    missing = [f for f in findings if f.code.endswith("route-not-checked")]
    assert [f.severity for f in missing] == ["not checked", "not checked"]
    assert "use: entrance" in missing[0].mend


def test_a_blocked_entrance_reaches_nothing() -> None:
    """Every front is out of reach when the entrance itself is shut in (F5)."""
    shut = [
        Placement(id=f"T{k}", fixture="table-4", x_mm=x, y_mm=y, angle_deg=a)
        for k, (x, y, a) in enumerate(
            [(2000.0, 2400.0, 0), (3200.0, 2400.0, 0), (1600.0, 2400.0, -90)]
        )
    ]
    layout = b.layout()
    for table in shut:
        layout = b.added(layout, table)
    layout = layout.model_copy(
        update={"placements": tuple(p for p in layout.placements if p.id != "F4")}
    )
    assert "reach" in _codes(b.scenario(columns=[]), layout)


@pytest.mark.parametrize(("x", "found"), [(5914.4, []), (5914.3, ["staff-reach"] * 2)])
def test_staff_get_behind_the_counter(x: float, found: list[str]) -> None:
    """The gap between the zone's west edge and the counter is 36 in at x 5914.4 (F7)."""
    # A pier stands before the zone's west edge.
    post = {"id": "pier", "at": b.mm(3700.0, 1000.0), "size": b.mm(200.0, 2000.0)}
    scenario = b.scenario(columns=[post], obstructions=[])
    layout = b.moved(b.layout(), "F5", x_mm=x)
    assert _codes(scenario, layout) == found


def test_staff_doors_start_the_staffs_way() -> None:
    """A staff door inside the zone makes up for a closed counter (F7)."""
    door = {
        **b.SHOP["doors"][0],
        "id": "back",
        "wall": "E",
        "offset": b.mm(4800.0 - 1000.0),
        "use": "staff",
    }
    post = {"id": "pier", "at": b.mm(3700.0, 1000.0), "size": b.mm(200.0, 2000.0)}
    shut = b.moved(b.layout(), "F5", x_mm=5200.0)
    closed = b.scenario(columns=[post], obstructions=[])
    assert "staff-reach" in _codes(closed, shut)
    opened = b.scenario(columns=[post], obstructions=[], doors=[b.SHOP["doors"][0], door])
    assert "staff-reach" not in _codes(opened, shut)


@pytest.mark.parametrize(("gap", "found"), [(711.2, []), (711.0, ["exit-reach"])])
def test_exits_are_reached_28_in_wide(gap: float, found: list[str]) -> None:
    """29 CFR 1910.36(g)(2): exit access at least 28 in wide."""
    door = {**b.SHOP["doors"][0], "id": "fire", "wall": "N", "offset": b.mm(4600.0), "use": "exit"}
    scenario, layout = _wall_of_tables(gap, faces=())
    shop = b.scenario(columns=[], zones=[], doors=[b.SHOP["doors"][0], door]).shop
    scenario = scenario.model_copy(update={"shop": shop})
    codes = _codes(scenario, layout)
    assert [code for code in codes if code == "exit-reach"] == found


def _beyond_a_doorway(width: float) -> tuple[Any, Layout]:
    back = {
        "id": "back",
        "height": b.mm(b.HEIGHT),
        "corners": [
            b.mm(-4000.0, 0.0),
            b.mm(-4000.0, 4800.0),
            b.mm(-100.0, 4800.0),
            b.mm(-100.0, 0.0),
        ],
        "walls": [{"id": f"B{w}"} for w in "WNES"],
    }
    door = {
        "id": "through",
        "wall": "W",
        "offset": b.mm(2500.0),
        "width": b.mm(width),
        "height": b.mm(2032.0),
        "swing": "none",
        "use": "inner",
        "leads_to": "back",
        "depth": b.mm(100.0),
    }
    scenario = b.scenario(
        rooms=[b.SHOP["rooms"][0], back], doors=[b.SHOP["doors"][0], door], windows=[]
    )
    table = Placement(id="T", fixture="table-4", x_mm=-3000.0, y_mm=2600.0, angle_deg=0)
    return scenario, b.added(b.layout(), table)


def test_inner_doors_join_rooms() -> None:
    """A table in the back room is reached through the doorway, and not without it (F5)."""
    scenario, layout = _beyond_a_doorway(1000.0)
    assert _codes(scenario, layout) == []
    shop = scenario.shop.model_copy(update={"doors": scenario.shop.doors[:1]})
    assert _codes(scenario.model_copy(update={"shop": shop}), layout).count("reach") == 2


def test_rooms_that_share_a_wall_are_still_parted() -> None:
    """Two rooms that touch on the plan are joined by doors alone."""
    scenario, layout = _beyond_a_doorway(1000.0)
    rooms = list(scenario.shop.rooms)
    east = [(x + 100.0 if x == -100.0 else x, y) for x, y in rooms[1].corners]
    rooms[1] = rooms[1].model_copy(update={"corners": tuple(east)})
    shop = scenario.shop.model_copy(
        update={"rooms": tuple(rooms), "doors": scenario.shop.doors[:1]}
    )
    assert _codes(scenario.model_copy(update={"shop": shop}), layout).count("reach") == 2


def _gap_findings(gap: float, **table: Any) -> list[Any]:
    """Close the shop but for a gap of some width and 800 mm of length at the west wall."""
    scenario, layout = _wall_of_tables(gap, faces=(), **table)
    scenario = scenario.model_copy(
        update={"shop": scenario.shop.model_copy(update={"units": "in"})}
    )
    plug = Placement(id="T9", fixture="table-4", x_mm=6000.0 - 800.0, y_mm=2700.0, angle_deg=-90)
    kept = tuple(p for p in layout.placements if p.id != "T9")
    layout = layout.model_copy(update={"placements": (*kept, plug)})
    wanted = ("reach", "accessible-route", "pinches-apart")
    return [f for f in check(scenario, layout) if f.code in wanted]


def test_the_narrowest_place_is_told_and_drawn() -> None:
    """Width, both things, what to move, and the way up to there."""
    first = _gap_findings(1000.0)[0]
    assert first.measured == pytest.approx(1000.0)
    assert first.margin == pytest.approx(1000.0 - b.AISLE)
    assert "between table T0 (table-4) and wall W" in first.message
    assert first.at_mm == pytest.approx((500.0, 2700.0), abs=801)
    way, across = first.drawn_mm
    assert len(way) >= 3
    assert {x for x, _ in across} == {0.0, 1000.0}


def test_the_mend_moves_what_can_be_moved() -> None:
    """A single table before a wall is moved off it by what is missing, rounded up."""
    scenario = b.briefed(b.scenario(columns=[], zones=[], obstructions=[]), wanted=())
    scenario = b.refitted(scenario, "table-4", width=4000.0, faces=())
    kept = tuple(p for p in b.layout().placements if p.id in ("F1", "F2", "F3"))
    table = Placement(id="T", fixture="table-4", x_mm=1000.0, y_mm=2700.0, angle_deg=0)
    layout = b.layout().model_copy(update={"placements": (*kept, table), "runs": ()})
    findings = [f for f in check(scenario, layout) if f.code == "reach"]
    # 1000 mm at either end; one of the two has to become 66.8 mm (2 5/8 in) wider.
    assert findings
    assert findings[0].mend in ('Move T 2 11/16" east.', 'Move T 2 11/16" west.')


def test_what_cannot_be_moved_is_to_be_shallower() -> None:
    """Five tables in a row from gap to wall leave no room to move any."""
    assert all("in place of T0, or leave it out" in f.mend for f in _gap_findings(1000.0))


@pytest.mark.parametrize(
    ("gap", "deep", "codes"),
    [
        (32.0, 24.0, {"reach"}),
        (31.99, 24.0, {"reach", "accessible-route"}),
        (32.0, 24.02, {"reach", "accessible-route"}),
        (35.9, 60.0, {"reach", "accessible-route"}),
        (36.0, 60.0, {"reach"}),
    ],
)
def test_a_short_pinch_meets_the_rulebook_and_not_the_brief(
    gap: float, deep: float, codes: set[str]
) -> None:
    """2010 ADA Standards, 403.5.1: 32 in for at most 24 in; the brief wants 42 in all the way."""
    scenario = b.briefed(b.scenario(columns=[], zones=[], obstructions=[]), wanted=())
    scenario = b.refitted(
        scenario, "table-4", width=6000.0 - gap * 25.4, depth=deep * 25.4, faces=()
    )
    kept = tuple(p for p in b.layout().placements if p.id in ("F1", "F2", "F3"))
    table = Placement(id="T", fixture="table-4", x_mm=gap * 25.4, y_mm=2700.0, angle_deg=0)
    layout = b.layout().model_copy(update={"placements": (*kept, table), "runs": ()})
    findings = [f for f in check(scenario, layout) if f.code in ("reach", "accessible-route")]
    assert {f.code for f in findings} == codes
    if codes == {"reach"} and gap < 36:
        assert all("The rulebook allows such a pinch" in f.message for f in findings)


def test_at_an_aisle_of_36_in_an_allowed_pinch_is_still_the_briefs_violation() -> None:
    """Where the brief asks for no more than the rulebook, a pinch is told as the brief's."""
    scenario = b.briefed(b.scenario(columns=[], zones=[], obstructions=[]), wanted=(), aisle=914.4)
    gap = 33 * 25.4
    scenario = b.refitted(scenario, "table-4", width=6000.0 - gap, depth=500.0, faces=())
    kept = tuple(p for p in b.layout().placements if p.id in ("F1", "F2", "F3"))
    table = Placement(id="T", fixture="table-4", x_mm=gap, y_mm=2700.0, angle_deg=0)
    layout = b.layout().model_copy(update={"placements": (*kept, table), "runs": ()})
    findings = [f for f in check(scenario, layout) if f.code in ("reach", "accessible-route")]
    assert {(f.code, f.severity) for f in findings} == {("reach", "violation")}


@pytest.mark.parametrize(("apart", "code"), [(48.1, "reach"), (47.9, "pinches-apart")])
def test_pinches_are_48_in_apart(apart: float, code: str) -> None:
    """Two tables of 20 in, one behind the other, leave 33 in beside each."""
    inch = 25.4
    scenario = b.briefed(b.scenario(columns=[], zones=[], obstructions=[]), wanted=())
    gap, deep = 33 * inch, 12 * inch
    scenario = b.refitted(scenario, "table-4", width=6000.0 - gap, depth=deep, faces=())
    scenario = b.refitted(scenario, "base-48", depth=300.0)
    kept = tuple(p for p in b.layout().placements if p.id in ("F1", "F2"))
    tables = [
        Placement(id="T", fixture="table-4", x_mm=gap, y_mm=1700.0 + deep, angle_deg=0),
        Placement(
            id="U", fixture="table-4", x_mm=gap, y_mm=1700.0 + 2 * deep + apart * inch, angle_deg=0
        ),
    ]
    layout = b.layout().model_copy(update={"placements": (*kept, *tables), "runs": ()})
    findings = [f for f in check(scenario, layout) if f.code in ("reach", "pinches-apart")]
    assert ("pinches-apart" in {f.code for f in findings}) is (code == "pinches-apart")
    for finding in findings:
        if finding.code == "pinches-apart":
            assert finding.measured == pytest.approx(apart * inch, abs=0.5)
            assert "table T" in finding.message
            assert "table U" in finding.message
