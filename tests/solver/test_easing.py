"""Easing wishes: the least easing by floor and rows, and the least with which a layout is found."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.model.scenario import Scenario
from shopfit.solver.easing import eased
from shopfit.solver.wish import Easing, Wish, with_brief

from . import build as b


class Judging:
    """Stands for who judges: aisles up to one width are possible, up to another are laid out."""

    def __init__(self, possible: float, shown: float) -> None:
        self.limits = possible, shown
        self.tried: list[float] = []

    def possible(self, scenario: Scenario) -> bool:
        """Say whether the aisle is narrow enough by floor and rows."""
        return scenario.brief.aisle <= self.limits[0]

    def shown(self, scenario: Scenario) -> int | None:
        """Give a number of facings where the aisle is narrow enough for a layout."""
        self.tried.append(scenario.brief.aisle)
        return 7 if scenario.brief.aisle <= self.limits[1] else None


def narrower() -> Wish:
    """Wish for an aisle of 1000 mm, to be eased by 10 mm at a time down to 800."""

    def easing(n: int, given: Scenario) -> Easing:
        aisle = 1000.0 - 10 * n
        return Easing(f"{aisle:.0f}", n / 21, lambda: with_brief(given, aisle=aisle))

    return Wish(
        "an aisle",
        lambda given: with_brief(given, aisle=0.0),
        lambda given: [[easing(n, given) for n in range(1, 21)]],
    )


@pytest.mark.parametrize(
    ("possible", "shown", "change", "facings", "tried"),
    [
        (950.0, 950.0, "950", 7, [950.0]),
        (950.0, 940.0, "940", 7, [950.0, 940.0]),
        (950.0, 900.0, "880", 7, [950.0, 940.0, 920.0, 880.0]),
        (950.0, 870.0, "950", None, [950.0, 940.0, 920.0, 880.0]),
        (810.0, 700.0, "810", None, [810.0, 800.0]),
    ],
)
def test_the_least_easing_with_which_a_layout_is_found(
    possible: float, shown: float, change: str, facings: int | None, tried: list[float]
):
    """From the least by floor and rows on, ever greater ones are laid out, four at most."""
    judge: Any = Judging(possible, shown)
    known = eased(judge, b.scenario(brief={"aisle": "1000 mm"}), [narrower()])
    assert [(each.change, each.facings) for each in known.changes] == [(change, facings)]
    assert judge.tried == tried
