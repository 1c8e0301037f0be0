"""Shortest ways: known answers, and a fine grid as a second method."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import dijkstra
from shapely import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry

from shopfit.geometry.shell import ShellPlan, survey
from shopfit.geometry.traveldistance import Opening, WalkingFloor
from shopfit.model.openings import Door
from shopfit.model.scenario import Shop

WIDTH = 711.2  # 28 in
R = WIDTH / 2


def _shell(corners: Sequence[tuple[float, float]], *more: Sequence[tuple[float, float]]) -> Shop:
    rooms = [
        {
            "id": f"room{k}",
            "height": "3 m",
            "corners": [[f"{x!r} mm", f"{y!r} mm"] for x, y in outline],
        }
        for k, outline in enumerate((corners, *more))
    ]
    return Shop.model_validate({"name": "floor", "rooms": rooms})


def _opening(plan: ShellPlan, wall: str, offset: float, width: float, **more: object) -> Opening:
    door = Door.model_validate(
        {
            "id": f"{wall} door",
            "wall": wall,
            "offset": f"{offset!r} mm",
            "width": f"{width!r} mm",
            "height": "2.1 m",
            **more,
        }
    )
    return Opening(door, plan.wall(wall))


def _room(east: float, north: float) -> ShellPlan:
    """Give a room whose walls are W (room0-1), N, E and S (room0-4), walked clockwise."""
    return survey(_shell([(0, 0), (0, north), (east, north), (east, 0)]))


def _floor(plan: ShellPlan, *obstacles: BaseGeometry, exits: Sequence[Opening]) -> WalkingFloor:
    return WalkingFloor(plan, obstacles, exits, (), WIDTH)


def test_straight_to_the_door() -> None:
    """In an empty room the way is straight, to the nearest point of the doorway."""
    plan = _room(10_000, 4_000)
    # Wall S runs from the east corner: the door spans x 4000 to 5000.
    floor = _floor(plan, exits=[_opening(plan, "room0-4", 5_000, 1_000)])
    first, second = floor.ways([(4_500, 3_000), (8_000, 3_000)])
    assert first is not None
    assert first.length_mm == pytest.approx(3_000, abs=0.1)
    assert second is not None
    # The middle of a person goes round the jamb at half their width: a tangent and an arc.
    far = math.dist((8_000, 3_000), (5_000, 0))
    arc = math.radians(180 - 45) - math.acos(R / far)
    assert second.length_mm == pytest.approx(math.sqrt(far**2 - R**2) + R * arc, abs=5)
    assert second.door == "room0-4 door"


def test_the_farthest_point_is_the_far_corner() -> None:
    """The last steps lead from the corner to where a person can stand."""
    plan = _room(10_000, 4_000)
    floor = _floor(plan, exits=[_opening(plan, "room0-1", 1_500, 1_000)])
    way = floor.farthest()
    assert way is not None
    corner = R * math.sqrt(2)
    straight = math.dist((10_000 - R, R), (0, 1_500 + R))
    assert way.length_mm == pytest.approx(corner + straight, abs=5.0)
    assert way.line[0] in ((10_000, 0), (10_000, 4_000))


def test_round_a_wall() -> None:
    """A taut string round a thin wall: two tangents and an arc of half a person's width."""
    plan = _room(8_000, 6_000)
    wall = box(3_990, 0, 4_010, 4_000)
    floor = _floor(plan, wall, exits=[_opening(plan, "room0-1", 500, 1_000)])
    (way,) = floor.ways([(7_000, 1_000)])
    assert way is not None
    coarse = _grid(floor, [(7_000.0, 1_000.0)], 100.0)[0]
    assert coarse * 0.98 - 100 <= way.length_mm <= coarse + 3
    tangent = math.sqrt(math.dist((7_000, 1_000), (4_010, 4_000)) ** 2 - R**2)
    assert way.length_mm > tangent + 4_000


