"""Where cut lists, the cutting of boards, drawings and files meet."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from shopfit.model.cutting import CutBoard, CutPlan, OffcutRow, PartRow, SawRow
from shopfit.model.making import Made
from shopfit.units import LengthStyle

if TYPE_CHECKING:
    from shopfit.drawing import PageName

# Written for some plans only, so that an older one may have left them.
_OWN = ("cutting*.svg", "cutting.pdf", "cut-list.csv", "saw-cuts.csv", "offcuts.csv")


def list_files(boards: Sequence[CutBoard], units: LengthStyle) -> dict[str, bytes]:
    """Make the lists of pieces, of cuts in sawing order and of offcuts; contents by file name.

    Parameters
    ----------
    boards
        With their pieces, cuts and offcuts.
    units
        How lengths are written.
    """
    from shopfit.cutting.lists import offcut_rows, part_rows, saw_rows
    from shopfit.files.cutlists import cut_csv

    texts = {
        "cut-list.csv": cut_csv(PartRow, part_rows(boards), units),
        "saw-cuts.csv": cut_csv(SawRow, saw_rows(boards), units),
        "offcuts.csv": cut_csv(OffcutRow, offcut_rows(boards), units),
    }
    return {name: text.encode("utf-8") for name, text in texts.items()}


def made_files(made: Made, units: LengthStyle, currency: str) -> dict[str, bytes]:
    """Make the list of parts of what is made, with cautions below; contents by file name."""
    from shopfit.files.cutlists import made_csv

    return {"made-parts.csv": made_csv(made, units, currency).encode("utf-8")}


def plan_files(
    plan: CutPlan,
    units: LengthStyle,
    title: str = "",
    date: str = "",
    page: PageName | None = None,
) -> dict[str, bytes]:
    """Make every file of a cutting plan: lists, drawings and the plan itself.

    Parameters
    ----------
    plan
        The plan.
    units
        How lengths are written.
    title, date
        For the title blocks.
    page
        The paper; Letter or A4 by the units if left out.
    """
    from shopfit.drawing import draw_cutting

    return {
        "cut-plan.json": (plan.model_dump_json(indent=2) + "\n").encode("utf-8"),
        **list_files(plan.boards, units),
        **draw_cutting(plan.boards, units, title, date, page),
    }


def write(files: dict[str, bytes], folder: Path | str) -> tuple[str, ...]:
    """Write files of a plan into a folder, all or none, and remove those of an older plan."""
    from shopfit.files.writing import write_all

    return write_all(files, folder, _OWN)
