"""The page in a real browser: choose a demo, lay it out, take the shopping list away."""

from __future__ import annotations

import csv
import os
import shutil
import socket
import subprocess
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

from shopfit.ui.start import page_command

pytestmark = pytest.mark.browser

ROOT = Path(__file__).parents[2]
REQUIRED = os.environ.get("SHOPFIT_REQUIRE_BROWSER") == "1"
FLAGS = (
    "--headless=new",
    "--no-sandbox",
    "--disable-dev-shm-usage",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
    "--window-size=1400,1800",
)
# However a search ends, so that a failure is told at once and in its own words.
ENDED = ".st-key-outcome, .st-key-failed, [data-testid=stException]"
PATIENCE = 60.0
SOLVE_PATIENCE = 180.0


def program(*names: str) -> str:
    """Find a program, or skip; fail where a browser is required."""
    for name in names:
        path = shutil.which(name)
        if path:
            return path
    told = f"none of {', '.join(names)} is installed"
    if REQUIRED:
        pytest.fail(told)
    pytest.skip(told)


@pytest.fixture(scope="module")
def address(tmp_path_factory) -> Iterator[str]:
    """Serve the page on a free port; its output goes to a file, for a pipe can block it."""
    with socket.socket() as probe:
        probe.bind(("localhost", 0))
        port = probe.getsockname()[1]
    log = tmp_path_factory.mktemp("page") / "log.txt"
    with log.open("w") as output:
        server = subprocess.Popen(
            page_command(port, ROOT / "streamlit_app.py", headless=True),
            cwd=ROOT,
            stdout=output,
            stderr=subprocess.STDOUT,
        )
    try:
        _healthy(f"http://localhost:{port}", server, log)
        yield f"http://localhost:{port}"
    finally:
        server.terminate()
        server.wait(20)


def _healthy(address: str, server: subprocess.Popen[bytes], log: Path) -> None:
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        assert server.poll() is None, log.read_text()
        try:
            with urllib.request.urlopen(f"{address}/_stcore/health", timeout=2) as answer:
                if answer.status == 200:
                    return
        except OSError:
            time.sleep(0.2)
    pytest.fail(log.read_text())


@pytest.fixture
def downloads(tmp_path) -> Path:
    """Give the folder that the browser saves to."""
    return tmp_path


@pytest.fixture
def browser(downloads, monkeypatch):
    """Drive the installed Chromium."""
    webdriver = pytest.importorskip("selenium.webdriver")
    monkeypatch.setenv("SE_OFFLINE", "true")
    monkeypatch.setenv("SE_AVOID_STATS", "true")
    options = webdriver.ChromeOptions()
    options.binary_location = program("chromium", "chromium-browser", "google-chrome")
    for flag in FLAGS:
        options.add_argument(flag)
    options.add_experimental_option(
        "prefs",
        {"download.default_directory": str(downloads), "download.prompt_for_download": False},
    )
    service = webdriver.ChromeService(program("chromedriver"))
    driver = webdriver.Chrome(options=options, service=service)
    try:
        yield driver
    finally:
        driver.quit()


def element(browser, css: str, seconds: float = PATIENCE):
    """Wait for an element to be shown, and give it."""
    from selenium.webdriver.common.by import By
    from selenium.webdriver.support import expected_conditions
    from selenium.webdriver.support.ui import WebDriverWait

    shown = expected_conditions.visibility_of_element_located((By.CSS_SELECTOR, css))
    return WebDriverWait(browser, seconds, 0.2).until(shown, f"{css} was not shown")


def press(browser, key: str) -> None:
    """Press the button of a key once it can be pressed."""
    from selenium.common.exceptions import WebDriverException
    from selenium.webdriver.support.ui import WebDriverWait

    def pressed(driver) -> bool:
        try:
            button = element(driver, f".st-key-{key} button", 5)
            driver.execute_script("arguments[0].scrollIntoView({block: 'center'})", button)
            button.click()
        except WebDriverException:
            return False
        return True

    WebDriverWait(browser, PATIENCE, 0.3).until(pressed, f"{key} could not be pressed")


def choose(browser, name: str) -> None:
    """Choose a shop by typing its name into the list."""
    from selenium.webdriver.common.keys import Keys
    from selenium.webdriver.support.ui import WebDriverWait

    field = element(browser, ".st-key-source input")
    field.click()
    field.send_keys(Keys.CONTROL, "a")
    field.send_keys(name, Keys.ENTER)
    WebDriverWait(browser, PATIENCE, 0.2).until(
        lambda driver: name in element(driver, ".st-key-source").get_attribute("innerHTML")
    )


def seconds_to_search(browser, seconds: int) -> None:
    """Write the seconds to search."""
    from selenium.webdriver.common.keys import Keys

    field = element(browser, ".st-key-seconds input")
    field.click()
    field.send_keys(Keys.CONTROL, "a")
    field.send_keys(str(seconds), Keys.ENTER)


def saved(folder: Path, name: str) -> Path:
    """Wait until the browser has saved a file whole."""
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        if (folder / name).is_file() and not list(folder.glob("*.crdownload")):
            return folder / name
        time.sleep(0.1)
    raise AssertionError(
        f"{name} was not saved; there is {[each.name for each in folder.iterdir()]}"
    )


def _picture_widths(browser) -> list[int]:
    """Give the width of every drawing as loaded; 0 for one that cannot be read."""
    return browser.execute_script(
        "return [...document.querySelectorAll('[data-testid=stImage] img')]"
        ".map(picture => picture.naturalWidth)"
    )


def test_a_demo_is_laid_out_and_its_shopping_list_taken(browser, address, downloads):
    """From the first visit to a saved shopping list, as a person does it."""
    from selenium.webdriver.support.ui import WebDriverWait

    browser.get(address)
    choose(browser, "market-kiosk")
    seconds_to_search(browser, 5)
    press(browser, "start")
    outcome = element(browser, ENDED, SOLVE_PATIENCE)
    assert "Meets the values checked" in outcome.text
    WebDriverWait(browser, PATIENCE, 0.2).until(
        lambda driver: (
            min(_picture_widths(driver), default=0) > 0 and len(_picture_widths(driver)) >= 4
        )
    )
    press(browser, "take-shopping-list-csv")
    with saved(downloads, "shopping-list.csv").open(encoding="utf-8", newline="") as stream:
        rows = list(csv.reader(stream))
    assert len(rows) > 3
    told = " ".join(" ".join(row) for row in rows)
    assert "counter" in told.lower()
    assert "slat-8x4" in told


def test_stop_keeps_what_there_is(browser, address):
    """A long search ticks on without a click and, stopped by its button, shows its layout."""
    from selenium.webdriver.support.ui import WebDriverWait

    browser.get(address)
    choose(browser, "corner-yarn")
    seconds_to_search(browser, 600)
    press(browser, "start")
    before = element(browser, ".st-key-live").text
    WebDriverWait(browser, PATIENCE, 0.2).until(
        lambda driver: element(driver, ".st-key-live").text != before
    )
    press(browser, "stop")
    outcome = element(browser, ENDED, SOLVE_PATIENCE)
    assert "Stopped on request" in outcome.text
