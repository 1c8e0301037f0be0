"""Passing spaces on ways over 200 ft."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.checks import passing
from shopfit.checks.registry import _scene
from shopfit.model.finding import Finding
from shopfit.model.layout import Layout, Placement
from shopfit.model.scenario import Scenario

from . import build as b

IN, FT = 25.4, 304.8


def _lane(length: float, width: float, **more: Any) -> tuple[Scenario, Layout]:
    """Give a lane from a door at its west end to a table across its east end."""
    room = {
        "id": "shop",
        "height": b.mm(b.HEIGHT),
        "corners": [b.mm(0.0, 0.0), b.mm(0.0, width), b.mm(length, width), b.mm(length, 0.0)],
        "walls": [{"id": "W"}, {"id": "N"}, {"id": "E"}, {"id": "S"}],
    }
    door = {**b.SHOP["doors"][0], "wall": "W", "offset": b.mm(100.0), "swing": "none"}
    given = {"columns": [], "zones": [], "windows": [], "obstructions": [], **more}
    scenario = b.scenario(rooms=[room], doors=[door], **given)
    scenario = b.refitted(scenario, "table-4", width=width, depth=500.0, faces=_front(scenario))
    # Its front looks west.
    table = Placement(id="T", fixture="table-4", x_mm=length, y_mm=width, angle_deg=-90)
    return b.briefed(scenario, aisle=914.4), b.layout().model_copy(
        update={"placements": (table,), "runs": (), "blocks": (), "cuts": ()}
    )


def _front(scenario: Scenario) -> Any:
    table = next(f for f in scenario.catalogue.fixtures if f.id == "table-4")
    return tuple(face for face in table.faces if face.side == "front")


def _found(scenario: Scenario, layout: Layout) -> list[Finding]:
    scene, _ = _scene(scenario, layout)
    assert scene is not None
    return list(passing.check(scene))


@pytest.mark.parametrize(
    ("length", "width", "number"),
    [(190 * FT, 1100.0, 0), (230 * FT, 1100.0, 1), (230 * FT, 60 * IN, 0), (230 * FT, 59 * IN, 1)],
)
def test_only_long_and_narrow_ways_want_them(length: float, width: float, number: int) -> None:
    """2010 ADA Standards, 403.5.3: under 60 in wide, over 200 ft."""
    found = _found(*_lane(length, width))
    assert [f.code for f in found] == ["passing"] * number
    if found:
        assert found[0].required == pytest.approx(200 * FT)
        assert found[0].measured is not None
        assert found[0].measured > 200 * FT
        assert found[0].margin is not None
        assert found[0].margin < 0
        assert "403.5.3" in found[0].clause
        assert len(found[0].drawn_mm[0]) > 1


def test_a_bay_half_way_is_a_passing_space() -> None:
    """60 in by 60 in on the way; an inch less is none."""
    for side, number in ((60.0, 0), (59.0, 1)):
        scenario, layout = _lane(230 * FT, 1100.0)
        (room,) = scenario.shop.rooms
        x, wide = 110 * FT, side * IN
        corners = [(0.0, 0.0), (0.0, 1100.0), (x, 1100.0), (x, wide), (x + wide, wide)]
        corners += [(x + wide, 1100.0), (230 * FT, 1100.0), (230 * FT, 0.0)]
        walls = [room.walls[0].model_copy(update={"id": f"W{k}"}) for k in range(8)]
        bayed = room.model_copy(update={"corners": tuple(corners), "walls": tuple(walls)})
        door = scenario.shop.doors[0].model_copy(update={"wall": "W0"})
        shop = scenario.shop.model_copy(update={"rooms": (bayed,), "doors": (door,)})
        found = _found(scenario.model_copy(update={"shop": shop}), layout)
        assert len(found) == number
