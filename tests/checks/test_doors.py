"""Doors: clear opening, swing and the floor before them."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.checks import check
from shopfit.model.layout import Layout, Placement

from . import build as b

# Door "front" spans x 2585.6 to 3500 on wall S (y 0), hinges east, latch west.
HINGE_X, LATCH_X, PULL_DEPTH, PULL_LATCH = 3500.0, 2585.6, 1524.0, 457.2


def _doors(**change: Any) -> list[dict[str, Any]]:
    return [{**b.SHOP["doors"][0], **change}]


def _table(x: float, y: float) -> Layout:
    return b.moved(b.layout(), "F4", x_mm=x, y_mm=y)


@pytest.mark.parametrize(("width", "found"), [(812.8, []), (812.7, ["door-width"])])
def test_doors_are_32_in_wide(width: float, found: list[str]) -> None:
    """2010 ADA Standards, 404.2.3: 32 in."""
    codes = b.codes(check(b.scenario(doors=_doors(width=b.mm(width))), b.layout()))
    assert [code for code in codes if code.startswith("door-")] == found


@pytest.mark.parametrize(
    ("depth", "width", "found"), [(609.6, 812.8, []), (610.0, 914.3, ["door-width"])]
)
def test_deep_doorways_are_36_in_wide(depth: float, width: float, found: list[str]) -> None:
    """2010 ADA Standards, 404.2.3: 36 in where deeper than 24 in."""
    doors = _doors(width=b.mm(width), depth=b.mm(depth))
    assert b.codes(check(b.scenario(doors=doors), b.layout())) == found


@pytest.mark.parametrize(("height", "found"), [(2032.0, []), (2031.9, ["door-height"])])
def test_doors_give_80_in_of_headroom(height: float, found: list[str]) -> None:
    """2010 ADA Standards, 307.4: 80 in."""
    assert b.codes(check(b.scenario(doors=_doors(height=b.mm(height))), b.layout())) == found


@pytest.mark.parametrize(("front", "found"), [(1524.0, False), (1523.9, True)])
def test_pull_side_is_60_in_deep(front: float, found: bool) -> None:
    """2010 ADA Standards, Table 404.2.4.1, front approach, pull side: 60 in deep."""
    codes = b.codes(check(b.scenario(), _table(2000.0, front + 800.0)))
    assert ("door-space" in codes) is found


@pytest.mark.parametrize(("gap", "found"), [(457.2, False), (457.1, True)])
def test_pull_side_is_18_in_beyond_the_latch(gap: float, found: bool) -> None:
    """2010 ADA Standards, Table 404.2.4.1, front approach, pull side: 18 in beyond the latch."""
    codes = b.codes(check(b.scenario(), _table(LATCH_X - gap - 1200.0, 1400.0)))
    assert ("door-space" in codes) is found


@pytest.mark.parametrize(
    ("closer", "latch", "gap", "found"),
    [
        (True, True, 304.8, False),
        (True, True, 304.7, True),
        (True, False, 0.0, False),
        (False, True, 0.0, False),
        (False, True, -0.1, True),
    ],
)
def test_push_side_wants_12_in_only_with_closer_and_latch(
    closer: bool, latch: bool, gap: float, found: bool
) -> None:
    """2010 ADA Standards, Table 404.2.4.1, note 1."""
    doors = _doors(swing="out", closer=closer, latch=latch)
    layout = _table(LATCH_X - gap - 1200.0, 1000.0)
    assert ("door-space" in b.codes(check(b.scenario(doors=doors), layout))) is found


@pytest.mark.parametrize("swing", ["out", "sliding", "none"])
@pytest.mark.parametrize(("front", "found"), [(1219.2, False), (1219.1, True)])
def test_push_sides_and_doorways_are_48_in_deep(swing: str, front: float, found: bool) -> None:
    """2010 ADA Standards, Tables 404.2.4.1 (push) and 404.2.4.2: 48 in deep."""
    scenario = b.scenario(doors=_doors(swing=swing))
    codes = b.codes(check(scenario, _table(2000.0, front + 800.0)))
    assert ("door-space" in codes) is found


def test_loose_fixtures_before_a_door_are_a_barrier_and_fixed_ones_a_violation() -> None:
    """Loose fixtures come under barrier removal."""
    layout = _table(2000.0, 2300.0)
    loose = next(f for f in check(b.scenario(), layout) if f.code == "door-space")
    assert loose.severity == "barrier to review"
    assert loose.measured == pytest.approx(1500.0)
    fixed = b.refitted(b.scenario(), "table-4", fixed=True)
    found = next(f for f in check(fixed, layout) if f.code == "door-space")
    assert found.severity == "violation"
    assert "404.2.4.1" in found.clause


@pytest.mark.parametrize(("front", "found"), [(915.0, False), (910.0, True)])
def test_the_leaf_strikes_nothing(front: float, found: bool) -> None:
    """The leaf of 36 in sweeps a quarter disc about its hinge (F2)."""
    layout = _table(HINGE_X - 10.0, front + 800.0)
    assert ("door-swing" in b.codes(check(b.scenario(), layout))) is found


def test_the_corner_beyond_the_quarter_disc_is_not_swept() -> None:
    """Only the disc is swept, not the square about it (F2)."""
    # The near corner of the table lies 0.8 of the width along and out: farther than the arc.
    layout = _table(HINGE_X - 0.8 * 914.4 - 1200.0, 0.8 * 914.4 + 800.0)
    codes = b.codes(check(b.scenario(), layout))
    assert "door-swing" not in codes
    assert "door-space" in codes


def test_a_column_before_a_door_is_a_violation() -> None:
    """The building itself stands in the way (F2)."""
    column = {"id": "pier", "at": b.mm(3000.0, 1400.0), "size": b.mm(100.0, 100.0)}
    assert "door-space" in b.codes(check(b.scenario(columns=[column]), b.layout()))


def test_a_room_too_small_for_the_door_is_advice() -> None:
    """What the walls cut off is not the layout's fault (F2)."""
    doors = _doors(offset=b.mm(WALL_END - 914.4 - 200.0))
    findings = check(b.scenario(doors=doors, columns=[]), b.layout())
    short = [f for f in findings if f.code == "door-space-shell"]
    assert [f.severity for f in short] == ["advice"]


