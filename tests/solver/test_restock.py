"""Restocking: the target is reached with the fewest changed blocks, and never at a wrong price."""

from __future__ import annotations

import itertools
from typing import Any

import pytest
from hypothesis import given as examples
from hypothesis import strategies as st

from shopfit.model.range import Line
from shopfit.model.scenario import Scenario
from shopfit.solver.fill import Filler
from shopfit.solver.filling import PER_MM, BlockPlan, Filling
from shopfit.solver.mending import mend
from shopfit.solver.restock import restock, show_most
from shopfit.solver.reverting import Task, changed_faces, mixed, reverted
from shopfit.solver.worth import worth
from shopfit.stopping import StopFlag
from tests.solver import build


def stocked(
    given: Scenario, widths: list[float], blocks: list[tuple[int, str, float, dict[str, int]]]
) -> tuple[Filler, Filling]:
    """Give faces of ten levels, with blocks of one row of four levels from the lowest up."""
    filler = build.filler(given, widths)
    plans, wide, facings = [], [], {}
    for face, category, width, goods in blocks:
        pattern = filler.display.patterns[category, 0][0]
        for name, count in goods.items():
            facings[len(plans), 0, name] = count
        plans.append(BlockPlan(face, category, pattern))
        wide.append(int(width * PER_MM))
    return filler, Filling(plans, wide, facings)


def task(filler: Filler, before: Filling, target: float = 0.0, **more: Any) -> Task:
    return Task(filler, before, worth(filler.site.scenario), target, **more)


def lines(**least: int) -> list[Line]:
    """Give a line a category, each with so many facings at least."""
    return [
        build.line(name, category=name, min_facings=count, max_facings=20)
        for name, count in least.items()
    ]


def best(asked: Task, effort: float = 1.0) -> tuple[Filling | None, int | None]:
    got = restock(asked, effort, 0, StopFlag())
    return got.filling, got.least


def test_nothing_changes_where_nothing_is_missed() -> None:
    """What meets the minimums is given back as it is, with nought as the fewest changes."""
    filler, before = stocked(
        build.scenario(lines(a=2, b=2)),
        [1000.0],
        [(0, "a", 300.0, {"a": 3}), (0, "b", 300.0, {"b": 2})],
    )
    filling, least = best(task(filler, before, 5.0))
    assert filling is before
    assert least == 0


def test_a_block_grows_where_there_is_room() -> None:
    """One more facing of a: its block changes, that of b does not."""
    filler, before = stocked(
        build.scenario(lines(a=4, b=2)),
        [1000.0],
        [(0, "a", 300.0, {"a": 3}), (0, "b", 300.0, {"b": 2})],
    )
    filling, least = best(task(filler, before))
    assert filling is not None
    assert filling.total("a") >= 4
    assert filling.total("b") == 2
    assert task(filler, before).changes(filling) == 1 == least


def test_the_fewest_blocks_are_changed() -> None:
    """Ten more facings: one block with room for all takes them, not two with room for some."""
    filler, before = stocked(
        build.scenario(lines(a=0, b=0, c=0)),
        [500.0, 500.0, 1500.0],
        [(0, "a", 200.0, {"a": 1}), (1, "b", 200.0, {"b": 1}), (2, "c", 200.0, {"c": 1})],
    )
    asked = task(filler, before, 13.0)
    filling, least = best(asked)
    assert filling is not None
    assert asked.met_by(filling)
    assert asked.changes(filling) == 1 == least
    assert changed_faces(before, filling) == [2]


def test_a_new_line_gets_a_block() -> None:
    """A category without a block is set up where width is free: one change."""
    filler, before = stocked(build.scenario(lines(a=3, b=2)), [500.0], [(0, "a", 300.0, {"a": 3})])
    filling, least = best(task(filler, before))
    assert filling is not None
    assert filling.total("b") == 2
    assert task(filler, before).changes(filling) == 1 == least


