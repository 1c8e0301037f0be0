"""Cautions on what may be pulled over, and on glass."""

from __future__ import annotations

import pytest

from shopfit.checks import check
from shopfit.model.finding import Finding
from shopfit.model.scenario import Scenario

from . import build as b


def _found(scenario: Scenario, code: str) -> list[Finding]:
    return [f for f in check(scenario, b.layout()) if f.code == code]


@pytest.mark.parametrize(("height", "found"), [(1500.0, False), (1501.0, True)])
def test_tall_shallow_loose_fixtures_are_named(height: float, found: bool) -> None:
    """A loose case 500 deep tips when it is more than three times as high."""
    scenario = b.refitted(b.scenario(), "case-48", height=height)
    assert bool(_found(scenario, "tipping")) is found
    fixed = b.refitted(scenario, "case-48", fixed=True)
    assert _found(fixed, "tipping") == []


def test_glass_is_pointed_out() -> None:
    """The caution names the case and defers to its maker."""
    (glass,) = _found(b.scenario(), "glass")
    assert glass.subject == "F3"
    assert "maker" in glass.mend