def test_two_doors_share_the_floor() -> None:
    """In the middle between two doors it is farthest, not at an end."""
    plan = _room(10_000, 1_000)
    exits = [_opening(plan, "room0-1", 100, 800), _opening(plan, "room0-3", 100, 800)]
    floor = _floor(plan, exits=exits)
    way = floor.farthest()
    assert way is not None
    assert way.length_mm == pytest.approx(5_000, abs=R)
    assert way.line[0][0] == pytest.approx(5_000, abs=R)


def test_a_place_behind_an_island_is_farthest_inside_the_floor() -> None:
    """Where ways round both sides are as long, no corner of the floor need be near."""
    plan = _room(9_000, 12_000)
    island = box(1_500, 4_000, 7_500, 6_000)
    floor = _floor(plan, island, exits=[_opening(plan, "room0-4", 4_000, 1_000)])
    way = floor.farthest()
    assert way is not None
    xs = np.linspace(R, 9_000 - R, 40)
    ys = np.linspace(R, 12_000 - R, 40)
    sampled = [w.length_mm for w in floor.ways([(x, y) for x in xs for y in ys]) if w]
    assert way.length_mm >= max(sampled) - 100


@pytest.mark.parametrize(("gap", "passes"), [(WIDTH - 0.1, False), (WIDTH, True), (750.0, True)])
def test_gaps_narrower_than_a_person_are_no_way(gap: float, passes: bool) -> None:
    """29 CFR 1910.36(g)(2): 28 in; at the width itself one passes."""
    plan = _room(8_000, 4_000)
    blocks = [box(4_000, 0, 4_600, 2_000), box(4_000, 2_000 + gap, 4_600, 4_000)]
    floor = _floor(plan, *blocks, exits=[_opening(plan, "room0-1", 1_500, 1_000)])
    (way,) = floor.ways([(7_000, 2_000)])
    assert (way is not None) is passes
    assert bool(floor.cut_off()) is not passes


def test_through_an_inner_door() -> None:
    """The way from one room to another leads through the door, wall and all."""
    plan = survey(
        _shell(
            [(0, 0), (0, 4_000), (5_000, 4_000), (5_000, 0)],
            [(5_150, 0), (5_150, 4_000), (9_000, 4_000), (9_000, 0)],
        )
    )
    out = _opening(plan, "room0-1", 1_500, 1_000)
    through = _opening(plan, "room0-3", 1_500, 1_000, use="inner", leads_to="room1", depth="150 mm")
    floor = WalkingFloor(plan, [], [out], [through], WIDTH)
    (way,) = floor.ways([(8_000, 2_000)])
    assert way is not None
    assert way.length_mm == pytest.approx(8_000, abs=0.1)
    shut = WalkingFloor(plan, [], [out], [], WIDTH)
    assert shut.ways([(8_000, 2_000)]) == [None]
    assert [round(area.area / 1e6, 1) for area in shut.cut_off()] == [10.3]


def test_without_a_door_there_is_no_way() -> None:
    """Nothing is made up where nothing leads out."""
    floor = _floor(_room(4_000, 4_000), exits=[])
    assert floor.farthest() is None
    assert floor.ways([(2_000, 2_000)]) == [None]


