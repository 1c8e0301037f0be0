"""Whatever a scenario's files may hold can be written on the page, too."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from shopfit.cases.case import Case
from shopfit.files.drafts import Draft, draft_from_folder, judge
from shopfit.model.fixtures import Catalogue
from shopfit.model.scenario import Shop
from shopfit.standards import load
from shopfit.ui.catalogue import brief, itemtables, neighbours, ordering, ownvalues
from shopfit.ui.measure import building, finishing, shelltables
from shopfit.ui.tables.cells import Field
from shopfit.ui.tables.fromschema import fields_of, lists_of
from tests.app.conftest import said, table_with, work_of

Path = tuple[str, ...]
# Lists that the page shows as tables of fields, or in a way of its own.
SHOP_TABLES = {
    ("rooms",): shelltables.rooms(),
    ("rooms", "walls"): shelltables.walls(),
    ("rooms", "walls", "heights"): shelltables.heights(()),
    ("doors",): shelltables.doors((), ()),
    ("windows",): shelltables.windows(()),
    ("obstructions",): shelltables.obstructions(()),
    ("columns",): shelltables.columns(),
    ("zones",): shelltables.zones(),
    ("overheads",): building.overheads(),
    ("fitting_rooms",): building.fitting_rooms(),
    ("building", "sprinklers"): building.sprinklers(),
    ("approach", "ramps"): shelltables.ramps(),
    ("brief", "bands"): brief.bands(),
    ("brief", "wanted"): brief.wanted(()),
}
SHOP_FORMS = {
    (): (*shelltables.shop_fields(), Field(("units",), "Lengths in")),
    ("approach",): (*shelltables.approach_fields(()), *shelltables.approach_more(())),
    ("building",): building.building().fields,
    ("finishes",): tuple(finishing.fields()),
    ("brief",): brief.wishes().fields,
    ("brief", "merchandising"): neighbours.way().fields,
    ("brief", "elasticity"): neighbours.elasticity().fields,
}
SHOP_OTHERS = {
    ("rooms", "corners"),
    ("brief", "elasticity", "categories"),
    *(("brief", "merchandising", name) for name in ("blocks", "touch", "apart", "order")),
}
CATALOGUE_TABLES = {
    ("fixtures",): itemtables.fixtures(),
    ("fixtures", "faces"): itemtables.faces(()),
    ("sheets",): itemtables.sheets(),
    ("brackets",): itemtables.brackets(),
    ("shelves",): itemtables.shelves(),
    ("materials",): ordering.materials(),
    ("ordering", "extras"): ordering.extras(),
    ("ordering", "steps"): ordering.steps(),
    ("ordering", "suppliers"): ordering.suppliers(),
    ("ordering", "suppliers", "steps"): ordering.supplier_steps(),
}
CATALOGUE_FORMS = {("ordering",): ordering.terms().fields}
CATALOGUE_OTHERS = {("ordering", "spares"), ("ordering", "suppliers", "prices")}


def every_place(model, before: Path = ()) -> Iterator[Path]:
    """Give every place of a file in which something may be written, through its lists."""
    for field in fields_of(model):
        yield (*before, *names(field))
    for path, kind in lists_of(model).items():
        here = (*before, *path)
        inner = [each for each in getattr(kind, "__args__", ()) if hasattr(each, "model_fields")]
        if inner:
            yield from every_place(inner[0], here)
        else:
            yield here


def names(field: Field) -> Path:
    """Give where a field stands, whichever of several numbers it is."""
    return tuple(step for step in field.path if isinstance(step, str))


def on_the_page(tables, forms, others) -> set[Path]:
    """Give every place that the page has a field for."""
    found = set(others)
    for path, spec in tables.items():
        found |= {(*path, *names(field)) for field in (*spec.fields, *spec.more)}
    for path, fields in forms.items():
        found |= {(*path, *names(field)) for field in fields}
    return found


@pytest.mark.parametrize(
    ("model", "tables", "forms", "others", "count"),
    [
        (Shop, SHOP_TABLES, SHOP_FORMS, SHOP_OTHERS, 190),
        (Catalogue, CATALOGUE_TABLES, CATALOGUE_FORMS, CATALOGUE_OTHERS, 120),
    ],
    ids=["shop", "fixtures"],
)
def test_whatever_a_file_may_hold_has_a_field_on_the_page(model, tables, forms, others, count):
    """Each single place of the two files is in a table or a form; a new one is missed here."""
    every = set(every_place(model))
    assert len(every) > count
    assert sorted(every - on_the_page(tables, forms, others)) == []


@pytest.mark.parametrize(
    "spec",
    [*SHOP_TABLES.values(), *CATALOGUE_TABLES.values(), building.building(), ordering.terms()],
    ids=lambda spec: spec.key,
)
def test_no_two_fields_of_a_form_have_the_same_name(spec):
    """A form reads its fields by their labels."""
    for fields in (spec.fields, spec.more):
        labels = [field.label for field in fields]
        assert len(set(labels)) == len(labels)


def form(page) -> dict:
    """Give the text fields by label, without units and escapes."""
    return {f.label.replace("\\", "").split(" (")[0]: f for f in page.text_input}


def test_the_building_is_described(opened, page):
    """Sprinklers not said, yes or no, people and the floor's load are written as typed."""
    page.session_state["measure-part"] = "Building"
    opened("Measure")
    next(s for s in page.selectbox if s.label == "Sprinklered").set_value("false")
    form(page)["Occupants"].set_value("12")
    form(page)["Floor: live load"].set_value("100 psf")
    page.button(key="building-put").click().run()
    assert work_of(page).now.draft.shop["building"] == {
        "sprinklered": "false",
        "occupants": "12",
        "floor": {"live_load": "100 psf"},
    }
    known = judge(work_of(page).now.draft).scenario.shop.building
    assert (known.sprinklered, known.occupants) == (False, 12)
    assert known.floor.live_load == pytest.approx(4.788, abs=0.001)


