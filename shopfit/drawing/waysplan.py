"""Draws the ways through the shop: routes as measured, their narrow places, turning spaces."""

from __future__ import annotations

from shopfit.drawing import plan
from shopfit.drawing.desk import Desk
from shopfit.drawing.findingroutes import route_lines, route_words
from shopfit.drawing.lightplan import light_ground
from shopfit.drawing.paper import PageName, plan_on_paper
from shopfit.drawing.scene import Fill, Group, Item, Layer, Pen, Scene, Shape, Table, Text
from shopfit.drawing.sheet import Page, Sheet, compose, table_sheets
from shopfit.model.route import MeasuredRoutes, TurningSpace

FILE = "ways"
_VIOLET = "#6d3f8c"
_TURN = Pen(0.3, _VIOLET)
_TURN_FILL = Fill(None, "rising", 3.0, Pen(0.08, "#b79bc9"))
_END = Pen(0.3, "#a8501a", (0.8, 0.8))


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
    layers, lettering = light_ground(desk)
    turning = _turnings(desk, routes)
    ends = [
        Shape(end.line_mm, _END, None, closed=False)
        for end in routes.dead_ends
        if len(end.line_mm) > 1
    ]
    lines = route_lines(desk, routes)
    return Scene(
        "Ways",
        f"Plan of {desk.shop.name} with the ways as measured and the floor to turn on.",
        desk.scale,
        (
            *layers,
            Layer("turning spaces", tuple(turning)),
            Layer("dead ends", tuple(ends)),
            Layer("routes", tuple(lines)),
            lettering,
        ),
        (_key(desk, routes), _turning_table(desk, routes), _route_table(desk, routes)),
    )


def _spaces(routes: MeasuredRoutes) -> list[tuple[str, TurningSpace]]:
    """Give numbers to turning spaces: circles first, then the T-shaped at ends of ways."""
    found = [*routes.turning_spaces, *(end.turning for end in routes.dead_ends if end.turning)]
    return [(f"T{number}", space) for number, space in enumerate(found, start=1)]


def _needed(desk: Desk, space: TurningSpace) -> tuple[tuple[float, float], ...]:
    """Give the outline of the turning space that is wanted, in the middle of the free circle."""
    if space.shape == "T":
        return space.outline_mm
    (x, y), wanted = space.at_mm, desk.rulebook.mm("turning-circle")
    share = min(1.0, wanted / space.size_mm)
    return tuple((x + (px - x) * share, y + (py - y) * share) for px, py in space.outline_mm)


def _turnings(desk: Desk, routes: MeasuredRoutes) -> list[Item]:
    items: list[Item] = []
    for tag, space in _spaces(routes):
        words = f"{tag}: {_words(desk, space)}"
        text = Text(space.at_mm, tag, bold=True, colour=_VIOLET, halo=True)
        found = desk.labels.lead(text, space.at_mm, near=2.0)
        shape = Shape(_needed(desk, space), _TURN, _TURN_FILL)
        items.append(Group(tag, words, (shape, *found)))
    return items


def _words(desk: Desk, space: TurningSpace) -> str:
    if space.shape == "T":
        return f"T-shaped space of {desk.length(space.size_mm)}"
    wanted = desk.length(desk.rulebook.mm("turning-circle"))
    return f"circle of {wanted}; {desk.length(space.size_mm)} are free"


def _key(desk: Desk, routes: MeasuredRoutes) -> Table:
    rows = route_words(desk, routes)
    if any(space.shape == "circle" for _, space in _spaces(routes)):
        wanted = desk.length(desk.rulebook.mm("turning-circle"))
        rows.append(("Hatched circle", f"floor to turn on, {wanted} across"))
    if any(space.shape == "T" for _, space in _spaces(routes)):
        rows.append(("Hatched T", "floor to turn on at the end of a way"))
    if any(len(end.line_mm) > 1 for end in routes.dead_ends):
        rows.append(("Short dashes", "way that leads no farther, beyond the last circle"))
    rows.append(("Light ground", f"aisle of {desk.length(desk.scenario.brief.aisle)}"))
    return Table("Key to the ways", (), tuple(rows))


def _turning_table(desk: Desk, routes: MeasuredRoutes) -> Table:
    rows = [
        (tag, _words(desk, space), desk.length(space.at_mm[0]), desk.length(space.at_mm[1]))
        for tag, space in _spaces(routes)
    ]
    head = ("No.", "Floor to turn on", "Middle: x", "y")
    return Table("Turning spaces", head, tuple(rows))


def _route_table(desk: Desk, routes: MeasuredRoutes) -> Table:
    rows = []
    for route in routes.routes:
        if not route.line_mm:
            rows.append((route.target, "no way", desk.length(route.wanted_mm), ""))
            continue
        place = route.narrowest
        width = "" if place is None else desk.length(place.width_mm)
        rows.append(
            (route.target, width, desk.length(route.wanted_mm), desk.length(route.length_mm))
        )
    head = ("Way to", "Narrowest", "Wanted", "Long")
    return Table("Ways from the door", head, tuple(rows))
