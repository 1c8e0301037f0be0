"""Whole rearrangements of the kiosk: the least is moved, and the list of moves is all of it."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from shopfit import planning
from shopfit.files.layouts import read_layout
from shopfit.model.layout import Layout
from shopfit.model.moves import Moves
from shopfit.model.options import SolveOptions
from shopfit.model.proof import Stage
from shopfit.model.range import Line
from shopfit.model.scenario import KeepClear, Scenario
from shopfit.planning import Plan
from shopfit.quantities.moves import list_moves
from shopfit.solver import stocking
from shopfit.solver.rearrange import rearrange as search
from shopfit.solver.restock import Restocked, restock
from shopfit.solver.reverting import Task
from shopfit.stopping import StopFlag
from tests.solver import build

QUICK = SolveOptions(seconds=1.0)


@pytest.fixture(scope="module")
def today() -> Layout:
    """Give a layout of the kiosk that shows as many facings as the kiosk can."""
    return read_layout(Path(__file__).parent / "market-kiosk.json")


def with_line(scenario: Scenario, name: str, **changes: Any) -> Scenario:
    """Change one line of the range."""
    lines = tuple(
        line.model_copy(update=changes) if line.line == name else line for line in scenario.lines
    )
    return scenario.model_copy(update={"lines": lines})


def kept_clear(scenario: Scenario, x: float, y: float) -> Scenario:
    """Keep a hand's breadth of floor empty."""
    clear = KeepClear.model_validate({"id": "meter", "corners": build.box(x, y, x + 20, y + 20)})
    pins = scenario.pins.model_copy(update={"clear": (clear,)})
    return scenario.model_copy(update={"pins": pins})


def rearranged(
    scenario: Scenario, today: Layout, options: SolveOptions = QUICK, **asked: Any
) -> tuple[Layout, Moves, Plan]:
    """Rearrange, and hold the answer against the witness and against its own list."""
    plan = planning.rearrange(scenario, today, options, **asked)
    assert plan.layout is not None, plan.solution.clash
    assert plan.moves is not None
    assert plan.violations == ()
    adds_up(today, plan.layout, plan.moves)
    return plan.layout, plan.moves, plan


def adds_up(before: Layout, after: Layout, moves: Moves) -> None:
    """Carry the moves out on the old lists, and make sure that the new ones come of it."""
    places = {p.id: p for p in before.placements}
    for move in moves.fixtures:
        if move.before is not None:
            assert places.pop(move.before.id) == move.before
    stands = [*places.values(), *(move.after for move in moves.fixtures if move.after)]
    assert Counter(stands) == Counter(after.placements)
    hung = {run.id: run for run in before.runs}
    for row in moves.runs:
        if row.before is not None:
            assert hung.pop(row.before.id) == row.before
    assert Counter([*hung.values(), *(m.after for m in moves.runs if m.after)]) == Counter(
        after.runs
    )
    facings = count(before)
    for block in moves.blocks:
        for line in block.lines:
            facings[line.line] += line.after - line.before
    assert +facings == count(after)
    for holder in moves.holders:
        assert holder.stay + holder.to_move + holder.to_add == holder.after
        assert holder.stay + holder.to_move + holder.to_spare == holder.before


def count(layout: Layout) -> Counter[str]:
    facings: Counter[str] = Counter()
    for slot in (slot for block in layout.blocks for row in block.rows for slot in row.slots):
        facings[slot.line] += slot.facings
    return facings


def stage(layout: Layout, name: str) -> Stage:
    assert layout.proof is not None
    return next(each for each in layout.proof.stages if each.objective.startswith(name))


def test_nothing_is_moved_where_nothing_is_wanted(kiosk: Scenario, today: Layout) -> None:
    """A gain of nought leaves the layout as it is, word for word."""
    layout, moves, plan = rearranged(kiosk, today, gain=0)
    assert (moves.count, moves.blocks_changed) == (0, 0)
    for part in ("placements", "runs", "blocks", "cuts", "purchases", "claims"):
        assert getattr(layout, part) == getattr(today, part)
    assert stage(layout, "moves").gap == 0.0
    assert planning.made_for(kiosk, layout)
    assert plan.findings


def test_the_search_too_moves_nothing(kiosk: Scenario, today: Layout) -> None:
    """Asked to search, the solver gives the same placements, runs and blocks, and proves it."""
    layout, moves, _ = rearranged(kiosk, today, most_moves=0)
    assert (moves.count, moves.blocks_changed) == (0, 0)
    assert (layout.placements, layout.runs) == (today.placements, today.runs)
    assert layout.blocks == today.blocks
    assert layout.proof is not None
    assert layout.proof.status == "proved"


