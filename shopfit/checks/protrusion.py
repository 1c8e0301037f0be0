"""Checks that brackets, shelves and goods on slat-wall do not stand out too far."""

from __future__ import annotations

from collections.abc import Iterator

from shopfit.checks.blocks import place
from shopfit.checks.goods import HANGING, Shown, shown
from shopfit.checks.notes import BRIEF, more, published
from shopfit.checks.scene import Scene
from shopfit.geometry.wallface import groove_height
from shopfit.model.finding import Finding, Severity
from shopfit.standards.protrusion import projection_limit


def check(scene: Scene) -> Iterator[Finding]:
    """Find what stands out of slat-wall over an aisle further than what stands below it.

    Source
    ------
    2010 ADA Standards, 307.2, for leading edges over 27 in and up to 80 in; outside these heights
    the same limit holds as a rule of the house, because aisles are measured from it.
    """
    for item in shown(scene):
        if item.face.kind != "slat":
            continue
        holder = item.bracket or item.board
        if holder is not None and more(holder.depth, item.face.depth):
            what = f"{holder.id} stands"
            yield _finding(scene, item, "protrusion", "violation", what, holder.depth)
        elif more(item.line.depth, item.face.depth):
            # One unit may be deeper than what holds it; it stands out none the less.
            what = "the goods stand"
            yield _finding(
                scene, item, "protrusion-goods", "barrier to review", what, item.line.depth
            )


def _edge(item: Shown) -> float:
    if item.slot.way in HANGING and item.row.high_groove is not None:
        return groove_height(item.face.bottom, item.face.pitch, item.row.high_groove)
    return item.row.bottom_mm


def _finding(
    scene: Scene, item: Shown, code: str, severity: Severity, what: str, depth: float
) -> Finding:
    hung = scene.hung_by_tag[item.block.host]
    below = item.face.depth if hung.below else 0.0
    limit = projection_limit(scene.rulebook, _edge(item), below)
    source = published(scene.rulebook.requirement("protrusion")) if depth > limit else BRIEF
    under = "the fixtures below" if hung.below else "nothing below it"
    wall, at_mm = place(scene, item.block)
    return Finding(
        code=code,
        severity=severity,
        subject=f"{item.name}",
        message=f"{item.name}: {what} out too far over {under}: "
        f"{scene.words.versus(depth, item.face.depth)}.",
        mend=f"Use a holder {scene.words.enough(depth - item.face.depth)} shallower, or stand "
        "something deeper below.",
        required=item.face.depth,
        measured=depth,
        clause=source.clause,
        source=source.source,
        confidence=source.confidence,
        at_mm=at_mm,
        wall=wall,
        height_mm=_edge(item),
    )
