"""Recounts facings and units line by line, and checks height bands."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from shopfit.checks.blocks import place
from shopfit.checks.goods import Shown, shown
from shopfit.checks.notes import RANGE, less, more
from shopfit.checks.scene import Scene
from shopfit.model.finding import Finding
from shopfit.wording import counted


def check(scene: Scene) -> Iterator[Finding]:
    """Find lines with too few or too many facings or units, or outside their height band."""
    facings: Counter[str] = Counter()
    units: Counter[str] = Counter()
    for block in scene.layout.blocks:
        for row in block.rows:
            for slot in row.slots:
                facings[slot.line] += slot.facings
                units[slot.line] += slot.units
    for line in scene.scenario.lines:
        count, held = facings[line.line], units[line.line]
        if count < line.min_facings:
            yield _count(line.line, "facings-few", "facings", count, line.min_facings, "at least")
        if count > line.max_facings:
            yield _count(line.line, "facings-many", "facings", count, line.max_facings, "at most")
        if held < line.holding:
            yield _count(line.line, "holding", "units", held, line.holding, "at least")
    for item in shown(scene):
        yield from _band(scene, item)


def _count(line: str, code: str, unit: str, found: int, limit: int, which: str) -> Finding:
    change = "Add" if found < limit else "Take away"
    return Finding(
        code=code,
        severity="violation",
        subject=f"line {line}",
        message=f"Line {line} has {counted(found, unit)}; the range asks for {which} {limit}.",
        mend=f"{change} {abs(limit - found)}.",
        required=float(limit),
        measured=float(found),
        unit=unit,
        source=RANGE.source,
    )


def _band(scene: Scene, item: Shown) -> Iterator[Finding]:
    wanted = item.line.band
    if wanted is None:
        return
    wall, at_mm = place(scene, item.block)
    centre = (item.row.bottom_mm + item.row.top_mm) / 2
    try:
        band = scene.brief.band(wanted)
    except KeyError:
        yield Finding(
            code="band-unknown",
            severity="violation",
            subject=f"line {item.line.line}",
            message=f"Line {item.line.line} wants the height band {wanted!r}, which the brief "
            "does not have.",
            mend=f"Add the band {wanted} to the brief, or leave it out of range.csv.",
            source=RANGE.source,
        )
        return
    if less(centre, band.bottom) or more(centre, band.top):
        limit = band.bottom if centre < band.bottom else band.top
        way = "Raise" if centre < band.bottom else "Lower"
        yield Finding(
            code="band",
            severity="violation",
            subject=item.name,
            message=f"The middle of the row of {item.name} is outside the band {wanted}: "
            f"{scene.words.versus(centre, limit)}.",
            mend=f"{way} it by {scene.words.enough(abs(centre - limit))}.",
            required=limit,
            measured=centre,
            source=RANGE.source,
            at_mm=at_mm,
            wall=wall,
            height_mm=item.row.bottom_mm,
        )
