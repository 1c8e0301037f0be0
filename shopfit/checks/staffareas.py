"""Checks staff areas: whether they can be entered, passed through, and stepped up to."""

from __future__ import annotations

from collections.abc import Iterator

from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit.checks import ways
from shopfit.checks.clauses import drawn
from shopfit.checks.dividers import back_band, dividers
from shopfit.checks.notes import less, middle, published, severity_of
from shopfit.checks.saying import say
from shopfit.checks.scene import Area, Scene, Stood, grow
from shopfit.geometry.freefloor import reached
from shopfit.model.finding import Finding
from shopfit.standards.routes import raised_area_exempt, staff_path_wanted
from shopfit.standards.surfaces import level_change


def check(scene: Scene) -> Iterator[Finding]:
    """Find staff areas that a wheelchair does not get into, or through where it has to.

    Source
    ------
    2010 ADA Standards, 203.9 (approach, enter and exit; small raised areas) and 206.2.8 (a way
    through, unless a small area has fixed bounds). Text read.
    """
    raised = {zone.id: zone.raised for zone in scene.scenario.shop.zones}
    for zone in scene.staff_zones:
        shape = zone.shape.intersection(scene.shell.floor)
        if shape.area <= 1.0:
            continue
        yield from _raised(scene, zone, shape, raised.get(zone.id, 0.0))
        yield from _entered(scene, zone, shape)


def _raised(scene: Scene, zone: Area, shape: BaseGeometry, height: float) -> Iterator[Finding]:
    if level_change(scene.rulebook, height) == "none":
        return
    if raised_area_exempt(scene.rulebook, shape.area / 1e6, height):
        return
    area = scene.rulebook.requirement("raised-area")
    small = area.holds(shape.area / 1e6)
    least = scene.words.say(scene.rulebook.mm("raised-height"))
    limit = scene.rulebook.requirement("raised-height" if small else "level-without-ramp")
    yield say(
        "staff-raised",
        "violation",
        f"staff area {zone.id}",
        f"The floor of staff area {zone.id} is raised by {scene.words.say(height)}, with no ramp "
        f"to it; only areas under {area.written}, raised by {least} or more because the work needs "
        "it, may be so.",
        "Lower it to the floor around it, or add a ramp.",
        published(limit),
        required=scene.rulebook.mm("level-without-ramp"),
        measured=height,
        at_mm=middle(shape),
        drawn_mm=drawn(shape),
    )


def _entered(scene: Scene, zone: Area, shape: BaseGeometry) -> Iterator[Finding]:
    book = scene.rulebook
    door, route = book.requirement("door-width"), book.requirement("route-width")
    begins = ways.starts(scene, ("entrance", "staff"))
    if not begins:
        return
    counters = [one for one in dividers(scene) if one.shape.intersects(shape)]
    edge = [one for one in scene.stood if grow(one.shape, 1.0).intersects(shape)]
    loose = severity_of([not one.fixture.fixed for one in edge])
    large = staff_path_wanted(book, shape.area / 1e6, fixed_bounds=True)
    fastened = all(one.fixture.fixed for one in edge if one.role == "divider")
    through = large or not fastened or _is_open(scene, zone, edge)
    wanted = route if through else door
    # What the brief asks for already is measured by the routes of staff.
    if not less(scene.brief.staff_aisle, wanted.value):
        return
    found = reached(
        ways.areas(scene, [one.shape for one in scene.stood], wanted.value),
        begins,
        ways.links(scene),
    )
    targets = [shape] if not through or not counters else [back_band(scene, c) for c in counters]
    if all(any(area.intersects(target) for area in found) for target in targets):
        return
    clause = published(book.requirement("staff-area" if through else "raised-area"))
    what = "through" if through else "into"
    severity, why, other = loose, "", ""
    if large:
        severity, why = "barrier to review", "it is large"
    elif not fastened:
        severity, why = "barrier to review", "what bounds it is not fixed"
        other = ", or fasten the counters and cases around it"
    elif through:
        # How far a counter and its gaps bound an area is for a reviewer to judge.
        severity, why = "advice", "one side of it is open"
        other = ", or bound that side by counters that are fixed"
    if why:
        why = f", since {why}; work equipment may narrow it"
    yield say(
        f"staff-{'path' if through else 'enter'}",
        severity,
        f"staff area {zone.id}",
        f"No way {scene.words.say(wanted.value)} wide leads {what} staff area {zone.id}{why}.",
        f"Open the way {what} it to {scene.words.say(wanted.value)}{other}.",
        clause,
        required=wanted.value,
        at_mm=middle(shape),
        drawn_mm=drawn(shape),
    )


def _is_open(scene: Scene, zone: Area, edge: list[Stood]) -> bool:
    """Say whether walls, columns and fixed fixtures leave more of its edge open than ways in.

    That is a gap wider than two of the brief's aisles for staff: a rule of the house.
    """
    fixed: list[BaseGeometry] = [one.shape for one in edge if one.fixture.fixed]
    fixed += scene.shell.columns.values()
    walls = [room.exterior for room in scene.shell.rooms.values()]
    bounds = unary_union([grow(shape, 1.0) for shape in fixed] + [w.buffer(1.0) for w in walls])
    outside = zone.shape.exterior.difference(bounds)
    open_length = max((part.length for part in getattr(outside, "geoms", [outside])), default=0.0)
    return open_length > 2 * scene.brief.staff_aisle
