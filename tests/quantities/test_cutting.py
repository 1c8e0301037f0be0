"""Runs are covered exactly, grooves keep their heights, and sheets are not wasted."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopfit.errors import InputFaults
from shopfit.model.layout import Claims, CutPiece, Layout, Run
from shopfit.model.scenario import Scenario
from shopfit.quantities.cutting import KERF_MM, cut_runs, tight_pieces
from shopfit.units import TOLERANCE_MM

IN = 25.4


def _run(tag: str, start: float, width: float, height: float) -> Run:
    return Run(
        id=tag,
        wall="north",
        from_mm=start,
        to_mm=start + width,
        bottom_mm=800.0,
        top_mm=800.0 + height,
        sheet="SLAT",
        first_groove_mm=838.1,
    )


def _layout(*runs: Run) -> Layout:
    return Layout(
        scenario="small", runs=runs, claims=Claims(facings=0, units=0, value=0.0, cost=0.0)
    )


def _disjoint(one: CutPiece, other: CutPiece) -> bool:
    return (
        one.sheet_number != other.sheet_number
        or one.sheet_x_mm + one.width_mm <= other.sheet_x_mm + TOLERANCE_MM
        or other.sheet_x_mm + other.width_mm <= one.sheet_x_mm + TOLERANCE_MM
        or one.sheet_z_mm + one.height_mm <= other.sheet_z_mm + TOLERANCE_MM
        or other.sheet_z_mm + other.height_mm <= one.sheet_z_mm + TOLERANCE_MM
    )


def test_seam_goes_to_a_stud_where_no_sheet_is_lost(scenario: Scenario, layout: Layout) -> None:
    """A lone run of 144 in is joined at the stud 64 in from the corner: 52 in and 92 in."""
    alone = layout.model_copy(update={"runs": layout.runs[:1], "blocks": ()})
    pieces = cut_runs(scenario, alone)
    assert [piece.x_mm for piece in pieces] == [0.0, pytest.approx(52 * IN)]
    assert [piece.width_mm for piece in pieces] == [
        pytest.approx(52 * IN),
        pytest.approx(92 * IN),
    ]
    assert {piece.sheet_number for piece in pieces} == {1, 2}


def test_a_saved_sheet_matters_more_than_a_stud(scenario: Scenario, layout: Layout) -> None:
    """144 in and 48 in at full height come from two sheets only as 48 + 96 and 48."""
    pieces = cut_runs(scenario, layout)
    widths = sorted(round(piece.width_mm / IN, 3) for piece in pieces)
    assert widths == [48, 48, 96]
    assert {piece.sheet_number for piece in pieces} == {1, 2}
    halves = [index for index, piece in enumerate(pieces) if piece.width_mm < 50 * IN]
    assert tight_pieces(pieces) == set(halves)


def test_fixture_edge_is_a_good_seam(scenario: Scenario, layout: Layout) -> None:
    """Without any stud in reach, the seam goes to an edge between two cabinets."""
    shop = scenario.shop.model_copy(
        update={"studs": scenario.shop.studs.model_copy(update={"spacing": 9000.0, "first": -1.0})}
    )
    no_studs = scenario.model_copy(update={"shop": shop})
    alone = layout.model_copy(update={"runs": layout.runs[:1], "blocks": ()})
    pieces = cut_runs(no_studs, alone)
    assert pieces[1].x_mm == pytest.approx(72 * IN)


@pytest.mark.parametrize(("width", "count"), [(95.9, 1), (96, 1), (96.1, 2), (192, 2), (192.1, 3)])
def test_piece_is_at_most_a_sheet(scenario: Scenario, width: float, count: int) -> None:
    """A run is cut once it is wider than a sheet, and never oftener than needed."""
    pieces = cut_runs(scenario, _layout(_run("R1", 0.0, width * IN, 600.0)))
    assert len(pieces) == count
    assert max(piece.width_mm for piece in pieces) <= 96 * IN + TOLERANCE_MM


def test_no_slivers(scenario: Scenario) -> None:
    """A run of 96.1 in is not cut into 96 in and a sliver: no piece is under 6 in."""
    pieces = cut_runs(scenario, _layout(_run("R1", 0.0, 96.1 * IN, 600.0)))
    assert min(piece.width_mm for piece in pieces) >= 6 * IN - TOLERANCE_MM


def test_saw_cut_is_kept_where_the_sheet_allows(scenario: Scenario) -> None:
    """Two pieces of 40 in lie a saw cut apart on one sheet; the second starts 3.2 mm on."""
    runs = (_run("R1", 0.0, 40 * IN, 600.0), _run("R2", 2000.0, 40 * IN, 600.0))
    first, second = cut_runs(scenario, _layout(*runs))
    assert first.sheet_number == second.sheet_number == 1
    assert second.sheet_x_mm == pytest.approx(40 * IN + KERF_MM)
    assert tight_pieces((first, second)) == set()


def test_stacked_pieces_keep_their_grooves(scenario: Scenario) -> None:
    """Two pieces of 90 × 20 in are stacked: 20 in and a cut need 7 pitches, so 21 in up."""
    runs = (_run("R1", 0.0, 90 * IN, 20 * IN), _run("R2", 2400.0, 90 * IN, 20 * IN))
    first, second = cut_runs(scenario, _layout(*runs))
    assert (first.sheet_z_mm, second.sheet_z_mm) == (0.0, pytest.approx(21 * IN))


def test_high_run_is_refused_in_the_users_units(scenario: Scenario) -> None:
    """A run higher than one course of its sheet is a fault, and both bad runs are told at once."""
    cut_runs(scenario, _layout(_run("R1", 0.0, 500.0, 48 * IN)))
    bad = _layout(_run("R1", 0.0, 500.0, 49 * IN), _run("R2", 600.0, 500.0, 50 * IN))
    with pytest.raises(InputFaults) as caught:
        cut_runs(scenario, bad)
    assert [fault.where for fault in caught.value.faults] == ["runs > R1", "runs > R2"]
    assert "4' 1\" high" in str(caught.value)


def test_unknown_sheet_is_named(scenario: Scenario) -> None:
    """A run of a sheet that the catalogue lacks is a fault that lists what there is."""
    run = _run("R1", 0.0, 500.0, 500.0).model_copy(update={"sheet": "NONE"})
    with pytest.raises(InputFaults, match="runs > R1 > sheet: given 'NONE'; allowed: SLAT"):
        cut_runs(scenario, _layout(run))


def test_sheets_are_numbered_through_all_kinds(scenario: Scenario) -> None:
    """Sheets of a second kind go on counting, so that a number names one sheet."""
    wide = scenario.catalogue.sheets[0].model_copy(update={"id": "WIDE"})
    catalogue = scenario.catalogue.model_copy(update={"sheets": (*scenario.catalogue.sheets, wide)})
    both = scenario.model_copy(update={"catalogue": catalogue})
    other = _run("R1", 0.0, 500.0, 500.0).model_copy(update={"sheet": "WIDE"})
    pieces = cut_runs(both, _layout(other, _run("R2", 600.0, 500.0, 500.0)))
    assert [(piece.run, piece.sheet_number) for piece in pieces] == [("R1", 2), ("R2", 1)]


_WIDTHS = st.integers(4, 1000).map(lambda quarter: quarter * IN / 4)
_HEIGHTS = st.integers(4, 192).map(lambda quarter: quarter * IN / 4)


@settings(max_examples=60, deadline=None)
@given(sizes=st.lists(st.tuples(_WIDTHS, _HEIGHTS), min_size=1, max_size=8))
def test_any_runs_are_covered_without_overlap(
    scenario_of_the_trade: Scenario, sizes: list[tuple[float, float]]
) -> None:
    """Pieces tile each run, keep the grooves, stay on their sheets, and beat no area bound."""
    runs = [_run(f"R{k}", 7.0 * k, width, height) for k, (width, height) in enumerate(sizes)]
    pieces = cut_runs(scenario_of_the_trade, _layout(*runs))
    for run in runs:
        mine = [piece for piece in pieces if piece.run == run.id]
        ends = [0.0]
        for piece in mine:
            assert piece.x_mm == pytest.approx(ends[-1], abs=1e-6)
            assert (piece.z_mm, piece.height_mm) == (0.0, run.top_mm - run.bottom_mm)
            ends.append(piece.x_mm + piece.width_mm)
        assert ends[-1] == pytest.approx(run.to_mm - run.from_mm, abs=1e-6)
    for index, piece in enumerate(pieces):
        assert piece.width_mm > 0
        assert 0 <= piece.sheet_x_mm <= 96 * IN - piece.width_mm + TOLERANCE_MM
        assert 0 <= piece.sheet_z_mm <= 48 * IN - piece.height_mm + TOLERANCE_MM
        pitches = piece.sheet_z_mm / (3 * IN)
        assert pitches == pytest.approx(round(pitches), abs=1e-5)
        assert all(_disjoint(piece, other) for other in pieces[:index])
    area = sum(width * height for width, height in sizes) / (96 * IN * 48 * IN)
    used = {piece.sheet_number for piece in pieces}
    assert area - 1e-9 <= len(used)
    assert used == set(range(1, len(used) + 1))
    assert pieces == cut_runs(scenario_of_the_trade, _layout(*runs))
