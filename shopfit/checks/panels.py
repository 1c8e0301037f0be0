"""Checks that the floor before panelboards, and before other things that want it, is empty."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from shopfit.checks import ways
from shopfit.checks.between import move_off
from shopfit.checks.clauses import drawn, unmeasured
from shopfit.checks.notes import SHELL, Source, less, middle, published, way_out
from shopfit.checks.saying import say
from shopfit.checks.scene import Hung, Scene
from shopfit.geometry.freefloor import reached
from shopfit.geometry.openings import clear_extent
from shopfit.geometry.shell import WallLine
from shopfit.model.finding import Finding, Severity
from shopfit.model.shell import ClearSpace, WallObstruction
from shopfit.standards.panels import LOW_VOLTS, MOST_VOLTS, panel_space, wanted_space, working_depth
from shopfit.units import TOLERANCE_MM


def check(scene: Scene) -> Iterator[Finding]:
    """Find fixtures and displays in the working space of panelboards and the like."""
    for thing, wall in scene.obstructions:
        wanted = wanted_space(scene.rulebook, thing)
        yield from _asked_too_little(scene, thing, wall)
        if wanted is None or wanted.depth <= 0:
            continue
        yield from _fixtures(scene, thing, wall, wanted)
        for one in scene.runs_on.get(wall.id, []):
            yield from _displays(scene, thing, wanted, one)
        if thing.kind == "panelboard":
            yield from _columns(scene, thing, wall, wanted)
            yield from _headroom(scene, thing, wall, wanted)
            yield from _above(scene, thing, wall)
            yield from _way(scene, thing, wall, wanted)
    yield from _unknown(scene)


def _source(scene: Scene, thing: WallObstruction) -> Source:
    if thing.clear is not None:
        return SHELL
    volts = LOW_VOLTS if thing.volts is None else thing.volts
    depth = working_depth(scene.rulebook, volts, thing.opposite or "live")
    return published(depth or scene.rulebook.requirement("panel-depth-live-live"))


def _panels(scene: Scene) -> list[WallObstruction]:
    return [thing for thing, _ in scene.obstructions if thing.kind == "panelboard"]


def _unknown(scene: Scene) -> Iterator[Finding]:
    panels = _panels(scene)
    missing = {
        "volts": [p.id for p in panels if p.volts is None],
        "opposite": [p.id for p in panels if p.opposite is None and (p.volts or 0) > LOW_VOLTS],
    }
    yield from unmeasured(
        scene,
        "panel-voltage",
        "whether the working space of a panelboard has to be deeper than 36 in; up to 150 V to "
        "ground, or live parts opposite, are taken",
        missing,
        "Read the voltage to ground on the panelboard's label, and look what is behind whoever "
        "works at it; ask a licensed electrician.",
        ("panel-depth-live-earth", "panel-depth-live-live"),
    )
    for panel in panels:
        if panel.volts is not None and panel.volts > MOST_VOLTS:
            yield say(
                "panel-over-600-not-checked",
                "not checked",
                f"panelboard {panel.id}",
                f"The working space of panelboard {panel.id} was not checked: {panel.volts:g} V to "
                f"ground is over {MOST_VOLTS:g} V. The deepest space known was kept empty.",
                "Ask a licensed electrician how much it wants.",
                published(scene.rulebook.requirement("panel-depth-live-live")),
            )


def _asked_too_little(scene: Scene, thing: WallObstruction, wall: WallLine) -> Iterator[Finding]:
    if thing.kind != "panelboard" or thing.clear is None:
        return
    width = max(thing.clear.width, thing.width)
    wanted = panel_space(scene.rulebook, thing)
    volts = LOW_VOLTS if thing.volts is None else thing.volts
    deep = working_depth(scene.rulebook, volts, thing.opposite or "live")
    for limit, least, asked in (
        (scene.rulebook.requirement("panel-width"), wanted.width, width),
        (deep or scene.rulebook.requirement("panel-depth"), wanted.depth, thing.clear.depth),
    ):
        if less(asked, least):
            source = published(limit)
            yield Finding(
                code="working-space-asked",
                severity="advice",
                subject=f"{thing.kind} {thing.id}",
                message=f"The space asked for before {thing.kind} {thing.id} is small: "
                f"{scene.words.versus(asked, least)} ({limit.quantity}).",
                mend="Leave clear out to use the published space, and ask a licensed electrician.",
                required=least,
                measured=asked,
                clause=source.clause,
                source=source.source,
                confidence=source.confidence,
                wall=wall.id,
            )


def _fixtures(
    scene: Scene, thing: WallObstruction, wall: WallLine, wanted: ClearSpace
) -> Iterator[Finding]:
    left, right = clear_extent(wall, thing, wanted.width)
    space: Polygon = wall.rectangle(left, right, 0.0, wanted.depth)
    source = _source(scene, thing)
    for one in scene.standing_in(space):
        distance = way_out(one.shape, space)
        # Loose or fixed makes no difference: storage in front of a panelboard is the hazard.
        yield Finding(
            code="working-space",
            severity="violation",
            subject=f"{one.name} and {thing.kind} {thing.id}",
            message=f"{one.name} stands {scene.words.fine(distance)} inside the space before "
            f"{thing.kind} {thing.id}, {scene.words.say(right - left)} wide and "
            f"{scene.words.say(wanted.depth)} deep, which must stay empty.",
            mend=f"{move_off(scene, one, space)}.",
            required=0.0,
            measured=distance,
            clause=source.clause,
            source=source.source,
            confidence=source.confidence,
            at_mm=middle(space.intersection(one.shape)),
            drawn_mm=drawn(space),
        )


def _displays(
    scene: Scene, thing: WallObstruction, wanted: ClearSpace, one: Hung
) -> Iterator[Finding]:
    left, right = clear_extent(one.wall, thing, wanted.width)
    shared = min(one.run.to_mm, right) - max(one.run.from_mm, left)
    if shared <= TOLERANCE_MM or one.run.bottom_mm >= wanted.height > 0:
        return
    source = _source(scene, thing)
    x, y = one.wall.point((max(one.run.from_mm, left) + min(one.run.to_mm, right)) / 2)
    yield Finding(
        code="working-space-display",
        severity="barrier to review",
        subject=f"{one.name} and {thing.kind} {thing.id}",
        message=f"{one.name} runs {scene.words.fine(shared)} into the space before {thing.kind} "
        f"{thing.id}; goods on it stand in that space.",
        mend=f"Shorten the run by {scene.words.enough(shared)}, or hang nothing on that part.",
        required=0.0,
        measured=shared,
        clause=source.clause,
        source=source.source,
        confidence=source.confidence,
        at_mm=(round(x, 1), round(y, 1)),
        wall=one.wall.id,
        height_mm=one.run.bottom_mm,
    )


def _columns(
    scene: Scene, thing: WallObstruction, wall: WallLine, wanted: ClearSpace
) -> Iterator[Finding]:
    left, right = clear_extent(wall, thing, wanted.width)
    space = wall.rectangle(left, right, 0.0, wanted.depth)
    short = space.area - space.intersection(scene.rooms[wall.room]).area
    blocked = scene.columns_in(space)
    if not blocked and short <= TOLERANCE_MM * (right - left + wanted.depth):
        return
    what = f"column {blocked[0]} stands" if blocked else "a wall lies"
    yield say(
        "working-space-shell",
        "advice",
        f"panelboard {thing.id}",
        f"No room for the working space of panelboard {thing.id}, "
        f"{scene.words.say(right - left)} wide and {scene.words.say(wanted.depth)} deep: {what} "
        "in it.",
        "No layout can mend this: ask a licensed electrician.",
        _source(scene, thing),
        at_mm=middle(space),
        drawn_mm=drawn(space),
        wall=wall.id,
    )


def _headroom(
    scene: Scene, thing: WallObstruction, wall: WallLine, wanted: ClearSpace
) -> Iterator[Finding]:
    left, right = clear_extent(wall, thing, wanted.width)
    ceiling = wall.lowest(left, right)
    limit = scene.rulebook.requirement("panel-height")
    if less(ceiling, limit.value):
        yield say(
            "working-space-height",
            "advice",
            f"panelboard {thing.id}",
            f"The working space at panelboard {thing.id} is low: "
            f"{scene.words.versus(ceiling, limit.value)}.",
            "No layout can mend this: ask a licensed electrician.",
            published(limit),
            required=limit.value,
            measured=ceiling,
            margin=ceiling - limit.value,
            wall=wall.id,
        )


def _above(scene: Scene, thing: WallObstruction, wall: WallLine) -> Iterator[Finding]:
    limit = scene.rulebook.requirement("panel-above")
    top = min(thing.top + limit.value, wall.lowest(thing.offset, thing.offset + thing.width))
    for one in scene.runs_on.get(wall.id, []):
        run = one.run
        left, right = max(run.from_mm, thing.offset), min(run.to_mm, thing.offset + thing.width)
        free = max(run.bottom_mm - thing.top, 0.0)
        above = min(run.top_mm, top) - max(run.bottom_mm, thing.top)
        if right - left <= TOLERANCE_MM or above <= TOLERANCE_MM:
            continue
        x, y = wall.point((left + right) / 2)
        yield say(
            "panel-above",
            "barrier to review",
            f"{one.name} and panelboard {thing.id}",
            f"{one.name} hangs {scene.words.fine(right - left)} over panelboard {thing.id}, where "
            f"up to {scene.words.say(top)} only what is electrical may be.",
            f"End the run beside the panelboard: shorten it by {scene.words.enough(right - left)}.",
            published(limit),
            required=top - thing.top,
            measured=free,
            at_mm=(round(x, 1), round(y, 1)),
            wall=wall.id,
            height_mm=max(run.bottom_mm, thing.top),
        )


def _way(
    scene: Scene, thing: WallObstruction, wall: WallLine, wanted: ClearSpace
) -> Iterator[Finding]:
    left, right = clear_extent(wall, thing, wanted.width)
    space = wall.rectangle(left, right, 0.0, wanted.depth)
    starts = ways.starts(scene, ("entrance", "staff", "exit"))
    limit = scene.rulebook.requirement("panel-way")
    if not starts or _comes_to(scene, space, starts, limit.value, only_fixed=False):
        return
    fixed_too = not _comes_to(scene, space, starts, limit.value, only_fixed=True)
    severity: Severity = "violation" if fixed_too else "barrier to review"
    yield say(
        "panel-way",
        severity,
        f"panelboard {thing.id}",
        f"No way {scene.words.say(limit.value)} wide leads from a door to the working space of "
        f"panelboard {thing.id}.",
        f"Open a way {scene.words.say(limit.value)} wide to it: move or leave out what stands "
        "closest.",
        published(limit),
        required=limit.value,
        at_mm=middle(space),
        drawn_mm=drawn(space),
        wall=wall.id,
    )


def _comes_to(
    scene: Scene, space: Polygon, starts: list[BaseGeometry], width: float, only_fixed: bool
) -> bool:
    taken = [one.shape for one in scene.stood if one.fixture.fixed or not only_fixed]
    found = reached(ways.areas(scene, taken, width), starts, ways.links(scene))
    return any(area.intersects(space) for area in found)
