"""The way in as shop.yaml tells it: its parts before the door one after the other, with heights."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shopfit.drawing.desk import Desk
from shopfit.drawing.scene import Place, Table
from shopfit.geometry.openings import approached_door
from shopfit.model.approach import Approach, Ramp, Steps
from shopfit.model.openings import Door
from shopfit.model.rampplan import Part, PartKind
from shopfit.model.rampsite import WayIn
from shopfit.units import INCH_MM

_DOWN = 270.0  # the way down on the drawing, straight out from the wall at its top
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
    """

    approach: Approach
    door: WayIn | None
    parts: tuple[Part, ...]

    @classmethod
    def of(cls, desk: Desk) -> Told | None:
        """Lay it out; none where the floor is level with the ground and nothing is built."""
        approach, served = desk.shop.approach, approached_door(desk.shop)
        if not approach.ramps and approach.steps is None and approach.floor_above_grade <= _LEVEL:
            return None
        ramps = tuple(_down(approach))
        steps = (_flight(approach, ramps),) if approach.steps is not None else ()
        return cls(approach, None if served is None else _from_outside(served), (*ramps, *steps))

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
    return WayIn().model_copy(update={"width": door.width, "swing": door.swing, "hinge": mirrored})


def _down(approach: Approach) -> Iterator[Part]:
    out, height = 0.0, approach.floor_above_grade
    for index, ramp in enumerate(approach.ramps):
        if index == 0:
            yield _part("landing at the top", "head", ramp.top.length, ramp.top.width, out, height)
            out += ramp.top.length
        low = height - ramp.rise
        yield _part(ramp.id, "run", ramp.run, ramp.width, out, height, low)
        out, height = out + ramp.run, low
        following = approach.ramps[index + 1 : index + 2]
        landings = [ramp.bottom, *(each.top for each in following)]
        length = max(landing.length for landing in landings)
        width = max(landing.width for landing in landings)
        name = f"landing below {ramp.id}"
        yield _part(name, "between" if following else "foot", length, width, out, height)
        out += length


def _part(
    name: str,
    kind: PartKind,
    length: float,
    width: float,
    out: float,
    top: float,
    bottom: float | None = None,
    middle: float = 0.0,
) -> Part:
    left, right = middle - width / 2, middle + width / 2
    corners: tuple[Place, ...] = (
        (left, -out),
        (right, -out),
        (right, -out - length),
        (left, -out - length),
    )
    return Part(
        id=name,
        kind=kind,
        clear=corners,
        whole=corners,
        heading_deg=_DOWN,
        length_mm=length,
        width_mm=width,
        top_mm=top,
        bottom_mm=top if bottom is None else bottom,
    )


def risers(steps: Steps) -> tuple[float, ...]:
    """Give the heights of the steps from the top down, mm; alike where not measured one by one."""
    return steps.risers if len(steps.risers) == steps.count else (steps.riser,) * steps.count


def treads(steps: Steps) -> tuple[float, ...]:
    """Give the goings between the risers from the top down, mm: one less than there are risers."""
    between = steps.count - 1
    return steps.treads[:between] if len(steps.treads) >= between else (steps.tread,) * between


def _flight(approach: Approach, ramps: Sequence[Part]) -> Part:
    """Lay steps before the door, or beside the ramp off its top landing, as the plan does."""
    assert approach.steps is not None
    steps = approach.steps
    length = sum(treads(steps)) or steps.tread
    out, middle = 0.0, 0.0
    if ramps:
        # Left of the ramp as one faces the door, which is its right seen from inside.
        out = ramps[0].length_mm
        middle = -max(ramp.width for ramp in approach.ramps) / 2 - steps.width / 2
    top = approach.floor_above_grade
    return _part("steps", "steps", length, steps.width, out, top, top - sum(risers(steps)), middle)


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
        rows.append((f"steps: {steps.count} risers", tread, say(steps.width), riser, ""))
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
    if len(approach.ramps) > 1:
        yield "turns between runs are not told: they are drawn in one line"
    for ramp in approach.ramps:
        yield f"{ramp.id}: {_kept(ramp)}"
    if approach.steps is not None and approach.ramps:
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
