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
    assert b.codes(check(b.scenario(doors=_doors(width=b.mm(width))), b.layout())) == found


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
