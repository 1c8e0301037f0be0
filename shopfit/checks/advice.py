"""A plain list of what this version does not check."""

from __future__ import annotations

from collections.abc import Iterator

from shopfit.checks.notes import published
from shopfit.checks.scene import Scene
from shopfit.model.finding import Finding


def check(scene: Scene) -> Iterator[Finding]:
    """Say what is not checked."""
    yield from _not_checked(scene)


_NOT_CHECKED = (
    (
        "turning-spaces",
        "turning spaces: 60 in circles, or T-shapes, where a way ends",
        "Look for one at the end of every way that leads no farther.",
        "turning-circle",
    ),
    (
        "pinches",
        "pinches of 32 in for at most 24 in, and passing spaces on ways over 200 ft",
        "Every way is measured at its full width instead.",
        "pinch-width",
    ),
)


def _not_checked(scene: Scene) -> Iterator[Finding]:
    for code, what, mend, key in _NOT_CHECKED:
        source = published(scene.rulebook.requirement(key))
        yield Finding(
            code=f"{code}-not-checked",
            severity="not checked",
            subject="shop",
            message=f"This version does not check {what}.",
            mend=mend,
            clause=source.clause,
            source=source.source,
            confidence=source.confidence,
        )