def test_what_stands_before_a_door_is_moved_along_its_wall_and_not_into_it() -> None:
    """A shelf 300 mm deep, 400 mm within the floor beside the latch: not 300 mm south."""
    scenario = b.refitted(b.scenario(), "base-48", width=800.0, depth=300.0)
    left = LATCH_X - PULL_LATCH + 400.0
    # Wall S runs from the east end, 6 m long.
    shelf = Placement(
        id="X",
        fixture="base-48",
        x_mm=left,
        y_mm=0,
        angle_deg=180,
        wall="S",
        offset_mm=6000.0 - left,
    )
    layout = b.added(b.layout(), shelf)
    (told,) = (f for f in check(scenario, layout) if f.code == "door-space" and "X" in f.subject)
    assert told.mend == "Move X 1' 3 3/4\" west."


WALL_END = 6000.0


def _two_rooms(swing: str) -> Any:
    back = {
        "id": "back",
        "height": b.mm(b.HEIGHT),
        "corners": [
            b.mm(-3000.0, 0.0),
            b.mm(-3000.0, 4800.0),
            b.mm(-100.0, 4800.0),
            b.mm(-100.0, 0.0),
        ],
        "walls": [{"id": f"B{w}"} for w in "WNES"],
    }
    inner = {
        "id": "through",
        "wall": "W",
        "offset": b.mm(2300.0),
        "width": b.mm(914.4),
        "height": b.mm(2032.0),
        "hinge": "right",
        "swing": swing,
        "use": "inner",
        "leads_to": "back",
        "depth": b.mm(100.0),
    }
    return b.scenario(
        rooms=[b.SHOP["rooms"][0], back], doors=[b.SHOP["doors"][0], inner], windows=[]
    )


