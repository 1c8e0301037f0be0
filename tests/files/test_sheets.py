"""Tables of others: any encoding and separator, workbooks, and what is refused with a word."""

from __future__ import annotations

import io
import time
import zipfile

import pytest
from openpyxl import Workbook

from shopfit.errors import InputFaults
from shopfit.files import sheets
from shopfit.files.columnuse import ColumnUse, guess_use, plain_name, unit_in, use_columns
from shopfit.files.drafts import Draft, judge
from shopfit.files.sheets import SheetText, read_sheet

TABLE = (("Item", "W"), ("Jar", "3"), ("Pot", "4"))


def told(name: str, data: bytes, **limits: int) -> str:
    """Give the one fault of a file that must have one."""
    with pytest.raises(InputFaults) as caught:
        read_sheet(name, data, **limits)
    (fault,) = caught.value.faults
    return str(fault)


def workbook(rows, **more) -> bytes:
    """Give a workbook with rows on its first sheet."""
    book = Workbook()
    for row in rows:
        book.active.append(row)
    for title, cells in more.items():
        sheet = book.create_sheet(title)
        for row in cells:
            sheet.append(row)
    saved = io.BytesIO()
    book.save(saved)
    return saved.getvalue()


@pytest.mark.parametrize("mark", [",", ";", "\t", "|"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_separators_and_encodings(mark, encoding):
    """The same table however it was saved."""
    text = "\r\n".join(mark.join(row) for row in TABLE)
    assert read_sheet("x.csv", text.encode(encoding)).cells == TABLE


def test_western_letters_are_read_and_told():
    """A list saved by an older program keeps its accents, and the guess is told."""
    read = read_sheet("x.csv", "Item,W\nThé à l'œuf,3\n".encode("cp1252"))
    assert read.rows == (("Thé à l'œuf", "3"),)
    assert "Western European" in read.notes[0]


def test_commas_inside_quotes_do_not_count_as_separators():
    """A table with semicolons whose cells hold decimal commas is cut at semicolons."""
    assert read_sheet("x.csv", b"Item;W\nJar;3,5\nPot;4,25\n").rows == (
        ("Jar", "3,5"),
        ("Pot", "4,25"),
    )


def test_titles_and_empty_rows_are_passed_over():
    """A heading over the table and blank rows in it are no rows of it."""
    assert read_sheet("x.csv", b"My list\n\nItem,W\n,,\nJar,3\n").cells == (
        ("Item", "W"),
        ("Jar", "3"),
    )


def test_a_workbook_is_read_like_text():
    """Numbers lose no digit and gain none; the first filled sheet counts."""
    data = workbook([], goods=[["Item", "W"], ["Jar", 3], ["Pot", 4.25], ["Pan", True]])
    read = read_sheet("x.xlsx", data)
    assert read.rows == (("Jar", "3"), ("Pot", "4.25"), ("Pan", "yes"))
    assert "goods" in read.notes[0]


@pytest.mark.parametrize(("rows", "refused"), [(5, False), (6, True)])
@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_rows_are_limited(rows, refused, kind):
    """Exactly the limit is read, one more is refused with the number."""
    table = [["a", "b"]] + [[str(k), "x"] for k in range(rows)]
    data = workbook(table) if kind == "xlsx" else "\n".join(map(",".join, table)).encode()
    if refused:
        assert "more than 5 rows" in told(f"x.{kind}", data, most_rows=5)
    else:
        assert len(read_sheet(f"x.{kind}", data, most_rows=5).rows) == 5


def test_a_million_rows_are_refused_soon():
    """A file of 10 MB and 10^6 rows is refused in a moment, for reading stops at the limit."""
    data = b"Item,Width\n" + b"jar,3 in\n" * 1_000_000
    assert len(data) > 9_000_000
    begun = time.monotonic()
    assert "more than 100,000 rows" in told("range.csv", data)
    assert time.monotonic() - begun < 5


def test_a_file_over_the_size_is_refused(monkeypatch):
    """Exactly the limit of bytes is read, one more is not."""
    data = b"a,b\n1,2\n"
    monkeypatch.setattr(sheets, "SHEET_BYTES", len(data))
    assert read_sheet("x.csv", data).rows
    assert "bytes" in told("x.csv", data + b"\n")


def test_a_workbook_that_swells_is_refused(monkeypatch):
    """A few kB that unpack to more than the limit are refused before they are unpacked."""
    monkeypatch.setattr(sheets, "UNPACKED_BYTES", 5_000_000)
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/worksheets/sheet1.xml", b"0" * 5_000_001)
    assert len(packed.getvalue()) < 50_000
    assert "once unpacked" in told("x.xlsx", packed.getvalue())


def test_a_workbook_with_definitions_is_refused():
    """XML that defines texts of its own can swell while it is read."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr(
            "xl/workbook.xml", '<?xml version="1.0"?><!DOCTYPE a [<!ENTITY b "c">]><a/>'
        )
    assert "definitions" in told("x.xlsx", packed.getvalue())


@pytest.mark.parametrize(
    ("data", "word"),
    [
        (b"PK\x03\x04 not really", "cannot be read"),
        (b"\xd0\xcf\x11\xe0 old", "old kind"),
        (b"\x89PNG\x00\x00", "no text"),
        (b"", "no rows"),
        (b'a,b\n"1,2\n', "does not end"),
    ],
)
def test_what_is_no_table_is_refused(data, word):
    """Pictures, old workbooks and broken files are told, none of them is a crash."""
    assert word in told("x.csv", data)


def test_text_under_the_name_of_a_workbook_is_refused():
    """What did not come through whole is not read as a column of odd letters."""
    assert "no workbook" in told("stock.XLSX", b"PK broken")


def test_columns_are_guessed_from_usual_names():
    """Names of other lists are known, with their units, and what is not known stays out."""
    header = ("Product", "Department", "Width (mm)", "H", "Depth_in", "Weight (kg)", "Colour")
    use = guess_use(header)
    assert dict(use.taken) == {
        "line": "Product",
        "category": "Department",
        "width": "Width (mm)",
        "height": "H",
        "depth": "Depth_in",
        "weight": "Weight (kg)",
    }
    assert dict(use.units) == {"width": "mm", "height": "in", "depth": "in", "weight": "kg"}


def test_own_names_come_before_guesses():
    """A column called as the range calls it is that one, whatever else could be meant."""
    use = guess_use(("Name", "line", "Group", "category"))
    assert use.taken["line"] == "line"
    assert use.taken["category"] == "category"


def test_a_name_is_not_taken_for_a_number():
    """An article name is the line, and its number the code, in whichever order they stand."""
    for header in (("Art. no.", "Article name"), ("Article name", "Item no.")):
        use = guess_use(header)
        assert "name" in use.taken["line"]
        assert "no." in use.taken["code"]


def test_what_was_chosen_before_is_kept():
    """A choice made once for a list holds for the next one with the same columns."""
    assert guess_use(("Code", "Product"), {"line": "Code"}).taken["line"] == "Code"


@pytest.mark.parametrize(
    ("name", "unit"),
    [("Width (in)", "in"), ("W_mm", "mm"), ("Weight, lbs", "lb"), ("Width", ""), ("Item", "")],
)
def test_units_in_names(name, unit):
    """A unit at the end of a column's name is read, and no other letters are."""
    assert unit_in(name) == unit


@pytest.mark.parametrize(
    ("given", "name"),
    [
        ("Crème brûlée", "Creme brulee"),
        ("Salt & pepper", "Salt and pepper"),
        ('Shelf 7"', "Shelf 7 in"),
        ("<b>x</b>", "b x -b"),
        ("  ..-", ""),
    ],
)
def test_names_become_such_as_may_stand(given, name):
    """Accents, marks and brackets become plain letters, or nothing."""
    assert plain_name(given) == name


def test_a_foreign_list_becomes_a_range_without_faults(kiosk_folder):
    """A list with other names, bare numbers and hooks in words is read as a sound range."""
    from shopfit.files.drafts import draft_from_folder

    sheet = SheetText(
        (
            ("Article", "Group", "W", "H", "D", "Shown on"),
            ("Thé", "Drinks", "3,5", "4 1/2", "2", "Shelves, pegs"),
            ("Thé", "Drinks", "80 mm", "4", "2", "shelf"),
            ("", "", "", "", "", ""),
        )
    )
    rows, notes = use_columns(sheet, guess_use(sheet.header))
    assert [row["line"] for row in rows] == ["The", "The 2"]
    assert rows[0]["width"] == "3.5 in"
    assert rows[0]["height"] == "4 1/2 in"
    assert rows[1]["width"] == "80 mm"
    assert rows[0]["ways"] == "shelf|hook"
    assert len(notes) == 2
    draft = draft_from_folder(kiosk_folder)
    shop = {name: value for name, value in draft.shop.items() if name != "categories"}
    assert judge(Draft(shop, draft.fixtures, rows=rows)).faults == ()


def test_columns_that_are_missing_take_one_value():
    """A list without categories or ways gets one for all its lines."""
    sheet = SheetText((("Item", "W"), ("Jar", "3")))
    use = ColumnUse(
        {"line": "Item", "width": "W"}, {"width": "in"}, {"category": "Goods", "ways": "shelf"}
    )
    assert use_columns(sheet, use)[0] == (
        {"category": "Goods", "ways": "shelf", "line": "Jar", "width": "3 in"},
    )
