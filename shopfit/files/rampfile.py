"""Reads the question of a ramp: a file, what is typed beside it, and what a scenario knows."""

from __future__ import annotations

import copy
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from pydantic import ValidationError
from shapely import Point, Polygon

from shopfit.errors import Fault, InputFaults
from shopfit.files.documents import Document, Loc, read_yaml
from shopfit.files.wording import refusals, shortened
from shopfit.model.rampsite import RampTask
from shopfit.model.scenario import Shop
from shopfit.standards import Rulebook
from shopfit.standards.ramps import is_ramp
from shopfit.units import FOOT_MM, format_length

COMMAND_LINE = "command line"
_NEAR = FOOT_MM  # a door further from its ground is a slip of the pen
_MIRRORED = {"left": "right", "right": "left"}

Typed = Mapping[Loc, tuple[str, Any]]


def read_ramp_task(path: Path | None, typed: Typed, shop: Shop | None = None) -> RampTask:
    """Read what is asked of a ramp.

    Parameters
    ----------
    path
        A YAML file, or none.
    typed
        What stands beside it on the command line: by its path in the file, the name of the option
        and the value. It counts before the file.
    shop
        A shop whose door, floor height, rulebook and units count where nothing else is said.

    Raises
    ------
    InputFaults
        With every fault of the file and of what was typed.
    """
    document, faults = (Document(COMMAND_LINE, {}), []) if path is None else read_yaml(path)
    if document.data is None:
        raise InputFaults(faults)
    data = of_shop(shop) if shop is not None else {}
    _lay_over(data, document.data)
    for loc, (_, value) in typed.items():
        _put(data, loc, value)
    task: RampTask | None = None
    try:
        task = RampTask.model_validate(data)
    except ValidationError as error:
        told = Document(document.file, data, document.lines)
        for each in refusals(error, RampTask, data):
            where = _where(told, each.loc, typed)
            faults.append(Fault(*where, each.given, each.allowed, each.mend))
    if faults or task is None:
        raise InputFaults(document.placed(fault) for fault in faults)
    return task


def judge_ramp_task(task: RampTask, book: Rulebook, file: str, typed: Typed) -> None:
    """Refuse what no ramp can be made of.

    Parameters
    ----------
    task, book
        What is asked, and whose values.
    file, typed
        Where it was read from.

    Raises
    ------
    InputFaults
        With every fault.
    """
    named = Document(file, {})
    faults = [
        Fault(*_where(named, loc, typed), given, allowed, mend)
        for loc, given, allowed, mend in (*_of_limits(task, book), *_of_ground(task))
    ]
    if faults:
        raise InputFaults(faults)


def of_shop(shop: Shop) -> dict[str, Any]:
    """Give what a shop says of its way in, as a ramp file says it.

    Hinges of a shop are named as seen from inside; those of a ramp as seen from outside.
    """
    approach = shop.approach
    data: dict[str, Any] = {
        "name": shop.name[:60],
        "units": shop.units,
        "currency": shop.currency,
        "rulebook": shop.rulebook,
    }
    if approach.floor_above_grade > 0:
        data["rise"] = f"{approach.floor_above_grade:.12g} mm"
    named = [door for door in shop.doors if door.id == approach.door]
    for door in (named or [door for door in shop.doors if door.use == "entrance"])[:1]:
        data["door"] = {
            "width": f"{door.width:.12g} mm",
            "swing": door.swing,
            "hinge": _MIRRORED[door.hinge],
            "leaves": door.leaves,
            "closer": door.closer,
            "latch": door.latch,
        }
        if door.leaf_width is not None:
            data["door"]["leaf_width"] = f"{door.leaf_width:.12g} mm"
    return data


def _lay_over(data: dict[str, Any], more: Mapping[str, Any]) -> None:
    for key, value in copy.deepcopy(dict(more)).items():
        if isinstance(value, dict) and isinstance(data.get(key), dict):
            _lay_over(data[key], value)
        else:
            data[key] = value


def _put(data: dict[str, Any], loc: Loc, value: Any) -> None:
    *path, last = (str(step) for step in loc)
    for step in path:
        if not isinstance(data.get(step), dict):
            data[step] = {}
        data = data[step]
    data[last] = value


def _where(document: Document, loc: Loc, typed: Typed) -> tuple[str, str]:
    """Give the file and the place in it, or the option that said it."""
    for length in range(len(loc), 0, -1):
        if loc[:length] in typed:
            return COMMAND_LINE, typed[loc[:length]][0]
    if loc == ("rise",) and document.file == COMMAND_LINE:
        return COMMAND_LINE, "--rise"
    return document.file, document.name(loc)


Refused = tuple[Loc, str, str, str]


def _of_limits(task: RampTask, book: Rulebook) -> Iterator[Refused]:
    width, least = task.limits.width, book.requirement("ramp-width")
    if width is not None and not least.holds(width):
        allowed = f"at least {least.written} ({least.clause})"
        yield ("limits", "width"), _said(task, width), allowed, "Make it wider, or leave it out."
    usual = 1 / book.slope("ramp-slope")
    steepest = usual
    if task.existing_site:
        steepest = 1 / book.slope("ramp-slope-steepest")
    for ratio in task.limits.slopes:
        if ratio < steepest - 1e-9 or (ratio >= usual and not is_ramp(book, 1 / ratio)):
            allowed = f"slopes from 1:{steepest:g} on that are steeper than a walk"
            mend = "Take it out; list the numbers behind 1:, such as [12, 15]."
            yield ("limits", "slopes"), f"'{ratio:g}'", allowed, mend


def _of_ground(task: RampTask) -> Iterator[Refused]:
    ground, door = task.ground, task.door
    for index, corners in enumerate(ground.keep_free):
        if not Polygon(corners).is_valid:
            yield _crossing(("ground", "keep_free", index))
    if not ground.corners:
        along = ground.along or 0.0
        end = (door.offset or 0.0) + door.width
        if end > along:
            allowed = f"a door within the {_said(task, along)} along the wall"
            where = ("door", "offset" if door.offset is not None else "width")
            yield where, f"its far jamb at {_said(task, end)}", allowed, "Correct one of them."
        return
    shape = Polygon(ground.corners)
    if not shape.is_valid:
        yield _crossing(("ground", "corners"))
    elif door.middle is not None:
        far = shape.distance(Point(door.middle))
        if far > _NEAR:
            given = f"a door {_said(task, far)} away from the ground"
            allowed = f"a door at the ground, within {_said(task, _NEAR)}"
            yield ("door", "middle"), given, allowed, "Correct the middle, or the corners."


def _crossing(loc: Loc) -> Refused:
    return (
        loc,
        "an outline that crosses itself",
        "corners in order round the ground",
        "Walk round it once and list the corners as you pass them.",
    )


def _said(task: RampTask, length: float) -> str:
    return shortened(format_length(length, task.units)).strip("'")
