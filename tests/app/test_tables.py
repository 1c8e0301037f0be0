"""Cells and rows of tables: what is shown, what is written, and what stays as it was."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfit.errors import Fault
from shopfit.ui.tables.cells import (
    Field,
    shown,
    unit_hint,
    value_at,
    with_unit,
    with_value,
    written,
)
from shopfit.ui.tables.records import Records, changed_items, checks_of, fresh, row_of
from shopfit.ui.text import label
from shopfit.units import parse_length

LENGTH, MASS, LOAD = (
    Field(("a",), "A", "length"),
    Field(("b",), "B", "mass"),
    Field(("c",), "C", "line load"),
)
YES, WAYS, PLACES = (
    Field(("d",), "D", "yes or no", usual="true"),
    Field(("e",), "E", "choices", ("x", "y")),
    Field(("f",), "F", "places"),
)
ALL = (Field(("id",), "Name"), LENGTH, MASS, LOAD, YES, WAYS, PLACES)


@pytest.mark.parametrize(
    ("text", "field", "units", "cell"),
    [
        ("2350 mm", LENGTH, "ft-in", "7' 8 1/2\""),
        ("7' 8 1/2\"", LENGTH, "mm", "2350 mm"),
        ("12 parsecs", LENGTH, "mm", "12 parsecs"),
        ("1 kg", MASS, "ft-in", "2.2 lb"),
        ("30 lb/ft", LOAD, "mm", "44.64 kg/m"),
        (None, YES, "mm", True),
        ("no", YES, "mm", False),
        ("yes", YES, "mm", True),
        (["x", "y"], WAYS, "mm", ["x", "y"]),
        (None, WAYS, "mm", []),
        ([["0 in", "1 in"], ["2 in", "3 in"]], PLACES, "in", '0", 1"; 2", 3"'),
        (None, LENGTH, "mm", ""),
    ],
)
def test_what_is_written_is_shown_in_the_units_chosen(text, field, units, cell):
    """Every kind of value is shown as its owner reads it; what cannot be read as it stands."""
    assert shown(text, field, units) == cell


@pytest.mark.parametrize(
    ("typed", "field", "units", "text"),
    [
        ("92.5", LENGTH, "ft-in", "92.5 in"),
        ("92 1/2", LENGTH, "in", "92 1/2 in"),
        ("2,35", LENGTH, "m", "2.35 m"),
        ("7' 8\"", LENGTH, "mm", "7' 8\""),
        ("5", MASS, "in", "5 lb"),
        ("5", MASS, "mm", "5 kg"),
        ("30", LOAD, "ft-in", "30 lb/ft"),
        ("", LENGTH, "mm", None),
        (None, LENGTH, "mm", None),
        (True, YES, "mm", "true"),
        ("x, y", WAYS, "mm", ["x", "y"]),
        ("0, 1; 2, 3;", PLACES, "mm", [["0 mm", "1 mm"], ["2 mm", "3 mm"]]),
        ("abc", LENGTH, "mm", "abc"),
    ],
)
def test_what_is_typed_is_written_with_its_unit(typed, field, units, text):
    """A bare number gets the unit of the page; anything else is kept for the checks to judge."""
    assert written(typed, field, units) == text


@given(st.integers(1, 5000), st.sampled_from(["ft-in", "in", "mm", "m"]))
def test_bare_numbers_are_read_back_as_lengths(number, units):
    """Whatever the unit of the page, a bare number becomes a length that can be read."""
    factor = {"ft-in": 25.4, "in": 25.4, "mm": 1.0, "m": 1000.0}[units]
    assert parse_length(with_unit(str(number), "length", units)) == pytest.approx(number * factor)


@given(
    st.sampled_from(["ft-in", "in", "mm", "m"]),
    st.floats(1, 20_000, allow_nan=False).map(lambda size: f"{size:.4f} mm"),
)
def test_what_is_not_touched_stays_as_it_was_written(units, text):
    """Showing a measure in other units and back rounds nothing away."""
    item = {"id": "x", "a": text, "other": ["kept"]}
    assert changed_items([item], [row_of(item, ALL, units)], ALL, units) == [item]


def test_only_the_cell_that_was_changed_is_written():
    """A change of one cell leaves the exact measures beside it alone."""
    item = {"id": "x", "a": "92.53 in", "b": "1.234 kg"}
    row = row_of(item, ALL, "ft-in") | {"A": "100"}
    assert changed_items([item], [row], ALL, "ft-in") == [{**item, "a": "100 in"}]


@pytest.mark.parametrize("empty", ["", None, float("nan")])
def test_an_emptied_cell_takes_the_field_out(empty):
    """An empty cell, however the table gives it, is nothing written."""
    item = {"id": "x", "a": "92 in"}
    row = row_of(item, ALL, "ft-in") | {"A": empty}
    assert changed_items([item], [row], ALL, "ft-in") == [{"id": "x"}]


def test_values_deep_inside_are_read_and_written():
    """Places in lists and in fields of fields can be set and taken out again."""
    item = with_value({}, ("at", 1), "2 in")
    assert item == {"at": [None, "2 in"]}
    item = with_value(item, ("top", "width"), "3 in")
    assert value_at(item, ("top", "width")) == "3 in"
    assert value_at(item, ("at", 5)) is None
    assert value_at(item, ("none", "width")) is None
    assert with_value(with_value(item, ("at", 1), None), ("top", "width"), None) == {}


def test_faults_go_to_the_row_they_belong_to():
    """Each fault is told in the row of its name, and a longer name is another row."""
    records = Records("doors", "door", ALL)
    items = [{"id": "a"}, {"id": "a b"}, {}]
    faults = [
        Fault("f", "doors > a > width", "0", "more", "Widen it."),
        Fault("f", "doors > item 3", "x", "y", "Name it."),
    ]
    checks = checks_of(faults, ("doors",), items, records)
    assert checks == ["⚠ width: Widen it.", "", "⚠ door: Name it."]


def test_a_new_one_gets_a_free_name():
    """Names that stand already are not given again."""
    records = Records("doors", "door", (Field(("id",), "Name"), Field(("w",), "W", start="36 in")))
    assert fresh(records, ["door 2"]) == {"id": "door 3", "w": "36 in"}
    assert fresh(records, []) == {"id": "door 1", "w": "36 in"}


def test_units_of_columns_are_told():
    """A column says in which unit it is read."""
    assert unit_hint("length", "mm") == "mm"
    assert unit_hint("mass", "ft-in") == "lb"
    assert unit_hint("text", "mm") == ""


def test_labels_carry_no_escapes_that_screen_readers_would_say():
    """Units stand in brackets and names have dashes; only what acts as a mark is escaped."""
    assert label("Slat-wall begins at (ft, in)") == "Slat-wall begins at (ft, in)"
    assert label("Width *") == "Width *"
    assert label("Width: numbers without a unit are") == "Width: numbers without a unit are"
    assert label("*bold* [x](y) :red[z] $1$") == r"\*bold\* \[x\](y) \:red\[z\] \$1\$"


@pytest.mark.parametrize(
    ("section", "key", "part"),
    [
        ("Measure", "measure-part", "Doors"),
        ("Fixtures", "fixtures-part", "Fixtures"),
        ("Fixtures", "fixtures-part", "The brief"),
    ],
)
def test_no_field_of_the_page_is_called_by_escapes(opened, page, section, key, part):
    """What a label says is what a screen reader says."""
    page.session_state[key] = part
    opened(section)
    fields = [*page.text_input, *page.selectbox, *page.checkbox, *page.multiselect]
    assert len(fields) > 3
    assert [each.label for each in fields if "\\" in each.label] == []
