"""Blocks, rows and slots on their faces."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.checks import check
from shopfit.model.layout import Layout, Slot

from . import build as b

FIRST, PITCH = 850.9, 76.2


def _codes(layout: Layout, scenario: Any = None) -> list[str]:
    return b.codes(check(scenario or b.scenario(), layout))


@pytest.mark.parametrize(
    ("change", "found"),
    [
        ({"from_mm": 10.0}, []),
        ({"from_mm": -0.1}, ["block-beyond-face"]),
        ({"to_mm": 1219.21}, []),
        ({"to_mm": 1219.3}, ["blocks-overlap"]),
    ],
)
def test_blocks_lie_on_their_face_side_by_side(change: dict[str, float], found: list[str]) -> None:
    """Block B1 reaches from 0 to B2 at 1219.2 (D1)."""
    assert _codes(b.reblocked(b.layout(), "B1", **change)) == found


@pytest.mark.parametrize(("end", "found"), [(2438.4, []), (2438.5, ["block-beyond-face"])])
def test_blocks_end_with_their_face(end: float, found: list[str]) -> None:
    """Run R1 is 2438.4 long (D1)."""
    assert _codes(b.reblocked(b.layout(), "B2", to_mm=end)) == found


def test_a_side_without_a_face_shows_nothing() -> None:
    """The back of a cabinet has no face (D1)."""
    assert "no-face" in _codes(b.reblocked(b.layout(), "B4", side="back"))


@pytest.mark.parametrize("shift", [1.0, -1.0, 0.05])
def test_rows_lie_on_levels(shift: float) -> None:
    """A row between two grooves cannot be hung (D1)."""
    row = b.layout().blocks[0].rows[0]
    layout = b.rerowed(b.layout(), "B1", bottom_mm=row.bottom_mm + shift, top_mm=row.top_mm + shift)
    assert set(_codes(layout)) == {"row-off-level", "row-grooves"}


@pytest.mark.parametrize(
    ("low", "found"), [(12, []), (13, ["row-beyond-face"]), (0, ["row-beyond-face"])]
)
def test_rows_lie_inside_the_face(low: int, found: list[str]) -> None:
    """Run R1 has 15 steps above its first groove; a row of 4 starts at groove 12 at most (D1)."""
    bottom = FIRST + (low - 1) * PITCH
    layout = b.rerowed(
        b.layout(),
        "B1",
        bottom_mm=bottom,
        top_mm=bottom + 4 * PITCH,
        low_groove=low,
        high_groove=low + 3,
    )
    assert _codes(layout) == found


@pytest.mark.parametrize(
    ("low", "high", "found"),
    [(1, 4, []), (1, 5, ["row-grooves"]), (2, 5, ["row-grooves"]), (None, None, ["row-grooves"])],
)
def test_rows_own_their_grooves(low: int | None, high: int | None, found: list[str]) -> None:
    """A row of four steps from the first groove owns grooves 1 to 4 (D1)."""
    assert _codes(b.rerowed(b.layout(), "B1", low_groove=low, high_groove=high)) == found


def test_rows_of_a_block_do_not_overlap() -> None:
    """The upper row moved a groove down lies in the lower one (D1)."""
    layout = b.rerowed(
        b.layout(),
        "B2",
        row=1,
        bottom_mm=FIRST + 2 * PITCH,
        top_mm=FIRST + 5 * PITCH,
        low_groove=3,
        high_groove=5,
    )
    assert "rows-overlap" in _codes(layout)


@pytest.mark.parametrize(
    ("line", "height", "found"),
    [
        # Stands on a shelf board: 228.6 - 19.05 - 25.4.
        ("mug", 184.15, []),
        ("mug", 184.2, ["row-height"]),
        # Stands in a cradle: 228.6 - 12.7 - 25.4.
        ("umbrella", 190.5, []),
        ("umbrella", 190.6, ["row-height"]),
        # Stands on the cabinet's own shelf: 304.8 - 19.05 - 25.4.
        ("yarn", 260.35, []),
        ("yarn", 260.4, ["row-height"]),
        # Stands in a case: 152.4 - 19.05 - 25.4.
        ("ring", 107.95, []),
        ("ring", 108.0, ["row-height"]),
        # Stands on a table: 400 - 25.4.
        ("bowl", 374.6, []),
        ("bowl", 374.7, ["row-height"]),
        # Hangs from a hook in the fourth groove: 3 * 76.2 - 12.7.
        ("card", 215.9, []),
        ("card", 216.0, ["row-height"]),
        # Hangs from a face-out in the third groove: 2 * 76.2 - 12.7.
        ("tag", 139.7, []),
        ("tag", 139.8, ["row-height"]),
    ],
)
def test_goods_fit_under_the_next_level(line: str, height: float, found: list[str]) -> None:
    """Standing goods keep a finger's gap, hanging ones their own bracket's room (D2)."""
    assert _codes(b.layout(), b.relined(b.scenario(), line, height=height)) == found


@pytest.mark.parametrize(("shift", "found"), [(-10.0, []), (-10.1, ["slot-beyond-block"])])
def test_slots_lie_inside_their_block(shift: float, found: list[str]) -> None:
    """The cards begin 10 mm into block B1 (D3)."""
    layout = b.reslotted(b.layout(), "B1", from_mm=10.0 + shift, to_mm=410.0 + shift)
    assert _codes(layout) == found


def test_slots_end_inside_their_block() -> None:
    """Block B3 ends at 240, as its goods do; a millimetre less is too little (D3)."""
    assert _codes(b.reblocked(b.layout(), "B3", to_mm=240.0)) == []
    assert _codes(b.reblocked(b.layout(), "B3", to_mm=239.0)) == ["slot-beyond-block"]


@pytest.mark.parametrize("shift", [1.0, -1.0, 0.02])
def test_slots_are_as_wide_as_their_facings(shift: float) -> None:
    """Four facings of 100 mm are 400 mm (D3)."""
    assert _codes(b.reslotted(b.layout(), "B1", to_mm=410.0 + shift)) == ["slot-width"]


@pytest.mark.parametrize(("start", "found"), [(1590.0, []), (1589.0, ["slots-overlap"])])
def test_slots_of_a_row_do_not_overlap(start: float, found: list[str]) -> None:
    """The second mugs begin where the first end (D3)."""
    layout = b.reslotted(b.layout(), "B2", slot=1, from_mm=start, to_mm=start + 360.0)
    assert _codes(layout) == found


def test_a_slot_inside_another_is_found() -> None:
    """Overlaps need not be with the nearest neighbour's end (D3)."""
    layout = b.reslotted(b.layout(), "B2", slot=1, from_mm=1235.0, to_mm=1595.0)
    assert "slots-overlap" in _codes(layout)


