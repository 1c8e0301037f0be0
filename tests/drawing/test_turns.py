"""Ramps that turn are drawn where they were found."""

from __future__ import annotations

import math
from typing import Any

import pytest
import yaml
from shapely import LineString, Polygon

from shopfit.access.answer import ramps
from shopfit.checks import measured_routes
from shopfit.drawing import draw, planshell
from shopfit.drawing.approachplan import plan_of_approach
from shopfit.drawing.approachtold import Told
from shopfit.drawing.desk import Desk
from shopfit.drawing.scene import Shape
from shopfit.files.ramplists import approach_yaml
from shopfit.geometry.doorframe import frame_of
from shopfit.geometry.openings import approached_door
from shopfit.model.approach import Approach
from shopfit.model.rampplan import Arrangement
from shopfit.model.rampsite import RampTask
from shopfit.model.scenario import Scenario
from shopfit.standards import load
from tests.access import build as a
from tests.checks import build as b

FORMS = ("straight", "L", "switchback", "U", "Z", "mixed")
HAIR = 100.0  # mm2: lengths are written to a ten-thousandth of a mm


def asked() -> RampTask:
    """Give what all forms were found for."""
    return a.task("30 in", "60 ft", "42 ft")


def shop_with(told: dict[str, Any]) -> Scenario:
    """Give the small shop with a way in."""
    scenario = b.scenario()
    shop = scenario.shop.model_copy(update={"approach": Approach.model_validate(told)})
    return scenario.model_copy(update={"shop": shop})


def pasted(one: Arrangement, task: RampTask) -> Scenario:
    """Give the small shop with an arrangement as its way in, its door as wide as asked."""
    scenario = shop_with(yaml.safe_load(approach_yaml(one, task, "front"))["approach"])
    doors = tuple(
        d.model_copy(update={"width": task.door.width}) if d.id == "front" else d
        for d in scenario.shop.doors
    )
    return scenario.model_copy(update={"shop": scenario.shop.model_copy(update={"doors": doors})})


def found(one: Arrangement, task: RampTask) -> dict[str, Polygon]:
    """Give the ground of every part in the frame of the door, but for the ground below steps."""
    frame = frame_of(task)
    return {
        part.id: Polygon([frame.from_plan(corner) for corner in part.clear])
        for part in one.parts
        if part.kind != "steps foot"
    }


def differs(first: list[Polygon], second: list[Polygon]) -> float:
    """Give the ground that only one of two sets of parts covers, part by part, mm2."""
    assert len(first) == len(second)
    return max(x.symmetric_difference(y).area for x, y in zip(first, second, strict=True))


@pytest.mark.parametrize("form", FORMS)
def test_every_form_is_drawn_where_it_was_found(form: str) -> None:
    """Written into shop.yaml and drawn, every part covers the ground it was found on."""
    task = asked()
    some = [one for one in a.all_kinds() if one.form == form]
    assert some
    for one in some:
        desk = Desk.of(pasted(one, task), b.layout())
        told = Told.of(desk)
        assert told is not None
        drawn = [Polygon([(x, -y) for x, y in part.clear]) for part in told.parts]
        ground = list(found(one, task).values())
        assert differs(drawn, ground) < HAIR, one.way
        door = approached_door(desk.shop)
        assert door is not None
        wall = desk.shell.wall(door.wall)
        middle = door.offset + door.width / 2
        on_plan = [
            Polygon([wall.point(middle - u, -door.depth - v) for u, v in shape.exterior.coords])
            for shape in ground
        ]
        parts = planshell.approach_parts(desk.shop, desk.shell)
        assert differs([shape for _, _, shape, _ in parts], on_plan) < HAIR, one.way


def test_walls_that_stand_askew_are_told_as_well() -> None:
    """Ground of any outline, before a wall at 30 degrees, with hinges on the right."""
    turn = math.radians(30.0)
    out, along = (math.cos(turn), math.sin(turn)), (-math.sin(turn), math.cos(turn))
    corners = [
        [f"{u * along[k] + v * out[k]} mm" for k in (0, 1)]
        for u, v in ((-4000, 0), (7000, 0), (7000, 5000), (-4000, 5000))
    ]
    task = RampTask.model_validate(
        {
            "rise": "500 mm",
            "units": "mm",
            "ground": {"corners": corners},
            "door": {"middle": ["0 mm", "0 mm"], "faces": 30, "swing": "out", "hinge": "right"},
            "limits": {"slopes": [12]},
        }
    )
    some = ramps(task, load("us")).arrangements
    assert {one.form for one in some} >= {"switchback", "U"}
    for one in some:
        told = Told.of(Desk.of(pasted(one, task), b.layout()))
        assert told is not None
        drawn = [Polygon([(x, -y) for x, y in part.clear]) for part in told.parts]
        assert differs(drawn, list(found(one, task).values())) < HAIR, one.way


def switchback(**first: Any) -> dict[str, Any]:
    """Give a ramp along the wall that turns back, as far as it is told."""
    wide = {"length": "60 in", "width": "86 in"}
    head = {"length": "84 in", "width": "60 in"}
    run = {"rise": "7 in", "run": "84 in", "width": "40 in", "handrails": True}
    return {
        "floor_above_grade": "14 in",
        "ramps": [
            {"id": "upper", **run, "top": head, "bottom": wide, **first},
            {"id": "lower", **run, "top": wide, "bottom": {"length": "60 in", "width": "40 in"}},
        ],
    }


def words_of(sheet: Any) -> str:
    """Give what is written on a sheet, with breaks of lines gone."""
    return " ".join(text.text for text in sheet.scene.texts())


@pytest.mark.parametrize("told", [False, True])
def test_every_sheet_says_where_turns_are_not_told(told: bool) -> None:
    """Plan, ways, way in and findings say so in the same words, and only where it is so."""
    approach = switchback()
    if told:
        approach["ramps"][1]["leaves"] = "back right"
    scenario, layout = shop_with(approach), b.layout()
    routes = measured_routes(scenario, layout)
    sheets = draw(scenario, layout, (), routes=routes).sheets
    for file in ("plan", "ways", "approach", "findings"):
        words = " ".join(words_of(sheet) for sheet in sheets if sheet.file.startswith(file))
        assert ("urns between runs are not told" in words) is not told, file


def test_a_landing_before_a_run_along_the_wall_lies_along_it() -> None:
    """Its length is along the wall, its width out of it; the run begins at its end."""
    told = Told.of(Desk.of(shop_with(switchback(leaves="left")), b.layout()))
    assert told is not None
    head, run = told.parts[:2]
    (west, _), (east, _), (_, out), _ = head.clear
    assert (east - west, -out) == pytest.approx((84 * 25.4, 60 * 25.4))
    assert run.clear[0] == pytest.approx((east, -20 * 25.4))
    assert (run.heading_deg, head.heading_deg) == (0.0, 0.0)


def test_handrails_end_where_a_ramp_turns() -> None:
    """Level ends are drawn at the door and at the foot, not into the landing of the turn."""
    approach = switchback(leaves="left") | {"handrail": {"beyond_ramp": "12 in"}}
    approach["ramps"][1]["leaves"] = "back right"
    desk = Desk.of(shop_with(approach), b.layout())
    told = Told.of(desk)
    assert told is not None
    scene = plan_of_approach(told, desk, 48)
    lengths = {
        group.tag: LineString(group.items[0].points).length / 25.4
        for group in scene.groups()
        if (group.tag or "").startswith("handrail") and isinstance(group.items[0], Shape)
    }
    assert lengths == pytest.approx({"handrail upper": 96.0, "handrail lower": 96.0})
