"""Lists what to measure in a finished shop, what has least to spare first."""

from __future__ import annotations

import math
from collections.abc import Iterator

from shapely import STRtree
from shapely.geometry.base import BaseGeometry

from shopfit import standards
from shopfit.geometry.built import GAP, Built, gap
from shopfit.geometry.footprint import footprint, side_band
from shopfit.geometry.measures import measures
from shopfit.model.layout import Layout, Placement
from shopfit.model.measured import ToMeasure
from shopfit.model.scenario import Scenario
from shopfit.standards import Rulebook
from shopfit.standards.doors import clear_opening
from shopfit.units import INCH_MM, LengthStyle, format_length

NEAR_MM = 12 * INCH_MM  # a gap with more to spare is not listed
MOST = 60


def what_to_measure(scenario: Scenario, layout: Layout, most: int = MOST) -> tuple[ToMeasure, ...]:
    """List measures of a layout to be taken by tape once it is built.

    Parameters
    ----------
    scenario, layout
        What was planned.
    most
        Most rows.

    Returns
    -------
    First what is measured against a value, least to spare first: gaps before customers' sides and
    behind dividers, openings of doors, the way in, low parts of counters. Then lengths of walls,
    and where fixtures stand along them.
    """
    built = Built(scenario, layout)
    book = standards.of(scenario)
    judged = [*_gaps(built), *_doors(built, book), *_ramps(built, book), *_counters(built, book)]
    judged.sort(key=lambda row: math.inf if row.margin_mm is None else row.margin_mm)
    return tuple([*judged, *_walls(built), *_places(built)][:most])


def _gaps(built: Built) -> Iterator[ToMeasure]:
    """Go through the aisles: the gap from each customer's side to what stands nearest before it."""
    brief, style = built.scenario.brief, built.scenario.shop.units
    names, shapes = _obstacles(built)
    tree = STRtree(shapes)
    best: dict[frozenset[str], ToMeasure] = {}
    for placement in built.layout.placements:
        fixture = built.fixture(placement)
        wanted = [(side, brief.aisle, "aisle") for side in fixture.customer_sides]
        if (
            placement.wall is None
            and "divider" in fixture.stands
            and "back" not in (fixture.customer_sides)
        ):
            wanted.append(("back", brief.staff_aisle, "staff aisle"))
        for side, width, word in wanted:
            band = side_band(fixture, placement, side, width + NEAR_MM).buffer(-1.0)
            hits = [names[k] for k in tree.query(band, predicate="intersects")]
            for name in hits:
                row = _gap_row(built, placement, name, width, word, style)
                if row is None:
                    continue
                key = frozenset((row.what, row.to))
                if key not in best or _spare(row) < _spare(best[key]):
                    best[key] = row
    yield from best.values()


def _spare(row: ToMeasure) -> float:
    return math.inf if row.margin_mm is None else row.margin_mm


def _gap_row(
    built: Built, placement: Placement, name: str, width: float, word: str, style: LengthStyle
) -> ToMeasure | None:
    what, to = placement.id, name
    others = {one.id: one for one in built.layout.placements}
    if name in others and _held(built, placement) > _held(built, others[name]):
        what, to = name, placement.id
    handle = gap(built, what, to)
    if handle is None:
        return None
    size = handle.read(built)
    if size > width + NEAR_MM or size <= 1.0:
        return None
    note = f"{word} of {format_length(width, style)}"
    return ToMeasure(
        what=what, measure=GAP, to=to, planned_mm=size, margin_mm=size - width, note=note
    )


def _held(built: Built, placement: Placement) -> int:
    """Rank what is least likely to move: fastened or pinned, then at a wall, then loose."""
    fixture = built.fixture(placement)
    return 2 * (fixture.fixed or placement.pinned) + (placement.wall is not None)


def _obstacles(built: Built) -> tuple[list[str], list[BaseGeometry]]:
    names: list[str] = []
    shapes: list[BaseGeometry] = []
    for placement in built.layout.placements:
        names.append(placement.id)
        shapes.append(footprint(built.fixture(placement), placement))
    shell = built.shell
    for name, shape in shell.columns.items():
        names.append(f"column {name}")
        shapes.append(shape)
    for wall in shell.walls:
        names.append(f"wall {wall.id}")
        shapes.append(wall.rectangle(0.0, wall.length, 0.0, -1.0))
    return names, shapes


def _doors(built: Built, book: Rulebook) -> Iterator[ToMeasure]:
    style = built.scenario.shop.units
    for door in built.scenario.shop.doors:
        wanted = clear_opening(book, door)
        note = f"clear opening of {format_length(wanted.value, style)}"
        yield ToMeasure(
            what=f"door {door.id}",
            measure="width",
            planned_mm=door.width,
            margin_mm=door.width - wanted.value,
            note=note,
        )


def _ramps(built: Built, book: Rulebook) -> Iterator[ToMeasure]:
    found = measures(built)
    for ramp in built.scenario.shop.approach.ramps:
        name = f"ramp {ramp.id}"
        longest = ramp.rise / book.slope("ramp-slope")
        spare = {
            "run": ramp.run - longest,
            "rise": ramp.run * book.slope("ramp-slope") - ramp.rise,
            "width": ramp.width - book.mm("ramp-width"),
        }
        for (what, measure), handle in found.items():
            if what == name:
                yield ToMeasure(
                    what=what,
                    measure=measure,
                    planned_mm=handle.read(built),
                    margin_mm=spare.get(measure),
                    note="way in",
                )


def _counters(built: Built, book: Rulebook) -> Iterator[ToMeasure]:
    if "counter-height" not in book:
        return
    highest = book.mm("counter-height")
    style = built.scenario.shop.units
    for placement in built.layout.placements:
        fixture = built.fixture(placement)
        if fixture.kind == "counter":
            yield ToMeasure(
                what=placement.id,
                measure="height",
                planned_mm=fixture.height,
                margin_mm=highest - fixture.height if fixture.height <= highest else None,
                note=f"low part at most {format_length(highest, style)}",
            )


def _walls(built: Built) -> Iterator[ToMeasure]:
    taken = {placement.wall for placement in built.layout.placements}
    taken |= {run.wall for run in built.layout.runs}
    for (what, measure), handle in measures(built).items():
        if measure == "length" and what.removeprefix("wall ") in taken:
            yield ToMeasure(what=what, measure=measure, planned_mm=handle.read(built), note="shell")


def _places(built: Built) -> Iterator[ToMeasure]:
    found = measures(built)
    for placement in built.layout.placements:
        if placement.wall is not None:
            size = found[placement.id, "from left"].read(built)
            note = f"along wall {placement.wall}"
            yield ToMeasure(what=placement.id, measure="from left", planned_mm=size, note=note)
    for run in built.layout.runs:
        size = found[run.id, "lower edge"].read(built)
        yield ToMeasure(what=run.id, measure="lower edge", planned_mm=size, note="above the floor")