@pytest.mark.parametrize(
    ("swing", "gap", "found"),
    [
        ("in", 1219.2, False),
        ("in", 1219.1, True),
        ("out", 1524.0, False),
        ("out", 1523.9, True),
    ],
)
def test_inner_doors_keep_the_other_side_clear_too(swing: str, gap: float, found: bool) -> None:
    """A door pushed on one side is pulled on the other (F2)."""
    x = -100.0 - gap - 800.0
    table = Placement(id="T", fixture="table-4", x_mm=x, y_mm=2300.0, angle_deg=90)
    codes = b.codes(check(_two_rooms(swing), b.added(b.layout(), table)))
    assert ("door-space" in codes) is found


def test_the_leaf_of_an_inner_door_that_swings_out_strikes_nothing_there() -> None:
    """The leaf sweeps the room that the door leads to (F2)."""
    table = Placement(id="T", fixture="table-4", x_mm=-1400.0, y_mm=2300.0, angle_deg=90)
    codes = b.codes(check(_two_rooms("out"), b.added(b.layout(), table)))
    assert "door-swing" in codes
    assert "door-swing" not in b.codes(check(_two_rooms("in"), b.added(b.layout(), table)))


def test_a_door_on_an_unknown_wall_is_not_checked() -> None:
    """What cannot be found is said, not guessed."""
    findings = check(b.scenario(doors=_doors(wall="X")), b.layout())
    assert "door-not-checked" in [f.code for f in findings if f.severity == "not checked"]


# 2010 ADA Standards, Table 404.2.4.1, along the wall: approach, pulled, closer, latch -> depth that
# is enough, beyond the hinge side, beyond the latch side, inches. Notes 2 and 4 add 6 in.
ALONG_THE_WALL = [
    ("hinge", True, False, True, 54.0, 0.0, 36.0),
    ("hinge", True, True, True, 54.0, 0.0, 36.0),
    ("hinge", False, False, True, 42.0, 22.0, 0.0),
    ("hinge", False, True, False, 42.0, 22.0, 0.0),
    ("hinge", False, True, True, 48.0, 22.0, 0.0),
    ("latch", True, False, True, 48.0, 0.0, 24.0),
    ("latch", True, True, False, 54.0, 0.0, 24.0),
    ("latch", False, False, True, 42.0, 0.0, 24.0),
    ("latch", False, True, False, 48.0, 0.0, 24.0),
]


def _spaces(door: dict[str, Any], layout: Layout) -> list[Any]:
    findings = check(b.scenario(doors=_doors(**door)), layout)
    return [f for f in b.faults(findings) if f.code == "door-space"]


@pytest.mark.parametrize("off", [-0.02, 0.0, 0.1])
@pytest.mark.parametrize(
    ("approach", "pull", "closer", "latch", "depth", "hinge_side", "latch_side"), ALONG_THE_WALL
)
def test_floor_for_coming_along_the_wall(
    approach: str,
    pull: bool,
    closer: bool,
    latch: bool,
    depth: float,
    hinge_side: float,
    latch_side: float,
    off: float,
) -> None:
    """2010 ADA Standards, Table 404.2.4.1, hinge and latch side approach, each edge of the floor.

    Of the two floors for a door pulled from the hinge side either is enough.
    """
    door = {
        "approach": approach,
        "swing": "in" if pull else "out",
        "closer": closer,
        "latch": latch,
    }
    inch = 25.4
    missed = off < 0
    assert bool(_spaces(door, _table(2000.0, depth * inch + off + 800.0))) is missed
    if latch_side:
        at_latch = _table(LATCH_X - latch_side * inch - off - 1200.0, 1000.0)
        assert bool(_spaces(door, at_latch)) is missed
    if hinge_side:
        at_hinge = _table(HINGE_X + hinge_side * inch + off, 1000.0)
        assert bool(_spaces(door, at_hinge)) is missed


