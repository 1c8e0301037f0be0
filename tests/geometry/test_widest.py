"""Widest ways against constructions with a known answer and against a fine grid."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Point, Polygon, box
from shapely.affinity import rotate, translate
from shapely.geometry.base import BaseGeometry

from shopfit.geometry.gaps import mesh, without_slits
from shopfit.geometry.widest import Floors, Ways, gap_about

ROOM = box(0, 0, 6000, 4000)
WEST, EAST = box(300, 1500, 900, 2500), box(5000, 1500, 5600, 2500)


def width(free: BaseGeometry, start: BaseGeometry = WEST, end: BaseGeometry = EAST) -> float:
    return Ways(Floors([free]), [start]).to(end).width


def turned(angle: float, *shapes: BaseGeometry) -> list[BaseGeometry]:
    return [translate(rotate(shape, angle, origin=(0, 0)), 12345.6, -789.0) for shape in shapes]


@pytest.mark.parametrize("gap", [711.1, 711.2, 914.3, 914.4, 1066.8, 1700.0])
@pytest.mark.parametrize("angle", [0.0, 17.0, 45.0])
def test_a_slot_is_as_wide_as_it_is(gap: float, angle: float) -> None:
    """Between two straight edges the width is exact, at any angle."""
    free = ROOM - box(2900, 0, 3100, 1500) - box(2900, 1500 + gap, 3100, 4000)
    found = Ways(Floors([turned(angle, free)[0]]), turned(angle, WEST)).to(turned(angle, EAST)[0])
    assert found.width == pytest.approx(gap, abs=1e-3)
    assert found.gap is not None
    assert math.dist(found.gap.start, found.gap.end) == pytest.approx(gap, abs=1e-3)


@pytest.mark.parametrize(("dx", "dy"), [(0.0, 1800.0), (300.0, 1900.0), (-700.0, 1750.0)])
def test_between_two_discs(dx: float, dy: float) -> None:
    """The distance of the middles less the two radii."""
    one, other = Point(3000, 1000), Point(3000 + dx, 1000 + dy)
    free = ROOM - one.buffer(600, quad_segs=64) - other.buffer(500, quad_segs=64)
    free = free - box(2990, 0, 3010, 900) - box(3000 + dx - 5, 1000 + dy, 3000 + dx + 5, 4000)
    assert width(free) == pytest.approx(math.hypot(dx, dy) - 1100, abs=0.5)


def test_a_wedge_is_as_wide_as_where_one_leaves_it() -> None:
    """Between two walls that draw together the way is as wide as at the corner one leaves by."""
    wedge = Polygon([(0, 0), (4000, 0), (4000, 600), (0, 1800)])
    free = wedge | box(4000, -1000, 6000, 3000)
    found = width(free, box(0, 500, 300, 1200), box(5000, 0, 5900, 900))
    # From the corner at (4000, 600) straight to the wall opposite: 600 mm.
    assert found == pytest.approx(600.0, abs=0.5)


def test_a_way_out_of_a_wedge_before_its_end() -> None:
    """One who turns off half way does not pass the narrower rest."""
    wedge = Polygon([(0, 0), (6000, 0), (6000, 300), (0, 1800)])
    free = wedge | box(2000, -1500, 3200, 0) | box(1000, -4000, 4200, -1500)
    found = width(free, box(0, 300, 900, 1500), box(1500, -3600, 3500, -2500))
    # From the corner at (2000, 0) to the slanting wall 4 y + x = 7200: 5200 / sqrt 17 = 1261; the
    # opening is 1200 wide.
    assert found == pytest.approx(1200.0, abs=1.0)


def test_round_a_corner_of_an_l() -> None:
    """In an L of two aisles the corner itself does not narrow the way."""
    free = box(0, 0, 5000, 950) | box(4100, 0, 5000, 5000)
    assert width(free, box(0, 0, 900, 950), box(4100, 4000, 5000, 4500)) == pytest.approx(900.0)


def test_a_door_leaf_that_stands_open() -> None:
    """A thin leaf at a slant narrows the way to the distance from its tip."""
    leaf = Polygon([(3000, 0), (3040, 0), (3540, 866), (3505, 886)])
    free = box(0, 0, 6000, 2000) - leaf
    found = width(free, box(300, 800, 900, 1200), box(5000, 800, 5600, 1200))
    assert found == pytest.approx(2000 - 886, abs=0.5)


def test_thin_partitions_are_not_seen_through() -> None:
    """A screen thinner than the panels of its edge still parts the floor."""
    free = ROOM - box(3000, 0, 3012, 4000 - 450)
    assert width(free) == pytest.approx(450.0, abs=1e-3)
    assert width(ROOM - box(3000, -1, 3012, 4001)) == 0.0


def test_slits_between_fixtures_are_closed() -> None:
    """Slits of a hair between cabinets are no floor, and the rest stays as it was."""
    free = ROOM - box(1000, 0, 2000, 600) - box(2000.0003, 0, 3000, 600)
    assert without_slits(free).area == pytest.approx(24e6 - 2000 * 600, abs=2.0)
    assert Floors([free]).count < 2000


def test_floors_that_meet_in_a_point_are_parted() -> None:
    """Two cabinets corner to corner leave no way between them."""
    free = ROOM - box(2000, 0, 3000, 2000) - box(3000, 2000, 4000, 4000)
    assert width(free) == pytest.approx(0.0, abs=1e-2)


def test_a_narrow_place_before_the_target_counts() -> None:
    """The traveller has to stand before the front too."""
    free = ROOM - box(5000, 0, 6000, 1000) - box(4400, 1800, 6000, 4000)
    place = box(5000, 1000, 6000, 1800)
    assert width(free, WEST, place) == pytest.approx(800.0, abs=1e-3)
    # The largest round traveller with its middle 300 mm before a wall is 600 mm wide.
    assert width(ROOM, WEST, box(5990, 1000, 6000, 2000)) == pytest.approx(20.0)
    assert width(ROOM, WEST, box(5700, 1000, 6000, 2000)) == pytest.approx(600.0)


def test_inner_doors_join_floors_and_nothing_else_does() -> None:
    """Floors of two rooms are joined by links alone, however near they are."""
    back = box(6000, 0, 9000, 4000)
    floors = Floors([ROOM, back])
    there = box(8000, 1000, 8500, 1500)
    assert Ways(floors, [WEST]).to(there).width == 0.0
    link = (box(5000, 1500, 6000, 2500), box(6000, 1500, 7000, 2500))
    found = Ways(floors, [WEST], [link]).to(there)
    # The traveller comes in 900 mm from the west wall at most.
    assert found.width == pytest.approx(1800.0)
    assert found.gap is not None
    assert found.gap.middle == pytest.approx((900.0, 2000.0), abs=500.0)


def test_nothing_leads_nowhere() -> None:
    """No floor, no start and a target off the floor have no way."""
    assert Ways(Floors([]), [WEST]).to(EAST).gap is None
    assert Ways(Floors([ROOM]), []).to(EAST).width == 0.0
    assert Ways(Floors([ROOM]), [WEST]).to(box(9000, 0, 9100, 100)).width == 0.0


def test_the_gap_about_a_spot() -> None:
    """From the nearest wall straight through the spot; none off the floor."""
    gap = gap_about(Floors([ROOM]), (1000.0, 2000.0))
    assert gap is not None
    assert (gap.start, gap.end, gap.width) == ((0.0, 2000.0), (2000.0, 2000.0), 2000.0)
    assert gap.middle == (1000.0, 2000.0)
    assert gap.across == (1.0, 0.0)
    assert gap_about(Floors([ROOM]), (-5.0, 0.0)) is None


@pytest.mark.parametrize(("y", "one_sided"), [(2000.0, False), (1990.0, False), (1900.0, True)])
def test_a_gap_with_nothing_beyond_it_has_one_side(y: float, one_sided: bool) -> None:
    """A circle off the middle of a room touches one wall alone; what it ends at is no wall."""
    gap = gap_about(Floors([ROOM]), (3000.0, y))
    assert gap is not None
    assert gap.one_sided is one_sided


def test_every_triangle_lies_on_the_floor() -> None:
    """The triangles cover the floor and nothing besides."""
    free = ROOM - Point(3000, 2000).buffer(700) - box(1000, 0, 1010, 3000)
    made = mesh(free)
    assert shapely.area(made.triangles.geometries).sum() == pytest.approx(free.area, rel=1e-9)


def _by_grid(free: Polygon, start: Polygon, end: Polygon, step: float) -> float:
    """Give the widest way by another road: distances on a grid, joined from the widest down."""
    from scipy.ndimage import distance_transform_edt, label

    x0, y0, x1, y1 = free.bounds
    xs, ys = np.arange(x0 - step, x1 + step, step), np.arange(y0 - step, y1 + step, step)
    grid = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)
    shapely.prepare(free)
    inside = shapely.contains_xy(free, grid[:, 0], grid[:, 1]).reshape(len(ys), len(xs))
    clear = distance_transform_edt(inside) * step
    ends = [
        shapely.intersects_xy(place, grid[:, 0], grid[:, 1]).reshape(inside.shape)
        for place in (start, end)
    ]
    low, high = 0.0, float(clear.max())
    while high - low > 0.5:
        middle = (low + high) / 2
        marks, _ = label(clear >= middle, structure=np.ones((3, 3)))
        shared = set(marks[ends[0]].tolist()) & set(marks[ends[1]].tolist()) - {0}
        low, high = (middle, high) if shared else (low, middle)
    return 2 * low


THINGS = st.lists(
    st.tuples(
        st.floats(800, 5200),
        st.floats(0, 4000),
        st.floats(200, 1500),
        st.floats(200, 900),
        st.floats(0, 180),
    ),
    min_size=2,
    max_size=7,
)


@given(things=THINGS)
@settings(max_examples=10)
def test_the_same_as_by_distances_on_a_grid(
    things: list[tuple[float, float, float, float, float]],
) -> None:
    """Whatever stands about, a grid of 30 mm gives the same width to within its own steps."""
    free: BaseGeometry = ROOM
    for x, y, long, deep, angle in things:
        free = free - rotate(box(x - long / 2, y - deep / 2, x + long / 2, y + deep / 2), angle)
    start, end = box(0, 0, 400, 4000), box(5600, 0, 6000, 4000)
    exact, coarse = width(free, start, end), _by_grid(free, start, end, 30.0)
    assert abs(exact - coarse) < 70.0 or max(exact, coarse) < 70.0


@given(things=THINGS)
@settings(max_examples=10)
def test_the_same_as_by_wearing_the_floor_down(
    things: list[tuple[float, float, float, float, float]],
) -> None:
    """A traveller 2 mm narrower gets through, one 2 mm wider does not."""
    free: BaseGeometry = ROOM
    for x, y, long, deep, angle in things:
        free = free - rotate(box(x - long / 2, y - deep / 2, x + long / 2, y + deep / 2), angle)
    start, end = box(0, 0, 400, 4000), box(5600, 0, 6000, 4000)
    found = width(free, start, end)

    def passes(size: float) -> bool:
        worn = free.buffer(-size / 2, quad_segs=128)
        parts = getattr(worn, "geoms", [worn])
        return any(part.intersects(start) and part.intersects(end) for part in parts)

    if found > 60.0:
        assert passes(found - 2.0)
    assert not passes(max(found, 60.0) + 2.0)
