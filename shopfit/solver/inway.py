"""What is in the way of a pinned fixture, by where it stands and what it keeps clear."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit.geometry.footprint import against_wall, footprint, side_band
from shopfit.geometry.openings import clear_space, door_swing
from shopfit.model.fixtures import Fixture
from shopfit.model.layout import Placement
from shopfit.model.scenario import Keep, Scenario
from shopfit.solver.making import fits_under
from shopfit.solver.site import Site
from shopfit.standards.panels import wanted_space

# Shapes that overlap by less than this everywhere touch, mm.
_TOUCH_MM = 1.0


def in_the_way(scenario: Scenario, keep: Keep) -> list[str]:
    """Name what a pinned fixture stands in, or else what lies in its clear floor.

    Parameters
    ----------
    scenario, keep
        The scenario, and one of its pins.
    """
    site = Site(scenario)
    fixture, placement = _placed(site, keep)
    body = footprint(fixture, placement).buffer(-_TOUCH_MM, join_style="mitre")
    divider = "divider" in fixture.stands and site.staff_zones.covers(body)
    met = [*_on_wall(site, keep, fixture), *_met(site, keep, body, divider)]
    if divider and not _on_edge(site, fixture, placement):
        met.append("the rest of the staff zone, of whose edge to the shop its front is not part")
    if not met:
        for side in fixture.customer_sides:
            band = side_band(fixture, placement, side, site.brief.aisle)
            shape = band.buffer(-_TOUCH_MM, join_style="mitre")
            met += [f"in the aisle before its {side}, {one}" for one in _taken(site, keep, shape)]
    return list(dict.fromkeys(met))


def _placed(site: Site, keep: Keep) -> tuple[Fixture, Placement]:
    fixture = site.scenario.catalogue.fixture(keep.fixture)
    if keep.wall is not None and keep.offset is not None:
        return fixture, against_wall("", fixture, site.shell.wall(keep.wall), keep.offset)
    assert keep.at is not None
    x, y = keep.at
    return fixture, Placement(id="", fixture=fixture.id, x_mm=x, y_mm=y, angle_deg=keep.angle)


def _on_wall(site: Site, keep: Keep, fixture: Fixture) -> Iterator[str]:
    if keep.wall is None or keep.offset is None:
        return
    wall = site.shell.wall(keep.wall)
    left, right = keep.offset, keep.offset + fixture.width
    if not wall.fixtures:
        yield f"wall {wall.id} (marked without fixtures)"
    if wall.lowest(left, right) < fixture.height - _TOUCH_MM:
        yield f"the ceiling over wall {wall.id}"
    if not fits_under(site, wall, fixture, keep.offset):
        for thing in site.things_on(wall):
            beside = thing.left >= right - _TOUCH_MM or thing.right <= left + _TOUCH_MM
            if not beside and thing.kind not in ("outlet", "other"):
                low = thing.kind == "door" or thing.bottom < fixture.height - _TOUCH_MM
                yield from [f"{thing.kind} {thing.id}"] if low else ()


def _met(site: Site, keep: Keep, body: BaseGeometry, divider: bool) -> Iterator[str]:
    """Give what a footprint stands in, or on."""
    yield from _taken(site, keep, body, zones=not divider)
    for door in site.scenario.shop.doors:
        swing = door_swing(site.shell.wall(door.wall), door) or Polygon()
        inside = unary_union([site.approach(door, True), swing])
        beyond = site.approach(door, False) if door.leads_to is not None else Polygon()
        if body.intersects(inside) or body.intersects(beyond):
            yield f"the floor kept clear before door {door.id}"
    for thing in site.scenario.shop.obstructions:
        wanted = thing.model_copy(update={"clear": wanted_space(site.rulebook, thing)})
        space = clear_space(site.shell.wall(thing.wall), wanted)
        if space is not None and body.intersects(space):
            yield f"the floor kept clear before {thing.kind} {thing.id}"
    for clear in site.scenario.pins.clear:
        if body.intersects(Polygon(clear.corners)):
            yield f"the floor '{clear.id}' kept empty"


def _taken(site: Site, keep: Keep, shape: BaseGeometry, zones: bool = True) -> Iterator[str]:
    """Give what takes up a piece of floor, or part of it."""
    if not any(room.covers(shape) for room in site.shell.rooms.values()):
        yield "a wall of the room"
    for zone in site.scenario.shop.zones:
        outline = site.shell.zones.get(zone.id)
        if zones and outline is not None and shape.intersects(outline):
            yield f"the {zone.kind} zone '{zone.id}'"
    for name, column in site.shell.columns.items():
        if shape.intersects(column):
            yield f"column {name}"
    for number, other in enumerate(site.scenario.pins.keep):
        if other is not keep and shape.intersects(footprint(*_placed(site, other))):
            yield f"{other.fixture} of pin {number + 1}"


def _on_edge(site: Site, fixture: Fixture, placement: Placement) -> bool:
    """Say whether the front of a fixture lies on an edge of a staff zone to the shop."""
    strip = side_band(fixture, placement, "front", _TOUCH_MM)
    zone = site.staff_zones.buffer(-_TOUCH_MM / 2)
    return not strip.buffer(-_TOUCH_MM / 4).intersects(zone)