def test_what_changes_anyhow_is_changed_first() -> None:
    """Of two blocks that could grow, the one that lost a line already costs nothing more."""
    filler, before = stocked(
        build.scenario(lines(a=0, b=0)),
        [1000.0, 1000.0],
        [(0, "a", 300.0, {"a": 2}), (1, "b", 300.0, {"b": 2})],
    )
    for touched in (0, 1):
        asked = task(filler, before, 6.0, touched=frozenset({touched}))
        filling, least = best(asked)
        assert filling is not None
        assert changed_faces(before, filling) == [touched]
        assert least == 0
        assert asked.changes(filling) == 1


def test_a_target_out_of_reach_is_not_reached() -> None:
    """Ten facings fit in a metre and two rows hold twenty; twenty-one are not claimed."""
    filler, before = stocked(
        build.scenario([build.line("a", category="a", max_facings=30)]),
        [1000.0],
        [(0, "a", 300.0, {"a": 3})],
    )
    assert best(task(filler, before, 20.0))[0] is not None
    assert best(task(filler, before, 21.0))[0] is None


@pytest.mark.parametrize("money", [5.0, 4.99])
def test_money_is_kept_to(money: float) -> None:
    """Five facings on hooks at 1 each are bought with 5, not with a hundredth less."""
    hook = {"id": "hook", "kind": "hook", "depth": build.mm(100.0), "load": "5 kg", "price": 1}
    given = build.scenario(
        [build.line("a", category="a", ways=["hook"], max_facings=9)], brackets=[hook]
    )
    slat = build.FaceClass("slat", 10, 75.0, 500.0, 400.0, 30.0, 0.0)
    filler = build.filler(given, [1000.0], money, classes=(slat,))
    asked = task(filler, Filling([], []), 5.0)
    filling, _ = best(asked)
    assert (filling is not None) is (money == 5.0)


def test_uneven_worth_is_counted() -> None:
    """Where sales are the aim, a second facing of one line is worth less than a first of another.

    At a power of a half, 2 facings sell 1.414 times as much; two lines of one sell 2.
    """
    given = build.scenario(
        lines(a=0, b=0), brief={"objective": "sales", "elasticity": {"default": 0.5}}
    )
    filler, before = stocked(given, [210.0], [(0, "a", 100.0, {"a": 1})])
    asked = task(filler, before, 2.0)
    counted = asked.aim
    assert counted.of("a", 2.0) == pytest.approx(2**0.5)
    filling, _ = best(asked)
    assert filling is not None
    shown = counted.of("a", filling.total("a")) + counted.of("b", filling.total("b"))
    assert shown >= 2.0 - 1e-6


def test_faces_are_put_back() -> None:
    """Of two faces that were filled anew only the one that is needed stays so."""
    filler, before = stocked(
        build.scenario(lines(a=4, b=2)),
        [1000.0, 1000.0],
        [(0, "a", 300.0, {"a": 3}), (1, "b", 300.0, {"b": 2})],
    )
    _, after = stocked(
        build.scenario(lines(a=4, b=2)),
        [1000.0, 1000.0],
        [(0, "a", 400.0, {"a": 4}), (1, "b", 300.0, {"b": 3})],
    )
    asked = task(filler, before)
    assert asked.changes(after) == 2
    back = reverted(asked, after, 1.0, 0, StopFlag())
    assert changed_faces(before, back) == [0]
    assert asked.met_by(back)


def test_taking_faces_from_two_fillings() -> None:
    """Faces named come from the first filling, all others from the second."""
    given = build.scenario(lines(a=0, b=0))
    _, one = stocked(given, [500.0, 500.0], [(0, "a", 100.0, {"a": 1}), (1, "b", 100.0, {"b": 1})])
    _, other = stocked(
        given, [500.0, 500.0], [(0, "a", 200.0, {"a": 2}), (1, "b", 200.0, {"b": 2})]
    )
    found = mixed(one, other, {0})
    assert (found.total("a"), found.total("b")) == (1, 2)


