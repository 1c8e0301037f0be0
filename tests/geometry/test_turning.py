"""Ends of islands, what stands before them, and the barriers there, on floors drawn by hand."""

from __future__ import annotations

import math
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon, affinity, box

from shopfit.geometry.freefloor import travel
from shopfit.geometry.turning import (
    WALL,
    Islands,
    Tight,
    barriers,
    cut,
    elements,
    narrow_ends,
    tight_ends,
)

ROOM = box(0, 0, 8000, 6000)
UNDER, STEP = 1219.2, 1066.8


def _islands(*shapes: Polygon, angle: float = 0.0) -> Islands:
    return Islands(shapes, [angle] * len(shapes))


def _tight(
    islands: Islands,
    *others: Polygon,
    needed: float = 1219.2,
    rooms: tuple[Polygon, ...] = (ROOM,),
) -> list[Tight]:
    return tight_ends(narrow_ends(islands, UNDER, STEP), islands, others, rooms, needed)


def _rounded(place: tuple[float, float]) -> tuple[float, float]:
    return (round(place[0], 3), round(place[1], 3))


def _line(tight: Tight) -> list[tuple[float, float]]:
    return sorted(_rounded((x, y)) for x, y in tight.barrier.coords)


def test_what_touches_is_one_element() -> None:
    """Abutting fixtures are one, a gap of more than the tolerance parts them."""
    shapes = [box(0, 0, 1, 1), box(5, 0, 6, 1), box(1.009, 0, 2, 1), box(2.03, 0, 3, 1)]
    assert elements(shapes) == ((0, 2), (1,), (3,))
    assert elements([]) == ()
    assert Islands(shapes, [0.0] * 4).element_of == (0, 1, 0, 2)


@pytest.mark.parametrize(
    ("width", "narrow"), [(1216.7, 2), (1219.1, 2), (1219.2, 0), (1219.3, 0), (1221.7, 0)]
)
def test_an_end_of_exactly_the_limit_is_not_narrow(width: float, narrow: int) -> None:
    """An island under the limit has two narrow ends; at the limit it has none."""
    ends = narrow_ends(_islands(box(2000, 2000, 4500, 2000 + width)), UNDER, STEP)
    assert len(ends) == narrow
    assert {end.outward for end in ends} <= {(1.0, 0.0), (-1.0, 0.0)}


def test_ends_face_outward_with_their_middles_on_the_element() -> None:
    """Every side of a small island is an end, and its floor lies outside."""
    shape = box(2000, 2000, 2800, 2600)
    ends = narrow_ends(_islands(shape), UNDER, STEP)
    assert sorted(end.middle for end in ends) == [
        (2000, 2300),
        (2400, 2000),
        (2400, 2600),
        (2800, 2300),
    ]
    for end in ends:
        assert shape.exterior.distance(Point(end.middle)) == 0
        assert shape.intersection(end.floor(500)).area == pytest.approx(0, abs=1e-6)
        assert end.floor(500).area == pytest.approx(500 * end.length)
        assert end.segment.length == end.length


def test_abutting_fixtures_are_gone_round_together() -> None:
    """Two shallow fixtures back to back have one end as wide as both."""
    back_to_back = _islands(box(2000, 2000, 4500, 2500), box(2000, 2500, 4500, 3000))
    assert [end.length for end in narrow_ends(back_to_back, UNDER, STEP)] == [1000, 1000]
    wide = _islands(box(2000, 2000, 4500, 2650), box(2000, 2650, 4500, 3300))
    assert narrow_ends(wide, UNDER, STEP) == []
    in_a_row = _islands(box(2000, 2000, 3000, 2900), box(3000, 2000, 4000, 2900))
    assert sorted(end.middle for end in narrow_ends(in_a_row, UNDER, STEP)) == [
        (2000, 2450),
        (4000, 2450),
    ]


def test_a_small_step_back_belongs_to_the_end() -> None:
    """Rows staggered by less than the step have ends as wide as both rows."""
    staggered = _islands(box(2000, 2000, 5000, 2700), box(2300, 2700, 5300, 3400))
    assert narrow_ends(staggered, UNDER, STEP) == []
    less = _islands(box(2000, 2000, 5000, 2500), box(2300, 2500, 5300, 3000))
    found = narrow_ends(less, UNDER, STEP)
    assert [round(end.length, 3) for end in found] == [1000, 1000]
    # Away from the middle the element begins 300 mm behind its foremost line.
    (east,) = (end for end in found if end.outward[0] > 0)
    assert east.set_back(250) == pytest.approx(300, abs=0.02)
    assert east.set_back(750) == pytest.approx(0, abs=0.02)


