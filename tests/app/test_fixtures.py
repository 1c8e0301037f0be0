"""Fixtures: lists of what may be bought, own things by size, and the brief in plain words."""

from __future__ import annotations

import pytest

from shopfit.cases.case import Case
from shopfit.files.drafts import Draft, draft_from_folder, judge
from shopfit.model.fixtures import Bracket, Fixture
from shopfit.ui.catalogue import neighbours
from shopfit.ui.catalogue.bysize import STANDS, bracket_by_size, fixture_by_size, free_id
from shopfit.ui.catalogue.section import PARTS
from shopfit.ui.tables import records
from shopfit.units import INCH_MM
from tests.app.conftest import said, table_with, work_of


def fixtures_of(page) -> dict:
    """Give what may be bought as written."""
    return work_of(page).now.draft.fixtures


@pytest.mark.parametrize("part", PARTS)
def test_every_part_opens_with_an_ordinary_and_an_empty_case(opened, page, part):
    """Each list and the brief are shown with things in them and without."""
    page.session_state["fixtures-part"] = part
    opened("Fixtures")
    assert not page.error
    opened("Fixtures", Case(), name="empty")
    assert "fault of the program" not in said(page)


def test_an_empty_list_can_start_from_an_example(opened, page):
    """Where nothing can be bought yet an example is offered."""
    opened("Fixtures", Case())
    page.button(key="example-fixtures").click().run()
    assert len(fixtures_of(page)["fixtures"]) == 4


def test_faults_are_told_in_their_row_and_below(opened, page, kiosk_folder):
    """A wrong price is marked in its row and listed with its mend."""
    draft = draft_from_folder(kiosk_folder)
    listed = [dict(each) for each in draft.fixtures["fixtures"]]
    listed[1]["price"] = "dear"
    draft = draft.changed(fixtures={**draft.fixtures, "fixtures": listed})
    opened("Fixtures", Case(draft))
    checks = table_with(page, "Id", "Check")["Check"]
    assert [bool(check) for check in checks] == [False, True, False, False, False]
    assert "dear" in table_with(page, "where", "mend").to_string()


@pytest.mark.parametrize("kind", STANDS)
def test_any_kind_by_size_is_sound_everywhere(kiosk_folder, kind):
    """A thing of three sizes and a price is a fixture without a fault, beside all others."""
    draft = draft_from_folder(kiosk_folder)
    taken = [fixture["id"] for fixture in draft.fixtures["fixtures"]]
    own = fixture_by_size(kind, 36 * INCH_MM, 20 * INCH_MM, 36 * INCH_MM, "120", taken)
    fixture = Fixture.model_validate(own)
    assert fixture.width == pytest.approx(36 * INCH_MM)
    listed = [*draft.fixtures["fixtures"], own]
    judged = judge(draft.changed(fixtures={**draft.fixtures, "fixtures": listed}))
    assert judged.faults == ()
    for face in fixture.faces:
        assert face.depth <= fixture.depth
        assert face.top > face.bottom


def test_a_cabinet_of_ones_own_is_added(opened, page):
    """Kind, sizes and price are enough; one step undoes it."""
    opened("Fixtures")
    page.selectbox(key="own-kind").set_value("base-cabinet")
    page.text_input(key="own-price").set_value("99")
    for name, size in (("width", "30"), ("depth", "18 in"), ("height", "900 mm")):
        page.text_input(key=f"own-{name}").set_value(size)
    page.button(key="own-add").click().run()
    own = fixtures_of(page)["fixtures"][-1]
    assert own["id"] == "base-cabinet-30"
    assert judge(work_of(page).now.draft).faults == ()
    page.button(key="undo").click().run()
    assert len(fixtures_of(page)["fixtures"]) == 5


@pytest.mark.parametrize(
    ("sizes", "price", "word"),
    [
        (("x", "1", "1"), "1", "length"),
        (("0", "1", "1"), "1", "more"),
        (("9", "9", "9"), "", "price"),
    ],
)
def test_sizes_that_cannot_be_are_told(opened, page, sizes, price, word):
    """What cannot be read is told at once and nothing is added."""
    opened("Fixtures")
    page.text_input(key="own-price").set_value(price)
    for name, size in zip(("width", "depth", "height"), sizes, strict=True):
        page.text_input(key=f"own-{name}").set_value(size)
    page.button(key="own-add").click().run()
    assert word in said(page)
    assert len(fixtures_of(page)["fixtures"]) == 5


def test_a_bracket_of_ones_own_is_added(opened, page):
    """Depth, load and price are enough for a bracket."""
    page.session_state["fixtures-part"] = "Brackets"
    opened("Fixtures")
    for name, text in (("depth", "7"), ("load", "5"), ("price", "3")):
        page.text_input(key=f"own-bracket-{name}").set_value(text)
    page.button(key="own-bracket-add").click().run()
    assert fixtures_of(page)["brackets"][-1]["load"] == "5 lb"
    assert judge(work_of(page).now.draft).faults == ()


