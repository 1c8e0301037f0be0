"""Measures every route of a layout, whether or not anything is wrong with it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely import LineString, Point
from shapely.geometry.base import BaseGeometry

from shopfit.checks import between, ways
from shopfit.checks.dividers import back_band, dividers
from shopfit.checks.doorfloor import manoeuvring
from shopfit.checks.fronts import fronts
from shopfit.checks.notes import less, middle
from shopfit.checks.scene import Scene
from shopfit.checks.turnspaces import Ending, endings
from shopfit.checks.ways import Who
from shopfit.geometry.gaps import Gap
from shopfit.geometry.pinches import narrowest_on, pinches_on
from shopfit.geometry.shell import PlanPoint
from shopfit.geometry.shortest import Route
from shopfit.geometry.turnspaces import Fitted, circles
from shopfit.geometry.widest import Floors, Widest
from shopfit.model.route import (
    MeasuredRoute,
    MeasuredRoutes,
    NarrowPlace,
    PlanLine,
    TargetKind,
    TurningSpace,
    WayEnd,
)
from shopfit.standards.routes import clear_width

# Where ways begin and end their width is known to this, mm.
_TRUE_MM = 0.5


@dataclass(frozen=True)
class _Target:
    name: str
    kind: TargetKind
    place: BaseGeometry
    near: PlanPoint


def measure(scene: Scene) -> MeasuredRoutes:
    """Measure the routes to every target, the turning spaces and the dead ends."""
    aisle, staff = scene.brief.aisle, scene.brief.staff_aisle
    exit_width = scene.rulebook.mm("exit-width")
    found = _routes(scene, _customer_targets(scene), "customers", aisle, "customers")
    found += _routes(scene, _staff_targets(scene), "staff", staff, "staff")
    found += _routes(scene, _exit_targets(scene), "staff", exit_width, "customers")
    return MeasuredRoutes(
        routes=tuple(found),
        turning_spaces=_turning_spaces(scene),
        dead_ends=tuple(_way_end(scene, one) for one in endings(scene)),
    )


def _customer_targets(scene: Scene) -> list[_Target]:
    found = []
    for front in fronts(scene):
        owner = front.owner
        kind: TargetKind = (
            "counter" if owner is not None and owner.fixture.kind == "counter" else "front"
        )
        place = ways.standing(front, scene.brief.aisle)
        found.append(_Target(front.name, kind, place, middle(front.band) or front.start))
    return found


def _staff_targets(scene: Scene) -> list[_Target]:
    shapes: list[tuple[str, BaseGeometry]] = [
        (f"the staff zone {zone.id}", zone.shape) for zone in scene.staff_zones
    ]
    shapes += [(f"the floor behind {one.name}", back_band(scene, one)) for one in dividers(scene)]
    return [_Target(name, "staff", shape, middle(shape) or (0.0, 0.0)) for name, shape in shapes]


def _exit_targets(scene: Scene) -> list[_Target]:
    return [
        _Target(
            f"exit {door.id}",
            "exit",
            manoeuvring(scene, door, wall),
            wall.point(door.offset + door.width / 2),
        )
        for door, wall in scene.doors
        if door.use == "exit"
    ]


def _routes(
    scene: Scene, targets: Sequence[_Target], who: Who, wanted: float, from_: Who
) -> list[MeasuredRoute]:
    """Measure the routes to some targets.

    Parameters
    ----------
    scene, targets
        To what.
    who, from_
        Over whose floor, and by whose doors they begin.
    wanted
        Width that is wanted, mm; wider ways are not told apart.
    """
    along = ways.widest(scene, who) if who == from_ else ways.exits(scene)
    widest = [along.to(target.place) for target in targets]
    by_width: dict[float, list[int]] = {}
    for number, one in enumerate(widest):
        if one.gap is not None:
            by_width.setdefault(_walked_at(one.width, wanted), []).append(number)
    routes: dict[int, Route | None] = {}
    for width, numbers in by_width.items():
        asked = [(targets[k].place, targets[k].near) for k in numbers]
        made = ways.paths(scene, who, width, from_).to(asked)
        routes |= dict(zip(numbers, made, strict=True))
    floors = ways.floors(scene, who)
    return [
        _told(scene, floors, target, one, routes.get(number), wanted, who == "staff")
        for number, (target, one) in enumerate(zip(targets, widest, strict=True))
    ]


def _walked_at(width: float, wanted: float) -> float:
    if not less(width, wanted, _TRUE_MM):
        return wanted
    # Rounded down, so that ways of nearly the same width are worked out together.
    return max(float(int(width - _TRUE_MM)), 1.0)


def _told(
    scene: Scene,
    floors: Floors,
    target: _Target,
    widest: Widest,
    route: Route | None,
    wanted: float,
    staff: bool,
) -> MeasuredRoute:
    told = MeasuredRoute(
        target=target.name,
        kind=target.kind,
        widest_mm=round(widest.width, 2),
        wanted_mm=wanted,
    )
    if widest.gap is None or route is None:
        return told
    gap = narrowest_on(floors, *route.free)
    # What only the floor before the target limits is no narrow place, as long as it is enough.
    ample = widest.gap.one_sided and not less(widest.width, wanted)
    if not ample and (gap is None or gap.width > widest.width):
        gap = widest.gap
    if gap is None:
        return told.model_copy(
            update={"line_mm": _plain(route.line), "length_mm": round(route.length, 1)}
        )
    limit = scene.rulebook.mm("route-width")
    found = []
    narrow = less(gap.width, limit)
    for one in pinches_on(floors, route.line, limit, route.free) if narrow else []:
        allowed = clear_width(scene.rulebook, one.pinch.gap.width, one.pinch.length).met
        found.append(_narrow(scene, one.pinch.gap, one.start, one.pinch.length, allowed, staff))
    wide = not less(gap.width, limit)
    first = min(found, key=lambda one: one.width_mm, default=None)
    return told.model_copy(
        update={
            "line_mm": _plain(route.line),
            "length_mm": round(route.length, 1),
            "narrowest": first or _narrow(scene, gap, _station(route, gap), 0.0, wide, staff),
            "pinches": tuple(found),
        }
    )


def _narrow(
    scene: Scene, gap: Gap, start: float, length: float, allowed: bool, staff: bool
) -> NarrowPlace:
    return NarrowPlace(
        width_mm=round(gap.width, 2),
        length_mm=round(length, 1),
        from_mm=round(start, 1),
        across_mm=_plain((gap.start, gap.end)),
        between=between.named(scene, gap, staff),
        allowed=allowed,
    )


def _station(route: Route, gap: Gap) -> float:
    return float(LineString(route.line).project(Point(gap.middle)))


def _plain(line: Sequence[PlanPoint]) -> PlanLine:
    return tuple((round(float(x), 1), round(float(y), 1)) for x, y in line)


def _turning_spaces(scene: Scene) -> tuple[TurningSpace, ...]:
    """Give the largest circle of every part of the customers' floor on which one turns."""
    wanted = scene.rulebook.mm("turning-circle")
    floors = ways.floors(scene, "customers")
    along = ways.widest(scene, "customers")
    found = []
    for area in circles(floors.polygons, wanted):
        inner = shapely.maximum_inscribed_circle(area, tolerance=5.0)
        (x, y), _ = inner.coords
        size = wanted + 2 * float(inner.length)
        if along.to(area).width < scene.rulebook.mm("route-width"):
            continue
        outline = Point(x, y).buffer(size / 2, quad_segs=12).exterior.coords
        found.append(
            TurningSpace(
                shape="circle",
                at_mm=(round(x, 1), round(y, 1)),
                size_mm=round(size, 1),
                outline_mm=_plain(list(outline)),
            )
        )
    return tuple(found)


def _way_end(scene: Scene, ending: Ending) -> WayEnd:
    return WayEnd(
        line_mm=_plain(ending.way.line),
        length_mm=round(ending.way.length, 1),
        turning=None if ending.turning is None else _tee(scene, ending.turning),
    )


def _tee(scene: Scene, fitted: Fitted) -> TurningSpace:
    return TurningSpace(
        shape="T",
        at_mm=(round(fitted.at[0], 1), round(fitted.at[1], 1)),
        angle_deg=round(fitted.angle_deg, 4),
        size_mm=scene.rulebook.mm("turning-tee"),
        outline_mm=_plain(list(fitted.outline.exterior.coords)),
    )
