"""The order as a workbook: an independent spreadsheet program comes to the same cent.

LibreOffice is asked where it is installed; elsewhere the test is skipped, but never in the checks
that are run before a release.
"""

from __future__ import annotations

import csv
import io
import os
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from shopfit.files.orderbook import order_csv, order_xlsx
from shopfit.model.finishes import FinishTakeOff
from shopfit.model.ordering import Order, Ordering
from shopfit.model.scenario import Scenario
from shopfit.quantities.finishes import finish_take_off
from shopfit.quantities.ordering import order
from tests.checks import build as b
from tests.quantities.test_finishes import FINISHES

ORDERING: dict[str, Any] = {
    "spares": {"bracket": "10 %", "extra": "5 %"},
    "extras": [
        {"id": "screws", "for_each": "screw", "price": 6.35, "pack": 25, "weight": "4 g"},
        {"id": "caps", "for_each": "open run end", "price": 2.45},
        {"id": "trim", "for_each": "run top", "length": "96 in", "price": 11.15},
    ],
    "steps": [
        {"item": "screws", "packs": 2, "price": 5.95},
        {"item": "sheet", "packs": 3, "price": 1},
    ],
    "freight": {"for_each": "100 lb", "price": 17.5, "least": 30, "free_over": 5000},
    "tax": "8.375 %",
    "tax_on_freight": True,
    "suppliers": [
        {
            "id": "yard",
            "prices": {"sheet": 71.15, "trim": 9.95, "case-48": 480},
            "steps": [{"item": "sheet", "packs": 2, "price": 69.9}],
            "freight": {"for_each": "50 kg", "price": 12.25},
        }
    ],
}


def _scenario(**shop: Any) -> Scenario:
    scenario = b.scenario(**shop)
    catalogue = scenario.catalogue.model_copy(
        update={"ordering": Ordering.model_validate(ORDERING)}
    )
    return scenario.model_copy(update={"catalogue": catalogue})


def _book(scenario: Scenario) -> tuple[Order, FinishTakeOff, bytes]:
    found = order(scenario, b.layout())
    finishes = finish_take_off(scenario, b.layout())
    ordering = scenario.catalogue.ordering
    assert ordering is not None
    return found, finishes, order_xlsx(found, ordering, scenario.shop, finishes)


@pytest.fixture(scope="module")
def recomputed(tmp_path_factory: pytest.TempPathFactory) -> tuple[Order, FinishTakeOff, Any]:
    """Write a workbook, let LibreOffice work out every formula anew, and read the numbers."""
    program = shutil.which("soffice")
    if program is None:
        if os.environ.get("SHOPFIT_REQUIRE_OFFICE"):
            pytest.fail("LibreOffice is wanted here and is not installed")
        pytest.skip("LibreOffice is not installed")
    folder: Path = tmp_path_factory.mktemp("book")
    found, finishes, data = _book(_scenario(finishes=FINISHES))
    (folder / "order.xlsx").write_bytes(data)
    home = f"-env:UserInstallation=file://{folder}/home"
    command = [program, home, "--headless", "--convert-to", "ods", "--outdir", str(folder)]
    subprocess.run([*command, str(folder / "order.xlsx")], check=True, capture_output=True)
    # Back again, so that the numbers read are those that were worked out and not those written.
    command[4] = "xlsx:Calc MS Excel 2007 XML"
    back = folder / "back"
    command[6] = str(back)
    subprocess.run([*command, str(folder / "order.ods")], check=True, capture_output=True)
    return found, finishes, load_workbook(back / "order.xlsx", data_only=True)


def _column(sheet: Any, header: str, count: int) -> list[Any]:
    headers = [cell.value for cell in sheet[4]]
    at = next(k for k, name in enumerate(headers) if name and name.startswith(header))
    return [sheet.cell(row, at + 1).value for row in range(5, 5 + count)]


