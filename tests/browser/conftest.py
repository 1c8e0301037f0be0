"""A real browser and a served page, and what a person does with them."""

from __future__ import annotations

import json
import os
import shutil
import socket
import subprocess
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from shopfit.ui.limits import NAMED_BY
from shopfit.ui.start import page_command

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
PATIENCE = 90.0
SOLVE_PATIENCE = 240.0
STATE = (
    "const app = document.querySelector('[data-testid=stApp]');"
    "return app && !document.querySelector('[data-testid=stSkeleton]')"
    " ? [app.dataset.testConnectionState, app.dataset.testScriptState] : []"
)


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


@pytest.fixture(scope="session")
def address(tmp_path_factory) -> Iterator[str]:
    """Serve the page on a free port; its output goes to a file, for a pipe can block it."""
    program("chromium", "chromium-browser", "google-chrome")
    with socket.socket() as probe:
        probe.bind(("localhost", 0))
        port = probe.getsockname()[1]
    folder = tmp_path_factory.mktemp("page")
    log, held = folder / "log.txt", folder / "page.toml"
    held.write_text(f'folder = "{(folder / "kept").as_posix()}"\nupload_megabytes = 5\n')
    with log.open("w") as output:
        server = subprocess.Popen(
            page_command(port, ROOT / "streamlit_app.py", headless=True),
            cwd=ROOT,
            stdout=output,
            stderr=subprocess.STDOUT,
            env={**os.environ, NAMED_BY: str(held)},
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
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
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


def waited(browser, found, told: str, seconds: float = PATIENCE):
    """Wait until something is so, and give what it is; what goes away meanwhile is no answer."""
    from selenium.common.exceptions import WebDriverException
    from selenium.webdriver.support.ui import WebDriverWait

    waiting = WebDriverWait(browser, seconds, 0.2, ignored_exceptions=[WebDriverException])
    return waiting.until(found, told)


def settled(browser) -> None:
    """Wait until the page has drawn everything and runs no more."""
    quiet = 0

    def still(driver) -> bool:
        nonlocal quiet
        quiet = quiet + 1 if driver.execute_script(STATE) == ["CONNECTED", "notRunning"] else 0
        return quiet >= 3

    waited(browser, still, "the page did not settle")


def element(browser, css: str, seconds: float = PATIENCE):
    """Wait for an element to be shown, and give it."""
    from selenium.webdriver.common.by import By

    def shown(driver):
        return next(
            (e for e in driver.find_elements(By.CSS_SELECTOR, css) if e.is_displayed()), None
        )

    return waited(browser, shown, f"{css} was not shown", seconds)


def press(browser, key: str) -> None:
    """Press the button of a key once it can be pressed."""

    def pressed(driver) -> bool:
        button = element(driver, f".st-key-{key} button", 5)
        driver.execute_script("arguments[0].scrollIntoView({block: 'center'})", button)
        button.click()
        return True

    waited(browser, pressed, f"{key} could not be pressed")


def switch(browser, key: str, label: str) -> None:
    """Press one of the buttons of a row of them, and wait for what it shows."""
    from selenium.webdriver.common.by import By

    def pressed(driver) -> bool:
        for button in driver.find_elements(By.CSS_SELECTOR, f".st-key-{key} button"):
            if button.text.strip() == label:
                driver.execute_script("arguments[0].scrollIntoView({block: 'center'})", button)
                button.click()
                return True
        return False

    waited(browser, pressed, f"{label} could not be pressed")
    settled(browser)


def section(browser, label: str) -> None:
    """Go to a section."""
    switch(browser, "section", label)
    waited(browser, lambda driver: label in element(driver, "h2").text, f"no section {label}")
    settled(browser)


def write(browser, css: str, text: str) -> None:
    """Write into a field in place of what stands there, and leave it."""
    from selenium.webdriver.common.keys import Keys

    def written(driver) -> bool:
        field = element(driver, css, 5)
        driver.execute_script("arguments[0].scrollIntoView({block: 'center'})", field)
        field.click()
        field.send_keys(Keys.CONTROL, "a")
        field.send_keys(text, Keys.TAB)
        return element(driver, css, 5).get_attribute("value") == text

    waited(browser, written, f"{css} could not be written into")


def pick(browser, css: str, name: str) -> None:
    """Choose from a list by typing."""
    from selenium.webdriver.common.keys import Keys

    def picked(driver) -> bool:
        field = element(driver, css, 5)
        field.click()
        field.send_keys(Keys.CONTROL, "a")
        field.send_keys(name, Keys.ENTER)
        time.sleep(0.3)
        return True

    waited(browser, picked, f"{name} could not be chosen")
    settled(browser)


def start_from(browser, address: str, name: str) -> None:
    """Open the page and start a case."""
    browser.get(address)
    element(browser, ".st-key-open-start button")
    settled(browser)
    if name != "an empty room":
        pick(browser, ".st-key-open-source input", name)
    press(browser, "open-start")
    element(browser, ".st-key-section")
    settled(browser)


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


def drawn(browser, css: str) -> int:
    """Wait for a drawing, in the page or in a shadow of it, and give the width it is shown with."""
    find = (
        "const find = root => { const own = root.querySelector('svg[viewBox][role=img]');"
        " if (own) return own; for (const each of root.querySelectorAll('*'))"
        " if (each.shadowRoot) { const in_it = find(each.shadowRoot); if (in_it) return in_it; }"
        " return null; };"
        "const found = find(document.querySelector(arguments[0]));"
        "return found && Math.round(found.getBoundingClientRect().width)"
    )
    return waited(browser, lambda driver: driver.execute_script(find, css), f"{css}: no drawing")


def complaints(browser) -> list[str]:
    """Give what the browser complained of on its console."""
    return [entry["message"] for entry in browser.get_log("browser") if entry["level"] == "SEVERE"]


def hosts(browser) -> set[str]:
    """Give every host that the page asked for anything."""
    asked = set()
    for entry in browser.get_log("performance"):
        message = json.loads(entry["message"])["message"]
        if message["method"] in ("Network.requestWillBeSent", "Network.webSocketCreated"):
            params = message["params"]
            url = urlsplit(params.get("url") or params["request"]["url"])
            if url.scheme not in ("data", "blob", "chrome", "about"):
                asked.add(url.hostname or url.scheme)
    return asked
