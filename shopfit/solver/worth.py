"""What facings are worth: falling steps for each line, weights of the heights that rows hang in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from shopfit.model.brief import Brief
from shopfit.model.range import Line
from shopfit.model.scenario import Scenario

# The least by which something is better where worths are not whole, as a part of it.
LEAST_GAIN = 1e-4

Steps = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Worth:
    """The aim of a search, line by line.

    A line's weighted facings are the sum of its facings times the weights of the rows they stand
    in. The first steps of it are worth most, so a program that makes the sum largest takes them in
    order.

    Parameters
    ----------
    steps
        For each line: weighted facings of each step and the worth of one of them, falling.
    second
        Worth of a facing when the aim has been reached as far as it goes.
    even
        Whether every line has one step and every row the weight 1.
    whole
        Whether the worth of every layout is a whole number.
    """

    steps: Mapping[str, Steps]
    second: Mapping[str, float]
    even: bool
    whole: bool

    @property
    def dearest(self) -> float:
        """The most that one weighted facing of any line is worth."""
        return max((steps[0][1] for steps in self.steps.values() if steps), default=0.0)

    @property
    def last(self) -> float:
        """What a last weighted facing of a line is worth, on average over all lines."""
        lasts = [steps[-1][1] for steps in self.steps.values() if steps]
        return sum(lasts) / max(1, len(lasts))

    def first(self, line: str) -> float:
        """Give the worth of the first weighted facing of a line."""
        steps = self.steps[line]
        return steps[0][1] if steps else 0.0

    def of(self, line: str, counted: float) -> float:
        """Give the worth of so many weighted facings of a line."""
        total = 0.0
        for count, each in self.steps[line]:
            total += min(count, max(0.0, counted)) * each
            counted -= count
        return total

    def gain(self, known: float) -> float:
        """Give the least by which anything is better than what is worth so much."""
        return 1.0 if self.whole else LEAST_GAIN * max(1.0, abs(known))

    def most(self, lines: Mapping[str, float]) -> float:
        """Add up the worth of so many weighted facings of each line."""
        return sum(self.of(line, count) for line, count in lines.items())


def heaviest(brief: Brief) -> float:
    """Give the greatest weight that a row can have."""
    return max([1.0, *(band.weight for band in brief.bands)])


def worth(scenario: Scenario) -> Worth:
    """Work out what the brief makes largest.

    Facings count one each, or their line's value; expected sales grow with the power of the
    category's elasticity, taken straight between whole counts (Eisend 2014, Journal of Retailing
    90(2):168-181, for its usual size).
    """
    brief = scenario.brief
    weighted = any(band.weight != 1.0 for band in brief.bands)
    most = heaviest(brief)
    steps = {line.line: _steps(brief, line, most) for line in scenario.lines}
    facings = brief.objective == "facings"
    second = {line.line: line.value if facings else 1.0 for line in scenario.lines}
    even = not weighted and brief.objective != "sales"
    whole = even and all(each == int(each) for own in steps.values() for _, each in own)
    return Worth(steps, second, even, whole)


def everything(scenario: Scenario, worth: Worth) -> float:
    """Give the worth of all facings that are wanted, each in the row that counts most."""
    weight = heaviest(scenario.brief)
    return worth.most({line.line: line.max_facings * weight for line in scenario.lines})


def _steps(brief: Brief, line: Line, heaviest_row: float) -> Steps:
    most = line.max_facings * heaviest_row
    if line.max_facings == 0:
        return ()
    if brief.objective == "facings":
        return ((most, 1.0),)
    if brief.objective == "value":
        return ((most, line.value),)
    beta = brief.elasticity.of(line.category)
    whole = int(most) + (most > int(most))
    return tuple((1.0, line.value * (n**beta - (n - 1) ** beta)) for n in range(1, whole + 1))
