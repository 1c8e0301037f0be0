"""A rearrangement within the budget: whole packs, what is asked again, and what stays proved."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from shopfit.affording.keeping import counted, rearrange_within
from shopfit.model.layout import Layout
from shopfit.model.moves import BlockMove, FixtureMove, Moves
from shopfit.model.progress import Clash, Solution
from shopfit.model.proof import Proof, Stage
from shopfit.model.scenario import Scenario
from shopfit.quantities.takeoff import complete
from shopfit.solver.rearranged import BLOCKS


def stage(name: str, value: float, bound: float | None) -> Stage:
    return Stage(objective=name, value=value, bound=bound, gap=None, scope="grid and rules")


def proved(layout: Layout, moves: float, least: float, bound: float) -> Layout:
    """Give a layout with a proof of its moves and its worth."""
    proof = Proof(
        status="within gap",
        objective=9.0,
        bound=bound,
        gap=0.1,
        grid="by hand",
        rules="none",
        step_mm=100.0,
        candidates=2,
        stages=(
            stage("minimums missed", 0.0, 0.0),
            stage("facings", 9.0, bound),
            stage("moves", moves, least),
            stage(BLOCKS, 4.0, 4.0),
        ),
    )
    return layout.model_copy(update={"proof": proof})


class Search:
    """Stands for the solver: gives prepared answers in turn and remembers the budgets asked for."""

    def __init__(self, *answers: Layout | None) -> None:
        self.answers = list(answers)
        self.budgets: list[float | None] = []

    def __call__(self, scenario: Scenario) -> Solution:
        """Note the budget and give the next answer."""
        self.budgets.append(scenario.brief.budget)
        layout = self.answers.pop(0)
        if layout is None:
            return Solution(outcome="no layout", clash=Clash(reason="no"))
        return Solution(outcome="layout", layout=layout)


def with_budget(scenario: Scenario, budget: float | None) -> Scenario:
    brief = scenario.brief.model_copy(update={"budget": budget})
    shop = scenario.shop.model_copy(update={"brief": brief})
    return scenario.model_copy(update={"shop": shop})


@pytest.fixture
def dear(kiosk: Scenario, kiosk_layout: Layout) -> float:
    """Give what the hand layout costs."""
    return complete(kiosk, kiosk_layout).claims.cost


def always(layout: Layout) -> bool:
    return True


def never(layout: Layout) -> bool:
    return False


def cheaper(layout: Layout) -> Layout:
    """Leave the run and its goods out."""
    return layout.model_copy(update={"runs": (), "blocks": layout.blocks[:1]})


@pytest.mark.parametrize("over", [0.0, None])
def test_what_keeps_to_the_budget_is_taken(
    kiosk: Scenario, kiosk_layout: Layout, dear: float, over: float | None
) -> None:
    """At the budget, or without one, one search is enough and its proof stands."""
    given = with_budget(kiosk, None if over is None else dear)
    search = Search(proved(kiosk_layout, 2, 1, 12.0))
    found = rearrange_within(given, search, never).layout
    assert found is not None
    assert found.claims.cost == dear
    assert found.purchases
    assert found.proof is not None
    assert found.proof.bound == 12.0
    assert len(search.budgets) == 1


def test_a_cent_too_much_is_kept_back(kiosk: Scenario, kiosk_layout: Layout, dear: float) -> None:
    """The search is asked again with the overshoot kept back; the fewest moves stay proved.

    The bound on worth was for other numbers of moves, so it is not told any more.
    """
    budget = dear - 0.01
    search = Search(proved(kiosk_layout, 2, 1, 12.0), proved(cheaper(kiosk_layout), 3, 3, 10.0))
    found = rearrange_within(with_budget(kiosk, budget), search, never).layout
    assert search.budgets == [budget, pytest.approx(budget - 0.01)]
    assert found is not None
    assert found.claims.cost <= budget
    proof = found.proof
    assert proof is not None
    told = {each.objective: (each.value, each.bound) for each in proof.stages}
    assert told["moves"] == (3.0, 1.0)
    assert told["facings"] == (5.0, None)
    assert told[BLOCKS] == (4.0, None)
    assert (proof.objective, proof.bound, proof.status) == (5.0, None, "not measured")


@pytest.mark.parametrize("enough", [always, never])
def test_goods_are_taken_out_where_enough_is_left(
    kiosk: Scenario, kiosk_layout: Layout, dear: float, enough: Callable[[Layout], bool]
) -> None:
    """A pack of hooks too dear: goods go if enough is left, and never fixtures or runs."""
    lines = tuple(line.model_copy(update={"min_facings": 0, "holding": 0}) for line in kiosk.lines)
    given = with_budget(kiosk.model_copy(update={"lines": lines}), dear - 5.0)
    search = Search(proved(kiosk_layout, 2, 1, 12.0), *[proved(kiosk_layout, 2, 1, 12.0)] * 3)
    found = rearrange_within(given, search, enough)
    if enough is never:
        assert found.layout is None
        assert len(search.budgets) == 4
        return
    layout = found.layout
    assert layout is not None
    assert layout.claims.cost <= dear - 5.0
    assert (layout.placements, layout.runs) == (kiosk_layout.placements, kiosk_layout.runs)
    assert layout.proof is not None
    assert layout.proof.objective == layout.claims.facings < 9


def test_too_dear_is_told_with_the_cheapest(
    kiosk: Scenario, kiosk_layout: Layout, dear: float
) -> None:
    """After four searches, or where the second finds nothing, the least cost found is named."""
    given = with_budget(kiosk, dear - 100.0)
    for answers in ([kiosk_layout] * 4, [kiosk_layout, None]):
        found = rearrange_within(given, Search(*answers), never)
        assert found.clash is not None
        assert not found.clash.proved
        assert found.clash.changes[0].change == f"{dear:.2f}"


def test_a_refusal_is_handed_on(kiosk: Scenario) -> None:
    """Where the solver finds nothing at once, its reason is the one told."""
    found = rearrange_within(kiosk, Search(None), always)
    assert found.clash is not None
    assert found.clash.reason == "no"


def test_counts_are_those_of_the_list(kiosk_layout: Layout) -> None:
    """The proof tells the moves of the list, with the gap to the fewest that are proved."""
    layout = proved(kiosk_layout, 5, 1, 12.0)
    row = FixtureMove(step="moved", fixture="cab", name="cab", moves=1)
    proof = counted(layout.proof, Moves(fixtures=(row, row)))
    assert proof is not None
    told = {each.objective: each for each in proof.stages}
    assert (told["moves"].value, told["moves"].bound, told["moves"].gap) == (2.0, 1.0, 0.5)
    assert counted(None, Moves()) is None


@pytest.mark.parametrize(
    ("changed", "bound", "gap"), [(3, None, None), (4, 4.0, 0.0), (5, 4.0, 0.2)]
)
def test_fewest_blocks_that_the_list_comes_below_are_not_told(
    kiosk_layout: Layout, changed: int, bound: float | None, gap: float | None
) -> None:
    """Four are proved the fewest: three in the list contradict that, four and five do not."""
    layout = proved(kiosk_layout, 5, 1, 12.0)
    rows = tuple(BlockMove(step="changed", category="Odd") for _ in range(changed))
    proof = counted(layout.proof, Moves(blocks=rows))
    assert proof is not None
    told = next(each for each in proof.stages if each.objective == BLOCKS)
    assert (told.value, told.bound, told.gap) == (changed, bound, gap)
