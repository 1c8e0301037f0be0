"""Goods stand among one another and along the way as the brief wishes, and the witness agrees."""

from __future__ import annotations

import random
from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from shopfit.checks import check
from shopfit.files.scenario import load_scenario
from shopfit.model.brief import Merchandising
from shopfit.model.layout import Layout
from shopfit.model.range import Line
from shopfit.model.scenario import Scenario
from shopfit.solver.assemble import assemble
from shopfit.solver.effort import Purse
from shopfit.solver.fill import Filler
from shopfit.solver.filling import BlockPlan, Filling, Score, grains
from shopfit.solver.fixing import Fixed, fix
from shopfit.solver.floor import FloorAnswer, FloorProblem
from shopfit.solver.keptwishes import broken_in
from shopfit.solver.merchandise import Merchandiser
from shopfit.stopping import StopFlag

from . import build as b

SCENARIOS = Path(__file__).parents[2] / "scenarios"
# Into the room from the door and round it: past wall E, then wall N, then wall W.
WAY = [b.mm(1500.0, 0.0), b.mm(2400.0, 1500.0), b.mm(1500.0, 2400.0), b.mm(600.0, 1500.0)]


def wishing(names: str = "ABCD", each: int = 1, **wishes: Any) -> Scenario:
    """Give a bare room, some categories of a line each, and wishes on their places."""
    lines = [
        b.line(
            name,
            category=name,
            width=b.mm(110.0 + 20.0 * k),
            max_facings=24,
            min_facings=each,
        )
        for k, name in enumerate(names)
    ]
    return b.scenario(lines, brief={"merchandising": wishes})


def solved(given: Scenario, seconds: float = 0.5) -> Layout:
    """Solve, and give the layout with nothing but the places of goods looked at."""
    # Any layout that keeps every rule is good enough.
    solution = b.run(given, seconds=seconds, gap=0.9)
    assert solution.layout is not None
    return solution.layout


def faults(given: Scenario, layout: Layout) -> list[str]:
    """List what the witness finds against wishes on places."""
    found = check(given, layout)
    return [one.code for one in found if one.clause.startswith("brief > merchandising")]


def broken_wishes(layout: Layout) -> float:
    """Give how many broken wishes the proof tells of."""
    assert layout.proof is not None
    stages = {stage.objective: stage.value for stage in layout.proof.stages}
    return stages["merchandising wishes broken"]


@pytest.mark.parametrize(
    "wishes",
    [
        {"blocks": {"A": 1, "B": 1, "C": 1, "D": 1}},
        {"touch": [("A", "D"), ("B", "D")]},
        {"apart": [("A", "B"), ("C", "D")]},
        {"order": [("D", "C", "B", "A")], "way": WAY},
        {"order": [("B", "A")]},
    ],
    ids=["blocks", "touch", "apart", "order along the way", "order from the door"],
)
def test_each_wish_is_met(wishes: dict[str, Any]):
    """Each rule alone can be met in this room, so the layout meets it."""
    given = wishing(**wishes)
    layout = solved(given)
    assert faults(given, layout) == []
    assert broken_wishes(layout) == 0


def shelved(
    least: int = 0, more: Sequence[Line] = (), **wishes: Any
) -> tuple[Scenario, FloorProblem, Fixed, Filler]:
    """Give a floor of cabinets side by side with slat-wall over them, and what fills its faces.

    Of each line so many facings are wanted at least; there may be more lines than one a category.
    """
    lines = [
        b.line(
            name,
            category=name,
            width=b.mm(90.0 + 40.0 * k),
            ways=["shelf", "hook"],
            min_facings=least,
        )
        for k, name in enumerate("ABCD")
    ] + [*more]
    given = b.scenario(
        lines,
        [b.fixture(slat_above=True, width=b.mm(900.0))],
        sheets=[b.SHEET],
        brackets=[HOOK],
        width=5000.0,
        brief={"merchandising": wishes},
    )
    problem, shown = b.floor(given)
    chosen = [
        i
        for i, one in enumerate(problem.candidates)
        if one.placement.wall in ("N", "W")
        and one.fixture is not None
        and (one.placement.offset_mm or 0.0) in SPOTS[one.placement.wall]
    ]
    floor = FloorAnswer(tuple(chosen), tuple(chosen))
    fixed = fix(problem, floor)
    return given, problem, fixed, Filler(problem.site, shown, fixed.faces, None)


