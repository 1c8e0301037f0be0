"""Finds places for lettering so that no two pieces of it cross."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import islice

from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.prepared import prep

from shopfit.drawing.scene import Item, Line, Pen, Place, Text

_NEAR_RINGS = 120  # first places of a search that are also tried for a leader that strikes nothing
LEADER = Pen(0.1, "#1b1f24")


class _Cover:
    """A convex shape that is taken; upright rectangles are compared without geometry."""

    __slots__ = ("_corners", "_shape", "bounds", "is_text", "upright")

    def __init__(self, corners: Sequence[Place], upright: bool, is_text: bool = False) -> None:
        xs, ys = [x for x, _ in corners], [y for _, y in corners]
        self.bounds = (min(xs), min(ys), max(xs), max(ys))
        self.upright = upright
        self.is_text = is_text
        self._corners = corners
        self._shape: Polygon | None = None

    @property
    def shape(self) -> Polygon:
        if self._shape is None:
            self._shape = Polygon(self._corners)
        return self._shape

    def meets(self, other: _Cover) -> bool:
        west, south, east, north = self.bounds
        left, low, right, high = other.bounds
        if west > right or left > east or south > high or low > north:
            return False
        return (self.upright and other.upright) or self.shape.intersects(other.shape)


class Labels:
    """Rectangles taken by lettering, and by things that lettering should not lie on.

    Parameters
    ----------
    scale
        How many times smaller the drawing prints.
    gap
        Kept between two pieces of lettering, printed mm.
    """

    def __init__(self, scale: float, gap: float = 0.35) -> None:
        self.scale = scale
        self.gap = gap
        self._cell = 12.0 * scale
        self._cells: dict[tuple[int, int], list[_Cover]] = {}

    def block(self, shape: Polygon) -> None:
        """Keep lettering off a shape; only lettering with nowhere else to go may lie on it."""
        self._add(_outline(shape))

    def clear(self, shape: Polygon) -> bool:
        """Say whether a convex shape would cross nothing that is taken."""
        return self._open(_outline(shape))

    def block_line(self, start: Place, end: Place, thick: float) -> None:
        """Keep lettering off a straight line; long ones in pieces, so that looking up is quick."""
        length = math.dist(start, end)
        if length <= 0:
            return
        count = max(1, math.ceil(length / self._cell))
        dx, dy = (end[0] - start[0]) / count, (end[1] - start[1]) / count
        ux, uy = -dy / length * count * thick / 2, dx / length * count * thick / 2
        for k in range(count):
            ax, ay = start[0] + k * dx, start[1] + k * dy
            bx, by = ax + dx, ay + dy
            corners = [
                (ax + ux, ay + uy),
                (bx + ux, by + uy),
                (bx - ux, by - uy),
                (ax - ux, ay - uy),
            ]
            self._add(_Cover(corners, dx == 0.0 or dy == 0.0))

    def take(self, text: Text, pad: float = 0.0) -> Text:
        """Set lettering whether or not its place is free, with a frame of some printed mm."""
        self._add(_cover(text, self.scale, pad))
        return text

    def free(self, text: Text, strict: bool = True, pad: float = 0.0) -> bool:
        """Say whether lettering would cross nothing; if not strict, no other lettering."""
        return self._open(_cover(text, self.scale, self.gap + pad), strict)

    def _open(self, cover: _Cover, strict: bool = True) -> bool:
        return not any(
            (strict or other.is_text) and other.meets(cover)
            for key in self._keys(cover)
            for other in self._cells.get(key, ())
        )

    def crossed(self, start: Place, end: Place) -> bool:
        """Say whether a straight line would strike lettering that has been set."""
        cover = _Cover((start, end, end), start[0] == end[0] or start[1] == end[1])
        line = LineString([start, end])
        return any(
            other.is_text and other.shape.intersects(line)
            for key in self._keys(cover)
            for other in self._cells.get(key, ())
        )

    def place(
        self,
        choices: Iterable[Text],
        inside: BaseGeometry | None = None,
        strict: bool = True,
        pad: float = 0.0,
    ) -> Text | None:
        """Set the first of some choices that crosses nothing.

        Parameters
        ----------
        choices
            Lettering in falling order of liking.
        inside
            Shape it must lie inside, mm, or none.
        strict
            Whether blocked shapes count besides other lettering.
        pad
            Frame round it, printed mm.

        Returns
        -------
        What was set, or none.
        """
        room = prep(inside) if inside is not None else None
        for text in choices:
            if room is not None and not room.contains(text.box(self.scale)):
                continue
            if self.free(text, strict, pad):
                return self.take(text, pad)
        return None

    def lead(self, text: Text, anchor: Place, near: float = 3.0, pad: float = 0.0) -> list[Item]:
        """Set lettering near a place, with a leader line to it.

        Parameters
        ----------
        text
            The lettering; its place is where the search begins.
        anchor
            What it is about, mm.
        near
            First distance tried, printed mm.
        pad
            Frame round it, printed mm.
        """
        for strict in (True, False):
            open_ones = (
                choice
                for choice in islice(_rings(text, self.scale, near), _NEAR_RINGS)
                if self.free(choice, strict, pad)
                and not self.crossed(anchor, edge(choice, anchor, self.scale))
            )
            found = self.place(open_ones, strict=strict, pad=pad)
            found = found or self.place(_rings(text, self.scale, near), strict=strict, pad=pad)
            if found:
                return [Line(anchor, edge(found, anchor, self.scale), LEADER), found]
        return [self.take(text, pad)]

    def _add(self, cover: _Cover) -> None:
        for key in self._keys(cover):
            self._cells.setdefault(key, []).append(cover)

    def _keys(self, cover: _Cover) -> Iterator[tuple[int, int]]:
        west, south, east, north = (math.floor(side / self._cell) for side in cover.bounds)
        for column in range(west, east + 1):
            for row in range(south, north + 1):
                yield (column, row)


def _outline(shape: Polygon) -> _Cover:
    corners = [(float(x), float(y)) for x, y, *_ in shape.exterior.coords]
    west, south, east, north = shape.bounds
    upright = math.isclose(shape.area, (east - west) * (north - south), rel_tol=1e-9)
    return _Cover(corners, upright)


def _cover(text: Text, scale: float, pad: float) -> _Cover:
    return _Cover(text.corners(scale, pad), text.angle % 90.0 == 0.0, True)


def _rings(text: Text, scale: float, near: float) -> Iterator[Text]:
    x, y = text.at
    for ring in range(40):
        radius = (near + 2.0 * ring) * scale
        steps = 12 + 4 * ring
        for k in range(steps):
            angle = math.pi / 4 + 2 * math.pi * k / steps
            yield replace(text, at=(x + radius * math.cos(angle), y + radius * math.sin(angle)))


def edge(text: Text, anchor: Place, scale: float) -> Place:
    """Give the middle of that side of the lettering which is nearest to a place, mm."""
    corners = text.corners(scale, 0.4)
    middles = [
        ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        for a, b in zip(corners, (*corners[1:], corners[0]), strict=True)
    ]
    return min(middles, key=lambda place: math.dist(place, anchor))
