"""Checks that every sales counter has a low part long enough."""

from __future__ import annotations

from collections.abc import Iterator

from shopfit.checks.notes import less, middle, more, published
from shopfit.checks.scene import Scene, Stood
from shopfit.model.finding import Finding
from shopfit.standards import Requirement


def check(scene: Scene) -> Iterator[Finding]:
    """Find counters whose low part is too high or too short (2010 ADA Standards, 904.4.1)."""
    for one in scene.stood:
        if one.fixture.kind != "counter":
            continue
        height = one.fixture.service_height
        if height is None:
            yield _finding(
                scene,
                one,
                scene.rulebook.requirement("counter-height"),
                None,
                f"The height of the low part of {one.name} is not given, so it was not checked.",
                f"Add service_height and service_width to {one.fixture.id}.",
            )
            continue
        yield from _height(scene, one, height)
        yield from _length(scene, one)


def _height(scene: Scene, one: Stood, height: float) -> Iterator[Finding]:
    limit = scene.rulebook.requirement("counter-height")
    if more(height, limit.value):
        yield _finding(
            scene,
            one,
            limit,
            height,
            f"The low part of {one.name} is too high: {scene.words.versus(height, limit.value)}.",
            f"Lower it by {scene.words.enough(height - limit.value)}, or choose another counter.",
        )


def _length(scene: Scene, one: Stood) -> Iterator[Finding]:
    limit = scene.rulebook.requirement("counter-width")
    length = one.fixture.service_width
    if length is None:
        length = one.fixture.width
    if less(length, limit.value):
        yield _finding(
            scene,
            one,
            limit,
            length,
            f"The low part of {one.name} is too short: {scene.words.versus(length, limit.value)}.",
            f"Lengthen it by {scene.words.enough(limit.value - length)}, or choose another "
            "counter.",
        )


def _finding(
    scene: Scene,
    one: Stood,
    limit: Requirement,
    measured: float | None,
    message: str,
    mend: str,
) -> Finding:
    source = published(limit)
    return Finding(
        code=limit.key,
        severity="not checked" if measured is None else "violation",
        subject=one.name,
        message=message,
        mend=mend,
        required=limit.value,
        measured=measured,
        clause=source.clause,
        source=source.source,
        confidence=source.confidence,
        at_mm=middle(one.shape),
    )
