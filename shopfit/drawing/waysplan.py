"""Draws the ways through the shop on the plan, their narrow places, and where wheelchairs turn."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shapely import LineString
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit.drawing import plan, planshell, style
from shopfit.drawing.desk import Desk
from shopfit.drawing.findingroutes import ROUTE, across, joined
from shopfit.drawing.lightplan import light_ground
from shopfit.drawing.paper import PageName, plan_on_paper
from shopfit.drawing.scene import Arc, Fill, Group, Item, Layer, Pen, Scene, Shape, Table, Text
from shopfit.drawing.sheet import Page, Sheet, compose, table_sheets
from shopfit.model.route import (
    MeasuredRoute,
    MeasuredRoutes,
    NarrowPlace,
    PlanLine,
    TurningSpace,
    WayEnd,
)

FILE = "ways"
STAFF = Pen(0.3, style.GREY, (0.5, 0.9))
BAND = Fill("#dfeee0")
TURNING = Pen(0.35, style.BLUE)
LARGEST = Pen(0.15, style.BLUE, (2.0, 1.2))
END = Pen(0.3, style.RUST, (0.8, 0.8))
_MOST = 24  # targets named in one row of a table


@dataclass(frozen=True)
class _Narrow:
    """The narrowest place of some ways: its tag, and the ways that pass it."""

    tag: str
    place: NarrowPlace
    routes: tuple[MeasuredRoute, ...]


def ways_sheets(desk: Desk, routes: MeasuredRoutes, page: PageName | None) -> list[Sheet]:
    """Draw the ways on a plan of their own.

    Parameters
    ----------
    desk, routes
        What is drawn, and the ways as the checks measured them.
    page
        The paper; if left out, as for the plan.

    Returns
    -------
    The plan, and sheets for the tables that find no room on it; none where there are no ways.
    """
    if not (routes.routes or routes.turning_spaces or routes.dead_ends):
        return []
    scene, paper = plan_on_paper(desk, page, lambda p: ways_scene(desk, routes, p))
    sheet, rest = compose([scene], paper, FILE)
    return [sheet, *table_sheets(rest, paper, scene.title, FILE)]


def ways_scene(desk: Desk, routes: MeasuredRoutes, page: Page) -> Scene:
    """Draw the ways at the largest usual scale that fits a page, at full size in mm."""
    return plan.at_largest_scale(desk, page, lambda laid: _scene(laid, routes))


def _scene(desk: Desk, routes: MeasuredRoutes) -> Scene:
    narrow = _narrow_places(routes)
    marked = [one for one in narrow if len(one.place.across_mm) > 1]
    for one in marked:
        # Names of the shell keep off what is measured.
        desk.labels.block_line(one.place.across_mm[0], one.place.across_mm[-1], 0.6 * desk.scale)
    ground, lettering = light_ground(desk)
    under = [layer for layer in ground if layer.name == "aisles"]
    turning = [_turning(desk, tag, space) for tag, space in _spaces(routes)]
    ends = [Shape(end.line_mm, END, None, closed=False) for end in _longer(routes)]
    layers = (
        *under,
        Layer("floor of ways", tuple(_band(desk, routes))),
        *(layer for layer in ground if layer not in under),
        Layer("routes", tuple(_lines(routes))),
        Layer("dead ends", tuple(ends)),
        Layer("turning spaces", tuple(turning)),
        lettering,
        Layer("narrow places", tuple(_marked(desk, one) for one in marked)),
    )
    return Scene(
        "Ways",
        f"Plan of {desk.shop.name} with the ways as measured and the floor to turn on.",
        desk.scale,
        layers,
        tuple(table for table in _tables(desk, routes, narrow) if table.rows),
    )


def _drawn(routes: MeasuredRoutes, staff: bool) -> list[PlanLine]:
    return [
        route.line_mm
        for route in routes.routes
        if len(route.line_mm) > 1 and (route.kind == "staff") is staff
    ]


def _lines(routes: MeasuredRoutes) -> Iterator[Group]:
    for staff, pen, who in ((False, ROUTE, "customers"), (True, STAFF, "staff")):
        lines = _drawn(routes, staff)
        if lines:
            words = f"{len(lines)} ways of {who}, those that coincide once"
            yield Group(f"ways of {who}", words, joined(lines, pen))


def _known(desk: Desk, key: str) -> float | None:
    """Give a length of the rulebook, mm, or none where it has none."""
    return None if desk.rulebook.why_without(key) else desk.rulebook.mm(key)


def _band(desk: Desk, routes: MeasuredRoutes) -> list[Item]:
    """Draw the floor along the ways of customers that a route of the rulebook's width takes."""
    lines, width = _drawn(routes, staff=False), _known(desk, "route-width")
    if not lines or width is None:
        return []
    taken: list[BaseGeometry] = [desk.footprint(p) for p in desk.layout.placements]
    taken += desk.shell.columns.values()
    floor = unary_union(list(desk.shell.rooms.values())).difference(unary_union(taken))
    band = unary_union([LineString(line) for line in lines]).buffer(width / 2, quad_segs=6)
    title = f"Floor along the ways, {desk.length(width)} wide"
    return [Group("route", title, tuple(planshell.area(band.intersection(floor), None, BAND)))]


