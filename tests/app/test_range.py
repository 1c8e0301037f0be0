"""Range: lists taken in with any column names, lines changed, faults marked, totals."""

from __future__ import annotations

import io

import pytest
from openpyxl import Workbook

from shopfit.cases.case import Case
from shopfit.files.drafts import draft_from_folder, judge
from shopfit.ui.goods.lines import faults_by_row, item_of, row_of, spec
from shopfit.ui.goods.totals import area_words, category_totals, face_possible, facings_shown
from shopfit.ui.tables.records import changed_items
from shopfit.ui.tables.records import row_of as cells_of
from tests.app.conftest import said, table_with, work_of

LIST = b"Article;Group;W (mm);H (mm);D (mm);Shown on\nMug;Kitchen;90;100;90;shelves\n"


def give(page, name: str, data: bytes) -> None:
    """Give a list to be taken in."""
    key = f"list-{page.session_state.get('generation', 0)}"
    page.file_uploader(key=key).set_value((name, data, "")).run()
    assert not page.exception


def test_an_empty_range_asks_for_a_list(opened, page):
    """Without lines there is a place for a list, and an example to start from."""
    opened("Range", Case())
    page.button(key="example-range").click().run()
    assert len(work_of(page).now.draft.rows) == 12


def test_a_list_with_other_names_is_taken_in(opened, page):
    """Columns are guessed, the owner confirms, and the choice is remembered in the case."""
    opened("Range", Case())
    give(page, "mine.csv", LIST)
    assert "semicolons" in said(page)
    assert page.selectbox(key="column-line").value == "Article"
    assert page.selectbox(key="unit-width").value == "mm"
    page.button(key="take-list").click().run()
    draft = work_of(page).now.draft
    assert draft.rows == (
        {
            "line": "Mug",
            "category": "Kitchen",
            "width": "90 mm",
            "height": "100 mm",
            "depth": "90 mm",
            "ways": "shelf",
        },
    )
    assert draft.columns["line"] == "Article"
    assert "1 line taken in" in said(page)


def test_a_workbook_is_taken_in(opened, page):
    """A workbook is a list as well."""
    book, saved = Workbook(), io.BytesIO()
    for row in (("line", "category", "width", "height", "depth"), ("Pot", "Tin", 4, 5, 6)):
        book.active.append(row)
    book.save(saved)
    opened("Range", Case())
    give(page, "mine.xlsx", saved.getvalue())
    page.multiselect(key="instead-ways").set_value(["hook", "shelf"])
    page.button(key="take-list").click().run()
    (row,) = work_of(page).now.draft.rows
    assert row["width"] == "4 in"
    assert row["ways"] == "hook|shelf"


def test_missing_columns_are_asked_for(opened, page):
    """What a line must have and the list has not is named; nothing is taken in half."""
    opened("Range", Case())
    give(page, "mine.csv", b"Article,W\nMug,3\n")
    page.button(key="take-list").click().run()
    assert "Say which column is" in said(page)
    assert "Depth" in said(page)
    assert work_of(page).now.draft.rows == ()


def test_what_was_chosen_once_is_chosen_again(opened, page):
    """A column called by a name that could mean nothing is known the second time."""
    opened("Range", Case(Case().draft.changed(columns={"line": "Zq"})))
    give(page, "mine.csv", b"Zq,W\nMug,3\n")
    assert page.selectbox(key="column-line").value == "Zq"


@pytest.mark.parametrize(
    ("name", "data", "word"),
    [
        ("x.csv", b"\x00\x01\x02", "no text"),
        ("x.xlsx", b"PK\x03\x04 no", "cannot be read"),
        ("x.csv", b"a,b\n" + b"1,2\n" * 100_001, "100,000 rows"),
    ],
)
def test_lists_that_cannot_be_read_are_told(opened, page, name, data, word):
    """Odd, broken and endless lists are refused with a word, and the page lives."""
    opened("Range", Case())
    give(page, name, data)
    assert word in table_with(page, "given", "mend").to_string()
    assert "fault of the program" not in said(page)


