"""Measures an arrangement: runs, landings, handrails, edges, areas, and what it comes to."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shapely import MultiPolygon, Polygon, box, union_all
from shapely.geometry.base import BaseGeometry

from shopfit.access.pieces import Found, Piece
from shopfit.access.pricing import priced
from shopfit.access.rails import Spot, rail, ramp_rails, right_hand, sides
from shopfit.access.sizes import Start, door_floor
from shopfit.geometry.doorframe import Frame
from shopfit.model.rampplan import Arrangement, Form, Part, QuantityRow, Rail, StepsPlan
from shopfit.model.rampsite import RampTask
from shopfit.standards import Rulebook
from shopfit.units import TOLERANCE_MM

_STARTS = {(1, 1): "straight out", (0, -1): "left along the wall", (0, 1): "right along the wall"}
_NAMES = {"head": "landing at the door", "foot": "landing at the foot", "steps": "steps"}


@dataclass(frozen=True)
class _Laid:
    """A piece with its name and the heights of its ends, mm."""

    name: str
    piece: Piece
    top: float
    bottom: float


def arrangement(
    found: Found, task: RampTask, book: Rulebook, frame: Frame, steps: StepsPlan | None, splits: int
) -> Arrangement:
    """Measure what was found.

    Parameters
    ----------
    found
        The arrangement in the door's frame.
    task, book, frame
        What was asked, whose values, and the door's frame.
    steps
        The flight of steps beside it, where it has one.
    splits
        How many shares of the rise fit in the same way.
    """
    laid = _laid(found, task)
    rails = _rails(found, laid, task, frame, steps)
    edge, guard = _edges(laid, found, book)
    runs = [each for each in laid if each.piece.kind == "run"]
    lengths = tuple(_span(each.piece) for each in runs)
    rises = tuple(each.top - each.bottom for each in runs)
    slopes = sum(math.hypot(run, rise) for run, rise in zip(lengths, rises, strict=True))
    foot = sum(_area(each.piece) for each in laid if each.piece.kind == "foot")
    u0, u1, v0, v1 = found.bounds
    standing = steps if found.steps else None
    rows = priced(_rows(laid, rails, edge, guard, found, standing), task)
    return Arrangement(
        id="R0",
        form=_form(found),
        way=_way(found),
        ratio=found.ratio,
        existing_site=1 / found.ratio > book.slope("ramp-slope") + 1e-9,
        width_mm=found.sizes.width,
        handrails=found.sizes.railed,
        runs_mm=lengths,
        rises_mm=rises,
        parts=tuple(_part(each, frame) for each in laid),
        rails=rails,
        steps=standing,
        door_floor=_door_floor(found, task, book, frame),
        handrail_mm=sum(each.length_mm for each in rails),
        edge_mm=edge,
        guard_mm=guard,
        ramp_m2=found.sizes.gross * slopes / 1e6,
        deck_m2=_deck(laid) / 1e6,
        foot_m2=foot / 1e6,
        footprint_m2=found.covered / 1e6,
        along_mm=u1 - u0,
        out_mm=v1 - v0,
        quantities=rows,
        cost=sum(row.cost or 0.0 for row in rows) if task.prices is not None else None,
        splits=splits,
    )


def _door_floor(
    found: Found, task: RampTask, book: Rulebook, frame: Frame
) -> tuple[tuple[float, float], ...]:
    start: dict[tuple[int, int], Start] = {(1, 1): "out", (0, -1): "left", (0, 1): "right"}
    left, right, deep = door_floor(task.door, book, start[(found.head.axis, found.head.sign)])
    return frame.corners((left, right, 0.0, deep)) if deep else ()


def _laid(found: Found, task: RampTask) -> list[_Laid]:
    height, laid, runs, landings = task.rise, [], 0, 0
    for piece in found.pieces:
        below, name = height, _NAMES.get(piece.kind, "")
        if piece.kind == "run":
            runs += 1
            name, below = f"run {runs}", height - _span(piece) / found.ratio
        elif piece.kind in ("between", "turn"):
            landings += 1
            name = f"landing {landings}"
        elif piece.kind == "foot":
            height = below = 0.0
        laid.append(_Laid(name, piece, height, below))
        height = below
    for piece in found.steps:
        foot = piece.kind == "steps foot"
        name = "floor at the steps" if foot else "steps"
        laid.append(_Laid(name, piece, 0.0 if foot else task.rise, 0.0))
    return laid


def _span(piece: Piece) -> float:
    u0, u1, v0, v1 = piece.clear
    return u1 - u0 if piece.axis == 0 else v1 - v0


def _across(piece: Piece) -> float:
    u0, u1, v0, v1 = piece.clear
    return v1 - v0 if piece.axis == 0 else u1 - u0


def _area(piece: Piece) -> float:
    u0, u1, v0, v1 = piece.whole
    return (u1 - u0) * (v1 - v0)


def _deck(laid: list[_Laid]) -> float:
    """Give the area of landings above the ground, what runs take of their edges left out."""
    runs = union_all([box_of(each.piece) for each in laid if each.piece.kind == "run"])
    kinds = ("head", "between", "turn")
    landings = union_all([box_of(each.piece) for each in laid if each.piece.kind in kinds])
    return float(landings.difference(runs).area)


def box_of(piece: Piece) -> Polygon:
    """Give a piece with what stands beside it as a shape of the door's frame."""
    u0, u1, v0, v1 = piece.whole
    return box(u0, v0, u1, v1)


