"""How many of a fixture there may be, and how many of fixtures and sheets can be had."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from functools import partial

from shopfit.geometry.shell import survey
from shopfit.model.fixtures import Fixture, Sheet
from shopfit.model.scenario import Scenario
from shopfit.solver.site import Site, cheapest
from shopfit.solver.wish import Easing, Way, Wish, share, with_, with_brief

Counted = Callable[[Scenario, int], Scenario]


def at_most(scenario: Scenario) -> Iterator[Wish]:
    """Give the numbers that must not be passed."""
    for number, wanted in enumerate(scenario.brief.wanted):
        own = [
            fixture
            for fixture in scenario.catalogue.fixtures
            if wanted.fixture == fixture.id or wanted.kind == fixture.kind
        ]
        most, now = _most_standing(scenario, own), wanted.at_most
        if now is not None and now < most:
            yield Wish(
                f"no more than {now} of {wanted.subject}",
                partial(_allowed, number, most=None),
                _counted(partial(_allowed, number), now, most, "allow"),
            )


def _allowed(number: int, scenario: Scenario, most: int | None) -> Scenario:
    changed = list(scenario.brief.wanted)
    changed[number] = with_(changed[number], at_most=most)
    return with_brief(scenario, wanted=tuple(changed))


def fixtures(scenario: Scenario) -> Iterator[Wish]:
    """Give the fixtures of which fewer can be had than have room."""
    for fixture in scenario.catalogue.fixtures:
        now, most = fixture.available + fixture.owned, _most_standing(scenario, [fixture])
        if now < most:
            had = partial(_fixtures_had, fixture)
            yield Wish(
                f"{now} of {fixture.id} to be had",
                partial(had, count=most),
                _counted(had, now, most, "have"),
            )


def _fixtures_had(fixture: Fixture, scenario: Scenario, count: int) -> Scenario:
    changed = tuple(
        with_(one, available=max(0, count - one.owned)) if one.id == fixture.id else one
        for one in scenario.catalogue.fixtures
    )
    return with_(scenario, catalogue=with_(scenario.catalogue, fixtures=changed))


def _most_standing(scenario: Scenario, own: Iterable[Fixture]) -> int:
    """Give a number of fixtures for which the floor is too small anyway."""
    smallest = min((one.width * one.depth for one in own), default=math.inf)
    return int(survey(scenario.shop).floor.area / smallest) + 1


def sheets(scenario: Scenario) -> Iterator[Wish]:
    """Give how much slat-wall can be had, where that is a matter."""
    site = Site(scenario)
    # Where none is to be had it is the cheapest that is missed.
    sheet = site.sheet or cheapest(scenario.catalogue.sheets)
    if sheet is None or (site.sheet is not None and site.slat_to_be_had is None):
        return
    now = sheet.available
    walls = sum(wall.length * max(h for _, h in wall.heights) for wall in site.shell.walls)
    most = int(walls / (sheet.width * sheet.height * sheet.pack)) + 1
    noun = "sheet" if sheet.pack == 1 else "pack"
    if now < most:
        had = partial(_sheets_had, sheet)
        yield Wish(
            f"{now} {noun}{'s' * (now != 1)} of {sheet.id} to be had",
            partial(had, count=most),
            _counted(had, now, most, "have"),
        )


def _sheets_had(sheet: Sheet, scenario: Scenario, count: int) -> Scenario:
    changed = tuple(
        with_(one, available=count) if one.id == sheet.id else one
        for one in scenario.catalogue.sheets
    )
    return with_(scenario, catalogue=with_(scenario.catalogue, sheets=changed))


def _counted(change: Counted, now: int, most: int, verb: str) -> Callable[[Scenario], list[Way]]:
    """Ease a number upward one by one, up to where more is no help."""
    return lambda scenario: [
        [
            Easing(
                f"{verb} {count} instead of {now}",
                share(now, count),
                partial(change, scenario, count),
            )
            for count in range(now + 1, most + 1)
        ]
    ]