def _grid(floor: WalkingFloor, places: Sequence[tuple[float, float]], step: float) -> list[float]:
    """Give ways by Dijkstra on a grid with 32 directions: never shorter than the shortest."""
    west, south, east, north = floor.region.bounds
    xs, ys = np.arange(west, east + step, step), np.arange(south, north + step, step)
    grid = np.stack(np.meshgrid(xs, ys, indexing="ij"), axis=-1)
    region = floor.region.buffer(1.0)
    shapely.prepare(region)
    inside = shapely.contains_xy(region, grid[..., 0], grid[..., 1])
    number = np.arange(inside.size).reshape(inside.shape)
    moves = [(a, b) for a in range(-3, 4) for b in range(-3, 4) if math.gcd(a, b) == 1]
    rows, columns, lengths = [], [], []
    for a, b in moves:
        near, far = (
            tuple(
                slice(max(0, -move) + ahead * move, min(size, size - move) + ahead * move)
                for move, size in ((a, len(xs)), (b, len(ys)))
            )
            for ahead in (0, 1)
        )
        both = inside[near] & inside[far]
        one, other = number[near][both], number[far][both]
        lines = shapely.linestrings(np.stack([grid[near][both], grid[far][both]], axis=1))
        clear = shapely.covers(region, lines)
        rows.append(one[clear])
        columns.append(other[clear])
        lengths.append(np.full(int(clear.sum()), step * math.hypot(a, b)))
    ends = shapely.union_all([end for _, end in floor.ends])
    points = shapely.points(grid)
    last = np.where(inside, shapely.distance(points, ends), np.inf)
    goal = inside.size
    close = np.flatnonzero((last < 3 * step).ravel())
    rows.append(close)
    columns.append(np.full(len(close), goal))
    lengths.append(np.maximum(last.ravel()[close], 1e-3))
    graph = coo_matrix(
        (np.concatenate(lengths), (np.concatenate(columns), np.concatenate(rows))),
        shape=(goal + 1, goal + 1),
    ).tocsr()
    out = dijkstra(graph, indices=goal)[:-1].reshape(inside.shape)
    found = []
    for x, y in places:
        i, j = round((x - west) / step), round((y - south) / step)
        window = (slice(max(i - 1, 0), i + 2), slice(max(j - 1, 0), j + 2))
        apart = np.hypot(grid[window][..., 0] - x, grid[window][..., 1] - y)
        found.append(float(np.min(out[window] + apart)))
    return found


@st.composite
def _floors(draw: st.DrawFn) -> tuple[ShellPlan, list[Polygon]]:
    count = draw(st.integers(0, 5))
    blocks = []
    for _ in range(count):
        x, y = draw(st.floats(0, 7_000)), draw(st.floats(900, 5_000))
        wide, deep = draw(st.floats(200, 3_000)), draw(st.floats(200, 2_000))
        angle = draw(st.sampled_from([0.0, 0.0, 17.0, 45.0]))
        blocks.append(shapely.affinity.rotate(box(x, y, x + wide, y + deep), angle))
    return _room(8_000, 6_000), blocks


@given(_floors(), st.lists(st.tuples(st.floats(400, 7_600), st.floats(400, 5_600)), max_size=5))
@settings(max_examples=40, deadline=None)
def test_ways_are_those_of_a_fine_grid(
    floors: tuple[ShellPlan, list[Polygon]], places: list[tuple[float, float]]
) -> None:
    """A taut string is never longer than a way on a grid, and hardly ever 2 % shorter."""
    plan, blocks = floors
    floor = _floor(plan, *blocks, exits=[_opening(plan, "room0-4", 3_500, 1_000)])
    inside = [place for place in places if floor.region.contains(shapely.Point(place))]
    if not inside:
        return
    step = 120.0
    for place, way, coarse in zip(
        inside, floor.ways(inside), _grid(floor, inside, step), strict=True
    ):
        if way is None:
            assert coarse == math.inf or floor.region.geom_type == "MultiPolygon"
            continue
        line = LineString(way.line)
        assert line.length == pytest.approx(way.length_mm, abs=0.1)
        assert floor.region.buffer(0.1).covers(line)
        assert math.dist(way.line[0], place) < 0.1
        assert way.length_mm <= coarse + 3.0
        if math.isfinite(coarse):
            assert coarse <= way.length_mm * 1.02 + 4 * step


@given(_floors())
@settings(max_examples=40, deadline=None)
def test_no_place_is_farther_than_the_farthest(floors: tuple[ShellPlan, list[Polygon]]) -> None:
    """Samples all over the floor are no farther than the farthest, within 100 mm or 1 %."""
    plan, blocks = floors
    exits = [_opening(plan, "room0-4", 3_500, 1_000), _opening(plan, "room0-1", 4_800, 900)]
    floor = _floor(plan, *blocks, exits=exits)
    way = floor.farthest()
    assert way is not None
    places = [(x, y) for x in range(400, 7_600, 400) for y in range(400, 5_600, 400)]
    inside = [place for place in places if floor.region.contains(shapely.Point(place))]
    for found in floor.ways(inside):
        assert found is None or found.length_mm <= max(way.length_mm + 100, way.length_mm * 1.01)
    assert LineString(way.line).length == pytest.approx(way.length_mm, abs=0.1)
