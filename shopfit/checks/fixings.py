"""Loads of slat-wall runs on the wall behind them, and what is not known of the fixings."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from shopfit.checks.saying import say
from shopfit.checks.scene import Scene
from shopfit.model.finding import Finding
from shopfit.units import format_mass


def check(scene: Scene) -> Iterator[Finding]:
    """Give the load of the heaviest run, and say what is not checked."""
    yield from _wall_loads(scene)
    yield say(
        "fixing-not-checked",
        "not checked",
        "walls and floor",
        "This version does not check how slat-wall is fixed to studs, or what walls and floor "
        "carry.",
        "Use the makers' data, and ask a licensed person.",
    )


def _wall_loads(scene: Scene) -> Iterator[Finding]:
    masses: dict[str, float] = defaultdict(float)
    for block in scene.layout.blocks:
        for row in block.rows:
            for slot in row.slots:
                masses[block.host] += slot.units * scene.lines[slot.line].weight
    loads = [(masses[one.run.id] + one.sheet.weight, one.run.id) for one in scene.hung]
    if not loads:
        return
    mass, tag = max(loads)
    length = scene.hung_by_tag[tag].run.to_mm - scene.hung_by_tag[tag].run.from_mm
    yield say(
        "wall-load",
        "advice",
        f"{len(loads)} slat-wall runs",
        f"The heaviest run, {tag}, carries {format_mass(mass, scene.words.style)} of goods and "
        f"sheet on {scene.words.say(length)} of wall.",
        "Screw sheets to studs as the maker says, and let a licensed person judge the wall.",
        measured=mass,
        unit="kg",
    )
