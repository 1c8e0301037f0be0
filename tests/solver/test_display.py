"""How lines are shown: levels, units, loads and the choice of holder."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopfit.solver.display import FaceClass, Showing, showing

from . import build as b

SLAT = FaceClass("slat", 16, 75.0, 890.0, 500.0, 30.0, 0.0)
CASE = FaceClass("case", 8, 50.0, 900.0, 400.0, 100.0, 10.0)
TABLE = FaceClass("table", 1, 400.0, 760.0, 600.0, 100.0, 0.0)


def bracket(name: str = "hook", **changes: Any) -> dict[str, Any]:
    """Give a hook 200 mm deep that carries 2 kg."""
    return {
        "id": name,
        "kind": "hook",
        "depth": b.mm(200.0),
        "load": "2 kg",
        "rise": b.mm(10.0),
        "price": 3,
        **changes,
    }


def board(name: str = "board", **changes: Any) -> dict[str, Any]:
    """Give a shelf board 1000 mm long and 300 deep that carries 20 kg."""
    return {
        "id": name,
        "length": b.mm(1000.0),
        "depth": b.mm(300.0),
        "thickness": b.mm(20.0),
        "load": "20 kg",
        "price": 10,
        **changes,
    }


def shown(face: FaceClass, *, holders: Any = (), boards: Any = (), **line: Any) -> Showing | None:
    """Show one line on a class of face."""
    own = b.line(**line)
    given = b.scenario([own], sheets=[b.SHEET], brackets=list(holders), shelves=list(boards))
    return showing(given, own, face)


@pytest.mark.parametrize(("height", "levels"), [(159.9, 4), (160.0, 4), (160.1, 5)])
def test_standing_goods_need_board_height_and_gap(height: float, levels: int):
    """Board 20, goods 160 and finger gap 20 fill four levels of 50 mm exactly."""
    found = shown(b.SHELF, height=b.mm(height))
    assert found is not None
    assert found.levels == levels


@pytest.mark.parametrize(("height", "levels"), [(139.9, 3), (140.0, 3), (140.1, 4)])
def test_hanging_goods_need_a_groove_more(height: float, levels: int):
    """Rise 10 and goods 140 fill two pitches of 75 mm below the groove that the hook hangs in."""
    found = shown(SLAT, holders=[bracket()], ways=["hook"], height=b.mm(height))
    assert found is not None
    assert (found.levels, found.way, found.holder) == (levels, "hook", "hook")


@pytest.mark.parametrize(("height", "levels"), [(119.9, 2), (120.0, 2), (120.1, 3)])
def test_cradled_goods_stand_on_their_bracket(height: float, levels: int):
    """Rise 10, goods 120 and finger gap 20 fill two pitches of 75 mm."""
    found = shown(SLAT, holders=[bracket(kind="cradle")], ways=["cradle"], height=b.mm(height))
    assert found is not None
    assert found.levels == levels


@pytest.mark.parametrize(("height", "fits"), [(459.9, True), (460.0, True), (460.1, False)])
def test_goods_taller_than_the_face_are_refused(height: float, fits: bool):
    """Ten levels of 50 mm hold board, 460 mm of goods and the gap, and no more."""
    assert (shown(b.SHELF, height=b.mm(height)) is not None) is fits


@pytest.mark.parametrize(("height", "fits"), [(379.9, True), (380.0, True), (380.1, False)])
def test_a_table_is_one_level_without_a_board(height: float, fits: bool):
    """On a table the whole height is one level, and only the finger gap is lost."""
    found = shown(TABLE, ways=["table"], height=b.mm(height))
    assert (found is not None) is fits
    if found:
        assert (found.way, found.holder, found.levels) == ("table", None, 1)


@pytest.mark.parametrize(("depth", "units"), [(99.9, 4), (100.0, 4), (100.1, 3), (400.0, 1)])
def test_depth_limits_units(depth: float, units: int):
    """A shelf 400 mm deep holds four units of 100 mm one behind the other."""
    found = shown(b.SHELF, depth=b.mm(depth))
    assert found is not None
    assert found.units == units


def test_goods_deeper_than_the_shelf_are_refused():
    """One unit that does not go on the shelf makes no facing."""
    assert shown(b.SHELF, depth=b.mm(400.1)) is None


@pytest.mark.parametrize(("weight", "units"), [("0.499 kg", 4), ("0.5 kg", 4), ("0.501 kg", 3)])
def test_brackets_load_limits_units(weight: str, units: int):
    """A facing on one bracket of 2 kg holds four units of half a kilogram."""
    found = shown(
        SLAT,
        holders=[bracket()],
        ways=["hook"],
        depth=b.mm(10.0),
        width=b.mm(1000.0),
        weight=weight,
    )
    assert found is not None
    assert found.units == units


def test_two_brackets_carry_twice():
    """A facing on two brackets carries the load of both and costs both."""
    found = shown(
        SLAT,
        holders=[bracket(per_facing=2, pack=4)],
        ways=["hook"],
        depth=b.mm(10.0),
        width=b.mm(1000.0),
        weight="0.5 kg",
    )
    assert found is not None
    assert (found.units, found.brackets, found.cost) == (8, 2, pytest.approx(1.5))


def test_makers_number_of_units_is_kept():
    """A bracket for three units holds no fourth, however thin they are."""
    found = shown(SLAT, holders=[bracket(units=3)], ways=["hook"], depth=b.mm(1.0))
    assert found is not None
    assert found.units == 3


@pytest.mark.parametrize(("weight", "units"), [("0.999 kg", 3), ("1 kg", 3), ("1.001 kg", 2)])
def test_groove_load_limits_units(weight: str, units: int):
    """A facing 100 mm wide may weigh a tenth of what a metre of groove carries: 3 kg."""
    found = shown(
        SLAT, holders=[bracket(load="50 kg")], ways=["hook"], depth=b.mm(10.0), weight=weight
    )
    assert found is not None
    assert found.units == units


@pytest.mark.parametrize(("weight", "units"), [("0.666 kg", 3), ("0.667 kg", 2), ("2.001 kg", 0)])
def test_boards_load_limits_units(weight: str, units: int):
    """A facing 100 mm wide may weigh a tenth of what a board 1000 mm long carries: 2 kg."""
    found = shown(SLAT, boards=[board()], weight=weight)
    assert (found.units if found else 0) == units


def test_secured_lines_stand_only_in_cases():
    """What must be locked up is refused everywhere but behind glass."""
    ways = ["case", "shelf", "table", "hook"]
    for face in (b.SHELF, TABLE, SLAT):
        assert shown(face, holders=[bracket()], boards=[board()], ways=ways, secured=True) is None
    found = shown(CASE, ways=ways, secured=True)
    assert found is not None
    assert (found.way, found.holder) == ("case", None)


@pytest.mark.parametrize("way", ["hook", "face-out", "cradle", "shelf", "case", "table"])
def test_only_ways_allowed_are_used(way: str):
    """A line shown one way only is shown on the faces of that way and no others."""
    kinds = ["hook", "face-out", "cradle"]
    holders = [bracket(kind, kind=kind) for kind in kinds]
    for face in (b.SHELF, CASE, TABLE, SLAT):
        own = {"slat": [*kinds, "shelf"]}.get(face.kind, [face.kind])
        found = shown(face, holders=holders, boards=[board()], ways=[way])
        assert (found is not None) is (way in own)
        assert found is None or found.way == way


@pytest.mark.parametrize(("depth", "fits"), [(199.9, False), (200.0, True), (200.1, True)])
def test_brackets_stand_out_no_further_than_allowed(depth: float, fits: bool):
    """A bracket 200 mm deep hangs only where that much may stand out."""
    face = replace(SLAT, depth=depth)
    found = shown(face, holders=[bracket()], ways=["hook"])
    assert (found is not None) is fits


def test_holder_that_holds_enough_is_preferred():
    """The dear deep hook is taken where the shallow one cannot hold what is wanted."""
    hooks = [bracket("deep", price=9), bracket("short", depth=b.mm(100.0), price=1)]
    for holding, chosen in ((0, "short"), (10, "short"), (11, "deep")):
        found = shown(
            SLAT,
            holders=hooks,
            ways=["hook"],
            depth=b.mm(100.0),
            max_facings=10,
            holding=holding,
        )
        assert found is not None
        assert found.holder == chosen, holding


def test_lower_rows_are_preferred_before_price_and_price_before_depth():
    """Among holders that hold enough: fewest levels, then cheapest, then shallowest."""
    low = bracket("low", rise=b.mm(0.0), price=9)
    high = bracket("high", rise=b.mm(70.0), price=1)
    goods = {"ways": ["hook"], "height": b.mm(150.0)}
    found = shown(SLAT, holders=[high, low], **goods)
    assert found is not None
    assert found.holder == "low"
    found = shown(SLAT, holders=[bracket("a", price=2), bracket("z", price=1)], **goods)
    assert found is not None
    assert found.holder == "z"
    found = shown(SLAT, holders=[bracket("a"), bracket("z", depth=b.mm(150.0))], **goods)
    assert found is not None
    assert found.holder == "z"


lengths = st.integers(10, 500).map(float)


@settings(max_examples=120)
@given(
    width=lengths,
    height=lengths,
    depth=lengths,
    grams=st.integers(0, 5000),
    holding=st.integers(0, 40),
    ways=st.sets(st.sampled_from(["hook", "cradle", "shelf", "case", "table"]), min_size=1),
    rise=st.integers(0, 60).map(float),
    cap=st.none() | st.integers(1, 6),
    face=st.sampled_from([SLAT, b.SHELF, CASE, TABLE]),
)
def test_showings_meet_the_rules(
    width: float,
    height: float,
    depth: float,
    grams: int,
    holding: int,
    ways: set[str],
    rise: float,
    cap: int | None,
    face: FaceClass,
):
    """Whatever is chosen fits its levels with not one to spare, and holds what it may carry."""
    kinds = [bracket("hook", rise=b.mm(rise)), bracket("cradle", kind="cradle", rise=b.mm(rise))]
    if cap:
        kinds = [{**one, "units": cap} for one in kinds]
    found = shown(
        face,
        holders=kinds,
        boards=[board()],
        width=b.mm(width),
        height=b.mm(height),
        depth=b.mm(depth),
        weight=f"{grams} g",
        holding=holding,
        ways=sorted(ways),
    )
    if found is None:
        return
    assert found.way in ways
    assert 1 <= found.levels <= face.levels
    space = found.levels * face.pitch
    if found.way == "hook":
        taken, space = rise + height, space - face.pitch
    elif found.way == "cradle":
        taken = rise + height + 20.0
    else:
        taken = (20.0 if face.kind == "slat" else face.board) + height + 20.0
    assert taken <= space + 1e-3
    assert found.levels == 1 or taken > space - face.pitch - 1e-3 or space <= face.pitch
    weight = grams / 1000
    assert found.units >= 1
    assert found.units * weight <= face.load * width / 1000 + 1e-3
    deep = {"hook": 200.0, "cradle": 200.0}.get(found.way, face.depth)
    deep = 300.0 if found.holder == "board" else deep
    assert found.units <= math.floor(deep / depth + 1e-6)
    if found.way in ("hook", "cradle"):
        assert found.units * weight <= 2.0 + 1e-3
        assert found.units <= (cap or math.inf)
    if found.holder == "board":
        assert found.units * weight <= 20.0 * width / 1000 + 1e-3
