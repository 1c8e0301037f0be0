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


@pytest.mark.parametrize(
    ("volts", "opposite", "gap", "found"),
    [
        (150.0, "live", 914.4, False),
        (150.0, "live", 914.3, True),
        (151.0, "nothing", 914.4, False),
        (151.0, "earthed", 1066.8, False),
        (151.0, "earthed", 1066.7, True),
        (600.0, "live", 1219.2, False),
        (600.0, "live", 1219.1, True),
        # Nothing said of what is opposite: the deepest.
        (277.0, None, 1219.1, True),
    ],
)
def test_the_depth_goes_by_voltage_and_what_is_opposite(
    volts: float, opposite: str | None, gap: float, found: bool
) -> None:
    """29 CFR 1910.303(g)(1), Table S-1: 3, 3 1/2 and 4 ft; from memory."""
    panel = {**PANEL, "volts": volts, "opposite": opposite}
    codes = b.codes(
        check(b.scenario(obstructions=[panel], **OPEN), _table(6000.0 - gap - 1200.0, 1100.0))
    )
    assert ("working-space" in codes) is found


@pytest.mark.parametrize(("gap", "found"), [(1014.4, False), (1014.3, True)])
def test_the_depth_begins_at_the_face_of_the_panelboard(gap: float, found: bool) -> None:
    """29 CFR 1910.303(g)(1), note to Table S-1, from memory: from the enclosure's front."""
    panel = {**PANEL, "depth": b.mm(100.0)}
    scenario = b.scenario(obstructions=[panel], **OPEN)
    codes = b.codes(check(scenario, _table(6000.0 - gap - 1200.0, 1100.0)))
    assert ("working-space" in codes) is found


@pytest.mark.parametrize(("offset", "y", "found"), [(0.0, 4038.0, False), (0.0, 4038.1, True)])
def test_beside_a_corner_the_space_lies_to_one_side(offset: float, y: float, found: bool) -> None:
    """A panelboard at the end of a wall wants its 30 in away from the corner: y 4038 to 4800."""
    panel = {**PANEL, "offset": b.mm(offset)}
    layout = b.moved(b.layout(), "F3", y_mm=3000.0, offset_mm=1800.0)
    table = Placement(id="T", fixture="table-4", x_mm=4800.0, y_mm=y, angle_deg=0)
    codes = b.codes(check(b.scenario(obstructions=[panel], **OPEN), b.added(layout, table)))
    assert ("working-space" in codes) is found


@pytest.mark.parametrize(("height", "found"), [(1981.2, False), (1981.1, True)])
def test_the_ceiling_over_the_space_is_high_enough(height: float, found: bool) -> None:
    """29 CFR 1910.303(g)(1): 6 ft 6 in; from memory."""
    room = {**b.SHOP["rooms"][0], "height": b.mm(height)}
    findings = check(b.scenario(rooms=[room]), b.layout())
    assert bool([f for f in findings if f.code == "working-space-height"]) is found


@pytest.mark.parametrize(("start", "found"), [(4200.0, False), (4199.9, True)])
def test_nothing_hangs_over_a_panelboard(start: float, found: bool) -> None:
    """NEC 110.26(E)(1)(a): 6 ft above it or up to the ceiling; second-hand."""
    run = Run(
        id="R3",
        wall="E",
        from_mm=start,
        to_mm=4700.0,
        bottom_mm=2000.0,
        top_mm=2500.0,
        sheet="sheet",
        first_groove_mm=2038.1,
    )
    layout = b.layout().model_copy(update={"runs": (*b.layout().runs, run)})
    findings = [f for f in check(b.scenario(), layout) if f.code == "panel-above"]
    assert bool(findings) is found
    assert all(f.severity == "barrier to review" for f in findings)
    assert all("second-hand" in f.confidence for f in findings)


@pytest.mark.parametrize(("gap", "found"), [(609.6, False), (609.5, True)])
def test_somebody_gets_to_the_panelboard(gap: float, found: bool) -> None:
    """29 CFR 1910.303(g)(1)(iv), as for large equipment: a way 24 in wide; from memory."""
    # Something 200 mm deep stands from wall S across the room, as far as the gap leaves.
    scenario = b.refitted(b.scenario(**OPEN), "table-4", width=4800.0 - gap, depth=200.0)
    barrier = Placement(id="F1", fixture="table-4", x_mm=4400.0, y_mm=4800.0 - gap, angle_deg=-90)
    layout = b.layout().model_copy(update={"placements": (barrier,), "runs": (), "blocks": ()})
    findings = [f for f in check(scenario, layout) if f.code == "panel-way"]
    assert [f.severity for f in findings] == ["barrier to review"] * found
    fixed = check(b.refitted(scenario, "table-4", fixed=True), layout)
    assert [f.severity for f in fixed if f.code == "panel-way"] == ["violation"] * found


def test_a_panelboard_without_voltage_is_told() -> None:
    """The finding says which panelboard, what is taken instead, and which field to fill in."""
    codes = {f.code: f for f in check(b.scenario(), b.layout())}
    assert "volts of panel" in codes["panel-voltage-not-checked"].message
    told = b.scenario(obstructions=[{**PANEL, "volts": 120}])
    assert "panel-voltage-not-checked" not in {f.code for f in check(told, b.layout())}
    high = b.scenario(obstructions=[{**PANEL, "volts": 277}])
    missing = {f.code: f for f in check(high, b.layout())}["panel-voltage-not-checked"]
    assert "opposite of panel" in missing.message
    over = b.scenario(obstructions=[{**PANEL, "volts": 4160, "opposite": "nothing"}])
    assert "panel-over-600-not-checked" in {f.code for f in check(over, b.layout())}