def test_own_brackets_are_sound():
    """What is written of a bracket by size is a bracket."""
    own = bracket_by_size("hook", 150.0, "2 kg", "4", "", ["hook-6"])
    assert Bracket.model_validate(own).id == "hook-6-2"
    assert free_id("a", []) == "a"


def test_faces_go_to_their_fixture(opened, page):
    """A face added in the list of all faces is written at its fixture."""
    page.session_state["fixtures-part"] = "Their faces"
    opened("Fixtures")
    for field in page.text_input:
        name = field.label.replace("\\", "").split(" (")[0]
        texts = {"Lowest surface": "4", "Highest goods": "30", "Usable depth": "10"}
        if name in texts:
            field.set_value(texts[name])
    next(s for s in page.selectbox if s.label == "Fixture").set_value("counter-48")
    page.button(key="faces-put").click().run()
    counter = next(f for f in fixtures_of(page)["fixtures"] if f["id"] == "counter-48")
    assert counter["faces"] == [
        {"side": "front", "kind": "shelf", "bottom": "4 in", "top": "30 in", "depth": "10 in"}
    ]


def test_the_brief_is_changed_in_plain_words(opened, page):
    """Aim, aisle and money are changed by a form, and what was not touched stays."""
    page.session_state["fixtures-part"] = "The brief"
    opened("Fixtures")
    before = work_of(page).now.draft.shop["brief"]
    next(s for s in page.selectbox if s.label == "What I want most").set_value("value")
    field = {f.label.replace("\\", "").split(" (")[0]: f for f in page.text_input}
    field["Customers' aisles at least"].set_value("44")
    field["Most that all may cost"].set_value("")
    page.button(key="brief-put").click().run()
    brief = work_of(page).now.draft.shop["brief"]
    assert brief["objective"] == "value"
    assert brief["aisle"] == "44 in"
    assert "budget" not in brief
    assert brief["staff_aisle"] == before["staff_aisle"]
    assert brief["wanted"] == before["wanted"]


def test_neighbours_are_wished_for(opened, page):
    """A pair of categories is written as the scenario's own wish and can be taken out again."""
    page.session_state["fixtures-part"] = "Categories"
    opened("Fixtures")
    next(s for s in page.selectbox if s.label == "Category").set_value("Linen")
    next(s for s in page.selectbox if s.label == "Other category").set_value("Candles")
    page.button(key="pairs-put").click().run()
    brief = work_of(page).now.draft.shop["brief"]
    assert brief["merchandising"]["touch"] == [["Linen", "Candles"]]
    assert judge(work_of(page).now.draft).faults == ()


def test_an_odd_brief_does_not_break_the_page(opened, page):
    """A brief that is no mapping is told as a fault and shown empty."""
    page.session_state["fixtures-part"] = "The brief"
    opened("Fixtures", Case(Draft(shop={"name": "x", "brief": "none"})))
    assert "fault of the program" not in said(page)


def test_a_faulty_fixture_is_shown_with_its_cell_marked(opened, page, kiosk_folder):
    """Below the table of fixtures the faulty one stands once more, the cell at fault marked."""
    draft = draft_from_folder(kiosk_folder)
    fixtures = [dict(each) for each in draft.fixtures["fixtures"]]
    fixtures[1]["price"] = "dear"
    fixtures[1]["colour"] = "red"
    changed = draft.changed(fixtures={**draft.fixtures, "fixtures": fixtures})
    opened("Fixtures", Case(changed))
    copy = table_with(page, "row", "Id", "Price")
    assert list(copy["row"]) == ["2"]
    assert copy["Price"].iloc[0].startswith("⚠ dear: ")
    # What belongs to no column is told at the name.
    assert copy["Id"].iloc[0].startswith(f"⚠ {fixtures[1]['id']}: ")
    assert list(copy.columns) == ["row", "Id", "Price"]


def test_a_table_calls_choices_as_its_form_does():
    """Who chose that categories stand next to one another does not read that they touch."""
    stands = records._columns(neighbours.pairs(["Bath"]).fields, "mm", False)["Stands"]
    assert stands["type_config"]["options"] == [
        {"value": "touch", "label": "next to"},
        {"value": "apart", "label": "away from"},
    ]


def test_a_wish_without_categories_is_to_be_filled_in(opened, page, kiosk_folder):
    """Nothing is not a name with odd signs in it."""
    draft = draft_from_folder(kiosk_folder)
    brief = {**draft.shop["brief"], "merchandising": {"touch": [[None, None]]}}
    judged = judge(draft.changed(shop={**draft.shop, "brief": brief}), "kiosk")
    assert {fault.mend for fault in judged.faults} == {"Write what is missing, or take it out."}
