"""The measured ways on a plan, and where they are narrowest."""

from __future__ import annotations

import math
from collections.abc import Sequence

from shapely import LineString
from shapely.ops import linemerge, unary_union

from shopfit.drawing.desk import Desk
from shopfit.drawing.scene import Group, Item, Line, Pen, Place, Shape, Text
from shopfit.model.route import MeasuredRoute, MeasuredRoutes, NarrowPlace, PlanLine

GREEN = "#3f7d4e"
ROUTE = Pen(0.3, GREEN, (1.8, 0.9, 0.4, 0.9))
ACROSS = Pen(0.55, GREEN)
_TICK = 1.4  # printed mm, at the ends of a line across


def narrowest(routes: MeasuredRoutes) -> tuple[MeasuredRoute, NarrowPlace] | None:
    """Give the route with the narrowest place of all, and that place; none where none is known."""
    known = [(route, route.narrowest) for route in routes.routes if route.narrowest is not None]
    return min(known, key=lambda pair: pair[1].width_mm) if known else None


def route_lines(desk: Desk, routes: MeasuredRoutes) -> list[Item]:
    """Draw the ways, those that coincide once, and a measured line across the narrowest place."""
    lines = [route.line_mm for route in routes.routes if len(route.line_mm) > 1]
    if not lines:
        return []
    items: list[Item] = [Group("routes", f"{len(lines)} ways as measured", joined(lines, ROUTE))]
    found = narrowest(routes)
    if found is not None and len(found[1].across_mm) > 1:
        route, place = found
        words = desk.length(place.width_mm)
        title = f"Narrowest place, on the way to {route.target}: {words} {place.between}"
        items.append(across(desk, place, words, "narrowest", title))
    return items


def joined(lines: Sequence[PlanLine], pen: Pen) -> tuple[Shape, ...]:
    """Draw lines of the plan, those that coincide once."""
    whole = unary_union([LineString(line) for line in lines])
    merged = linemerge(whole) if whole.geom_type == "MultiLineString" else whole
    return tuple(
        Shape(tuple((float(x), float(y)) for x, y in part.coords), pen, closed=False)
        for part in getattr(merged, "geoms", [merged])
    )


def across(desk: Desk, place: NarrowPlace, words: str, tag: str, title: str) -> Group:
    """Draw a line with ticks across a narrow place, and lettering beside it."""
    start, end = place.across_mm[0], place.across_mm[-1]
    length = math.dist(start, end)
    drawn: list[Item] = [Line(start, end, ACROSS)]
    if length > 0:
        half = _TICK * desk.scale / 2
        nx, ny = -(end[1] - start[1]) / length * half, (end[0] - start[0]) / length * half
        drawn += [Line((x - nx, y - ny), (x + nx, y + ny), ACROSS) for x, y in (start, end)]
    middle: Place = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    text = Text(middle, words, bold=True, colour=GREEN, halo=True)
    drawn += desk.labels.lead(text, middle, near=2.5)
    return Group(tag, title, tuple(drawn))


def route_words(desk: Desk, routes: MeasuredRoutes) -> list[tuple[str, str]]:
    """Say in rows of a key what the lines of the ways are."""
    if not any(len(route.line_mm) > 1 for route in routes.routes):
        return []
    rows = [("Dash and dot", "ways as measured, where they are shortest")]
    found = narrowest(routes)
    if found is not None:
        _, place = found
        rows.append(("Line across", f"narrowest: {desk.length(place.width_mm)}, {place.between}"))
    return rows
