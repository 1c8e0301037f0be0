"""Counters that divide the staff zone from the shop."""

from __future__ import annotations

import pytest

from shopfit.checks import check
from shopfit.model.layout import Placement

from . import build as b


@pytest.mark.parametrize(
    ("y", "found"), [(1400.0, []), (1399.995, []), (1399.9, True), (1400.1, True), (1350.0, True)]
)
def test_the_front_lies_on_the_edge_of_the_zone(y: float, found: object) -> None:
    """The counter is 600 deep and the zone ends at y 2000 (F6)."""
    codes = b.codes(check(b.scenario(), b.moved(b.layout(), "F5", y_mm=y)))
    assert ("divider-edge" in codes) is bool(found)


def test_a_divider_with_its_front_inside_the_zone_is_found() -> None:
    """The customer stands outside the zone (F6)."""
    layout = b.moved(b.layout(), "F5", x_mm=4800.0, y_mm=2000.0, angle_deg=0)
    assert "divider-edge" in b.codes(check(b.scenario(), layout))


@pytest.mark.parametrize(("y", "found"), [(485.6, False), (485.7, True)])
def test_the_floor_behind_is_free_of_fixtures(y: float, found: bool) -> None:
    """Behind the counter 36 in stay free: y 485.6 to 1400 (F6)."""
    extra = Placement(id="T", fixture="table-4", x_mm=4800.0, y_mm=y, angle_deg=0)
    codes = b.codes(check(b.scenario(), b.added(b.layout(), extra)))
    assert ("behind-divider" in codes) is found


@pytest.mark.parametrize(("south", "found"), [(485.6, False), (485.7, True)])
def test_the_floor_behind_lies_in_the_room(south: float, found: bool) -> None:
    """The room must be deep enough behind the counter (F6)."""
    room = {**b.SHOP["rooms"][0]}
    room["corners"] = [
        b.mm(0.0, 0.0),
        b.mm(0.0, 4800.0),
        b.mm(6000.0, 4800.0),
        b.mm(6000.0, south),
        b.mm(3900.0, south),
        b.mm(3900.0, 0.0),
    ]
    room["walls"] = [{"id": w} for w in ("W", "N", "E", "S2", "S3", "S")]
    doors = [{**b.SHOP["doors"][0], "offset": b.mm(400.0)}]
    scenario = b.scenario(rooms=[room], doors=doors, obstructions=[])
    assert ("behind-divider" in b.codes(check(scenario, b.layout()))) is found
