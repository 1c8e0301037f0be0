"""The job in a real browser: from an empty room to a list that was saved, and a search stopped."""

from __future__ import annotations

import csv
import zipfile
from urllib.parse import parse_qs, urlsplit

import pytest

from tests.browser.conftest import (
    ENDED,
    SOLVE_PATIENCE,
    complaints,
    drawn,
    element,
    pick,
    press,
    saved,
    section,
    settled,
    start_from,
    switch,
    waited,
    write,
)

pytestmark = pytest.mark.browser

# With column names, a separator and numbers of somebody's own.
GOODS = """Article;Department;W (in);H (in);D (in);Shown on;Most
Mug;Kitchen;4;4 1/2;4;shelves;8
Bowl;Kitchen;8;4;8;shelves;8
Towel;Bath;8;12;1;pegs;8
Brush;Bath;4;14;2;pegs;8
"""
LENGTH = 'input[aria-label^="Length ("]'


def _name(browser) -> str:
    """Give the name of the case as files bear it; others may have taken the first one."""
    case = parse_qs(urlsplit(browser.current_url).query)["case"][0]
    return case.replace(" ", "-")


def test_from_an_empty_room_to_a_saved_list(browser, address, downloads):
    """Walls, a door, goods, fixtures, a search, and the shopping list, as a person does it."""
    start_from(browser, address, "an empty room")
    for length in ("16 ft", "12'6\"", "192", "150 in"):
        write(browser, LENGTH, length)
        press(browser, "add-wall")
        settled(browser)
    assert "The walk closes" in element(browser, ".st-key-closing").text
    switch(browser, "measure-part", "Doors")
    pick(browser, '[class*="st-key-doors-form"] input[aria-label$="Wall"]', "wall 4")
    write(browser, 'input[aria-label^="From left"]', "50")
    press(browser, "doors-put")
    settled(browser)
    section(browser, "Range")
    goods = downloads / "our goods.csv"
    goods.write_text(GOODS)
    browser.find_element("css selector", "input[type=file][accept*=xlsx]").send_keys(str(goods))
    press(browser, "take-list")
    settled(browser)
    section(browser, "Fixtures")
    press(browser, "example-fixtures")
    settled(browser)
    section(browser, "Lay out")
    write(browser, ".st-key-seconds input", "5")
    press(browser, "start")
    outcome = element(browser, ENDED, SOLVE_PATIENCE)
    assert "Meets the values checked" in outcome.text
    for key in ("plan-sheets", "elevation-sheets"):
        assert drawn(browser, f".st-key-{key}") > 100, key
    settled(browser)
    section(browser, "Take away")
    press(browser, "make-files")
    press(browser, "take-shopping-list-csv")
    with saved(downloads, "shopping-list.csv").open(encoding="utf-8", newline="") as stream:
        rows = list(csv.reader(stream))
    assert len(rows) > 3
    assert "slat-4x8" in " ".join(" ".join(row) for row in rows)
    press(browser, "take-all")
    with zipfile.ZipFile(saved(downloads, f"{_name(browser)}.zip")) as archive:
        names = {name.split("/")[-1] for name in archive.namelist()}
    assert {"shop.yaml", "range.csv", "fixtures.yaml", "layout.json", "drawings.pdf"} <= names
    assert complaints(browser) == []


def test_stop_keeps_what_there_is(browser, address):
    """A long search ticks on without a click and, stopped by its button, shows its layout."""
    start_from(browser, address, "corner-yarn")
    section(browser, "Lay out")
    write(browser, ".st-key-seconds input", "600")
    press(browser, "start")
    before = element(browser, ".st-key-live").text
    waited(
        browser, lambda driver: element(driver, ".st-key-live").text != before, "nothing moved on"
    )
    press(browser, "stop")
    element(browser, ENDED, SOLVE_PATIENCE)
    assert "fault of the program" not in element(browser, ENDED).text
