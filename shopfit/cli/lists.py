"""Lists of quantities, and two layouts side by side, as tables for the terminal."""

from __future__ import annotations

from itertools import groupby

from rich.table import Table

from shopfit import wording
from shopfit.cli.cuttables import made_and_saw_tables
from shopfit.cli.tables import plain_table
from shopfit.model.fixing import ClashRow, FixingRow
from shopfit.model.scenario import Shop
from shopfit.model.schedule import (
    Comparison,
    CutRow,
    FixtureRow,
    SetOutRow,
    ShoppingRow,
    TakeOff,
)
from shopfit.units import LengthStyle, format_length


def quantity_tables(shop: Shop, take_off: TakeOff, wanted: tuple[str, ...]) -> list[Table]:
    """Give the wanted lists as tables: fixtures, shopping, set-out, cuts and so on."""
    tables: list[Table] = []
    if "fixtures" in wanted:
        tables.append(_fixtures(shop, take_off.fixtures))
    if "shopping" in wanted:
        tables.append(_shopping(shop, take_off))
    if "set-out" in wanted:
        tables += _set_out(shop, take_off.set_out)
    if "cuts" in wanted:
        tables.append(_cuts(shop, take_off.cuts))
        if take_off.boards:
            tables += made_and_saw_tables(take_off, shop)
    if "fixings" in wanted:
        tables.append(_fixings(shop, take_off.fixings))
    if "covered" in wanted:
        tables.append(_covered(shop, take_off.covered))
    return tables


def comparison_tables(shop: Shop, comparison: Comparison) -> list[Table]:
    """Give two layouts side by side: numbers, categories, fixtures, shopping."""
    return [
        _numbers(shop.currency, comparison),
        _categories(comparison),
        *([_changed_fixtures(shop.units, comparison)] if comparison.fixtures else []),
        *([_changed_shopping(shop.currency, comparison)] if comparison.shopping else []),
    ]


def _fixtures(shop: Shop, rows: tuple[FixtureRow, ...]) -> Table:
    table = plain_table(
        "Fixtures",
        [("tag", False), ("fixture", False), ("w × d × h", False), ("stands", False)],
    )
    for row in rows:
        sizes = (row.width_mm, row.depth_mm, row.height_mm)
        size = " × ".join(format_length(length, shop.units) for length in sizes)
        corner = (row.x_mm, row.y_mm)
        stands = wording.place(row.wall, row.offset_mm, corner, row.angle_deg, shop.units)
        table.add_row(row.tag, row.name or row.fixture, size, stands)
    return table


def _shopping(shop: Shop, take_off: TakeOff) -> Table:
    table = plain_table(
        f"Shopping list, {shop.currency}",
        [
            ("item", False),
            ("name", False),
            ("needed", True),
            ("owned", True),
            ("packs", True),
            ("of", True),
            ("spare", True),
            ("a pack", True),
            ("total", True),
        ],
    )
    for row in take_off.shopping:
        table.add_row(row.item, row.name, *_shopping_numbers(row))
    table.add_section()
    table.add_row("", "total", "", "", "", "", "", "", f"{take_off.total:,.2f}")
    if take_off.budget is not None:
        table.add_row("", "budget", "", "", "", "", "", "", f"{take_off.budget:,.2f}")
    return table


def _shopping_numbers(row: ShoppingRow) -> list[str]:
    counts = (row.needed, row.owned, row.packs, row.pack, row.spare)
    return [*(f"{count:,}" for count in counts), f"{row.price:,.2f}", f"{row.total:,.2f}"]


def _set_out(shop: Shop, rows: tuple[SetOutRow, ...]) -> list[Table]:
    """Give one table a run or fixture side, for each has one datum."""
    tables = []
    for (where, part, datum), group in groupby(
        rows, key=lambda row: (row.where, row.run or row.side, row.datum)
    ):
        table = plain_table(
            f"Set-out of {where} {part}, distances from the {datum}",
            [
                ("groove", True),
                ("height", True),
                ("first at", True),
                ("apart", True),
                ("pieces", True),
                ("holder", False),
                ("line", False),
                ("facings", True),
            ],
        )
        for row in group:
            table.add_row(*_set_out_cells(row, shop.units))
        tables.append(table)
    return tables


def _set_out_cells(row: SetOutRow, style: LengthStyle) -> list[str]:
    first = row.first_mm if row.first_mm is not None else row.shelf_from_mm
    return [
        "" if row.groove is None else str(row.groove),
        format_length(row.height_mm, style),
        _length(first if first is not None else row.from_mm, style),
        _length(row.spacing_mm, style),
        str(row.brackets or row.boards or ""),
        row.holder_name or row.holder or "own shelf",
        row.line,
        str(row.facings),
    ]


