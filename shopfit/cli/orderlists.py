"""Orders and finishes as tables for the terminal."""

from __future__ import annotations

from rich.table import Table

from shopfit import wording
from shopfit.cli.tables import plain_table
from shopfit.files.finishlists import in_units
from shopfit.model.finishes import FinishPart, FinishRow, FinishTakeOff
from shopfit.model.ordering import Order
from shopfit.model.scenario import Shop
from shopfit.units import format_mass


def order_tables(shop: Shop, order: Order) -> list[Table]:
    """Give what to order, and what each supplier is sent, as tables."""
    table = plain_table(
        f"To order, {shop.currency}",
        [
            ("item", False),
            ("counted as", False),
            ("needed", True),
            ("spares", True),
            ("owned", True),
            ("packs", True),
            ("of", True),
            ("from", False),
            ("a pack", True),
            ("total", True),
        ],
    )
    for row in order.rows:
        numbers = (str(row.owned), f"{row.packs:,}", f"{row.pack:,}")
        spare = wording.percent(row.spare) if row.spare else ""
        money = (f"{row.price:,.2f}", f"{row.total:,.2f}")
        table.add_row(
            row.item, row.counted, f"{row.needed:,}", spare, *numbers, row.supplier, *money
        )
    sent = plain_table(
        "From whom",
        [
            ("supplier", False),
            ("weight", True),
            ("goods", True),
            ("carriage", True),
            ("tax", True),
            ("total", True),
        ],
    )
    for each in order.consignments:
        weight = format_mass(each.weight_kg, shop.units)
        sums = (each.goods, each.freight, each.tax, each.total)
        sent.add_row(each.supplier, weight, *(f"{money:,.2f}" for money in sums))
    sent.add_section()
    sent.add_row("in all", "", "", "", "", f"{order.total:,.2f}")
    if order.budget is not None:
        sent.add_row("budget", "", "", "", "", f"{order.budget:,.2f}")
    if order.saved > 0:
        sent.add_row("less than from the list alone", "", "", "", "", f"{order.saved:,.2f}")
    if order.notes:
        table.caption, table.caption_justify = "\n".join(order.notes), "left"
    return [table, sent]


def finish_tables(shop: Shop, finishes: FinishTakeOff) -> list[Table]:
    """Give what the finishes take, and how it was reckoned, as tables."""
    if not finishes.rows:
        return []
    table = plain_table(
        f"Finishes, {shop.currency}; waste is your own: common practice, no source",
        [
            ("item", False),
            ("measured", True),
            ("waste", True),
            ("each covers", True),
            ("to buy", True),
            ("price", True),
            ("total", True),
            ("note", False),
        ],
    )
    for row in finishes.rows:
        table.add_row(
            row.item,
            _amount(shop, row.amount, row),
            wording.percent(row.waste),
            _amount(shop, row.pack, row),
            f"{row.packs:,}",
            f"{row.price:,.2f}",
            f"{row.total:,.2f}",
            row.note,
        )
    table.add_section()
    table.add_row("in all", "", "", "", "", "", f"{finishes.total:,.2f}", "")
    parts = plain_table(
        "How it was reckoned",
        [("item", False), ("where", False), ("reckoned as", False), ("amount", True)],
    )
    for part in finishes.parts:
        parts.add_row(part.item, part.where, part.formula, _amount(shop, part.amount, part))
    return [table, parts]


def _amount(shop: Shop, amount: float, row: FinishRow | FinishPart) -> str:
    size, unit = in_units(amount, row.unit, shop.units)
    return f"{size:,.1f} {unit}" if unit != "pieces" else f"{size:,.0f}"
