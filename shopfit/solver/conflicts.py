"""Which positions exclude one another: largest sets at points of the floor, and single pairs."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon, STRtree

from shopfit.geometry.footprint import shapes
from shopfit.solver.candidate import Candidate
from shopfit.solver.overlaps import Family, largest

# Shapes are shrunk by this before they are compared, so that touching is allowed, mm.
_TOUCH_MM = 0.02

Cliques = list[NDArray[np.int64]]
_Floats = NDArray[np.float64]
_Ints = NDArray[np.int64]


def cliques(candidates: Sequence[Candidate], careful: bool = False) -> Cliques:
    """List sets of candidates of which at most one may be chosen.

    Two candidates exclude one another if their bodies overlap, or if the body of one stands in a
    clear band of the other; bands may overlap. In one frame of right angles, all such pairs share
    a cell of the grid drawn by every edge, so the sets below are complete:

    * bodies, and bands that open in one direction (if two such bands share a cell, then the body
      of the nearer stands in the band of the farther);
    * bodies, and the near halves of bands that open in opposite directions (if they share a cell,
      then the fronts stand nearer to each other than the wider of the two bands).

    A band is as long as the side that it lies before, so what a candidate takes up in each of
    these is one rectangle. Pairs across frames are compared by exact geometry.

    Parameters
    ----------
    candidates
        The positions.
    careful
        Whether islands keep an aisle all round them, past corners of what stands at walls as well,
        which no rule asks for.

    Returns
    -------
    Arrays of candidate indices, each sorted, the largest first; none lies within another.
    """
    found: Cliques = []
    frames = np.array([candidate.frame for candidate in candidates])
    for frame in sorted(set(frames.tolist())):
        members = np.flatnonzero(frames == frame)
        found += largest(list(_families(candidates, members, frame, careful)))
    found += [np.array(pair, dtype=np.int64) for pair in _cross_frame_pairs(candidates, frames)]
    if careful:
        found += _past_corners(candidates)
    return sorted(found, key=lambda group: (-group.size, group.tobytes()))


def conflicting(one: Candidate, other: Candidate) -> bool:
    """Say by exact geometry whether two candidates exclude one another."""
    a, b = _shrunk(one.body), _shrunk(other.body)
    if a.intersects(b):
        return True
    return any(a.intersects(_shrunk(band)) for _, band, _ in other.bands) or any(
        b.intersects(_shrunk(band)) for _, band, _ in one.bands
    )


def _shrunk(shape: Polygon) -> Polygon:
    return shape.buffer(-_TOUCH_MM, join_style="mitre")


def _families(
    candidates: Sequence[Candidate], members: _Ints, frame: float, careful: bool
) -> Iterator[Family]:
    """Give what candidates of one frame take up, for each of the ways of comparing them."""
    own = [candidates[i] for i in members.tolist()]
    bodies = _spans([candidate.body_at for candidate in own], frame)
    bands = [(k, *band) for k, candidate in enumerate(own) for band in candidate.bands_at]
    owner = np.array([band[0] for band in bands], dtype=np.int64)
    depth = np.array([band[3] for band in bands])
    quarter = np.array([round((band[1] - frame) / 90.0) % 4 for band in bands], dtype=np.int64)
    spans = _spans([band[2] for band in bands], frame)
    halves = spans.copy()
    # Of left, right, bottom and top, the far edge of a band that opens that way.
    far = np.array([1, 3, 0, 2])[quarter]
    halves[np.arange(len(halves)), far] -= np.where(quarter < 2, 0.5, -0.5) * depth
    rooms = [k for k, candidate in enumerate(own) if careful and candidate.around_at is not None]
    around = _spans([at for k in rooms if (at := own[k].around_at) is not None], frame)
    for way in range(4):
        same = quarter == way
        yield _family(members, bodies, owner[same], spans[same])
    for axis in range(2):
        same = quarter % 2 == axis
        with_room = np.r_[owner[same], np.array(rooms, dtype=np.int64)]
        yield _family(members, bodies, with_room, np.concatenate([halves[same], around]))


def _spans(corners: Sequence[_Floats], frame: float) -> _Floats:
    """Give left, right, bottom and top of rectangles in a turned frame."""
    places = np.array(corners, dtype=float).reshape(-1, 4, 2)
    angle = math.radians(frame)
    cos, sin = math.cos(angle), math.sin(angle)
    u = places[:, :, 0] * cos + places[:, :, 1] * sin
    v = -places[:, :, 0] * sin + places[:, :, 1] * cos
    return np.stack([u.min(axis=1), u.max(axis=1), v.min(axis=1), v.max(axis=1)], axis=1)


def _family(members: _Ints, bodies: _Floats, owner: _Ints, extra: _Floats) -> Family:
    """Join each body with what else its candidate takes up, in numbers of grid lines."""
    lines = np.empty((len(bodies) + len(extra), 4), dtype=np.int64)
    edges = np.concatenate([bodies, extra])
    lines[:, :2] = _numbered(edges[:, :2])
    lines[:, 2:] = _numbered(edges[:, 2:])
    joined, more = lines[: len(bodies)], lines[len(bodies) :]
    for column, join in ((0, np.minimum), (1, np.maximum), (2, np.minimum), (3, np.maximum)):
        join.at(joined[:, column], owner, more[:, column])
    return Family(members, *joined.T)


def _numbered(spans: _Floats) -> _Ints:
    """Give the numbers of the grid lines at spans; edges that all but touch are one line."""
    edges, place = np.unique(spans.ravel(), return_inverse=True)
    line = np.cumsum(np.r_[0, np.diff(edges) > _TOUCH_MM])
    return line[place].reshape(spans.shape).astype(np.int64)


def _cross_frame_pairs(
    candidates: Sequence[Candidate], frames: _Floats
) -> Iterable[tuple[int, int]]:
    """Give the pairs of candidates of different frames that exclude one another."""
    if len(set(frames.tolist())) < 2:
        return []
    bodies = _shrunk_at([candidate.body_at for candidate in candidates])
    bands = [(i, at) for i, c in enumerate(candidates) for _, at, _ in c.bands_at]
    owners = np.array([*range(len(candidates)), *(i for i, _ in bands)])
    taken = np.concatenate([bodies, _shrunk_at([at for _, at in bands])])
    pairs: set[tuple[int, int]] = set()
    for frame in set(frames.tolist()):
        here, others = owners[frames[owners] == frame], np.flatnonzero(frames != frame)
        tree = STRtree(taken[frames[owners] == frame])
        body, shape = tree.query(bodies[others], predicate="intersects")
        one, other = others[body], here[shape]
        pairs |= set(map(tuple, np.sort(np.stack([one, other], axis=1), axis=1).tolist()))
    return pairs


def _shrunk_at(corners: Sequence[_Floats]) -> NDArray[np.object_]:
    """Make shapes of rectangles, with every side moved inward."""
    places = np.array(corners, dtype=float).reshape(-1, 4, 2)
    before, after = np.roll(places, 1, axis=1) - places, np.roll(places, -1, axis=1) - places
    inward = sum(side / np.linalg.norm(side, axis=2, keepdims=True) for side in (before, after))
    return shapes(places + _TOUCH_MM * inward)


def _past_corners(candidates: Sequence[Candidate]) -> Cliques:
    """Keep islands an aisle from the corners of what stands at walls, so that one gets past.

    Islands whose ways cover one point exclude one another in a careful search, and all of them
    exclude what leaves too little between its corner and that point. What has the same corner in
    one place overlaps, too.
    """
    islands = [i for i, candidate in enumerate(candidates) if candidate.around_at is not None]
    corners: dict[tuple[float, ...], list[int]] = {}
    for i, candidate in enumerate(candidates):
        for corner in _outer_corners(candidate):
            corners.setdefault(corner, []).append(i)
    if not islands or not corners:
        return []
    numbers = np.array(islands, dtype=np.int64)
    frames = np.array([candidates[i].frame for i in islands])
    points = np.array([corner[2:] for corner in corners])
    groups = [[np.array(own, dtype=np.int64)] for own in corners.values()]
    for frame in sorted(set(frames.tolist())):
        own = numbers[frames == frame]
        around = [at for i in own.tolist() if (at := candidates[i].around_at) is not None]
        for group, inside in zip(groups, _containing(points, around, frame), strict=True):
            group.append(own[inside])
    # Without an island, what has one corner in common is excluded by its bodies already.
    found = [np.sort(np.concatenate(group)) for group in groups if any(map(len, group[1:]))]
    return list({group.tobytes(): group for group in found}.values())


def _containing(points: _Floats, corners: Sequence[_Floats], frame: float) -> Iterator[_Ints]:
    """Give, for each point, the numbers of the rectangles that it lies inside of."""
    left, right, bottom, top = _spans(corners, frame).T
    order = np.argsort(left, kind="stable")
    left, right, bottom, top = left[order], right[order], bottom[order], top[order]
    angle = math.radians(frame)
    u = points[:, 0] * math.cos(angle) + points[:, 1] * math.sin(angle)
    v = -points[:, 0] * math.sin(angle) + points[:, 1] * math.cos(angle)
    # None that begins farther to the left reaches so far.
    first = np.searchsorted(left, u - (right - left).max())
    last = np.searchsorted(left, u)
    for a, b, x, y in zip(first.tolist(), last.tolist(), u.tolist(), v.tolist(), strict=True):
        inside = (right[a:b] > x) & (bottom[a:b] < y) & (top[a:b] > y)
        yield order[a:b][inside]


def _outer_corners(candidate: Candidate) -> list[tuple[float, ...]]:
    """Give the points half an aisle out of and beside the front corners of a wall fixture.

    Returns
    -------
    For each corner the direction of the front, whether it is the left or the right one, and the
    point.
    """
    if candidate.placement.wall is None or not candidate.bands_at:
        return []
    direction, band, depth = candidate.bands_at[0]
    angle, half = math.radians(direction), depth / 2 - _TOUCH_MM
    ox, oy = math.cos(angle), math.sin(angle)
    out = (band @ np.array([ox, oy])).min() + half
    along = band @ np.array([-oy, ox])
    return [
        (direction, side, round(out * ox - place * oy, 3), round(out * oy + place * ox, 3))
        for side, place in ((-1.0, along.min() - half), (1.0, along.max() + half))
    ]
