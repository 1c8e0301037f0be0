"""Writes an order, and the finishes of a shell, as lists and as a workbook of live formulas."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from openpyxl import Workbook
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from shopfit.files.bookparts import FIRST_ROW, FORMATS, finished, foot, listed, new_book, put
from shopfit.files.columns import PlainColumn
from shopfit.files.finishlists import part_columns, row_columns
from shopfit.files.tables import plain_csv
from shopfit.model.base import Frozen
from shopfit.model.finishes import FinishTakeOff
from shopfit.model.ordering import Consignment, Freight, Order, Ordering, OrderRow, PriceStep
from shopfit.model.scenario import Shop

LIST = "list"
ORDER, SUPPLIERS = "Order", "Suppliers"
NOTE = (
    "Change a number or a price and the rest follows. Whether another supplier is then cheaper is "
    "worked out anew only by shopfit. Spares are your own: common practice, no source."
)


def order_csv(order: Order, shop: Shop) -> str:
    """Write an order as comma-separated text, with what each supplier would ask."""
    names = _sellers(order)
    return plain_csv([*_columns(shop), *_offers(names, shop)], order.rows)


def order_xlsx(
    order: Order, ordering: Ordering, shop: Shop, finishes: FinishTakeOff, made: str = ""
) -> bytes:
    """Write an order as a workbook: items, suppliers, and the finishes if there are any.

    Parameters
    ----------
    order, ordering
        What is ordered, and the terms that its formulas follow.
    shop, finishes
        Whose, and the finishes of its shell.
    made
        Moment of making, ISO 8601; the same order and moment give the same bytes.
    """
    book = new_book()
    sheet = _items(book, order, ordering, shop, made)
    total = _suppliers(book, order, ordering, shop, made)
    _sums(sheet, order, total)
    if finishes.rows:
        _finishes(book, finishes, shop, made)
    return finished(book, shop, made)


def _sellers(order: Order) -> list[str]:
    return list(dict.fromkeys(name for row in order.rows for name in row.offers))


def _columns(shop: Shop) -> list[PlainColumn]:
    money = f"({shop.currency})"
    return [
        PlainColumn("Item", lambda row: row.item, "text"),
        PlainColumn("Name", lambda row: row.name, "text"),
        PlainColumn("Kind", lambda row: row.kind, "text"),
        PlainColumn("Counted as", lambda row: row.counted, "text"),
        PlainColumn("Needed", lambda row: row.needed, "count"),
        PlainColumn("Spares (%)", lambda row: round(row.spare * 100, 3), "length"),
        PlainColumn("Owned", lambda row: row.owned, "count"),
        PlainColumn("Pieces a pack", lambda row: row.pack, "count"),
        PlainColumn("Packs to buy", lambda row: row.packs, "count"),
        PlainColumn("Left over", lambda row: row.left, "count"),
        PlainColumn("From", lambda row: row.supplier, "text"),
        PlainColumn(f"Price a pack {money}", lambda row: row.list_price, "money"),
        PlainColumn(f"At this number {money}", lambda row: row.price, "money"),
        PlainColumn(f"Total {money}", lambda row: row.total, "money"),
        PlainColumn("Weight a pack (kg)", _pack_weight, "mass"),
        PlainColumn("Weight (kg)", lambda row: round(row.weight_kg, 6), "mass"),
    ]


def _pack_weight(row: OrderRow) -> float:
    return round(row.weight_kg / row.packs, 6) if row.packs else 0.0


def _offers(names: Sequence[str], shop: Shop) -> list[PlainColumn]:
    if len(names) < 2:
        return []
    return [
        PlainColumn(f"All from {name} ({shop.currency})", _offered(name), "money") for name in names
    ]


def _offered(name: str) -> Callable[[OrderRow], float | None]:
    return lambda row: row.offers.get(name)


def _items(book: Workbook, order: Order, ordering: Ordering, shop: Shop, made: str) -> Worksheet:
    names = _sellers(order)
    columns = [*_columns(shop), *_offers(names, shop)]
    sheet = listed(book, ORDER, columns, order.rows, shop, made)
    for number, row in enumerate(order.rows, FIRST_ROW):
        at = {letter: f"{letter}{number}" for letter in "EFGHIJKLMNOP"}
        wanted = f"CEILING(ROUND({at['E']}*(1+{at['F']}/100),9),1)"
        steps = _steps(ordering, row.supplier, row.item)
        formulas = {
            "I": f"=CEILING(MAX({wanted}-{at['G']},0)/{at['H']},1)",
            "J": f"={at['G']}+{at['I']}*{at['H']}-{at['E']}",
            "M": f"={_at_number(at['I'], at['L'], steps)}",
            "N": f"=ROUND({at['I']}*{at['M']},2)",
            "P": f"={at['I']}*{at['O']}",
        }
        for letter, formula in formulas.items():
            sheet[f"{letter}{number}"].value = formula
        for k, name in enumerate(names if len(names) > 1 else ()):
            if name in row.offers:
                each = _at_number(at["I"], repr(row.asked[name]), _steps(ordering, name, row.item))
                sheet.cell(number, 17 + k).value = f"=ROUND({at['I']}*({each}),2)"
    return sheet


def _steps(ordering: Ordering, seller: str, item: str) -> list[PriceStep]:
    steps: Sequence[PriceStep] = ordering.steps
    for supplier in ordering.suppliers:
        if supplier.id == seller:
            steps = supplier.steps
    return sorted((step for step in steps if step.item == item), key=lambda step: -step.packs)


def _at_number(packs: str, price: str, steps: Sequence[PriceStep]) -> str:
    """Write the price of a pack as it goes by number; the largest number is asked first."""
    told = price
    for step in reversed(steps):
        told = f"IF({packs}>={step.packs},{step.price!r},{told})"
    return told


def _suppliers(book: Workbook, order: Order, ordering: Ordering, shop: Shop, made: str) -> str:
    """Write what each supplier sends, and give where the sum of all stands."""
    money = f"({shop.currency})"
    columns = [
        PlainColumn("Supplier", lambda row: row.supplier, "text"),
        PlainColumn("Weight (kg)", lambda row: round(row.weight_kg, 6), "mass"),
        PlainColumn(f"Goods {money}", lambda row: row.goods, "money"),
        PlainColumn(f"Carriage {money}", lambda row: row.freight, "money"),
        PlainColumn(f"Tax {money}", lambda row: row.tax, "money"),
        PlainColumn(f"Total {money}", lambda row: row.total, "money"),
    ]
    sheet = listed(book, SUPPLIERS, columns, order.consignments, shop, made)
    last = FIRST_ROW + max(len(order.rows), 1) - 1
    for number, each in enumerate(order.consignments, FIRST_ROW):
        names, sums = f"{ORDER}!$K${FIRST_ROW}:$K${last}", f"A{number}"
        goods = f"{ORDER}!$N${FIRST_ROW}:$N${last}"
        weights = f"{ORDER}!$P${FIRST_ROW}:$P${last}"
        taxed = f"(C{number}+D{number})" if ordering.tax_on_freight else f"C{number}"
        formulas = {
            "B": f"=SUMIF({names},{sums},{weights})",
            "C": f"=SUMIF({names},{sums},{goods})",
            "D": f"={_carriage(_freight(ordering, each), f'B{number}', f'C{number}')}",
            "E": f"=ROUND({taxed}*{ordering.tax!r},2)",
            "F": f"=C{number}+D{number}+E{number}",
        }
        for letter, formula in formulas.items():
            sheet[f"{letter}{number}"].value = formula
    end = FIRST_ROW + max(len(order.consignments), 1) - 1
    foot(sheet, end + 2, 6, "Total", f"=SUM(F{FIRST_ROW}:F{end})")
    put(sheet, end + 4, 1, NOTE)
    sheet.print_area = f"A1:F{end + 4}"
    return f"{SUPPLIERS}!F{end + 2}"


def _freight(ordering: Ordering, each: Consignment) -> Freight | None:
    for supplier in ordering.suppliers:
        if supplier.id == each.supplier:
            return supplier.freight
    return ordering.freight


def _carriage(freight: Freight | None, weight: str, goods: str) -> str:
    if freight is None:
        return "0"
    steps = f"CEILING(ROUND({weight}/{freight.for_each!r},9),1)"
    told = f"ROUND(MAX({freight.price!r}*{steps},{freight.least!r}),2)"
    if freight.free_over is not None:
        told = f"IF({goods}>={freight.free_over!r},0,{told})"
    return f"IF({weight}=0,0,{told})"


def _sums(sheet: Worksheet, order: Order, total: str) -> None:
    row = FIRST_ROW + max(len(order.rows), 1) + 1
    foot(sheet, row, 14, "Total with carriage and tax", f"={total}")
    if order.budget is not None:
        foot(sheet, row + 1, 14, "Budget", order.budget)
        foot(sheet, row + 2, 14, "Left of the budget", f"=N{row + 1}-N{row}")
    for note in order.notes:
        put(sheet, sheet.max_row + 2, 1, note)
    last = get_column_letter(max(sheet.max_column, 16))
    sheet.print_area = f"A1:{last}{sheet.max_row}"


def _finishes(book: Workbook, finishes: FinishTakeOff, shop: Shop, made: str) -> None:
    parts: Sequence[Frozen] = finishes.parts
    sheet = listed(book, "Finishes", row_columns(shop), finishes.rows, shop, made)
    listed(book, "Finishes in parts", part_columns(shop), parts, shop, made)
    last = FIRST_ROW + len(finishes.rows) - 1
    for number in range(FIRST_ROW, last + 1):
        wanted = f"B{number}*(1+D{number}/100)/F{number}"
        sheet[f"H{number}"].value = f"=MAX(G{number},CEILING(ROUND({wanted},6),1))"
        sheet[f"J{number}"].value = f"=ROUND(H{number}*I{number},2)"
        for letter in "IJ":
            sheet[f"{letter}{number}"].number_format = FORMATS["money"]
    foot(sheet, last + 2, 10, "Total", f"=SUM(J{FIRST_ROW}:J{last})")
    sheet.print_area = f"A1:K{last + 2}"
