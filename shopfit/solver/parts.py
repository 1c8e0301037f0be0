"""Faces that a position brings: display sides of fixtures, and slat-wall above them."""

from __future__ import annotations

import itertools
from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from dataclasses import dataclass

from shopfit.geometry.footprint import side_length
from shopfit.geometry.openings import free_heights
from shopfit.geometry.shell import WallLine
from shopfit.model.fixtures import Fixture, Sheet, Side
from shopfit.solver.display import FaceClass
from shopfit.solver.site import Site

_EPS = 1e-6
_HAIR_MM = 1e-3
# Slat-wall narrower than this between two openings is not worth hanging.
NARROWEST_RUN_MM = 200.0


@dataclass(frozen=True)
class FacePart:
    """A face that a candidate brings.

    Parameters
    ----------
    side, kind
        The side it is on, and its class.
    width
        mm.
    wall_span
        On slat-wall: offsets on the wall and heights of the piece, mm.
    sheet
        On slat-wall: the sheet it is cut from.
    """

    side: Side
    kind: FaceClass
    width: float
    wall_span: tuple[float, float, float, float] | None = None
    sheet: str | None = None


def slat_area(parts: Iterable[FacePart]) -> float:
    """Add up the area of slat-wall, mm²."""
    return sum(
        part.width * (part.wall_span[3] - part.wall_span[2]) for part in parts if part.wall_span
    )


def fixture_parts(fixture: Fixture) -> tuple[FacePart, ...]:
    """Give the faces that a fixture shows."""
    parts = []
    for face in fixture.faces:
        width = face.width if face.width is not None else side_length(fixture, face.side)
        height = face.top - face.bottom
        pitch = height if face.kind == "table" else face.pitch
        kind = FaceClass(
            face.kind,
            int(height / pitch + _EPS),
            round(pitch, 4),
            round(face.bottom, 2),
            round(face.depth, 2),
            round(face.load / (width / 1000), 4),
            0.0 if face.kind == "table" else face.board,
        )
        parts.append(FacePart(face.side, kind, width))
    return tuple(parts)


class SlatWall:
    """The slat-wall that may hang on one wall; stretches with the same above are judged once.

    Parameters
    ----------
    site, wall
        Where.
    """

    def __init__(self, site: Site, wall: WallLine) -> None:
        self._site, self._wall = site, wall
        edges = {edge for thing in site.things_on(wall) for edge in (thing.left, thing.right)}
        self._height = wall.heights[0][1]
        self._even = all(height == self._height for _, height in wall.heights)
        self._cuts = sorted(edges | {offset for offset, _ in wall.heights})
        self._spans: dict[tuple[float, float, float], tuple[float, float] | None] = {}
        self._classes: dict[tuple[float, float, float], FaceClass] = {}

    def parts(self, left: float, right: float, bottom: float, depth: float) -> tuple[FacePart, ...]:
        """Give the pieces over a stretch of the wall, the largest free height each.

        Parameters
        ----------
        left, right
            Offsets, mm.
        bottom
            Height from which it may begin, mm.
        depth
            How far goods may stand out, mm.
        """
        sheet = self._site.sheet
        if sheet is None or not self._wall.slat_wall:
            return ()
        # Deeper than the deepest holder makes no difference, and runs of one class can be joined.
        depth = min(depth, self._site.deepest_holder)
        first, last = bisect_right(self._cuts, left), bisect_left(self._cuts, right)
        cuts = [left, *self._cuts[first:last], right]
        spans: list[tuple[float, float, float, float]] = []
        for a, b in itertools.pairwise(cuts):
            span = self._tallest(a, b, bottom, sheet)
            if span is None:
                continue
            if spans and spans[-1][1] == a and spans[-1][2:] == span:
                spans[-1] = (spans[-1][0], b, *span)
            else:
                spans.append((a, b, *span))
        return tuple(
            self._part(sheet, span, depth)
            for span in spans
            if span[1] - span[0] >= NARROWEST_RUN_MM
        )

    def _part(
        self, sheet: Sheet, span: tuple[float, float, float, float], depth: float
    ) -> FacePart:
        left, right, low, high = span
        if (low, high, depth) not in self._classes:
            self._classes[low, high, depth] = slat_class(sheet, low, high, depth)
        return FacePart("front", self._classes[low, high, depth], right - left, span, sheet.id)

    def _tallest(
        self, left: float, right: float, bottom: float, sheet: Sheet
    ) -> tuple[float, float] | None:
        """Give the tallest span of heights over a stretch between two cuts that follow another."""
        lowest = self._height if self._even else self._wall.lowest(left, right)
        # The same things are over all of a stretch, unless it is no more than a hair.
        stretch = bisect_right(self._cuts, (left + right) / 2) if right - left > _HAIR_MM else left
        key = (stretch, lowest, bottom)
        if key not in self._spans:
            self._spans[key] = _tallest(self._site, self._wall, left, right, bottom, sheet)
        return self._spans[key]


def slat_class(sheet: Sheet, bottom: float, top: float, depth: float) -> FaceClass:
    """Give the class of a piece of slat-wall between two heights, mm."""
    first = bottom + sheet.first_groove
    levels = int((top - first) / sheet.groove_pitch + _EPS)
    return FaceClass(
        "slat",
        levels,
        round(sheet.groove_pitch, 4),
        round(first, 2),
        round(depth, 2),
        round(sheet.groove_load, 4),
        0.0,
    )


def _tallest(
    site: Site, wall: WallLine, left: float, right: float, bottom: float, sheet: Sheet
) -> tuple[float, float] | None:
    free = free_heights(site.scenario.shop, wall, left, right, bottom, site.brief.display_top)
    least = sheet.first_groove + 2 * sheet.groove_pitch
    free = [(low, min(high, low + sheet.height)) for low, high in free if high - low >= least]
    if not free:
        return None
    low, high = max(free, key=lambda span: (span[1] - span[0], -span[0]))
    return (round(low, 4), round(high, 4))
