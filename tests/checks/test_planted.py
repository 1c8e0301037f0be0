"""Thousands of planted faults, none missed; thousands of harmless changes, nothing invented.

The shops are of the kind whose finished layout is known by construction, at the very limits;
the faults are worked out by plain arithmetic.
"""

from __future__ import annotations

from functools import cache
from random import Random

import pytest

from shopfit.bench.known import known
from shopfit.checks import check

from .build import faults
from .harmless import CHANGES, Change, Pair, changed, turned
from .planting import PLANTS, Bed, Plant, Planted

FAULTS, CLEAN = 2000, 2000
PER_PLANT = -(-FAULTS // len(PLANTS))
PER_PART = 100


@cache
def _shop(number: int) -> Pair:
    size = "corner" if number == 26 else "narrow" if number % 9 == 7 else "stall"
    made = known(size, number)
    return made.scenario, made.layout


def _bed(number: int) -> Bed:
    dice = Random(number)
    scenario, layout = _shop(number % 27)
    if number % 3 == 0:
        scenario, layout = turned(scenario, layout, dice.uniform(-180.0, 180.0), 500.0, -800.0)
    return Bed(scenario, layout, dice)


def _found(planted: Planted, ways: bool) -> bool:
    return any(
        finding.code in planted.codes and planted.about in f"{finding.subject} {finding.message}"
        for finding in faults(check(planted.scenario, planted.layout, ways=ways))
    )


@pytest.mark.parametrize("plant", PLANTS, ids=lambda plant: plant.__name__)
def test_planted_faults_are_found(plant: Plant) -> None:
    """Every fault of a kind is found, named rightly, in shops of many shapes and turns."""
    missed, count, number = [], 0, 0
    # Most faults are no matter of ways, which take longest: every fourth is put to all checks.
    while count < PER_PLANT:
        assert number < 30 * PER_PLANT, "this kind of fault could seldom be planted"
        planted = plant(_bed(number))
        if planted is not None:
            count += 1
            if not (count % 4 and _found(planted, ways=False)) and not _found(planted, ways=True):
                missed.append(number)
        number += 1
    assert missed == []


@pytest.mark.parametrize("part", range(CLEAN // PER_PART))
def test_harmless_changes_are_let_pass(part: int) -> None:
    """Changes inside the margins of a clean shop are never called a fault."""
    invented = {}
    numbers = range(part * PER_PART, (part + 1) * PER_PART)
    # Shop by shop, since ways over a floor that did not change are not measured again.
    for number in sorted(numbers, key=lambda each: each % 27):
        scenario, layout = changed(*_shop(number % 27), Random(number))
        found = faults(check(scenario, layout))
        if found:
            invented[number] = [one.code for one in found]
    assert invented == {}


@pytest.mark.parametrize("change", CHANGES, ids=lambda change: change.__name__)
def test_every_harmless_change_changes_something(change: Change) -> None:
    """The changes are changes, so that letting them pass says something."""
    scenario, layout = _shop(0)
    assert change(scenario, layout, Random(1)) != (scenario, layout)