def test_a_wrong_load_of_the_floor_is_told_with_its_mend(opened, page):
    """What cannot be read stays as typed and is told."""
    page.session_state["measure-part"] = "Building"
    opened("Measure")
    form(page)["Floor: live load"].set_value("a lot")
    page.button(key="building-put").click().run()
    assert "a lot" in table_with(page, "where", "mend").to_string()


def test_a_finish_is_put_in_and_left_out(opened, page):
    """A finish is written in a form of its own and taken out again."""
    page.session_state["measure-part"] = "Finishes"
    opened("Measure")
    page.selectbox(key="which-finish").set_value("wall_paint").run()
    form(page)["Covers"].set_value("400 sq ft")
    page.button(key="finish-wall_paint-put").click().run()
    assert work_of(page).now.draft.shop["finishes"] == {"wall_paint": {"covers": "400 sq ft"}}
    paint = judge(work_of(page).now.draft).scenario.shop.finishes.wall_paint
    assert paint.covers == pytest.approx(37.16, abs=0.01)
    assert "400 sq ft" in table_with(page, "finish", "as written").to_string()
    page.button(key="finish-out").click().run()
    assert "finishes" not in work_of(page).now.draft.shop


def test_what_is_seldom_said_of_a_door_has_a_form(opened, page):
    """The threshold of one door is written at that door and nothing else changes."""
    page.session_state["measure-part"] = "Doors"
    opened("Measure")
    before = work_of(page).now.draft.shop["doors"]
    form(page)["Threshold"].set_value("1/2")
    page.button(key="doors-more-put").click().run()
    after = work_of(page).now.draft.shop["doors"]
    assert after == [{**before[0], "threshold": "1/2 in"}, *before[1:]]


def test_own_values_are_written_with_their_unit(opened, page):
    """A wider way is written as a length, kept with its reason, and taken out as a whole."""
    page.session_state["fixtures-part"] = "Own values"
    opened("Fixtures")
    next(s for s in page.selectbox if s.label == "Published value").set_value("turning-circle")
    form(page)["Mine"].set_value("66")
    form(page)["Why"].set_value("a wide chair")
    page.button(key="own-values-put").click().run()
    written = {"key": "turning-circle", "length": "66 in", "why": "a wide chair"}
    assert work_of(page).now.draft.values == {"values": [written]}
    (own,) = judge(work_of(page).now.draft).scenario.own.values
    assert own.value == pytest.approx(66 * 25.4)
    page.selectbox(key=f"own-values-form-{page.session_state['generation']}-which").set_value(0)
    page.run()
    page.button(key="own-values-out").click().run()
    assert work_of(page).now.draft.values == {}


