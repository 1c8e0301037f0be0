"""Working space before panelboards and other things."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.checks import check
from shopfit.model.layout import Placement, Run

from . import build as b

# The panel is 400 mm wide with its middle at offset 4000 of wall E: y 800, space y 419 to 1181.
PANEL = b.SHOP["obstructions"][0]
OPEN = {"zones": [], "brief": {**b.SHOP["brief"], "wanted": []}}


def _table(x: float, y: float) -> Any:
    table = Placement(id="T", fixture="table-4", x_mm=x, y_mm=y, angle_deg=0)
    return b.added(b.layout(), table)


@pytest.mark.parametrize(("gap", "found"), [(914.4, False), (914.3, True)])
def test_the_space_is_36_in_deep(gap: float, found: bool) -> None:
    """29 CFR 1910.303(g)(1), depth 3 ft for up to 150 V to ground: from memory."""
    codes = b.codes(check(b.scenario(**OPEN), _table(6000.0 - gap - 1200.0, 1100.0)))
    assert ("working-space" in codes) is found


@pytest.mark.parametrize(("back", "found"), [(419.0, False), (419.1, True)])
def test_the_space_is_30_in_wide(back: float, found: bool) -> None:
    """29 CFR 1910.303(g)(1)(i), width 30 in: read in an OSHA letter of 28 May 1999."""
    codes = b.codes(check(b.scenario(**OPEN), _table(4800.0, back)))
    assert ("working-space" in codes) is found


@pytest.mark.parametrize(("back", "found"), [(300.0, False), (300.1, True)])
def test_a_wide_panelboard_wants_its_own_width(back: float, found: bool) -> None:
    """A panelboard 1 m wide wants 1 m."""
    wide = {**PANEL, "offset": b.mm(3500.0), "width": b.mm(1000.0)}
    scenario = b.scenario(obstructions=[wide], **OPEN)
    assert ("working-space" in b.codes(check(scenario, _table(4800.0, back)))) is found


@pytest.mark.parametrize(("gap", "found"), [(1200.0, False), (1199.9, True)])
def test_the_users_own_space_is_taken_instead(gap: float, found: bool) -> None:
    """A deeper space asked for by the user holds (F3)."""
    clear = {"width": b.mm(762.0), "depth": b.mm(1200.0), "height": b.mm(1981.2)}
    scenario = b.scenario(obstructions=[{**PANEL, "clear": clear}], **OPEN)
    codes = b.codes(check(scenario, _table(6000.0 - gap - 1200.0, 1100.0)))
    assert ("working-space" in codes) is found


def test_other_things_want_no_space_unless_asked() -> None:
    """A thermostat keeps no floor clear by itself (F3)."""
    scenario = b.scenario(obstructions=[{**PANEL, "kind": "thermostat"}], **OPEN)
    assert "working-space" not in b.codes(check(scenario, _table(4800.0, 1100.0)))


@pytest.mark.parametrize(("start", "found"), [(4381.0, False), (4380.0, True)])
def test_displays_beside_a_panelboard_stay_out_of_its_space(start: float, found: bool) -> None:
    """Goods on slat-wall beside a panelboard stand in its working space."""
    run = Run(
        id="R3",
        wall="E",
        from_mm=start,
        to_mm=4700.0,
        bottom_mm=400.0,
        top_mm=1500.0,
        sheet="sheet",
        first_groove_mm=438.1,
    )
    layout = b.layout().model_copy(update={"runs": (*b.layout().runs, run)})
    findings = [f for f in check(b.scenario(), layout) if f.code == "working-space-display"]
    assert bool(findings) is found
    assert all(f.severity == "barrier to review" for f in findings)


@pytest.mark.parametrize(
    ("width", "depth", "found"), [(762.0, 914.4, 0), (761.0, 914.4, 1), (0.0, 900.0, 2)]
)
def test_a_space_asked_for_too_small_is_pointed_out(width: float, depth: float, found: int) -> None:
    """29 CFR 1910.303(g)(1): 30 in wide and 36 in deep; the user's smaller wish is advice."""
    clear = {"width": b.mm(width), "depth": b.mm(depth)}
    findings = check(b.scenario(obstructions=[{**PANEL, "clear": clear}]), b.layout())
    asked = [f for f in findings if f.code == "working-space-asked"]
    assert [f.severity for f in asked] == ["advice"] * found
