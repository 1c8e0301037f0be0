"""Where blocks stand when some of them change: those that do not change keep their place."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfit.solver.keeping import _laid, _Piece, _shifted
from tests.solver.test_resume import shelf


def piece(number: int, width: float, left: float | None, same: bool, least: float = 0.0) -> _Piece:
    return _Piece(number, None, width, least or width, left, same)


def lefts(pieces: list[_Piece], width: float = 100.0) -> dict[int, float]:
    return {p.number: left for p, left in _laid(pieces, width)}


def test_all_stay_where_they_stand() -> None:
    """Gaps between blocks are left as they are."""
    assert lefts([piece(0, 20, 10, True), piece(1, 30, 60, True)]) == {0: 10, 1: 60}


def test_a_block_grows_into_the_gap_beside_it() -> None:
    """It keeps its left end while there is room to the right, and moves left when there is none."""
    other = piece(1, 30, 60, True)
    assert lefts([piece(0, 50, 10, False), other]) == {0: 10, 1: 60}
    assert lefts([piece(0, 55, 10, False), other]) == {0: 5, 1: 60}


def test_a_new_block_takes_the_first_gap() -> None:
    """Set up where nothing stands, it moves nobody."""
    stands = [piece(0, 20, 10, True), piece(1, 30, 40, True)]
    assert lefts([*stands, piece(2, 30, None, False)]) == {0: 10, 1: 40, 2: 70}


def test_blocks_are_made_narrow_before_they_are_pushed() -> None:
    """Width that a block does not need for its goods is given up first."""
    stands = [piece(0, 50, 0, True, least=30), piece(1, 30, 70, True)]
    found = _laid([*stands, piece(2, 40, None, False)], 100.0)
    assert {p.number: (left, p.width) for p, left in found} == {
        0: (0, 30),
        2: (30, 40),
        1: (70, 30),
    }


def test_blocks_are_pushed_no_farther_than_they_must() -> None:
    """Where nothing else helps, the order stays and only who is in the way gives way."""
    stands = [piece(0, 30, 0, True), piece(1, 30, 35, True), piece(2, 20, 65, True)]
    assert lefts([*stands, piece(3, 15, None, False)]) == {0: 0, 1: 35, 2: 65, 3: 85}
    assert lefts([*stands, piece(3, 18, None, False)]) == {0: 0, 1: 32, 2: 62, 3: 82}


@given(
    st.lists(
        st.tuples(st.integers(1, 30), st.one_of(st.none(), st.integers(0, 100)), st.booleans()),
        max_size=6,
    )
)
def test_no_two_blocks_ever_meet(drawn: list[tuple[int, int | None, bool]]) -> None:
    """Whatever stood where, blocks that fit on a face stand on it side by side."""
    pieces = [
        piece(n, float(width), None if left is None else float(left), same and left is not None)
        for n, (width, left, same) in enumerate(drawn)
    ]
    if sum(p.width for p in pieces) > 100.0:
        return
    found = sorted(_laid(pieces, 100.0), key=lambda entry: entry[1])
    assert len(found) == len(pieces)
    end = 0.0
    for each, left in found:
        assert left >= end - 0.01
        end = left + each.width
    assert end <= 100.01


@pytest.mark.parametrize("by", [0.0, 12.5, -3.0])
def test_a_block_carried_along_takes_its_goods(by: float) -> None:
    """Slots move with their block; one that does not move is the very same."""
    block = shelf(3).blocks[0]
    moved = _shifted(block, by)
    assert moved.from_mm == block.from_mm + by
    assert moved.rows[0].slots[0].to_mm == block.rows[0].slots[0].to_mm + by
    assert (moved is block) is (by == 0.0)
