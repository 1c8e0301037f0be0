"""Lists open safely in a spreadsheet, say their units, and count on when they are changed."""

from __future__ import annotations

import csv
import io
import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import load_workbook
from openpyxl.worksheet.worksheet import Worksheet

from shopfit.files.tables import (
    csv_text,
    harmless,
    shopping_xlsx,
    take_off_csv,
)
from shopfit.model.scenario import Shop
from shopfit.model.schedule import (
    CategoryChange,
    CutRow,
    FixtureChange,
    FixtureRow,
    SetOutRow,
    ShoppingChange,
    ShoppingRow,
    TakeOff,
)
from shopfit.units import LengthStyle

MADE = "2031-05-04T10:20:30+00:00"

FIXTURE = FixtureRow(
    tag="F1",
    fixture="CAB",
    name="Cabinet, low",
    kind="base-cabinet",
    width_mm=914.4,
    depth_mm=609.6,
    height_mm=762.0,
    wall="north",
    offset_mm=304.8,
    x_mm=-304.8,
    y_mm=0.0,
    angle_deg=-90.0,
    fixed=True,
    price=120.0,
)
HOOKS = SetOutRow(
    where="north",
    run="R1",
    side="front",
    datum="left end of north, at west",
    block="B1",
    category="Hats",
    row=2,
    way="hook",
    holder="HOOK",
    holder_name="Short hook",
    brackets=3,
    boards=0,
    groove=10,
    height_mm=1536.7,
    goods_mm=1524.0,
    from_mm=609.6,
    to_mm=1066.8,
    first_mm=685.8,
    spacing_mm=152.4,
    shelf_from_mm=None,
    shelf_to_mm=None,
    line="Caps",
    facings=3,
    units=9,
    load_kg=4.5359237,
)
PIECE = CutRow(
    run="R1",
    x_mm=0.0,
    z_mm=0.0,
    width_mm=1219.2,
    height_mm=1219.2,
    sheet_number=1,
    sheet_x_mm=1219.2,
    sheet_z_mm=0.0,
    number=2,
    sheet="SLAT",
    sheet_name="Slat-wall 8 by 4",
    sheet_width_mm=2438.4,
    sheet_height_mm=1219.2,
    wall="north",
    datum="left end of north, at west",
    from_mm=304.8,
    to_mm=1524.0,
    bottom_mm=812.8,
    top_mm=2032.0,
    joint="end of run",
    tight=True,
)


def _item(item: str, needed: int, owned: int, pack: int, price: float) -> ShoppingRow:
    packs = -(-max(0, needed - owned) // pack)
    return ShoppingRow(
        item=item,
        name=item.title(),
        kind="bracket",
        needed=needed,
        owned=owned,
        pack=pack,
        packs=packs,
        spare=owned + packs * pack - needed,
        price=price,
        total=round(packs * price, 2),
    )


def _take_off(budget: float | None = 500.0) -> TakeOff:
    shopping = (_item("HOOK", 25, 0, 12, 19.99), _item("CAB", 4, 6, 1, 120.0))
    return TakeOff(
        fixtures=(FIXTURE,),
        set_out=(HOOKS,),
        shopping=shopping,
        cuts=(PIECE,),
        total=59.97,
        budget=budget,
    )


def _shop(units: LengthStyle = "ft-in", name: str = "Reed & Rope") -> Shop:
    room = {"id": "sales", "height": "9 ft", "corners": [["0", "0"], ["0", "3 m"], ["3 m", "0"]]}
    return Shop.model_validate({"name": name, "units": units, "rooms": [room]})


def _read(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_lengths_are_told_twice() -> None:
    """A length has a cell as the user writes it and one in mm; a true minus starts no formula."""
    (row,) = _read(csv_text([FIXTURE], "ft-in", "EUR"))
    assert row["Width (ft and in)"] == "3' 0\""
    assert row["Width (mm)"] == "914.4"
    assert row["Back left corner, east (ft and in)"] == "−1' 0\""
    assert row["Back left corner, east (mm)"] == "-304.8"
    assert row["Direction of its width (degrees)"] == "-90"
    assert row["Price each (EUR)"] == "120.00"
    assert row["Fastened to the building"] == "yes"


@pytest.mark.parametrize(
    ("style", "header", "shown"),
    [("in", "Width (in)", '36"'), ("m", "Width (m)", "0.914 m"), ("mm", "Width (mm)", "914.4")],
)
def test_length_styles(style: LengthStyle, header: str, shown: str) -> None:
    """Each style has its own header; mm is not told twice."""
    text = csv_text([FIXTURE], style, "EUR")
    assert _read(text)[0][header] == shown
    assert text.splitlines()[0].count("Width (mm)") == 1


def test_set_out_of_hooks() -> None:
    """A row of the set-out carries groove, heights, centres and load; blanks stay blank."""
    (row,) = _read(csv_text([HOOKS], "in", "USD"))
    assert row["Measured from"] == "left end of north, at west"
    assert row["Groove from the lowest"] == "10"
    assert row["Height above finished floor (in)"] == '60 1/2"'
    assert row["First bracket's centre (in)"] == '27"'
    assert row["Next bracket's centre after (mm)"] == "152.4"
    assert row["Last bracket's centre (in)"] == '39"'
    assert row["Shelf board from (mm)"] == row["Shelf board from (in)"] == ""
    assert row["Load on this groove or shelf (lb)"] == "10"
    assert row["Load on this groove or shelf (kg)"] == "4.536"


def test_lines_end_as_the_standard_says() -> None:
    """RFC 4180, section 2: lines end in CR LF, quotes are doubled, commas are quoted."""
    text = csv_text([FIXTURE], "in", "USD")
    assert text.endswith("\r\n")
    assert text.count("\r\n") == text.count("\n") == 2
    assert '"Cabinet, low"' in text
    assert '"36"""' in text


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "\n"])
def test_formulas_in_names_are_disarmed(start: str) -> None:
    """A name that a spreadsheet would run as a formula gets an apostrophe before it."""
    name = f"{start}SUM(1)"
    (row,) = _read(csv_text([FIXTURE.model_copy(update={"name": name})], "mm", "USD"))
    assert row["Name"] == f"'{name}"


