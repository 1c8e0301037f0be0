"""Footprints, sides and bands of fixtures on the plan."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfit.geometry.footprint import (
    against_wall,
    footprint,
    place_point,
    rectangle,
    rectangles,
    shapes,
    side_band,
    side_ends,
    side_length,
)
from shopfit.geometry.shell import WallLine
from shopfit.model.fixtures import Fixture, Side
from shopfit.model.layout import Placement

CASE = Fixture.model_validate(
    {
        "id": "case",
        "kind": "glass-case",
        "width": "1200 mm",
        "depth": "500 mm",
        "height": "900 mm",
        "stands": ["wall"],
        "price": 1,
    }
)
SIDES: tuple[Side, ...] = ("front", "back", "left", "right")


def at(x: float, y: float, angle: float) -> Placement:
    """Place the case."""
    return Placement(id="F1", fixture="case", x_mm=x, y_mm=y, angle_deg=angle)


@pytest.mark.parametrize(
    ("angle", "bounds"),
    [
        (0, (100, -300, 1300, 200)),
        (90, (100, 200, 600, 1400)),
        (180, (-1100, 200, 100, 700)),
        (-90, (-400, -1000, 100, 200)),
        (270, (-400, -1000, 100, 200)),
    ],
)
def test_the_front_lies_to_the_right_of_the_width(
    angle: float, bounds: tuple[float, float, float, float]
) -> None:
    """Quarter turns are exact, so that fixtures side by side touch and do not overlap."""
    assert footprint(CASE, at(100, 200, angle)).bounds == bounds


@pytest.mark.parametrize(
    ("side", "bounds"),
    [
        ("front", (0, -1500, 1200, -500)),
        ("back", (0, 0, 1200, 1000)),
        ("left", (-1000, -500, 0, 0)),
        ("right", (1200, -500, 2200, 0)),
    ],
)
def test_bands_lie_before_their_sides(
    side: Side, bounds: tuple[float, float, float, float]
) -> None:
    """With the width to the east, the front looks south, and left is west."""
    assert side_band(CASE, at(0, 0, 0), side, 1000).bounds == bounds


@pytest.mark.parametrize(
    ("side", "left", "right"),
    [
        ("front", (0, -500), (1200, -500)),
        ("back", (1200, 0), (0, 0)),
        ("left", (0, 0), (0, -500)),
        ("right", (1200, -500), (1200, 0)),
    ],
)
def test_sides_run_left_to_right_as_the_customer_faces_them(
    side: Side, left: tuple[float, float], right: tuple[float, float]
) -> None:
    """Whoever looks at a side has its first end at the left hand."""
    assert side_ends(CASE, at(0, 0, 0), side) == (left, right)


def test_sides_have_the_length_of_width_or_depth() -> None:
    """Front and back are as long as the width, the ends as the depth."""
    assert [side_length(CASE, side) for side in SIDES] == [1200, 1200, 500, 500]


@pytest.mark.parametrize(
    ("start", "end", "bounds"),
    [
        ((0, 3000), (4000, 3000), (700, 2500, 1900, 3000)),
        ((4000, 0), (0, 0), (2100, 0, 3300, 500)),
        ((0, 0), (0, 3000), (0, 700, 500, 1900)),
    ],
)
def test_against_a_wall_the_front_looks_into_the_room(
    start: tuple[float, float],
    end: tuple[float, float],
    bounds: tuple[float, float, float, float],
) -> None:
    """The back lies on the wall line and the left side at the offset."""
    wall = WallLine("w", "shop", start, end, ((0.0, 3000.0),))
    placement = against_wall("F1", CASE, wall, 700)
    assert footprint(CASE, placement).bounds == bounds
    assert (placement.wall, placement.offset_mm) == ("w", 700)


@given(st.floats(-1e4, 1e4), st.floats(-1e4, 1e4), st.floats(-360, 360), st.sampled_from(SIDES))
def test_a_band_touches_its_fixture_along_its_whole_side(
    x: float, y: float, angle: float, side: Side
) -> None:
    """At any angle footprint and band have their sizes, share the side and no floor."""
    placement = at(x, y, angle)
    body, band = footprint(CASE, placement), side_band(CASE, placement, side, 300)
    assert body.area == pytest.approx(1200 * 500, rel=1e-6)
    assert band.area == pytest.approx(side_length(CASE, side) * 300, rel=1e-6)
    assert body.intersection(band).area < 1e-2
    shared = body.buffer(1e-6).intersection(band)
    assert shared.length / 2 == pytest.approx(side_length(CASE, side), rel=1e-4)


@given(st.floats(-360, 360))
def test_own_measures_keep_their_distances(angle: float) -> None:
    """Turning a fixture never stretches it."""
    x, y = place_point(at(0, 0, angle), 300, 400)
    assert (x * x + y * y) ** 0.5 == pytest.approx(500)


@given(
    st.lists(st.tuples(st.floats(-1e4, 1e4), st.floats(-1e4, 1e4)), max_size=5),
    st.one_of(st.sampled_from([0.0, 90.0, 180.0, 270.0]), st.floats(0, 360)),
)
def test_rectangles_at_many_places_are_those_made_one_by_one(
    places: list[tuple[float, float]], angle: float
) -> None:
    """To the last bit, so that what touches there touches here."""
    made = shapes(rectangles([x for x, _ in places], [y for _, y in places], angle, -9, 70, 3, 40))
    expected = [rectangle(at(x, y, angle), -9, 70, 3, 40) for x, y in places]
    assert [list(s.exterior.coords) for s in made] == [list(s.exterior.coords) for s in expected]
