"""How far a traveller gets who nowhere turns back round an end that is too tight.

A way turns back round an end when it comes out along one flank of the element, crosses the barrier
before the end, and goes in along the other flank. Who comes along before the end and goes on, or
turns in along one flank, does not turn back.
"""

from __future__ import annotations

import math
from collections import defaultdict, deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from shapely import LineString, Point, Polygon, STRtree
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit.geometry.shell import PlanPoint
from shopfit.geometry.turning import End, Islands, Tight, cut, tight_ends
from shopfit.units import TOLERANCE_MM

# Gates lie this far before the end's line, so that goods along a flank lie wholly behind them.
_BEFORE_MM = 1.0
# Ways kept to one place at most, told apart by the ends they have come round halfway.
_MOST_WAYS = 24

# Which turn, out of which flank (-1 left, 1 right), and whether its barrier is crossed.
_Halfway = frozenset[tuple[int, int, bool]]
# Which turn, which of its lines (-1 left gate, 0 barrier, 1 right gate), and which way across it:
# 1 is out of a flank, or from left to right.
_Crossing = tuple[int, int, int]


@dataclass(frozen=True)
class Turn:
    """A turn round a tight end, as three lines that a way crosses one after the other.

    Parameters
    ----------
    tight
        The end and its barrier.
    left, right
        Gates out of the two flanks, from the corners of the end sideways to what stands there.
    """

    tight: Tight
    left: LineString
    right: LineString


def turns(
    tight: Sequence[Tight],
    islands: Islands,
    others: Sequence[BaseGeometry],
    rooms: Sequence[Polygon],
    lane: float,
) -> list[Turn]:
    """Give the turns round tight ends.

    Parameters
    ----------
    tight, islands, others, rooms
        From and as for `shopfit.geometry.turning.tight_ends`.
    lane
        How far from a flank a way still counts as coming along it, mm.
    """
    things = [*islands.shapes, *others, *(room.exterior for room in rooms)]
    tree = STRtree(things)
    return [
        Turn(one, _gate(one.end, -1, tree, lane), _gate(one.end, 1, tree, lane)) for one in tight
    ]


def flanks(end: End, back: float) -> tuple[End, End]:
    """Give the last stretch of an element's two flanks before an end, left and right.

    Parameters
    ----------
    end
        Which end.
    back
        How far back from the end at most, mm.

    Returns
    -------
    Ends in their own right, so that the clear width beside them is found in the same way.
    """
    inward = (-end.outward[0], -end.outward[1])
    backward = (-end.along[0], -end.along[1])
    back = min(back, end.back)
    left = End(end.element, end.point(0.0, -back), end.outward, backward, back, end.length)
    right = End(end.element, end.point(end.length), inward, end.along, back, end.length)
    return left, right


def leg_widths(
    ends: Sequence[End],
    islands: Islands,
    others: Sequence[BaseGeometry],
    rooms: Sequence[Polygon],
    back: float,
    within: float,
) -> list[float]:
    """Give the clear width on the way to each end and away from it, mm; the lesser of the two.

    Parameters
    ----------
    ends, islands, others, rooms
        As for `shopfit.geometry.turning.tight_ends`.
    back
        How far back along the flanks, at most, mm.
    within
        Widths from this on are not told apart, mm.
    """
    sides = [side for end in ends for side in flanks(end, back)]
    found = dict.fromkeys(sides, within)
    for tight in tight_ends(sides, islands, others, rooms, within):
        found[tight.end] = min(found[tight.end], tight.depth)
    return [min(found[a], found[b]) for a, b in zip(sides[::2], sides[1::2], strict=True)]


@dataclass(frozen=True)
class Reach:
    """How far a traveller gets.

    Parameters
    ----------
    areas
        The parts of the travel areas that are reached; lines of turns part them by a hair.
    refused
        Numbers of the turns that would lead farther, or elsewhere.
    """

    areas: tuple[Polygon, ...]
    refused: tuple[int, ...]


def reached_without(
    areas: Sequence[Polygon],
    starts: Sequence[BaseGeometry],
    links: Sequence[tuple[BaseGeometry, BaseGeometry]],
    around: Sequence[Turn],
) -> Reach:
    """Give how far a traveller gets without any of some turns.

    Parameters
    ----------
    areas, starts, links
        As for `shopfit.geometry.freefloor.reached`.
    around
        The turns to be done without.
    """
    lines = [line for turn in around for line in (turn.left, turn.tight.barrier, turn.right)]
    cells = cut(areas, lines)
    doors = _doors(cells, areas, lines)
    _join(doors, cells, links)
    beginning = [k for k, cell in enumerate(cells) if any(cell.intersects(s) for s in starts)]
    found, refused = _walk(beginning, doors)
    return Reach(tuple(cells[k] for k in sorted(found)), tuple(sorted(refused)))


def _gate(end: End, side: int, tree: STRtree, lane: float) -> LineString:
    corner = 0.0 if side < 0 else end.length
    free = lane
    # Just behind the end's line, and just before it: a neighbour may stand flush with it.
    for out in (-_BEFORE_MM, _BEFORE_MM):
        start = end.point(corner + side * 2 * TOLERANCE_MM, out)
        ray = LineString([start, end.point(corner + side * lane, out)])
        for k in tree.query(ray, predicate="intersects").tolist():
            met = ray.intersection(tree.geometries[k])
            free = min(free, float(met.distance(Point(start))))
    return LineString(
        [end.point(corner, _BEFORE_MM), end.point(corner + side * max(free, 1.0), _BEFORE_MM)]
    )