def _cuts(shop: Shop, rows: tuple[CutRow, ...]) -> Table:
    table = plain_table(
        "Slat-wall pieces",
        [
            ("sheet", True),
            ("piece", True),
            ("of", False),
            ("width", True),
            ("height", True),
            ("run", False),
            ("hangs", False),
        ],
    )
    for row in rows:
        left = format_length(row.from_mm, shop.units)
        bottom = format_length(row.bottom_mm, shop.units)
        table.add_row(
            str(row.sheet_number),
            str(row.number),
            row.sheet,
            format_length(row.width_mm, shop.units),
            format_length(row.height_mm, shop.units),
            row.run,
            f"{wording.the_wall(row.wall)}, {left} from {row.datum}, lower edge at {bottom}",
        )
    return table


def _fixings(shop: Shop, rows: tuple[FixingRow, ...]) -> Table:
    table = plain_table(
        "Fixings of slat-wall; the sheet's maker may want more, and a licensed person judges walls",
        [
            ("run", False),
            ("piece", True),
            ("fixing", False),
            ("each line", True),
            ("heights", False),
            ("lines at", False),
        ],
    )
    for datum, on_wall in groupby(rows, key=lambda row: row.datum):
        table.add_row("", "", "", "", "", f"from the {datum}", style="dim")
        for key, lines in groupby(on_wall, key=lambda row: (row.run, row.piece, row.kind)):
            same = list(lines)
            low, high = (format_length(h, shop.units) for h in (same[0].bottom_mm, same[0].top_mm))
            places = ", ".join(format_length(row.at_mm, shop.units) for row in same)
            each = f"{same[0].count:,}"
            table.add_row(key[0], str(key[1]), key[2], each, f"{low} to {high}", places)
    return table


def _covered(shop: Shop, rows: tuple[ClashRow, ...]) -> Table:
    table = plain_table(
        "On the walls, covered or close",
        [
            ("thing", False),
            ("kind", False),
            ("from", True),
            ("of", False),
            ("height", True),
            ("is", False),
        ],
    )
    for row in rows:
        gap = f", {format_length(row.gap_mm, shop.units)} off" if row.how == "beside" else ""
        table.add_row(
            row.thing,
            row.kind,
            format_length(row.from_mm, shop.units),
            row.datum,
            format_length(row.bottom_mm, shop.units),
            f"{row.how} {row.covered_by}{gap}",
        )
    return table


def _length(length_mm: float | None, style: LengthStyle) -> str:
    return "" if length_mm is None else format_length(length_mm, style)


def _numbers(currency: str, comparison: Comparison) -> Table:
    table = plain_table(
        "The two layouts", [("", False), ("first", True), ("second", True), ("change", True)]
    )
    pairs: list[tuple[str, tuple[float, float], str]] = [
        ("facings", comparison.facings, ",.0f"),
        ("units held", comparison.units, ",.0f"),
        ("value", comparison.value, ",.6g"),
        (f"cost, {currency}", comparison.cost, ",.2f"),
    ]
    for name, (before, after), form in pairs:
        change = format(after - before, "+" + form) if after != before else ""
        table.add_row(name, format(before, form), format(after, form), change)
    return table


def _categories(comparison: Comparison) -> Table:
    table = plain_table(
        "Facings by category",
        [("category", False), ("first", True), ("second", True), ("change", True)],
    )
    for row in comparison.categories:
        change = row.after - row.before
        table.add_row(
            row.category, str(row.before), str(row.after), f"{change:+d}" if change else ""
        )
    return table


def _changed_fixtures(style: LengthStyle, comparison: Comparison) -> Table:
    table = plain_table(
        "Fixtures that differ",
        [("change", False), ("fixture", False), ("first", False), ("second", False), ("", False)],
    )
    for row in comparison.fixtures:
        moved = f"by {format_length(row.moved_mm, style)}" if row.moved_mm else ""
        turned = f"turned {row.turned_deg:.6g}°" if row.turned_deg else ""
        table.add_row(
            row.change,
            row.name or row.fixture,
            row.tag_before or "",
            row.tag_after or "",
            ", ".join(part for part in (moved, turned) if part),
        )
    return table


def _changed_shopping(currency: str, comparison: Comparison) -> Table:
    table = plain_table(
        f"Purchases that differ, packs and {currency}",
        [
            ("item", False),
            ("name", False),
            ("first", True),
            ("second", True),
            ("first cost", True),
            ("second cost", True),
        ],
    )
    for row in comparison.shopping:
        table.add_row(
            row.item,
            row.name,
            str(row.packs_before),
            str(row.packs_after),
            f"{row.total_before:,.2f}",
            f"{row.total_after:,.2f}",
        )
    return table