HOOK = {"id": "hook", "kind": "hook", "depth": b.mm(180.0), "load": "6 kg", "price": 2, "pack": 5}
# Cabinets 900 mm wide: three that touch, one alone beyond a gap, and one on another wall.
SPOTS = {"N": (600.0, 1500.0, 2400.0, 3600.0), "W": (600.0,)}


def strewn(filler: Filler, rng: random.Random) -> Filling:
    """Strew a few blocks over the faces, each of one row of one line."""
    filling = Filling([], [])
    for n, face in enumerate(filler.faces):
        room = face.width
        for name in rng.sample("ABCD", rng.randint(0, 3)):
            patterns = filler.display.patterns[name, face.kind]
            width = filler.lines(name)[0].width
            count = rng.randint(1, max(1, int(face.width / width / 2)))
            if patterns and count * width <= room:
                filling.facings[len(filling.plans), 0, name] = count
                filling.plans.append(BlockPlan(n, name, patterns[0]))
                filling.widths.append(grains(count * width))
                room -= count * width
    return filling


@pytest.mark.parametrize("seed", range(6))
def test_wishes_are_counted_as_the_layout_breaks_them(seed: int):
    """Whatever stands where, the search counts what a measure of the written layout finds."""
    rng = random.Random(seed)
    given, problem, fixed, filler = shelved(
        blocks={"A": 1, "B": 2},
        touch=[("A", "B"), ("C", "D")],
        apart=[("A", "C"), ("B", "D")],
        order=[("A", "B", "C", "D")],
    )
    counts = set()
    for _ in range(25):
        filling = strewn(filler, rng)
        layout = assemble(problem, fixed, filler, filling)
        counts.add(filler.broken(filling))
        assert filler.broken(filling) == broken_in(given, layout)
        assert (broken_in(given, layout) > 0) == bool(faults(given, layout))
        for (b_one, left, right), (b_two, start, _) in pairwise(filler.arranged(filling)):
            assert 0 <= left < right
            if filling.plans[b_one].face == filling.plans[b_two].face:
                assert start >= right - 1e-6
    assert len(counts) > 2


@pytest.mark.parametrize("seed", range(6))
def test_clusters_are_the_groups_that_are_counted(seed: int):
    """Every block with wishes is in one cluster of its category, and there are as many."""
    *_, filler = shelved(blocks=dict.fromkeys("ABC", 1), touch=[("A", "D")])
    near, rng = filler.neighbours, random.Random(seed)
    assert near is not None
    for _ in range(10):
        filling = strewn(filler, rng)
        found = near.clusters(filling)
        assert {name: len(found[name]) for name in found if name != "D"} == near.groups(filling)
        blocks = sorted(b for own in found.values() for group in own for b in group)
        assert blocks == list(range(len(filling.plans)))
        for name, own in found.items():
            assert {filling.plans[b].category for group in own for b in group} == {name}


def test_blocks_that_may_not_stand_where_they_do_are_left_out():
    """All others keep their widths and what they show."""
    *_, filler = shelved(blocks={"A": 1})
    filling = strewn(filler, random.Random(3))
    barred = {n: frozenset("AC") if n % 2 else frozenset[str]() for n in range(len(filler.faces))}
    left = filling.without(barred)
    kept = [p for p in filling.plans if p.category not in barred[p.face]]
    assert left.plans == kept
    assert len(kept) < len(filling.plans)
    for name in "ABCD":
        own = [b for b, plan in enumerate(filling.plans) if plan in kept]
        shown = sum(n for (b, _, line), n in filling.facings.items() if b in own and line == name)
        assert left.total(name) == shown


