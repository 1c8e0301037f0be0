"""Slots with everything known of them: line, row, block, face and holder."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from shopfit.checks.scene import Scene
from shopfit.geometry.wallface import FaceShape
from shopfit.model.fixtures import Bracket, ShelfBoard
from shopfit.model.layout import Block, Row, Slot
from shopfit.model.range import Line

HANGING = ("hook", "face-out")
# Floats such as 5 lb / 1 lb come out a hair under the whole number.
HAIR = 1e-6


@dataclass(frozen=True)
class Shown:
    """One slot in its place.

    Parameters
    ----------
    slot, row, block, face, line
        The slot, where it is, and what it shows.
    bracket, board
        What holds it, if anything does.
    """

    slot: Slot
    row: Row
    block: Block
    face: FaceShape
    line: Line
    bracket: Bracket | None
    board: ShelfBoard | None

    @property
    def name(self) -> str:
        """Its name for people, such as ``line mug in block B2 on R1``."""
        return f"line {self.line.line} in block {self.block.id} on {self.block.host}"


def shown(scene: Scene) -> tuple[Shown, ...]:
    """Give every slot whose block lies on a face, in the layout's order."""
    return scene.once("goods shown", lambda: tuple(_shown(scene)))


def _shown(scene: Scene) -> Iterator[Shown]:
    for block in scene.layout.blocks:
        face = scene.faces.get((block.host, block.side))
        if face is None:
            continue
        for row in block.rows:
            for slot in row.slots:
                holder = slot.holder or ""
                yield Shown(
                    slot,
                    row,
                    block,
                    face,
                    scene.lines[slot.line],
                    scene.brackets.get(holder),
                    scene.boards.get(holder),
                )


def pitches(row: Row, face: FaceShape) -> int:
    """Give how many steps of the face's pitch a row is high."""
    return round((row.top_mm - row.bottom_mm) / face.pitch)


def deep(depth: float, line: Line) -> int:
    """Give how many units stand behind each other; the first is always there."""
    return max(int(depth / line.depth + HAIR), 1)


def most_units(item: Shown) -> float:
    """Give the most units that one facing holds: by depth, by the bracket's count and its load."""
    if item.bracket is None:
        return deep(item.board.depth if item.board else item.face.depth, item.line)
    limit = deep(item.bracket.depth, item.line)
    if item.bracket.units is not None:
        limit = min(limit, item.bracket.units)
    if item.line.weight > 0:
        load = item.bracket.load * item.bracket.per_facing
        limit = min(limit, math.floor(load / item.line.weight + HAIR))
    return limit
