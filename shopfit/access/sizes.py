"""What a rulebook and the user's wishes make of every part of a ramp: widths, lengths, heads."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from shopfit.access.ground import Ground
from shopfit.geometry.doorframe import Rect
from shopfit.model.rampplan import StepsPlan
from shopfit.model.rampsite import RampTask, WayIn
from shopfit.standards import Rulebook
from shopfit.standards.manoeuvre import Manoeuvre, other_doorway, swinging_door
from shopfit.standards.ramps import handrails_needed, is_ramp, landing_size, longest_run
from shopfit.units import TOLERANCE_MM

Start = Literal["out", "left", "right"]
STARTS: tuple[Start, ...] = ("out", "left", "right")
# The numbers behind 1: that are tried. Where no going is limited by its slope, gentler runs need
# as many landings as steep ones, so they are only longer, and a few are enough.
STEEP = (8.0, 9.0, 10.0, 11.0)
FEW_SLOPES = (12.0, 14.0, 16.0)
SLOPES = (12.0, 13.0, 14.0, 15.0, 16.0, 18.0, 20.0)


@dataclass(frozen=True)
class Sizes:
    """Sizes of the parts, mm.

    Parameters
    ----------
    width
        Clear width of runs.
    beside
        What stands beside it on each side.
    railed
        Whether there are handrails.
    extension
        How far they run on beyond a run.
    head, between, foot
        Least length of the landing at the door, between runs in line, and at the foot.
    passing
        Least width of a landing between runs, where people pass on it; else nought.
    corner
        Side of the landing of a quarter turn.
    back
        Length of the landing where the ramp turns back.
    apart
        Between the clear widths of two runs side by side.
    step_beside, step_extension
        What a handrail takes beside steps, and how far it runs on level at their top.
    swing
        What a door that opens over the landing takes of it before its length counts.
    """

    width: float
    beside: float
    railed: bool
    extension: float
    head: float
    between: float
    foot: float
    passing: float
    corner: float
    back: float
    apart: float
    step_beside: float
    step_extension: float
    swing: float

    @property
    def gross(self) -> float:
        """Width of a run with what stands beside it."""
        return self.width + 2 * self.beside


def sizes(task: RampTask, book: Rulebook, passing: bool = False) -> Sizes:
    """Give the least sizes that the rulebook and the wishes allow.

    Parameters
    ----------
    task, book
        What is asked, and whose values.
    passing
        Whether landings between runs are to be passing places, where the rulebook has them.
    """
    limits = task.limits
    railed = handrails_needed(book, task.rise)
    rail = limits.beside
    if rail is None:
        rail = book.mm("handrail-clear") + book.mm("handrail-round-least")
    beside = rail if railed else limits.kerb
    width = max(limits.width or 0.0, book.mm("ramp-width"))
    head = landing_size(book, width, turns=False)[1]
    between = head
    if "landing-length-between" in book:
        between = max(head, book.mm("landing-length-between"))
    place = book.mm("landing-passing") if passing else 0.0
    turn_width, turn_length = landing_size(book, width, turns=True)
    swing = 0.0
    if "landing-swing" in book and task.door.swing == "out":
        swing = max(0.0, task.door.widest_leaf - book.mm("landing-swing"))
    return Sizes(
        width=width,
        beside=beside,
        railed=railed,
        extension=book.mm("handrail-extension") if railed else 0.0,
        head=head,
        between=max(between, place),
        foot=head,
        passing=place,
        corner=max(turn_width, turn_length, between, place),
        back=max(turn_length, between, place),
        apart=2 * beside + limits.gap,
        step_beside=rail,
        step_extension=book.mm("handrail-extension-stair"),
        swing=swing,
    )


def ratios(task: RampTask, book: Rulebook) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Give the slopes to try, as the number behind 1:, the steepest first.

    Returns
    -------
    Those that may be anywhere; and those that an existing site may need, the gentlest first.
    """
    usual = 1 / book.slope("ramp-slope")
    tried = task.limits.slopes or (*STEEP, *(SLOPES if "ramp-going" in book else FEW_SLOPES))
    allowed = sorted({max(n, usual) if abs(n - usual) < 1e-9 else n for n in tried})
    plain = tuple(n for n in allowed if n >= usual - 1e-9 and is_ramp(book, 1 / n))
    steep = [n for n in allowed if n < usual - 1e-9]
    if not task.existing_site:
        return plain, ()
    return plain, tuple(sorted((n for n in steep if _steep_enough(task, book, n)), reverse=True))


def _steep_enough(task: RampTask, book: Rulebook, ratio: float) -> bool:
    """Say whether the whole rise may be climbed at a slope on an existing site."""
    for slope, rise in (
        ("ramp-slope-existing", "ramp-rise-existing"),
        ("ramp-slope-steepest", "ramp-rise-steepest"),
    ):
        gentle = ratio >= 1 / book.slope(slope) - 1e-9
        if gentle and book.requirement(rise).holds(task.rise):
            return longest_run(book, 1 / ratio) > 0
    return False


def run_most(task: RampTask, book: Rulebook, ratio: float) -> float:
    """Give the longest level length of one run at a slope, mm."""
    most = longest_run(book, 1 / ratio)
    wanted = task.limits.most_rise
    return min(most, wanted * ratio) if wanted is not None else most


