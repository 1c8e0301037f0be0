"""Fixtures against walls: backs, offsets, heights and what is on the wall."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.checks import check

from . import build as b


def _on_north(kind: str, bottom: float, top: float, offset: float = 500.0) -> Any:
    return {
        "id": "thing",
        "kind": kind,
        "wall": "N",
        "offset": b.mm(offset),
        "width": b.mm(500.0),
        "bottom": b.mm(bottom),
        "top": b.mm(top),
    }


@pytest.mark.parametrize(("y", "found"), [(4800.0, False), (4799.995, False), (4799.0, True)])
def test_the_back_lies_on_the_wall(y: float, found: bool) -> None:
    """A cabinet 1 mm off its wall is found (F10)."""
    codes = b.codes(check(b.scenario(), b.moved(b.layout(), "F1", y_mm=y)))
    assert ("back-off-wall" in codes) is found


def test_a_fixture_turned_to_its_wall_is_found() -> None:
    """The front faces the room, not the wall (F10)."""
    layout = b.moved(b.layout(), "F3", x_mm=6000.0, y_mm=3280.8, angle_deg=90.0)
    assert "back-off-wall" in b.codes(check(b.scenario(), layout))


@pytest.mark.parametrize(
    ("offset", "found"), [(1000.0, []), (1001.0, ["offset"]), (None, ["offset"])]
)
def test_the_offset_says_where_it_stands(offset: float | None, found: list[str]) -> None:
    """The offset along the wall and the place on the plan agree (F10)."""
    layout = b.moved(b.layout(), "F1", offset_mm=offset)
    assert b.codes(check(b.scenario(), layout)) == found


def test_no_fixture_on_a_wall_that_takes_none() -> None:
    """A wall may be closed to fixtures (F10)."""
    room = {**b.SHOP["rooms"][0]}
    room["walls"] = [{"id": w, "fixtures": w != "E"} for w in "WNES"]
    assert b.codes(check(b.scenario(rooms=[room]), b.layout())) == ["wall-not-for-fixtures"]


@pytest.mark.parametrize(("height", "found"), [(1400.0, False), (1399.0, True)])
def test_a_fixture_is_no_taller_than_its_wall(height: float, found: bool) -> None:
    """The case of 1400 mm stands where wall E is that low (F10)."""
    room = {**b.SHOP["rooms"][0]}
    heights = [
        {"offset": b.mm(0.0), "height": b.mm(2700.0)},
        {"offset": b.mm(500.0), "height": b.mm(height)},
        {"offset": b.mm(2000.0), "height": b.mm(2700.0)},
    ]
    room["walls"] = [{"id": w, "heights": heights if w == "E" else []} for w in "WNES"]
    codes = b.codes(check(b.scenario(rooms=[room]), b.layout()))
    assert ("too-tall" in codes) is found


@pytest.mark.parametrize(("sill", "found"), [(762.0, []), (761.9, ["hides-window"])])
def test_a_cabinet_may_stand_up_to_the_sill(sill: float, found: list[str]) -> None:
    """A cabinet of 30 in under a window with its sill at 30 in hides nothing (F10)."""
    window = {
        "id": "w2",
        "wall": "N",
        "offset": b.mm(500.0),
        "width": b.mm(501.0),
        "sill": b.mm(sill),
        "head": b.mm(800.0),
    }
    assert b.codes(check(b.scenario(windows=[window]), b.layout())) == found


@pytest.mark.parametrize(("offset", "found"), [(500.0, False), (500.02, True)])
def test_a_fixture_beside_a_switch_is_fine(offset: float, found: bool) -> None:
    """Only overlapping offsets hide a thing; the cabinet begins at 1000 (F10)."""
    things = [_on_north("switch", 500.0, 600.0, offset)]
    codes = b.codes(check(b.scenario(obstructions=things), b.layout()))
    assert ("hides-switch" in codes) is found


@pytest.mark.parametrize("kind", ["panelboard", "thermostat", "switch", "radiator"])
@pytest.mark.parametrize(("bottom", "found"), [(762.0, False), (761.0, True)])
def test_what_must_stay_open_is_not_covered(kind: str, bottom: float, found: bool) -> None:
    """Panelboards, thermostats, switches and radiators stay free (F10)."""
    things = [_on_north(kind, bottom, 800.0, offset=600.0)]
    codes = b.codes(check(b.scenario(obstructions=things), b.layout()))
    assert (f"hides-{kind}" in codes) is found


@pytest.mark.parametrize("kind", ["outlet", "other"])
def test_outlets_behind_fixtures_are_advice(kind: str) -> None:
    """An outlet behind a cabinet is pointed out, no more (F10)."""
    things = [_on_north(kind, 300.0, 400.0, offset=600.0)]
    findings = check(b.scenario(obstructions=things), b.layout())
    assert b.codes(findings) == []
    assert f"hides-{kind}" in [f.code for f in findings]


def test_no_fixture_before_a_door() -> None:
    """A door starts at the floor, so any height hides it (F10)."""
    door = {**b.SHOP["doors"][0], "id": "side", "wall": "N", "offset": b.mm(1500.0), "use": "staff"}
    codes = b.codes(check(b.scenario(doors=[b.SHOP["doors"][0], door]), b.layout()))
    assert codes.count("hides-door") == 2


def test_a_fixture_past_the_end_of_its_wall_is_found() -> None:
    """The whole width lies within the wall (F10)."""
    layout = b.moved(b.layout(), "F3", y_mm=4801.0, offset_mm=-1.0)
    codes = b.codes(check(b.scenario(), layout))
    assert codes[:2] == ["outside-room", "beyond-wall"]