def _part(each: _Laid, frame: Frame) -> Part:
    piece = each.piece
    return Part(
        id=each.name,
        kind=piece.kind,
        clear=frame.corners(piece.clear),
        whole=frame.corners(piece.whole),
        heading_deg=frame.heading(piece.axis, piece.sign),
        length_mm=_span(piece),
        width_mm=_across(piece),
        top_mm=each.top,
        bottom_mm=each.bottom,
    )


def _rails(
    found: Found, laid: list[_Laid], task: RampTask, frame: Frame, steps: StepsPlan | None
) -> tuple[Rail, ...]:
    rails = []
    spacing, extension = task.limits.post_spacing, found.sizes.extension
    if found.sizes.railed:
        heights = [(each.top, each.bottom) for each in laid[: len(found.pieces)]]
        both = ramp_rails(found.pieces, heights, extension)
        for name, course in zip(("left handrail", "right handrail"), both, strict=True):
            rails.append(rail(name, course, frame, extension, spacing))
    if found.steps and steps is not None:
        rails += _step_rails(found, task, frame, steps)
    return tuple(rails)


def _step_rails(found: Found, task: RampTask, frame: Frame, steps: StepsPlan) -> list[Rail]:
    """Give the two handrails of steps: level at the top, down the flight, a tread on beyond it.

    Source
    ------
    2010 ADA Standards, 505.10.2 and 505.10.3. Text read.
    """
    flight, rails = found.steps[0], []
    level, tread = found.sizes.step_extension, steps.tread_mm
    for hand, name in ((0, "left handrail of the steps"), (1, "right handrail of the steps")):
        start, end = sides(flight)[right_hand(flight) if hand else 1 - right_hand(flight)]
        course: list[Spot] = [
            (*start, task.rise),
            (*_moved(start, flight, level), task.rise),
            (*end, steps.riser_mm),
            (*_moved(end, flight, tread), 0.0),
        ]
        made = rail(name, course, frame, 0.0, task.limits.post_spacing)
        beyond = level + math.hypot(tread, steps.riser_mm)
        rails.append(made.model_copy(update={"extension_mm": beyond}))
    return rails


def _moved(place: tuple[float, float], along: Piece, far: float) -> tuple[float, float]:
    step = along.sign * far
    return (place[0] + step, place[1]) if along.axis == 0 else (place[0], place[1] + step)


def _edges(laid: list[_Laid], found: Found, book: Rulebook) -> tuple[float, float]:
    """Give the length of open edges above the ground, and of those whose drop asks for a guard."""
    pieces = [each for each in laid if each.piece.kind not in ("foot", "steps foot", "steps")]
    body = union_all([box_of(each.piece) for each in pieces])
    openings = _openings(found)
    edge = guard = 0.0
    drop = book.requirement("guard-drop") if "guard-drop" in book else None
    for part in getattr(body, "geoms", [body]):
        rim = _rim(part).difference(openings)
        edge += rim.length
        if drop is not None:
            high = [box_of(e.piece) for e in pieces if e.piece.kind != "run" and drop.holds(e.top)]
            high += [_higher(e, drop.value) for e in pieces if e.piece.kind == "run"]
            near = union_all([shape for shape in high if shape is not None]).buffer(1.0)
            guard += rim.intersection(near).length
    return edge, guard


