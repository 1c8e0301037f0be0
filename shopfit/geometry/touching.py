"""Which faces adjoin, and which blocks touch."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, permutations
from typing import NamedTuple

from shopfit.geometry.faceplace import FaceKey, FacePlace
from shopfit.model.layout import Block, Layout
from shopfit.units import TOLERANCE_MM

# Common practice, no source: a customer reads goods on both sides of a narrower break as one.
JOINT_MM = 50.8
NEAR_MM = 152.4
# Sine of the angle between two fronts that still look the same way: 1 degree.
ALIKE = math.sin(math.radians(1.0))


@dataclass(frozen=True)
class BlockPlace:
    """A block on its face.

    Parameters
    ----------
    id, category
        Its tag, and what stands there.
    face
        Host and side of its face.
    left, right
        Along the face, from its left end, mm.
    bottom, top
        Lower edge of its lowest row and upper edge of its highest, above the floor, mm.
    """

    id: str
    category: str
    face: FaceKey
    left: float
    right: float
    bottom: float
    top: float


@dataclass(frozen=True)
class Joint:
    """Two faces of which one goes on where the other ends.

    Parameters
    ----------
    left, right
        The face on the left and the face on the right, as the customer faces them.
    gap
        Between the two, mm; 0 where they meet or overlap.
    """

    left: FaceKey
    right: FaceKey
    gap: float


def block_places(layout: Layout, places: Mapping[FaceKey, FacePlace]) -> list[BlockPlace]:
    """List the blocks of a layout that stand on a face and show something.

    Parameters
    ----------
    layout
        Which.
    places
        Its faces.
    """
    return [
        _block_place(block)
        for block in layout.blocks
        if (block.host, block.side) in places and any(row.slots for row in block.rows)
    ]


def _block_place(block: Block) -> BlockPlace:
    rows = [row for row in block.rows if row.slots]
    return BlockPlace(
        block.id,
        block.category,
        (block.host, block.side),
        block.from_mm,
        block.to_mm,
        min(row.bottom_mm for row in rows),
        max(row.top_mm for row in rows),
    )


def joint(left: FacePlace, right: FacePlace) -> Joint | None:
    """Say whether a face goes on, to the right, in another one.

    Faces go on in one another if both are on one wall or on none, look the same way, share some
    height, and have ends nearer than 50.8 mm: along the wall, however deep the two are, and on
    the plan where there is no wall.

    Parameters
    ----------
    left, right
        The two faces; the right end of the first and the left end of the second are compared.

    Source
    ------
    Common practice, no source.
    """
    if left.key == right.key or left.wall != right.wall or not _alike(left, right):
        return None
    if min(left.top, right.top) - max(left.bottom, right.bottom) <= TOLERANCE_MM:
        return None
    gap = left.reach(right.left) - left.width
    along_wall = left.wall is not None and left.side == "front"
    apart = abs(gap) if along_wall else math.dist(left.right, right.left)
    if apart >= JOINT_MM - TOLERANCE_MM:
        return None
    return Joint(left.key, right.key, max(gap, 0.0))


def joints(places: Iterable[FacePlace]) -> list[Joint]:
    """List every two faces that go on in one another, as `joint` says."""
    return [
        found
        for group in _by_wall(places).values()
        for left, right in permutations(group, 2)
        if (found := joint(left, right))
    ]


def shared_width(upper: FacePlace, lower: FacePlace) -> tuple[float, float] | None:
    """Give the stretch of wall that a run shares with a fixture below it.

    Parameters
    ----------
    upper, lower
        The run and the face of the fixture.

    Returns
    -------
    Its ends along the run, mm, or none where the one is not above the other, or where they share
    less than 152.4 mm.
    """
    if not upper.hung or lower.hung or lower.wall is None or lower.wall != upper.wall:
        return None
    if not _alike(upper, lower) or lower.top > upper.bottom + TOLERANCE_MM:
        return None
    left = max(0.0, upper.reach(lower.left))
    right = min(upper.width, upper.reach(lower.right))
    return (left, right) if right - left >= NEAR_MM - TOLERANCE_MM else None


def touching(
    blocks: Sequence[BlockPlace], places: Mapping[FaceKey, FacePlace]
) -> list[tuple[BlockPlace, BlockPlace]]:
    """List the pairs of blocks that touch.

    Blocks touch

    - side by side on one face, with less than 152.4 mm and no other block between;
    - over the joint of two faces that go on in one another, with less than 152.4 mm in all and no
      other block between;
    - one above the other, on one face or where a run hangs over a fixture, if they share at least
      152.4 mm of width with no other block between.

    Parameters
    ----------
    blocks, places
        From `block_places` and `face_places`.

    Source
    ------
    Common practice, no source.
    """
    on: dict[FaceKey, list[_Patch]] = defaultdict(list)
    for number, block in enumerate(blocks):
        patch = _Patch(number, block.left, block.right, block.bottom, block.top)
        on[block.face].append(patch)
    found: set[tuple[int, int]] = set()
    for group in on.values():
        found.update(_beside(group))
        found.update(_above(group, group, group))
    shown = [places[key] for key in on]
    for each in joints(shown):
        found.update(_over(on[each.left], on[each.right], places[each.left].width + each.gap))
    for wall, faces in _by_wall(shown).items():
        if wall is not None:
            found.update(_on_wall(faces, on))
    pairs = sorted({(min(pair), max(pair)) for pair in found})
    return [(blocks[one], blocks[other]) for one, other in pairs]


def groups(
    blocks: Sequence[BlockPlace], pairs: Iterable[tuple[BlockPlace, BlockPlace]]
) -> list[list[BlockPlace]]:
    """Put blocks together that touch, directly or by others among them; widest group first.

    Parameters
    ----------
    blocks
        Those of one category.
    pairs
        Blocks that touch; pairs with others than these do not count.
    """
    near: dict[BlockPlace, set[BlockPlace]] = {block: set() for block in blocks}
    for one, other in pairs:
        if one in near and other in near:
            near[one].add(other)
            near[other].add(one)
    found: list[list[BlockPlace]] = []
    seen: set[BlockPlace] = set()
    for first in blocks:
        if first in seen:
            continue
        reached, stack = {first}, [first]
        while stack:
            more = near[stack.pop()] - reached
            reached |= more
            stack += more
        seen |= reached
        found.append([block for block in blocks if block in reached])
    return sorted(found, key=lambda group: -sum(block.right - block.left for block in group))


class _Patch(NamedTuple):
    """A block's number and its rectangle, along a face or a wall and up it, mm."""

    number: int
    left: float
    right: float
    bottom: float
    top: float