def test_legs_are_gone_round_on_their_own() -> None:
    """An angle and a horseshoe have an end at the tip of every long leg."""
    angle = _islands(box(1000, 1000, 1600, 4000), box(1600, 1000, 4000, 1600))
    tips = sorted(_rounded(end.middle) for end in narrow_ends(angle, UNDER, STEP))
    assert tips == [(1300, 4000), (4000, 1300)]
    horseshoe = _islands(
        box(1000, 1000, 1600, 4000), box(1600, 1000, 4000, 1600), box(4000, 1000, 4600, 4000)
    )
    tips = sorted(_rounded(end.middle) for end in narrow_ends(horseshoe, UNDER, STEP))
    assert tips == [(1300, 4000), (4300, 4000)]


@pytest.mark.parametrize(
    ("gap", "needed", "count"),
    [
        (1216.7, 1219.2, 1),
        (1219.18, 1219.2, 1),
        (1219.2, 1219.2, 0),
        (1221.7, 1219.2, 0),
        (1521.5, 1524.0, 1),
        (1524.0, 1524.0, 0),
        (1526.5, 1524.0, 0),
    ],
)
def test_exactly_enough_depth_is_enough(gap: float, needed: float, count: int) -> None:
    """The wall stands before the west end; depth is measured to a hundredth of a millimetre."""
    found = _tight(_islands(box(gap, 2000, gap + 2500, 3000)), needed=needed)
    assert len(found) == count
    for tight in found:
        assert tight.depth == pytest.approx(gap)
        assert tight.things == (WALL,)
        assert _line(tight) == [(0, 2500), (round(gap, 3), 2500)]


def test_two_islands_end_to_end_close_each_other() -> None:
    """Both ends give the same barrier, from middle to middle."""
    pair = _islands(box(2000, 2000, 3500, 3000), box(4600, 2000, 6200, 3000))
    found = _tight(pair)
    assert [(t.end.element, t.depth, t.things) for t in found] == [
        (0, pytest.approx(1100), (1,)),
        (1, pytest.approx(1100), (0,)),
    ]
    assert {tuple(_line(t)) for t in found} == {((3500, 2500), (4600, 2500))}


def test_only_what_stands_before_the_end_counts() -> None:
    """A thing beside the floor before an end, or just touching it, closes nothing."""
    island = _islands(box(3000, 2000, 5500, 3000))
    assert _tight(island, box(5600, 3000, 6500, 3500)) == []
    (tight,) = _tight(island, box(5900, 2999, 6500, 3500))
    assert tight.depth == pytest.approx(400)
    assert tight.things == (1,)
    # The barrier lies as near to the middle as the thing comes.
    assert _line(tight) == [(5500, 2999), (5900, 2999)]


def test_things_that_stand_apart_close_the_end_one_by_one() -> None:
    """Two posts before an end give two barriers, a wall with a cabinet on it gives one."""
    island = _islands(box(3000, 2000, 5500, 3000))
    posts = box(6000, 1900, 6100, 2200), box(6200, 2800, 6300, 3100)
    assert [_line(t) for t in _tight(island, *posts)] == [
        [(5500, 2200), (6000, 2200)],
        [(5500, 2800), (6200, 2800)],
    ]
    near_wall = _islands(box(4500, 2000, 7000, 3000))
    (tight,) = _tight(near_wall, box(7600, 2600, 8000, 4000))
    assert tight.depth == pytest.approx(600)
    assert set(tight.things) == {WALL, 1}
    assert _line(tight) == [(7000, 2500), (8000, 2500)]


def test_an_island_against_a_wall_or_cabinet_has_no_passage_there() -> None:
    """Where an end touches something there is nothing to close; its other end still counts."""
    assert _tight(_islands(box(0, 2000, 2500, 3000))) == []
    cabinet = box(0, 1500, 600, 3500)
    assert _tight(_islands(box(600, 2000, 3100, 3000)), cabinet) == []
    (tight,) = _tight(_islands(box(600, 2000, 3100, 3000)), cabinet, box(4000, 0, 4100, 6000))
    assert tight.end.outward == (1.0, 0.0)
    assert tight.depth == pytest.approx(900)


def test_a_slanting_wall_is_met_at_the_middle() -> None:
    """The depth is the least over the width of the end; the barrier lies at its middle."""
    room = Polygon([(0, 0), (0, 6000), (8000, 6000), (6000, 0)])
    (tight,) = _tight(_islands(box(3500, 2000, 6000, 3000)), rooms=(room,))
    assert tight.depth == pytest.approx(6000 + 2000 / 3 - 6000, abs=0.02)
    assert _line(tight) == [(6000, 2500), (6833.333, 2500)]


