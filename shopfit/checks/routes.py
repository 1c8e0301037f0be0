"""Checks that customers get from the entrance to every front, and staff to their zone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shapely.geometry.base import BaseGeometry

from shopfit.checks import ways
from shopfit.checks.dividers import back_band, dividers
from shopfit.checks.doors import manoeuvring
from shopfit.checks.fronts import Front, fronts
from shopfit.checks.notes import BRIEF, Source, less, middle, published
from shopfit.checks.scene import Scene
from shopfit.geometry.freefloor import reached
from shopfit.model.finding import Finding, Severity


def check(scene: Scene) -> Iterator[Finding]:
    """Find fronts, staff zones and exits that cannot be reached at the width wanted."""
    yield from _customers(scene)
    yield from _staff(scene)
    yield from _exits(scene)


def _unreached(
    scene: Scene,
    fronts_: Sequence[Front],
    obstacles: Sequence[BaseGeometry],
    starts: Sequence[BaseGeometry],
    width: float,
) -> list[Front]:
    found = reached(ways.areas(scene, obstacles, width), starts, ways.links(scene))
    return ways.missed(fronts_, found, width)


def _customers(scene: Scene) -> Iterator[Finding]:
    starts = ways.starts(scene, ("entrance",))
    wanted = fronts(scene)
    if not starts:
        yield _no_start("customers", "entrance", "entrance")
        return
    if not wanted:
        return
    aisle = scene.brief.aisle
    missed = _unreached(scene, wanted, ways.obstacles(scene), starts, aisle)
    if not missed:
        return
    route = scene.rulebook.requirement("route-width")
    narrow = missed
    if less(route.value, aisle):
        narrow = _unreached(scene, missed, ways.obstacles(scene), starts, route.value)
    hard = _unreached(scene, narrow, ways.obstacles(scene, only_fixed=True), starts, route.value)
    for front in missed:
        published_too = any(front is other for other in narrow)
        fixed_too = any(front is other for other in hard)
        if less(route.value, aisle) or less(aisle, route.value):
            yield _out_of_reach(scene, front, "reach", "violation", aisle, BRIEF, published_too)
        if published_too:
            severity: Severity = "violation" if fixed_too else "barrier to review"
            source = published(route)
            yield _out_of_reach(
                scene, front, "accessible-route", severity, route.value, source, True
            )


def _out_of_reach(
    scene: Scene,
    front: Front,
    code: str,
    severity: Severity,
    width: float,
    source: Source,
    narrow_too: bool,
) -> Finding:
    words = scene.words
    message = (
        f"Nothing {words.say(width)} wide gets from the entrance to {front.name} and turns about "
        "before it."
    )
    if not narrow_too:
        narrow = scene.rulebook.mm("route-width")
        message += f" A way {words.say(narrow)} wide is there."
    return Finding(
        code=code,
        severity=severity,
        subject=front.name,
        message=message,
        mend=f"Open the way to it to {words.say(width)}: move or leave out what stands closest.",
        required=width,
        clause=source.clause,
        source=source.source,
        confidence=source.confidence,
        at_mm=middle(front.band),
    )


def _no_start(who: str, what: str, use: str) -> Finding:
    return Finding(
        code=f"{who}-route-not-checked",
        severity="not checked",
        subject="routes",
        message=f"The way of {who} through the shop was not checked: the shop has no {what}.",
        mend=f"Add a door with use: {use} in shop.yaml.",
        source=BRIEF.source,
    )


def _staff(scene: Scene) -> Iterator[Finding]:
    zones = [
        zone
        for zone in scene.staff_zones
        if any(zone.shape.intersection(room).area > 1.0 for room in scene.shell.rooms.values())
    ]
    counters = dividers(scene)
    if not zones and not counters:
        return
    starts = ways.starts(scene, ("entrance", "staff"))
    if not starts:
        yield _no_start("staff", "entrance and no staff door", "staff")
        return
    width = scene.brief.staff_aisle
    found = reached(
        ways.areas(scene, [one.shape for one in scene.stood], width), starts, ways.links(scene)
    )
    targets = [(f"the staff zone {zone.id}", zone.shape) for zone in zones]
    targets += [(f"the floor behind {one.name}", back_band(scene, one)) for one in counters]
    for name, shape in targets:
        if any(area.intersects(shape) for area in found):
            continue
        yield Finding(
            code="staff-reach",
            severity="violation",
            subject=name,
            message=f"Nothing {scene.words.say(width)} wide gets from a door to {name}.",
            mend=f"Leave a gap {scene.words.say(width)} wide between dividers, or give the zone "
            "a door of its own.",
            required=width,
            source=BRIEF.source,
            at_mm=middle(shape),
        )


def _exits(scene: Scene) -> Iterator[Finding]:
    doors = [(door, wall) for door, wall in scene.doors if door.use == "exit"]
    if not doors:
        return
    starts = ways.starts(scene, ("entrance",))
    if not starts:
        yield _no_start("exit", "entrance", "entrance")
        return
    limit = scene.rulebook.requirement("exit-width")
    source = published(limit)
    obstacles = [one.shape for one in scene.stood]
    found = reached(ways.areas(scene, obstacles, limit.value), starts, ways.links(scene))
    for door, wall in doors:
        space = manoeuvring(scene, door, wall)
        if any(area.intersects(space) for area in found):
            continue
        yield Finding(
            code="exit-reach",
            severity="violation",
            subject=f"door {door.id}",
            message=f"No way {scene.words.say(limit.value)} wide leads through the shop to exit "
            f"{door.id}.",
            mend=f"Open a way {scene.words.say(limit.value)} wide or more to it; local code may "
            "want more.",
            required=limit.value,
            clause=source.clause,
            source=source.source,
            confidence=source.confidence,
            at_mm=middle(space),
            wall=wall.id,
        )