@pytest.mark.parametrize(
    ("block", "update", "code"),
    [
        ("B1", {"way": "face-out"}, "way"),
        ("B1", {"holder": "arm-4"}, "holder"),
        ("B1", {"holder": "board"}, "holder"),
        ("B1", {"holder": None}, "holder"),
        ("B2", {"holder": None}, "holder"),
        ("B2", {"holder": "cradle"}, "holder"),
        ("B4", {"holder": "board"}, "holder"),
        ("B4", {"way": "case"}, "holder"),
        ("B5", {"way": "table"}, "holder"),
    ],
)
def test_ways_and_holders_go_together(block: str, update: dict[str, Any], code: str) -> None:
    """Every way has its own holder and kind of face (D4)."""
    assert code in _codes(b.reslotted(b.layout(), block, **update))


def test_secured_lines_stand_only_in_cases() -> None:
    """A secured line on an open shelf is found (D4)."""
    scenario = b.relined(b.scenario(), "yarn", secured=True)
    assert _codes(b.layout(), scenario) == ["secured"]


def test_lines_stand_with_their_category() -> None:
    """A block holds one category only."""
    scenario = b.relined(b.scenario(), "umbrella", category="paper")
    assert _codes(b.layout(), scenario) == ["wrong-category"]


def test_a_category_that_is_not_in_the_range_is_found() -> None:
    """A block is for a category of the range."""
    codes = _codes(b.reblocked(b.layout(), "B4", category="toys"))
    assert codes == ["unknown-name", "wrong-category"]


def test_two_blocks_above_each_other_may_share_a_stretch() -> None:
    """Blocks are rectangles: one above the other is no overlap (D1)."""
    layout = b.layout()
    upper = layout.blocks[1].rows[1]
    low = layout.blocks[1].model_copy(update={"rows": layout.blocks[1].rows[:1]})
    high = layout.blocks[1].model_copy(update={"id": "B9", "rows": (upper,)})
    kept = [block for block in layout.blocks if block.id != "B2"]
    assert _codes(layout.model_copy(update={"blocks": (*kept, low, high)})) == []


def test_an_empty_facing_is_found() -> None:
    """A slot shows at least one facing."""
    broken = Slot.model_construct(
        line="card",
        facings=0,
        from_mm=500.0,
        to_mm=500.0,
        way="hook",
        holder="hook-6",
        brackets=0,
        units=0,
    )
    row = b.layout().blocks[0].rows[0]
    layout = b.rerowed(b.layout(), "B1", slots=(*row.slots, broken))
    assert "slot-width" in _codes(layout)
