"""Cautions that no measure settles, and a plain list of what is not checked."""

from __future__ import annotations

from collections.abc import Iterator

from shopfit.checks.notes import TRADE, Source, published
from shopfit.checks.scene import Scene
from shopfit.model.finding import Finding


def check(scene: Scene) -> Iterator[Finding]:
    """Give cautions on reach, then what is not checked."""
    yield from _reach(scene)
    yield from _not_checked(scene)


def _advice(
    code: str,
    subject: str,
    message: str,
    mend: str,
    source: Source = TRADE,
    required: float | None = None,
    measured: float | None = None,
    unit: str = "mm",
) -> Finding:
    return Finding(
        code=code,
        severity="advice",
        subject=subject,
        message=message,
        mend=mend,
        required=required,
        measured=measured,
        unit=unit,
        clause=source.clause,
        source=source.source,
        confidence=source.confidence,
    )


def _reach(scene: Scene) -> Iterator[Finding]:
    high = scene.rulebook.requirement("reach-high")
    low = scene.rulebook.requirement("reach-low")
    above = below = 0
    for block in scene.layout.blocks:
        for row in block.rows:
            count = sum(slot.facings for slot in row.slots)
            above += count if row.bottom_mm > high.value else 0
            below += count if row.top_mm < low.value else 0
    if above or below:
        yield _advice(
            "reach",
            "layout",
            f"{above} facings stand higher than {scene.words.say(high.value)} and {below} lower "
            f"than {scene.words.say(low.value)}, out of reach from a wheelchair.",
            "Show one of each within reach where it can be done, or offer help.",
            published(high),
            required=high.value,
        )


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
    (
        "headroom",
        "headroom under beams and sloping ceilings away from doors",
        "Keep 80 in or more over every way, or close off what is lower.",
        "headroom",
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
