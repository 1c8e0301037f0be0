"""Checks that the floor before panelboards, and before other things that want it, is empty."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import Polygon

from shopfit.checks.notes import SHELL, Source, less, middle, published, way_out
from shopfit.checks.scene import Hung, Scene
from shopfit.geometry.shell import WallLine
from shopfit.model.finding import Finding
from shopfit.model.shell import ClearSpace, WallObstruction
from shopfit.standards.panels import wanted_space
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


def _extent(thing: WallObstruction, wanted: ClearSpace) -> tuple[float, float]:
    half = max(wanted.width, thing.width) / 2
    centre = thing.offset + thing.width / 2
    return centre - half, centre + half


def _source(scene: Scene, thing: WallObstruction) -> Source:
    if thing.clear is not None:
        return SHELL
    return published(scene.rulebook.requirement("panel-depth"))


def _asked_too_little(scene: Scene, thing: WallObstruction, wall: WallLine) -> Iterator[Finding]:
    if thing.kind != "panelboard" or thing.clear is None:
        return
    width = max(thing.clear.width, thing.width)
    for key, asked in (("panel-width", width), ("panel-depth", thing.clear.depth)):
        limit = scene.rulebook.requirement(key)
        if less(asked, limit.value):
            source = published(limit)
            yield Finding(
                code="working-space-asked",
                severity="advice",
                subject=f"{thing.kind} {thing.id}",
                message=f"The space asked for before {thing.kind} {thing.id} is small: "
                f"{scene.words.versus(asked, limit.value)} ({limit.quantity}).",
                mend="Leave clear out to use the published space, and ask a licensed electrician.",
                required=limit.value,
                measured=asked,
                clause=source.clause,
                source=source.source,
                confidence=source.confidence,
                wall=wall.id,
            )


def _fixtures(
    scene: Scene, thing: WallObstruction, wall: WallLine, wanted: ClearSpace
) -> Iterator[Finding]:
    left, right = _extent(thing, wanted)
    space: Polygon = wall.rectangle(left, right, 0.0, wanted.depth)
    source = _source(scene, thing)
    for one in scene.standing_in(space):
        distance, direction = way_out(one.shape, space)
        # Loose or fixed makes no difference: storage in front of a panelboard is the hazard.
        yield Finding(
            code="working-space",
            severity="violation",
            subject=f"{one.name} and {thing.kind} {thing.id}",
            message=f"{one.name} stands {scene.words.fine(distance)} inside the space before "
            f"{thing.kind} {thing.id}, {scene.words.say(right - left)} wide and "
            f"{scene.words.say(wanted.depth)} deep, which must stay empty.",
            mend=f"Move {one.tag} {scene.words.enough(distance)} {direction}.",
            required=0.0,
            measured=distance,
            clause=source.clause,
            source=source.source,
            confidence=source.confidence,
            at_mm=middle(space.intersection(one.shape)),
        )


def _displays(
    scene: Scene, thing: WallObstruction, wanted: ClearSpace, one: Hung
) -> Iterator[Finding]:
    left, right = _extent(thing, wanted)
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
