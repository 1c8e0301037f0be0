"""The chandlery's shell against the published size of a freight container.

Source: ISO 668:2013, Series 1 freight containers, external sizes of 1AA and, by 5.3.2.1, the
table of minimum internal dimensions of closed general cargo containers. The clause was read in an
adoption of the standard (AS 3711.1:2015); the table was not, so its figures are from memory.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from shopfit.files.scenario import load_scenario
from shopfit.geometry.shell import survey
from shopfit.units import TOLERANCE_MM

SCENARIOS = Path(__file__).parents[2] / "scenarios"

# From memory: least internal length and width of 1AA, mm.
LEAST_LENGTH, LEAST_WIDTH = 11998.0, 2330.0
# From memory: the least internal height is the external height less 241 mm.
EXTERNAL_HEIGHT, LESS = 2591.0, 241.0
# Read: a carrier's own boxes of that size, least inside length, width and height, mm
# (shipinspection.eu, chartering terms, container sizes).
ONE_CARRIER = (12015.0, 2337.0, 2362.0)


def inside() -> tuple[float, float, float]:
    """Give the chandlery's inside length, width and height, mm."""
    shop = load_scenario(SCENARIOS / "towpath-chandlery").shop
    west, south, east, north = survey(shop).floor.bounds
    return east - west, north - south, shop.rooms[0].height


def test_shell_is_the_least_inside_of_a_40_ft_container():
    """The demo promises a real container's size, so nobody may change it unnoticed."""
    length, width, height = inside()
    assert length == pytest.approx(LEAST_LENGTH, abs=TOLERANCE_MM)
    assert width == pytest.approx(LEAST_WIDTH, abs=TOLERANCE_MM)
    assert height == pytest.approx(EXTERNAL_HEIGHT - LESS, abs=TOLERANCE_MM)


def test_a_carriers_boxes_are_no_smaller():
    """Figures kept from memory must at least agree with a box that somebody describes."""
    for least, described in zip(inside(), ONE_CARRIER, strict=True):
        assert least <= described <= least + 25
