"""Runs every check over a scenario and a layout, in a fixed order."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import get_args

from shopfit.checks import (
    advice,
    backs,
    blocks,
    counters,
    cuts,
    dividers,
    doors,
    doorways,
    egress,
    facings,
    fittingrooms,
    fixings,
    floorload,
    fronts,
    headroom,
    loads,
    merchandising,
    money,
    panels,
    passing,
    placement,
    protrusion,
    ramps,
    reach,
    routes,
    sprinklers,
    staffareas,
    steps,
    surfaces,
    tipping,
    totals,
    turns,
    turnspaces,
    walls,
)
from shopfit.checks.notes import SHELL
from shopfit.checks.references import look_through
from shopfit.checks.routemap import measure
from shopfit.checks.scene import Scene
from shopfit.checks.totals import Totals, totals_of
from shopfit.geometry.shell import survey
from shopfit.model.finding import Finding
from shopfit.model.fixtures import FixtureKind
from shopfit.model.layout import Layout
from shopfit.model.route import MeasuredRoutes
from shopfit.model.scenario import Scenario
from shopfit.standards import load, names, of

FAMILIES: tuple[Callable[[Scene], Iterator[Finding]], ...] = (
    placement.check,
    backs.check,
    doors.check,
    doorways.check,
    surfaces.check,
    panels.check,
    fronts.check,
    dividers.check,
    routes.check,
    egress.check,
    turns.check,
    passing.check,
    turnspaces.check,
    ramps.check,
    steps.check,
    counters.check,
    fittingrooms.check,
    staffareas.check,
    walls.check,
    protrusion.check,
    headroom.check,
    reach.check,
    sprinklers.check,
    blocks.check,
    loads.check,
    facings.check,
    merchandising.check,
    cuts.check,
    money.check,
    totals.check,
    floorload.check,
    tipping.check,
    fixings.check,
    advice.check,
)
# What follows people through the whole shop takes longest, above all where ways are closed.
WAYS = frozenset((routes.check, egress.check, turns.check, passing.check, turnspaces.check))
DEFAULT_RULEBOOK = "us"
# First words of the names that findings give to things; a user's own names keep their letters.
OWN_WORDS = frozenset(kind.split("-")[0] for kind in get_args(FixtureKind)) | {
    "block",
    "column",
    "cut",
    "fixture",
    "line",
    "ramp",
    "row",
    "slat-wall",
}


def check(scenario: Scenario, layout: Layout, *, ways: bool = True) -> tuple[Finding, ...]:
    """Measure a layout afresh against everything that was given.

    Parameters
    ----------
    scenario
        A scenario whose rooms are sound.
    layout
        Any layout: from the solver, a person or an older version.
    ways
        Whether ways through the shop are measured too; without them nothing is said of them.

    Returns
    -------
    Findings in a fixed order; the same scenario and layout give the same findings.
    """
    scene, found = _scene(scenario, layout)
    if scene is None:
        return tuple(found)
    for family in FAMILIES:
        if ways or family not in WAYS:
            found.extend(family(scene))
    return tuple(dict.fromkeys(_with_margin(_sentence(finding)) for finding in found))


def measured_totals(scenario: Scenario, layout: Layout) -> Totals:
    """Recount facings, units, value, cost and mass of a layout.

    Whatever names something unknown is left out of the count.

    Parameters
    ----------
    scenario, layout
        As for `check`.
    """
    scene, _ = _scene(scenario, layout)
    return totals_of(scene) if scene else Totals(0, 0, 0.0, 0.0, 0.0)


def measured_routes(scenario: Scenario, layout: Layout) -> MeasuredRoutes:
    """Measure the ways of a layout: routes, narrow places, turning spaces and dead ends.

    Parameters
    ----------
    scenario, layout
        As for `check`.
    """
    scene, _ = _scene(scenario, layout)
    return measure(scene) if scene else MeasuredRoutes()


def _scene(scenario: Scenario, layout: Layout) -> tuple[Scene | None, list[Finding]]:
    found: list[Finding] = []
    name = scenario.shop.rulebook
    if name not in names():
        found.append(
            _given(
                "rulebook",
                f"There is no rulebook {name!r}; {DEFAULT_RULEBOOK!r} was used instead.",
                f"Use one of: {', '.join(names())}.",
            )
        )
        name = DEFAULT_RULEBOOK
    shell = survey(scenario.shop)
    crooked = [room for room, outline in shell.rooms.items() if not outline.is_valid]
    crooked += [zone for zone, outline in shell.zones.items() if not outline.is_valid]
    if crooked:
        found.append(
            _given(
                "outline",
                f"The outline of {', '.join(crooked)} crosses itself, so nothing was checked.",
                "Give its corners in walking order.",
            )
        )
        return None, found
    clean, unknown = look_through(scenario, shell, layout)
    book = of(scenario) if name == scenario.shop.rulebook else load(name)
    return Scene(scenario, clean, book, shell), found + unknown


def _sentence(finding: Finding) -> Finding:
    """Begin a message with a capital, unless it begins with a name that the user gave."""
    message = finding.message
    if message.split(" ", 1)[0] not in OWN_WORDS:
        return finding
    return finding.model_copy(update={"message": message[0].upper() + message[1:]})


def _with_margin(finding: Finding) -> Finding:
    """Give a missed limit the margin that it is missed by, where its check gave none."""
    required, measured = finding.required, finding.measured
    missed = finding.severity in ("violation", "barrier to review")
    if finding.margin is not None or not missed or required is None or measured is None:
        return finding
    return finding.model_copy(update={"margin": -abs(measured - required)})


def _given(code: str, message: str, mend: str) -> Finding:
    return Finding(
        code=code,
        severity="violation",
        subject="shop.yaml",
        message=message,
        mend=mend,
        source=SHELL.source,
    )
