"""One position of a fixture or a bay of slat-wall, with the floor and the faces it takes."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon

from shopfit.model.layout import Placement
from shopfit.solver.parts import FacePart

# Corners of a rectangle, an array of shape (4, 2), mm in the shop's frame.
Corners = NDArray[np.float64]


@dataclass(frozen=True)
class Candidate:
    """One position.

    Floor is kept as corners of rectangles, for most positions are only ever compared by them;
    shapes are made when they are asked for.

    Parameters
    ----------
    fixture
        Id in the catalogue, or none for slat-wall with nothing below.
    placement
        Where; for bare slat-wall only its wall and offset mean something.
    body_at
        Floor that it takes.
    bands_at
        Floor that stays clear before its sides, each as long as the whole side: outward direction
        in degrees, rectangle, depth.
    faces
        Faces of the fixture itself.
    slat
        Faces on the wall above it, if slat-wall is hung there.
    cost, slat_cost
        Money for the fixture, and at least for the slat-wall.
    frame
        Angle modulo 90 degrees of its sides.
    pinned
        Whether the user pinned it there.
    staff
        Of a divider: which of the bands is the one behind it.
    around_at
        Of an island: the body with the near half of the ways all round, of which the near halves
        of its bands are part: an aisle along it, and before a narrow end room to turn back. A
        careful search keeps islands apart with it, so that they never close a way; no rule asks
        for it.
    hemmed_in
        Of an island: whether walls or columns leave no such ways all round it.
    row
        Of islands: how many fixtures stand side by side, the placement being that of the left one.
    """

    fixture: str | None
    placement: Placement
    body_at: Corners = field(compare=False)
    bands_at: tuple[tuple[float, Corners, float], ...] = field(compare=False)
    faces: tuple[FacePart, ...]
    slat: tuple[FacePart, ...] = ()
    cost: float = 0.0
    slat_cost: float = 0.0
    frame: float = 0.0
    pinned: bool = False
    staff: int | None = None
    around_at: Corners | None = field(default=None, compare=False)
    hemmed_in: bool = False
    row: int = 1

    @cached_property
    def body(self) -> Polygon:
        """Floor that it takes, as a shape."""
        return Polygon(self.body_at)

    @cached_property
    def bands(self) -> tuple[tuple[float, Polygon, float], ...]:
        """Its bands, as shapes."""
        return tuple((way, Polygon(corners), depth) for way, corners, depth in self.bands_at)

    @property
    def staff_band(self) -> Polygon | None:
        """Of a divider: the band behind it, which is among the bands too."""
        return None if self.staff is None else self.bands[self.staff][1]

    @cached_property
    def around(self) -> Polygon | None:
        """Of an island: the body with its share of the ways round it, as a shape."""
        return None if self.around_at is None else Polygon(self.around_at)

    @property
    def customer_bands_at(self) -> list[tuple[float, Corners]]:
        """The bands that customers stand in: outward direction, rectangle."""
        return [(way, at) for k, (way, at, _) in enumerate(self.bands_at) if k != self.staff]

    @property
    def stands_free(self) -> bool:
        """Whether it is an island: a fixture against no wall and on the edge of no staff zone."""
        return self.fixture is not None and self.placement.wall is None and self.staff is None
