"""The job in a real browser: from an empty room to a list that was saved, and a search stopped."""

from __future__ import annotations

import csv
import os
import signal
import subprocess
import time
import zipfile
from urllib.parse import parse_qs, urlsplit

import pytest

from tests.browser.conftest import (
    ENDED,
    PATIENCE,
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
# What is aimed at is half a second; a busy machine may take longer.
LOOSE_MS = 5000.0
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


# The numbers of a layout that are wider than their place.
CUT_OFF = (
    "const numbers = document.querySelectorAll('[data-testid=stMetricValue]');"
    "return [...numbers].flatMap(e => [e, ...e.querySelectorAll('*')])"
    ".filter(e => e.scrollWidth > e.clientWidth + 1 && e.clientWidth > 0).map(e => e.textContent)"
)


def test_stop_keeps_what_there_is(browser, address):
    """A search begins at once, ticks on while the page is used, and stops with what it has."""
    start_from(browser, address, "corner-yarn")
    section(browser, "Lay out")
    write(browser, ".st-key-seconds input", "600")
    settled(browser)
    begun = clicked_until(browser, "start", ".st-key-live")
    print(f"the search was shown as running {begun:.0f} ms after the click")
    assert begun < LOOSE_MS
    before = element(browser, ".st-key-live").text
    waited(
        browser, lambda driver: element(driver, ".st-key-live").text != before, "nothing moved on"
    )
    start = time.monotonic()
    switch_while_searching(browser, "Measure")
    print(f"another section came {time.monotonic() - start:.2f} s after the click meanwhile")
    switch_while_searching(browser, "Lay out")
    press(browser, "stop")
    element(browser, ENDED, SOLVE_PATIENCE)
    assert "fault of the program" not in element(browser, ENDED).text
    # On a small screen as well no sum of money is cut off.
    browser.set_window_size(1000, 1000)
    element(browser, "[data-testid=stMetricValue]")
    settled(browser)
    assert browser.execute_script(CUT_OFF) == []


def test_a_solver_that_is_killed_is_said_and_the_page_lives(browser, address):
    """Whatever ends the solver's process, the page says so and searches again when asked."""
    start_from(browser, address, "corner-yarn")
    section(browser, "Lay out")
    write(browser, ".st-key-seconds input", "600")
    press(browser, "start")
    waited(
        browser,
        lambda driver: "none yet" not in element(driver, ".st-key-live").text,
        "nothing was found",
    )
    found = solvers(urlsplit(address).port)
    assert found
    for pid in found:
        os.kill(pid, signal.SIGKILL)
    assert "SIGKILL" in element(browser, ".st-key-failed").text
    settled(browser)
    write(browser, ".st-key-seconds input", "6")
    press(browser, "start")
    assert "best layout found" in element(browser, ".st-key-outcome", SOLVE_PATIENCE).text


def clicked_until(browser, key: str, css: str) -> float:
    """Press a button, and give the milliseconds until something is shown, by the page's clock."""
    browser.set_script_timeout(PATIENCE)
    return browser.execute_async_script(
        "const [key, css, done] = arguments, begun = performance.now();"
        "const look = new MutationObserver(() => { if (!document.querySelector(css)) return;"
        " look.disconnect(); done(performance.now() - begun); });"
        "look.observe(document.body, {subtree: true, childList: true});"
        "document.querySelector(`.st-key-${key} button`).click();",
        key,
        css,
    )


def switch_while_searching(browser, label: str) -> None:
    """Go to a section while a search ticks, so that the page never settles."""

    def gone(driver) -> bool:
        for button in driver.find_elements("css selector", ".st-key-section button"):
            if button.text.strip() == label:
                button.click()
                return True
        return False

    waited(browser, gone, f"{label} could not be pressed")
    waited(browser, lambda driver: label in element(driver, "h2").text, f"no section {label}")


def solvers(port: int) -> list[int]:
    """Give the processes apart that belong to the page served on a port."""
    told = subprocess.run(
        ["ps", "-ww", "-eo", "pid,ppid,args"], capture_output=True, text=True, check=True
    ).stdout.splitlines()
    rows = [line.split(None, 2) for line in told]
    servers = {pid for pid, _, args in rows if f"--server.port={port}" in args}
    return [int(pid) for pid, parent, args in rows if parent in servers and "shopfit.apart" in args]
