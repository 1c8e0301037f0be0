"""Prints the set-out: where every bracket, shelf and screw goes, wall by wall."""

from __future__ import annotations

from itertools import groupby

from shopfit.drawing.pdf import pdf
from shopfit.drawing.scene import Table
from shopfit.drawing.sheet import PAGES, default_page, table_sheets
from shopfit.drawing.titleblock import TitleBlock, finish
from shopfit.model.fixing import ClashRow, FixingRow
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario
from shopfit.model.schedule import SetOutRow, TakeOff
from shopfit.units import LengthStyle, format_length, format_mass

_HUNG = ("Groove", "Height", "First", "Apart", "No.", "Holder", "Line ×facings", "Load")
_STOOD = ("Row", "Height", "From", "To", "Line ×facings", "Units", "Load")


def set_out_sheets(
    scenario: Scenario, layout: Layout, take_off: TakeOff, paper: str = "", date: str = ""
) -> bytes:
    """Print the set-out as a PDF document.

    Parameters
    ----------
    scenario, layout, take_off
        Which, and its lists.
    paper
        ``letter``, ``tabloid``, ``a4`` or ``a3``; Letter or A4 by the shop's units if left out.
    date
        For the title blocks.

    Returns
    -------
    The document: a table for every run and fixture side in the order of hanging, then fixings and
    what on the walls is covered. Every distance is from the named corner of its wall.
    """
    shop = scenario.shop
    page = PAGES[paper or default_page(shop.units)]
    tables = [
        *_hanging(take_off.set_out, shop.units),
        *_fixings(take_off.fixings, shop.units),
        *_covered(take_off.covered, shop.units),
    ]
    sheets = table_sheets(tables, page, "Set-out", "set-out")
    block = TitleBlock(shop.name, layout.scenario, layout.fingerprint, date, shop.units)
    return pdf(finish(sheets, block))


def _hanging(rows: tuple[SetOutRow, ...], style: LengthStyle) -> list[Table]:
    tables = []
    for (where, run, side, datum), group in groupby(
        rows, key=lambda row: (row.where, row.run, row.side, row.datum)
    ):
        if run is None:
            title = f"{where}, {side}, from the {datum}"
            tables.append(Table(title, _STOOD, tuple(_stood(row, style) for row in group)))
        else:
            title = f"{run}, from the {datum}"
            tables.append(Table(title, _HUNG, tuple(_hung(row, style) for row in group)))
    return tables


def _hung(row: SetOutRow, style: LengthStyle) -> tuple[str, ...]:
    first = row.first_mm if row.first_mm is not None else row.shelf_from_mm
    return (
        "" if row.groove is None else str(row.groove),
        format_length(row.height_mm, style),
        format_length(row.from_mm if first is None else first, style),
        "" if row.spacing_mm is None else format_length(row.spacing_mm, style),
        str(row.brackets or row.boards or ""),
        row.holder or "",
        f"{row.line} ×{row.facings}",
        format_mass(row.load_kg, style),
    )


def _stood(row: SetOutRow, style: LengthStyle) -> tuple[str, ...]:
    lengths = (row.height_mm, row.from_mm, row.to_mm)
    return (
        str(row.row),
        *(format_length(length, style) for length in lengths),
        f"{row.line} ×{row.facings}",
        str(row.units),
        format_mass(row.load_kg, style),
    )


def _fixings(rows: tuple[FixingRow, ...], style: LengthStyle) -> list[Table]:
    tables = []
    for datum, group in groupby(rows, key=lambda row: row.datum):
        cells = tuple(
            (
                f"{row.run}.{row.piece}",
                row.kind,
                format_length(row.at_mm, style),
                format_length(row.bottom_mm, style),
                format_length(row.top_mm, style),
                str(row.count),
            )
            for row in group
        )
        head = ("Piece", "Fixing", "At", "Lowest", "Highest", "No.")
        tables.append(Table(f"Fixings, from the {datum}", head, cells))
    return tables


def _covered(rows: tuple[ClashRow, ...], style: LengthStyle) -> list[Table]:
    if not rows:
        return []
    cells = tuple(
        (
            row.thing,
            row.wall,
            format_length(row.from_mm, style),
            format_length(row.bottom_mm, style),
            f"{row.how} {row.covered_by}",
        )
        for row in rows
    )
    head = ("Thing", "Wall", "From its left end", "Height", "Is")
    return [Table("Covered or close on the walls", head, cells)]
