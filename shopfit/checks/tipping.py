"""Cautions on fixtures that may be pulled over, and on glass."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from shopfit.checks.notes import join, published
from shopfit.checks.saying import say
from shopfit.checks.scene import Scene
from shopfit.model.finding import Finding
from shopfit.standards.loads import tipping


def check(scene: Scene) -> Iterator[Finding]:
    """Give cautions on loose fixtures that are slender, and on glass cases."""
    yield from _tipping(scene)
    yield from _glass(scene)


def _tipping(scene: Scene) -> Iterator[Finding]:
    tall: dict[str, list[str]] = defaultdict(list)
    for one in scene.stood:
        shallow = min(one.fixture.depth, one.fixture.width)
        if not one.fixture.fixed and not tipping(scene.rulebook, one.fixture.height, shallow).met:
            tall[one.fixture.id].append(one.tag)
    for fixture_id, tags in tall.items():
        fixture = scene.fixtures[fixture_id]
        ratio = fixture.height / min(fixture.depth, fixture.width)
        limit = scene.rulebook.requirement("tipping")
        yield say(
            "tipping",
            "advice",
            join(f"{tag} ({fixture_id})" for tag in tags),
            f"{fixture_id} is loose and {ratio:.1f} times as high as it is deep; it can be pulled "
            "over.",
            "Fasten it to the wall or floor as its maker says, and put heavy goods low.",
            published(limit),
            required=limit.value,
            measured=ratio,
            unit="height / depth",
        )


def _glass(scene: Scene) -> Iterator[Finding]:
    cases = [one.tag for one in scene.stood if one.fixture.kind == "glass-case"]
    if cases:
        yield say(
            "glass",
            "advice",
            join(cases),
            "Glass cases stand where people may fall against them or children may climb.",
            "Ask the maker for safety glass and its shelf loads; local code may want more.",
        )