@pytest.mark.parametrize(
    ("better", "worse"),
    [
        (Score(30, 9, 0, 0, 0, 1), Score(0, 99, 0, 0, 2, 0)),
        (Score(0, 9, 0, 0, 1, 0), Score(1, 8, 0, 0, 0, 1)),
        (Score(0, 9, 0, 0, 0), Score(0, 8, 0, 0, 0)),
    ],
    ids=["fewer missing in all", "as many, and more worth", "nothing missing"],
)
def test_minimums_and_wishes_missed_count_alike_on_the_way(better: Score, worse: Score):
    """What comes nearest to all that is wanted has the lesser lack."""
    assert better.lack < worse.lack


def test_blocks_meet_over_joints_and_one_above_the_other():
    """Blocks that can touch by another order along the faces do; else they are told apart."""
    _, _, fixed, filler = shelved(blocks={"A": 1})
    assert filler.neighbours is not None
    one, other = next((k.left, k.right) for k in filler.neighbours.links)
    pattern = filler.display.patterns["A", fixed.faces[one].kind][0]
    plans = [BlockPlan(one, "A", pattern), BlockPlan(other, "A", pattern)]
    filling = Filling(plans, [grains(90.0)] * 2, {(0, 0, "A"): 1, (1, 0, "A"): 1})
    assert filler.broken(filling) == 0
    far = next(
        n
        for n, face in enumerate(fixed.faces)
        if face.place and face.place.wall == "W" and not face.place.hung
    )
    filling.plans[1] = BlockPlan(far, "A", pattern)
    assert filler.broken(filling) == 1


def test_a_block_moved_by_hand_breaks_a_wish():
    """What the solver kept together is counted and found apart once a block is moved away."""
    given = wishing(blocks={"A": 1})
    layout = solved(given)
    assert broken_in(given, layout) == 0
    host = next(each.host for each in layout.blocks if each.category == "A")
    far = next(
        p for p in layout.placements if p.id != host and p.wall != layout.placement(host).wall
    )
    block = next(each for each in layout.blocks if each.host == host and each.category == "A")
    twin = block.model_copy(update={"id": "B99", "host": far.id})
    spoilt = layout.model_copy(
        update={
            "blocks": (*(each for each in layout.blocks if each.host != far.id), twin),
        }
    )
    assert broken_in(given, spoilt) == 1
    assert "blocks-scattered" in faults(given, spoilt)


@pytest.mark.parametrize("within", [1800.0, None])
def test_new_goods_stand_near_the_door(within: float | None):
    """New lines keep to the faces near the entrance, and to any face where that is not asked."""
    lines = [
        b.line("jar", new=True, max_facings=90),
        b.line("tin", category="tins", max_facings=30),
    ]
    wish = {} if within is None else {"new_within": b.mm(within)}
    given = b.scenario(lines, brief={"merchandising": wish})
    layout = solved(given)
    assert faults(given, layout) == []
    shown = [slot for block in layout.blocks for row in block.rows for slot in row.slots]
    jars = sum(slot.facings for slot in shown if slot.line == "jar")
    assert jars > 0
    if within is not None:
        assert any(slot.line == "tin" for slot in shown)


@pytest.mark.parametrize(("within", "shown"), [(1800.0, True), (100.0, False)])
def test_new_goods_with_no_face_near_enough_leave_no_layout(within: float, shown: bool):
    """The programs know which faces are too far, so a minimum that none can meet is proved."""
    given = b.scenario(
        [b.line("jar", new=True, min_facings=2)],
        brief={"merchandising": {"new_within": b.mm(within)}},
    )
    found = b.run(given)
    assert (found.layout is not None) is shown
    assert shown or (found.clash is not None and found.clash.proved)