def _beside(sheet: Any, words: str) -> float:
    for row in sheet.iter_rows():
        for cell in row:
            if cell.value == words:
                return float(sheet.cell(cell.row, cell.column + 1).value)
    raise KeyError(words)


def test_a_spreadsheet_comes_to_the_same_cent(
    recomputed: tuple[Order, FinishTakeOff, Any],
) -> None:
    """Packs, prices by number, totals, carriage, tax and what is left of the budget."""
    found, _, book = recomputed
    sheet, count = book["Order"], len(found.rows)
    assert _column(sheet, "Packs to buy", count) == [row.packs for row in found.rows]
    assert _column(sheet, "Left over", count) == [row.left for row in found.rows]
    assert _column(sheet, "At this number", count) == [row.price for row in found.rows]
    assert _column(sheet, "Total", count) == [row.total for row in found.rows]
    assert _column(sheet, "All from yard", count) == [row.offers.get("yard") for row in found.rows]
    assert _column(sheet, "All from list", count) == [row.offers["list"] for row in found.rows]
    sent = book["Suppliers"]
    for name in ("goods", "freight", "tax", "total"):
        header = {"freight": "Carriage"}.get(name, name.capitalize())
        told = _column(sent, header, len(found.consignments))
        assert told == pytest.approx([getattr(c, name) for c in found.consignments], abs=1e-9)
    assert _beside(sheet, "Total with carriage and tax") == pytest.approx(found.total, abs=1e-9)
    assert found.budget is not None
    left = _beside(sheet, "Left of the budget")
    assert left == pytest.approx(found.budget - found.total, abs=1e-9)


def test_both_suppliers_are_used_in_that_check(
    recomputed: tuple[Order, FinishTakeOff, Any],
) -> None:
    """The example is one where steps, carriage and a second supplier all count."""
    found, _, _ = recomputed
    assert [each.supplier for each in found.consignments] == ["list", "yard"]
    assert all(each.freight > 0 for each in found.consignments)
    assert next(row for row in found.rows if row.item == "sheet").price == 69.9


def test_a_spreadsheet_counts_the_finishes_alike(
    recomputed: tuple[Order, FinishTakeOff, Any],
) -> None:
    """Packs and money of every finish, by the formulas in the sheet."""
    _, finishes, book = recomputed
    sheet, count = book["Finishes"], len(finishes.rows)
    assert _column(sheet, "Pieces or packs to buy", count) == [r.packs for r in finishes.rows]
    assert _column(sheet, "Total", count) == [r.total for r in finishes.rows]
    assert _beside(sheet, "Total") == pytest.approx(finishes.total)


def test_every_number_that_follows_from_others_is_a_formula() -> None:
    """Nothing that can be worked out is written as a mere number."""
    found, _, data = _book(_scenario(finishes=FINISHES))
    book = load_workbook(io.BytesIO(data))
    for row in range(5, 5 + len(found.rows)):
        for letter in "IJMNP":
            assert str(book["Order"][f"{letter}{row}"].value).startswith("=")
    assert book.sheetnames == ["Order", "Suppliers", "Finishes", "Finishes in parts"]
    assert book["Order"].freeze_panes == "A5"
    assert book["Order"].print_area


def test_the_list_tells_what_every_supplier_asks() -> None:
    """A column for each, empty where a thing is not sold."""
    found, _, _ = _book(_scenario())
    rows = list(csv.DictReader(io.StringIO(order_csv(found, _scenario().shop))))
    sheet = next(row for row in rows if row["Item"] == "sheet")
    assert (sheet["All from list (USD)"], sheet["All from yard (USD)"]) == ("180.00", "139.80")
    hook = next(row for row in rows if row["Item"] == "hook-6")
    assert hook["All from yard (USD)"] == ""


def test_the_same_order_gives_the_same_file() -> None:
    """Nothing in it goes by the clock."""
    assert _book(_scenario())[2] == _book(_scenario())[2]
