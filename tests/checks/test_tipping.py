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


def _table(mass: float, height: float) -> list[Finding]:
    """Stand bowls of a mass on the front of a light loose rack, in a row at some height."""
    scenario = b.refitted(
        b.scenario(), "table-4", width=1200.0, depth=800.0, height=2000.0, weight=10.0
    )
    scenario = b.relined(scenario, "bowl", weight=mass / 4)
    layout = b.rerowed(b.layout(), "B6", bottom_mm=height - 50, top_mm=height + 50)
    return [f for f in check(scenario, layout) if f.code == "tipping-stocked"]


# Bowls on the back, half a face of 400 mm in from its edge: 200 mm off the middle, 200 inside the
# edge. With 10 kg at 1000 mm in the middle and as much goods at h the middle of all is 300 mm
# inside the edge and (1000 + h) / 2 up: three times as high as deep at 900 mm.
@pytest.mark.parametrize(("height", "found"), [(799.0, False), (800.0, False), (801.0, True)])
def test_goods_high_up_on_one_side_make_things_top_heavy(height: float, found: bool) -> None:
    """Common practice, no source: as high over its base as a full box 3 times as high as deep."""
    findings = _table(10.0, height)
    assert [f.severity for f in findings] == ["advice"] * found
    for finding in findings:
        assert finding.subject.startswith("table F4")
        assert "lbf" in finding.message


def test_the_push_that_tips_it_is_told() -> None:
    """Half its depth over its height, of its weight: 50 kg, 1501 mm high and 500 deep."""
    scenario = b.refitted(b.scenario(), "case-48", height=1501.0)
    layout = b.layout().model_copy(update={"blocks": ()})
    (found,) = [f for f in check(scenario, layout) if f.code == "tipping"]
    assert f"{50 * 9.80665 * 250 / 1501 / 4.4482216:.3g} lbf" in found.message