def test_ends_look_no_farther_than_their_own_room() -> None:
    """A room next door does not lengthen the floor before an end."""
    (tight,) = _tight(_islands(box(4500, 2000, 7000, 3000)), rooms=(box(8000, 0, 9000, 6000), ROOM))
    assert tight.depth == pytest.approx(1000)


def test_without_islands_nothing_is_closed() -> None:
    """Empty shops are no special case for the caller."""
    assert barriers(_islands(), [], [ROOM], UNDER, 1219.2, STEP) == []
    assert cut([ROOM], []) == [ROOM]
    assert cut([], [LineString([(0, 0), (1, 0)])]) == []


def test_a_barrier_parts_the_floor_on_both_sides_of_it() -> None:
    """A ring round an island falls in two when it is cut in two places, not in one."""
    islands = _islands(box(1100, 2000, 6900, 3000))
    areas = travel(ROOM.difference(islands.shapes[0]), 1066.8)
    assert len(areas) == 1
    lines = barriers(islands, [], [ROOM], UNDER, 1219.2, STEP)
    assert len(lines) == 2
    assert len(cut(areas, lines[:1])) == 1
    south, north = sorted(cut(areas, lines), key=lambda area: area.centroid.y)
    assert south.distance(north) == pytest.approx(1.0, abs=0.01)
    assert south.area + north.area == pytest.approx(areas[0].area, rel=1e-4)


def test_a_barrier_where_nobody_fits_cuts_nothing() -> None:
    """Before an end nearer to the wall than half a way there is no travel area to cut."""
    islands = _islands(box(500, 2000, 6000, 3000))
    areas = travel(ROOM.difference(islands.shapes[0]), 1066.8)
    lines = barriers(islands, [], [ROOM], UNDER, 1219.2, STEP)
    assert len(lines) == 1
    assert cut(areas, lines) == areas


def _measures(found: list[Tight]) -> list[tuple[int, ...]]:
    return sorted(
        (t.end.element, round(t.end.length), round(t.depth), round(t.barrier.length)) for t in found
    )


@given(
    st.lists(
        st.tuples(st.integers(0, 60), st.integers(0, 45), st.integers(4, 25), st.integers(4, 15)),
        min_size=1,
        max_size=7,
    ),
    st.floats(0, 360),
    st.tuples(st.integers(-9000, 9000), st.integers(-9000, 9000)),
)
def test_turning_and_shifting_the_shop_changes_nothing(
    sizes: list[tuple[int, int, int, int]], turn: float, shift: tuple[int, int]
) -> None:
    """Ends, depths and barriers move along with the floor."""
    shapes = [
        box(x * 100.0, y * 100.0, x * 100.0 + w * 100, y * 100.0 + d * 100) for x, y, w, d in sizes
    ]

    def move(shape):
        turned = affinity.rotate(shape, turn, origin=(0, 0))
        return affinity.translate(turned, *shift)

    before = _tight(_islands(*shapes))
    after = _tight(_islands(*map(move, shapes), angle=turn), rooms=(move(ROOM),))
    assert _measures(before) == _measures(after)
    for tight in before:
        moved = move(tight.barrier)
        assert any(moved.hausdorff_distance(other.barrier) < 0.05 for other in after)


@given(st.floats(300, 1218), st.floats(30, 1215), st.floats(0, 90))
def test_a_barrier_runs_from_the_element_to_the_thing(
    width: float, depth: float, turn: float
) -> None:
    """Between an island and a post before its middle the barrier is the shortest way."""
    island = box(3000, 2000, 5500, 2000 + width)
    post = box(5500 + depth, 1900, 5600 + depth, 2100 + width)
    island, post, room = (
        affinity.rotate(shape, turn, origin=(0, 0)) for shape in (island, post, ROOM)
    )
    (tight,) = _tight(_islands(island, angle=turn), post, rooms=(room,))
    assert tight.barrier.length == pytest.approx(depth, abs=0.01)
    assert tight.depth == pytest.approx(depth, abs=0.01)
    assert tight.barrier.distance(island) < 1e-6
    assert tight.barrier.distance(post) < 0.02


def test_a_hundred_islands_take_a_moment() -> None:
    """The search asks for every floor it tries; the limit leaves room for a busy machine."""
    shapes = [
        box(x, y, x + 1000, y + 2450)
        for x in range(1500, 23500, 2200)
        for y in range(1500, 37500, 3600)
    ]
    room = box(0, 0, 25000, 39000)
    best = math.inf
    for _ in range(3):
        start = time.process_time()
        found = barriers(_islands(*shapes), [], [room], UNDER, UNDER, STEP)
        best = min(best, time.process_time() - start)
    assert len(shapes) == 100
    assert len(found) == 180
    assert best < 0.06
