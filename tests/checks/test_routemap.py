"""Every route of a layout, measured."""

from __future__ import annotations

import pytest

from shopfit.checks import measured_routes
from shopfit.model.layout import Placement
from shopfit.planning import measured_routes as asked

from . import build as b


def test_every_target_has_its_route() -> None:
    """Fronts, counters and the staff zone, each with a line from the door and a length."""
    found = measured_routes(b.scenario(), b.layout())
    kinds = {route.target: route.kind for route in found.routes}
    assert kinds["the front of base cabinet F1 (base-48)"] == "front"
    assert kinds["the front of counter F5 (till)"] == "counter"
    assert kinds["the staff zone staff"] == "staff"
    assert kinds["slat-wall run R2"] == "front"
    for route in found.routes:
        assert route.line_mm[0] == pytest.approx((3042.8, 0.0), abs=0.2)
        steps = zip(route.line_mm, route.line_mm[1:], strict=False)
        length = sum(((a - c) ** 2 + (d - e) ** 2) ** 0.5 for (a, d), (c, e) in steps)
        assert route.length_mm == pytest.approx(length, abs=2.0)
        assert route.widest_mm >= route.wanted_mm
        assert route.narrowest is not None
        assert route.narrowest.width_mm >= route.wanted_mm - 0.6
        assert route.pinches == ()


def test_planning_gives_the_same() -> None:
    """The public function measures afresh."""
    assert asked(b.scenario(), b.layout()) == measured_routes(b.scenario(), b.layout())


def test_a_narrow_place_is_told_with_its_sides() -> None:
    """A table 850 mm off the west wall and 1000 mm off the east wall."""
    scenario = b.briefed(b.scenario(columns=[], zones=[], obstructions=[]), wanted=())
    scenario = b.refitted(scenario, "table-4", width=6000.0 - 850.0, depth=500.0, faces=())
    kept = tuple(p for p in b.layout().placements if p.id in ("F1", "F2"))
    table = Placement(id="T", fixture="table-4", x_mm=850.0, y_mm=2700.0, angle_deg=0)
    layout = b.layout().model_copy(update={"placements": (*kept, table), "runs": ()})
    route = measured_routes(scenario, layout).routes[0]
    assert route.widest_mm == pytest.approx(850.0, abs=0.01)
    (pinch,) = route.pinches
    assert pinch.allowed
    assert pinch.width_mm == pytest.approx(850.0, abs=0.01)
    assert pinch.length_mm == pytest.approx(500.0, abs=0.1)
    assert pinch.between == "between table T (table-4) and wall W"
    assert route.narrowest == pinch


def test_without_an_entrance_there_are_no_routes() -> None:
    """Targets are listed with no way to them."""
    found = measured_routes(b.scenario(doors=[]), b.layout())
    assert found.turning_spaces == ()
    assert all(route.line_mm == () and route.widest_mm == 0.0 for route in found.routes)


def test_turning_circles_lie_on_free_floor() -> None:
    """At least one, at least 60 in wide, with an outline."""
    found = measured_routes(b.scenario(), b.layout())
    assert found.turning_spaces
    assert all(one.size_mm >= 1524.0 - 0.5 for one in found.turning_spaces)


def test_crooked_rooms_are_not_measured() -> None:
    """Where nothing is checked nothing is measured."""
    room = {
        **b.SHOP["rooms"][0],
        "corners": [b.mm(0.0, 0.0), b.mm(6000.0, 4800.0), b.mm(6000.0, 0.0), b.mm(0.0, 4800.0)],
    }
    assert measured_routes(b.scenario(rooms=[room]), b.layout()).routes == ()
