"""The lines for shop.yaml, pasted into a scenario, meet the checks of ramps."""

from __future__ import annotations

from typing import Any

import pytest
import yaml
from checks import build as shop

from shopfit.access.answer import ramps
from shopfit.checks import check
from shopfit.files.ramplists import approach_yaml, exact
from shopfit.model.rampplan import Arrangement
from shopfit.model.rampsite import RampTask
from shopfit.standards import load
from shopfit.units import INCH_MM, parse_length

from . import build as b


def _pasted(one: Arrangement, task: RampTask) -> list[str]:
    """Give the findings on the way in that are no advice, with the lines pasted in."""
    approach: dict[str, Any] = yaml.safe_load(approach_yaml(one, task, "front"))["approach"]
    scenario = shop.scenario(rulebook=task.rulebook, approach=approach)
    found = check(scenario, shop.layout())
    return [
        f"{each.code}: {each.message}"
        for each in found
        if each.code.startswith(("ramp", "landing", "no-ramp", "step", "riser", "tread"))
        and each.severity not in ("advice", "not checked")
    ]


def test_every_form_passes_the_checks() -> None:
    """Whatever its form, split and steps: slope, rise, width, landings, handrails, climb."""
    asked = b.task("30 in", "60 ft", "42 ft")
    forms: dict[str, Arrangement] = {}
    for one in b.all_kinds():
        forms.setdefault(one.form, one)
    assert len(forms) == 6
    for one in forms.values():
        assert _pasted(one, asked) == []


@pytest.mark.parametrize(
    ("rise", "out", "more"),
    [
        ("6 in", "180 in", {"existing_site": True}),
        ("3 in", "144 in", {"existing_site": True}),
        ("31 in", "560 in", {}),
        ("33.3 in", "600 in", {"limits": {"slopes": [12.5]}}),
        ("400 mm", "12 m", {"rulebook": "england", "units": "mm"}),
    ],
)
def test_ramps_at_their_limits_pass_the_checks(rise: str, out: str, more: dict[str, Any]) -> None:
    """Existing sites, two runs, odd slopes and England, on ground without an inch to spare."""
    asked = b.task(rise, "6 ft", out, **more)
    found = ramps(asked, load(asked.rulebook)).arrangements
    assert found
    for one in found:
        assert _pasted(one, asked) == []


def test_the_checks_do_see_a_run_that_is_too_short() -> None:
    """The same lines with a run an inch shorter are found out, so a clean run means something."""
    asked = b.task("30 in", "43 in", "480 in")
    (one,) = ramps(asked, load("us")).arrangements
    run = one.parts[1]
    shorter = run.model_copy(update={"length_mm": run.length_mm - INCH_MM})
    spoilt = one.model_copy(update={"parts": (one.parts[0], shorter, one.parts[2])})
    assert any(each.startswith("ramp-slope") for each in _pasted(spoilt, asked))


@pytest.mark.parametrize("units", ["ft-in", "in", "mm", "m"])
@pytest.mark.parametrize("length", [0.0, 25.4, 914.4, 3.175, 1234.5678, 1000 / 3, 0.396875])
def test_written_lengths_read_back_the_same(units: Any, length: float) -> None:
    """Inches where they are exact, millimetres where they are not."""
    assert parse_length(exact(length, units)) == pytest.approx(length, abs=1e-4)
