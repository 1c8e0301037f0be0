"""Recounted totals and claims."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.checks import Totals, check, measured_totals

from . import build as b


def test_totals_are_recounted() -> None:
    """Counted by hand from the drawing: goods 40*.05+18*.4+9*.5+20*.02+20*.1+24*.01+4*1 kg."""
    totals = measured_totals(b.scenario(), b.layout())
    assert (totals.facings, totals.units, totals.value, totals.cost) == (26, 135, 32.0, 1664.0)
    assert totals.mass_kg == pytest.approx(30 * 2 + 50 + 25 + 60 + 35 * 2 + 20.34)


@pytest.mark.parametrize(
    ("change", "found"),
    [
        ({"facings": 27}, ["claim-facings"]),
        ({"units": 134}, ["claim-units"]),
        ({"value": 32.001}, ["claim-value"]),
        ({"cost": 1664.01}, ["claim-cost"]),
        ({"cost": 1664.004}, []),
        ({"cost": float("nan")}, ["claim-cost"]),
        ({"value": float("inf")}, ["claim-value"]),
    ],
)
def test_false_claims_are_found(change: dict[str, Any], found: list[str]) -> None:
    """Every number that the layout says of itself is compared."""
    claims = b.layout().claims.model_copy(update=change)
    layout = b.layout().model_copy(update={"claims": claims})
    assert b.codes(check(b.scenario(), layout)) == found


def test_a_crooked_room_has_no_totals() -> None:
    """Nothing is counted where nothing can be measured."""
    room = {**b.SHOP["rooms"][0]}
    a, c, d, e = room["corners"]
    scenario = b.scenario(rooms=[{**room, "corners": [a, d, c, e]}])
    assert measured_totals(scenario, b.layout()) == Totals(0, 0, 0.0, 0.0, 0.0)
    assert [f.code for f in check(scenario, b.layout())] == ["outline"]