@given(text=st.text(max_size=30))
def test_no_text_starts_a_formula(text: str) -> None:
    """Whatever a name is, its cell starts no formula and loses nothing."""
    safe = harmless(text)
    assert not safe.startswith(("=", "+", "-", "@", "\t", "\r"))
    assert safe.endswith(text)
    row = FIXTURE.model_copy(update={"name": text})
    assert _read(csv_text([row], "mm", "USD"))[0]["Name"] == safe


def test_changes_have_tables_too() -> None:
    """Every kind of change in a comparison is written with its own header."""
    category = CategoryChange(category="Hats", before=3, after=5)
    fixture = FixtureChange(
        change="moved",
        fixture="CAB",
        name="Cabinet",
        tag_before="F1",
        tag_after="F2",
        moved_mm=304.8,
    )
    item = ShoppingChange(
        item="CAB",
        name="Cabinet",
        kind="fixture",
        packs_before=1,
        packs_after=2,
        total_before=5.0,
        total_after=10.0,
    )
    assert _read(csv_text([category], "in", "USD"))[0]["Facings after"] == "5"
    assert _read(csv_text([fixture], "in", "USD"))[0]["Moved by (in)"] == '12"'
    assert _read(csv_text([item], "in", "USD"))[0]["Total after (USD)"] == "10.00"


def test_empty_lists_keep_their_headers() -> None:
    """A take-off without anything gives files of a header each; no kind gives no text."""
    texts = take_off_csv(TakeOff(), _shop())
    lists = ("shopping", "fixtures", "set-out", "sheets", "fixings", "covered")
    assert set(texts) == {f"{name}.csv" for name in lists}
    assert all(text.count("\r\n") == 1 for text in texts.values())
    assert csv_text([], "mm", "USD") == ""


def _sheet(data: bytes, title: str) -> Worksheet:
    sheet = load_workbook(io.BytesIO(data))[title]
    assert isinstance(sheet, Worksheet)
    return sheet