def _narrow_places(routes: MeasuredRoutes) -> list[_Narrow]:
    """Gather ways by their narrowest place, the narrowest first."""
    by_place: dict[tuple[float, PlanLine], list[MeasuredRoute]] = {}
    for route in routes.routes:
        if route.narrowest is not None:
            place = route.narrowest
            by_place.setdefault((place.width_mm, place.across_mm), []).append(route)
    found = []
    for number, key in enumerate(sorted(by_place), start=1):
        narrow = by_place[key][0].narrowest
        if narrow is not None:
            found.append(_Narrow(f"N{number}", narrow, tuple(by_place[key])))
    return found


def _marked(desk: Desk, narrow: _Narrow) -> Group:
    width = desk.length(narrow.place.width_mm)
    ways = f"{len(narrow.routes)} way{'s' if len(narrow.routes) > 1 else ''}"
    title = f"{narrow.tag}: {width} {narrow.place.between}; {ways}"
    return across(desk, narrow.place, f"{narrow.tag} {width}", narrow.tag, title)


def _spaces(routes: MeasuredRoutes) -> list[tuple[str, TurningSpace]]:
    """List the turning spaces by tag: circles first, then the T-shaped ones at ends of ways."""
    found = [*routes.turning_spaces, *(end.turning for end in routes.dead_ends if end.turning)]
    return [(f"T{number}", space) for number, space in enumerate(found, start=1)]


def _longer(routes: MeasuredRoutes) -> list[WayEnd]:
    return [end for end in routes.dead_ends if len(end.line_mm) > 1]


def _turning(desk: Desk, tag: str, space: TurningSpace) -> Group:
    """Draw the circle that is wanted in the middle of the largest one there, or the T."""
    shown: list[Item] = []
    if space.shape == "T":
        shown.append(Shape(space.outline_mm, TURNING))
    else:
        size = _circle(desk, space)
        shown.append(Arc(space.at_mm, size / 2, pen=TURNING))
        if space.size_mm > size + 1.0:
            shown.append(Arc(space.at_mm, space.size_mm / 2, pen=LARGEST))
    text = Text(space.at_mm, tag, bold=True, colour=style.BLUE, halo=True)
    inside = desk.labels.place([text])
    shown += [inside] if inside else desk.labels.lead(text, space.at_mm, near=2.0)
    return Group(tag, f"{tag}: {_words(desk, space)}", tuple(shown))


def _circle(desk: Desk, space: TurningSpace) -> float:
    return min(_known(desk, "turning-circle") or space.size_mm, space.size_mm)


def _words(desk: Desk, space: TurningSpace) -> str:
    if space.shape == "T":
        return f"T-shaped space of {desk.length(space.size_mm)}"
    return f"circle of {desk.length(_circle(desk, space))}; {desk.length(space.size_mm)} are free"


def _tables(desk: Desk, routes: MeasuredRoutes, narrow: Sequence[_Narrow]) -> Iterator[Table]:
    yield Table("Key to the ways", (), tuple(_key(desk, routes)))
    places = [
        (tag, _words(desk, space), desk.length(space.at_mm[0]), desk.length(space.at_mm[1]))
        for tag, space in _spaces(routes)
    ]
    yield Table("Turning spaces", ("Tag", "Floor to turn on", "Middle: x", "y"), tuple(places))
    yield Table(
        "Narrowest places of the ways",
        ("Tag", "Clear", "Wanted", "Between", "On the way to", "Up to"),
        tuple(row for one in narrow for row in _rows(desk, one)),
    )
    closed = [route.target for route in routes.routes if len(route.line_mm) < 2]
    yield Table("No way was found to", (), tuple((target,) for target in closed))


def _rows(desk: Desk, narrow: _Narrow) -> Iterator[tuple[str, ...]]:
    names = [_short(desk, route.target) for route in narrow.routes]
    wanted = max(route.wanted_mm for route in narrow.routes)
    longest = max(route.length_mm for route in narrow.routes)
    head = (
        narrow.tag,
        desk.length(narrow.place.width_mm),
        desk.length(wanted),
        narrow.place.between.removeprefix("between "),
    )
    for start in range(0, len(names), _MOST):
        said = ", ".join(names[start : start + _MOST])
        yield (*head, said, desk.length(longest)) if start == 0 else ("", "", "", "", said, "")


def _short(desk: Desk, target: str) -> str:
    """Name what a way leads to by its tag, and by its side where that is not the front."""
    for placement in desk.layout.placements:
        if f" {placement.id} (" in target:
            side = target.removeprefix("the ").split(" ", 1)[0]
            return placement.id if side == "front" else f"{placement.id} {side}"
    return target.removeprefix("slat-wall run ").removeprefix("the ")


def _key(desk: Desk, routes: MeasuredRoutes) -> Iterator[tuple[str, str]]:
    if _drawn(routes, staff=False):
        yield "Dash and dot", "ways of customers as measured, where they are shortest"
        width = _known(desk, "route-width")
        if width is not None:
            yield "Green ground", f"floor along them, {desk.length(width)} wide"
    if _drawn(routes, staff=True):
        yield "Dots", "ways of staff"
    if any(route.narrowest is not None for route in routes.routes):
        yield "Line across, N", "narrowest place of some ways, with its clear width"
    if routes.turning_spaces:
        wanted = _known(desk, "turning-circle")
        about = "the largest that fits" if wanted is None else f"{desk.length(wanted)} across"
        yield "Circle, T", f"floor to turn on, {about}; dashed, how much is free"
    if any(end.turning is not None for end in routes.dead_ends):
        yield "T shape", "floor to turn on at the end of a way"
    if _longer(routes):
        yield "Short dashes", "way that leads no farther, beyond the last circle"
    yield "Light ground", f"aisle of {desk.length(desk.scenario.brief.aisle)}"
    yield from planshell.untold(desk.shop)
