"""Where the goods of a layout hang and stand, and how heavy they are."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from shopfit.checks.clauses import unmeasured
from shopfit.checks.goods import shown
from shopfit.checks.scene import Scene
from shopfit.model.finding import Finding
from shopfit.model.fixtures import Side


@dataclass(frozen=True)
class Mass:
    """The goods of one slot as a point mass.

    Parameters
    ----------
    kg
        Their mass, kg.
    side
        Side of the fixture or run that they are on.
    along
        Their middle along the face, from its left end as one faces it, mm.
    height
        Their middle above the floor, mm.
    out
        Half the depth that they may take up: in from the face of a fixture, or out of slat-wall,
        mm.
    """

    kg: float
    side: Side
    along: float
    height: float
    out: float


def goods(scene: Scene) -> dict[str, list[Mass]]:
    """Give the goods of every fixture and run, by tag."""
    return scene.once("masses of goods", lambda: _goods(scene))


def _goods(scene: Scene) -> dict[str, list[Mass]]:
    found: dict[str, list[Mass]] = defaultdict(list)
    for item in shown(scene):
        holder = item.bracket or item.board
        depth = holder.depth if holder is not None else item.face.depth
        found[item.block.host].append(
            Mass(
                max(item.slot.units, 0) * item.line.weight,
                item.block.side,
                (item.slot.from_mm + item.slot.to_mm) / 2,
                (item.row.bottom_mm + item.row.top_mm) / 2,
                depth / 2,
            )
        )
    return dict(found)


def unweighed(scene: Scene) -> Iterator[Finding]:
    """Tell what stands or hangs in the layout without a weight: loads are that much too small."""
    bare = [one.fixture.id for one in scene.stood if one.fixture.weight <= 0]
    bare += [one.sheet.id for one in scene.hung if one.sheet.weight <= 0]
    light = [item.line.line for item in shown(scene) if item.line.weight <= 0]
    for names, file in ((bare, "fixtures.yaml"), (light, "range.csv")):
        yield from unmeasured(
            scene,
            "weights",
            "loads on floors, walls and fixings are reckoned without them",
            {"weight": names},
            "Weigh one, or take it from its maker.",
            ("floor-load",),
            file,
        )
