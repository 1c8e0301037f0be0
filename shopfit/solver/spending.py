"""What layouts cost, and what each position does."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from math import floor

from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario
from shopfit.solver.assemble import assemble
from shopfit.solver.floor import FloorAnswer, FloorProblem
from shopfit.solver.held import Filled
from shopfit.solver.parts import FacePart
from shopfit.solver.site import Site

_EPS = 1e-6
# Half a cent: money is counted in floats.
MONEY_STEP = 0.005

# Gives a layout with what has to be bought for it, in whole sheets and packs.
Bought = Callable[[Scenario, Layout], Layout]
Price = Callable[[Layout], float]
# Gives what is left of a layout with its purchases once it keeps to the budget, whatever minimums
# that takes; none where that cannot be done.
Within = Callable[[Scenario, Layout], Layout | None]


def price_of(scenario: Scenario, bought: Bought | None) -> Price | None:
    """Give what tells the cost of layouts, or none where purchases are not counted."""
    if bought is None:
        return None
    return lambda layout: bought(scenario, layout).claims.cost


def sheets_over(scenario: Scenario, layout: Layout) -> dict[str, int]:
    """Give, for each kind of sheet of which too many are needed, how many packs too many.

    Parameters
    ----------
    scenario, layout
        Which; the layout with its purchases.
    """
    packs = {bought.item: bought.packs for bought in layout.purchases}
    over = {s.id: packs.get(s.id, 0) - s.available for s in scenario.catalogue.sheets}
    return {name: count for name, count in over.items() if count > 0}


def buyable(scenario: Scenario, layout: Layout) -> bool:
    """Say whether the purchases of a layout keep to the budget and to the sheets to be had."""
    budget = scenario.brief.budget
    dear = budget is not None and layout.claims.cost > budget + MONEY_STEP
    return not dear and not sheets_over(scenario, layout)


def laid_out(found: Filled) -> Layout:
    """Write a filled floor down, without what nothing on it needs."""
    return assemble(found.problem, found.fixed, found.filler, found.filling)


def least_cost(found: Filled) -> float:
    """Give the least money for a filled floor, whole sheets and packs not counted."""
    layout = laid_out(found)
    money = found.problem.site.slat_cost(
        sum((run.to_mm - run.from_mm) * (run.top_mm - run.bottom_mm) for run in layout.runs)
    )
    names = Counter[str | None](placement.fixture for placement in layout.placements)
    return sum(found.problem.bought(names), start=money) + found.score.cost


def position_costs(problem: FloorProblem, standing: FloorAnswer) -> list[float]:
    """Give what a fixture more or less at each position costs or saves on a floor.

    Parameters
    ----------
    problem, standing
        The positions, and those that stand. Fixtures cost nothing as long as more are owned.
    """
    names = problem.standing(standing.chosen)
    each: dict[str | None, float] = {None: 0.0}
    for fixture in problem.site.scenario.catalogue.fixtures:
        each[fixture.id] = fixture.price if names[fixture.id] >= fixture.owned else 0.0
    return [each[one.fixture] * one.row for one in problem.candidates]


def slat_costs(problem: FloorProblem) -> list[float]:
    """Give what the slat-wall at each position costs, cut from sheets in strips of its height."""
    known: dict[int, float] = {}
    for one in problem.candidates:
        if id(one.slat) not in known:
            known[id(one.slat)] = _strips(problem.site, one.slat)
    return [known[id(one.slat)] for one in problem.candidates]


def _strips(site: Site, parts: Sequence[FacePart]) -> float:
    sheet = site.sheet
    if sheet is None:
        return 0.0
    area = 0.0
    for part in parts:
        if part.wall_span is None:
            continue
        height = part.wall_span[3] - part.wall_span[2]
        area += part.width * sheet.height / max(1, floor(sheet.height / height + _EPS))
    return site.slat_cost(area)
