"""What is said of the building: read in the units of the trade, and no change to older layouts."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopfit.files.layouts import fingerprint
from shopfit.files.scenario import load_scenario
from shopfit.files.template import write_template
from shopfit.model.building import Building
from shopfit.model.scenario import Scenario
from shopfit.model.shell import Studs


@pytest.fixture
def start(tmp_path: Path) -> Scenario:
    """Give the scenario to start from, without what it says of its building."""
    write_template(tmp_path)
    scenario = load_scenario(tmp_path)
    shop = scenario.shop.model_copy(update={"building": Building()})
    return scenario.model_copy(update={"shop": shop})


def test_loads_per_area_and_stud_are_read() -> None:
    """100 psf are 4.788 kPa; 80 lb are 36.29 kg."""
    building = Building.model_validate(
        {"floor": {"live_load": "100 psf", "under": "raised"}, "deflector": "9 ft"}
    )
    assert building.floor.live_load == pytest.approx(4.788026)
    assert building.has_sprinklers is True
    assert Studs.model_validate({"load": "80 lb"}).load == pytest.approx(36.287, abs=1e-3)


@pytest.mark.parametrize(
    ("given", "known"),
    [({}, None), ({"sprinklered": False}, False), ({"sprinklered": True}, True)],
)
def test_nothing_said_is_nothing_known(given: dict[str, bool], known: bool | None) -> None:
    """Whether there are sprinklers is yes, no or not known."""
    assert Building.model_validate(given).has_sprinklers is known


def test_what_is_not_said_changes_no_fingerprint(start: Scenario) -> None:
    """A layout of a shop whose building is not described stays that of its scenario."""
    before = fingerprint(start)
    told = {"sprinklered": True, "occupants": 20, "floor": {"live_load": "100 psf"}}
    building = Building.model_validate(told)
    after = start.model_copy(update={"shop": start.shop.model_copy(update={"building": building})})
    assert fingerprint(after) != before
    studs = start.shop.studs.model_copy(update={"load": 36.0})
    after = start.model_copy(update={"shop": start.shop.model_copy(update={"studs": studs})})
    assert fingerprint(after) != before
