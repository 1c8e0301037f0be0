"""Ramps that turn are drawn where they were found."""

from __future__ import annotations

from typing import Any

import pytest
import yaml
from shapely import Polygon

from shopfit.drawing import planshell
from shopfit.drawing.approachtold import Told
from shopfit.drawing.desk import Desk
from shopfit.files.ramplists import approach_yaml
from shopfit.geometry.doorframe import frame_of
from shopfit.geometry.openings import approached_door
from shopfit.model.approach import Approach
from shopfit.model.rampplan import Arrangement
from shopfit.model.rampsite import RampTask
from shopfit.model.scenario import Scenario
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
