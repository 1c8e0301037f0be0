"""Ways that end, and whether a wheelchair turns there."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.checks import check
from shopfit.model.finding import Finding
from shopfit.model.layout import Layout, Placement
from shopfit.model.scenario import Scenario

from . import build as b

IN = 25.4


def _bay(width: float, deep: float, **more: Any) -> tuple[Scenario, Layout]:
    """Give a hall 4 m square with a bay at its north side, and a table with nothing to show."""
    left, right = 1000.0, 1000.0 + width
    corners = [(0, 0), (0, 4000), (left, 4000), (left, 4000 + deep), (right, 4000 + deep)]
    corners += [(right, 4000), (4000, 4000), (4000, 0)]
    walls = ["W", "N1", "B1", "B2", "B3", "N2", "E", "S"]
    room = {
        "id": "shop",
        "height": b.mm(b.HEIGHT),
        "corners": [b.mm(float(x), float(y)) for x, y in corners],
        "walls": [{"id": wall} for wall in walls],
    }
    door = {**b.SHOP["doors"][0], "offset": b.mm(1500.0), "swing": "none"}
    given = {"columns": [], "zones": [], "windows": [], "obstructions": [], **more}
    scenario = b.scenario(rooms=[room], doors=[door], **given)
    scenario = b.refitted(scenario, "table-4", faces=(), width=400.0, depth=400.0)
    table = Placement(id="T", fixture="table-4", x_mm=3500.0, y_mm=500.0, angle_deg=0)
    return scenario, b.layout().model_copy(
        update={"placements": (table,), "runs": (), "blocks": (), "cuts": ()}
    )


def _found(width: float, deep: float, **more: Any) -> list[Finding]:
    return [f for f in check(*_bay(width, deep, **more)) if f.code == "dead-end"]


def test_a_long_narrow_bay_is_a_dead_end() -> None:
    """The finding says how long it is, where it ends, and draws the way."""
    (finding,) = _found(1000.0, 3000.0)
    assert finding.severity == "advice"
    assert "304.3.2" in finding.clause
    reach = (762.0**2 - 500.0**2) ** 0.5
    assert finding.measured == pytest.approx(3000.0 + reach - 762.0, abs=120)
    assert finding.at_mm == pytest.approx((1500.0, 6500.0), abs=100)
    assert len(finding.drawn_mm[0]) > 2
    assert "No clause that was read asks for it" in finding.mend
    assert "wall B" in finding.message


@pytest.mark.parametrize(("width", "number"), [(35.9, 0), (36.0, 1), (59.5, 1), (60.0, 0)])
def test_only_ways_too_narrow_to_turn_in_are_told(width: float, number: int) -> None:
    """Under 36 in nobody goes in; at 60 in one turns."""
    assert len(_found(width * IN, 3000.0)) == number


def test_a_short_bay_is_none() -> None:
    """No deeper than a wheelchair is long beyond the last circle."""
    assert _found(1000.0, 45 * IN) == []
    assert len(_found(1000.0, 65 * IN)) == 1


def test_a_t_at_the_end_is_a_turning_space() -> None:
    """A bay 1000 mm wide with a cross bar at its end needs no circle."""
    scenario, layout = _bay(1000.0, 3000.0)
    (room,) = scenario.shop.rooms
    walls = list(room.walls)
    corners = list(room.corners)
    at = corners.index((1000.0, 7000.0))
    arms = [(1000.0, 6000.0), (600.0, 6000.0), (600.0, 7000.0), (2400.0, 7000.0), (2400.0, 6000.0)]
    corners[at : at + 2] = [*arms, (2000.0, 6000.0)]
    walls = [walls[0].model_copy(update={"id": f"W{k}"}) for k in range(len(corners))]
    wider = room.model_copy(update={"corners": tuple(corners), "walls": tuple(walls)})
    door = scenario.shop.doors[0].model_copy(update={"wall": f"W{len(corners) - 1}"})
    shop = scenario.shop.model_copy(update={"rooms": (wider,), "doors": (door,)})
    scenario = scenario.model_copy(update={"shop": shop})
    assert [f for f in check(scenario, layout) if f.code == "dead-end"] == []


def test_a_door_at_the_end_leads_on() -> None:
    """One leaves by it, so no one has to turn."""
    scenario, layout = _bay(1000.0, 3000.0)
    back = scenario.shop.doors[0].model_copy(
        update={"id": "back", "wall": "B2", "offset": 40.0, "use": "exit"}
    )
    shop = scenario.shop.model_copy(update={"doors": (*scenario.shop.doors, back)})
    scenario = scenario.model_copy(update={"shop": shop})
    assert [f for f in check(scenario, layout) if f.code == "dead-end"] == []


def test_without_an_entrance_nothing_is_said_here() -> None:
    """That the way of customers was not checked is told elsewhere."""
    scenario, layout = _bay(1000.0, 3000.0)
    shop = scenario.shop.model_copy(update={"doors": ()})
    found = check(scenario.model_copy(update={"shop": shop}), layout)
    assert [f for f in found if f.code == "dead-end"] == []
