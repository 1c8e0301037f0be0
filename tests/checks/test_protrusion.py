"""How far brackets, shelves and goods stand out."""

from __future__ import annotations

import pytest

from shopfit.checks import check

from . import build as b


@pytest.mark.parametrize(("depth", "found"), [(101.6, []), (101.7, ["protrusion"])])
def test_nothing_below_allows_4_in(depth: float, found: list[str]) -> None:
    """2010 ADA Standards, 307.2: 4 in between 27 and 80 in."""
    findings = check(b.rebracketed(b.scenario(), "arm-4", depth=depth), b.layout())
    assert b.codes(findings) == found
    assert all("307.2" in f.clause for f in b.faults(findings))


@pytest.mark.parametrize(("depth", "found"), [(609.6, []), (609.7, ["protrusion"])])
def test_goods_stand_out_no_further_than_what_is_below(depth: float, found: list[str]) -> None:
    """The cabinets below run R1 are 24 in deep (W4)."""
    findings = check(b.rebracketed(b.scenario(), "hook-6", depth=depth), b.layout())
    assert b.codes(findings) == found


def test_the_shallowest_fixture_below_counts() -> None:
    """One shallow fixture limits the whole run (W4)."""
    scenario = b.refitted(b.scenario(), "base-48", depth=149.9)
    assert "protrusion" in b.codes(check(scenario, b.layout()))


@pytest.mark.parametrize(("depth", "found"), [(101.6, []), (101.7, ["protrusion-goods"])])
def test_goods_deeper_than_their_holder_stand_out_too(depth: float, found: list[str]) -> None:
    """One unit may be deeper than its bracket."""
    layout = b.reslotted(b.layout(), "B3", units=4)
    layout = layout.model_copy(
        update={"claims": layout.claims.model_copy(update={"units": 135 - 16})}
    )
    findings = check(b.relined(b.scenario(), "tag", depth=depth), layout)
    assert b.codes(findings) == found
    assert {f.severity for f in b.faults(findings)} <= {"barrier to review"}
