"""Pinches that a rulebook allows: short and far enough apart they count as wide as a route."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from shopfit.checks import ways
from shopfit.checks.notes import less
from shopfit.checks.scene import Scene
from shopfit.checks.ways import Who
from shopfit.geometry.pinches import Pinch, pinches
from shopfit.geometry.widest import Ways
from shopfit.standards.routes import clear_width
from shopfit.units import TOLERANCE_MM

# Where ways begin and end their width is known to this, mm.
_TRUE_MM = 0.5


@dataclass(frozen=True)
class Pair:
    """Two pinches of one way that follow one another.

    Parameters
    ----------
    first, second
        Which.
    apart
        How far apart they are, mm.
    """

    first: Pinch
    second: Pinch
    apart: float


class Counted:
    """Ways on which each pinch that is short enough counts as wide as a route has to be.

    Parameters
    ----------
    scene
        Whose rulebook.
    who
        Whose ways.

    Source
    ------
    2010 ADA Standards, 403.5.1: 32 in for at most 24 in, such pinches at least 48 in apart. Text
    read.
    """

    def __init__(self, scene: Scene, who: Who) -> None:
        self._book = scene.rulebook
        route, least = self._book.mm("route-width"), self._book.mm("pinch-width")
        floors = ways.floors(scene, who)
        # What is too narrow is too narrow by more than the ends of ways are known to.
        short = floors.widths < route - TOLERANCE_MM
        widths = np.where(short, np.minimum(floors.widths, route - 2 * _TRUE_MM), floors.widths)
        self._of: dict[int, Pinch] = {}
        for pinch, passages in pinches(floors, route, least):
            if clear_width(self._book, pinch.gap.width, pinch.length).met:
                widths[passages] = route
                self._of |= dict.fromkeys(passages, pinch)
        self._route = route
        self._ways = Ways(floors, ways.starts(scene, ways.CUSTOMERS), ways.links(scene), widths)

    def reaches(self, place: BaseGeometry) -> bool:
        """Say whether a way leads to a place that is as wide as a route, but for such pinches."""
        return not less(self._ways.to(place).width, self._route, _TRUE_MM)

    def pinches_to(self, place: BaseGeometry) -> list[Pinch]:
        """List the pinches on that way, in order."""
        found = [self._of[k] for k in self._ways.passages_to(place) if k in self._of]
        return list(dict.fromkeys(found))

    def too_near(self, place: BaseGeometry) -> Pair | None:
        """Give the two pinches nearest to one another on the way, if they are too near."""
        limit = self._book.requirement("pinch-apart")
        along = self.pinches_to(place)
        pairs = [
            Pair(one, other, _apart(one.outline, other.outline)) for one, other in pairwise(along)
        ]
        nearest = min(pairs, key=lambda pair: pair.apart, default=None)
        return nearest if nearest is not None and not limit.holds(nearest.apart) else None


def counted(scene: Scene, who: Who) -> Counted:
    """Give the ways on which allowed pinches count as wide; worked out once."""
    return scene.once(("counted", who), lambda: Counted(scene, who))


def _apart(one: Sequence[tuple[float, float]], other: Sequence[tuple[float, float]]) -> float:
    shapes = [Polygon(ring) if len(ring) > 3 else LineString(ring) for ring in (one, other)]
    return float(shapes[0].distance(shapes[1]))
