"""Goods, fixtures and slat-wall below sprinklers and ceilings."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.checks import sprinklers
from shopfit.checks.scene import Scene
from shopfit.geometry.shell import survey
from shopfit.model.finding import Finding
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario
from shopfit.standards import load

from . import build as b


def _found(building: dict[str, Any], layout: Layout | None = None, **more: Any) -> list[Finding]:
    scenario: Scenario = b.scenario(building=building, **more)
    given = layout or b.layout()
    scene = Scene(scenario, given, load("us"), survey(scenario.shop))
    return list(sprinklers.check(scene))


@pytest.mark.parametrize(("deflector", "tags"), [(2489.2, []), (2489.1, ["R1"]), (1981.1, 2)])
def test_18_in_stay_free_below_the_lowest_sprinkler(deflector: float, tags: Any) -> None:
    """29 CFR 1910.159(c)(10): 18 in; run R1 ends at 2032 mm, R2 at 1524."""
    found = _found({"deflector": b.mm(deflector)})
    if tags == 2:
        assert [one.subject.split()[2] for one in found] == ["R1", "R2"]
        return
    assert [one.subject.split()[2] for one in found] == tags
    for one in found:
        assert one.severity == "violation"
        assert one.measured == pytest.approx(457.1)
        assert one.confidence == "read"
        assert "along walls" in one.message


@pytest.mark.parametrize(("top", "found"), [(1742.8, False), (1743.0, True)])
def test_goods_count_with_what_they_stand_on(top: float, found: bool) -> None:
    """29 CFR 1910.159(c)(10): goods on the table reach up to the top of their row."""
    layout = b.rerowed(b.layout(), "B6", top_mm=top)
    low = layout.model_copy(update={"runs": ()})
    names = [one.subject for one in _found({"deflector": b.mm(2200.1)}, low)]
    assert any("F4" in name for name in names) is found


def test_each_sprinkler_looks_after_the_floor_nearest_to_it() -> None:
    """A low sprinkler at the east end does not lower what stands at the west wall."""
    heads = [
        {"id": "west", "at": b.mm(1000.0, 2400.0), "deflector": b.mm(2700.0)},
        {"id": "east", "at": b.mm(5500.0, 2400.0), "deflector": b.mm(1500.0)},
    ]
    found = _found({"sprinklers": heads})
    # East of the middle between them, x 3250: case F3 and the end of run R1; the till is low.
    assert [one.mend.split()[1] for one in found] == ["F3", "R1"]
    assert all("sprinkler east" in one.message for one in found)


@pytest.mark.parametrize(("ceiling", "found"), [(1769.6, False), (1769.5, True)])
def test_24_in_stay_free_below_a_ceiling_without_sprinklers(ceiling: float, found: bool) -> None:
    """International Fire Code, 2018, 315.3.1: not along walls; the table's goods end at 1160 mm."""
    room = {**b.SHOP["rooms"][0], "height": b.mm(ceiling)}
    names = [one.subject for one in _found({"sprinklered": False}, rooms=[room])]
    assert any("F4" in name for name in names) is found
    assert not any("R1" in name or "F3" in name for name in names)


@pytest.mark.parametrize(
    ("building", "field"),
    [({}, "building: sprinklered"), ({"sprinklered": True}, "building: deflector")],
)
def test_what_is_not_known_is_told(building: dict[str, Any], field: str) -> None:
    """The finding says what to measure and which field to fill in."""
    (told,) = _found(building)
    assert told.code == "sprinklers-not-checked"
    assert told.severity == "not checked"
    assert field in told.mend
