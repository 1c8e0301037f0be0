"""The page for everyone: kept, in two windows, on narrow screens, in the dark, no barriers."""

from __future__ import annotations

import time
from importlib import resources

import pytest

from shopfit.ui.page import SECTIONS
from tests.browser.conftest import (
    complaints,
    element,
    hosts,
    pick,
    press,
    section,
    settled,
    start_from,
    switch,
    waited,
    write,
)

pytestmark = pytest.mark.browser

USABLE_SECONDS = 3.0
# What WCAG 2.1 asks for at levels A and AA.
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"]
SCAN = """
const done = arguments[arguments.length - 1];
axe.run(document, {runOnly: {type: 'tag', values: arguments[0]}, resultTypes: ['violations']})
  .then(result => done(result.violations.map(
     found => [found.impact, found.id, found.nodes.map(node => node.html.slice(0, 200))])))
  .catch(error => done([['critical', 'scan failed', [String(error)]]]));
"""


def barriers(browser) -> list[list[object]]:
    """Give serious and critical findings of an accessibility scan of what is shown."""
    axe = resources.files("axe_core_python") / "axe.min.js"
    browser.execute_script(axe.read_text("utf-8"))
    browser.set_script_timeout(90)
    found = browser.execute_async_script(SCAN, RULES)
    return [each for each in found if each[0] in ("serious", "critical")]


def test_no_section_has_a_barrier(browser, address):
    """A scan of every section, in light, finds nothing serious; and nobody else is asked."""
    pytest.importorskip("axe_core_python")
    browser.get(address)
    element(browser, ".st-key-open-start button")
    settled(browser)
    assert barriers(browser) == []
    start_from(browser, address, "market-kiosk")
    found = {}
    for each in SECTIONS:
        section(browser, each.label)
        found[each.label] = barriers(browser)
    assert {label: told for label, told in found.items() if told} == {}
    assert complaints(browser) == []
    assert hosts(browser) <= {"localhost"}


def test_the_dark_page_has_no_barrier(browser, address):
    """Contrast holds for those who have asked for dark as well."""
    pytest.importorskip("axe_core_python")
    media = {"features": [{"name": "prefers-color-scheme", "value": "dark"}]}
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", media)
    start_from(browser, address, "market-kiosk")
    ground = browser.execute_script(
        "return getComputedStyle(document.querySelector('[data-testid=stApp]')).backgroundColor"
    )
    assert ground == "rgb(21, 25, 30)"
    for label in ("Measure", "Range"):
        section(browser, label)
        assert barriers(browser) == [], label


def test_it_reads_on_a_narrow_screen(browser, address):
    """At 360 px nothing but tables and rows of buttons is wider than the screen."""
    browser.execute_cdp_cmd(
        "Emulation.setDeviceMetricsOverride",
        {"width": 360, "height": 740, "deviceScaleFactor": 2, "mobile": True},
    )
    start_from(browser, address, "market-kiosk")
    for each in SECTIONS:
        section(browser, each.label)
        wide, screen = browser.execute_script(
            "const main = document.querySelector('[data-testid=stMain]');"
            "return [main.scrollWidth, window.innerWidth]"
        )
        assert screen == 360
        assert wide <= screen + 1, each.label


def test_a_case_survives_a_reload(browser, address):
    """After a reload the same case is open in the same section, with what was typed."""
    start_from(browser, address, "an empty room")
    write(browser, 'input[aria-label^="Length ("]', "9 ft")
    press(browser, "add-wall")
    settled(browser)
    section(browser, "Range")
    section(browser, "Measure")
    browser.refresh()
    element(browser, ".st-key-last-wall button")
    settled(browser)
    assert "1 of at least 3 walls" in element(browser, ".st-key-closing").text


def test_two_windows_do_not_overwrite_each_other(browser, address):
    """The second window to change a case is told, and keeps its own under another name."""
    start_from(browser, address, "an empty room")
    first = browser.current_window_handle
    named = browser.current_url
    browser.switch_to.new_window("tab")
    browser.get(named)
    element(browser, ".st-key-section")
    settled(browser)
    second = browser.current_window_handle
    for window in (first, second):
        browser.switch_to.window(window)
        write(browser, 'input[aria-label^="Length ("]', "9 ft")
        press(browser, "add-wall")
        settled(browser)
    assert "another window" in element(browser, ".st-key-kept").text
    press(browser, "keep-mine")
    waited(
        browser,
        lambda driver: "another window" not in element(driver, ".st-key-kept").text,
        "the trouble stayed",
    )


def test_the_keyboard_reaches_the_next_wall(browser, address):
    """A wall can be added without a mouse: type, and press Enter."""
    from selenium.webdriver.common.keys import Keys

    start_from(browser, address, "an empty room")
    field = element(browser, 'input[aria-label^="Length ("]')
    field.send_keys("9 ft", Keys.ENTER)
    waited(
        browser,
        lambda driver: "1 of at least 3" in element(driver, ".st-key-closing").text,
        "the wall was not added",
    )


def test_it_is_usable_soon(browser, address):
    """Once the server is warm the page can be used within three seconds of opening it."""
    browser.get(address)
    element(browser, ".st-key-open-start button")
    settled(browser)
    begun = time.monotonic()
    browser.get(address)
    element(browser, ".st-key-open-start button")
    assert time.monotonic() - begun < USABLE_SECONDS


def test_drawings_of_the_shell_follow_the_units(browser, address):
    """The switch of units changes the picture's words for those who do not see it."""
    start_from(browser, address, "market-kiosk")
    css = ".st-key-shell-picture img"
    assert "12' 0" in element(browser, css).get_attribute("alt")
    pick(browser, '[class*="st-key-units-"] input', "mm")
    waited(
        browser,
        lambda driver: "3658 mm" in element(driver, css).get_attribute("alt"),
        "the picture kept its units",
    )
    switch(browser, "measure-part", "Windows")
    assert complaints(browser) == []
