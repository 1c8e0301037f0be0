"""Turns round the ends of islands: 2010 ADA Standards, 403.5.2, and F13."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopfit.checks import check
from shopfit.model.layout import Layout, Placement
from shopfit.model.scenario import Scenario
from shopfit.units import INCH_MM

from . import build as b

IN = INCH_MM
# A tongue of one table reaches from the south wall; the door is beside the first aisle.
LONG = 3000.0


def _shop(
    end: float, *, leg: float = 48 * IN, wide: float = 36 * IN, aisle: float = 36 * IN, **more: Any
) -> Scenario:
    """Give a room with two aisles, and a way round the north end of what stands between them."""
    across, along = 2 * leg + wide, LONG + end
    room = {
        **b.SHOP["rooms"][0],
        "corners": [b.mm(0.0, 0.0), b.mm(0.0, along), b.mm(across, along), b.mm(across, 0.0)],
    }
    door = {**b.SHOP["doors"][0], "wall": "W", "offset": b.mm(1800.0), "swing": "out"}
    shop = b.scenario(
        rooms=[room], doors=[door], windows=[], obstructions=[], columns=[], zones=[], **more
    )
    shop = b.briefed(shop, aisle=aisle, wanted=(), budget=None)
    return b.refitted(shop, "table-4", width=LONG, depth=wide)


def _tongue(leg: float = 48 * IN, wide: float = 36 * IN) -> Placement:
    """Give a table whose width lies northward; its front looks east."""
    return Placement(id="T", fixture="table-4", x_mm=leg, y_mm=0.0, angle_deg=90)


def _layout(*placements: Placement) -> Layout:
    return b.layout().model_copy(
        update={"placements": placements, "runs": (), "blocks": (), "cuts": (), "purchases": ()}
    )


def _with(scenario: Scenario, change: dict[str, Any]) -> Scenario:
    """Add a fixture like the table to the catalogue."""
    fixtures = scenario.catalogue.fixtures
    table = next(f for f in fixtures if f.id == "table-4")
    more = (*fixtures, table.model_copy(update=change))
    catalogue = scenario.catalogue.model_copy(update={"fixtures": more})
    return scenario.model_copy(update={"catalogue": catalogue})


def _codes(scenario: Scenario, layout: Layout) -> list[str]:
    wanted = ("turn", "turn-tight", "turn-aisle", "turns-not-checked")
    return [f.code for f in check(scenario, layout) if f.code in wanted]


@pytest.mark.parametrize(
    ("end", "leg", "wide", "found"),
    [
        (47.9, 42.0, 36.0, ["turn"]),
        (48.0, 42.0, 36.0, []),
        (48.1, 42.0, 36.0, []),
        (48.0, 41.9, 36.0, ["turn"]),
        (59.9, 41.9, 36.0, ["turn"]),
        (60.0, 41.9, 36.0, []),
        (60.1, 36.0, 36.0, []),
        (47.9, 42.0, 47.9, ["turn"]),
        (47.9, 42.0, 48.0, []),
        (36.0, 36.0, 48.1, []),
    ],
)
def test_42_48_42_or_60_round_what_is_under_48_in_wide(
    end: float, leg: float, wide: float, found: list[str]
) -> None:
    """2010 ADA Standards, 403.5.2: just under, at and just over every value of the clause."""
    scenario = _shop(end * IN, leg=leg * IN, wide=wide * IN)
    layout = _layout(_tongue(leg * IN, wide * IN))
    assert _codes(scenario, layout) == found


def test_a_front_behind_a_tight_turn_is_told_with_its_mend() -> None:
    """The front, the end, what was found and wanted, and what to do about it."""
    scenario = _shop(45 * IN)
    (finding,) = [f for f in check(scenario, _layout(_tongue())) if f.code == "turn"]
    assert finding.subject == "the front of table T (table-4)"
    assert "the north end of table T (table-4), 3' 0\" wide" in finding.message
    assert 'the wall before it: 3\' 9" found, 4\' 0" wanted: 3" under it' in finding.message
    assert finding.mend.startswith('Move T 3" south, or leave 4\' 0" clear before its north end')
    assert finding.required == pytest.approx(48 * IN)
    assert finding.measured == pytest.approx(45 * IN)
    assert "403.5.2" in finding.clause
    assert finding.confidence == "read"
    assert finding.at_mm == (round(48 * IN + 18 * IN, 1), round(LONG + 22.5 * IN, 1))


def test_narrow_legs_are_said() -> None:
    """Where 60 in are wanted for want of 42 in along the way, the message says so."""
    scenario = _shop(50 * IN, leg=40 * IN)
    (finding,) = [f for f in check(scenario, _layout(_tongue(40 * IN))) if f.code == "turn"]
    assert finding.required == pytest.approx(60 * IN)
    assert "With ways 3' 6\" wide along it, 4' 0\" would do." in finding.message


def test_loose_fixtures_are_a_barrier_to_review() -> None:
    """28 CFR 36.304(b)(3)-(4): what only loose fixtures miss is a barrier to review."""
    scenario, layout = _shop(45 * IN), _layout(_tongue())
    assert [f.severity for f in check(scenario, layout) if f.code == "turn"] == [
        "barrier to review"
    ]
    fixed = b.refitted(scenario, "table-4", fixed=True)
    assert [f.severity for f in check(fixed, layout) if f.code == "turn"] == ["violation"]


def _free(gap: float, south: float) -> tuple[Scenario, Layout]:
    """Give an island free all round: so much floor north and south of it."""
    scenario = _shop(gap + south)
    return scenario, _layout(_tongue().model_copy(update={"y_mm": south}))


def test_another_way_is_no_fault() -> None:
    """Where one gets round the other end, the tight end is told as advice alone."""
    scenario, layout = _free(40 * IN, 48 * IN)
    (advice,) = [f for f in check(scenario, layout) if f.code.startswith("turn-")]
    assert (advice.code, advice.severity) == ("turn-tight", "advice")
    assert advice.subject == "T (north)"
    assert advice.message.startswith("One end of islands cannot be turned back round")
    assert advice.measured == pytest.approx(40 * IN)
    scenario, layout = _free(40 * IN, 47 * IN)
    (finding,) = [f for f in check(scenario, layout) if f.code == "turn"]
    # Of the two ends the one that is nearest to enough.
    assert finding.measured == pytest.approx(47 * IN)
    assert "the south end" in finding.message


def test_an_end_that_nobody_passes_is_no_matter() -> None:
    """Nearer to the wall than a route is wide, an end is as good as against the wall."""
    assert _codes(*_free(20 * IN, 48 * IN)) == []
    assert _codes(*_free(35.9 * IN, 48 * IN)) == []
    assert _codes(*_free(36 * IN, 48 * IN)) == ["turn-tight"]


def test_abutting_fixtures_are_one_element() -> None:
    """Two shallow gondolas back to back are as wide as both, and in a row as long as both."""
    scenario = _shop(40 * IN, wide=48 * IN)
    halves = b.refitted(scenario, "table-4", depth=24 * IN)
    one = Placement(id="T", fixture="table-4", x_mm=48 * IN, y_mm=0.0, angle_deg=90)
    two = Placement(id="U", fixture="table-4", x_mm=72 * IN, y_mm=0.0, angle_deg=90)
    assert _codes(halves, _layout(one, two)) == []
    scenario = _shop(45 * IN)
    short = b.refitted(scenario, "table-4", width=LONG / 2)
    row = [
        Placement(id=tag, fixture="table-4", x_mm=48 * IN, y_mm=y, angle_deg=90)
        for tag, y in (("T", 0.0), ("U", LONG / 2))
    ]
    findings = [f for f in check(short, _layout(*row)) if f.code == "turn"]
    assert len(findings) == 1
    assert "the front of table T (table-4), the front of table U (table-4)" in findings[0].subject
    assert "the north end of T with U" in findings[0].message


@pytest.mark.parametrize(
    ("gap", "found"), [(42.0, ["turn"]), (47.9, ["turn"]), (48.0, []), (60.0, [])]
)
def test_between_two_islands_end_to_end(gap: float, found: list[str]) -> None:
    """The gap between two islands is measured from end to end."""
    scenario = _shop(gap * IN + 1500.0)
    other = Placement(id="U", fixture="post", x_mm=48 * IN, y_mm=LONG + gap * IN, angle_deg=90)
    scenario = _with(scenario, {"id": "post", "width": 1500.0, "faces": ()})
    assert _codes(scenario, _layout(_tongue(), other)) == found


def test_a_quarter_turn_is_no_turn_back() -> None:
    """From a door beside the end both sides are reached, however tight it is before it."""
    scenario = _shop(45 * IN)
    door = scenario.shop.doors[0].model_copy(
        update={"wall": "W", "offset": LONG + 40.0, "width": 45 * IN - 80.0, "swing": "none"}
    )
    shop = scenario.shop.model_copy(update={"doors": (door,)})
    layout = _layout(_tongue())
    assert _codes(scenario.model_copy(update={"shop": shop}), layout) == ["turn-tight"]


def test_a_narrower_way_without_a_turn_is_told_apart() -> None:
    """At the aisle of the brief only the turn is left; at 36 in there is another way: advice."""
    # A cap 60 in wide on the south end: no rule for its ends, and 36 in past its corners.
    scenario = b.briefed(_shop(45 * IN + 52 * IN), aisle=42 * IN)
    cap = {"id": "cap", "width": 60 * IN, "depth": 12 * IN, "faces": ()}
    scenario = _with(scenario, cap)
    layout = _layout(
        _tongue().model_copy(update={"y_mm": 52 * IN}),
        Placement(id="C", fixture="cap", x_mm=36 * IN, y_mm=52 * IN, angle_deg=0),
    )
    (advice,) = [f for f in check(scenario, layout) if f.code == "turn-aisle"]
    assert advice.severity == "advice"
    assert "a way 3' 0\" wide need not" in advice.message
    assert _codes(scenario, layout) == ["turn-aisle", "turn-tight"]
    assert _codes(b.briefed(scenario, aisle=36 * IN), layout) == ["turn-tight"]


def test_without_a_value_nothing_is_checked() -> None:
    """England: no such rule was read, and the report says so."""
    scenario = _shop(40 * IN, rulebook="england")
    (finding,) = [f for f in check(scenario, _layout(_tongue())) if f.code.startswith("turns")]
    assert finding.severity == "not checked"
    assert "no rule for England" in finding.message


def test_without_an_entrance_or_islands_there_is_nothing_to_say() -> None:
    """The way of customers is told as not checked elsewhere."""
    scenario = _shop(45 * IN)
    shop = scenario.shop.model_copy(update={"doors": ()})
    assert _codes(scenario.model_copy(update={"shop": shop}), _layout(_tongue())) == []
    assert _codes(scenario, _layout()) == []


def test_a_front_that_is_not_reached_at_all_is_no_matter_of_turns() -> None:
    """Where the way is closed, the way is told, and not the turn."""
    scenario, layout = _shop(30 * IN), _layout(_tongue())
    assert _codes(scenario, layout) == []
    assert "accessible-route" in b.codes(check(scenario, layout))


def _moved(
    point: tuple[float, float], angle: float, by: tuple[float, float]
) -> tuple[float, float]:
    cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    x, y = point
    return round(x * cos - y * sin + by[0], 6), round(x * sin + y * cos + by[1], 6)


SHIFT = st.tuples(st.floats(-5000, 5000), st.floats(-5000, 5000))


@given(
    gaps=st.tuples(*[st.sampled_from([36.0, 40.0, 47.9, 48.0, 55.0, 60.0])] * 2),
    leg=st.sampled_from([40.0, 42.0, 48.0]),
    lean=st.floats(-4, 4),
    angle=st.floats(-180, 180),
    shift=SHIFT,
)
@settings(max_examples=40)
def test_moving_the_shop_as_a_whole_changes_nothing(
    gaps: tuple[float, float],
    leg: float,
    lean: float,
    angle: float,
    shift: tuple[float, float],
) -> None:
    """Codes, depths and values are the same wherever the shop lies, and however it is turned."""
    scenario = _shop(sum(gaps) * IN, leg=leg * IN)
    table = _tongue(leg * IN).model_copy(
        update={"y_mm": gaps[1] * IN, "angle_deg": 90.0 + round(lean, 3)}
    )
    (room,) = scenario.shop.rooms
    corners = tuple(_moved(corner, angle, shift) for corner in room.corners)
    turned_room = room.model_copy(update={"corners": corners})
    shop = scenario.shop.model_copy(update={"rooms": (turned_room,)})
    x, y = _moved((table.x_mm, table.y_mm), angle, shift)
    turned = table.model_copy(update={"x_mm": x, "y_mm": y, "angle_deg": table.angle_deg + angle})

    def told(scenario: Scenario, layout: Layout) -> list[tuple[Any, ...]]:
        return [
            (f.code, f.severity, f.required, f.measured and round(f.measured, 1))
            for f in check(scenario, layout)
            if f.code.startswith("turn")
        ]

    before = told(scenario, _layout(table))
    assert before == told(scenario.model_copy(update={"shop": shop}), _layout(turned))


@given(short=st.floats(0.02, 11.9 * IN), wide=st.floats(10 * IN, 47.9 * IN))
@settings(max_examples=60)
def test_every_planted_tight_turn_is_found_and_none_is_invented(short: float, wide: float) -> None:
    """Short of 48 in by anything over the tolerance is a fault; as much to spare is none."""
    layout = _layout(_tongue(60 * IN, wide))
    assert "turn" in _codes(_shop(48 * IN - short, leg=60 * IN, wide=wide), layout)
    assert _codes(_shop(48 * IN + short, leg=60 * IN, wide=wide), layout) == []
