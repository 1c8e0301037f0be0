"""Cautions and the list of what is not checked."""

from __future__ import annotations

import pytest

from shopfit.checks import check

from . import build as b


def _advice(scenario: object, code: str) -> list[str]:
    findings = check(scenario, b.layout())  # type: ignore[arg-type]
    return [f.subject for f in findings if f.code == code]


@pytest.mark.parametrize(("height", "found"), [(1500.0, False), (1501.0, True)])
def test_tall_shallow_loose_fixtures_are_named(height: float, found: bool) -> None:
    """A loose case 500 deep tips when it is more than three times as high."""
    scenario = b.refitted(b.scenario(), "case-48", height=height)
    assert bool(_advice(scenario, "tipping")) is found
    fixed = b.refitted(scenario, "case-48", fixed=True)
    assert _advice(fixed, "tipping") == []


def test_glass_and_wall_loads_are_pointed_out() -> None:
    """Both name what they are about and defer to makers and licensed people."""
    findings = check(b.scenario(), b.layout())
    glass = next(f for f in findings if f.code == "glass")
    assert glass.subject == "F3"
    load = next(f for f in findings if f.code == "wall-load")
    assert "R1" in load.message
    assert "licensed" in load.mend
    assert load.confidence == "common practice, no source"
    # R1: cards 2 kg, mugs 7.2 kg, umbrellas 4.5 kg, and its sheet of 35 kg.
    assert load.measured == pytest.approx(48.7)


def test_goods_out_of_reach_are_counted() -> None:
    """2010 ADA Standards, 308: 48 in; the upper cradles' row starts at 42 in, a raised one over."""
    assert _advice(b.scenario(), "reach") == []
    layout = b.rerowed(
        b.layout(),
        "B2",
        row=1,
        bottom_mm=850.9 + 5 * 76.2,
        top_mm=850.9 + 8 * 76.2,
        low_groove=6,
        high_groove=8,
    )
    findings = [f for f in check(b.scenario(), layout) if f.code == "reach"]
    assert len(findings) == 1
    assert findings[0].message.startswith("3 facings")


def test_what_is_not_checked_is_said() -> None:
    """The list is always there, with its clauses."""
    findings = check(b.scenario(), b.layout())
    missing = [f for f in findings if f.severity == "not checked"]
    assert [f.code for f in missing] == [
        "turning-spaces-not-checked",
        "pinches-not-checked",
        "headroom-not-checked",
        "egress-not-checked",
        "sprinklers-not-checked",
        "fixing-not-checked",
    ]
    assert all(f.mend for f in missing)