def _value(sheet: Worksheet, cell: str) -> Any:
    """Evaluate the few formulas that the shopping list uses."""
    given = sheet[cell].value
    if not (isinstance(given, str) and given.startswith("=")):
        return given or 0
    text = given[1:]
    span = re.fullmatch(r"SUM\(([A-Z]+)(\d+):\1(\d+)\)", text)
    if span:
        column, first, last = span.groups()
        return sum(_value(sheet, f"{column}{row}") for row in range(int(first), int(last) + 1))
    refs = re.sub(r"\b[A-Z]+\d+\b", lambda match: f"_value(sheet, '{match[0]}')", text)
    names = {"_value": _value, "sheet": sheet, "MAX": max, "ROUND": round}
    return eval(refs, names | {"CEILING": lambda size, step: -(-size // step) * step})


def test_shopping_list_counts_by_formulas() -> None:
    """25 hooks in packs of 12 are 3 packs, 11 spare, 59.97; owned cabinets cost nothing."""
    sheet = _sheet(shopping_xlsx(_take_off(), _shop(), MADE), "Shopping list")
    assert [sheet.cell(4, column).value for column in range(1, 11)] == [
        "Item",
        "Name",
        "Kind",
        "Needed",
        "Owned",
        "Pieces a pack",
        "Packs to buy",
        "Spare pieces",
        "Price a pack (USD)",
        "Total (USD)",
    ]
    assert sheet["G5"].value == "=CEILING(MAX(D5-E5,0)/F5,1)"
    assert [_value(sheet, f"{c}5") for c in "GHJ"] == [3, 11, 59.97]
    assert [_value(sheet, f"{c}6") for c in "GHJ"] == [0, 2, 0]
    assert (sheet["I8"].value, _value(sheet, "J8")) == ("Total", 59.97)
    assert (sheet["I9"].value, _value(sheet, "J9")) == ("Budget", 500)
    assert _value(sheet, "J10") == pytest.approx(440.03)


def test_changed_numbers_count_on() -> None:
    """Where a buyer types a new need and price, packs, total and budget follow."""
    sheet = _sheet(shopping_xlsx(_take_off(), _shop(), MADE), "Shopping list")
    sheet["D5"], sheet["I5"] = 36, 10
    assert (_value(sheet, "G5"), _value(sheet, "J10")) == (3, 470)
    sheet["D5"] = 37
    assert (_value(sheet, "G5"), _value(sheet, "J10")) == (4, 460)


def test_no_budget_and_nothing_to_buy() -> None:
    """Without a budget nothing is said of it, and an empty list adds up to nothing."""
    sheet = _sheet(shopping_xlsx(_take_off(None), _shop(), MADE), "Shopping list")
    assert [sheet[f"I{row}"].value for row in (8, 9)] == ["Total", None]
    empty = _sheet(shopping_xlsx(TakeOff(), _shop(), MADE), "Shopping list")
    assert _value(empty, "J7") == 0


def test_workbook_is_ready_to_print() -> None:
    """Every sheet has a caution, a frozen header that repeats, and fits one page in width."""
    book = load_workbook(io.BytesIO(shopping_xlsx(_take_off(), _shop(), MADE)))
    assert book.sheetnames == ["Shopping list", "Fixtures", "Set-out", "Sheets"]
    for sheet in book.worksheets:
        assert str(sheet["A2"].value).startswith("Caution")
        assert sheet.freeze_panes == "A5"
        assert sheet.print_title_rows == "$4:$4"
        assert sheet.print_area
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert (sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight) == (1, 0)
        assert sheet.column_dimensions["A"].width >= 9
    assert book["Shopping list"]["J5"].number_format == "#,##0.00"
    assert book["Shopping list"].print_area == "'Shopping list'!$A$1:$J$10"
    assert "short by a part" in str(book["Sheets"]["A7"].value)


def test_wide_lists_print_legibly() -> None:
    """The set-out fits a page's width at half size or larger: narrow columns, mm folded away."""
    book = load_workbook(io.BytesIO(shopping_xlsx(_take_off(), _shop(), MADE)))
    for title in ("Set-out", "Sheets"):
        sheet = book[title]
        shown = 0.0
        for column in range(1, sheet.max_column + 1):
            # Neighbouring columns of one kind are written as one range.
            held = [
                size for size in sheet.column_dimensions.values() if size.min <= column <= size.max
            ]
            folded = bool(held and held[0].hidden)
            assert folded == str(sheet.cell(4, column).value).endswith("(mm)")
            shown += 0.0 if folded else held[0].width
        # A letter at full size is about 1.9 mm wide, a page lying about 250 mm.
        assert shown * 1.9 <= 2 * 254.0, title
        assert sheet["D5"].alignment.wrap_text


def test_other_sheets_hold_numbers() -> None:
    """Lengths in mm are numbers with a format, lengths in the user's style are text."""
    sheet = _sheet(shopping_xlsx(_take_off(), _shop(), MADE), "Fixtures")
    row = {sheet.cell(4, c).value: sheet.cell(5, c) for c in range(1, sheet.max_column + 1)}
    assert (row["Width (mm)"].value, row["Width (mm)"].number_format) == (914.4, "0.0")
    assert row["Width (ft and in)"].value == "3' 0\""


def test_formula_in_a_name_stays_text() -> None:
    """A name that looks like a formula, or holds a control sign, is plain text in the workbook."""
    evil = FIXTURE.model_copy(update={"name": "=1+1\x01"})
    take_off = _take_off().model_copy(update={"fixtures": (evil,)})
    sheet = _sheet(shopping_xlsx(take_off, _shop(name="=A1"), MADE), "Fixtures")
    assert (sheet["C5"].value, sheet["C5"].data_type, sheet["C5"].quotePrefix) == (
        "=1+1",
        "s",
        True,
    )
    assert sheet["A1"].value == "=A1: fixtures"
    assert sheet["A1"].data_type == "s"


def test_equal_lists_give_equal_bytes() -> None:
    """The moment of making is the only clock: it is in the properties, and nothing else differs."""
    first = shopping_xlsx(_take_off(), _shop(), MADE)
    assert first == shopping_xlsx(_take_off(), _shop(), MADE)
    assert first != shopping_xlsx(_take_off(), _shop(), "2031-05-05T10:20:30+00:00")
    properties = load_workbook(io.BytesIO(first)).properties
    assert properties.created == properties.modified
    assert properties.modified.isoformat() == "2031-05-04T10:20:30"


@pytest.mark.parametrize(("joint", "told"), [("between studs", True), ("stud centre", False)])
def test_joint_between_studs_is_cautioned(joint: str, told: bool) -> None:
    """A joint with nothing behind it is told below the sheets, and no other is."""
    piece = PIECE.model_copy(update={"joint": joint, "tight": False})
    take_off = _take_off().model_copy(update={"cuts": (piece,)})
    sheet = _sheet(shopping_xlsx(take_off, _shop(), MADE), "Sheets")
    words = [str(sheet.cell(row, 1).value) for row in range(6, sheet.max_row + 1)]
    assert any("back it" in text for text in words) == told
    assert not any("saw cut" in text for text in words)
