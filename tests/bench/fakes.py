"""Solvers that do what a test wants of them; functions of a module, for another process."""

from __future__ import annotations

import os
import time
from dataclasses import dataclass

from shopfit.bench.known import known
from shopfit.bench.solvers import Told
from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario

MEGABYTES = 200


@dataclass(frozen=True)
class Fake:
    """A made-up answer."""

    layout: Layout | None
    bound: float | None
    seconds: float


def _finished(scenario: Scenario) -> Layout:
    _, size, seed = scenario.folder.split("-")
    return known(size, int(seed)).layout


def steady(scenario: Scenario, options: SolveOptions, tell: Told) -> Fake:
    """Tell of a poor layout, then of the finished one, with bounds that come down to it."""
    layout = _finished(scenario)
    best = float(layout.claims.facings)
    tell(0.5, None, best * 2)
    tell(1.0, best / 2, best * 2)
    tell(2.0, best, best * 1.2)
    tell(3.0, best, best * 1.005)
    return Fake(layout, best, 4.0)


def boastful(scenario: Scenario, options: SolveOptions, tell: Told) -> Fake:
    """Hand over a layout whose claims are too high."""
    layout = _finished(scenario)
    tell(1.0, 10.0 * layout.claims.facings, None)
    claims = layout.claims.model_copy(update={"facings": 10 * layout.claims.facings})
    return Fake(layout.model_copy(update={"claims": claims}), None, 2.0)


def late(scenario: Scenario, options: SolveOptions, tell: Told) -> Fake:
    """Hand over a layout that says when the first that meets every rule was there."""
    layout = _finished(scenario)
    tell(1.0, 5.0, 1000.0)
    tell(3.0, float(layout.claims.facings), 1000.0)
    timing = layout.timing.model_copy(update={"first_layout_seconds": 2.5})
    return Fake(layout.model_copy(update={"timing": timing}), 1000.0, 4.0)


def empty_handed(scenario: Scenario, options: SolveOptions, tell: Told) -> Fake:
    """Prove something and find nothing."""
    tell(1.0, None, 50.0)
    return Fake(None, 40.0, 1.5)


def failing(scenario: Scenario, options: SolveOptions, tell: Told) -> Fake:
    """Raise."""
    raise RuntimeError("the program has no columns")


def crashing(scenario: Scenario, options: SolveOptions, tell: Told) -> Fake:
    """Take the whole process down after having told something."""
    tell(0.25, 7.0, 9.0)
    os._exit(7)


def endless(scenario: Scenario, options: SolveOptions, tell: Told) -> Fake:
    """Never answer."""
    tell(0.25, 7.0, 9.0)
    while True:
        time.sleep(1)


def greedy_of_memory(scenario: Scenario, options: SolveOptions, tell: Told) -> Fake:
    """Hold much memory for a moment."""
    held = bytearray(MEGABYTES * 1_000_000)
    for place in range(0, len(held), 4096):
        held[place] = 1
    return Fake(None, None, 0.1)
