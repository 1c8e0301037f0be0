"""Rulebooks as data."""

from __future__ import annotations

import pytest

from shopfit.standards import load, names
from shopfit.units import INCH_MM, parse_length

US = load("us")


def test_there_are_rulebooks_by_name() -> None:
    """Names come from the data files."""
    assert names() == ("england", "us")
    assert load("us").name == "us"


@pytest.mark.parametrize("name", ["", "atlantis", "../us", "us.yaml"])
def test_an_unknown_rulebook_is_said(name: str) -> None:
    """The message lists the rulebooks there are."""
    with pytest.raises(KeyError, match="england, us"):
        load(name)


def test_an_unknown_value_is_said() -> None:
    """The message names the key and the rulebook."""
    with pytest.raises(KeyError, match="'shoe-size'"):
        US.requirement("shoe-size")
    assert "shoe-size" not in US


def test_lengths_and_slopes_are_not_mixed_up() -> None:
    """A slope is no length and a length is no slope."""
    assert US.slope("ramp-slope") == pytest.approx(1 / 12)
    with pytest.raises(KeyError, match="rise/run"):
        US.mm("ramp-slope")
    with pytest.raises(KeyError, match="mm"):
        US.slope("ramp-width")


@pytest.mark.parametrize("name", names())
def test_every_value_has_its_papers(name: str) -> None:
    """Clause, edition, source and confidence stand beside every value."""
    for requirement in load(name):
        assert requirement.quantity
        assert requirement.clause
        assert requirement.edition
        assert requirement.source
        assert requirement.confidence in ("read", "second-hand", "memory")
        assert requirement.comparator in ("min", "max", "above", "under", "up to")
        assert requirement.value >= 0
        assert ("memory" in requirement.source) == (requirement.confidence == "memory")


def test_us_lengths_are_exact_inches() -> None:
    """Every length is a whole number of quarter inches; the printed figure is rounded."""
    for requirement in US:
        if requirement.unit == "mm":
            quarters = requirement.value / INCH_MM * 4
            assert quarters == pytest.approx(round(quarters), abs=1e-9)


def test_printed_figures_are_labels_only() -> None:
    """Printed millimetres round both ways, which a test against them would show."""
    route = US.requirement("route-width")
    assert route.value == 36 * INCH_MM
    assert parse_length(route.printed) > route.value
    panel = US.requirement("headroom")
    assert panel.value == 80 * INCH_MM
    assert parse_length(panel.printed) < panel.value


def test_a_rulebook_falls_back_on_the_one_it_is_based_on() -> None:
    """What was not read for England is the US value, and its clause says so."""
    england = load("england")
    assert england.mm("ramp-width") == 1500.0
    assert "Approved Document M" in england.requirement("ramp-width").clause
    assert england.mm("protrusion") == US.mm("protrusion")
    assert "ADA" in england.requirement("protrusion").clause


def test_a_rulebook_says_what_it_does_without() -> None:
    """England takes no turns over from the United States, and says why."""
    england = load("england")
    assert "turn-width" not in england
    assert "England" in england.why_without("route-width", "turn-width")
    assert england.why_without("route-width") == ""
    assert "United States" in US.why_without("shoe-size")
