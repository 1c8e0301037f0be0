"""Low parts of sales counters."""

from __future__ import annotations

import pytest

from shopfit.checks import check
from shopfit.units import INCH_MM

from . import build as b


@pytest.mark.parametrize(
    ("height", "width", "found"),
    [
        (36.0, 36.0, []),
        (35.0, 40.0, []),
        (36.001, 36.0, ["counter-height"]),
        (36.0, 35.999, ["counter-width"]),
        (38.0, 30.0, ["counter-height", "counter-width"]),
    ],
)
def test_low_part_is_36_in_high_and_36_in_long(
    height: float, width: float, found: list[str]
) -> None:
    """2010 ADA Standards, 904.4.1, parallel approach."""
    scenario = b.refitted(
        b.scenario(), "till", service_height=height * INCH_MM, service_width=width * INCH_MM
    )
    findings = check(scenario, b.layout())
    assert b.codes(findings) == found
    assert all("904.4.1" in f.clause for f in b.faults(findings))


def test_a_low_part_without_a_length_is_as_long_as_the_counter() -> None:
    """No other length is known."""
    scenario = b.refitted(b.scenario(), "till", service_width=None)
    assert b.codes(check(scenario, b.layout())) == []


def test_a_counter_without_heights_is_not_checked() -> None:
    """The finding says what to add."""
    findings = check(b.refitted(b.scenario(), "till", service_height=None), b.layout())
    missing = [f for f in findings if f.code == "counter-not-checked"]
    assert [f.severity for f in missing] == ["not checked"]
    assert "service_height of till" in missing[0].message
    assert "fixtures.yaml" in missing[0].mend
