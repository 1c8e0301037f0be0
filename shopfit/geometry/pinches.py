"""Pinches: stretches of a way narrower than some width, how long they are and how far apart.

A pinch is measured square to what makes it: from its narrowest place along the way, as far as a
line straight across the way is shorter than the width asked about. So two boxes 20 in deep that
stand 32 in apart make a pinch 20 in long, though a round traveller of 36 in stops before them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from shopfit.geometry.freefloor import polygons
from shopfit.geometry.gaps import Gap
from shopfit.geometry.shell import PlanPoint
from shopfit.geometry.widest import Floors
from shopfit.units import TOLERANCE_MM

# Lines across a way this much farther apart than they are asked to be are still one stretch.
_FAR_MM = 20_000.0
_MOST_PARTS = 12
_FINE_MM = 1.0
_STEP_MM = 1000.0


@dataclass(frozen=True)
class Pinch:
    """A stretch narrower than some width.

    Parameters
    ----------
    gap
        Its narrowest place.
    length
        How long it is, along the way, mm.
    outline
        The floor of it, as a closed line, mm.
    """

    gap: Gap
    length: float
    outline: tuple[PlanPoint, ...]


@dataclass(frozen=True)
class OnWay:
    """A pinch that a way goes through.

    Parameters
    ----------
    pinch
        Which.
    start, end
        Where on the way it begins and ends, mm from the beginning of the way.
    """

    pinch: Pinch
    start: float
    end: float


def pinches(floors: Floors, under: float, over: float = 0.0) -> list[tuple[Pinch, list[int]]]:
    """List all pinches of free floors.

    Parameters
    ----------
    floors
        The floors.
    under, over
        Widths at least so much and less than so much, mm; passages that lie next to one another
        are one pinch.

    Returns
    -------
    Pinches, each with its passages.
    """
    narrow = np.flatnonzero(
        (floors.widths < under - TOLERANCE_MM) & (floors.widths >= over - TOLERANCE_MM)
    )
    return [(_measured(floors, group, under), group) for group in _groups(floors, narrow)]


def pinches_on(
    floors: Floors,
    line: Sequence[PlanPoint],
    under: float,
    parts: Sequence[Sequence[PlanPoint]] | None = None,
) -> list[OnWay]:
    """List the pinches that a way goes through, in order.

    Parameters
    ----------
    floors
        The floors.
    line
        The way, mm.
    under
        Width that is wanted, mm.
    parts
        Parts of the way that count; all of it where they are left out.
    """
    crossed = {k for part in (parts or [line]) for k in passages_on(floors, part)}
    narrow = {k for k in crossed if floors.widths[k] < under - TOLERANCE_MM}
    way = LineString(line)
    found = []
    for group in _groups(floors, np.array(sorted(narrow), dtype=np.int64)):
        pinch = _measured(floors, group, under)
        middle = float(way.project(Point(pinch.gap.middle)))
        half = pinch.length / 2
        inside = way.intersection(Polygon(pinch.outline)) if len(pinch.outline) > 3 else None
        if inside is None or inside.is_empty:
            found.append(OnWay(pinch, max(middle - half, 0.0), min(middle + half, way.length)))
            continue
        spots = [float(way.project(Point(p))) for p in shapely.get_coordinates(inside)]
        found.append(OnWay(pinch, min(spots), max(spots)))
    return sorted(found, key=lambda one: one.start)


def passages_on(floors: Floors, line: Sequence[PlanPoint]) -> list[int]:
    """List the passages that a way goes through."""
    if len(line) < 2 or not floors.count:
        return []
    # In short steps, for a long line has a large box about it.
    steps = np.asarray(shapely.segmentize(LineString(line), _STEP_MM).coords)
    lines = shapely.linestrings(np.stack([steps[:-1], steps[1:]], axis=1))
    _, found = floors.crossings.query(lines, predicate="intersects")
    return [int(k) for k in np.unique(found)]


def narrowest_on(floors: Floors, *parts: Sequence[PlanPoint]) -> Gap | None:
    """Give the narrowest place of a way, by its parts; none where it goes through no passage."""
    crossed = [k for part in parts for k in passages_on(floors, part)]
    if not crossed:
        return None
    return floors.gap(crossed[int(np.argmin(floors.widths[crossed]))])


def _groups(floors: Floors, narrow: np.ndarray) -> list[list[int]]:
    """Group passages that share a triangle."""
    from scipy.sparse import coo_array, csgraph

    if not len(narrow):
        return []
    ones, others = (end[narrow] for end in floors.ends)
    count = floors.count
    graph = coo_array((np.ones(len(narrow)), (ones, others)), shape=(count, count))
    _, label = csgraph.connected_components(graph, directed=False)
    groups: dict[int, list[int]] = {}
    for passage, triangle in zip(narrow.tolist(), ones.tolist(), strict=True):
        groups.setdefault(int(label[triangle]), []).append(passage)
    return [groups[key] for key in sorted(groups, key=lambda key: groups[key][0])]


def _measured(floors: Floors, group: Sequence[int], under: float) -> Pinch:
    """Measure a pinch in the frame of its narrowest place; one that bends, part by part."""
    left = sorted(group, key=lambda k: (floors.widths[k], k))
    first: Gap | None = None
    parts: list[Polygon] = []
    length = 0.0
    while left and len(parts) < _MOST_PARTS:
        gap = floors.gap(left[0])
        first = first or gap
        part, long = _straight(floors, gap, under)
        new = part if not parts else part.difference(shapely.union_all(parts))
        # What an earlier part has measured already is not counted twice.
        length += long if not parts else long * (new.area / part.area if part.area else 0.0)
        parts.append(part)
        grown = shapely.union_all(parts).buffer(_FINE_MM, join_style="mitre")
        left = [k for k in left[1:] if not _within(floors, k, grown, under)]
    assert first is not None
    whole = polygons(shapely.union_all(parts))
    outline = tuple(map(tuple, whole[0].exterior.coords)) if whole else ()
    return Pinch(first, length, outline)


def _within(floors: Floors, passage: int, measured: BaseGeometry, under: float) -> bool:
    """Say whether a passage is part of what is measured, or only a slanting look at it."""
    gap = floors.gap(passage)
    ends = [Point(gap.start), Point(gap.end)]
    return any(bool(measured.intersects(end)) for end in ends)


def _straight(floors: Floors, gap: Gap, under: float) -> tuple[Polygon, float]:
    """Give the stretch around a narrow place where a line straight across is too short."""
    floor = _floor_at(floors, gap.middle)
    (ux, uy), (mx, my) = gap.across, gap.middle
    if floor is None:
        return Polygon(), 0.0
    # In the frame of the gap: x along the way, y across it, the middle of the gap at the origin.
    turned = shapely.transform(
        floor.intersection(Point(mx, my).buffer(_reach(under))),
        lambda c: np.stack(
            [(c[:, 0] - mx) * uy - (c[:, 1] - my) * ux, (c[:, 0] - mx) * ux + (c[:, 1] - my) * uy],
            axis=1,
        ),
    )
    piece = next((p for p in polygons(turned) if p.distance(Point(0.0, 0.0)) < _FINE_MM), None)
    if piece is None:
        return Polygon(), 0.0
    ahead, top_a, low_a = _as_far_as(piece, under, 1)
    back, top_b, low_b = _as_far_as(piece, under, -1)
    ring = [*zip(back[::-1], top_b[::-1], strict=True), *zip(ahead, top_a, strict=True)]
    ring += [*zip(ahead[::-1], low_a[::-1], strict=True), *zip(back, low_b, strict=True)]
    plan = [(mx + x * uy + y * ux, my - x * ux + y * uy) for x, y in ring]
    return Polygon(plan).buffer(0), ahead[-1] - back[-1]


def _reach(under: float) -> float:
    return 12 * under


def _as_far_as(
    piece: Polygon, under: float, sign: int
) -> tuple[list[float], list[float], list[float]]:
    """Go along the way from a narrow place as far as it stays narrow; along, left and right."""
    xs = sorted({round(float(x), 6) for x, _ in shapely.get_coordinates(piece) if sign * x > 0})
    if sign < 0:
        xs.reverse()
    along, tops, lows = [0.0], [0.0], [0.0]
    span = _chord(piece, sign * 1e-3, (0.0, 0.0))
    if span is None:
        return along, tops, lows
    tops, lows = [span[1]], [span[0]]
    at = 0.0
    for x in xs:
        # Between two corners of the floor both sides are straight: just before and just after.
        inner = _chord(piece, x - sign * 1e-3, span)
        if inner is None:
            break
        if inner[1] - inner[0] >= under - TOLERANCE_MM:
            was = span[1] - span[0]
            share = (under - was) / max(inner[1] - inner[0] - was, 1e-9)
            at += (x - at) * min(max(share, 0.0), 1.0)
            along.append(at)
            tops.append(span[1] + (inner[1] - span[1]) * share)
            lows.append(span[0] + (inner[0] - span[0]) * share)
            return along, tops, lows
        along.append(x)
        tops.append(inner[1])
        lows.append(inner[0])
        at, span = x, inner
        beyond = _chord(piece, x + sign * 1e-3, span)
        if beyond is None or beyond[1] - beyond[0] >= under - TOLERANCE_MM:
            break
        span = beyond
    return along, tops, lows


def _chord(piece: Polygon, x: float, near: tuple[float, float]) -> tuple[float, float] | None:
    """Give the free line straight across at a place along the way, next to the last one."""
    line = LineString([(x, -_FAR_MM), (x, _FAR_MM)])
    met = piece.intersection(line)
    best: tuple[float, float, float] | None = None
    for part in getattr(met, "geoms", [met]):
        if not isinstance(part, LineString) or part.length <= 0:
            continue
        low, high = sorted((part.coords[0][1], part.coords[-1][1]))
        shared = min(high, near[1]) - max(low, near[0])
        if shared >= -TOLERANCE_MM and (best is None or shared > best[0]):
            best = (shared, low, high)
    return None if best is None else (best[1], best[2])


def _floor_at(floors: Floors, place: PlanPoint) -> Polygon | None:
    point = Point(place)
    return next((one for one in floors.polygons if one.distance(point) < _FINE_MM), None)