@pytest.mark.parametrize(
    ("swing", "approach", "depth", "hinge_side", "latch_side"),
    [
        ("sliding", "hinge", 42.0, 22.0, 0.0),
        ("sliding", "latch", 42.0, 0.0, 24.0),
        ("none", "hinge", 42.0, 0.0, 0.0),
    ],
)
@pytest.mark.parametrize("off", [-0.02, 0.0, 0.1])
def test_floor_of_other_doorways_along_the_wall(
    swing: str, approach: str, depth: float, hinge_side: float, latch_side: float, off: float
) -> None:
    """2010 ADA Standards, Table 404.2.4.2."""
    door = {"approach": approach, "swing": swing}
    assert bool(_spaces(door, _table(2000.0, depth * 25.4 + off + 800.0))) is (off < 0)
    if latch_side:
        at_latch = _table(LATCH_X - latch_side * 25.4 - off - 1200.0, 1000.0)
        assert bool(_spaces(door, at_latch)) is (off < 0)
    if hinge_side:
        at_hinge = _table(HINGE_X + hinge_side * 25.4 + off, 1000.0)
        assert bool(_spaces(door, at_hinge)) is (off < 0)


def test_any_approach_takes_the_most_favourable_floor() -> None:
    """A table 50 in out leaves the 48 in of a latch-side approach, not the 60 in of a front one."""
    layout = _table(2000.0, 50.0 * 25.4 + 800.0)
    assert _spaces({"approach": "any"}, layout) == []
    front = _spaces({}, layout)
    assert len(front) == 1
    assert "approach: latch" in front[0].mend
    assert front[0].drawn_mm


@pytest.mark.parametrize(("gap", "found"), [(457.2, True), (457.3, False)])
def test_what_stands_beside_the_latch_makes_the_door_recessed(gap: float, found: bool) -> None:
    """2010 ADA Standards, 404.2.4.3: more than 8 in beyond the door, within 18 in of the latch.

    With the front floor wanted, a table 50 in out is in the way of a door pulled from the latch.
    """
    stub = {"id": "stub", "at": b.mm(LATCH_X - gap - 50.0, 150.0), "size": b.mm(100.0, 300.0)}
    scenario = b.scenario(doors=_doors(approach="hinge", swing="out"), columns=[stub])
    # Pushed from the hinge side 42 in are enough; from the front 48 in.
    codes = b.codes(check(scenario, _table(2000.0, 43.0 * 25.4 + 800.0)))
    assert ("door-space" in codes) is found


@pytest.mark.parametrize(("deep", "found"), [(203.2, False), (203.3, True)])
def test_things_on_the_wall_beside_the_latch_count_too(deep: float, found: bool) -> None:
    """2010 ADA Standards, 404.2.4.3: more than 8 in."""
    box = {
        "id": "box",
        "kind": "other",
        "wall": "S",
        "offset": b.mm(6000.0 - LATCH_X + 100.0),
        "width": b.mm(100.0),
        "bottom": b.mm(300.0),
        "top": b.mm(900.0),
        "depth": b.mm(deep),
    }
    scenario = b.scenario(
        doors=_doors(approach="hinge", swing="out"), columns=[], obstructions=[box]
    )
    codes = b.codes(check(scenario, _table(2000.0, 43.0 * 25.4 + 800.0)))
    assert ("door-space" in codes) is found


@pytest.mark.parametrize(
    ("recess", "beside", "swing", "found"),
    [
        (203.2, 0.0, "in", False),
        (203.3, 0.0, "in", True),
        (300.0, 457.1, "in", True),
        (300.0, 457.2, "in", False),
        # Pushed without closer, nothing is wanted beside the latch.
        (300.0, 0.0, "out", False),
    ],
)
def test_deep_recesses_leave_room_beside_the_latch(
    recess: float, beside: float, swing: str, found: bool
) -> None:
    """2010 ADA Standards, 404.2.4.3 with the 18 in of Table 404.2.4.1."""
    doors = _doors(recess=b.mm(recess), recess_beside=b.mm(beside), swing=swing)
    findings = check(b.scenario(doors=doors), b.layout())
    assert [f.severity for f in findings if f.code == "door-recess"] == ["advice"] * found


