"""What a curve runs over: the values tried, how they are written, and the shop at each."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from shopfit import standards
from shopfit.errors import Fault, InputFaults
from shopfit.files.wording import nearest, shortened, unit_mend
from shopfit.model.brief import Wanted
from shopfit.model.fixtures import FixtureKind
from shopfit.model.scenario import Scenario
from shopfit.numerals import UnitError
from shopfit.units import INCH_MM, TOLERANCE_MM, format_length, parse_length
from shopfit.wording import money

Measure = Literal["length", "money", "count"]
PLACE = "command line"
ISLANDS = "islands"
MOST_STEPS = 100
_DEAREST = 1e9
_MANY = 1000


@dataclass(frozen=True)
class Axis:
    """One thing that a curve runs over.

    Parameters
    ----------
    over
        ``aisle``, ``budget``, or the fixture or kind whose number is limited.
    measure
        What its values are: mm, money, or a number of fixtures.
    more_is_harder
        Whether a greater value leaves fewer layouts and not more.
    scenario
        The shop.
    """

    over: str
    measure: Measure
    more_is_harder: bool
    scenario: Scenario

    @property
    def title(self) -> str:
        """What it is, for headings."""
        return f"most of {self.over}" if self.measure == "count" else self.over

    def label(self, value: float) -> str:
        """Write a value the way the shop writes such."""
        if self.measure == "length":
            return format_length(value, self.scenario.shop.units)
        if self.measure == "money":
            return money(value, self.scenario.shop.currency)
        return f"{value:.0f}"

    def at(self, value: float) -> Scenario:
        """Give the shop with a value in place of its own."""
        brief = self.scenario.brief
        if self.measure == "length":
            brief = brief.model_copy(update={"aisle": value})
        elif self.measure == "money":
            brief = brief.model_copy(update={"budget": value})
        else:
            brief = brief.model_copy(update={"wanted": self._wanted(int(value))})
        shop = self.scenario.shop.model_copy(update={"brief": brief})
        return self.scenario.model_copy(update={"shop": shop})

    def _wanted(self, most: int) -> tuple[Wanted, ...]:
        wanted = list(self.scenario.brief.wanted)
        for place, each in enumerate(wanted):
            if each.subject == self.over:
                wanted[place] = each.model_copy(update={"at_most": most})
                return tuple(wanted)
        subject = "kind" if self.over in get_args(FixtureKind) else "fixture"
        return (*wanted, Wanted.model_validate({subject: self.over, "at_most": most}))


def read_axis(
    scenario: Scenario, over: str, first: str, last: str, steps: int | None
) -> tuple[Axis, tuple[float, ...]]:
    """Read what a curve runs over, and the values at its points.

    Parameters
    ----------
    scenario
        The shop.
    over
        ``aisle``, ``budget``, ``islands``, a kind of fixtures, or the id of a fixture.
    first, last
        Its ends, as written: lengths with their unit, money and numbers bare.
    steps
        Steps between them, so that there is one point more; each whole number of fixtures, or
        4 steps, if left out.

    Raises
    ------
    InputFaults
        With everything that is wrong with them.
    """
    faults: list[Fault] = []
    axis = _axis(scenario, over, faults)
    ends = [_end(axis, word, given, faults) for word, given in (("--from", first), ("--to", last))]
    if steps is not None and not 1 <= steps <= MOST_STEPS:
        mend = "Write another number of steps."
        faults.append(_fault("--steps", str(steps), f"from 1 to {MOST_STEPS}", mend))
    low, high = ends
    if low is not None and high is not None and abs(low - high) <= TOLERANCE_MM:
        mend = "Give two different ends."
        faults.append(_fault("--to", shortened(last), "another end than --from", mend))
    if faults or axis is None or low is None or high is None:
        raise InputFaults(faults)
    if steps is None:
        steps = min(MOST_STEPS, int(abs(high - low))) if axis.measure == "count" else 4
    return axis, _values(axis, low, high, steps)


def _values(axis: Axis, low: float, high: float, steps: int) -> tuple[float, ...]:
    found = [low]
    for step in range(1, steps):
        found.append(_rounded(axis, low + (high - low) * step / steps))
    return tuple(dict.fromkeys([*found, high]))


def _rounded(axis: Axis, value: float) -> float:
    """Round a value between the ends to what a tape or a price shows."""
    if axis.measure == "length":
        fine = INCH_MM / 16 if axis.scenario.shop.units in ("ft-in", "in") else 1.0
        return round(value / fine) * fine
    return round(value, 2) if axis.measure == "money" else float(round(value))


def _axis(scenario: Scenario, over: str, faults: list[Fault]) -> Axis | None:
    if over == "aisle":
        return Axis(over, "length", True, scenario)
    if over == "budget":
        return Axis(over, "money", False, scenario)
    fixtures = scenario.catalogue.fixtures
    ids = [fixture.id for fixture in fixtures]
    kinds = list(dict.fromkeys(fixture.kind for fixture in fixtures))
    if over == ISLANDS:
        standing = {fixture.kind for fixture in fixtures if "island" in fixture.stands}
        alone = all(f.stands == ("island",) for f in fixtures if f.kind in standing)
        if len(standing) == 1 and alone:
            return Axis(standing.pop(), "count", False, scenario)
        several = ", ".join(sorted(standing)) or "none"
        faults.append(
            _fault(
                "--over",
                over,
                "islands of one kind that stands nowhere else",
                f"Name a kind or the id of a fixture; kinds that may stand as islands: {several}.",
            )
        )
        return None
    if over in ids or over in kinds:
        return Axis(over, "count", False, scenario)
    words = ["aisle", "budget", ISLANDS, *kinds, *ids]
    allowed = "aisle, budget, islands, a kind of fixtures, or the id of a fixture"
    faults.append(_fault("--over", shortened(over), allowed, nearest(over, words, "")))
    return None


def _end(axis: Axis | None, word: str, given: str, faults: list[Fault]) -> float | None:
    if axis is None:
        return None
    try:
        if axis.measure == "length":
            return _aisle(axis, word, given, faults)
        number = float(given.replace("_", "x"))
    except UnitError as error:
        allowed = "a length with its unit, such as 42 in or 1050 mm"
        faults.append(_fault(word, shortened(given), allowed, unit_mend(str(error), given)))
        return None
    except ValueError:
        number = float("nan")
    if axis.measure == "money":
        if 0 <= number <= _DEAREST:
            return number
        allowed, mend = "an amount of money from 0 up", "Write the bare number, without currency."
    else:
        least = max(
            (w.at_least for w in axis.scenario.brief.wanted if w.subject == axis.over), default=0
        )
        if least <= number <= _MANY and number == int(number):
            return number
        allowed = f"a whole number from {least}, which the brief wants, up to {_MANY}"
        mend = "Write a number of fixtures."
    faults.append(_fault(word, shortened(given), allowed, mend))
    return None


def _aisle(axis: Axis, word: str, given: str, faults: list[Fault]) -> float | None:
    size, units = parse_length(given), axis.scenario.shop.units
    least = standards.of(axis.scenario).requirement("route-width")
    if size >= least.value - TOLERANCE_MM:
        return size
    allowed = f"at least {format_length(least.value, units)}, the width of a route"
    faults.append(
        _fault(word, shortened(given), f"{allowed} ({least.clause})", "Write a wider aisle.")
    )
    return None


def _fault(where: str, given: str, allowed: str, mend: str) -> Fault:
    return Fault(PLACE, where, given, allowed, mend)
