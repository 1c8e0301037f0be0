"""Faces on the plan, and how far along the customer's way they lie."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfit.geometry.faceplace import entrances, face_places, fixture_face, run_face, station
from shopfit.geometry.shell import WallLine, survey
from shopfit.geometry.wallface import faces
from shopfit.model.fixtures import Fixture
from shopfit.model.layout import Claims, Layout, Placement, Run
from shopfit.model.scenario import Scenario, Shop

SIDES = ("front", "back", "left", "right")
ROOM = {"id": "shop", "height": "3 m"}
ROOM |= {"corners": [["0", "0"], ["0", "6 m"], ["9 m", "6 m"], ["9 m", "0"]]}


def fixture(**more: Any) -> Fixture:
    """Make a fixture 1000 by 600 with a face 400 long on every side."""
    face = {"kind": "shelf", "width": "400 mm", "bottom": "100 mm", "top": "900 mm"}
    face |= {"depth": "200 mm"}
    given = {"id": "cab", "kind": "gondola", "width": "1 m", "depth": "600 mm", "height": "1 m"}
    given |= {"stands": ["island", "wall"], "price": 1}
    return Fixture.model_validate(
        {**given, "faces": [{**face, "side": side} for side in SIDES], **more}
    )


@pytest.mark.parametrize(
    ("side", "left", "right"),
    [
        ("front", (2300, 2400), (2700, 2400)),
        ("back", (2700, 3000), (2300, 3000)),
        ("left", (2000, 2900), (2000, 2500)),
        ("right", (3000, 2500), (3000, 2900)),
    ],
)
def test_a_narrow_face_lies_in_the_middle_of_its_side(side: Any, left: Any, right: Any) -> None:
    """Left and right are those of a customer who faces it."""
    place = Placement(id="F1", fixture="cab", x_mm=2000, y_mm=3000, angle_deg=0)
    face = fixture_face(fixture(), place, side)
    assert face.left == pytest.approx(left)
    assert face.right == pytest.approx(right)
    assert face.width == pytest.approx(400)
    assert (face.key, face.bottom, face.top, face.wall) == (("F1", side), 100, 900, None)


@given(
    angle=st.floats(-180, 180),
    x=st.floats(-1e4, 1e4),
    y=st.floats(-1e4, 1e4),
    side=st.sampled_from(SIDES),
    at=st.floats(-500, 900),
)
def test_places_along_a_face_are_found_again(
    angle: float, x: float, y: float, side: Any, at: float
) -> None:
    """Wherever and however a fixture stands, a place on its face is as far along as it was put."""
    place = Placement(id="F1", fixture="cab", x_mm=x, y_mm=y, angle_deg=angle)
    face = fixture_face(fixture(), place, side)
    assert face.reach(face.point(at)) == pytest.approx(at, abs=1e-6)
    assert face.reach(face.left) == pytest.approx(0, abs=1e-6)
    assert face.reach(face.middle) == pytest.approx(200, abs=1e-6)


def test_a_side_without_goods_has_no_face() -> None:
    """Only display sides are faces."""
    place = Placement(id="F1", fixture="cab", x_mm=0, y_mm=0, angle_deg=0)
    with pytest.raises(KeyError):
        fixture_face(fixture(faces=()), place, "front")


def test_a_run_runs_from_left_to_right_on_its_wall() -> None:
    """Its ends are on the wall, as one faces it from inside."""
    wall = WallLine("N", "shop", (0.0, 6000.0), (9000.0, 6000.0), ((0.0, 3000.0),))
    face = run_face("R1", wall, 500.0, 1700.0, 850.0, 2000.0)
    assert (face.left, face.right) == ((500.0, 6000.0), (1700.0, 6000.0))
    assert (face.key, face.wall, face.hung) == (("R1", "front"), "N", True)


def test_all_faces_of_a_layout_are_placed() -> None:
    """Fixtures and runs, each side with goods; the first where a tag stands twice."""
    sheet = {"id": "s", "width": "2.4 m", "height": "1.2 m", "groove_load": "60 kg/m", "price": 1}
    line: dict[str, Any] = {"line": "Mug", "category": "K", "ways": ["shelf"]}
    line |= {"width": "1 in", "height": "1 in", "depth": "1 in"}
    scenario = Scenario.model_validate(
        {
            "shop": {"name": "Test", "rooms": [ROOM]},
            "lines": [line],
            "catalogue": {"fixtures": [fixture().model_dump(mode="json")], "sheets": [sheet]},
        }
    )
    cab = Placement(id="F1", fixture="cab", x_mm=1000, y_mm=6000, angle_deg=0, wall="shop-2")
    run = Run(
        id="R1",
        wall="shop-2",
        from_mm=1000,
        to_mm=2000,
        bottom_mm=1050,
        top_mm=2000,
        sheet="s",
        first_groove_mm=1088.1,
        over=("F1",),
    )
    layout = Layout(
        scenario="t",
        placements=(cab, cab.model_copy(update={"x_mm": 5000})),
        runs=(run,),
        claims=Claims(facings=0, units=0, value=0, cost=0),
    )
    shell = survey(scenario.shop)
    found = face_places(scenario, layout, shell, faces(scenario, layout, 100.0))
    assert set(found) == {*(("F1", side) for side in SIDES), ("R1", "front")}
    assert found["F1", "front"].left == pytest.approx((1300, 5400))
    assert found["F1", "front"].wall == "shop-2"
    assert found["R1", "front"].left == pytest.approx((1000, 6000))
    assert (found["R1", "front"].bottom, found["R1", "front"].top) == (1088.1, 2000)


def test_only_entrances_let_customers_in() -> None:
    """The middle of each of them, on its wall; doors on lost walls are left out."""
    door = {"id": "a", "wall": "shop-1", "offset": "1 m", "width": "1 m", "height": "2 m"}
    doors = [door, {**door, "id": "b", "use": "staff"}, {**door, "id": "c", "wall": "gone"}]
    doors.append({**door, "id": "d", "wall": "shop-2"})
    shop = Shop.model_validate({"name": "Test", "rooms": [ROOM], "doors": doors})
    assert entrances(shop, survey(shop)) == [(0.0, 1500.0), (1500.0, 6000.0)]


WAY = ((0.0, 0.0), (0.0, 3000.0), (4000.0, 3000.0))


@pytest.mark.parametrize(
    ("point", "far"),
    [
        ((0, 0), 0),
        ((-500, 1000), 1000),
        ((200, 2000), 2000),
        ((1000, 3500), 4000),
        ((9000, 3000), 7000),
        ((-10, -800), 0),
    ],
)
def test_a_place_is_as_far_as_the_nearest_point_of_the_way(point: Any, far: float) -> None:
    """Measured along the way; before its beginning it is 0, past its end the whole of it."""
    assert station(point, WAY, [(5000.0, 5000.0)]) == pytest.approx(far)


def test_without_a_way_the_nearest_entrance_counts() -> None:
    """Straight to the middle of the nearest of several doors; nothing where there is none."""
    doors = [(0.0, 0.0), (3000.0, 0.0)]
    assert station((3000.0, 400.0), None, doors) == pytest.approx(400)
    assert station((3000.0, 400.0), None, doors[:1]) == pytest.approx(math.hypot(3000, 400))
    assert station((3000.0, 400.0), None, []) is None
    assert station((3000.0, 400.0), (WAY[0], WAY[0]), doors) == pytest.approx(400)
