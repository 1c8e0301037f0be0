"""Turning spaces at their exact sizes, in any direction."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, box
from shapely.affinity import rotate, translate
from shapely.geometry.base import BaseGeometry

from shopfit.geometry.turnspaces import Shape, circles, fit, places, square, tee

IN = 25.4
# 304.3.2: a square of 60 in, arms and base 36 in wide, arms 12 in and base 24 in long.
TEE = tee(36 * IN, 12 * IN, 36 * IN, 24 * IN)


def floor_of(
    arms: float = 60.0, bar: float = 36.0, base: float = 36.0, deep: float = 60.0
) -> Polygon:
    """Give a floor shaped like a T, in inches."""
    whole = box(-arms / 2 * IN, -18 * IN, arms / 2 * IN, (bar - 18) * IN)
    return whole | box(-base / 2 * IN, (bar - 18 - deep) * IN, base / 2 * IN, 0)


def found(floor: BaseGeometry, shape: Shape = TEE) -> bool:
    x, y = floor.centroid.coords[0]
    return fit(floor, shape, (x, y), 3000.0, floor) is not None


@pytest.mark.parametrize("angle", [0.0, 12.34, 90.0, 200.0])
@pytest.mark.parametrize(
    ("sizes", "fits"),
    [
        ({}, True),
        ({"arms": 60.1}, True),
        ({"arms": 59.9}, False),
        ({"bar": 35.9, "deep": 59.9}, False),
        ({"base": 35.9}, False),
        ({"deep": 59.9}, False),
        ({"deep": 60.1}, True),
    ],
)
def test_a_t_fits_a_floor_of_just_its_size(
    sizes: dict[str, float], fits: bool, angle: float
) -> None:
    """At every one of its sizes it just fits, a tenth of an inch less and it does not."""
    floor = translate(rotate(floor_of(**sizes), angle, origin=(0, 0)), 4000, 7000)
    assert found(floor) is fits


def test_what_fits_lies_on_the_floor() -> None:
    """The outline found is on the floor, and its origin is near the place asked for."""
    floor = box(0, 0, 4000, 3000) - box(1500, 0, 2500, 800)
    placed = fit(floor, TEE, (2000.0, 1500.0), 2000.0, floor)
    assert placed is not None
    assert floor.buffer(0.1).covers(placed.outline)
    assert placed.outline.area == pytest.approx((60 * 36 + 36 * 24) * IN**2)


def test_a_square_between_slanting_walls() -> None:
    """The directions of the walls are tried."""
    lane = rotate(box(0, 0, 5000, 60 * IN), 33.3, origin=(0, 0))
    assert found(lane, square(60 * IN))
    assert not found(rotate(box(0, 0, 5000, 59.9 * IN), 33.3, origin=(0, 0)), square(60 * IN))


def test_a_t_where_two_aisles_meet() -> None:
    """Two aisles of 36 in that meet make a T; a corner of two does not."""
    aisles = box(0, 0, 4000, 36 * IN) | box(1500, 0, 1500 + 36 * IN, 3000)
    assert fit(aisles, TEE, (1900.0, 500.0), 1000.0, aisles) is not None
    corner = box(0, 0, 4000, 36 * IN) | box(4000 - 36 * IN, 0, 4000, 3000)
    assert fit(corner, TEE, (3600.0, 400.0), 1500.0, corner) is None


@given(angle=st.floats(0, 360), x=st.floats(-9000, 9000), spare=st.sampled_from([-0.2, 0.2]))
@settings(max_examples=20)
def test_turned_and_moved_the_answer_is_the_same(angle: float, x: float, spare: float) -> None:
    """Along the edges of the floor the answer is exact, wherever the floor lies."""
    floor = floor_of(60 + spare / IN, 36 + spare / IN, 36 + spare / IN, 60 + spare / IN)
    assert found(translate(rotate(floor, angle, origin=(0, 0)), x, 500)) is (spare > 0)


def test_places_are_those_where_it_fits() -> None:
    """The places of a square in a room are the room less half its side all round."""
    free = places(box(0, 0, 4000, 3000), square(1000), 0.0)
    assert free.bounds == pytest.approx((500, 500, 3500, 2500), abs=0.02)
    assert places(box(0, 0, 999, 3000), square(1000), 0.0).is_empty


@pytest.mark.parametrize(("side", "number"), [(59.99, 0), (60.0, 1), (61.0, 1)])
def test_circles(side: float, number: int) -> None:
    """A circle of 60 in just fits a square of 60 in."""
    assert len(circles([box(0, 0, side * IN, side * IN)], 60 * IN)) == number


def test_off_the_floor_nothing_fits() -> None:
    """A point with no floor about it has no place."""
    assert fit(box(0, 0, 10, 10), TEE, (9000.0, 0.0), 100.0, shapely.box(0, 0, 10, 10)) is None