def test_a_line_that_is_replaced_changes_its_block_alone(kiosk: Scenario, today: Layout) -> None:
    """A new line takes the place of an old one; everything else stays, proved the least."""
    given = with_line(kiosk, "Tote bag", line="Blanket", width=400.0)
    layout, moves, _ = rearranged(given, today)
    assert moves.count == 0
    assert moves.blocks_changed == 1
    assert stage(layout, "blocks").bound == 1
    (block,) = (row for row in moves.blocks if row.step == "changed")
    assert {(line.line, line.before) for line in block.lines} == {("Tote bag", 2), ("Blanket", 0)}
    assert (layout.placements, layout.runs) == (today.placements, today.runs)


def test_more_than_the_walls_hold_moves_fixtures(kiosk: Scenario, today: Layout) -> None:
    """Four totes instead of two need slat-wall that is not there: the fewest moves are proved."""
    given = with_line(kiosk, "Tote bag", min_facings=4, max_facings=4)
    layout, moves, _ = rearranged(given, today)
    least = stage(layout, "moves")
    assert moves.count == least.value == least.bound >= 1
    blocks = stage(layout, "blocks")
    assert moves.blocks_changed == blocks.value == blocks.bound
    assert count(layout)["Tote bag"] == 4
    assert sum(row.step == "kept" for row in moves.fixtures) >= 4
    refused = planning.rearrange(given, today, QUICK, most_moves=moves.count - 1)
    assert refused.layout is None
    assert refused.solution.clash is not None
    assert refused.solution.clash.proved
    assert refused.solution.clash.changes[0].change == str(moves.count)


def test_a_fixture_in_the_way_is_moved_or_taken_out(kiosk: Scenario, today: Layout) -> None:
    """Floor that must stay empty costs the one fixture on it, and no other is touched."""
    layout, moves, _ = rearranged(kept_clear(kiosk, 3020.0, 1700.0), today)
    assert moves.count == 1 == stage(layout, "moves").bound
    (gone,) = (row for row in moves.fixtures if row.step != "kept")
    assert gone.before == today.placement("F4")


def test_goods_only(kiosk: Scenario, today: Layout) -> None:
    """With no moves allowed fixtures and runs stay, whatever goods change."""
    given = with_line(kiosk, "Taper candles pair", max_facings=14)
    given = with_line(given, "Tealights bag of 20", max_facings=2)
    layout, moves, _ = rearranged(given, today, most_moves=0)
    assert moves.count == 0
    assert (layout.placements, layout.runs) == (today.placements, today.runs)
    assert moves.blocks_changed > 0
    assert count(layout)["Tealights bag of 20"] <= 2


def test_blocks_that_change_anyway_show_the_most(kiosk: Scenario, today: Layout) -> None:
    """A line replaced in two blocks: as many facings as before fit in these, and no other changes.

    Fewer were asked for, and the blocks have room for more.
    """
    given = with_line(kiosk, "Honey jar 12 oz", line="Marmalade jar")
    layout, moves, _ = rearranged(given, today, SolveOptions(seconds=4.0), gain=12)
    assert moves.count == 0
    assert moves.blocks_changed == 2 == stage(layout, "blocks").bound
    assert count(layout).total() == count(today).total()


@pytest.mark.parametrize("most", [117, 116])
def test_no_more_is_shown_than_whole_packs_allow(kiosk: Scenario, today: Layout, most: int) -> None:
    """What blocks that change could show besides is left out where packs would break the budget."""
    given = with_line(kiosk, "Honey jar 12 oz", line="Marmalade jar")
    budget = given.brief.budget
    assert budget is not None

    def bought(scenario: Scenario, layout: Layout) -> Layout:
        cost = budget - most + count(layout).total()
        return layout.model_copy(update={"claims": layout.claims.model_copy(update={"cost": cost})})

    found = search(
        given,
        today,
        SolveOptions(seconds=4.0),
        gain=12,
        listener=lambda progress: None,
        stop=StopFlag(),
        bought=bought,
    )
    assert found.layout is not None
    shown = count(found.layout).total()
    assert 109 <= shown <= most
    assert (shown == 117) is (most == 117)