def test_own_values_that_ask_for_less_are_marked_in_their_row(opened, page, kiosk_folder):
    """A value under the published one is told in its row and below with the mend."""
    page.session_state["fixtures-part"] = "Own values"
    draft = draft_from_folder(kiosk_folder)
    values = {"values": [{"key": "turning-circle", "length": "10 in"}]}
    opened("Fixtures", Case(draft.changed(values=values)))
    assert "never for less" in table_with(page, "Published value", "Check")["Check"][0]
    assert "10 in" in table_with(page, "where", "mend").to_string()


def test_every_measure_of_an_own_value_is_written_as_its_file_has_it():
    """Lengths, slopes, forces and counts are told apart by the unit of the published value."""
    book = load("us")
    units = {each.unit: each.key for each in book}
    for unit, text, wanted in (
        ("mm", "44 in", {"length": "44 in"}),
        ("rise/run", "1:20", {"ratio": "1:20"}),
        ("N", "4 lbf", {"value": "4", "unit": "lbf"}),
        ("count", "3", {"value": "3", "unit": "count"}),
    ):
        row = ownvalues.as_written({"key": units[unit], "written": text}, book, "ft-in")
        assert row == {"key": units[unit], **wanted}
        assert ownvalues.as_shown(row)["written"].split()[0] == text.split()[0]


def test_categories_have_their_own_growth_order_and_groups(opened, page):
    """Power, most groups and order on the way come to what the brief means by them."""
    page.session_state["fixtures-part"] = "Categories"
    opened("Fixtures")
    for label, choice, fields, button in (
        ("Sales of", "Linen", {"Grow with facings to the power of": "0.3"}, "elasticities-put"),
        ("Goods of", "Candles", {"Stand in at most": "2"}, "blocks-put"),
        (None, None, {"Categories as they are passed": "Linen, Candles"}, "order-put"),
        (None, None, {"Goes by": "10, 10; 10, 60"}, "way-put"),
    ):
        if label:
            next(s for s in page.selectbox if s.label == label).set_value(choice)
        for name, text in fields.items():
            form(page)[name].set_value(text)
        page.button(key=button).click().run()
        assert not page.exception
    judged = judge(work_of(page).now.draft)
    assert judged.faults == ()
    found = judged.scenario.brief
    assert found.elasticity.of("Linen") == 0.3
    assert found.merchandising.blocks == {"Candles": 2}
    assert found.merchandising.order == (("Linen", "Candles"),)
    start, end = found.merchandising.way
    assert start == pytest.approx((254, 254))
    assert end == pytest.approx((254, 1524))


def test_odd_wishes_of_categories_do_not_break_the_page(opened, page, kiosk_folder):
    """Wishes that are no lists and no mappings are told as faults."""
    page.session_state["fixtures-part"] = "Categories"
    draft = draft_from_folder(kiosk_folder)
    odd = {"blocks": "one", "touch": "all", "order": [["Linen", "Candles"], "x"], "way": 3}
    shop = {**draft.shop, "brief": {"merchandising": odd, "elasticity": "none"}}
    opened("Fixtures", Case(draft.changed(shop=shop)))
    assert "fault of the program" not in said(page)
    assert "merchandising" in table_with(page, "where", "mend").to_string()


def test_suppliers_ask_their_own_prices(opened, page):
    """A supplier is added, and a price of theirs is written under their name."""
    page.session_state["fixtures-part"] = "Ordering"
    opened("Fixtures")
    form(page)["Id"].set_value("x")
    page.button(key="suppliers-put").click().run()
    assert not page.exception
    named = work_of(page).now.draft.fixtures["ordering"]["suppliers"][0]["id"]
    key = f"prices-form-{page.session_state['generation']}--1"
    page.selectbox(key=f"{key}-0").set_value(named)
    page.text_input(key=f"{key}-1").set_value("hook-6")
    page.text_input(key=f"{key}-2").set_value("9")
    page.button(key="prices-put").click().run()
    assert work_of(page).now.draft.fixtures["ordering"]["suppliers"] == [
        {"id": named, "prices": {"hook-6": "9"}}
    ]


@pytest.mark.parametrize("part", ["Building", "Finishes", "Beams and ducts", "Fitting rooms"])
def test_new_parts_of_the_shell_open_with_any_case(opened, page, part):
    """Each part is shown with an ordinary, an empty and an odd case."""
    page.session_state["measure-part"] = part
    opened("Measure")
    opened("Measure", Case(), name="empty")
    odd = {"building": "old", "finishes": ["paint"], "overheads": "none", "fitting_rooms": 3}
    opened("Measure", Case(Draft(shop={"name": "x", **odd})), name="odd")
    assert "fault of the program" not in said(page)
