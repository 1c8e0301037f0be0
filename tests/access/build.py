"""Questions of ramps for the tests, and an independent look at what fits."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise
from typing import Any

from shapely import Polygon, box

from shopfit.access.answer import ramps
from shopfit.model.rampplan import Arrangement, RampAnswer
from shopfit.model.rampsite import RampTask
from shopfit.standards import load
from shopfit.units import INCH_MM

SLACK = 1.0  # mm2 that rounding may cost


def task(rise: str, along: str, out: str, **more: Any) -> RampTask:
    """Give a ramp on a rectangle, without steps unless they are asked for."""
    limits = {"steps": "no", **more.pop("limits", {})}
    return RampTask.model_validate(
        {"rise": rise, "ground": {"along": along, "away": out}, "limits": limits, **more}
    )


def ask(rise: str, along: str, out: str, **more: Any) -> RampAnswer:
    """Give the answer for a ramp on a rectangle."""
    given = task(rise, along, out, **more)
    return ramps(given, load(given.rulebook))


def inches(lengths: Any) -> list[float]:
    """Lengths in inches, to a thousandth."""
    return [round(length / INCH_MM, 3) for length in lengths]


def site(given: RampTask) -> Polygon:
    """Give the ground in the plan, worked out afresh."""
    ground = given.ground
    if ground.corners:
        return Polygon(ground.corners)
    return box(0, -(ground.away or 0), ground.along or 0, 0)


@lru_cache(maxsize=1)
def all_kinds() -> tuple[Arrangement, ...]:
    """Every arrangement of 30 in on ground with room for all forms, with steps."""
    given = RampTask.model_validate(
        {
            "rise": "30 in",
            "ground": {"along": "60 ft", "away": "42 ft"},
            "limits": {"steps": "yes", "slopes": [12]},
            "prices": {"handrail": 30, "ramp": 20, "deck": 25, "post": 12},
        }
    )
    return ramps(given, load("us")).arrangements


def faults(one: Arrangement, given: RampTask) -> list[str]:
    """Say what an independent look finds wrong with ground, overlaps, sizes and heights."""
    found = []
    ground = site(given).buffer(0.02, join_style="mitre")
    shapes = [Polygon(part.whole) for part in one.parts]
    for part, shape in zip(one.parts, shapes, strict=True):
        if shape.difference(ground).area > SLACK:
            found.append(f"{part.id} off the ground")
    clear = [Polygon(part.clear) for part in one.parts]
    for i, first in enumerate(clear):
        for j in range(i + 1, len(clear)):
            if first.intersection(clear[j]).area > SLACK:
                found.append(f"{one.parts[i].id} and {one.parts[j].id} overlap")
    ramp = [part for part in one.parts if not part.kind.startswith("steps")]
    for before, after in pairwise(ramp):
        if abs(before.bottom_mm - after.top_mm) > 0.01:
            found.append(f"a step between {before.id} and {after.id}")
        if Polygon(before.clear).distance(Polygon(after.clear)) > 0.02:
            found.append(f"{before.id} and {after.id} do not meet")
    runs = [part for part in ramp if part.kind == "run"]
    for run in runs:
        if run.length_mm < 12 * (run.top_mm - run.bottom_mm) - 0.01 and not one.existing_site:
            found.append(f"{run.id} too steep")
        if run.top_mm - run.bottom_mm > 30 * INCH_MM + 0.01:
            found.append(f"{run.id} climbs too much")
        if run.width_mm < 36 * INCH_MM - 0.01:
            found.append(f"{run.id} too narrow")
    if abs(sum(run.top_mm - run.bottom_mm for run in runs) - given.rise) > 0.01:
        found.append("the runs do not make up the rise")
    for part in ramp:
        turns = part.kind == "turn"
        if part.kind != "run" and min(part.length_mm, 1e9 if not turns else part.width_mm) < (
            60 * INCH_MM - 0.01
        ):
            found.append(f"{part.id} too small")
    return found
