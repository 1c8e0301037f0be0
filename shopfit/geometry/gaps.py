"""How wide the ways through a floor are: the gaps between what bounds it, by triangulation.

The edge of the floor is cut into short *panels* and the ends of these are triangulated. Whoever
goes from one triangle to the next passes between two ends, and between the panels about them: the
least distance between these is the width of the way there. The centre of the circle through the
corners of a triangle stands for all of its floor.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon, STRtree
from shapely.geometry.base import BaseGeometry

from shopfit.geometry.shell import PlanPoint

# Widths are then true to 50 mm ** 2 / (4 * width), 0.7 mm in a way of 36 in; to rounding between
# straight edges, corners and walls.
PANEL_MM = 50.0
_ROUNDS = 8
# Slits between things that stand side by side are no ways, and would want very short panels.
_SLIT_MM = 20.0
_HAIR_MM = 1e-4
_FAR = 4.0

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Gap:
    """The narrowest place between two things on both sides of a way.

    Parameters
    ----------
    width
        Clear width, mm.
    start, end
        The nearest points of the two sides, mm.
    one_sided
        Whether nothing is met at the end: how near one comes to the start is all that limits.
    """

    width: float
    start: PlanPoint
    end: PlanPoint
    one_sided: bool = False

    @property
    def middle(self) -> PlanPoint:
        """Half way between the two sides, mm."""
        return ((self.start[0] + self.end[0]) / 2, (self.start[1] + self.end[1]) / 2)

    @property
    def across(self) -> PlanPoint:
        """Unit direction from one side to the other."""
        dx, dy = self.end[0] - self.start[0], self.end[1] - self.start[1]
        length = math.hypot(dx, dy)
        return (dx / length, dy / length) if length > 0 else (1.0, 0.0)


@dataclass(frozen=True)
class Mesh:
    """A free floor cut into triangles between the ends of its panels.

    Parameters
    ----------
    floor
        The floor, one polygon.
    centres
        For each triangle the centre of the circle through its corners, mm.
    clear
        Twice the radius of that circle: the clear width there, mm.
    ones, others
        Numbers of the two triangles of each passage.
    widths
        Clear width of each passage, mm.
    sides
        For each passage the panels on its two sides, as lines.
    tips
        For each passage the ends of panels that it passes between, shape (passages, 2, 2), mm.
    edge
        Every panel end with half of the two panels that meet there.
    triangles
        The triangles as shapes.
    """

    floor: Polygon
    centres: Floats
    clear: Floats
    ones: Ints
    others: Ints
    widths: Floats
    sides: tuple[NDArray[np.object_], NDArray[np.object_]]
    tips: Floats
    edge: STRtree
    triangles: STRtree

    def clearance(self, places: Floats) -> Floats:
        """Give how far places are from the edge of the floor, mm; 0 outside it."""
        if not len(places):
            return np.empty(0)
        points = shapely.points(places)
        _, found = self.edge.query_nearest(points, return_distance=True, all_matches=False)
        return np.where(_inside(self.floor, places), found, 0.0)

    def find(self, places: Floats) -> Ints:
        """Give the triangle that each place lies in, or -1 outside the floor."""
        which, what = self.triangles.query(shapely.points(places), predicate="intersects")
        found = np.full(len(places), -1, dtype=np.int64)
        found[which] = what
        return found

    def gap(self, passage: int) -> Gap:
        """Give the nearest points across a passage."""
        line = shapely.shortest_line(self.sides[0][passage], self.sides[1][passage])
        (ax, ay), (bx, by) = line.coords
        return Gap(float(self.widths[passage]), (ax, ay), (bx, by))


def without_slits(shape: BaseGeometry, width: float = _SLIT_MM) -> BaseGeometry:
    """Close the slits of a free floor that are no wider than some width, mm."""
    inner = shape.buffer(-width / 2, join_style="mitre")
    return inner.buffer(width / 2, join_style="mitre")


def mesh(floor: Polygon, panel: float = PANEL_MM) -> Mesh:
    """Cut a free floor into triangles and measure every passage between them.

    Parameters
    ----------
    floor
        A polygon, perhaps with holes.
    panel
        Longest panel, mm.
    """
    places, before, after = _samples(floor, panel)
    simplices, neighbours = _triangulate(places)
    for _ in range(_ROUNDS):
        split = _missing(simplices, after)
        if not len(split):
            break
        places, before, after = _halved(places, before, after, split)
        simplices, neighbours = _triangulate(places)
    centres, radii = _circles(places, simplices)
    inside = _inside(floor, places[simplices].mean(axis=1))
    ones, corner = np.nonzero((neighbours >= 0) & inside[:, None])
    others = neighbours[ones, corner].astype(np.int64)
    keep = (ones < others) & inside[others]
    ones, others, corner = ones[keep], others[keep], corner[keep]
    first = simplices[ones, (corner + 1) % 3]
    second = simplices[ones, (corner + 2) % 3]
    keep = (after[first] != second) & (after[second] != first)
    ones, others, first, second = ones[keep], others[keep], first[keep], second[keep]
    number = np.where(inside, np.cumsum(inside) - 1, -1)
    stars = _stars(places, before, after)
    widths = _widths(places, first, second, stars, centres[ones], centres[others])
    return Mesh(
        floor,
        centres[inside],
        2 * radii[inside],
        number[ones],
        number[others],
        widths,
        (stars[first], stars[second]),
        np.stack([places[first], places[second]], axis=1),
        STRtree(stars),
        STRtree(shapely.polygons(places[simplices[inside]])),
    )


def _samples(floor: Polygon, panel: float) -> tuple[Floats, Ints, Ints]:
    """Give the ends of panels along the edge, and the numbers of those before and after each."""
    rings = _rings(floor, panel)
    places = np.concatenate(rings)
    if len(np.unique(places, axis=0)) < len(places):
        # Rings that touch in a point are parted by a hair, so that every end is one of its own.
        thin = floor.buffer(-_HAIR_MM, join_style="mitre")
        parts = [part for part in getattr(thin, "geoms", [thin]) if not part.is_empty]
        rings = [ring for part in parts for ring in _rings(part, panel)] or rings
        places = np.concatenate(rings)
    before, after, begin = [], [], 0
    for ring in rings:
        numbers = np.arange(begin, begin + len(ring))
        before.append(np.roll(numbers, 1))
        after.append(np.roll(numbers, -1))
        begin += len(ring)
    return places, np.concatenate(before), np.concatenate(after)


def _rings(floor: Polygon, panel: float) -> list[Floats]:
    fine = shapely.segmentize(floor, panel)
    return [
        np.asarray(ring.coords[:-1], dtype=float)[:, :2]
        for ring in (fine.exterior, *fine.interiors)
    ]


def _triangulate(places: Floats) -> tuple[Ints, Ints]:
    from scipy.spatial import Delaunay

    # Far corners keep the edge of the floor inside, where ends in one line are no trouble; near
    # the origin less is lost to rounding.
    origin = places.mean(axis=0)
    far = _FAR * (np.abs(places - origin).max() + 1.0)
    box = np.array([[-far, -far], [far, -far], [far, far], [-far, far]])
    made = Delaunay(np.concatenate([places - origin, box]))
    simplices, neighbours = made.simplices.astype(np.int64), made.neighbors.astype(np.int64)
    real = (simplices < len(places)).all(axis=1)
    number = np.append(np.where(real, np.cumsum(real) - 1, -1), -1)
    return simplices[real], number[neighbours[real]]


def _missing(simplices: Ints, after: Ints) -> Ints:
    """List the panels that are no sides of triangles, by the end that they begin at."""
    count = len(after)
    pairs = np.concatenate([simplices[:, [0, 1]], simplices[:, [1, 2]], simplices[:, [2, 0]]])
    keys = pairs.min(axis=1) * count + pairs.max(axis=1)
    begin = np.arange(count)
    wanted = np.minimum(begin, after) * count + np.maximum(begin, after)
    return np.flatnonzero(~np.isin(wanted, keys))


def _halved(places: Floats, before: Ints, after: Ints, split: Ints) -> tuple[Floats, Ints, Ints]:
    count = len(places)
    new = np.arange(count, count + len(split))
    ends = after[split]
    middles = (places[split] + places[ends]) / 2
    before, after = np.concatenate([before, split]), np.concatenate([after, ends])
    before[ends] = new
    after[split] = new
    return np.concatenate([places, middles]), before, after


def _circles(places: Floats, simplices: Ints) -> tuple[Floats, Floats]:
    a, b, c = (places[simplices[:, k]] for k in range(3))
    ab, ac = b - a, c - a
    cross = ab[:, 0] * ac[:, 1] - ab[:, 1] * ac[:, 0]
    # Ends in one line make triangles of no area; they lie on the edge of the floor.
    safe = np.where(np.abs(cross) < 1e-9, np.nan, 2 * cross)
    b2, c2 = (ab**2).sum(axis=1), (ac**2).sum(axis=1)
    x = (ac[:, 1] * b2 - ab[:, 1] * c2) / safe
    y = (ab[:, 0] * c2 - ac[:, 0] * b2) / safe
    offset = np.nan_to_num(np.stack([x, y], axis=1))
    return a + offset, np.hypot(offset[:, 0], offset[:, 1])


def _inside(floor: Polygon, places: Floats) -> NDArray[np.bool_]:
    shapely.prepare(floor)
    found: NDArray[np.bool_] = shapely.contains_xy(floor, places[:, 0], places[:, 1])
    return found


def _stars(places: Floats, before: Ints, after: Ints) -> NDArray[np.object_]:
    """Give the halves of the two panels that meet in each end, as one line."""
    back, ahead = (places[before] + places) / 2, (places[after] + places) / 2
    made: NDArray[np.object_] = shapely.linestrings(np.stack([back, places, ahead], axis=1))
    return made


def _widths(
    places: Floats,
    first: Ints,
    second: Ints,
    stars: NDArray[np.object_],
    here: Floats,
    there: Floats,
) -> Floats:
    between: Floats = shapely.distance(stars[first], stars[second])
    # The narrowest place on the line between the centres: as near to the middle as it comes.
    middle = (places[first] + places[second]) / 2
    step = there - here
    length2 = np.maximum((step**2).sum(axis=1), 1e-12)
    share = np.clip(((middle - here) * step).sum(axis=1) / length2, 0.0, 1.0)
    spots = shapely.points(here + share[:, None] * step)
    beside = np.minimum(
        shapely.distance(spots, stars[first]), shapely.distance(spots, stars[second])
    )
    apart = np.hypot(*(places[first] - places[second]).T)
    found: Floats = np.minimum(np.maximum(between, 2 * beside), apart)
    return found
