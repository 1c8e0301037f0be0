"""The wishes of a scenario one by one, each with ways to drop it or to ease it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import TypeVar

from shopfit import standards
from shopfit.model.base import Frozen
from shopfit.model.brief import Wanted
from shopfit.model.range import Line
from shopfit.model.scenario import Keep, KeepClear, Scenario
from shopfit.units import INCH_MM, format_length

# Step to which a least change of a length is found, mm; half an inch is what a tape shows at once.
LENGTH_STEP_MM = INCH_MM / 2
# Part of the budget to which a least change of money is found.
MONEY_STEP = 0.01


Given = TypeVar("Given", bound=Frozen)


@dataclass(frozen=True)
class Wish:
    """Something the owner wants that could be given up or eased.

    Parameters
    ----------
    words
        The wish in trade words.
    drop
        Gives the scenario without it.
    easings
        Gives ever greater easings, each with its scenario and what to say of it; none where it
        can only be dropped.
    """

    words: str
    drop: Callable[[Scenario], Scenario]
    easings: Callable[[Scenario], list[tuple[Scenario, str]]]


def wishes(scenario: Scenario) -> list[Wish]:
    """List the wishes, those that people give up most easily first."""
    return [
        *_minimums(scenario),
        *_bands(scenario),
        *_secured(scenario),
        *_money(scenario),
        *_pins(scenario),
        *_staff_aisle(scenario),
        *_wanted(scenario),
        *_aisle(scenario),
    ]


def _with_brief(scenario: Scenario, **changes: object) -> Scenario:
    return _with(scenario, shop=_with(scenario.shop, brief=_with(scenario.brief, **changes)))


def _with(model: Given, **changes: object) -> Given:
    return model.model_copy(update=changes)


def _dropped_only(words: str, drop: Callable[[Scenario], Scenario]) -> Wish:
    return Wish(words, drop, lambda scenario: [(drop(scenario), "give it up")])


def _lines_changed(category: str | None, **changes: object) -> Callable[[Scenario], Scenario]:
    def change(line: Line) -> Line:
        mine = category is None or line.category == category
        return _with(line, **changes) if mine else line

    def drop(scenario: Scenario) -> Scenario:
        lines = tuple(change(line) for line in scenario.lines)
        return _with(scenario, lines=lines)

    return drop


def _minimums(scenario: Scenario) -> Iterator[Wish]:
    for category in scenario.categories:
        lines = [line for line in scenario.lines if line.category == category]
        facings = sum(line.min_facings for line in lines)
        held = sum(line.holding for line in lines)
        if facings + held > 0:
            words = f"the minimums of {category} ({facings} facings, {held} units held)"
            yield _dropped_only(words, _lines_changed(category, min_facings=0, holding=0))


def _bands(scenario: Scenario) -> Iterator[Wish]:
    names = sorted({line.band for line in scenario.lines if line.band is not None})
    if names:
        words = f"the height bands asked for ({', '.join(names)})"
        yield _dropped_only(words, _lines_changed(None, band=None))


def _secured(scenario: Scenario) -> Iterator[Wish]:
    count = sum(1 for line in scenario.lines if line.secured)
    if count:
        words = f"{count} secured lines locked in glass cases"
        yield _dropped_only(words, _lines_changed(None, secured=False))


def _money(scenario: Scenario) -> Iterator[Wish]:
    budget = scenario.brief.budget
    if budget is None:
        return
    currency = scenario.shop.currency

    def easings(given: Scenario) -> list[tuple[Scenario, str]]:
        found = []
        for percent in (*range(1, 20), *range(20, 100, 5), *range(100, 1000, 50)):
            more = round(budget * (1 + percent * MONEY_STEP), 2)
            eased = _with_brief(given, budget=more)
            found.append((eased, f"raise it to {more:,.0f} {currency}"))
        return found

    yield Wish(
        f"a budget of {budget:,.0f} {currency}",
        lambda given: _with_brief(given, budget=None),
        easings,
    )


def _pins(scenario: Scenario) -> Iterator[Wish]:
    for number, keep in enumerate(scenario.pins.keep):
        words = f"{keep.fixture} pinned where it stands (pin {number + 1})"
        yield _dropped_only(words, partial(_without_keep, keep))
    for clear in scenario.pins.clear:
        yield _dropped_only(f"the floor '{clear.id}' kept empty", partial(_without_clear, clear))


def _without_keep(keep: Keep, scenario: Scenario) -> Scenario:
    kept = tuple(other for other in scenario.pins.keep if other != keep)
    return _with(scenario, pins=_with(scenario.pins, keep=kept))


def _without_clear(clear: KeepClear, scenario: Scenario) -> Scenario:
    kept = tuple(other for other in scenario.pins.clear if other != clear)
    return _with(scenario, pins=_with(scenario.pins, clear=kept))


def _length_wish(scenario: Scenario, field: str, words: str, least: float) -> Iterator[Wish]:
    now: float = getattr(scenario.brief, field)
    units = scenario.shop.units
    if now <= least + 1e-6:
        return

    def easings(given: Scenario) -> list[tuple[Scenario, str]]:
        count = int((now - least) / LENGTH_STEP_MM + 1e-6)
        sizes = [now - k * LENGTH_STEP_MM for k in range(1, count + 1)]
        if not sizes or sizes[-1] > least + 1e-6:
            sizes.append(least)
        return [
            (_with_brief(given, **{field: size}), f"make it {format_length(size, units)}")
            for size in sizes
        ]

    yield Wish(
        f"{words} of {format_length(now, units)}",
        lambda given: _with_brief(given, **{field: least}),
        easings,
    )


def _aisle(scenario: Scenario) -> Iterator[Wish]:
    # Under the published width of an accessible route no easing is offered.
    least = standards.of(scenario).mm("route-width")
    yield from _length_wish(scenario, "aisle", "an aisle", least)


def _staff_aisle(scenario: Scenario) -> Iterator[Wish]:
    rulebook = standards.of(scenario)
    least = rulebook.mm("exit-width") if "exit-width" in rulebook else 711.2
    yield from _length_wish(scenario, "staff_aisle", "a staff aisle", least)


def _wanted(scenario: Scenario) -> Iterator[Wish]:
    for number, wanted in enumerate(scenario.brief.wanted):
        if wanted.at_least > 0:
            yield _number_wish(number, wanted)


def _number_wish(number: int, wanted: Wanted) -> Wish:
    def fewer(given: Scenario, count: int) -> Scenario:
        changed = list(given.brief.wanted)
        changed[number] = _with(changed[number], at_least=count)
        return _with_brief(given, wanted=tuple(changed))

    def easings(given: Scenario) -> list[tuple[Scenario, str]]:
        return [
            (fewer(given, count), f"want {count} instead of {wanted.at_least}" if count else "none")
            for count in range(wanted.at_least - 1, -1, -1)
        ]

    count = f"{wanted.at_least}"
    if wanted.at_most != wanted.at_least:
        count = f"at least {wanted.at_least}"
    return Wish(f"{count} of {wanted.subject}", lambda given: fewer(given, 0), easings)