@dataclass(frozen=True)
class Head:
    """A landing at the door, and where the first run leaves it.

    Parameters
    ----------
    clear, whole
        Its clear surface, and with what stands at its open sides, in the door's frame, mm.
    axis, sign
        The way the first run goes: axis 0 along the wall, 1 out of it.
    start, low
        Where that run begins along its axis, and its lower clear side on the other, mm.
    """

    clear: Rect
    whole: Rect
    axis: int
    sign: int
    start: float
    low: float


def door_floor(door: WayIn, book: Rulebook, start: Start) -> tuple[float, float, float]:
    """Give the floor that the door wants outside, from the middle of the door.

    One comes to it from the front, and along the wall where the ramp lies along it; the larger
    counts each way.

    Returns
    -------
    Its left and right end along the wall, and its depth, mm.
    """
    ways: list[Literal["front", "hinge", "latch"]] = ["front"]
    if start != "out":
        ways.append("hinge" if start == door.hinge else "latch")
    hinge = latch = depth = 0.0
    for way in ways:
        if door.swing in ("sliding", "none"):
            found = other_doorway(book, way, door.width, door.swing == "sliding")
        else:
            found = swinging_door(book, way, door.swing == "out", door.closer, door.latch)
        least = min(found, key=_area, default=Manoeuvre(0.0, 0.0, 0.0, ""))
        hinge = max(hinge, least.hinge_side_mm)
        # The other leaf gives the room beside the latch of the first.
        latch = max(latch, least.latch_side_mm - (door.width - door.active_width))
        depth = max(depth, least.depth_mm)
    left, right = (hinge, latch) if door.hinge == "left" else (latch, hinge)
    return -door.width / 2 - left, door.width / 2 + right, depth


def _area(floor: Manoeuvre) -> float:
    # The deeper option of an approach from the hinge side costs nothing beside a front approach.
    return floor.latch_side_mm + floor.hinge_side_mm


def heads(task: RampTask, book: Rulebook, sizes: Sizes, ground: Ground) -> Iterator[Head]:
    """Give the landings at the door that are tried: flush to each end, and with the ground."""
    for start in STARTS:
        if start == "out":
            yield from _heads_out(task, book, sizes, ground)
        else:
            yield from _heads_along(task, book, sizes, ground, -1 if start == "left" else 1)


def _heads_out(task: RampTask, book: Rulebook, size: Sizes, ground: Ground) -> Iterator[Head]:
    left, right, depth = door_floor(task.door, book, "out")
    width = size.width
    low, high = sorted((left, right - width))
    wider = width > right - left + TOLERANCE_MM
    for low_side in _flush(low, high, ground, size, depth):
        inside = left < low_side - TOLERANCE_MM or right > low_side + width + TOLERANCE_MM
        # A handrail that ends before the door would stand in the floor that the door wants.
        deep = depth + size.extension if inside else depth
        deep = max(deep, size.head + size.swing)
        u0, u1 = (low_side, low_side + width) if wider else (left, right)
        clear = (u0, u1, 0.0, deep)
        yield Head(clear, _open_sides(clear, size), 1, 1, deep, low_side)


def _flush(low: float, high: float, ground: Ground, size: Sizes, depth: float) -> list[float]:
    edges = _sides(ground, depth)
    tried = [low, high, edges[0] + size.beside, edges[1] - size.beside - size.width]
    return sorted({round(min(max(each, low), high), 6) for each in tried})


def _sides(ground: Ground, depth: float) -> tuple[float, float]:
    """Give how far the ground before the door goes to the left and to the right, mm."""
    left = -ground.reach(0, 0.0, depth, 0.0, -1)
    return left, ground.reach(0, 0.0, depth, 0.0, 1)


def _heads_along(
    task: RampTask, book: Rulebook, size: Sizes, ground: Ground, sign: int
) -> Iterator[Head]:
    left, right, depth = door_floor(task.door, book, "left" if sign < 0 else "right")
    # As seen by somebody who walks down: before the floor of the door, and behind it.
    ahead, behind = (-left, right) if sign < 0 else (right, -left)
    least = ahead + size.extension
    if size.swing:
        least = max(least, task.door.width / 2 + size.head)
    length = max(size.head, least + behind)
    edge = _sides(ground, depth)[1 if sign < 0 else 0]
    rear_limit = (edge if sign < 0 else -edge) - size.beside
    rears = {behind, length - least, min(max(rear_limit, behind), length - least)}
    deep = max(depth, size.width + size.beside)
    for rear in sorted(round(each, 6) for each in rears):
        front = length - rear
        u0, u1 = (-front, rear) if sign < 0 else (-rear, front)
        clear = (u0, u1, 0.0, deep)
        for low in sorted({size.beside, round(deep - size.width, 6)}):
            yield Head(clear, _open_sides(clear, size), 0, sign, sign * front, low)


def _open_sides(clear: Rect, size: Sizes) -> Rect:
    u0, u1, _, deep = clear
    return (u0 - size.beside, u1 + size.beside, 0.0, deep + size.beside)


def steps_of(task: RampTask, book: Rulebook) -> StepsPlan | None:
    """Give the flight of fewest steps for the rise, or none where no equal risers do.

    Source
    ------
    2010 ADA Standards, 504.2: risers of 4 to 7 in, treads of 11 in. Text read.
    """
    lowest, highest = book.requirement("riser-low"), book.requirement("riser-high")
    count = math.ceil((task.rise - TOLERANCE_MM) / highest.value)
    if count < 1 or not lowest.holds(task.rise / count):
        return None
    return StepsPlan(
        count=count,
        riser_mm=task.rise / count,
        tread_mm=book.mm("tread"),
        width_mm=task.limits.steps_width,
    )
