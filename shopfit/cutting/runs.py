"""The sheets of slat-wall that a layout is cut from, with the order of their cuts."""

from __future__ import annotations

from contextlib import suppress

from shopfit.cutting.plan import sawn
from shopfit.cutting.sawing import NotGuillotine
from shopfit.model.cutting import CutBoard, PlacedPart
from shopfit.model.layout import CutPiece, Layout
from shopfit.model.scenario import Scenario

# What a circular saw takes from slat-wall; common practice, no source.
KERF_MM = 3.2
# Offcuts of slat-wall worth keeping: a hand's width of two grooves; common practice, no source.
KEEP_LENGTH_MM, KEEP_WIDTH_MM = 304.8, 152.4


def run_boards(scenario: Scenario, layout: Layout) -> tuple[CutBoard, ...]:
    """Give the sheets of slat-wall by number, their pieces from the lower left.

    Pieces that no straight cuts free, as in a layout made by hand, leave a sheet without cuts.

    Parameters
    ----------
    scenario, layout
        Which; the layout holds its cuts.
    """
    pieces: dict[int, list[CutPiece]] = {}
    for piece in layout.cuts:
        pieces.setdefault(piece.sheet_number, []).append(piece)
    boards = []
    for number, cut in sorted(pieces.items()):
        sheet = scenario.catalogue.sheet(layout.run(cut[0].run).sheet)
        ordered = sorted(cut, key=lambda piece: (piece.sheet_z_mm, piece.sheet_x_mm))
        board = CutBoard(
            number=number,
            stock=sheet.id,
            name=sheet.name or sheet.id,
            material=sheet.id,
            length_mm=sheet.width,
            width_mm=sheet.height,
            price=sheet.price / sheet.pack,
            parts=tuple(
                PlacedPart(
                    part=piece.run,
                    purpose=f"run {piece.run}, wall {layout.run(piece.run).wall}",
                    x_mm=piece.sheet_x_mm,
                    y_mm=piece.sheet_z_mm,
                    length_mm=piece.width_mm,
                    width_mm=piece.height_mm,
                )
                for piece in ordered
            ),
            groove_pitch_mm=sheet.groove_pitch,
            first_groove_mm=sheet.first_groove,
        )
        with suppress(NotGuillotine):
            board = sawn(board, KERF_MM, KEEP_LENGTH_MM, KEEP_WIDTH_MM)
        boards.append(board)
    return tuple(boards)
