"""Writes what a ramp is made of as a list, and as the lines that a scenario takes."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

import yaml

from shopfit.files.columns import PlainColumn
from shopfit.files.tables import plain_csv
from shopfit.geometry.doorframe import frame_of
from shopfit.geometry.landing import Telling, telling
from shopfit.model.rampplan import Arrangement, Part, StepsPlan
from shopfit.model.rampsite import RampTask
from shopfit.units import FOOT_MM, INCH_MM, LengthStyle, format_length

# Ways in the frame of the door, by the axis and the sign that they are found by.
_WAYS = (((1.0, 0.0), 0, 1), ((-1.0, 0.0), 0, -1), ((0.0, 1.0), 1, 1), ((0.0, -1.0), 1, -1))
_FINEST = 64  # of an inch; what a shop's file may hold without rounding


def quantities_csv(chosen: Sequence[Arrangement], task: RampTask) -> str:
    """Write the quantities of arrangements as comma-separated text (RFC 4180).

    Parameters
    ----------
    chosen, task
        Which, and what was asked.
    """
    rows = [(one.id, row) for one in chosen for row in one.quantities]
    return plain_csv(_columns(task), rows)


def _columns(task: RampTask) -> list[PlainColumn]:
    imperial = task.units in ("ft-in", "in")
    area = 1 / (FOOT_MM / 1000) ** 2 if imperial else 1.0

    def said(length: float | None) -> str:
        return "" if length is None else format_length(length, task.units)

    columns = [
        PlainColumn("ramp", lambda pair: pair[0], "text"),
        PlainColumn("item", lambda pair: pair[1].item, "text"),
        PlainColumn("part", lambda pair: pair[1].part, "text"),
        PlainColumn("count", lambda pair: pair[1].count, "count"),
        PlainColumn("length", lambda pair: said(pair[1].length_mm), "text"),
        PlainColumn("length_mm", lambda pair: pair[1].length_mm, "length"),
        PlainColumn("width", lambda pair: said(pair[1].width_mm), "text"),
        PlainColumn("width_mm", lambda pair: pair[1].width_mm, "length"),
        PlainColumn(
            "area_sq_ft" if imperial else "area_m2",
            lambda pair: None if pair[1].area_m2 is None else pair[1].area_m2 * area,
            "length",
        ),
    ]
    if task.prices is not None:
        header = f"cost_{task.currency}"
        columns.append(PlainColumn(header, lambda pair: pair[1].cost, "money"))
    return columns


def approach_yaml(one: Arrangement, task: RampTask, door: str | None = None) -> str:
    """Write an arrangement as the ``approach`` of a scenario's shop.yaml.

    Parameters
    ----------
    one, task
        The arrangement, and what was asked.
    door
        Name of the door in the scenario; a line to be filled in if left out.
    """
    head = [
        f"# {one.id}: {one.form} ramp, {one.way}; slope 1:{one.ratio:g}.",
        "# In place of the approach of shop.yaml; local code and a licensed person decide.",
        "# leaves, left: as one comes out of the door and walks down.",
    ]
    if door is None:
        head.append("# Add door: with the name of the door that it leads to.")
    body = yaml.safe_dump(
        {"approach": _approach(one, task, door)},
        sort_keys=False,
        allow_unicode=True,
        width=140,
        default_flow_style=None,
    )
    return "\n".join([*head, body])


def _approach(one: Arrangement, task: RampTask, door: str | None) -> dict[str, Any]:
    say = task.units
    data: dict[str, Any] = {"floor_above_grade": exact(task.rise, say)}
    if door is not None:
        data["door"] = door
    told = _told(one, task)
    runs = [index for index, part in enumerate(one.parts) if part.kind == "run"]
    data["ramps"] = [_ramp(one, index, each, say) for index, each in zip(runs, told, strict=False)]
    if one.steps is not None:
        data["steps"] = _steps(one, one.steps, told[-1], say)
    if one.rails:
        data["handrail"] = _handrail(one, say)
    return data


def _told(one: Arrangement, task: RampTask) -> list[Telling]:
    """Give how to tell of the runs, and at the end of the steps."""
    frame = frame_of(task)
    parts = []
    for part in one.parts:
        places = [frame.from_plan(corner) for corner in part.clear]
        us, vs = [u for u, _ in places], [v for _, v in places]
        for way, axis, sign in _WAYS:
            if abs((part.heading_deg - frame.heading(axis, sign) + 180) % 360 - 180) < 1:
                parts.append((part.kind, (min(us), max(us), min(vs), max(vs)), way))
    return telling(parts, task.door.width)


def _ramp(one: Arrangement, index: int, told: Telling, say: LengthStyle) -> dict[str, Any]:
    part = one.parts[index]
    ramp: dict[str, Any] = {
        "id": part.id,
        "rise": exact(part.top_mm - part.bottom_mm, say),
        "run": exact(part.length_mm, say),
        "width": exact(part.width_mm, say),
        "handrails": one.handrails,
        "edge_protection": True,
        "leaves": told.leaves,
        "set_off": _from_nought(told.set_off, say),
        "top": _landing(one.parts[index - 1], told.top, say),
        "bottom": _landing(one.parts[index + 1], told.bottom or 0.0, say),
    }
    if one.existing_site:
        ramp["existing_site"] = True
    return ramp


def _steps(one: Arrangement, steps: StepsPlan, told: Telling, say: LengthStyle) -> dict[str, Any]:
    flight = next(part for part in one.parts if part.kind == "steps")
    level = flight.length_mm - (steps.count - 1) * steps.tread_mm
    return {
        "count": steps.count,
        "riser": exact(steps.riser_mm, say),
        "tread": exact(steps.tread_mm, say),
        "width": exact(steps.width_mm, say),
        "handrails": True,
        "leaves": told.leaves,
        "set_off": _from_nought(told.set_off, say),
        "level": _from_nought(level, say),
    }


def _handrail(one: Arrangement, units: LengthStyle) -> dict[str, str]:
    """Give how far handrails run on; how high and how thick they are is for the builder to add."""
    found = {}
    if one.handrails:
        found["beyond_ramp"] = exact(one.rails[0].extension_mm / 2, units)
    if one.steps is not None:
        (x0, y0, _), (x1, y1, _) = one.rails[-1].points[:2]
        found["beyond_top"] = exact(((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5, units)
        found["beyond_bottom"] = exact(one.steps.tread_mm, units)
    return found


def _landing(part: Part, left: float, units: LengthStyle) -> dict[str, str]:
    return {
        "length": exact(part.length_mm, units),
        "width": exact(part.width_mm, units),
        "left": _from_nought(left, units),
    }


def _from_nought(length_mm: float, units: LengthStyle) -> str:
    """Write a length that rounding may have left a hair below nought."""
    return exact(max(0.0, length_mm), units)


def exact(length_mm: float, units: LengthStyle) -> str:
    """Write a length so that reading it gives the same again, within a ten-thousandth of a mm.

    Parameters
    ----------
    length_mm
        mm.
    units
        How the shop writes lengths: inches where they are whole sixty-fourths, else mm.
    """
    if units in ("ft-in", "in"):
        parts = length_mm / INCH_MM * _FINEST
        if abs(parts - round(parts)) * INCH_MM / _FINEST < 1e-4:
            whole, rest = divmod(Fraction(round(parts), _FINEST), 1)
            fraction = f" {rest}" if whole and rest else f"{rest}" if rest else ""
            return f"{whole or ''}{fraction}".strip() + " in" if whole or rest else "0 in"
    return f"{round(length_mm, 4):.10g} mm"
