"""Screws by stud reckoned by hand, and what on walls is covered.

A screw at least every foot up a stud: common practice, no source.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfit.model.fixing import FixingRow
from shopfit.model.layout import Layout
from shopfit.model.ownvalues import OwnValue, OwnValues
from shopfit.model.scenario import Scenario
from shopfit.quantities.fixings import clashes, fixings
from tests.checks import build as b

IN = 25.4


def _run(width: float, left: float = 0.0, height: float = 48 * IN) -> Layout:
    run = (
        b.layout()
        .runs[1]
        .model_copy(
            update={
                "from_mm": left,
                "to_mm": left + width,
                "top_mm": 304.8 + height,
            }
        )
    )
    return Layout(scenario="x", claims=b.layout().claims, runs=(run,))


def _rows(width: float, left: float = 0.0, height: float = 48 * IN) -> tuple[FixingRow, ...]:
    return fixings(b.scenario(), _run(width, left, height))


def test_a_sheet_four_feet_wide_meets_four_studs_at_sixteen_inches() -> None:
    """Studs at 0, 16, 32 and 48 in; from 1 to 47 in up are 46 in: 5 screws, 11 1/2 in apart."""
    rows = _rows(48 * IN)
    assert [row.at_mm for row in rows] == pytest.approx([0.0, 16 * IN, 32 * IN, 48 * IN])
    assert {row.kind for row in rows} == {"screw"}
    assert {row.count for row in rows} == {5}
    assert rows[0].spacing_mm == pytest.approx(11.5 * IN)
    assert (rows[0].bottom_mm, rows[0].top_mm) == pytest.approx((304.8 + IN, 304.8 + 47 * IN))


@pytest.mark.parametrize(("spacing", "count"), [(12 * IN, 5), (11.5 * IN, 5), (8 * IN, 7)])
def test_own_spacing_of_screws_is_kept(spacing: float, count: int) -> None:
    """46 in between the first and the last screw, by the value that the owner set."""
    value = OwnValue(key="screw-spacing", value=spacing, written="own", why="the maker says so")
    given_ = b.scenario().model_copy(update={"own": OwnValues(values=(value,))})
    assert {row.count for row in fixings(given_, _run(48 * IN))} == {count}


def test_a_seam_on_a_stud_takes_screws_for_both_pieces() -> None:
    """Ten feet are 96 and 24 in: the stud at 96 in holds the edges of both."""
    rows = _rows(120 * IN)
    at_seam = [row for row in rows if row.at_mm == pytest.approx(96 * IN)]
    assert sorted(row.piece for row in at_seam) in ([1, 2], [1, 1, 2, 2])


@pytest.mark.parametrize(
    ("left", "width", "kinds"),
    [
        # Just under: studs at 16 in only; one anchor more.
        (1 * IN, 15 * IN, ["anchor", "screw"]),
        # At: both edges on studs.
        (0.0, 16 * IN, ["screw", "screw"]),
        # No stud at all.
        (2 * IN, 12 * IN, ["anchor", "anchor"]),
    ],
)
def test_pieces_with_too_few_studs_get_anchors(left: float, width: float, kinds: list[str]) -> None:
    """Two lines of fixings hold every piece."""
    assert sorted(row.kind for row in _rows(width, left)) == kinds


@given(st.floats(60.0, 4000.0), st.floats(0.0, 1500.0), st.floats(60.0, 48 * IN))
def test_every_piece_has_two_lines_inside_it_and_no_gap_over_a_foot(
    width: float, left: float, height: float
) -> None:
    """Fixings lie on their piece and are no farther apart than the rule says."""
    rows = fixings(b.scenario(), _run(width, left, height))
    for piece in {row.piece for row in rows}:
        lines = [row for row in rows if row.piece == piece]
        assert len(lines) >= 2
        for row in lines:
            assert left - 0.02 <= row.at_mm <= left + width + 0.02
            assert row.spacing_mm is None or row.spacing_mm <= 12 * IN + 1e-6
            assert 304.8 <= row.bottom_mm <= row.top_mm <= 304.8 + height


def _outlet(**where: float) -> Scenario:
    thing: dict[str, Any] = {"id": "outlet", "kind": "outlet", "wall": "N"}
    thing |= {name: b.mm(size) for name, size in where.items()}
    return b.scenario(obstructions=[thing])


@pytest.mark.parametrize(
    ("offset", "bottom", "found"),
    [
        # F1 stands from 1000 to 2219.2 mm, 762 mm high; R1 hangs from 812.8 mm up over it.
        (1500.0, 300.0, [("F1", "behind")]),
        (1500.0, 900.0, [("R1", "under")]),
        # Touching and just under two inches beside are close; two inches are not.
        (920.0, 300.0, [("F1", "beside")]),
        (869.3, 300.0, [("F1", "beside")]),
        (869.2, 300.0, []),
        # Over the cabinet and under the run, close to both.
        (1500.0, 765.0, [("F1", "beside"), ("R1", "under")]),
        (5000.0, 300.0, []),
    ],
)
def test_what_is_covered_is_listed(
    offset: float, bottom: float, found: list[tuple[str, str]]
) -> None:
    """Behind a fixture, under slat-wall, or beside either by less than two inches."""
    scenario = _outlet(offset=offset, width=80.0, bottom=bottom, top=bottom + 100.0)
    rows = clashes(scenario, b.layout())
    assert [(row.covered_by, row.how) for row in rows] == found


def test_clashes_are_measured_from_a_named_corner() -> None:
    """The row says where to find the thing."""
    scenario = _outlet(offset=1500.0, width=80.0, bottom=300.0, top=400.0)
    (row,) = clashes(scenario, b.layout())
    assert row.datum == "left end of N, at W"
    assert (row.thing, row.from_mm, row.to_mm, row.gap_mm) == ("outlet", 1500.0, 1580.0, 0.0)