@pytest.mark.parametrize(
    ("width", "leaf", "found"),
    [(1625.6, None, False), (1625.4, None, True), (1200.0, 812.8, False), (1200.0, 812.7, True)],
)
def test_one_leaf_of_a_double_door_is_wide_enough(
    width: float, leaf: float | None, found: bool
) -> None:
    """2010 ADA Standards, 404.2.2: 32 in through one active leaf."""
    more = {} if leaf is None else {"leaf_width": b.mm(leaf)}
    doors = _doors(offset=b.mm(2000.0), width=b.mm(width), leaves=2, swing="out", **more)
    codes = b.codes(check(b.scenario(doors=doors), b.layout()))
    assert ("door-width" in codes) is found


@pytest.mark.parametrize(("y", "found"), [(822.3, False), (800.0, True)])
def test_two_leaves_sweep_two_smaller_discs(y: float, found: bool) -> None:
    """Each leaf of 64 in in all is 32 in wide: a table over the middle is met by neither."""
    doors = _doors(offset=b.mm(2000.0), width=b.mm(1625.6), leaves=2, swing="in")
    # The hinges are at x 4000 and 2374.4; the table covers the western one.
    codes = b.codes(check(b.scenario(doors=doors), _table(2000.0, y + 800.0)))
    assert ("door-swing" in codes) is found


def _lobby(depth: float, outer: str, inner: str) -> Any:
    """Give a lobby north of the shop's south wall: two doors opposite one another."""
    lobby = {
        "id": "lobby",
        "height": b.mm(b.HEIGHT),
        "corners": [
            b.mm(2000.0, -100.0 - depth),
            b.mm(2000.0, -100.0),
            b.mm(4000.0, -100.0),
            b.mm(4000.0, -100.0 - depth),
        ],
        "walls": [{"id": f"L{w}"} for w in "WNES"],
    }
    through = {**b.SHOP["doors"][0], "use": "inner", "leads_to": "lobby", "depth": b.mm(100.0)}
    through = {**through, "id": "through", "swing": inner}
    street = {
        **b.SHOP["doors"][0],
        "id": "street",
        "wall": "LS",
        "offset": b.mm(500.0),
        "swing": outer,
    }
    return b.scenario(rooms=[b.SHOP["rooms"][0], lobby], doors=[through, street])


@pytest.mark.parametrize(
    ("outer", "inner", "wanted"),
    [
        # Inner door swings into the shop or the lobby, outer door out to the street or in.
        ("out", "in", 48.0),
        ("in", "in", 84.0),
        ("out", "out", 84.0),
        ("in", "out", 120.0),
    ],
)
@pytest.mark.parametrize("off", [-0.02, 0.0, 0.1])
def test_doors_in_series(outer: str, inner: str, wanted: float, off: float) -> None:
    """2010 ADA Standards, 404.2.6: 48 in and the width of leaves that swing in between."""
    findings = check(_lobby(wanted * 25.4 + off, outer, inner), b.layout())
    found = [f for f in findings if f.code == "doors-in-series"]
    assert bool(found) is (off < 0)
    for each in found:
        assert each.required == pytest.approx(wanted * 25.4)
        assert each.drawn_mm


@pytest.mark.parametrize(("swing", "found"), [("sliding", False), ("none", False)])
def test_only_hinged_doors_are_in_series(swing: str, found: bool) -> None:
    """2010 ADA Standards, 404.2.6: two hinged doors."""
    findings = check(_lobby(1000.0, "out", swing), b.layout())
    assert any(f.code == "doors-in-series" for f in findings) is found
