"""What a pinned fixture stands in is named, and nothing beside it."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.solver.inway import in_the_way

from . import build as b

ZONE = {"id": "back", "kind": "staff", "corners": b.box(0.0, 2000.0, 3000.0, 3000.0)}
PANEL = {"id": "main", "kind": "panelboard", "wall": "N", "offset": b.mm(1000.0)}
PANEL |= {"width": b.mm(500.0), "bottom": b.mm(1000.0), "top": b.mm(1800.0)}
COLUMN = {"id": "C1", "at": b.mm(1500.0, 1500.0), "size": b.mm(300.0, 300.0)}
CLEAR = {"id": "pram", "corners": b.box(1000.0, 1200.0, 2000.0, 1800.0)}
BARE = [{"id": "W"}, {"id": "N", "fixtures": False}, {"id": "E"}, {"id": "S"}]


def at(x: float, y: float) -> dict[str, Any]:
    return {"fixture": "cab", "at": b.mm(x, y)}


def on(wall: str, offset: float) -> dict[str, Any]:
    return {"fixture": "cab", "wall": wall, "offset": b.mm(offset)}


def bare_room() -> list[dict[str, Any]]:
    (room,) = b.shop()["rooms"]
    return [{**room, "walls": BARE}]


@pytest.mark.parametrize(
    ("keep", "changes", "met"),
    [
        (on("N", 600.0), {}, []),
        (on("N", 600.0), {"zones": [ZONE]}, ["the staff zone 'back'"]),
        (on("N", 600.0), {"rooms": bare_room()}, ["wall N (marked without fixtures)"]),
        (at(1000.0, 800.0), {}, ["the floor kept clear before door door"]),
        (at(1000.0, 2000.0), {"columns": [COLUMN]}, ["column C1"]),
        (at(-100.0, 2900.0), {}, ["a wall of the room"]),
        (
            on("N", 1000.0),
            {"obstructions": [PANEL]},
            ["the floor kept clear before panelboard main"],
        ),
        # What lies in the clear floor before the front is named where the fixture itself is free.
        (at(1000.0, 2400.0), {"columns": [COLUMN]}, ["in the aisle before its front, column C1"]),
    ],
)
def test_what_a_pin_stands_in(keep: dict[str, Any], changes: dict[str, Any], met: list[str]):
    """Staff zone, bare wall, door's floor, column, outside and panelboard are each told."""
    given = b.scenario(pins={"keep": [keep]}, **changes)
    assert in_the_way(given, given.pins.keep[0]) == met


def test_other_pins_and_floor_kept_empty_are_told():
    """Two cabinets half over each other, and one of them over floor that is kept empty."""
    pins = {"keep": [at(100.0, 1800.0), at(600.0, 1800.0)], "clear": [CLEAR]}
    given = b.scenario(pins=pins)
    first, second = (in_the_way(given, keep) for keep in given.pins.keep)
    assert first == ["cab of pin 2", "the floor 'pram' kept empty"]
    assert second == ["cab of pin 1", "the floor 'pram' kept empty"]


@pytest.mark.parametrize(("y", "told"), [(2500.0, False), (2498.0, True), (2600.0, True)])
def test_a_divider_belongs_on_the_edge_of_its_zone(y: float, told: bool):
    """A counter 500 mm deep with its front on the edge at 2000 mm is right, and nowhere else."""
    till = b.fixture("till", kind="counter", stands=["divider"], faces=[])
    keep = {"fixture": "till", "at": b.mm(1000.0, y)}
    given = b.scenario(fixtures=[till], pins={"keep": [keep]}, zones=[ZONE])
    assert bool(in_the_way(given, given.pins.keep[0])) is told
