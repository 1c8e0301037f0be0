"""Checks that goods, fixtures and slat-wall stay below sprinklers, or below the ceiling."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely import MultiPoint, Point
from shapely.geometry.base import BaseGeometry

from shopfit.checks.clauses import drawn
from shopfit.checks.notes import less, middle, published
from shopfit.checks.saying import say
from shopfit.checks.scene import Scene, shrink
from shopfit.model.building import Sprinkler
from shopfit.model.finding import Finding
from shopfit.standards.sprinklers import GoodsTop, below_ceiling, below_sprinklers

LOOK = "Whoever looks after the sprinklers, or the fire department, decides."


@dataclass(frozen=True)
class _Tall:
    """Something that reaches up, with its goods.

    Parameters
    ----------
    tag, name
        Its tag, and its name for people.
    shape
        On the plan, mm.
    top
        Of itself or its highest goods, mm.
    along_wall
        Whether it stands or hangs along a wall.
    wall
        Which, where it hangs on one.
    """

    tag: str
    name: str
    shape: BaseGeometry
    top: float
    along_wall: bool
    wall: str | None = None


def check(scene: Scene) -> Iterator[Finding]:
    """Find what reaches too near sprinklers or, where there are none, the ceiling."""
    building = scene.scenario.shop.building
    there = building.has_sprinklers
    if there is None:
        yield _not_known(
            scene,
            "Whether goods leave 18 in free below sprinklers, or 24 in below a ceiling without "
            "any, was not checked: whether there are sprinklers is not said.",
            "Look up; fill in building: sprinklered in shop.yaml, and measure from the floor to "
            "the lowest deflector for building: deflector.",
        )
        return
    if not there:
        yield from _ceiling(scene)
        return
    if building.deflector is None and not building.sprinklers:
        yield _not_known(
            scene,
            "Whether goods leave 18 in free below the sprinklers was not checked: how high they "
            "hang is not given.",
            "Measure from the floor to the lowest deflector, the toothed plate, and fill in "
            "building: deflector in shop.yaml, or each one under building: sprinklers.",
        )
        return
    yield from _sprinklers(scene)


def _not_known(scene: Scene, message: str, mend: str) -> Finding:
    limit = scene.rulebook.requirement("sprinkler-gap")
    return say("sprinklers-not-checked", "not checked", "ceiling", message, mend, published(limit))


def _tall(scene: Scene) -> list[_Tall]:
    goods: dict[str, float] = defaultdict(float)
    for block in scene.layout.blocks:
        for row in block.rows:
            if row.slots:
                goods[block.host] = max(goods[block.host], row.top_mm)
    stood = [
        _Tall(
            one.tag,
            one.name,
            one.shape,
            max(one.fixture.height, goods[one.tag]),
            one.role == "wall",
        )
        for one in scene.stood
    ]
    hung = [
        _Tall(
            one.run.id,
            one.name,
            one.strip(0.0, scene.free_projection),
            max(one.run.top_mm, goods[one.run.id]),
            True,
            one.wall.id,
        )
        for one in scene.hung
    ]
    return stood + hung


def _sprinklers(scene: Scene) -> Iterator[Finding]:
    building = scene.scenario.shop.building
    cells = _cells(scene, building.sprinklers)
    for tall in _tall(scene):
        heads = [
            (one.deflector, f"sprinkler {one.id}")
            for one, cell in cells
            if cell.intersects(shrink(tall.shape))
        ]
        if building.deflector is not None:
            heads.append((building.deflector, "the lowest sprinkler"))
        if not heads:
            continue
        deflector, name = min(heads)
        most = below_sprinklers(scene.rulebook, deflector)
        yield from _judge(scene, tall, most, deflector, name)


def _cells(scene: Scene, heads: tuple[Sprinkler, ...]) -> list[tuple[Sprinkler, BaseGeometry]]:
    """Share out the floor among sprinklers: to each that of its room which is nearest to it."""
    found: list[tuple[Sprinkler, BaseGeometry]] = []
    for room in scene.shell.rooms.values():
        here = [one for one in heads if room.covers(Point(one.at))]
        places = list(dict.fromkeys(one.at for one in here))
        if len(places) < 2:
            found += [(one, room) for one in here]
            continue
        diagram = shapely.voronoi_polygons(MultiPoint(places), extend_to=room)
        cells = list(diagram.geoms)
        for one in here:
            cell = min(cells, key=lambda each: each.distance(Point(one.at)))
            found.append((one, cell.intersection(room)))
    return found


def _ceiling(scene: Scene) -> Iterator[Finding]:
    heights = {room.id: room.height for room in scene.scenario.shop.rooms}
    for tall in _tall(scene):
        rooms = [
            name for name, room in scene.shell.rooms.items() if room.intersects(shrink(tall.shape))
        ]
        if not rooms:
            continue
        ceiling = min(heights[name] for name in rooms)
        most = below_ceiling(scene.rulebook, ceiling, tall.along_wall)
        if most is not None:
            yield from _judge(scene, tall, most, ceiling, "the ceiling")


def _judge(scene: Scene, tall: _Tall, most: GoodsTop, above: float, name: str) -> Iterator[Finding]:
    gap, words = above - tall.top, scene.words
    if not less(gap, most.requirement.value):
        return
    over = words.enough(tall.top - most.most_mm)
    note = ""
    if tall.along_wall and name != "the ceiling":
        note = " The fire code lets shelves along walls that are not under a sprinkler rise higher."
    yield say(
        "ceiling-gap" if name == "the ceiling" else "sprinkler-gap",
        "violation",
        tall.name,
        f"{tall.name} with its goods reaches up to {words.say(tall.top)}, too near {name} at "
        f"{words.say(above)}: {words.versus(max(gap, 0.0), most.requirement.value)}.{note}",
        f"Keep {tall.tag} and its goods {over} lower. {LOOK}",
        published(most.requirement),
        required=most.requirement.value,
        measured=gap,
        margin=gap - most.requirement.value,
        at_mm=middle(tall.shape),
        wall=tall.wall,
        height_mm=tall.top if math.isfinite(tall.top) else None,
        drawn_mm=drawn(tall.shape),
    )
