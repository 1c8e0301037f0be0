"""Cautions that no measure settles, and a plain list of what is not checked."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from shopfit.checks.notes import TRADE, Source, join, published
from shopfit.checks.scene import Scene
from shopfit.model.finding import Finding
from shopfit.units import format_mass

# Trade rule of thumb for loose things on a level floor; no source.
TIPPING_RATIO = 3.0


def check(scene: Scene) -> Iterator[Finding]:
    """Give cautions on tipping, glass, loads and reach, then what is not checked."""
    yield from _tipping(scene)
    yield from _glass(scene)
    yield from _wall_loads(scene)
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


def _tipping(scene: Scene) -> Iterator[Finding]:
    tall: dict[str, list[str]] = defaultdict(list)
    for one in scene.stood:
        shallow = min(one.fixture.depth, one.fixture.width)
        if not one.fixture.fixed and one.fixture.height / shallow > TIPPING_RATIO:
            tall[one.fixture.id].append(one.tag)
    for fixture_id, tags in tall.items():
        fixture = scene.fixtures[fixture_id]
        ratio = fixture.height / min(fixture.depth, fixture.width)
        yield _advice(
            "tipping",
            join(f"{tag} ({fixture_id})" for tag in tags),
            f"{fixture_id} is loose and {ratio:.1f} times as high as it is deep; it can be pulled "
            "over.",
            "Fasten it to the wall or floor as its maker says, and put heavy goods low.",
            required=TIPPING_RATIO,
            measured=ratio,
            unit="height / depth",
        )


def _glass(scene: Scene) -> Iterator[Finding]:
    cases = [one.tag for one in scene.stood if one.fixture.kind == "glass-case"]
    if cases:
        yield _advice(
            "glass",
            join(cases),
            "Glass cases stand where people may fall against them or children may climb.",
            "Ask the maker for safety glass and its shelf loads; local code may want more.",
        )


def _wall_loads(scene: Scene) -> Iterator[Finding]:
    masses: dict[str, float] = defaultdict(float)
    for block in scene.layout.blocks:
        for row in block.rows:
            for slot in row.slots:
                masses[block.host] += slot.units * scene.lines[slot.line].weight
    loads = [
        (
            masses[one.run.id] + one.sheet.weight,
            one.run.id,
        )
        for one in scene.hung
    ]
    if not loads:
        return
    mass, tag = max(loads)
    length = scene.hung_by_tag[tag].run.to_mm - scene.hung_by_tag[tag].run.from_mm
    yield _advice(
        "wall-load",
        f"{len(loads)} slat-wall runs",
        f"The heaviest run, {tag}, carries {format_mass(mass, scene.words.style)} of goods and "
        f"sheet on {scene.words.say(length)} of wall.",
        "Screw sheets to studs as the maker says, and let a licensed person judge the wall.",
        measured=mass,
        unit="kg",
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
    (
        "egress",
        "number, width and distance of exits for the people in the shop",
        "Ask the building department or a licensed designer.",
        "one-exit-path",
    ),
    (
        "sprinklers",
        "clearance below sprinklers",
        "Keep goods 18 in or more below them.",
        "sprinkler-gap",
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
    yield Finding(
        code="fixing-not-checked",
        severity="not checked",
        subject="walls and floor",
        message="This version does not check how slat-wall is fixed to studs, or what walls and "
        "floor carry.",
        mend="Use the makers' data, and ask a licensed person.",
        source=TRADE.source,
        confidence=TRADE.confidence,
    )
