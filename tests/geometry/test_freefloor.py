"""How far a round traveller gets, on floors where the answer is known."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Point, Polygon, box

from shopfit.geometry.freefloor import free_floor, polygons, reached, travel
from shopfit.geometry.shell import ShellPlan

ROOM = box(0, 0, 6000, 4000)


def shell(**columns: Polygon) -> ShellPlan:
    """Make a shell of one room 6 m by 4 m."""
    return ShellPlan({"shop": ROOM}, (), columns, {})


def test_the_centre_keeps_half_a_width_from_every_wall() -> None:
    """In an empty room it may be anywhere but in a frame half a width wide."""
    (area,) = travel(ROOM, 1000)
    assert area.bounds == pytest.approx((500, 500, 5500, 3500), abs=0.02)
    assert area.area == pytest.approx(5000 * 3000, rel=1e-4)


def test_columns_and_fixtures_are_taken_off_once() -> None:
    """Overlapping obstacles and what lies outside the room count once or not at all."""
    taken = [box(0, 0, 1000, 1000), box(500, 0, 1500, 1000), box(5500, 3500, 7000, 5000)]
    free = free_floor(shell(post=box(0, 0, 200, 200)), taken)
    assert free.area == pytest.approx(24e6 - 1.5e6 - 0.25e6)


@pytest.mark.parametrize(("gap", "areas"), [(999.9, 2), (999.99, 1), (1000.0, 1), (1000.1, 1)])
def test_a_gap_of_exactly_the_width_lets_through(gap: float, areas: int) -> None:
    """Two fixtures leave a gap in the middle: under the width by more than the tolerance, none."""
    low = box(2500, 0, 3500, 2000 - gap / 2)
    high = box(2500, 2000 + gap / 2, 3500, 4000)
    assert len(travel(free_floor(shell(), [low, high]), 1000)) == areas


def test_a_corner_is_gone_round_in_an_arc() -> None:
    """Round one square corner the forbidden floor is a quarter disc and no square."""
    free = free_floor(shell(), [box(0, 0, 3000, 2000)])
    (area,) = travel(free, 1000)
    expected = 5000 * 3000 - 3000 * 2000 + (500 * 500 - math.pi / 4 * 500**2)
    # What is forbidden: the block shifted by half a width, less the square minus the quarter disc.
    assert area.area == pytest.approx(expected, rel=1e-4)


def test_what_cannot_be_reached_is_left_out() -> None:
    """A wall of fixtures cuts the floor; only the part with the start is reached."""
    areas = travel(free_floor(shell(), [box(2900, 0, 3100, 4000)]), 1000)
    assert len(areas) == 2
    assert reached(areas, [box(0, 1000, 600, 2000)]) == [areas[0]]
    assert reached(areas, [box(5400, 1000, 6000, 2000)]) == [areas[1]]
    assert reached(areas, [box(2900, 0, 3100, 100)]) == []


def test_inner_doors_join_areas_in_a_chain() -> None:
    """Three areas joined by two doors are all reached, in whatever order the doors are listed."""
    areas = [box(0, 0, 10, 10), box(20, 0, 30, 10), box(40, 0, 50, 10), box(60, 0, 70, 10)]
    links = [(Point(25, 5), Point(45, 5)), (Point(5, 5), Point(21, 5))]
    assert reached(areas, [Point(1, 1)], links) == areas[:3]
    assert reached(areas, [Point(45, 5)], links) == areas[:3]
    assert reached(areas, [Point(65, 5)], links) == areas[3:]


def test_a_door_to_nowhere_joins_nothing() -> None:
    """Where no traveller fits on one side, the door leads to no area."""
    areas = [box(0, 0, 10, 10), box(20, 0, 30, 10)]
    assert reached(areas, [Point(5, 5)], [(Point(5, 5), Point(15, 5))]) == areas[:1]


def test_polygons_come_in_a_fixed_order_without_empty_ones() -> None:
    """Order is by place, so that equal layouts are described equally."""
    parts = box(5, 0, 6, 1).union(box(0, 0, 1, 1))
    assert [part.bounds[0] for part in polygons(parts)] == [0, 5]
    assert polygons(Polygon()) == []


@given(
    st.lists(
        st.tuples(
            st.integers(0, 5000), st.integers(0, 3000), st.integers(50, 1500), st.integers(50, 1500)
        ),
        max_size=5,
    ),
    st.integers(600, 1600),
)
def test_nobody_is_where_nobody_fits(boxes: list[tuple[int, int, int, int]], width: int) -> None:
    """A traveller in a travel area stands on free floor, and a wider one gets no farther."""
    free = free_floor(shell(), [box(x, y, x + w, y + d) for x, y, w, d in boxes])
    areas = travel(free, width)
    for area in areas:
        middle = area.representative_point()
        assert free.buffer(0.1).covers(middle.buffer(width / 2 - 0.1))
    wide = sum(area.area for area in travel(free, width + 100))
    assert wide <= sum(area.area for area in areas) + 1
