"""Fixtures moved by hand in a real browser: dragged, by keyboard, and put back."""

from __future__ import annotations

import time

import pytest

from tests.browser.conftest import (
    ENDED,
    SOLVE_PATIENCE,
    complaints,
    element,
    press,
    section,
    settled,
    start_from,
    waited,
    write,
)

pytestmark = pytest.mark.browser
# What is aimed at is 300 ms; a busy machine may take longer.
LOOSE_MS = 1500.0

FLOOR = """
for (const each of document.querySelectorAll("*")) {
  const root = each.shadowRoot;
  if (root && root.querySelector(".floor svg .thing")) return root;
}
return null;
"""


def floor(browser):
    """Give the floor's own root once it is drawn."""
    return waited(browser, lambda driver: driver.execute_script(FLOOR), "no floor was drawn")


def found(browser) -> int:
    """Give how many findings are marked on the floor."""
    from selenium.webdriver.common.by import By

    picture = floor(browser).find_element(By.CSS_SELECTOR, "svg")
    return int(picture.get_attribute("data-found"))


def stands(browser, tag: str) -> str:
    """Give what a fixture says of where it stands."""
    from selenium.webdriver.common.by import By

    thing = floor(browser).find_element(By.CSS_SELECTOR, f'[data-tag="{tag}"]')
    return str(thing.get_attribute("aria-label"))


def test_a_fixture_is_moved_by_pointer_and_by_keys(browser, address):
    """What a move breaks is seen while the fixture is held; undo takes it back."""
    from selenium.webdriver import ActionChains
    from selenium.webdriver.common.by import By
    from selenium.webdriver.common.keys import Keys

    start_from(browser, address, "market-kiosk")
    section(browser, "Lay out")
    write(browser, ".st-key-seconds input", "3")
    press(browser, "start")
    element(browser, ENDED, SOLVE_PATIENCE)
    settled(browser)
    section(browser, "Try")
    assert found(browser) == 0
    root = floor(browser)
    things = root.find_elements(By.CSS_SELECTOR, ".thing")
    one, other = things[0], things[1]
    tag = one.get_attribute("data-tag")
    before = stands(browser, tag)
    browser.execute_script("arguments[0].scrollIntoView({block: 'center'})", one)
    body = one.find_element(By.CSS_SELECTOR, ".body")
    goal = other.find_element(By.CSS_SELECTOR, ".body")
    ActionChains(browser, duration=60).click_and_hold(body).move_to_element(goal).perform()
    start = time.monotonic()
    waited(browser, lambda driver: found(driver) > 0, "nothing was found while it was held")
    print(f"found {time.monotonic() - start:.2f} s after it was held there")
    ActionChains(browser).release().perform()
    waited(browser, lambda driver: stands(driver, tag) != before, "it was not put down")
    settled(browser)
    assert found(browser) > 0
    press(browser, "undo")
    waited(browser, lambda driver: stands(driver, tag) == before, "it was not put back")
    settled(browser)
    thing = floor(browser).find_element(By.CSS_SELECTOR, f'[data-tag="{tag}"]')
    browser.execute_script("arguments[0].focus()", thing)
    ActionChains(browser).send_keys("p").perform()
    waited(browser, lambda driver: stands(driver, tag).endswith("pinned"), "it was not pinned")
    settled(browser)
    thing = floor(browser).find_element(By.CSS_SELECTOR, f'[data-tag="{tag}"]')
    browser.execute_script("arguments[0].focus()", thing)
    ActionChains(browser).send_keys("r", Keys.ARROW_UP).perform()
    waited(browser, lambda driver: "away from walls" in stands(driver, tag), "it did not turn")
    settled(browser)
    assert complaints(browser) == []


HELD = """
const [one, goal, done] = arguments, svg = one.ownerSVGElement, times = [];
const middle = (each) => { const box = each.querySelector(".body").getBoundingClientRect();
  return [box.x + box.width / 2, box.y + box.height / 2]; };
const [from, to] = [middle(one), middle(goal)];
one.setPointerCapture = () => {};
const tell = (kind, [x, y]) => one.dispatchEvent(new PointerEvent(kind, { clientX: x, clientY: y,
  bubbles: true, button: 0, pointerId: 1, shiftKey: true }));
tell("pointerdown", from);
const step = (number) => {
  if (number === 6) { tell("pointermove", from); tell("pointerup", from); return done(times); }
  const begun = performance.now();
  const look = new MutationObserver(() => {
    look.disconnect();
    times.push(performance.now() - begun);
    setTimeout(() => step(number + 1), 1500);
  });
  look.observe(svg, { subtree: true, childList: true });
  tell("pointermove", number % 2 ? [from[0] + number, from[1] + 40] : [to[0] + number, to[1]]);
};
step(0);
"""


def test_what_is_held_is_answered_soon_in_a_narrow_shop(browser, address):
    """At the size of a narrow shop the findings follow the hand; it rests in between."""
    from selenium.webdriver.common.by import By

    start_from(browser, address, "towpath-chandlery")
    section(browser, "Lay out")
    write(browser, ".st-key-seconds input", "6")
    press(browser, "start")
    element(browser, ENDED, SOLVE_PATIENCE)
    settled(browser)
    section(browser, "Try")
    things = floor(browser).find_elements(By.CSS_SELECTOR, ".thing")
    browser.set_script_timeout(90)
    times = browser.execute_async_script(HELD, things[2], things[3])
    print("answered after", ", ".join(f"{each:.0f} ms" for each in times))
    assert len(times) == 6
    assert sorted(times)[3] < LOOSE_MS
    settled(browser)
    assert complaints(browser) == []


def test_an_upright_shop_is_seen_whole_on_a_telephone(browser, address):
    """Nobody has to push a small plan about to find the fixtures; a long one keeps its size."""
    start_from(browser, address, "market-kiosk")
    section(browser, "Lay out")
    write(browser, ".st-key-seconds input", "2")
    press(browser, "start")
    element(browser, ENDED, SOLVE_PATIENCE)
    settled(browser)
    phone = {"width": 390, "height": 844, "deviceScaleFactor": 1, "mobile": False}
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", phone)
    section(browser, "Try")
    wide = "return [arguments[0].scrollWidth, arguments[0].clientWidth]"
    whole, seen = browser.execute_script(
        wide, floor(browser).find_element("css selector", ".floor")
    )
    assert 300 < whole <= seen
