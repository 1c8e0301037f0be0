"""Other places for a panelboard: where it fits, and which come first."""

from __future__ import annotations

from typing import Any

import pytest
from solver import build as b

from shopfit.limits.panelplaces import other_places
from shopfit.model.layout import Claims, Layout, Placement, Run
from shopfit.model.scenario import Scenario

WIDE = 762.0


def shop(**changes: Any) -> Scenario:
    """Give a room of 3 m by 3 m with a panelboard on its west wall and a door in its south wall."""
    panel = {"id": "panel", "kind": "panelboard", "wall": "W", "offset": b.mm(1200.0)}
    panel |= {"width": b.mm(400.0), "bottom": b.mm(1200.0), "top": b.mm(1900.0)}
    return b.scenario(obstructions=[panel | changes.pop("panel", {})], units="mm", **changes)


def layout(*placements: Placement, runs: tuple[Run, ...] = ()) -> Layout:
    """Give a layout of fixtures and runs alone."""
    claims = Claims(facings=0, units=0, value=0.0, cost=0.0)
    return Layout(scenario="nook", placements=placements, runs=runs, claims=claims)


def cabinet(x_mm: float, pinned: bool = False) -> Placement:
    """Give the cabinet, 1 m by 500 mm, against the north wall."""
    return Placement(id="F1", fixture="cab", x_mm=x_mm, y_mm=3000.0, angle_deg=0.0, pinned=pinned)


def places(given: Scenario, what: Layout) -> list[tuple[str, float]]:
    """Give walls and offsets of the places found."""
    (panel,) = given.shop.obstructions
    return [(each.wall, round(each.offset, 1)) for each in other_places(given, what, panel)]


def post(name: str, left: float, bottom: float, right: float, top: float) -> dict[str, Any]:
    """Give a column by its corners."""
    at = b.mm((left + right) / 2, (bottom + top) / 2)
    return {"id": name, "at": at, "size": b.mm(right - left, top - bottom)}


# What fills the west wall beside the panelboard, and the south wall beside the door.
WEST = [post("sw", 0.0, 0.0, 300.0, 950.0), post("nw", 0.0, 1850.0, 300.0, 3000.0)]
SOUTH = [post("s1", 300.0, 0.0, 1040.0, 300.0), post("s2", 1960.0, 0.0, 2800.0, 300.0)]


@pytest.mark.parametrize(("gap", "fits"), [(WIDE - 0.5, False), (WIDE, True), (WIDE + 0.5, True)])
def test_its_clear_floor_has_to_fit(gap: float, fits: bool) -> None:
    """Between two columns on the only free wall 30 in (762 mm) are wanted."""
    columns = [
        *WEST,
        *SOUTH,
        post("a", 300.0, 2800.0, 1200.0, 3000.0),
        post("b", 1200.0 + gap, 2800.0, 3000.0, 3000.0),
        post("c", 2800.0, 0.0, 3000.0, 2800.0),
    ]
    found = places(shop(columns=columns), layout())
    assert found == ([("N", round(1200.0 + (WIDE - 400.0) / 2, 1))] if fits else [])


def test_places_with_nothing_in_the_way_come_first() -> None:
    """Beside a cabinet nothing of the layout has to go, nor where no slat-wall hangs."""
    run = Run(
        id="R1",
        wall="S",
        from_mm=0.0,
        to_mm=3000.0,
        bottom_mm=400.0,
        top_mm=2000.0,
        sheet="sheet",
        first_groove_mm=450.0,
    )
    found = places(shop(columns=WEST), layout(cabinet(300.0), runs=(run,)))
    assert found[0] == ("N", 1300.0 + (WIDE - 400.0) / 2)
    assert found[1][0] == "E"


def test_a_pinned_fixture_is_left_where_it_is() -> None:
    """No place is found in the floor of what the user pinned; without the pin there is one."""
    walls = [
        *WEST,
        *SOUTH,
        post("c", 2800.0, 0.0, 3000.0, 3000.0),
        post("f", 300.0, 2700.0, 900.0, 3000.0),
        post("g", 1900.0, 2700.0, 2800.0, 3000.0),
    ]
    given = shop(columns=walls)
    assert places(given, layout(cabinet(900.0, pinned=True))) == []
    assert [wall for wall, _ in places(given, layout(cabinet(900.0)))] == ["N"]


def test_it_is_never_before_or_behind_a_door() -> None:
    """Nothing is on the stretch of the door, and its clear floor keeps off what a leaf sweeps."""
    door = {**b.shop()["doors"][0], "swing": "in"}
    found = places(shop(doors=[door], columns=[post("n", 0.0, 2700.0, 3000.0, 3000.0)]), layout())
    assert found
    for wall, offset in found:
        left, right = offset - (WIDE - 400.0) / 2, offset + (WIDE + 400.0) / 2
        assert wall in ("S", "E", "W")
        assert wall != "S" or right <= 1050.0 or left >= 1950.0


@pytest.mark.parametrize(("volts", "kept"), [(150.0, "earthed"), (151.0, None)])
def test_what_is_opposite_is_not_known_elsewhere(volts: float, kept: str | None) -> None:
    """Over 150 V the deepest space is kept, since nobody said what is opposite there."""
    given = shop(panel={"volts": volts, "opposite": "earthed"})
    (panel,) = given.shop.obstructions
    found = other_places(given, layout(), panel)
    assert {each.opposite for each in found} == {kept}


@pytest.mark.parametrize(("depth", "fits"), [(101.0, True), (101.6, True), (110.0, False)])
def test_one_that_stands_out_far_stays_where_only_staff_are(depth: float, fits: bool) -> None:
    """Over 4 in (101.6 mm) a cane does not find it, and nothing may stand below it."""
    out = {"depth": b.mm(depth)}
    assert bool(places(shop(panel=out), layout())) == fits
    zone = {"id": "back", "kind": "staff", "corners": b.box(0.0, 2000.0, 3000.0, 3000.0)}
    walls = [wall for wall, _ in places(shop(panel=out, zones=[zone]), layout())]
    assert fits or (walls and set(walls) <= {"W", "N", "E"})
