"""Draws the way in as told in section along the way down, and its steps beside it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from shopfit.drawing import style
from shopfit.drawing.approachtold import Told, rail_heights
from shopfit.drawing.desk import Desk
from shopfit.drawing.dimension import Ruler, running
from shopfit.drawing.labels import Labels
from shopfit.drawing.scene import Group, Item, Layer, Line, Pen, Place, Scene, Shape
from shopfit.drawing.sectionart import (
    BODY,
    RAIL,
    building,
    ground,
    landing_edge,
    named,
)
from shopfit.geometry.wayin import risers, treads

_BEFORE = 1000.0  # of the ground before the foot of nothing but a step, mm
_OFF = Pen(0.25, style.RUST, (2.0, 1.2))


def section_of_approach(told: Told, desk: Desk, scale: float) -> Scene:
    """Draw the section along the way down, as if it did not turn.

    Parameters
    ----------
    told, desk
        What is drawn.
    scale
        How many times smaller it prints; the same up as along.
    """
    surface: list[Place] = [(0.0, told.approach.floor_above_grade)]
    names: list[tuple[float, float, list[str]]] = []
    at = 0.0
    for part in told.way:
        ramp, end = told.ramp(part), at + part.length_mm
        surface += [(at, part.top_mm), (end, part.bottom_mm)]
        height = (part.top_mm + part.bottom_mm) / 2
        words = [f"+{desk.length(part.top_mm)}" if part.top_mm > 0 else "+0"]
        if ramp is not None:
            words = [f"1:{ramp.run / ramp.rise:.3g}", f"{desk.length(ramp.rise)} down"]
        names.append(((at + end) / 2, height, words))
        at = end
    rails = [
        [(at0, z0), (at1, z1)]
        for part, (at0, z0), (at1, z1) in zip(told.way, surface[1::2], surface[2::2], strict=True)
        if (ramp := told.ramp(part)) is not None and ramp.handrails
    ]
    return _section("Way in: section", surface, names, rails, (told, desk, scale))


def section_of_steps(told: Told, desk: Desk, scale: float) -> Scene | None:
    """Draw the section of the steps, or give none where there are none."""
    steps = told.approach.steps
    if steps is None:
        return None
    level, at = told.approach.floor_above_grade, steps.level or 0.0
    surface: list[Place] = [(0.0, level), *([(at, level)] if at else [])]
    for riser, tread in zip(risers(steps), (*treads(steps), 0.0), strict=True):
        level -= riser
        surface.append((at, level))
        if tread:
            at += tread
            surface.append((at, level))
    words = [f"{steps.count} risers of {desk.length(steps.riser)}"]
    words.append(f"treads of {desk.length(steps.tread)}")
    names = [(at / 2, told.approach.floor_above_grade, words)]
    ends = [(steps.level or 0.0, told.approach.floor_above_grade), (at, level + risers(steps)[-1])]
    rails = [ends] if steps.handrails else []
    off_landing = any(part.kind == "head" for part in told.way)
    return _section("Steps: section", surface, names, rails, (told, desk, scale), off_landing)


def _section(
    title: str,
    surface: Sequence[Place],
    names: Sequence[tuple[float, float, list[str]]],
    rails: Sequence[Sequence[Place]],
    drawn: tuple[Told, Desk, float],
    off_landing: bool = False,
) -> Scene:
    told, desk, scale = drawn
    labels, rise = Labels(scale), told.approach.floor_above_grade
    end = surface[-1][0] if len(surface) > 1 else _BEFORE
    before = landing_edge if off_landing else building
    layers = (
        Layer("ground", tuple(ground(end, scale))),
        Layer("ramp", tuple(_body(surface))),
        Layer("building", tuple(before(rise, scale))),
        Layer("handrails", tuple(_rails(rails, told, desk))),
        Layer("names", tuple(named(names, labels))),
        Layer("dimensions", tuple(_dimensions(surface, end, rise, desk, labels, scale))),
    )
    about = f"{title} of {desk.shop.name}, along the way down."
    return Scene(title, about, scale, layers)


def _body(surface: Sequence[Place]) -> Iterator[Item]:
    if len(surface) < 2:
        return
    yield Shape((*surface, (surface[-1][0], 0.0), (0.0, 0.0)), None, BODY)
    for start, end in pairwise(surface):
        if start != end:
            yield Line(start, end, style.CUT)


def _rails(rails: Sequence[Sequence[Place]], told: Told, desk: Desk) -> Iterator[Item]:
    """Draw handrails at the height told; dashed at the limits of the rulebook where none is."""
    rail = told.approach.handrail
    beyond = rail.beyond_ramp if rail is not None and rail.beyond_ramp is not None else 0.0
    known = rail.height if rail is not None else None
    limits = rail_heights(desk) or ()
    for line in rails:
        for up in (known,) if known is not None else limits:
            (x0, z0), (x1, z1) = line[0], line[-1]
            points = [(x0, z0 + up), (x1, z1 + up)]
            if beyond:
                points = [(x0 - beyond, z0 + up), *points, (x1 + beyond, z1 + up)]
            pen = RAIL if known is not None else _OFF
            yield Group("handrail", "handrail", (Shape(tuple(points), pen, closed=False),))


def _dimensions(
    surface: Sequence[Place], end: float, rise: float, desk: Desk, labels: Labels, scale: float
) -> Iterator[Item]:
    units, deep = desk.shop.units, 2.2 * scale
    if len(surface) > 1:
        below = Ruler(lambda along, away: (along, -deep - away), scale, units)
        yield from running(below, sorted({x for x, _ in surface if x > 0}), labels, 4.0)
    heights = sorted({round(z, 3) for _, z in [*surface, (0.0, rise)] if z > 0})
    beside = Ruler(lambda along, away: (-4 * scale - away, along), scale, units)
    yield from running(beside, heights, labels, 3.0)
