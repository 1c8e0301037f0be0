"""Finds the order of cuts that frees pieces from a board, from where they lie alone."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass

from shopfit.model.cutting import Offcut, SawCut
from shopfit.units import TOLERANCE_MM


@dataclass(frozen=True)
class Box:
    """A rectangle on a board, mm."""

    left: float
    low: float
    right: float
    top: float

    def along(self, axis: int) -> tuple[float, float]:
        """Give its ends along x (0) or y (1)."""
        return (self.left, self.right) if axis == 0 else (self.low, self.top)

    def within(self, axis: int, ends: tuple[float, float]) -> Box:
        """Give it with other ends along an axis."""
        if axis == 0:
            return Box(ends[0], self.low, ends[1], self.top)
        return Box(self.left, ends[0], self.right, ends[1])

    @property
    def area(self) -> float:
        """Square mm."""
        return max(0.0, self.right - self.left) * max(0.0, self.top - self.low)


@dataclass(frozen=True)
class Sawn:
    """Cuts in sawing order, a tag for each piece, and all that is left, from the largest."""

    cuts: tuple[SawCut, ...]
    tags: tuple[str, ...]
    left: tuple[Offcut, ...]


class NotGuillotine(ValueError):  # noqa: N818 - tells a fact about a layout
    """Pieces that no straight cut right through parts."""


def saw(
    board: Box,
    pieces: Sequence[Box],
    kerf: float,
    keep: tuple[float, float] = (float("inf"), float("inf")),
) -> Sawn:
    """Find cuts, each right through what is on the saw, that free all pieces.

    What is left over along a whole side comes off first where that saves cuts, or where it is
    large enough to keep. Boards are then ripped before they are crosscut wherever both can be.
    All cuts of one stage come before those of the next, so the fence is seldom moved between rips
    and crosscuts.

    Parameters
    ----------
    board
        What is on the saw at first.
    pieces
        Where they lie.
    kerf
        What the saw takes, mm; neighbours nearer than that share a cut.
    keep
        Length and width from which on what is left over is kept, mm.

    Raises
    ------
    NotGuillotine
        If no such cuts exist.
    """
    return _Sawing(pieces, kerf, keep).run(board)


@dataclass(frozen=True)
class _Region:
    """Something on the saw: where it was on the board, what is in it, and its tag."""

    box: Box
    inside: tuple[int, ...]
    tag: str
    depth: int


class _Sawing:
    def __init__(self, pieces: Sequence[Box], kerf: float, keep: tuple[float, float]) -> None:
        self.pieces, self.kerf, self.keep = pieces, kerf, keep
        self.cuts: list[SawCut] = []
        self.left: list[Box] = []
        self.tags = [""] * len(pieces)

    def run(self, board: Box) -> Sawn:
        waiting = deque([_Region(board, tuple(range(len(self.pieces))), "", 0)])
        while waiting:
            waiting.extend(self._part(waiting.popleft()))
        large = sorted(self.left, key=lambda box: (-box.area, box.low, box.left))
        return Sawn(
            tuple(self.cuts), tuple(self.tags), tuple(_offcut(box) for box in large if box.area > 0)
        )

    def _part(self, region: _Region) -> list[_Region]:
        """Cut a region along one axis, at as many places as pieces allow."""
        if not region.inside:
            self.left.append(region.box)
            return []
        groups = [self._groups(region.inside, axis) for axis in (0, 1)]
        axis = self._spare_axis(region, groups)
        if axis is not None:
            return self._cut(region, [list(region.inside)], axis)
        if len(region.inside) == 1:
            self.tags[region.inside[0]] = region.tag
            return []
        for axis in (1, 0):
            if len(groups[axis]) > 1:
                return self._cut(region, groups[axis], axis)
        raise NotGuillotine("no straight cut right through parts the pieces")

    def _spare(self, region: _Region, axis: int) -> float:
        low, high = self._ends(region.inside, axis)
        start, end = region.box.along(axis)
        return (low - start) + (end - high)

    def _spare_axis(self, region: _Region, groups: Sequence[list[list[int]]]) -> int | None:
        """Say along which axis all that is spare comes off first, if it does.

        That never takes more cuts where pieces lie in one group along the axis, and otherwise is
        worth one where the offcut is large enough to keep.
        """
        best, found = 0.0, None
        for axis in (1, 0):
            spare = self._spare(region, axis)
            large = spare >= self.keep[axis]
            low, high = region.box.along(1 - axis)
            gain = spare * (high - low) * (1 + large)
            if spare > TOLERANCE_MM and (large or len(groups[axis]) == 1) and gain > best:
                best, found = gain, axis
        return found

    def _ends(self, inside: Sequence[int], axis: int) -> tuple[float, float]:
        ends = [self.pieces[index].along(axis) for index in inside]
        return min(low for low, _ in ends), max(high for _, high in ends)

    def _cut(self, region: _Region, groups: list[list[int]], axis: int) -> list[_Region]:
        start, end = region.box.along(axis)
        parts: list[_Region] = []
        for number, group in enumerate(groups):
            tag, depth = region.tag, region.depth
            if len(groups) > 1:
                tag, depth = tag + _mark(depth, number), depth + 1
            low, high = self._ends(group, axis)
            if low - start > TOLERANCE_MM:
                # A strip of waste comes off first, and the cut is taken from it.
                edge = max(start, low - self.kerf)
                self._add(region, axis, edge, low - start, "")
                parts.append(_Region(region.box.within(axis, (start, edge)), (), "", 0))
                start = low
            if end - high > TOLERANCE_MM:
                self._add(region, axis, high, high - start, tag)
            elif number:
                # The cut before freed this one too.
                self.cuts[-1] = self.cuts[-1].model_copy(update={"leaves": tag})
            parts.append(_Region(region.box.within(axis, (low, high)), tuple(group), tag, depth))
            following = self._ends(groups[number + 1], axis)[0] if number + 1 < len(groups) else end
            start = high + min(self.kerf, max(0.0, following - high))
        if end - start > TOLERANCE_MM:
            parts.append(_Region(region.box.within(axis, (start, end)), (), "", 0))
        return parts

    def _add(self, region: _Region, axis: int, at: float, set_mm: float, frees: str) -> None:
        ends = [(at, each) if axis == 0 else (each, at) for each in region.box.along(1 - axis)]
        self.cuts.append(
            SawCut(
                number=len(self.cuts) + 1,
                saw="crosscut" if axis == 0 else "rip",
                set_mm=round(set_mm, 4),
                of=region.tag,
                frees=frees,
                from_mm=ends[0],
                to_mm=ends[1],
            )
        )

    def _groups(self, inside: Sequence[int], axis: int) -> list[list[int]]:
        """Put together what overlaps along an axis, from the lower end."""
        groups: list[list[int]] = []
        reach = float("-inf")
        for index in sorted(inside, key=lambda index: (self.pieces[index].along(axis), index)):
            start, end = self.pieces[index].along(axis)
            if not groups or start >= reach - TOLERANCE_MM:
                groups.append([])
            groups[-1].append(index)
            reach = max(reach, end)
        return groups


def _mark(depth: int, number: int) -> str:
    """Tag strips A, B, C, pieces of a strip A1, A2, pieces of these A1a, A1b, and so on."""
    if depth % 2:
        return str(number + 1)
    letters = ""
    while True:
        number, rest = divmod(number, 26)
        letters = chr(ord("a" if depth else "A") + rest) + letters
        if number == 0:
            return letters
        number -= 1


def _offcut(box: Box) -> Offcut:
    return Offcut(
        x_mm=round(box.left, 4),
        y_mm=round(box.low, 4),
        length_mm=round(box.right - box.left, 4),
        width_mm=round(box.top - box.low, 4),
    )
