"""The plan as something to take hold of: what it is given, and what comes back from it."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping
from functools import lru_cache
from importlib import resources
from typing import Any

import streamlit as st

from shopfit import gathering, wording
from shopfit.geometry.openings import door_leaves
from shopfit.geometry.shell import ShellPlan, survey
from shopfit.model.fixtures import Fixture
from shopfit.model.layout import Layout, Placement
from shopfit.model.openings import Door
from shopfit.model.scenario import Scenario
from shopfit.trying import Glance
from shopfit.ui import session
from shopfit.units import INCH_MM, format_length

HTML = '<div class="floor"></div><p class="said" aria-live="polite"></p><p class="keys"></p>'
KEYS = (
    "Drag a fixture, or reach it with Tab: arrow keys move it (with Shift by a hair), R turns it, "
    "P pins it, Delete takes it out, Escape puts it back. Shift while dragging leaves the step."
)
KEY = "floor"
# What changes while something is held.
TOLD = ("findings", "totals", "clear")
CLEAR = "Nothing stands in the way: the values checked are met."
CLEAR_HERE = "Nothing is in its way here. Ways through the shop are measured when it rests."
GRAVE = ("violation", "barrier to review")


@lru_cache(maxsize=1)
def _component() -> Callable[..., Any]:
    own = resources.files("shopfit.ui.trying")
    return st.components.v2.component(
        "shopfit_floor",
        html=HTML,
        css=own.joinpath("floor.css").read_text("utf-8"),
        js=own.joinpath("floor.js").read_text("utf-8"),
    )


def show(
    scenario: Scenario,
    layout: Layout,
    glance: Glance,
    puts: int,
    locked: bool,
    answers: int,
    **hooks: Any,
) -> Any:
    """Show the floor, and give what was done on it.

    Parameters
    ----------
    scenario, layout, glance
        What stands, and what was found of it.
    puts
        How often something was put down, so that it is drawn where it came to stand.
    locked
        Whether nothing may be moved.
    answers
        The number of the question that this answers; 0 where nothing is in the hand.
    hooks
        What is called when something is put, pinned, removed or tried.
    """
    data = floor_data(scenario, layout, glance)
    return _component()(
        data={
            **data,
            "version": version_of(data, puts),
            "locked": locked,
            "answers": answers,
        },
        key=session.own(KEY),
        default={"trial": None},
        **hooks,
    )


def version_of(data: Mapping[str, Any], puts: int) -> str:
    """Give what changes whenever anything but the findings and the totals does."""
    rest = {name: value for name, value in data.items() if name not in TOLD}
    return f"{puts} {hashlib.sha256(json.dumps(rest).encode('utf-8')).hexdigest()[:16]}"


def floor_data(scenario: Scenario, layout: Layout, glance: Glance) -> dict[str, Any]:
    """Give everything that is drawn on the floor, mm in the shop's frame, and words."""
    shell, shop = survey(scenario.shop), scenario.shop
    doors = [_door(door, shell) for door in shop.doors if _known(door, shell)]
    west, south, east, north = _bounds(shell, doors)
    imperial = shop.units in ("ft-in", "in")
    totals = f"{glance.facings:,} facings, {wording.money(glance.cost, shop.currency)}."
    return {
        "bounds": [west, south, east, north],
        "origin": list(shell.floor.bounds[:2]),
        "reach": 150.0,
        "step": INCH_MM if imperial else 20.0,
        "fine": INCH_MM / 16 if imperial else 1.0,
        "aisle": scenario.brief.aisle,
        "rooms": [_ring(room.exterior.coords) for room in shell.rooms.values()],
        "columns": [_ring(column.exterior.coords) for column in shell.columns.values()],
        "zones": [{"id": k, "points": _ring(z.exterior.coords)} for k, z in shell.zones.items()],
        "walls": _walls(scenario, shell),
        "doors": doors,
        "things": [_thing(scenario, layout, each) for each in layout.placements],
        "findings": _found(glance),
        "totals": totals,
        "clear": CLEAR if glance.ways else CLEAR_HERE,
        "label": f"Floor of {shop.name}, with {len(layout.placements)} fixtures to move",
        "keys": KEYS,
    }


