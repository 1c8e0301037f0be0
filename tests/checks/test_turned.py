"""The same shop turned on the plan: no wall need be square to the compass."""

from __future__ import annotations

import math
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from shopfit.checks import check
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario

from . import build as b

ANGLE = st.floats(-180.0, 180.0)


def _point(x: float, y: float, angle: float) -> tuple[float, float]:
    turn = math.radians(angle)
    return (
        x * math.cos(turn) - y * math.sin(turn) + 1234.5,
        x * math.sin(turn) + y * math.cos(turn) - 678.9,
    )


def _turned_shop(angle: float) -> Scenario:
    def corners(points: list[list[str]]) -> Any:
        pairs = [[float(part.removesuffix(" mm")) for part in point] for point in points]
        return [b.mm(*_point(x, y, angle)) for x, y in pairs]

    room = {**b.SHOP["rooms"][0], "corners": corners(b.SHOP["rooms"][0]["corners"])}
    zone = {**b.SHOP["zones"][0], "corners": corners(b.SHOP["zones"][0]["corners"])}
    column = {**b.SHOP["columns"][0], "at": b.mm(*_point(1000.0, 400.0, angle)), "turn": angle}
    return b.scenario(rooms=[room], zones=[zone], columns=[column])


def _turned(layout: Layout, angle: float) -> Layout:
    placements = []
    for one in layout.placements:
        x, y = _point(one.x_mm, one.y_mm, angle)
        update = {"x_mm": round(x, 4), "y_mm": round(y, 4), "angle_deg": one.angle_deg + angle}
        placements.append(one.model_copy(update=update))
    return layout.model_copy(update={"placements": tuple(placements)})


@given(ANGLE)
@settings(max_examples=40)
def test_a_clean_layout_is_clean_at_any_angle(angle: float) -> None:
    """Rounding to 4 decimals on a slanted wall stays within the tolerance."""
    assert b.codes(check(_turned_shop(angle), _turned(b.layout(), angle))) == []


@given(ANGLE, st.sampled_from(["aisle", "back", "overlap", "zone", "door"]))
@settings(max_examples=40)
def test_a_fault_is_the_same_fault_at_any_angle(angle: float, kind: str) -> None:
    """The turned shop gives the codes of the upright one."""
    good = b.layout()
    layout = {
        "aisle": b.moved(good, "F4", y_mm=3124.6),
        "back": b.moved(good, "F1", y_mm=4799.0),
        "overlap": b.moved(good, "F2", x_mm=2218.2, offset_mm=2218.2),
        "zone": b.moved(good, "F4", x_mm=2601.0, y_mm=2700.0),
        "door": b.moved(good, "F4", x_mm=2000.0, y_mm=2323.0),
    }[kind]
    upright = b.codes(check(b.scenario(), layout))
    assert sorted(b.codes(check(_turned_shop(angle), _turned(layout, angle)))) == sorted(upright)
