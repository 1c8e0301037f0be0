"""Which positions exclude one another: cliques at points of the floor, and single pairs."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon, STRtree

from shopfit.solver.candidates import Candidate

# Shapes are shrunk by this before they are compared, so that touching is allowed, mm.
_TOUCH_MM = 0.02

Cliques = list[NDArray[np.int64]]


@dataclass(frozen=True)
class _Box:
    """A rectangle in a turned frame, and the candidate it belongs to."""

    owner: int
    left: float
    bottom: float
    right: float
    top: float


def cliques(candidates: Sequence[Candidate], careful: bool = False) -> Cliques:
    """List sets of candidates of which at most one may be chosen.

    Two candidates exclude one another if their bodies overlap, or if the body of one stands in a
    clear band of the other; bands may overlap. In one frame of right angles, all such pairs share
    a cell of the grid drawn by every edge, so the sets below are complete:

    * bodies, and bands that open in one direction (if two such bands share a cell, then the body
      of the nearer stands in the band of the farther);
    * bodies, and the near halves of bands that open in opposite directions (if they share a cell,
      then the fronts stand nearer to each other than the wider of the two bands).

    Pairs across frames are compared by exact geometry.

    Parameters
    ----------
    candidates
        The positions.
    careful
        Whether islands keep an aisle all round them, which no rule asks for.

    Returns
    -------
    Arrays of candidate indices, each sorted, without repeats.
    """
    found: dict[bytes, NDArray[np.int64]] = {}
    frames = sorted({candidate.frame for candidate in candidates})
    for frame in frames:
        members = [i for i, candidate in enumerate(candidates) if candidate.frame == frame]
        for group in _frame_cliques(candidates, members, frame, careful):
            found[group.tobytes()] = group
    for pair in _cross_frame_pairs(candidates):
        group = np.array(pair, dtype=np.int64)
        found[group.tobytes()] = group
    return _not_contained(list(found.values()))


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


def _frame_cliques(
    candidates: Sequence[Candidate], members: Sequence[int], frame: float, careful: bool
) -> Cliques:
    bodies = [_box(i, candidates[i].body, frame) for i in members]
    bands: dict[int, list[_Box]] = {0: [], 90: [], 180: [], 270: []}
    halves: dict[int, list[_Box]] = {0: [], 90: []}
    for i in members:
        around = candidates[i].around
        if careful and around is not None:
            for half in halves.values():
                half.append(_box(i, around, frame))
        for direction, band, depth in candidates[i].bands:
            quarter = round((direction - frame) / 90.0) * 90 % 360
            box = _box(i, band, frame)
            bands[quarter].append(box)
            halves[quarter % 180].append(_near_half(box, quarter, depth))
    result: Cliques = []
    for extra in (*bands.values(), *halves.values()):
        result += _cells(bodies, extra)
    return result


def _box(owner: int, shape: Polygon, frame: float) -> _Box:
    angle = math.radians(frame)
    cos, sin = math.cos(angle), math.sin(angle)
    corners = list(shape.exterior.coords)
    u = [x * cos + y * sin for x, y in corners]
    v = [-x * sin + y * cos for x, y in corners]
    return _Box(owner, min(u), min(v), max(u), max(v))


def _near_half(band: _Box, quarter: int, depth: float) -> _Box:
    left, bottom, right, top = band.left, band.bottom, band.right, band.top
    half = depth / 2
    if quarter == 0:
        right -= half
    elif quarter == 90:
        top -= half
    elif quarter == 180:
        left += half
    else:
        bottom += half
    return _Box(band.owner, left, bottom, right, top)


def _cells(bodies: Sequence[_Box], extra: Sequence[_Box]) -> Cliques:
    """Give, for every cell of the grid drawn by all edges, who covers it."""
    boxes = [*bodies, *extra]
    if not boxes:
        return []
    spans = np.array([(b.left, b.right, b.bottom, b.top) for b in boxes])
    columns, rows = _numbered(spans[:, :2]), _numbered(spans[:, 2:])
    height = int(rows.max()) + 1
    cells, owners = [], []
    for b, (left, right), (bottom, top) in zip(boxes, columns, rows, strict=True):
        covered = (np.arange(left, right)[:, None] * height + np.arange(bottom, top)).ravel()
        cells.append(covered)
        owners.append(np.full(covered.size, b.owner, dtype=np.int64))
    cell, owner = np.concatenate(cells), np.concatenate(owners)
    order = np.lexsort((owner, cell))
    cell, owner = cell[order], owner[order]
    fresh = np.ones(cell.size, dtype=bool)
    fresh[1:] = (cell[1:] != cell[:-1]) | (owner[1:] != owner[:-1])
    cell, owner = cell[fresh], owner[fresh]
    keep = np.ones(cell.size, dtype=bool)
    for shift in (1, -1, height, -height):
        keep &= _not_in_neighbour(cell, owner, shift)
    cell, owner = cell[keep], owner[keep]
    return _distinct(cell, owner)


def _not_in_neighbour(
    cell: NDArray[np.int64], owner: NDArray[np.int64], shift: int
) -> NDArray[np.bool_]:
    """Say which entries are of cells whose owners do not all cover the neighbouring cell too.

    Of two equal neighbours the later one is kept when looking forward and none is dropped when
    looking back.
    """
    span = int(owner.max()) + 1
    key = cell * span + owner
    wanted = (cell + shift) * span + owner
    shared = key[np.minimum(np.searchsorted(key, wanted), key.size - 1)] == wanted
    starts = np.flatnonzero(np.r_[True, cell[1:] != cell[:-1]])
    sizes = np.diff(np.r_[starts, cell.size])
    common = np.add.reduceat(shared.astype(np.int64), starts)
    inside = common == sizes
    if shift < 0:
        cells = cell[starts]
        at = np.minimum(np.searchsorted(cells, cells + shift), cells.size - 1)
        inside &= (cells[at] == cells + shift) & (sizes[at] > sizes)
    return ~np.repeat(inside, sizes)


def _distinct(cell: NDArray[np.int64], owner: NDArray[np.int64]) -> Cliques:
    """Split owners by cell and keep each different set once."""
    starts = np.flatnonzero(np.r_[True, cell[1:] != cell[:-1]])
    marks = np.random.default_rng(0).integers(1, 2**63, int(owner.max()) + 1, dtype=np.uint64)
    sums = np.add.reduceat(marks[owner], starts)
    _, first = np.unique(sums, return_index=True)
    ends = np.r_[starts[1:], cell.size]
    return [owner[starts[k] : ends[k]] for k in np.sort(first) if ends[k] - starts[k] > 1]


def _numbered(spans: NDArray[np.float64]) -> NDArray[np.int64]:
    """Give the numbers of the grid lines at spans; edges that all but touch are one line."""
    edges, place = np.unique(spans.ravel(), return_inverse=True)
    line = np.cumsum(np.r_[0, np.diff(edges) > _TOUCH_MM])
    return line[place].reshape(spans.shape).astype(np.int64)


def _cross_frame_pairs(candidates: Sequence[Candidate]) -> Iterable[tuple[int, int]]:
    frames = np.array([candidate.frame for candidate in candidates])
    if len(set(frames.tolist())) < 2:
        return []
    bodies = [_shrunk(candidate.body) for candidate in candidates]
    shapes, owners = list(bodies), list(range(len(candidates)))
    for i, candidate in enumerate(candidates):
        for _, band, _ in candidate.bands:
            shapes.append(_shrunk(band))
            owners.append(i)
    tree = STRtree(shapes)
    body, shape = tree.query(bodies, predicate="intersects")
    other = np.array(owners)[shape]
    mixed = frames[body] != frames[other]
    pairs = {(min(a, b), max(a, b)) for a, b in zip(body[mixed], other[mixed], strict=True)}
    return sorted((int(a), int(b)) for a, b in pairs)


def _not_contained(groups: Cliques) -> Cliques:
    """Drop sets that lie within another, looking only among sets that share their rarest member."""
    if not groups:
        return []
    groups = sorted(groups, key=lambda group: (-group.size, group.tobytes()))
    count = 1 + max(int(group[-1]) for group in groups)
    held = np.zeros(count, dtype=np.int64)
    holders: list[list[int]] = [[] for _ in range(count)]
    kept: Cliques = []
    for group in groups:
        flags = np.zeros(count, dtype=bool)
        flags[group] = True
        # As one long integer, so that a comparison is one step.
        own = int.from_bytes(np.packbits(flags).tobytes(), "big")
        rarest = int(group[held[group].argmin()])
        if any(own & other == own for other in holders[rarest]):
            continue
        held[group] += 1
        for member in group.tolist():
            holders[member].append(own)
        kept.append(group)
    return kept
