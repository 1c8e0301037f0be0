"""Binds sheets to a set: title blocks in order, a picture of each, and all as one document."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shopfit.drawing.desk import Desk
from shopfit.drawing.pdf import pdf
from shopfit.drawing.sheet import Sheet
from shopfit.drawing.svg import svg
from shopfit.drawing.titleblock import TitleBlock, finish


@dataclass(frozen=True)
class Drawings:
    """A set of drawings.

    Parameters
    ----------
    files
        Contents by file name: one SVG a sheet, and one PDF with all sheets.
    sheets
        The sheets in order; ``sheet.file`` with ``.svg`` is a sheet's file name.
    """

    files: dict[str, bytes]
    sheets: tuple[Sheet, ...]


def bound(sheets: Sequence[Sheet], desk: Desk, date: str, document: str) -> Drawings:
    """Give sheets their title blocks, numbered in order, and write them.

    Parameters
    ----------
    sheets
        Without title blocks.
    desk
        What they show.
    date
        As it is to be printed.
    document
        Name of the PDF file with all of them.
    """
    shop, layout = desk.shop, desk.layout
    block = TitleBlock(shop.name, layout.scenario, layout.fingerprint, date, shop.units)
    return finished_set(sheets, block, document)


def finished_set(sheets: Sequence[Sheet], block: TitleBlock, document: str) -> Drawings:
    """Do the same with a title block of one's own."""
    finished = finish(sheets, block)
    files = {f"{s.file}.svg": svg(s.scene, s.page).encode("utf-8") for s in finished}
    files[document] = pdf(finished)
    return Drawings(files, tuple(finished))