def test_faults_are_marked_at_their_cell_with_the_mend(opened, page, kiosk_folder):
    """A wrong cell is listed with row, line and column, and marked in its row of the table."""
    draft = draft_from_folder(kiosk_folder)
    rows = [dict(row) for row in draft.rows]
    rows[2]["width"] = "4 parsecs"
    rows[2]["ways"] = "nail"
    opened("Range", Case(draft.changed(rows=tuple(rows))))
    marked = table_with(page, "row", "column", "given")
    assert list(marked["row"]) == ["3", "3"]
    assert set(marked["column"]) == {"Width", "Ways"}
    assert all(given.startswith("⚠") for given in marked["given"])
    checks = table_with(page, "Line", "Check")["Check"]
    assert [place for place, check in enumerate(checks) if check] == [2]


def test_only_rows_to_mend_can_be_shown(opened, page, kiosk_folder):
    """In a long range the faulty rows can be looked at alone, and lines can be found."""
    draft = draft_from_folder(kiosk_folder)
    rows = [dict(row) for row in draft.rows]
    rows[5]["width"] = "x"
    opened("Range", Case(draft.changed(rows=tuple(rows))))
    page.toggle(key="lines-faulty").set_value(True).run()
    assert len(table_with(page, "Line", "Check")) == 1
    page.toggle(key="lines-faulty").set_value(False).run()
    page.text_input(key="lines-search").set_value("jewel").run()
    assert set(table_with(page, "Line", "Check")["Category"]) == {"Jewellery"}


def test_a_long_range_comes_in_pages(opened, page, kiosk_folder):
    """A thousand lines are shown a hundred at a time."""
    draft = draft_from_folder(kiosk_folder)
    rows = tuple({**draft.rows[0], "line": f"Jar {k}"} for k in range(250))
    opened("Range", Case(draft.changed(rows=rows)))
    assert len(table_with(page, "Line", "Check")) == 100
    page.number_input(key="lines-page-3").set_value(3).run()
    assert list(table_with(page, "Line", "Check")["Line"]) == [f"Jar {k}" for k in range(200, 250)]


def test_one_line_is_added_changed_and_taken_out(opened, page):
    """The form does what the table does, with labels."""
    opened("Range")
    count = len(work_of(page).now.draft.rows)
    page.button(key="lines-put").click().run()
    rows = work_of(page).now.draft.rows
    assert len(rows) == count + 1
    assert rows[-1]["ways"] == "shelf"
    page.selectbox(key=f"lines-form-{page.session_state['generation']}-which").set_value(1).run()
    page.button(key="lines-out").click().run()
    left = work_of(page).now.draft.rows
    assert [row["line"] for row in left] == [
        row["line"] for place, row in enumerate(rows) if place != 1
    ]


def test_totals_set_wanted_against_possible(opened, page, laid_out):
    """Each category tells what it asks for and what the layout shows."""
    opened("Range", laid_out)
    totals = table_with(page, "category", "fewest facings", "shown in the layout")
    shown = dict(zip(totals["category"], totals["shown in the layout"], strict=True))
    assert shown == {"Preserves": "5", "Candles": "4", "Linen": "0", "Jewellery": "0"}
    assert "rough estimate" in said(page)


def test_what_the_shell_may_give_is_told_only_where_it_can_be(kiosk):
    """Without cabinets or sheets there is no estimate, and no wrong one."""
    assert face_possible(kiosk) > 0
    bare = kiosk.catalogue.model_copy(update={"sheets": ()})
    assert face_possible(kiosk.model_copy(update={"catalogue": bare})) is None
    assert area_words(1e6, metric=True) == "1.0 m²"
    assert area_words(92903.04, metric=False) == "1 sq ft"


def test_totals_add_up(kiosk, kiosk_layout):
    """The sums over categories are the sums over lines."""
    totals = category_totals(kiosk.lines, kiosk_layout)
    assert sum(total.most for total in totals) == sum(line.max_facings for line in kiosk.lines)
    assert sum(total.shown for total in totals) == sum(facings_shown(kiosk_layout).values()) == 9


