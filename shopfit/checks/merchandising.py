"""Checks where goods stand among one another and along the customer's way."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from functools import cached_property
from itertools import pairwise

from shopfit.checks.blocks import place
from shopfit.checks.goods import HAIR, shown
from shopfit.checks.notes import BRIEF, join, more
from shopfit.checks.scene import Scene
from shopfit.geometry.faceplace import FaceKey, FacePlace, entrances, face_places, station
from shopfit.geometry.shell import PlanPoint
from shopfit.geometry.touching import BlockPlace, block_places, groups, touching
from shopfit.model.finding import Finding

Pair = tuple[BlockPlace, BlockPlace]


def check(scene: Scene) -> Iterator[Finding]:
    """Find what the brief's wishes on the places of goods do not meet."""
    rules, floor = scene.brief.merchandising, _Standing(scene)
    for category, most in rules.blocks.items():
        yield from _scattered(floor, category, most)
    for one, other in rules.touch:
        yield from _parted(floor, one, other)
    for one, other in rules.apart:
        yield from _together(floor, one, other)
    for chain in rules.order:
        present = [category for category in chain if floor.of(category)]
        for earlier, later in pairwise(present):
            yield from _disordered(scene, floor, earlier, later)
    yield from _heavy(scene)
    if rules.new_within is not None:
        yield from _new(scene, floor, rules.new_within)


class _Standing:
    """Faces and blocks on the plan, worked out once they are asked for."""

    def __init__(self, scene: Scene) -> None:
        self._scene = scene

    @cached_property
    def faces(self) -> dict[FaceKey, FacePlace]:
        """Faces by host and side."""
        scene = self._scene
        return face_places(scene.scenario, scene.layout, scene.shell, scene.faces.values())

    @cached_property
    def blocks(self) -> list[BlockPlace]:
        """Blocks that show something."""
        return block_places(self._scene.layout, self.faces)

    @cached_property
    def touching(self) -> list[Pair]:
        """Pairs of blocks that touch."""
        return touching(self.blocks, self.faces)

    @cached_property
    def _entrances(self) -> list[PlanPoint]:
        return entrances(self._scene.scenario.shop, self._scene.shell)

    def of(self, category: str) -> list[BlockPlace]:
        """List the blocks of a category."""
        return [block for block in self.blocks if block.category == category]

    def between(self, one: str, other: str) -> list[Pair]:
        """List the pairs of blocks of two categories that touch."""
        return [pair for pair in self.touching if {b.category for b in pair} == {one, other}]

    def station(self, key: FaceKey) -> float | None:
        """Give how far along the customer's way a face lies, mm."""
        way = self._scene.brief.merchandising.way
        return station(self.faces[key].middle, way, self._entrances)

    def stations(self, category: str) -> list[tuple[float, BlockPlace]]:
        """List how far along the way the blocks of a category stand, nearest first, mm."""
        found = [(self.station(block.face), block) for block in self.of(category)]
        known = [(at, block) for at, block in found if at is not None]
        return sorted(known, key=lambda each: each[0])


def _scattered(floor: _Standing, category: str, most: int) -> Iterator[Finding]:
    found = groups(floor.of(category), floor.touching)
    if len(found) > most:
        told = "; ".join(_names(group) for group in found)
        yield _finding(
            floor,
            "blocks-scattered",
            "blocks",
            f"category {category}",
            f"Category {category} stands in {len(found)} places ({told}); the brief allows "
            f"at most {most}.",
            f"Bring {_names(found[-1])} together with others of {category}, or allow more.",
            (float(most), float(len(found)), "places"),
            found[-1][0],
        )


def _parted(floor: _Standing, one: str, other: str) -> Iterator[Finding]:
    if floor.between(one, other):
        return
    missing = [category for category in (one, other) if not floor.of(category)]
    reason = f"nothing of {join(missing)} is shown" if missing else "none does"
    blocks = floor.of(one) or floor.of(other)
    yield _finding(
        floor,
        "blocks-parted",
        "touch",
        f"categories {one} and {other}",
        f"A block of {one} must touch a block of {other}; {reason}.",
        f"Put a block of {one} beside, above or below one of {other}.",
        (1.0, 0.0, "pairs of blocks"),
        blocks[0] if blocks else None,
    )