_Doors = defaultdict[int, list[tuple[int, tuple[_Crossing, ...]]]]


def _doors(
    cells: Sequence[Polygon], areas: Sequence[Polygon], lines: Sequence[LineString]
) -> _Doors:
    """Give where one gets from each cell, and which lines are crossed on the way."""
    doors: _Doors = defaultdict(list)
    if not lines or not cells:
        return doors
    inside = unary_union(list(areas)).intersection(unary_union(list(lines)))
    tree, crossed = STRtree(cells), STRtree(lines)
    for piece in getattr(inside, "geoms", [inside]):
        if not isinstance(piece, LineString) or piece.length <= 0.0:
            continue
        for one, other in _sides(piece):
            first, second = _cell_at(tree, one), _cell_at(tree, other)
            if first is not None and second is not None and first != second:
                probe = LineString([one, other])
                found = crossed.query(probe, predicate="intersects").tolist()
                over = tuple((k, _sense(lines[k], one, other)) for k in sorted(found))
                doors[first].append((second, _crossings(over, 1)))
                doors[second].append((first, _crossings(over, -1)))
                break
    return doors


def _sides(piece: LineString) -> Iterable[tuple[PlanPoint, PlanPoint]]:
    """Give places on both sides of a piece of line: close by first, then farther off."""
    (x0, y0), (x1, y1) = piece.coords[0], piece.coords[-1]
    length = math.hypot(x1 - x0, y1 - y0)
    nx, ny = (y0 - y1) / length, (x1 - x0) / length
    mx, my = (x0 + x1) / 2, (y0 + y1) / 2
    for off in (0.8, 1.6, 3.2):
        yield (mx - off * nx, my - off * ny), (mx + off * nx, my + off * ny)


def _cell_at(tree: STRtree, place: PlanPoint) -> int | None:
    # Where a way is exactly as wide as the traveller the cell is a hair, and may lie aslant.
    near = tree.query_nearest(Point(place), max_distance=0.45, all_matches=False).tolist()
    return int(near[0]) if near else None


def _sense(line: LineString, one: PlanPoint, other: PlanPoint) -> int:
    (x0, y0), (x1, y1) = line.coords[0], line.coords[-1]
    turn = (x1 - x0) * (other[1] - one[1]) - (y1 - y0) * (other[0] - one[0])
    return 1 if turn > 0 else -1


def _crossings(over: Sequence[tuple[int, int]], way: int) -> tuple[_Crossing, ...]:
    # Left and right are those of one who faces the end. Out of a flank is then to the left hand
    # along the left gate and to the right hand along the right one; from left to right is to the
    # left hand along the barrier, which runs toward the one who faces the end.
    outward = {-1: 1, 0: 1, 1: -1}
    found = []
    for line, sense in over:
        turn, part = line // 3, line % 3 - 1
        found.append((turn, part, outward[part] * sense * way))
    return tuple(found)


def _join(
    doors: _Doors, cells: Sequence[Polygon], links: Sequence[tuple[BaseGeometry, BaseGeometry]]
) -> None:
    for here, there in links:
        ones = [k for k, cell in enumerate(cells) if cell.intersects(here)]
        others = [k for k, cell in enumerate(cells) if cell.intersects(there)]
        for one in ones:
            for other in others:
                doors[one].append((other, ()))
                doors[other].append((one, ()))


def _walk(beginning: Sequence[int], doors: _Doors) -> tuple[set[int], set[int]]:
    ways: dict[int, list[_Halfway]] = {}
    refused: set[int] = set()
    queue: deque[tuple[int, _Halfway]] = deque()

    def arrive(cell: int, halfway: _Halfway) -> None:
        known = ways.setdefault(cell, [])
        if len(known) < _MOST_WAYS and not any(other <= halfway for other in known):
            known.append(halfway)
            queue.append((cell, halfway))

    for cell in beginning:
        arrive(cell, frozenset())
    while queue:
        cell, halfway = queue.popleft()
        for following, crossings in doors[cell]:
            after = halfway
            for crossing in crossings:
                if _turns_back(after, crossing):
                    refused.add(crossing[0])
                    break
                after = _after(after, crossing)
            else:
                arrive(following, after)
    return set(ways), refused


def _turns_back(halfway: _Halfway, crossing: _Crossing) -> bool:
    """Say whether a line crossed ends a turn: in along the flank opposite the one come along."""
    turn, part, way = crossing
    return part != 0 and way < 0 and (turn, -part, True) in halfway


def _after(halfway: _Halfway, crossing: _Crossing) -> _Halfway:
    """Give which ends are come round halfway after a line is crossed."""
    turn, part, way = crossing
    if part != 0:
        others = frozenset(one for one in halfway if one[0] != turn)
        return others | {(turn, part, False)} if way > 0 else others
    # From the left to the right, or back again.
    ahead, back = (-1, 1) if way > 0 else (1, -1)
    if (turn, ahead, False) in halfway:
        return halfway - {(turn, ahead, False)} | {(turn, ahead, True)}
    if (turn, back, True) in halfway:
        return halfway - {(turn, back, True)} | {(turn, back, False)}
    return halfway