def test_equal_goods_in_another_division_are_no_change() -> None:
    """A block counts by what stands in which level steps, not by rows left empty above."""
    filler, before = stocked(build.scenario(lines(a=0)), [500.0], [(0, "a", 300.0, {"a": 3})])
    plan = before.plans[0]
    longer = BlockPlan(
        0, "a", type(plan.pattern)((*plan.pattern.rows, 1), (*plan.pattern.groups, frozenset()))
    )
    other = Filling([longer], before.widths, dict(before.facings))
    assert task(filler, before).changes(other) == 0


@examples(
    least=st.lists(st.integers(0, 6), min_size=3, max_size=3),
    now=st.lists(st.integers(0, 4), min_size=3, max_size=3),
)
def test_against_trying_all(least: list[int], now: list[int]) -> None:
    """On one face of one row the fewest changes are those that trying every count finds."""
    names = ["a", "b", "c"]
    given = build.scenario(
        [
            build.line(
                name,
                category=name,
                height=build.mm(400.0),
                min_facings=want,
                max_facings=9,
            )
            for name, want in zip(names, least, strict=True)
        ]
    )
    blocks = [(0, name, 100.0 * n, {name: n}) for name, n in zip(names, now, strict=True) if n]
    if sum(now) > 10:
        return
    filler, before = stocked(given, [1000.0], blocks)
    asked = task(filler, before)
    filling, fewest = best(asked)
    options = [
        sum(a != b for a, b in zip(counts, now, strict=True))
        for counts in itertools.product(range(10), repeat=3)
        if sum(counts) <= 10 and all(a >= b for a, b in zip(counts, least, strict=True))
    ]
    if not options:
        assert filling is None
        return
    assert filling is not None
    assert asked.changes(filling) == min(options) == fewest


def test_mending_reaches_the_target_and_undoes_what_it_need_not() -> None:
    """From a filling with all blocks changed, the one change that is needed is left."""
    given = build.scenario(lines(a=4, b=2, c=2))
    widths = [800.0, 800.0, 800.0]
    filler, before = stocked(
        given,
        widths,
        [(0, "a", 300.0, {"a": 3}), (1, "b", 300.0, {"b": 2}), (2, "c", 300.0, {"c": 2})],
    )
    _, after = stocked(
        given,
        widths,
        [(0, "a", 500.0, {"a": 5}), (1, "b", 300.0, {"b": 3}), (2, "c", 300.0, {"c": 3})],
    )
    asked = task(filler, before)
    for start in (before, after):
        found = mend(asked, start, 0.5, 2, 0, StopFlag())
        assert asked.met_by(found)
        assert asked.changes(found) == 1
        assert filler.allowed(found)


def test_blocks_that_change_show_the_most() -> None:
    """The block that changes grows as far as its face and its line allow, the other stays."""
    given = build.scenario(lines(a=4, b=2))
    filler, before = stocked(
        given, [1000.0], [(0, "a", 300.0, {"a": 3}), (0, "b", 300.0, {"b": 2})]
    )
    _, after = stocked(given, [1000.0], [(0, "a", 400.0, {"a": 4}), (0, "b", 300.0, {"b": 2})])
    asked = task(filler, before)
    shown = show_most(asked, after, 1.0, 0, StopFlag()).filling
    assert shown is not None
    # Two rows of seven beside the 300 mm of b.
    assert (shown.total("a"), shown.total("b")) == (14, 2)
    assert asked.changes(shown) == 1
    assert filler.allowed(shown)


