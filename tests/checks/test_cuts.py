"""Runs cut from sheets."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.checks import check
from shopfit.model.layout import CutPiece

from . import build as b


@pytest.mark.parametrize(
    ("index", "change", "found"),
    [
        (1, {}, []),
        (1, {"width_mm": 599.0}, ["cut-tiling"]),
        (1, {"width_mm": 601.0}, ["cut-tiling"]),
        (1, {"x_mm": -1.0}, ["cut-tiling"]),
        (2, {"height_mm": 1218.0}, ["cut-tiling"]),
        (2, {"sheet_x_mm": 599.0}, ["cut-twice"]),
        (2, {"sheet_x_mm": 600.0}, []),
        (2, {"sheet_x_mm": 1819.2}, []),
        (2, {"sheet_x_mm": 1819.3}, ["cut-beyond-sheet"]),
        (2, {"sheet_x_mm": -0.1, "sheet_number": 3}, ["cut-beyond-sheet"]),
    ],
)
def test_pieces_fill_the_run_and_fit_the_sheet(
    index: int, change: dict[str, Any], found: list[str]
) -> None:
    """Each piece of run R2 moved or resized a little."""
    codes = b.codes(check(b.scenario(), b.recut(b.layout(), index, **change)))
    assert [code for code in codes if code.startswith("cut")] == found


def test_a_run_without_pieces_is_found() -> None:
    """Every run comes from a sheet."""
    layout = b.layout().model_copy(update={"cuts": b.layout().cuts[:1]})
    assert "cut-missing" in b.codes(check(b.scenario(), layout))


@pytest.mark.parametrize(("up", "found"), [(76.2 * 8, False), (76.2 * 8 + 1, True)])
def test_grooves_of_a_piece_meet_those_of_its_run(up: float, found: bool) -> None:
    """A piece cut from the upper part of a sheet starts a whole number of grooves up."""
    layout = b.rehung(b.layout(), "R2", top_mm=304.8 + 609.6)
    cuts = (
        layout.cuts[0],
        CutPiece(
            run="R2",
            x_mm=0,
            z_mm=0,
            width_mm=1219.2,
            height_mm=609.6 - 1,
            sheet_number=2,
            sheet_x_mm=0,
            sheet_z_mm=up,
        ),
    )
    codes = b.codes(check(b.scenario(), layout.model_copy(update={"cuts": cuts})))
    assert ("cut-grooves" in codes) is found