def _together(floor: _Standing, one: str, other: str) -> Iterator[Finding]:
    pairs = floor.between(one, other)
    if pairs:
        told = join(f"{a.id} on {a.face[0]} and {b.id} on {b.face[0]}" for a, b in pairs)
        yield _finding(
            floor,
            "blocks-together",
            "apart",
            f"categories {one} and {other}",
            f"No block of {one} may touch a block of {other}, but {told} do.",
            "Move one of them, or put goods of another category between.",
            (0.0, float(len(pairs)), "pairs of blocks"),
            pairs[0][0],
        )


def _disordered(scene: Scene, floor: _Standing, earlier: str, later: str) -> Iterator[Finding]:
    before, after = floor.stations(earlier), floor.stations(later)
    if not before or not after:
        yield _unmeasured("order", f"categories {earlier} and {later}")
        return
    (farthest, block), (nearest, other) = before[-1], after[0]
    if more(farthest, nearest):
        say = scene.words.say
        yield _finding(
            floor,
            "order",
            "order",
            f"categories {earlier} and {later}",
            f"{earlier} must come before {later}, but {block.id} on {block.face[0]} stands "
            f"{say(farthest)} from the entrance and {other.id} on {other.face[0]} "
            f"{say(nearest)}: {scene.words.fine(farthest - nearest)} too far.",
            f"Bring {block.id} nearer to the entrance, or {other.id} farther in.",
            (nearest, farthest, "mm"),
            block,
        )


def _heavy(scene: Scene) -> Iterator[Finding]:
    limit, top = scene.brief.merchandising.heavy_over, scene.brief.merchandising.heavy_top
    if limit is None or top is None:
        return
    for item in shown(scene):
        if more(item.line.weight, limit, HAIR) and more(item.row.top_mm, top):
            wall, at_mm = place(scene, item.block)
            high = item.row.top_mm - top
            yield Finding(
                code="heavy-high",
                severity="violation",
                subject=item.name,
                message=f"Heavy goods stand or hang low: the upper edge of the row of {item.name} "
                f"is too high, {scene.words.versus(item.row.top_mm, top)}.",
                mend=f"Lower it by {scene.words.enough(high)}, or show it on a lower row.",
                required=top,
                measured=item.row.top_mm,
                clause="brief > merchandising > heavy_top",
                source=BRIEF.source,
                at_mm=at_mm,
                wall=wall,
                height_mm=item.row.bottom_mm,
            )


def _new(scene: Scene, floor: _Standing, limit: float) -> Iterator[Finding]:
    where: dict[FaceKey, list[str]] = defaultdict(list)
    for item in shown(scene):
        key = (item.block.host, item.block.side)
        if item.line.new and key in floor.faces:
            where[key].append(item.line.line)
    for key, lines in where.items():
        at, told = floor.station(key), join(dict.fromkeys(lines))
        if at is None:
            yield _unmeasured("new_within", f"new goods on {key[0]}")
        elif more(at, limit):
            yield _finding(
                floor,
                "new-far",
                "new_within",
                f"new goods on {key[0]}",
                f"{key[0]} shows new goods ({told}) too far from the entrance: "
                f"{scene.words.versus(at, limit)}.",
                f"Show them on a face {scene.words.enough(at - limit)} nearer to the entrance.",
                (limit, at, "mm"),
                next((block for block in floor.blocks if block.face == key), None),
            )


def _finding(
    floor: _Standing,
    code: str,
    field: str,
    subject: str,
    message: str,
    mend: str,
    numbers: tuple[float, float, str],
    block: BlockPlace | None,
) -> Finding:
    face = floor.faces[block.face] if block else None
    x, y = face.point((block.left + block.right) / 2) if block and face else (0.0, 0.0)
    return Finding(
        code=code,
        severity="violation",
        subject=subject,
        message=message,
        mend=mend,
        required=numbers[0],
        measured=numbers[1],
        unit=numbers[2],
        clause=f"brief > merchandising > {field}",
        source=BRIEF.source,
        at_mm=(round(x, 1), round(y, 1)) if block else None,
        wall=face.wall if face else None,
        height_mm=block.bottom if block else None,
    )


def _unmeasured(field: str, subject: str) -> Finding:
    return Finding(
        code="way-unknown",
        severity="not checked",
        subject=subject,
        message=f"How far the {subject} stand along the customer's way was not measured: there "
        "is no way and no entrance.",
        mend="Give the way in the brief, or mark a door as the entrance.",
        clause=f"brief > merchandising > {field}",
        source=BRIEF.source,
    )


def _names(group: list[BlockPlace]) -> str:
    return join(f"{block.id} on {block.face[0]}" for block in group)
