"""Every bracket and shelf is set out where a tape measure finds it."""

from __future__ import annotations

import pytest

from shopfit.geometry.shell import survey
from shopfit.model.base import plain
from shopfit.model.layout import Block, Layout, Placement, Row, Slot
from shopfit.model.scenario import Scenario
from shopfit.quantities.setout import bracket_centres, corner_name, set_out
from shopfit.quantities.takeoff import purchases

IN = 25.4


def test_hanging_order(scenario: Scenario, layout: Layout) -> None:
    """Walls as walked, from the top down and left to right; fixtures' own shelves last."""
    rows = set_out(scenario, layout)
    assert [(row.where, row.run, row.line) for row in rows] == [
        ("west", "R2", "Caps"),
        ("north", "R1", "Oars"),
        ("north", "R1", "Mugs"),
        ("north", "R1", "Jars"),
        ("F2", None, "Mugs"),
    ]


def test_hooks(scenario: Scenario, layout: Layout) -> None:
    """Caps hang from groove 10: 33.5 + 9 × 3 = 60.5 in up, first hook 24 + 3 in from the corner."""
    row = set_out(scenario, layout)[0]
    assert (row.groove, row.brackets, row.datum) == (10, 3, "left end of west, at south")
    assert row.height_mm == pytest.approx(60.5 * IN)
    assert row.goods_mm == pytest.approx(60 * IN)
    assert (row.from_mm, row.to_mm) == (pytest.approx(24 * IN), pytest.approx(42 * IN))
    assert (row.first_mm, row.spacing_mm) == (pytest.approx(27 * IN), pytest.approx(6 * IN))
    assert row.load_kg == pytest.approx(4.5)


def test_cradles_at_the_quarters(scenario: Scenario, layout: Layout) -> None:
    """An oar of 12 in lies in cradles at 3 and 9 in of it: 15 in from the corner, 6 in apart."""
    row = set_out(scenario, layout)[1]
    assert (row.row, row.groove, row.brackets) == (2, 3, 2)
    assert row.height_mm == pytest.approx(39.5 * IN)
    assert row.goods_mm == pytest.approx(40.5 * IN)
    assert (row.first_mm, row.spacing_mm) == (pytest.approx(15 * IN), pytest.approx(6 * IN))


def test_shelf_boards_are_told_once(scenario: Scenario, layout: Layout) -> None:
    """Mugs and jars share a shelf from 12 to 42 in: its two boards stand with the mugs."""
    mugs, jars = set_out(scenario, layout)[2:4]
    assert (mugs.boards, jars.boards) == (2, 0)
    for row in (mugs, jars):
        assert row.shelf_from_mm == pytest.approx(12 * IN)
        assert row.shelf_to_mm == pytest.approx(42 * IN)
        assert row.height_mm == pytest.approx(33.5 * IN)
        assert row.goods_mm == pytest.approx(34.25 * IN)
        assert row.load_kg == pytest.approx(3.7)
        assert (row.first_mm, row.spacing_mm, row.holder_name) == (None, None, "BOARD")
    assert jars.from_mm == pytest.approx(32 * IN)


def test_shelf_inside_a_cabinet(scenario: Scenario, layout: Layout) -> None:
    """The cabinet's shelf is set at 10 in; goods stand on its board of 3/4 in."""
    row = set_out(scenario, layout)[4]
    assert (row.groove, row.holder, row.boards, row.side) == (None, None, 0, "front")
    assert row.datum == "left end of F2, front"
    assert row.height_mm == pytest.approx(10 * IN)
    assert row.goods_mm == pytest.approx(10.75 * IN)
    assert (row.from_mm, row.to_mm) == (pytest.approx(4 * IN), pytest.approx(28 * IN))
    assert row.load_kg == pytest.approx(6.0)


def test_goods_are_measured_from_the_end_of_the_side(scenario: Scenario, layout: Layout) -> None:
    """A shelf of 33 in in the middle of a front of 36 in begins 1.5 in from its left end."""
    narrower = plain(scenario)
    narrower["catalogue"]["fixtures"][0]["faces"][0]["width"] = "33 in"
    row = set_out(Scenario.model_validate(narrower), layout)[4]
    assert row.datum == "left end of F2, front"
    assert (row.from_mm, row.to_mm) == (pytest.approx(5.5 * IN), pytest.approx(29.5 * IN))


def test_table_has_no_board(scenario: Scenario, layout: Layout) -> None:
    """Goods on a table stand at the table's own height."""
    table = Placement(id="T1", fixture="TAB", x_mm=2000, y_mm=1500, angle_deg=0)
    slot = Slot(line="Mugs", facings=1, from_mm=0, to_mm=4 * IN, way="table", units=1)
    row = Row(bottom_mm=30 * IN, top_mm=50 * IN, slots=(slot,))
    block = Block(
        id="B1", host="T1", side="front", category="Ware", from_mm=0, to_mm=48 * IN, rows=(row,)
    )
    alone = layout.model_copy(update={"placements": (table,), "runs": (), "blocks": (block,)})
    (found,) = set_out(scenario, alone)
    assert found.height_mm == found.goods_mm == pytest.approx(30 * IN)


def test_grooves_are_found_from_heights(scenario: Scenario, layout: Layout) -> None:
    """A layout that leaves groove numbers out still tells them, from the heights of its rows."""
    blocks = tuple(
        block.model_copy(
            update={
                "rows": tuple(
                    row.model_copy(update={"low_groove": None, "high_groove": None})
                    for row in block.rows
                )
            }
        )
        for block in layout.blocks
    )
    bare = layout.model_copy(update={"blocks": blocks})
    assert set_out(scenario, bare) == set_out(scenario, layout)


@pytest.mark.parametrize(
    ("facings", "brackets", "centres"),
    [
        (1, 1, [150.0]),
        (2, 2, [125.0, 175.0]),
        (1, 2, [125.0, 175.0]),
        (2, 4, [112.5, 137.5, 162.5, 187.5]),
    ],
)
def test_bracket_centres(facings: int, brackets: int, centres: list[float]) -> None:
    """One bracket a facing is at its centre, two at a quarter and three quarters of it."""
    slot = Slot(line="Caps", facings=facings, from_mm=100, to_mm=200, way="hook", brackets=brackets)
    assert bracket_centres(slot) == tuple(centres)


def test_corner_is_named_by_both_walls(scenario: Scenario) -> None:
    """Facing the east wall from inside, its left end is where the north wall ends."""
    shell = survey(scenario.shop)
    assert corner_name(shell, "east") == "left end of east, at north"


def test_set_out_and_purchases_agree(scenario: Scenario, layout: Layout) -> None:
    """Brackets and boards of the set-out add up to what the purchases say is needed."""
    counted: dict[str, int] = {}
    for row in set_out(scenario, layout):
        if row.holder is not None:
            counted[row.holder] = counted.get(row.holder, 0) + row.brackets + row.boards
    bought = {
        p.item: p.needed for p in purchases(scenario, layout) if p.kind in ("bracket", "shelf")
    }
    assert counted == bought == {"HOOK": 3, "CRAD": 2, "BOARD": 2}