def test_rows_become_items_and_rows_again(kiosk_folder):
    """What a table shows of a row and does not change is written as it was."""
    draft = draft_from_folder(kiosk_folder)
    table = spec(["eye"], [])
    items = [item_of(row) for row in draft.rows]
    cells = [cells_of(item, table.fields, "mm") for item in items]
    assert changed_items(items, cells, table.fields, "mm") == items
    again = draft.changed(rows=tuple(row_of(item) for item in items))
    assert judge(again).scenario == judge(draft).scenario


def test_faults_without_a_row_are_not_lost(kiosk_folder):
    """Faults of the whole file belong to no row."""
    draft = draft_from_folder(kiosk_folder).changed(rows=())
    faults = [fault for fault in judge(draft).faults if fault.file == "range.csv"]
    assert faults
    assert faults_by_row(faults) == {}


def test_rows_to_mend_are_shown_with_the_cell_marked_by_colour_and_text(opened, page, kiosk_folder):
    """Below the table the faulty row stands once more; its cell says what it has and what to do."""
    draft = draft_from_folder(kiosk_folder)
    rows = [dict(row) for row in draft.rows]
    rows[2]["width"] = "4 parsecs"
    opened("Range", Case(draft.changed(rows=tuple(rows))))
    copy = table_with(page, "row", "Line", "Width")
    assert list(copy["row"]) == ["3"]
    assert copy["Line"].iloc[0] == rows[2]["line"]
    assert copy["Width"].iloc[0].startswith("⚠ 4 parsecs: ")
    styles = [each.proto.arrow_data.styler.styles for each in page.table]
    assert sum("fbe3d2" in style for style in styles) == 2


ODD = (
    "Article no;Product;Dept.;W (cm);H (cm);D (cm);Margin;How shown;EAN\n"
    "A1;Mug;Kitchen;9;10;9;£18.00;shelf;4006381333931\n"
    "A2;Mug;Kitchen;9;10;9;12,5;shelf;\n"
    "A3;Mug+;Kitchen;9;10;9;1,200;shelf;\n"
)


def test_columns_are_known_by_the_short_names_of_lists(opened, page):
    """A bar code is rather a code than a number of the house; money comes with its sign."""
    opened("Range", Case())
    give(page, "odd.csv", ODD.encode())
    columns = {"code": "EAN", "category": "Dept.", "ways": "How shown", "value": "Margin"}
    assert {ours: page.selectbox(key=f"column-{ours}").value for ours in columns} == columns
    page.button(key="take-list").click().run()
    assert "1 name had signs" in said(page)
    assert "2 lines with the name of another" in said(page)
    values = [row["value"] for row in work_of(page).now.draft.rows]
    assert values == ["18.00", "12.5", "1,200"]


def test_a_small_face_is_not_told_as_none():
    """A face of a few square inches is a face."""
    assert area_words(0.0, metric=False) == "0 sq ft"
    assert area_words(30_000.0, metric=False) == "0.3 sq ft"
    assert area_words(15_000.0, metric=True) == "0.01 m²"
    assert area_words(2e5, metric=True) == "0.2 m²"


def test_another_list_is_guessed_anew(opened, page):
    """What stood in the fields for the wrong file is not kept for the right one."""
    opened("Range", Case())
    give(page, "wrong.csv", b"Telephone;Town\n1;Here\n")
    assert page.selectbox(key="column-line").value == "– not in the list –"
    assert "1 row. Which column is which?" in said(page)
    give(page, "mine.csv", LIST)
    assert page.selectbox(key="column-line").value == "Article"
    assert page.selectbox(key="unit-width").value == "mm"


def test_a_list_without_rows_replaces_nothing(opened, page):
    """Names of columns alone are no range."""
    opened("Range")
    give(page, "head.csv", b"Article;Group;W (mm);H (mm);D (mm);Shown on\n")
    assert "has no row" in said(page)
    assert "take-list" not in [button.key for button in page.button]
