"""What aisles need across a room, at and around the numbers that bind."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopfit.access.aisles import aisles
from shopfit.model.aisles import AisleRow, AisleTask
from shopfit.standards import load
from shopfit.units import INCH_MM

IN = INCH_MM


def _ask(**typed: Any) -> Any:
    task = AisleTask.model_validate(typed)
    return aisles(task, load(task.rulebook))


def _row(rows: int, **typed: Any) -> AisleRow:
    (row,) = _ask(rows=rows, **typed).rows
    return row


@pytest.mark.parametrize(
    ("room", "fits", "spare"),
    [("95.9 in", False, -0.1), ("96 in", True, 0.0), ("96.1 in", True, 0.1)],
)
def test_two_walls_and_the_aisle_of_the_brief(room: str, fits: bool, spare: float) -> None:
    """24 in on both sides and 48 in between need 96 in; touching is fitting."""
    row = _row(0, room=room, left="24 in", right="24 in", aisle="48 in")
    assert (row.fits, row.binds, row.aisles) == (fits, "brief", 1)
    assert row.needed_mm == pytest.approx(96 * IN)
    assert row.spare_mm == pytest.approx(spare * IN)


@pytest.mark.parametrize(
    ("aisle", "binds"), [("35 in", "route"), ("36 in", "route"), ("37 in", "brief")]
)
def test_a_route_counts_where_the_brief_asks_for_less(aisle: str, binds: str) -> None:
    """2010 ADA Standards, 403.5.1: 36 in."""
    row = _row(0, room="10 ft", left="18 in", aisle=aisle)
    assert row.binds == binds
    assert row.aisle_mm == pytest.approx(max(36.0, float(aisle.split()[0])) * IN)


@pytest.mark.parametrize(
    ("island", "end", "aisle", "wanted_end"),
    [
        # 2010 ADA Standards, 403.5.2: an element under 48 in wide; 48 in at its end beside aisles
        # of 42 in, 60 in beside narrower ones.
        ("47.9 in", "59.9 in", 42, 48),
        ("47.9 in", "60 in", 36, 60),
        ("47.9 in", "48 in", 42, 48),
        ("48 in", "48 in", 36, 36),
    ],
)
def test_turns_round_the_ends_of_islands(
    island: str, end: str, aisle: float, wanted_end: float
) -> None:
    """The way round the ends decides how wide the aisles have to be."""
    row = _row(1, room="40 ft", island=island, end=end, aisle="36 in")
    assert row.aisle_mm == pytest.approx(aisle * IN)
    assert row.end_mm == pytest.approx(wanted_end * IN)
    assert row.fits


@pytest.mark.parametrize(("end", "fits"), [("47.9 in", False), ("48 in", True)])
def test_ends_too_tight_to_turn_back_do_not_fit(end: str, fits: bool) -> None:
    """403.5.2: under 48 in nobody turns back round a 36 in island, however wide the aisles are."""
    row = _row(1, room="40 ft", island="36 in", end=end, aisle="44 in")
    assert row.fits is fits


def test_england_has_no_turns_and_says_so() -> None:
    """No rule was read, so none is made up; the note tells that it is not checked."""
    found = _ask(room="10 m", island="900 mm", end="800 mm", rulebook="england", rows=1)
    assert found.rows[0].end_mm is None
    assert any("not checked" in note for note in found.notes)


@pytest.mark.parametrize(
    ("room", "most"),
    [
        # 18 + 24 in at the walls; n islands of 36 in and n + 1 aisles of 44 in.
        ("85.9 in", None),
        ("86 in", 0),
        ("165.9 in", 0),
        ("166 in", 1),
        ("326 in", 3),
    ],
)
def test_the_most_rows_that_fit(room: str, most: int | None) -> None:
    """Counted up until one does not fit, which is listed too."""
    found = _ask(room=room, left="18 in", right="24 in", island="36 in", aisle="44 in")
    assert found.most == most
    assert not found.rows[-1].fits
    assert all(row.fits for row in found.rows[:-1])


@settings(max_examples=150, deadline=None, derandomize=True)
@given(
    room=st.integers(20, 900),
    left=st.integers(0, 40),
    right=st.integers(0, 40),
    island=st.integers(10, 80),
    aisle=st.integers(0, 80),
)
def test_rows_agree_with_walking_across_the_room(
    room: int, left: int, right: int, island: int, aisle: int
) -> None:
    """Set depths and aisles down one after the other; what is left is what is told."""
    found = _ask(
        room=f"{room} in",
        left=f"{left} in",
        right=f"{right} in",
        island=f"{island} in",
        aisle=f"{aisle} in",
    )
    for row in found.rows:
        at = float(left)
        for number in range(row.aisles):
            at += max(aisle, 36)
            at += island if number < row.rows else right
        assert row.spare_mm == pytest.approx((room - at) * IN, abs=1e-6)
        assert row.fits is (at <= room)


@pytest.mark.parametrize(
    ("aisle", "length", "spaces"),
    [("44 in", "200 ft", 0), ("44 in", "201 ft", 1), ("60 in", "999 ft", 0)],
)
def test_passing_spaces_of_long_aisles(aisle: str, length: str, spaces: int) -> None:
    """403.5.3: every 200 ft where an aisle is under 60 in."""
    assert _row(0, room="20 ft", aisle=aisle, length=length).passing == spaces