def test_fewer_blocks_are_looked_for_with_what_is_left(
    kiosk: Scenario, today: Layout, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the first program of all faces finds nothing, later ones change the fewest blocks."""
    tried: list[float] = []

    def first_in_vain(task: Task, effort: float, *more: Any) -> Restocked:
        tried.append(effort)
        return Restocked(None) if len(tried) == 1 else restock(task, effort, *more)

    monkeypatch.setattr(stocking, "restock", first_in_vain)
    given = with_line(kiosk, "Honey jar 12 oz", line="Marmalade jar")
    plan = planning.rearrange(given, today, SolveOptions(seconds=4.0), gain=12)
    assert plan.layout is not None
    blocks = stage(plan.layout, "blocks")
    assert blocks.value == 2 == blocks.bound
    assert tried == sorted(set(tried))


def test_a_gain_out_of_reach_is_refused_with_proof(kiosk: Scenario, today: Layout) -> None:
    """The kiosk shows all that it can; five more facings are no matter of moves."""
    plan = planning.rearrange(kiosk, today, QUICK, gain=5)
    assert plan.layout is None
    clash = plan.solution.clash
    assert clash is not None
    assert clash.proved
    assert "122 facings" in clash.reason
    assert clash.changes[0].change.startswith("at most ")


def test_a_stop_at_once_gives_no_layout_or_a_sound_one(kiosk: Scenario, today: Layout) -> None:
    """A stop before the first floor is told as such and never ends in an error."""
    stop = StopFlag()
    stop.request()
    given = with_line(kiosk, "Tote bag", min_facings=4, max_facings=4)
    plan = planning.rearrange(given, today, QUICK, stop=stop)
    assert plan.solution.stopped
    assert plan.layout is None or plan.moves is not None


def test_the_same_again(kiosk: Scenario, today: Layout) -> None:
    """Equal runs give equal layouts."""
    given = with_line(kiosk, "Tote bag", line="Blanket", width=400.0)
    first, second = (rearranged(given, today)[0] for _ in range(2))
    assert first.proof is not None
    assert first.proof.repeatable
    assert first.model_dump(exclude={"timing"}) == second.model_dump(exclude={"timing"})


def nook(jars: int, pots: int, cabs: int = 3, deep: int = 2) -> Scenario:
    """Give a room where a cabinet holds 20 jars and pots need deep ones, if there are any."""

    def line(name: str, least: int, **more: Any) -> Line:
        return build.line(name, category=name, min_facings=least, max_facings=60, **more)

    return build.scenario(
        [line("jars", jars), line("pots", pots, depth=build.mm(450.0))],
        [
            build.fixture("cab", available=cabs),
            build.fixture(
                "deep",
                depth=build.mm(600.0),
                faces=[build.face(depth=build.mm(550.0))],
                available=deep,
            ),
        ],
        brief={"aisle": build.mm(920.0)},
    )


@pytest.mark.parametrize(
    ("jars", "pots", "fewest"), [(20, 0, 0), (20, 5, 1), (21, 0, 1), (30, 5, 1), (41, 21, 3)]
)
def test_never_more_moves_than_from_nothing(jars: int, pots: int, fewest: int) -> None:
    """Laid out anew for the changed range, a shop differs at least as much from what stands.

    The fewest moves are counted by hand: 20 facings stand in the one cabinet that is there.
    """
    before = planning.solve(nook(20, 0, cabs=1, deep=0), SolveOptions(seconds=0.2))
    assert before.layout is not None
    assert [p.fixture for p in before.layout.placements] == ["cab"]
    given = nook(jars, pots)
    anew = planning.solve(given, SolveOptions(seconds=0.2))
    plan = planning.rearrange(given, before.layout, SolveOptions(seconds=0.2))
    assert anew.layout is not None
    assert plan.layout is not None
    assert plan.moves is not None
    assert plan.violations == ()
    adds_up(before.layout, plan.layout, plan.moves)
    bound = stage(plan.layout, "moves").bound
    assert plan.moves.count == bound == fewest
    assert fewest <= list_moves(given, before.layout, anew.layout).count


def test_money_for_whole_packs_is_kept_to(kiosk: Scenario, today: Layout) -> None:
    """With no more money than today's layout costs, a rearrangement costs no more either."""
    brief = kiosk.brief.model_copy(update={"budget": today.claims.cost})
    given = kiosk.model_copy(update={"shop": kiosk.shop.model_copy(update={"brief": brief})})
    given = with_line(given, "Taper candles pair", min_facings=12, max_facings=13)
    layout, moves, _ = rearranged(given, today)
    assert layout.claims.cost <= today.claims.cost
    assert moves.count == 0
