"""Where the way in is told to lie is looked at with everything else."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from shopfit.files.layouts import fingerprint
from shopfit.files.shellcheck import check_shell
from shopfit.files.waycheck import check_way_in
from shopfit.geometry.wayin import lay
from shopfit.model.approach import Approach
from tests.checks import build as b


def run(name: str, **more: Any) -> dict[str, Any]:
    """Give a run of 4 in at 1:12, 36 in wide, between landings 60 in long and 78 in wide."""
    landing = {"length": "60 in", "width": "78 in"}
    ramp = {"id": name, "rise": "4 in", "run": "48 in", "width": "36 in"}
    return copy.deepcopy({**ramp, "top": landing, "bottom": landing, **more})


def way_in(*ramps: dict[str, Any], **more: Any) -> dict[str, Any]:
    """Give a way in by these runs."""
    return {"floor_above_grade": "8 in", "door": "front", "ramps": list(ramps), **more}


def faults(approach: dict[str, Any]) -> list[tuple[str, str]]:
    """Give where faults of a way in are, and what was given there."""
    shop = b.scenario().shop.model_copy(update={"approach": Approach.model_validate(approach)})
    plan, others = check_shell(shop, frozenset())
    assert plan is not None
    assert others == []
    return [(each.where, each.given) for each in check_way_in(shop, plan, frozenset())]


def wheres(approach: dict[str, Any]) -> list[str]:
    """Give where faults of a way in are."""
    return [where for where, _ in faults(approach)]


# Of the small shop, by a version that knew no turns.
OLD = "e3bfda5553c98b23ee27458eb0b80a254dda60dbb43b6a99d11e8055c762dbbb"
WITHIN = "two in room 'shop'"
SMALL = {"length": "60 in", "width": "36 in"}
FIRST = run("one", run="130 in", top=SMALL)
SOUND = [FIRST, run("two", leaves="back left", set_off="6 in", bottom=SMALL)]


def test_what_is_told_soundly_is_taken() -> None:
    """A switchback with its second run beside the first has no fault."""
    assert faults(way_in(*SOUND)) == []


def test_where_nothing_is_told_nothing_is_refused() -> None:
    """Older files stay readable, however their parts would lie."""
    assert faults(way_in(run("one"), run("two"))) == []


@pytest.mark.parametrize(
    ("leaves", "set_off", "refused"),
    [
        ("back left", "5.999 in", False),
        ("back left", "6 in", False),
        ("back left", "6.01 in", True),
        ("left", "24 in", False),
        ("left", "24.01 in", True),
        ("right", "24 in", False),
        ("right", "24.01 in", True),
        ("ahead", "42 in", False),
        ("ahead", "42.01 in", True),
    ],
)
def test_a_run_leaves_over_one_side(leaves: str, set_off: str, refused: bool) -> None:
    """No part of its width lies beside the landing, to a hair."""
    told = way_in(FIRST, run("two", leaves=leaves, set_off=set_off, bottom=SMALL))
    assert wheres(told) == (["approach > ramps > two > set_off"] if refused else [])


def test_a_landing_too_small_to_turn_on_is_refused() -> None:
    """Where it turns back, it has to be as wide as both runs, whatever is told of the distance."""
    narrow = {"length": "60 in", "width": "71 in"}
    told = way_in(run("one", bottom=narrow), run("two", top=narrow, leaves="back right"))
    assert wheres(told) == ["approach > ramps > two > leaves"]
    wide = {"length": "60 in", "width": "72 in"}
    first = {**FIRST, "bottom": wide}
    told = way_in(first, run("two", top=wide, leaves="back right", bottom=SMALL))
    assert faults(told) == []


@pytest.mark.parametrize(("left", "refused"), [("42 in", False), ("42.01 in", True)])
def test_a_landing_lies_below_all_of_its_run(left: str, refused: bool) -> None:
    """It may end where the run ends, no sooner."""
    foot = {"length": "60 in", "width": "78 in", "left": left}
    told = way_in(run("one", bottom=foot))
    assert wheres(told) == (["approach > ramps > one > bottom > left"] if refused else [])


def test_one_landing_is_told_one_way() -> None:
    """Told of at the run above and at the run below, it has one place."""
    upper = {"length": "60 in", "width": "78 in", "left": "4 in"}
    lower = {"length": "60 in", "width": "78 in", "left": "5 in"}
    told = way_in(run("one", bottom=upper), run("two", top=lower))
    assert faults(told) == [("approach > ramps > two > top > left", '5"')]


def test_the_first_run_does_not_go_back_into_the_door() -> None:
    """From the door one goes ahead, left or right."""
    assert wheres(way_in(run("one", leaves="back left"))) == ["approach > ramps > one > leaves"]


@pytest.mark.parametrize(
    ("length", "named"),
    [
        ("33.99 in", []),
        ("34 in", []),
        ("34.01 in", ["four > bottom"]),
        ("60 in", ["four > leaves", "four > bottom"]),
    ],
)
def test_parts_that_overlap_are_refused(length: str, named: list[str]) -> None:
    """Three turns to the right lead back to the first run: they may touch it, no more."""
    foot = {"length": "10 in", "width": "36 in"}
    found = faults(
        way_in(
            FIRST,
            run("two", leaves="right", run="20 in"),
            run("three", leaves="right"),
            run("four", leaves="right", run=length, bottom=foot),
        )
    )
    assert [where for where, _ in found] == [f"approach > ramps > {each}" for each in named]
    assert all("that one lies on as well" in given for _, given in found)


def test_a_run_into_the_building_is_refused() -> None:
    """Two turns the same way lead back through the wall of the door."""
    first = run("one", leaves="left", set_off="0 in", run="10 in", bottom=SMALL)
    second = run("two", leaves="left", run="20 ft", set_off="0 in", top=SMALL)
    assert faults(way_in(first, second)) == [("approach > ramps > two > leaves", WITHIN)]


@pytest.mark.parametrize(("off", "refused"), [("42 in", False), ("41.99 in", True)])
def test_a_landing_may_touch_the_wall(off: str, refused: bool) -> None:
    """It reaches 42 in beyond its run; with less before the wall it would lie in the building."""
    beside = {"length": "60 in", "width": "78 in", "left": "42 in"}
    head = {"length": "60 in", "width": "78 in"}
    first = run("one", leaves="left", set_off=off, top=head, bottom=beside)
    assert wheres(way_in(first)) == (["approach > ramps > one > bottom"] if refused else [])


def test_faults_of_the_way_in_come_in_one_pass() -> None:
    """A landing told twice, a run set off too far and steps without room are all said."""
    upper = {"length": "60 in", "width": "78 in", "left": "4 in"}
    lower = {"length": "60 in", "width": "78 in", "left": "5 in"}
    steps = {"count": 2, "riser": "4 in", "tread": "11 in", "width": "44 in", "leaves": "left"}
    told = way_in(
        run("one", bottom=upper),
        run("two", top=lower, leaves="ahead", set_off="50 in"),
        steps={**steps, "set_off": "20 in"},
    )
    assert wheres(told) == [
        "approach > ramps > two > top > left",
        "approach > ramps > two > set_off",
        "approach > steps > set_off",
    ]


def test_steps_without_a_ramp_go_straight_out() -> None:
    """There is no landing that they could leave another way."""
    steps = {"count": 2, "riser": "4 in", "tread": "11 in", "width": "44 in", "leaves": "left"}
    assert wheres(way_in(steps=steps)) == ["approach > steps > leaves"]


def test_what_is_not_told_keeps_its_fingerprint() -> None:
    """Layouts of older versions stay known; what is told makes another shop."""
    plain = b.scenario()
    digest = fingerprint(plain)
    approach = plain.shop.approach
    for changed in (
        {"leaves": "left"},
        {"set_off": 0.0},
        {"top": approach.ramps[0].top.model_copy(update={"left": 0.0})},
    ):
        ramp = approach.ramps[0].model_copy(update=changed)
        told = approach.model_copy(update={"ramps": (ramp,)})
        shop = plain.shop.model_copy(update={"approach": told})
        assert fingerprint(plain.model_copy(update={"shop": shop})) != digest
    assert digest == OLD


def test_turns_untold_lie_in_one_line() -> None:
    """Runs and landings follow one another straight out from the door, all in the middle."""
    for part in lay(Approach.model_validate(way_in(run("one"), run("two"))), 900.0):
        assert part.way == (0.0, 1.0)
        assert part.rect[0] == pytest.approx(-part.rect[1])