def _rim(body: BaseGeometry) -> BaseGeometry:
    """Give the edge of a body but for what lies at the wall of the door."""
    shape = body if isinstance(body, Polygon | MultiPolygon) else Polygon()
    u0, _, u1, _ = shape.bounds
    wall = box(u0 - 1, -1.0, u1 + 1, TOLERANCE_MM)
    return shape.boundary.difference(wall)


def _openings(found: Found) -> BaseGeometry:
    """Give where one steps off: the landing at the foot, and the steps."""
    return union_all([box_of(piece) for piece in (found.pieces[-1], *found.steps)]).buffer(0.1)


def _higher(each: _Laid, drop: float) -> Polygon | None:
    """Give the upper part of a run that lies higher than a drop."""
    if each.top <= drop + TOLERANCE_MM:
        return None
    share = min(1.0, (each.top - drop) / (each.top - each.bottom))
    piece, span = each.piece, _span(each.piece)
    u0, u1, v0, v1 = piece.whole
    far = share * span
    if piece.axis == 0:
        return box(u0, v0, u0 + far, v1) if piece.sign > 0 else box(u1 - far, v0, u1, v1)
    return box(u0, v0, u1, v0 + far) if piece.sign > 0 else box(u0, v1 - far, u1, v1)


def _rows(
    laid: list[_Laid],
    rails: tuple[Rail, ...],
    edge: float,
    guard: float,
    found: Found,
    steps: StepsPlan | None,
) -> list[QuantityRow]:
    rows = []
    gross = found.sizes.gross
    for each in laid:
        kind = each.piece.kind
        if kind == "run":
            slope = math.hypot(_span(each.piece), each.top - each.bottom)
            area = slope * gross / 1e6
            rows.append(_row("ramp surface", each.name, 1, slope, gross, area))
        elif kind in ("head", "between", "turn"):
            size = _whole_size(each.piece)
            own = box_of(each.piece).difference(
                union_all([box_of(o.piece) for o in laid if o.piece.kind == "run"])
            )
            rows.append(_row("deck", each.name, 1, *size, own.area / 1e6))
        elif kind == "foot":
            size = _whole_size(each.piece)
            rows.append(_row("level ground", each.name, 1, *size, _area(each.piece) / 1e6))
    for one in rails:
        rows.append(_row("handrail", one.id, 1, one.length_mm))
    for one in rails:
        if one.bends:
            rows.append(_row("bend", one.id, one.bends))
        rows.append(_row("post", one.id, one.posts))
    rows.append(_row("edge protection", "open edges", 1, edge))
    if guard > TOLERANCE_MM:
        rows.append(_row("guard", "edges with a drop over the value", 1, guard))
    if steps is not None:
        rows.append(_row("step", "steps", steps.count, steps.tread_mm, steps.width_mm))
    return rows


def _whole_size(piece: Piece) -> tuple[float, float]:
    u0, u1, v0, v1 = piece.whole
    return (u1 - u0, v1 - v0) if piece.axis == 0 else (v1 - v0, u1 - u0)


def _row(
    item: str,
    part: str,
    count: int,
    length: float | None = None,
    width: float | None = None,
    area: float | None = None,
) -> QuantityRow:
    return QuantityRow(
        item=item, part=part, count=count, length_mm=length, width_mm=width, area_m2=area
    )


def _form(found: Found) -> Form:
    kinds = [kind for kind, _ in found.turns]
    if not kinds:
        return "straight"
    if all(kind == "back" for kind in kinds):
        return "switchback"
    if kinds == ["quarter"]:
        return "L"
    if kinds == ["quarter", "quarter"]:
        first, second = found.pieces[0], found.pieces[-1]
        return "U" if first.sign != second.sign else "Z"
    return "mixed"


def _way(found: Found) -> str:
    """Say the way down: the start as seen facing the door, then turns as one walks down."""
    head = found.head
    words = [_STARTS[(head.axis, head.sign)]]
    axis, sign = head.axis, head.sign
    for kind, side in found.turns:
        # On the axis along the wall a turn to the higher side is one to the left walking right.
        hand = "left" if (side > 0) == ((axis == 0) != (sign > 0)) else "right"
        words.append(f"back {hand}" if kind == "back" else f"{hand} turn")
        axis, sign = (axis, -sign) if kind == "back" else (1 - axis, side)
    return ", ".join(words)