def test_what_has_not_changed_is_left_alone() -> None:
    """Where nothing has changed nothing more is shown; where it has, no other block is set up."""
    given = build.scenario(lines(a=0, b=0, c=0))
    widths = [1000.0, 1000.0]
    filler, before = stocked(given, widths, [(0, "a", 300.0, {"a": 3}), (1, "b", 300.0, {"b": 3})])
    asked = task(filler, before)
    assert show_most(asked, before, 1.0, 0, StopFlag()).filling is before
    _, after = stocked(given, widths, [(0, "a", 400.0, {"a": 4}), (1, "b", 300.0, {"b": 3})])
    shown = show_most(asked, after, 1.0, 0, StopFlag()).filling
    assert shown is not None
    assert [shown.total(name) for name in "abc"] == [20, 3, 0]
    assert changed_faces(before, shown) == [0]


def test_no_more_facings_are_shifted_than_worth_asks_for() -> None:
    """Where as much is shown either way, what stood in a block that changes stands there again."""
    given = build.scenario(
        [
            build.line(name, category="a", height=build.mm(400.0), max_facings=9)
            for name in ("old", "new")
        ]
        + [build.line("odd", category="a", height=build.mm(400.0), min_facings=1, max_facings=1)]
    )
    filler, before = stocked(given, [500.0], [(0, "a", 500.0, {"old": 5})])
    _, after = stocked(given, [500.0], [(0, "a", 500.0, {"new": 4, "odd": 1})])
    shown = show_most(task(filler, before), after, 1.0, 0, StopFlag()).filling
    assert shown is not None
    assert [shown.total(name) for name in ("old", "new", "odd")] == [4, 0, 1]


@pytest.mark.parametrize(("dearer", "facings"), [(True, 9), (False, 4)])
def test_no_more_is_spent_than_may_be(dearer: bool, facings: int) -> None:
    """Where no more may be spent, no hook is bought for what else could be shown."""
    hook = {"id": "hook", "kind": "hook", "depth": build.mm(100.0), "load": "5 kg", "price": 1}
    given = build.scenario(
        [build.line("a", category="a", ways=["hook"], max_facings=9)], brackets=[hook]
    )
    slat = build.FaceClass("slat", 10, 75.0, 500.0, 400.0, 30.0, 0.0)
    filler = build.filler(given, [1000.0], classes=(slat,))
    pattern = filler.display.patterns["a", 0][0]

    def hung(count: int) -> Filling:
        return Filling([BlockPlan(0, "a", pattern)], [count * 1000], {(0, 0, "a"): count})

    shown = show_most(task(filler, hung(3)), hung(4), 1.0, 0, StopFlag(), dearer).filling
    assert shown is not None
    assert shown.total("a") == facings


@pytest.mark.parametrize(("lost", "fewest"), [((), 2), (((0, "a"),), 1), (((0, "b"),), 2)])
def test_a_lost_block_set_up_on_the_same_face_is_one_change(
    lost: tuple[tuple[int, str], ...], fewest: int
) -> None:
    """A block that is lost and set up again on what is left of its run is the same block."""
    filler, before = stocked(build.scenario(lines(a=3, b=2)), [500.0], [(0, "b", 200.0, {"b": 2})])
    asked = task(filler, before, cleared=1, lost=lost)
    filling, least = best(asked)
    assert filling is not None
    assert least is not None
    assert asked.changes(filling) == fewest == least + asked.forced


def test_a_filling_to_begin_with_is_bettered() -> None:
    """Begun with two blocks changed where one is enough, one is what is found and proved."""
    given = build.scenario(lines(a=4, b=2))
    filler, before = stocked(
        given, [900.0, 900.0], [(0, "a", 300.0, {"a": 3}), (1, "b", 300.0, {"b": 2})]
    )
    _, near = stocked(given, [900.0, 900.0], [(0, "a", 400.0, {"a": 4}), (1, "b", 300.0, {"b": 3})])
    asked = task(filler, before)
    got = restock(asked, 1.0, 0, StopFlag(), near)
    assert got.filling is not None
    assert asked.changes(got.filling) == 1 == got.least
