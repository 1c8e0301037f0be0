"""The finishes of a room reckoned by hand, and what must hold of any room.

The worked room is 20 by 10 ft and 8 ft high, with a door of 3 by 7 ft and a window of 4 by 3 ft.
Waste of a tenth: common practice, no source.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfit.model.finishes import FinishRow, FinishTakeOff
from shopfit.model.layout import Claims, Layout, Run
from shopfit.model.scenario import Scenario
from shopfit.quantities.finishes import finish_take_off
from tests.checks import build as b

SQ_FT = 0.3048**2
FT = 0.3048

ROOM: dict[str, Any] = {
    "id": "shop",
    "height": "8 ft",
    "walls": [
        {"id": "W", "length": "10 ft"},
        {"id": "N", "length": "20 ft"},
        {"id": "E", "length": "10 ft"},
        {"id": "S", "length": "20 ft"},
    ],
    "heading": 90,
}
OPENINGS: dict[str, Any] = {
    "doors": [{"id": "d", "wall": "W", "offset": "2 ft", "width": "3 ft", "height": "7 ft"}],
    "windows": [
        {
            "id": "w",
            "wall": "N",
            "offset": "5 ft",
            "width": "4 ft",
            "sill": "3 ft",
            "head": "6 ft",
        }
    ],
}
FINISHES: dict[str, Any] = {
    "wall_board": {"width": "4 ft", "height": "8 ft", "price": 15},
    "wainscot": {"width": "4 ft", "height": "8 ft", "top": "3 ft", "price": 30},
    "baseboard": {"length": "8 ft", "price": 7},
    "crown": {"length": "8 ft", "price": 9},
    "trim": {"length": "8 ft", "price": 6},
    "wall_paint": {"covers": "400 sq ft", "price": 40},
    "ceiling_paint": {"covers": "400 sq ft", "price": 35},
    "floor": {"covers": "20 sq ft", "price": 50},
    "insulation": {"covers": "88 sq ft", "stud": "1.5 in", "price": 60},
    "lights": {"spacing": "4 ft", "price": 25},
}
NOTHING = Claims(facings=0, units=0, value=0, cost=0)
EMPTY = Layout(scenario="test", claims=NOTHING)
LAYOUT = Layout(
    scenario="test",
    claims=NOTHING,
    runs=(
        Run(
            id="R1",
            wall="S",
            from_mm=0,
            to_mm=8 * 304.8,
            bottom_mm=0,
            top_mm=4 * 304.8,
            sheet="sheet",
            first_groove_mm=38.1,
        ),
    ),
)


def _scenario(room: dict[str, Any] = ROOM, **shop: Any) -> Scenario:
    nothing: dict[str, Any] = {"obstructions": [], "columns": [], "zones": [], "approach": {}}
    return b.scenario(**{**nothing, "rooms": [room], **OPENINGS, "finishes": FINISHES, **shop})


def _rows(take_off: FinishTakeOff) -> dict[str, FinishRow]:
    return {row.item: row for row in take_off.rows}


@pytest.mark.parametrize(
    ("item", "amount", "packs", "total"),
    [
        # 60 ft x 8 ft - 21 - 12 = 447 sq ft; x 1.1 / 32 = 15.4.
        ("wall board", 447 * SQ_FT, 16, 240.0),
        # The window's wall, 20 ft x 3 ft = 60 sq ft; x 1.1 / 32 = 2.1.
        ("wainscot", 60 * SQ_FT, 3, 90.0),
        # 60 - 3 = 57 ft; x 1.1 / 8 = 7.8.
        ("baseboard", 57 * FT, 8, 56.0),
        # 60 ft; x 1.1 / 8 = 8.25.
        ("crown", 60 * FT, 9, 81.0),
        # 2 x 7 + 3 and 2 x 3 + 2 x 4 = 31 ft; x 1.1 / 8 = 4.3.
        ("trim", 31 * FT, 5, 30.0),
        # (447 - 60) x 2 coats = 774 sq ft; x 1.1 / 400 = 2.1.
        ("wall paint", 774 * SQ_FT, 3, 120.0),
        # 200 x 2 coats = 400 sq ft; x 1.1 / 400 = 1.1.
        ("ceiling paint", 400 * SQ_FT, 2, 70.0),
        # 200 sq ft x 1.1 / 20 = 11 to the hair.
        ("floor finish", 200 * SQ_FT, 11, 550.0),
        # 447 x 14.5 / 16 = 405.1 sq ft; x 1.1 / 88 = 5.1.
        ("insulation", 447 * 14.5 / 16 * SQ_FT, 6, 360.0),
        # 8 ft / 4 ft.
        ("lights", 2, 2, 50.0),
    ],
)
def test_the_worked_room(item: str, amount: float, packs: int, total: float) -> None:
    """Every item comes out as reckoned by hand."""
    row = _rows(finish_take_off(_scenario(), LAYOUT))[item]
    assert row.amount == pytest.approx(amount)
    assert (row.packs, row.total) == (packs, total)


def test_the_money_is_the_sum_and_every_row_the_sum_of_its_parts() -> None:
    """1,647 in all; parts add up to what is measured, once for each coat."""
    found = finish_take_off(_scenario(), LAYOUT)
    assert found.total == 1647.0
    coats = {"wall paint": 2, "ceiling paint": 2}
    for row in found.rows:
        parts = sum(part.amount for part in found.parts if part.item == row.item)
        assert row.amount == pytest.approx(parts * coats.get(row.item, 1))


def test_formulas_are_shown_in_the_units_of_the_shop() -> None:
    """The reader sees what was taken off what."""
    parts = finish_take_off(_scenario(), LAYOUT).parts
    board = next(p for p in parts if (p.item, p.where) == ("wall board", "W"))
    assert board.formula == "80.0 sq ft of wall − 21.0 sq ft of openings and the like"
    metric = finish_take_off(_scenario(units="mm"), LAYOUT).parts
    foot = next(p for p in metric if (p.item, p.where) == ("baseboard", "W"))
    assert foot.formula == "3048 mm of wall − 914 mm of doors"


def test_corners_are_counted_for_mitres() -> None:
    """An L has five inside corners and one that stands out."""
    walls = [
        {"id": "a", "length": "10 ft"},
        {"id": "b", "length": "5 ft"},
        {"id": "c", "length": "4 ft", "turn": -90},
        {"id": "d", "length": "5 ft"},
        {"id": "e", "length": "6 ft"},
        {"id": "f", "length": "10 ft"},
    ]
    scenario = _scenario({**ROOM, "walls": walls}, doors=[], windows=[])
    rows = _rows(finish_take_off(scenario, EMPTY))
    assert rows["baseboard"].note == "5 inside and 1 outside corners"
    assert rows["floor finish"].amount == pytest.approx((10 * 5 + 6 * 5) * SQ_FT)
    assert rows["wainscot"].amount == 0.0
    assert rows["wainscot"].packs == 0


def test_sloping_walls_are_measured_along_their_slope() -> None:
    """A wall that rises 3 ft over 4 ft has a crown of 5 ft and the area of a trapezium."""
    heights = [{"offset": "0 ft", "height": "8 ft"}, {"offset": "4 ft", "height": "11 ft"}]
    walls = [
        {"id": "W", "length": "10 ft"},
        {"id": "N", "length": "4 ft", "heights": heights},
        {"id": "E", "length": "10 ft"},
        {"id": "S", "length": "4 ft"},
    ]
    scenario = _scenario({**ROOM, "walls": walls}, doors=[], windows=[])
    parts = finish_take_off(scenario, EMPTY).parts
    crown = next(p for p in parts if (p.item, p.where) == ("crown", "N"))
    board = next(p for p in parts if (p.item, p.where) == ("wall board", "N"))
    assert crown.amount == pytest.approx(5 * FT)
    assert board.amount == pytest.approx(4 * 9.5 * SQ_FT)


def test_walls_may_be_left_bare_behind_slat_wall() -> None:
    """32 sq ft of run are taken off board and paint, and off nothing else."""
    bare = {**FINISHES, "behind_slat_wall": False}
    with_all = _rows(finish_take_off(_scenario(), LAYOUT))
    without = _rows(finish_take_off(_scenario(finishes=bare), LAYOUT))
    assert with_all["wall board"].amount - without["wall board"].amount == pytest.approx(32 * SQ_FT)
    assert with_all["wall paint"].amount - without["wall paint"].amount == pytest.approx(64 * SQ_FT)
    assert with_all["insulation"].amount == without["insulation"].amount


def test_columns_take_floor() -> None:
    """A column of 2 by 2 ft is not floored."""
    post = [{"id": "post", "at": ["5 ft", "-5 ft"], "size": ["2 ft", "2 ft"]}]
    room = {**ROOM, "start": ["0 ft", "-10 ft"]}
    rows = _rows(finish_take_off(_scenario(room, columns=post), LAYOUT))
    assert rows["floor finish"].amount == pytest.approx(196 * SQ_FT)


def test_nothing_asked_is_nothing_counted() -> None:
    """A shop without finishes has no such list."""
    assert finish_take_off(b.scenario(), b.layout()) == FinishTakeOff()


@given(st.floats(1.0, 40.0), st.floats(1.0, 40.0), st.floats(2.0, 5.0), st.floats(0.0, 1.0))
def test_any_room_is_bought_enough_and_not_a_pack_too_much(
    length: float, width: float, height: float, waste: float
) -> None:
    """Packs cover what is measured and its waste, and one pack fewer would not."""
    room = {
        **ROOM,
        "height": f"{height} m",
        "walls": [
            {"id": name, "length": f"{size} m"}
            for name, size in zip("WNES", (width, length) * 2, strict=True)
        ],
    }
    finishes = {
        "wall_board": {"width": "4 ft", "height": "8 ft", "waste": waste},
        "baseboard": {"length": "2.4 m", "waste": waste},
    }
    scenario = _scenario(room, doors=[], windows=[], finishes=finishes)
    rows = _rows(finish_take_off(scenario, EMPTY))
    assert rows["wall board"].amount == pytest.approx(2 * (length + width) * height)
    assert rows["baseboard"].amount == pytest.approx(2 * (length + width))
    for row in rows.values():
        wanted = row.amount * (1 + waste)
        assert row.packs * row.pack >= wanted - 1e-6
        assert row.packs == row.cut or (row.packs - 1) * row.pack < wanted