def _bounds(shell: ShellPlan, doors: list[dict[str, Any]]) -> tuple[float, float, float, float]:
    """Give what has to be seen: the floor, and leaves that swing out over its edge."""
    west, south, east, north = shell.floor.bounds
    points = [point for door in doors for leaf in door["leaves"] for point in leaf]
    across, up = [point[0] for point in points], [point[1] for point in points]
    return min([west, *across]), min([south, *up]), max([east, *across]), max([north, *up])


def _ring(coords: Any) -> list[list[float]]:
    return [[round(float(x), 2), round(float(y), 2)] for x, y in coords]


def _walls(scenario: Scenario, shell: ShellPlan) -> list[dict[str, Any]]:
    studs = scenario.shop.studs
    found = []
    for wall in shell.walls:
        count = int((wall.length - studs.first) / studs.spacing) + 1
        found.append(
            {
                "id": wall.id,
                "x": wall.start[0],
                "y": wall.start[1],
                "ux": wall.along[0],
                "uy": wall.along[1],
                "vx": wall.inward[0],
                "vy": wall.inward[1],
                "length": wall.length,
                "angle": wall.angle_deg,
                "fixtures": wall.fixtures,
                "studs": [round(studs.first + k * studs.spacing, 2) for k in range(max(count, 0))],
            }
        )
    return found


def _known(door: Door, shell: ShellPlan) -> bool:
    return any(wall.id == door.wall for wall in shell.walls)


def _door(door: Door, shell: ShellPlan) -> dict[str, Any]:
    wall = shell.wall(door.wall)
    left, right = door.offset, door.offset + door.width
    leaves = []
    if door.swing in ("in", "out"):
        turned = 1.0 if door.swing == "in" else -1.0
        for hinge, edge in door_leaves(door):
            tip = wall.point(hinge, turned * abs(edge - hinge))
            leaves.append([list(wall.point(hinge)), list(wall.point(edge)), list(tip)])
    return {
        "id": door.id,
        "opening": [list(wall.point(left)), list(wall.point(right))],
        "leaves": leaves,
        "at": list(wall.point((left + right) / 2)),
        "out": [-wall.inward[0], -wall.inward[1]],
    }


def _thing(scenario: Scenario, layout: Layout, placement: Placement) -> dict[str, Any]:
    fixture, style = scenario.catalogue.fixture(placement.fixture), scenario.shop.units
    stands = "away from walls"
    if placement.wall is not None and placement.offset_mm is not None:
        along = format_length(placement.offset_mm, style)
        stands = f"on wall {placement.wall}, {along} from its left end"
    return {
        "tag": placement.id,
        "name": f"{fixture.kind.replace('-', ' ')} {placement.id} ({fixture.name or fixture.id})",
        "stands": stands,
        "shows": _shows(layout, placement, fixture),
        "x": placement.x_mm,
        "y": placement.y_mm,
        "angle": placement.angle_deg,
        "width": fixture.width,
        "depth": fixture.depth,
        "wall": "wall" in fixture.stands,
        "on": placement.wall,
        "offset": placement.offset_mm or 0.0,
        "pinned": placement.pinned,
    }


def _shows(layout: Layout, placement: Placement, fixture: Fixture) -> str:
    blocks = [block for block in layout.blocks if block.host == placement.id]
    facings = sum(slot.facings for b in blocks for row in b.rows for slot in row.slots)
    names = ", ".join(dict.fromkeys(block.category for block in blocks))
    return f"{facings} facings of {names}" if names else f"a {fixture.kind.replace('-', ' ')}"


def _found(glance: Glance) -> list[dict[str, Any]]:
    """Give what stands in the way, by the numbers that findings have everywhere."""
    return [
        {
            "number": str(number),
            "text": f"{finding.message} {finding.mend}".strip(),
            "at": list(finding.at_mm) if finding.at_mm else None,
            "lines": [[list(point) for point in line] for line in finding.drawn_mm],
        }
        for number, finding in enumerate(gathering.in_order(glance.findings), start=1)
        if finding.severity in GRAVE
    ]