def _alike(one: FacePlace, other: FacePlace) -> bool:
    (ax, ay), (bx, by) = one.along, other.along
    return ax * bx + ay * by > 0 and abs(ax * by - ay * bx) < ALIKE


def _by_wall(places: Iterable[FacePlace]) -> dict[str | None, list[FacePlace]]:
    found: dict[str | None, list[FacePlace]] = defaultdict(list)
    for place in places:
        found[place.wall].append(place)
    return found


def _beside(group: list[_Patch]) -> Iterator[tuple[int, int]]:
    for one, other in combinations(group, 2):
        left, right = max(one.left, other.left), min(one.right, other.right)
        gap = left - right
        level = min(one.top, other.top) - max(one.bottom, other.bottom) > TOLERANCE_MM
        if (
            gap < NEAR_MM - TOLERANCE_MM
            and (gap >= -TOLERANCE_MM or level)
            and not any(_within(each, right, left) for each in group)
        ):
            yield one.number, other.number


def _over(lefts: list[_Patch], rights: list[_Patch], shift: float) -> Iterator[tuple[int, int]]:
    """Give the pairs over a joint; the right face begins at ``shift`` on the left one."""
    moved = [each._replace(left=each.left + shift, right=each.right + shift) for each in rights]
    for left in lefts:
        for right in moved:
            if right.left - left.right < NEAR_MM - TOLERANCE_MM and not any(
                _within(each, left.right, right.left) for each in (*lefts, *moved)
            ):
                yield left.number, right.number


def _within(patch: _Patch, left: float, right: float) -> bool:
    """Say whether a block takes some of a stretch."""
    return min(patch.right, right) - max(patch.left, left) > TOLERANCE_MM


def _on_wall(
    faces: list[FacePlace], on: Mapping[FaceKey, list[_Patch]]
) -> Iterator[tuple[int, int]]:
    """Give the pairs of which one hangs on a wall over the other on a fixture."""
    along = next((face for face in faces if face.hung), None)
    if along is None:
        return
    moved = {}
    for face in faces:
        if _alike(along, face):
            shift = along.reach(face.left)
            moved[face.key] = [
                each._replace(left=each.left + shift, right=each.right + shift)
                for each in on[face.key]
            ]
    everything = [each for group in moved.values() for each in group]
    for upper, lower in permutations(faces, 2):
        if shared_width(upper, lower):
            yield from _above(moved[upper.key], moved[lower.key], everything)


def _above(
    uppers: list[_Patch], lowers: list[_Patch], everything: list[_Patch]
) -> Iterator[tuple[int, int]]:
    for upper in uppers:
        for lower in lowers:
            left, right = max(upper.left, lower.left), min(upper.right, lower.right)
            if (
                lower.top <= upper.bottom + TOLERANCE_MM
                and right - left >= NEAR_MM - TOLERANCE_MM
                and not any(
                    _within(each, left, right)
                    and min(each.top, upper.bottom) - max(each.bottom, lower.top) > TOLERANCE_MM
                    for each in everything
                )
            ):
                yield upper.number, lower.number
