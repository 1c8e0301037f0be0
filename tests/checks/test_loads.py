"""Units and weights against the makers' data."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.checks import check
from shopfit.model.layout import Layout

from . import build as b


def _units(layout: Layout, block: str, units: int, row: int = 0, slot: int = 0) -> Layout:
    """Change the units of a slot and the claim with them."""
    before = next(one for one in layout.blocks if one.id == block).rows[row].slots[slot].units
    changed = b.reslotted(layout, block, row, slot, units=units)
    claims = layout.claims.model_copy(update={"units": layout.claims.units + units - before})
    return changed.model_copy(update={"claims": claims})


def _codes(layout: Layout, scenario: Any = None) -> list[str]:
    return b.codes(check(scenario or b.scenario(), layout))


@pytest.mark.parametrize(
    ("block", "row", "most"),
    [
        ("B1", 0, 40),  # hook-6 takes 10 units by its own count
        ("B2", 1, 9),  # cradle 200 deep, umbrella 60: 3 behind each other
        ("B3", 0, 20),  # arm-4 101.6 deep, tag 20: 5
        ("B4", 0, 20),  # shelf 500 deep, yarn 100: 5
        ("B5", 0, 24),  # case 400 deep, ring 50: 8
        ("B6", 0, 4),  # table 400 deep, bowl 200: 2
    ],
)
def test_units_behind_each_other_are_limited(block: str, row: int, most: int) -> None:
    """Depth and the bracket's own count limit the units of a facing (D5)."""
    assert _codes(_units(b.layout(), block, most, row)) == []
    assert _codes(_units(b.layout(), block, most + 1, row)) == ["units"]


@pytest.mark.parametrize(("weight", "found"), [(0.2, []), (0.2001, ["units", "holder-load"])])
def test_a_bracket_carries_no_more_than_its_maker_says(weight: float, found: list[str]) -> None:
    """Ten cards on a hook for 2 kg weigh 200 g each at most (D5)."""
    assert _codes(b.layout(), b.relined(b.scenario(), "card", weight=weight)) == found


def test_two_brackets_a_facing_carry_twice_as_much() -> None:
    """A facing of umbrellas hangs in two cradles of 2 kg each (D5)."""
    assert _codes(b.layout(), b.relined(b.scenario(), "umbrella", weight=4 / 3)) == []
    scenario = b.relined(b.scenario(), "umbrella", weight=1.34)
    assert _codes(b.layout(), scenario) == ["units", "holder-load"]


def test_one_unit_too_heavy_for_its_bracket_is_found() -> None:
    """The first unit is let past for its depth, never for its weight (D5)."""
    layout = _units(b.layout(), "B3", 4)
    assert _codes(layout, b.relined(b.scenario(), "tag", weight=3.0)) == []
    assert "units" in _codes(layout, b.relined(b.scenario(), "tag", weight=3.01))


def test_the_first_unit_may_be_deeper_than_its_shelf() -> None:
    """One unit is always there; a second one is not (D5)."""
    scenario = b.relined(b.scenario(), "bowl", depth=450.0)
    assert _codes(_units(b.layout(), "B6", 2), scenario) == []
    assert _codes(_units(b.layout(), "B6", 3), scenario) == ["units"]


@pytest.mark.parametrize(
    ("line", "good", "bad", "code"),
    [
        # 20 yarns on 1219.2 mm of a shelf for 40 kg.
        ("yarn", 2.0, 2.001, "row-load"),
        # 24 rings on 600 mm of 1219.2 mm of a shelf for 20 kg.
        ("ring", 0.41, 0.4102, "row-load"),
        # 4 bowls on a table for 60 kg.
        ("bowl", 15.0, 15.01, "row-load"),
    ],
)
def test_shelves_carry_their_share(line: str, good: float, bad: float, code: str) -> None:
    """A block bears on its part of a shelf (D6)."""
    assert _codes(b.layout(), b.relined(b.scenario(), line, weight=good)) == []
    assert _codes(b.layout(), b.relined(b.scenario(), line, weight=bad)) == [code]


@pytest.mark.parametrize(("weight", "found"), [(1.312, []), (1.313, ["holder-load"])])
def test_shelf_boards_carry_their_share(weight: float, found: list[str]) -> None:
    """9 mugs on 360 mm of a board of 609.6 mm for 20 kg: 11.811 kg (D6)."""
    assert _codes(b.layout(), b.relined(b.scenario(), "mug", weight=weight)) == found


@pytest.mark.parametrize(("load", "found"), [(5.91, []), (5.9, ["row-load"])])
def test_grooves_carry_what_hangs_in_them(load: float, found: list[str]) -> None:
    """18 mugs of 400 g on 1219.2 mm of groove: 5.906 kg a metre (D6)."""
    sheet = b.scenario().catalogue.sheets[0].model_copy(update={"groove_load": load})
    catalogue = b.scenario().catalogue.model_copy(update={"sheets": (sheet,)})
    scenario = b.scenario().model_copy(update={"catalogue": catalogue})
    assert _codes(b.layout(), scenario) == found


@pytest.mark.parametrize(("brackets", "found"), [(4, []), (3, True), (5, True)])
def test_every_facing_has_its_brackets(brackets: int, found: object) -> None:
    """Four facings hang on four hooks (D5)."""
    codes = _codes(b.reslotted(b.layout(), "B1", brackets=brackets))
    assert ("brackets" in codes) is bool(found)


def test_a_facing_is_at_least_a_unit() -> None:
    """Fewer units than facings cannot be shown."""
    assert "units-few" in _codes(_units(b.layout(), "B5", 2))


@pytest.mark.parametrize(("weight", "margin"), [(0.3, "8.8 lb"), (0.200001, "40 mg")])
def test_an_overload_never_reads_as_nought(weight: float, margin: str) -> None:
    """The margin is said in a unit that shows it; four hooks carry 8 kg."""
    findings = check(b.relined(b.scenario(), "card", weight=weight), b.layout())
    overload = next(f for f in findings if f.code == "holder-load")
    assert f": {margin} too much." in overload.message


@pytest.mark.parametrize(("weight", "found"), [(1.599, False), (1.6, False), (1.601, True)])
def test_grooves_over_the_length_that_goods_take(weight: float, found: bool) -> None:
    """Nine mugs on 360 mm of a groove that carries 40 kg/m: 14.4 kg; the whole block has more."""
    scenario = b.relined(b.scenario(), "mug", weight=weight)
    advice = [f for f in check(scenario, b.layout()) if f.code == "groove-spread"]
    assert [f.severity for f in advice] == ["advice"] * found
    for one in advice:
        assert "2 places" in one.message
        assert one.required == pytest.approx(40.0)
