"""A little more of each limit of a scenario, one at a time."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal, TypeVar, get_args

from shopfit import standards
from shopfit.files.crosscheck import crosscheck
from shopfit.files.parts import Parts
from shopfit.limits.cuts import Cut, cuts
from shopfit.limits.panelplaces import other_places
from shopfit.limits.stretch import carried, stretch
from shopfit.model.base import Frozen
from shopfit.model.layout import Layout, Placement
from shopfit.model.scenario import Keep, Scenario
from shopfit.units import FOOT_MM, INCH_MM, TOLERANCE_MM, format_length
from shopfit.wording import money

Kind = Literal["sheet", "wall", "aisle", "panelboard", "money", "fixture", "minimum", "pin"]
KINDS: tuple[Kind, ...] = get_args(Kind)
# What a number in a list means where nothing was said of it.
UNLIMITED = 1000
MONEY = 100.0
_FIRST_ROW = 2
Given = TypeVar("Given", bound=Frozen)


@dataclass(frozen=True)
class Easing:
    """One limit moved a little, and nothing else.

    Parameters
    ----------
    kind
        Which limit.
    words
        What is changed, in trade words.
    scenario
        The scenario with the change.
    start
        The layout as it stands after the change, or none where it cannot be carried along.
    nested
        Whether every layout on the positions tried before is one on those tried after; where a
        wall grows, positions move, and bounds of the two say nothing of each other.
    tighter
        Whether less is allowed than before, and not more.
    walls
        Walls that grow.
    one_of
        What this is one of several ways of, of which the best is told; alone if empty.
    """

    kind: Kind
    words: str
    scenario: Scenario
    start: Layout | None
    nested: bool = True
    tighter: bool = False
    walls: tuple[str, ...] = ()
    one_of: str = ""


def easings(scenario: Scenario, layout: Layout) -> Iterator[Easing]:
    """Give the limits of a scenario, each moved a little.

    Parameters
    ----------
    scenario
        What was given.
    layout
        The best layout so far; what it uses up counts as limited.
    """
    yield from _sheets(scenario, layout)
    yield from _walls(scenario, layout)
    yield from _aisle(scenario, layout)
    yield from _panelboards(scenario, layout)
    yield from _money(scenario, layout)
    yield from _fixtures(scenario, layout)
    yield from _wanted(scenario, layout)
    yield from _minimums(scenario, layout)
    yield from _pins(scenario, layout)


def _sheets(scenario: Scenario, layout: Layout) -> Iterator[Easing]:
    for place, sheet in enumerate(scenario.catalogue.sheets):
        if sheet.available < UNLIMITED:
            more = _replaced(scenario.catalogue.sheets, place, available=sheet.available + 1)
            pack = f"1 pack ({sheet.pack} sheets)" if sheet.pack > 1 else "1 sheet"
            words = f"{pack} more of {sheet.id}, {sheet.available + 1} in all"
            yield Easing("sheet", words, _with_catalogue(scenario, sheets=more), layout)


def _walls(scenario: Scenario, layout: Layout) -> Iterator[Easing]:
    by_mm = FOOT_MM if _imperial(scenario) else 300.0
    length = format_length(by_mm, scenario.shop.units)
    for cut in cuts(scenario, layout):
        longer = stretch(scenario, cut, by_mm)
        if not _sound(longer):
            continue
        moved = carried(scenario, layout, cut, by_mm)
        words = _wall_words(cut, length)
        yield Easing("wall", words, longer, moved, nested=False, walls=cut.walls)


def _wall_words(cut: Cut, length: str) -> str:
    *first, last = cut.walls
    walls = f"{', '.join(first)} and {last}" if first else last
    grown = f"; {', '.join(cut.zones)} with them" if cut.zones else ""
    return f"{length} more of {cut.room}: {walls}{grown}"


def _aisle(scenario: Scenario, layout: Layout) -> Iterator[Easing]:
    now, units = scenario.brief.aisle, scenario.shop.units
    # Never under the published width of an accessible route.
    least = standards.of(scenario).mm("route-width")
    less = max(least, now - (2 * INCH_MM if _imperial(scenario) else 50.0))
    if less < now - TOLERANCE_MM:
        words = f"an aisle of {format_length(less, units)} instead of {format_length(now, units)}"
        yield Easing("aisle", words, _with_brief(scenario, aisle=less), layout)


def _panelboards(scenario: Scenario, layout: Layout) -> Iterator[Easing]:
    shop = scenario.shop
    for place, thing in enumerate(shop.obstructions):
        if thing.kind != "panelboard":
            continue
        for moved in other_places(scenario, layout, thing):
            things = (*shop.obstructions[:place], moved, *shop.obstructions[place + 1 :])
            changed = _with(scenario, shop=_with(shop, obstructions=things))
            words = (
                f"{thing.id} at {format_length(moved.offset, shop.units)} on {moved.wall} instead"
            )
            # Places flush with its clear floor are others then.
            yield Easing("panelboard", words, changed, layout, nested=False, one_of=thing.id)


def _money(scenario: Scenario, layout: Layout) -> Iterator[Easing]:
    budget = scenario.brief.budget
    if budget is None:
        return
    amount = money(MONEY, scenario.shop.currency)
    more = _with_brief(scenario, budget=budget + MONEY)
    yield Easing("money", f"{amount} more to spend", more, layout)
    if budget >= MONEY:
        less = _with_brief(scenario, budget=budget - MONEY)
        start = layout if layout.claims.cost <= budget - MONEY else None
        yield Easing("money", f"{amount} less to spend", less, start, tighter=True)


def _fixtures(scenario: Scenario, layout: Layout) -> Iterator[Easing]:
    used = Counter(placement.fixture for placement in layout.placements)
    fixtures = scenario.catalogue.fixtures
    for place, fixture in enumerate(fixtures):
        most = fixture.available + fixture.owned
        if most and used[fixture.id] >= most:
            more = _replaced(fixtures, place, available=fixture.available + 1)
            words = f"1 more of {fixture.id} to be had, {most + 1} in all"
            yield Easing("fixture", words, _with_catalogue(scenario, fixtures=more), layout)


def _wanted(scenario: Scenario, layout: Layout) -> Iterator[Easing]:
    kinds = {fixture.id: fixture.kind for fixture in scenario.catalogue.fixtures}
    placed = [placement.fixture for placement in layout.placements]
    wanted = scenario.brief.wanted
    for place, one in enumerate(wanted):
        count = sum(one.subject in (name, kinds.get(name)) for name in placed)
        if one.at_most is not None and count >= one.at_most:
            changed = _replaced(wanted, place, at_most=one.at_most + 1)
            words = f"up to {one.at_most + 1} of {one.subject} instead of {one.at_most}"
            yield Easing("fixture", words, _with_brief(scenario, wanted=changed), layout)
        if 0 < one.at_least >= count:
            changed = _replaced(wanted, place, at_least=one.at_least - 1)
            fewer = f"at least {one.at_least - 1}" if one.at_least > 1 else "no need"
            words = f"{fewer} of {one.subject} instead of at least {one.at_least}"
            yield Easing("fixture", words, _with_brief(scenario, wanted=changed), layout)


def _minimums(scenario: Scenario, layout: Layout) -> Iterator[Easing]:
    for category in scenario.categories:
        lines = tuple(
            _with(line, min_facings=0, holding=0) if line.category == category else line
            for line in scenario.lines
        )
        if lines != scenario.lines:
            words = f"no minimums for {category}"
            yield Easing("minimum", words, _with(scenario, lines=lines), layout)


def _pins(scenario: Scenario, layout: Layout) -> Iterator[Easing]:
    pins = scenario.pins
    for place, keep in enumerate(pins.keep):
        changed = _with(scenario, pins=_with(pins, keep=_without(pins.keep, place)))
        # Its place may be off the step, so that it is not tried without the pin.
        words = f"{keep.fixture} not pinned (pin {place + 1})"
        yield Easing("pin", words, changed, _unpinned(layout, keep), nested=False)
    for place, clear in enumerate(pins.clear):
        changed = _with(scenario, pins=_with(pins, clear=_without(pins.clear, place)))
        yield Easing("pin", f"the floor '{clear.id}' not kept empty", changed, layout, nested=False)


def _unpinned(layout: Layout, keep: Keep) -> Layout:
    """Give a layout whose fixture stands where it was pinned, but is not pinned any more."""

    def there(one: Placement) -> bool:
        if not one.pinned or one.fixture != keep.fixture:
            return False
        if keep.at is not None:
            return math.dist(keep.at, (one.x_mm, one.y_mm)) <= TOLERANCE_MM
        return (
            one.wall == keep.wall
            and abs((one.offset_mm or 0.0) - (keep.offset or 0.0)) <= TOLERANCE_MM
        )

    placements = tuple(_with(one, pinned=False) if there(one) else one for one in layout.placements)
    return _with(layout, placements=placements)


def _sound(scenario: Scenario) -> bool:
    lines = dict(enumerate(scenario.lines, _FIRST_ROW))
    return not crosscheck(Parts(scenario.shop, scenario.catalogue, scenario.pins, lines))


def _imperial(scenario: Scenario) -> bool:
    return scenario.shop.units in ("ft-in", "in")


def _without(items: tuple[Any, ...], place: int) -> tuple[Any, ...]:
    return (*items[:place], *items[place + 1 :])


def _replaced(items: tuple[Any, ...], place: int, **changes: object) -> tuple[Any, ...]:
    return (*items[:place], _with(items[place], **changes), *items[place + 1 :])


def _with_catalogue(scenario: Scenario, **changes: object) -> Scenario:
    return _with(scenario, catalogue=_with(scenario.catalogue, **changes))


def _with_brief(scenario: Scenario, **changes: object) -> Scenario:
    return _with(scenario, shop=_with(scenario.shop, brief=_with(scenario.brief, **changes)))


def _with(model: Given, **changes: object) -> Given:
    return model.model_copy(update=changes)