def test_a_wish_that_cannot_be_met_is_told():
    """Two categories, both wanted on the only face, touch however they stand: one wish broken."""
    lines = [
        b.line(name, category=name, width=b.mm(450.0), min_facings=1, max_facings=2)
        for name in "AB"
    ]
    given = b.scenario(
        lines, [b.fixture(available=1)], brief={"merchandising": {"apart": [("A", "B")]}}
    )
    layout = solved(given)
    assert faults(given, layout) == ["blocks-together"]
    assert broken_wishes(layout) == 1
    assert layout.proof is not None
    assert layout.proof.status == "within gap"


def test_heavy_goods_stand_low():
    """Of two lines alike, the heavy one keeps to rows that end low enough."""
    lines = [
        b.line("anvil", weight="3 kg", max_facings=9, min_facings=1),
        b.line("vase", weight="1 kg", max_facings=99),
    ]
    wish = {"heavy_over": "2 kg", "heavy_top": b.mm(400.0)}
    given = b.scenario(lines, [b.fixture(available=1)], brief={"merchandising": wish})
    layout = solved(given)
    assert faults(given, layout) == []
    heavy = [
        row.top_mm
        for block in layout.blocks
        for row in block.rows
        if any(slot.line == "anvil" for slot in row.slots)
    ]
    assert heavy
    assert max(heavy) <= 400.0


def test_wishes_of_all_kinds_are_met_together_with_slat_wall():
    """Groups, pairs and a list at once, on cabinets and slat-wall over them."""
    lines = [
        b.line(
            name,
            category=name,
            width=b.mm(110.0 + 20.0 * k),
            max_facings=30,
            min_facings=2,
            ways=["shelf", "hook"],
        )
        for k, name in enumerate("ABCDE")
    ]
    given = b.scenario(
        lines,
        [b.fixture(slat_above=True)],
        sheets=[b.SHEET],
        brackets=[HOOK],
        brief={
            "merchandising": {
                "blocks": {"A": 1, "B": 2},
                "touch": [("A", "C")],
                "apart": [("B", "D")],
                "order": [("C", "E")],
            }
        },
    )
    layout = solved(given)
    assert faults(given, layout) == []
    assert broken_wishes(layout) == 0


def test_a_floor_is_chosen_on_which_a_category_has_room_in_one_place():
    """Linen of the kiosk is wider than any one run: it stands in one group over a joint of two."""
    scenario = load_scenario(SCENARIOS / "market-kiosk")
    brief = scenario.brief.model_copy(
        update={"merchandising": Merchandising.model_validate({"blocks": {"Linen": 1}})}
    )
    shop = scenario.shop.model_copy(update={"brief": brief})
    layout = solved(scenario.model_copy(update={"shop": shop}), seconds=10.0)
    assert broken_wishes(layout) == 0
    faces = {block.host for block in layout.blocks if block.category == "Linen"}
    assert len(faces) > 1


def test_attempts_end_with_the_seconds_there_are():
    """One attempt is made in any case, further ones only as long as there is work left."""
    *_, filler = shelved(2, blocks=dict.fromkeys("ABCD", 1), apart=[("A", "B"), ("A", "C")])
    filling = strewn(filler, random.Random(0))
    assert filler.broken(filling) > 0
    spent = []
    for seconds in (0.0, 5.0):
        purse = Purse(seconds)
        own, found, finished = Merchandiser(1, 0, StopFlag()).merchandised(filler, filling, purse)
        assert finished
        assert own.broken(found) <= filler.broken(filling)
        spent.append(seconds - purse.left)
    assert 0 < spent[0] <= spent[1] + 1e-6
    stop = StopFlag()
    stop.request()
    given = Merchandiser(1, 0, stop).merchandised(filler, filling, Purse(5.0))
    assert given[:2] == (filler, filling)
