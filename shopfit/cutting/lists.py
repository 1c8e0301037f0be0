"""Lists of pieces, cuts and offcuts, board by board."""

from __future__ import annotations

from collections.abc import Iterable

from shopfit.cutting.naming import freed, names_of, on_the_saw
from shopfit.model.cutting import CutBoard, OffcutRow, PartRow, SawRow


def part_rows(boards: Iterable[CutBoard]) -> tuple[PartRow, ...]:
    """List the pieces of boards, from the lower left of each."""
    return tuple(
        PartRow(
            board=board.number,
            piece=f"{board.number}.{number}",
            part=part.part,
            purpose=part.purpose,
            stock=board.stock,
            name=board.name,
            material=board.material,
            length_mm=part.length_mm,
            width_mm=None if board.width_mm is None else part.width_mm,
            x_mm=part.x_mm,
            y_mm=None if board.width_mm is None else part.y_mm,
            turned=part.turned,
        )
        for board in boards
        for number, part in enumerate(board.parts, start=1)
    )


def saw_rows(boards: Iterable[CutBoard]) -> tuple[SawRow, ...]:
    """List the cuts of boards in sawing order."""
    rows = []
    for board in boards:
        names = names_of(board)
        for cut in board.cuts:
            rows.append(
                SawRow(
                    board=board.number,
                    name=board.name,
                    cut=cut.number,
                    on=on_the_saw(cut, names),
                    saw=cut.saw,
                    set_mm=cut.set_mm,
                    frees=freed(cut, names, last=cut is board.cuts[-1]),
                )
            )
    return tuple(rows)


def offcut_rows(boards: Iterable[CutBoard]) -> tuple[OffcutRow, ...]:
    """List what is kept of boards."""
    return tuple(
        OffcutRow(
            board=board.number,
            name=board.name,
            material=board.material,
            length_mm=offcut.length_mm,
            width_mm=None if board.width_mm is None else offcut.width_mm,
        )
        for board in boards
        for offcut in board.offcuts
    )
