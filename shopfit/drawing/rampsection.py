"""Draws a ramp in section, rolled out along the way down."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from shopfit.drawing import style
from shopfit.drawing.dimension import Ruler, running
from shopfit.drawing.labels import Labels
from shopfit.drawing.scene import Item, Layer, Line, Pen, Place, Scene, Shape
from shopfit.drawing.sectionart import BODY, RAIL, building, ground, named
from shopfit.model.rampplan import Arrangement, Part
from shopfit.model.rampsite import RampTask
from shopfit.standards import Rulebook
from shopfit.units import format_length

POST = Pen(0.15, style.RUST)


@dataclass(frozen=True)
class _Stretch:
    """A part on the rolled-out way: from and to, mm, and the part."""

    start: float
    end: float
    part: Part


def section_of_ramp(one: Arrangement, task: RampTask, book: Rulebook, scale: float) -> Scene:
    """Draw the section of an arrangement along the way down, as if it did not turn.

    Parameters
    ----------
    one, task, book
        The arrangement, what was asked, and whose values handrails are drawn at.
    scale
        How many times smaller it prints; the same up as along.
    """
    labels, way = Labels(scale), list(_stretches(one))
    end = way[-1].end
    layers = (
        Layer("ground", tuple(ground(end, scale))),
        Layer("ramp", tuple(_body(way))),
        Layer("building", tuple(building(task.rise, scale))),
        Layer("handrails", tuple(_rails(way, one, task, book))),
        Layer("names", tuple(named(_names(way, one, task), labels))),
        Layer("dimensions", tuple(_dimensions(way, task, labels, scale))),
    )
    about = f"Section of {one.id} along the way down; turns are rolled out."
    return Scene(f"{one.id}: section", about, scale, layers)


def _stretches(one: Arrangement) -> Iterator[_Stretch]:
    at = 0.0
    for part in one.parts:
        if part.kind.startswith("steps"):
            continue
        yield _Stretch(at, at + part.length_mm, part)
        at += part.length_mm


def _body(way: list[_Stretch]) -> Iterator[Item]:
    surface: list[Place] = []
    for each in way:
        surface += [(each.start, each.part.top_mm), (each.end, each.part.bottom_mm)]
    yield Shape((*surface, (way[-1].end, 0.0), (0.0, 0.0)), None, BODY)
    for each in way:
        pen = style.CUT
        yield Line((each.start, each.part.top_mm), (each.end, each.part.bottom_mm), pen)
        if each.part.bottom_mm > 0:
            yield Line((each.end, 0.0), (each.end, each.part.bottom_mm), style.FAINT)


def _rails(way: list[_Stretch], one: Arrangement, task: RampTask, book: Rulebook) -> Iterator[Item]:
    """Draw the handrail in the middle of the heights that the rulebook gives, with its ends."""
    if not one.handrails:
        return
    up = (book.mm("handrail-low") + book.mm("handrail-high")) / 2
    runs = [each for each in way if each.part.kind == "run"]
    beyond = book.mm("handrail-extension")
    first, last = runs[0], runs[-1]
    points = [(first.start - beyond, first.part.top_mm + up)]
    for each in runs:
        points += [(each.start, each.part.top_mm + up), (each.end, each.part.bottom_mm + up)]
    points.append((last.end + beyond, last.part.bottom_mm + up))
    yield Shape(tuple(points), RAIL, None, closed=False)
    for (x0, z0), (x1, z1) in pairwise(points):
        count = max(1, round((x1 - x0) / task.limits.post_spacing))
        for k in range(count + 1):
            x, z = x0 + (x1 - x0) * k / count, z0 + (z1 - z0) * k / count
            yield Line((x, z - up), (x, z), POST)


def _names(
    way: list[_Stretch], one: Arrangement, task: RampTask
) -> list[tuple[float, float, list[str]]]:
    found, say = [], task.units
    for each in way:
        part = each.part
        words = [f"+{format_length(part.top_mm, say)}"]
        if part.kind == "run":
            words = [f"1:{one.ratio:g}", f"{format_length(part.top_mm - part.bottom_mm, say)} down"]
        found.append(((each.start + each.end) / 2, (part.top_mm + part.bottom_mm) / 2, words))
    return found


def _dimensions(
    way: list[_Stretch], task: RampTask, labels: Labels, scale: float
) -> Iterator[Item]:
    deep = 2.2 * scale
    below = Ruler(lambda along, away: (along, -deep - away), scale, task.units)
    yield from running(below, [each.end for each in way], labels, 4.0)
    heights = sorted({round(each.part.top_mm, 3) for each in way} - {0.0})
    beside = Ruler(lambda along, away: (-4 * scale - away, along), scale, task.units)
    yield from running(beside, heights, labels, 3.0)
