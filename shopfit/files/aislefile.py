"""Reads what is asked of aisles: depths typed, or fixtures and rooms of a scenario."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError

from shopfit.errors import Fault, InputFaults
from shopfit.files.rampfile import COMMAND_LINE
from shopfit.files.wording import nearest, refusals
from shopfit.geometry.shell import survey
from shopfit.model.aisles import AisleTask
from shopfit.model.scenario import Scenario
from shopfit.numerals import UnitError
from shopfit.units import parse_length

DEPTHS = ("left", "right", "island")


def read_aisle_task(
    typed: Mapping[str, Any], scenario: Scenario | None = None, back_to_back: bool = False
) -> AisleTask:
    """Read what is asked of aisles.

    Parameters
    ----------
    typed
        Values by field; ``left``, ``right`` and ``island`` are depths, or ids of fixtures of the
        scenario.
    scenario
        Where fixtures, the aisle of the brief, units, rulebook and, where the room is a rectangle,
        its width come from.
    back_to_back
        Whether an island is two such fixtures back to back.

    Raises
    ------
    InputFaults
        With every fault.
    """
    data: dict[str, Any] = {}
    faults: list[Fault] = []
    if scenario is not None:
        shop = scenario.shop
        data |= {"units": shop.units, "rulebook": shop.rulebook}
        data["aisle"] = f"{shop.brief.aisle:.12g} mm"
        width = room_width(scenario)
        if width is not None:
            data["room"] = f"{width:.12g} mm"
    for field, value in typed.items():
        if value is not None:
            data[field] = _depth(field, value, scenario, faults) if field in DEPTHS else value
    told = {fault.where for fault in faults}
    task: AisleTask | None = None
    try:
        task = AisleTask.model_validate(data)
    except ValidationError as error:
        for each in refusals(error, AisleTask, data):
            where = f"--{str(each.loc[0]).replace('_', '-')}"
            if where not in told:
                faults.append(Fault(COMMAND_LINE, where, each.given, each.allowed, each.mend))
    if faults or task is None:
        raise InputFaults(faults)
    if back_to_back and task.island is not None:
        task = task.model_copy(update={"island": 2 * task.island})
    return task


def room_width(scenario: Scenario) -> float | None:
    """Give the lesser side of the one room of a shop if it is a rectangle, mm, or none."""
    floor = survey(scenario.shop).floor
    around = floor.minimum_rotated_rectangle
    if around.geom_type != "Polygon" or around.area - floor.area > 1.0:
        return None
    (ax, ay), (bx, by), (cx, cy) = list(around.exterior.coords)[:3]
    first, second = (
        ((ax - bx) ** 2 + (ay - by) ** 2) ** 0.5,
        ((bx - cx) ** 2 + (by - cy) ** 2) ** 0.5,
    )
    return float(min(first, second))


def _depth(field: str, value: Any, scenario: Scenario | None, faults: list[Fault]) -> Any:
    """Give the depth of a fixture by its id, or what was typed if it is a length."""
    known = {} if scenario is None else {each.id: each for each in scenario.catalogue.fixtures}
    if value in known:
        return f"{known[value].depth:.12g} mm"
    try:
        parse_length(value)
    except UnitError:
        allowed = "a depth with its unit, such as 24 in or 610 mm"
        mend = "Write a number and its unit, or name the scenario with --scenario."
        if known:
            allowed += ", or the id of a fixture of the scenario"
            mend = nearest(str(value), known, "Write a number and its unit.")
        faults.append(Fault(COMMAND_LINE, f"--{field}", f"'{value}'", allowed, mend))
        return "1 mm"
    return value
