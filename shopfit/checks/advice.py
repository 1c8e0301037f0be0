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
        "loose-things",
        "what is put on the floor besides the layout: queues, baskets, loose displays",
        "Keep every way free of them, every day.",
        "route-width",
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
