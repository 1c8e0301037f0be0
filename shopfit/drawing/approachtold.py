"""The way in as shop.yaml tells it: its parts before the door one after the other, with heights."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from shopfit.drawing.desk import Desk
from shopfit.drawing.planshell import UNTOLD
from shopfit.drawing.scene import Place, Table
from shopfit.geometry.openings import approached_door
from shopfit.geometry.wayin import Laid, lay, turns_told
from shopfit.model.approach import Approach, Ramp
from shopfit.model.openings import Door
from shopfit.model.rampplan import Part
from shopfit.model.rampsite import WayIn
from shopfit.units import INCH_MM

_LEVEL = INCH_MM / 16  # what is nearer to the ground is on it


@dataclass(frozen=True)
class Told:
    """The way in, in a frame with the middle of the door in its origin and its wall at the top.

    Parameters
    ----------
    approach
        As it is told.
    door
        As seen from outside, or none where no door is told.
    parts
        Landings and runs from the door down, and steps; heights above the ground, mm.
    wall
        Left and right end of the wall of the door, mm.
    """

    approach: Approach
    door: WayIn | None
    parts: tuple[Part, ...]
    wall: Place = (0.0, 0.0)

    @classmethod
    def of(cls, desk: Desk) -> Told | None:
        """Lay it out; none where the floor is level with the ground and nothing is built."""
        approach, served = desk.shop.approach, approached_door(desk.shop)
        if not approach.ramps and approach.steps is None and approach.floor_above_grade <= _LEVEL:
            return None
        parts = tuple(_part(laid) for laid in lay(approach, served.width if served else 0.0))
        if served is None:
            return cls(approach, None, parts)
        length = desk.shell.wall(served.wall).length
        right = served.offset + served.width / 2  # what lies left from inside is right from outside
        return cls(approach, _from_outside(served), parts, (right - length, right))

    @property
    def way(self) -> tuple[Part, ...]:
        """The parts that one rolls over."""
        return tuple(part for part in self.parts if part.kind != "steps")

    def ramp(self, part: Part) -> Ramp | None:
        """Give the ramp that a run is of, or none for other parts."""
        runs = [each for each in self.parts if each.kind == "run"]
        return self.approach.ramps[runs.index(part)] if part in runs else None

    def left_over(self) -> float:
        """Give what the ramps leave of the height of the floor, mm; under 0 where too high."""
        return self.approach.floor_above_grade - sum(ramp.rise for ramp in self.approach.ramps)


def _from_outside(door: Door) -> WayIn:
    mirrored = "right" if door.hinge == "left" else "left"
    same = {name: getattr(door, name) for name in ("width", "swing", "leaves", "leaf_width")}
    return WayIn().model_copy(update={**same, "hinge": mirrored})


def _part(laid: Laid) -> Part:
    """Give a part on the drawing, the wall of the door at its top."""
    u0, u1, v0, v1 = laid.rect
    corners: tuple[Place, ...] = ((u0, -v0), (u1, -v0), (u1, -v1), (u0, -v1))
    along, out = laid.way
    return Part(
        id=laid.name,
        kind=laid.kind,
        clear=corners,
        whole=corners,
        heading_deg=round(math.degrees(math.atan2(-out, along))) % 360.0,
        length_mm=laid.length,
        width_mm=laid.width,
        top_mm=laid.top,
        bottom_mm=laid.bottom,
    )


def told_tables(told: Told, desk: Desk) -> Iterator[Table]:
    """Say what is told of the way in, and what is not."""
    say = desk.length
    rows = []
    for part in told.way:
        ramp = told.ramp(part)
        slope = "level" if ramp is None else f"1:{ramp.run / ramp.rise:.3g}"
        sizes = say(part.length_mm), say(part.width_mm), say(part.top_mm)
        rows.append((part.id, *sizes, slope))
    if told.approach.steps is not None:
        steps = told.approach.steps
        riser, tread = f"riser {say(steps.riser)}", f"tread {say(steps.tread)}"
        top = say(told.approach.floor_above_grade)
        rows.append((f"steps: {steps.count} risers", tread, say(steps.width), top, riser))
    yield Table("Parts, clear", ("part", "along", "across", "top at", "slope"), tuple(rows))
    notes = tuple((note,) for note in _notes(told, desk))
    yield Table("As told in shop.yaml", (), notes)


def _notes(told: Told, desk: Desk) -> Iterator[str]:
    approach, say = told.approach, desk.length
    yield f"floor {say(approach.floor_above_grade)} above the ground at the foot"
    left = told.left_over()
    if not approach.ramps and approach.steps is None:
        yield "no ramp and no steps are told; what fits the ground: shopfit ramp"
    if told.door is None:
        yield "no door is told that it leads to"
    if approach.ramps and abs(left) > _LEVEL:
        more = "less" if left > 0 else "more"
        yield f"the ramps climb {say(abs(left))} {more} than that: measure again"
    if not turns_told(approach):
        yield UNTOLD
    for ramp in approach.ramps:
        yield f"{ramp.id}: {_kept(ramp)}"
    if approach.steps is not None and approach.steps.leaves is None and approach.ramps:
        yield "on which side of the ramp the steps are is not told"
    if _railed(told):
        yield from _rail_notes(told, desk)


def _kept(ramp: Ramp) -> str:
    rails = "handrails on both sides" if ramp.handrails else "no handrails"
    return f"{rails}, {'edge protection' if ramp.edge_protection else 'no edge protection'}"


def _railed(told: Told) -> bool:
    steps = told.approach.steps
    railed = steps is not None and bool(steps.handrails)
    return railed or any(ramp.handrails for ramp in told.approach.ramps)


def _rail_notes(told: Told, desk: Desk) -> Iterator[str]:
    rail, say = told.approach.handrail, desk.length
    if rail is not None and rail.height is not None:
        yield f"handrails {say(rail.height)} above slope and landings"
    elif rail_heights(desk) is not None:
        low, high = rail_heights(desk) or (0.0, 0.0)
        clause = desk.rulebook.requirement("handrail-low").clause
        yield f"height of handrails not told; dashed, {say(low)} and {say(high)} ({clause})"
    if rail is None or rail.beyond_ramp is None:
        yield "how far handrails run on beyond the ramp is not told"


def rail_heights(desk: Desk) -> tuple[float, float] | None:
    """Give the limits of the rulebook on the height of handrails, mm, or none."""
    book = desk.rulebook
    if book.why_without("handrail-low", "handrail-high"):
        return None
    return book.mm("handrail-low"), book.mm("handrail-high")
