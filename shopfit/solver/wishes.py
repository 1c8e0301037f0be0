"""The wishes of a scenario one by one, each with ways to drop it or to ease it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial

from shopfit import standards
from shopfit.model.brief import Wanted
from shopfit.model.scenario import Keep, KeepClear, Scenario
from shopfit.solver import goodswishes as goods
from shopfit.solver import supplywishes as supply
from shopfit.solver.goodswishes import LENGTH_STEP_MM
from shopfit.solver.wish import Easing, Way, Wish, given_up, share, with_, with_brief
from shopfit.units import format_length

# Digits to which a least change of money is found, and up to how many times the budget.
MONEY_DIGITS = 3
MOST_MONEY = 1000


def wishes(scenario: Scenario) -> list[Wish]:
    """List the wishes, those that people give up most easily first."""
    return [
        *goods.minimums(scenario),
        *goods.bands(scenario),
        *goods.heavy(scenario),
        *goods.secured(scenario),
        *goods.near_entrance(scenario),
        *_money(scenario),
        *supply.sheets(scenario),
        *supply.fixtures(scenario),
        *_pins(scenario),
        *_staff_aisle(scenario),
        *supply.at_most(scenario),
        *_wanted(scenario),
        *_aisle(scenario),
    ]


def _money(scenario: Scenario) -> Iterator[Wish]:
    budget = scenario.brief.budget
    if budget is None:
        return
    currency = scenario.shop.currency

    def ways(given: Scenario) -> list[Way]:
        return [
            [
                Easing(
                    f"raise it to at least {_money_told(amount)} {currency}",
                    share(budget, amount),
                    partial(with_brief, given, budget=amount),
                )
                for amount in _dearer(budget)
            ]
        ]

    yield Wish(
        f"a budget of {budget:,.0f} {currency}",
        lambda given: with_brief(given, budget=None),
        ways,
        money=True,
    )


def _dearer(budget: float) -> Iterator[float]:
    """Give ever greater round amounts, none more than 1 % of itself over the one before."""
    amount = max(budget, 1.0)
    most = MOST_MONEY * amount
    while amount < most:
        step = max(0.01, 10.0 ** (math.floor(math.log10(amount) + 1e-9) + 1 - MONEY_DIGITS))
        amount = round((math.floor(amount / step + 1e-6) + 1) * step, 2)
        yield amount


def _money_told(amount: float) -> str:
    return f"{amount:,.0f}" if amount == int(amount) else f"{amount:,.2f}"


def _pins(scenario: Scenario) -> Iterator[Wish]:
    for number, keep in enumerate(scenario.pins.keep):
        drop = partial(_without_keep, keep)
        yield Wish(
            f"{keep.fixture} pinned where it stands (pin {number + 1})",
            drop,
            partial(_unpinned, keep),
            pin=keep,
        )
    for clear in scenario.pins.clear:
        empty = partial(_without_clear, clear)
        yield Wish(f"the floor '{clear.id}' kept empty", empty, given_up(empty))


def _unpinned(keep: Keep, scenario: Scenario) -> list[Way]:
    """Let a pinned fixture stand elsewhere, or else give it up."""
    without = _without_keep(keep, scenario)
    count = sum(other.fixture == keep.fixture for other in scenario.pins.keep)
    wanted = (*scenario.brief.wanted, Wanted(fixture=keep.fixture, at_least=count))
    elsewhere = partial(with_brief, without, wanted=wanted)
    return [
        [Easing("let it stand elsewhere", 0.5, elsewhere)],
        [Easing("give it up", 1.0, lambda: without)],
    ]


def _without_keep(keep: Keep, scenario: Scenario) -> Scenario:
    # Two pins may be alike.
    kept = tuple(other for other in scenario.pins.keep if other is not keep)
    return with_(scenario, pins=with_(scenario.pins, keep=kept))


def _without_clear(clear: KeepClear, scenario: Scenario) -> Scenario:
    kept = tuple(other for other in scenario.pins.clear if other != clear)
    return with_(scenario, pins=with_(scenario.pins, clear=kept))


def _length_wish(scenario: Scenario, field: str, words: str, least: float) -> Iterator[Wish]:
    now: float = getattr(scenario.brief, field)
    units = scenario.shop.units
    if now <= least + 1e-6:
        return

    def ways(given: Scenario) -> list[Way]:
        count = int((now - least) / LENGTH_STEP_MM + 1e-6)
        sizes = [now - k * LENGTH_STEP_MM for k in range(1, count + 1)]
        if not sizes or sizes[-1] > least + 1e-6:
            sizes.append(least)
        return [
            [
                Easing(
                    f"make it {format_length(size, units)}",
                    share(now, size),
                    partial(with_brief, given, **{field: size}),
                )
                for size in sizes
            ]
        ]

    yield Wish(
        f"{words} of {format_length(now, units)}",
        lambda given: with_brief(given, **{field: least}),
        ways,
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
        changed[number] = with_(changed[number], at_least=count)
        return with_brief(given, wanted=tuple(changed))

    def ways(given: Scenario) -> list[Way]:
        return [
            [
                Easing(
                    f"want {count} instead of {wanted.at_least}" if count else "none",
                    share(wanted.at_least, count),
                    partial(fewer, given, count),
                )
                for count in range(wanted.at_least - 1, -1, -1)
            ]
        ]

    count = f"{wanted.at_least}"
    if wanted.at_most != wanted.at_least:
        count = f"at least {wanted.at_least}"
    return Wish(f"{count} of {wanted.subject}", lambda given: fewer(given, 0), ways)
