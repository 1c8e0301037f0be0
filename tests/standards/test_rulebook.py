"""Rulebooks as data."""

from __future__ import annotations

from typing import get_args

import pytest

from shopfit.standards import load, names
from shopfit.standards.rulebook import UNITS, Confidence, Outcome, measure
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
        assert requirement.confidence in get_args(Confidence)
        assert requirement.confidence != "own"
        assert requirement.written
        assert requirement.comparator in ("min", "max", "above", "under", "up to")
        assert requirement.value >= 0
        assert ("memory" in requirement.source) == (requirement.confidence == "memory")


def test_us_lengths_are_exact_inches() -> None:
    """Every length is a whole number of twentieths of an inch; the printed figure is rounded."""
    for requirement in US:
        if requirement.unit == "mm":
            twentieths = requirement.value / INCH_MM * 20
            assert twentieths == pytest.approx(round(twentieths), abs=1e-9)


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


@pytest.mark.parametrize(
    ("key", "under", "at", "over"),
    [
        ("route-width", False, True, True),
        ("counter-height", True, True, False),
        ("door-deep", False, False, True),
        ("turn-element", True, False, False),
        ("protrusion-to", True, True, False),
    ],
)
def test_comparators_say_what_holds_at_the_value(
    key: str, under: bool, at: bool, over: bool
) -> None:
    """Limits are met at equality, strict beginnings are not; the tolerance is slack."""
    requirement = US.requirement(key)
    for off, holds in ((-0.02, under), (0.0, at), (0.02, over)):
        assert requirement.holds(requirement.value + off) == holds
        outcome = US.outcome(key, requirement.value + off)
        assert outcome.met == holds
        assert off == 0.0 or (outcome.margin > 0) == holds
    assert requirement.holds(requirement.value - 0.009) == at
    assert requirement.holds(requirement.value + 0.009) == at


def test_margins_are_positive_on_the_right_side() -> None:
    """37 in are an inch to spare for a way, and an inch too high for a counter."""
    assert Outcome(US.requirement("route-width"), 37 * INCH_MM).margin == pytest.approx(INCH_MM)
    assert Outcome(US.requirement("counter-height"), 37 * INCH_MM).margin == pytest.approx(-INCH_MM)


@pytest.mark.parametrize(
    ("key", "value", "unit"),
    [
        # 1 lbf is 4.4482216152605 N and 1 ft 0.3048 m, exactly.
        ("door-force", 5 * 4.4482216152605, "N"),
        ("floor-load", 100 * 4.4482216152605 / 0.3048**2 / 1000, "kPa"),
        ("floor-load-point", 1000 * 0.45359237, "kg"),
        ("staff-area", 92.90304, "m2"),
        ("door-closing", 5.0, "s"),
        ("one-exit-people", 49.0, "count"),
        ("entrances", 60.0, "percent"),
    ],
)
def test_other_units_are_exact(key: str, value: float, unit: str) -> None:
    """Areas, forces and loads are converted by their definitions; the text stays as published."""
    assert US.number(key, unit) == pytest.approx(value, rel=1e-12)
    with pytest.raises(KeyError, match=unit):
        US.mm(key)


def test_printed_loads_and_areas_agree_with_the_exact_ones() -> None:
    """The rounded figure beside a value is the same amount, to a per cent or two."""
    factors = {"kN/m2": 1.0, "kN": 1000 / 9.80665, "m2": 1.0, "N": 1.0}
    seen = 0
    for requirement in US:
        number, _, unit = requirement.printed.partition(" ")
        if requirement.unit != "mm" and number:
            seen += 1
            assert float(number) * factors[unit] == pytest.approx(requirement.value, rel=0.02)
    assert seen >= 8


def test_printed_lengths_agree_with_the_exact_ones() -> None:
    """Printed millimetres are rounded by no more than three per cent; none is mistyped."""
    for requirement in US:
        if requirement.unit == "mm" and requirement.printed:
            printed = parse_length(requirement.printed)
            assert printed == pytest.approx(requirement.value, rel=0.03), requirement.key


@pytest.mark.parametrize("row", [{}, {"value": 3}, {"value": 3, "unit": "stone"}])
def test_a_row_without_a_value_is_refused(row: dict[str, object]) -> None:
    """A value is a length, a ratio, or a number with a known unit."""
    with pytest.raises(KeyError):
        measure(row)
    assert "stone" not in UNITS


@pytest.mark.parametrize("name", names())
def test_what_has_no_clause_is_not_said_to_be_in_one(name: str) -> None:
    """Practice of the trade is called that, and not 'none'."""
    book = load(name)
    assert [one.key for one in book if "none" in one.clause] == []
    assert book.requirement("screw-spacing").clause == "Trade practice"
