"""Moves in their order: row by row, nothing comes to where something still is."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import pytest

from shopfit.model.layout import Layout, Placement, Run
from shopfit.model.moves import MoveRow
from shopfit.model.scenario import Scenario
from shopfit.quantities.movelist import move_rows
from shopfit.quantities.moves import list_moves
from tests.quantities.conftest import IN, given

# Left, right, low and high end in the two directions that something takes up.
Box = tuple[str, float, float, float, float]
SIZES = {"CAB": (36.0, 24.0, 30.0), "TAB": (48.0, 30.0, 30.0), "TALL": (36.0, 24.0, 84.0)}


@pytest.fixture
def shop() -> Scenario:
    """Give the small shop with a cabinet as high as a door besides."""
    data = given()
    low = data["catalogue"]["fixtures"][0]  # type: ignore[index]
    tall = low | {"id": "TALL", "height": "84 in", "name": "Tall cabinet"}
    data["catalogue"]["fixtures"].append(tall)  # type: ignore[index]
    return Scenario.model_validate(data)


def on_wall(tag: str, kind: str, left: float) -> Placement:
    """Stand a fixture against the north wall, so many inches from its left end."""
    place = {"x_mm": left * IN, "y_mm": 120 * IN, "wall": "north", "offset_mm": left * IN}
    return Placement.model_validate({"id": tag, "fixture": kind, "angle_deg": 0.0, **place})


def hung(tag: str, left: float, right: float, low: float = 32.0, *over: str) -> Run:
    """Hang slat-wall on the north wall, in inches, 48 in high."""
    heights = {"bottom_mm": low * IN, "top_mm": (low + 48) * IN, "first_groove_mm": (low + 2) * IN}
    ends = {"from_mm": left * IN, "to_mm": right * IN}
    return Run.model_validate(
        {"id": tag, "wall": "north", "sheet": "SLAT", "over": over, **ends, **heights}
    )


def boxes(thing: Placement | Run) -> list[Box]:
    """Give what something takes up on the floor and on the wall, in inches."""
    if isinstance(thing, Run):
        low, high = thing.bottom_mm / IN, thing.top_mm / IN
        return [("wall", thing.from_mm / IN, thing.to_mm / IN, low, high)]
    wide, deep, high = SIZES[thing.fixture]
    x, y = thing.x_mm / IN, thing.y_mm / IN
    floor = ("floor", x, x + wide, y - deep, y)
    return [floor, ("wall", x, x + wide, 0.0, high)] if thing.wall else [floor]


def overlap(one: Placement | Run, other: Placement | Run) -> bool:
    return any(
        a[0] == b[0]
        and min(a[2], b[2]) - max(a[1], b[1]) > 0.01
        and min(a[4], b[4]) - max(a[3], b[3]) > 0.01
        for a in boxes(one)
        for b in boxes(other)
        # Two fixtures meet on the floor alone.
        if a[0] == "floor" or isinstance(one, Run) or isinstance(other, Run)
    )


def carried_out(scenario: Scenario, before: Layout, after: Layout) -> list[MoveRow]:
    """Do what the rows say, one after the other, and make sure that nothing ever overlaps."""
    moves = list_moves(scenario, before, after)
    rows = [each for each in move_rows(scenario, moves) if each.part in ("fixture", "slat-wall")]
    things = {(row.after or row.before).id: row for row in (*moves.fixtures, *moves.runs)}  # type: ignore[union-attr]
    there: dict[str, Placement | Run] = {p.id: p for p in (*before.placements, *before.runs)}
    for row in rows:
        done = things[row.tag]
        if done.before is not None:
            there.pop(done.before.id, None)
        if done.after is not None and row.step != "set aside":
            there[done.after.id] = done.after
        assert not [pair for pair in combinations(there.values(), 2) if overlap(*pair)], row
    assert set(there.values()) == {*after.placements, *after.runs}
    assert sum(row.moves for row in rows) == moves.count
    return rows


def bare(layout: Layout, *things: Placement | Run) -> Layout:
    placements = tuple(thing for thing in things if isinstance(thing, Placement))
    runs = tuple(thing for thing in things if isinstance(thing, Run))
    return layout.model_copy(update={"placements": placements, "runs": runs, "blocks": ()})


def told(rows: Sequence[MoveRow]) -> list[tuple[str, str]]:
    return [(row.tag, row.step) for row in rows]


def test_slat_wall_is_shortened_before_more_is_hung_there(shop: Scenario, layout: Layout) -> None:
    """A run hung where another still hangs waits until that is shortened."""
    before = bare(layout, on_wall("F1", "CAB", 27), hung("R2", 27, 87, 32.0, "F1"))
    after = bare(
        layout, on_wall("F1", "CAB", 27), hung("R2", 51, 87, 32.0, "F1"), hung("R4", 0, 48)
    )
    rows = carried_out(shop, before, after)
    assert told(rows) == [("R2", "shortened"), ("R4", "hung anew"), ("F1", "kept")]


def test_fixtures_wait_for_their_places(shop: Scenario, layout: Layout) -> None:
    """What stands where another shall stand goes first, and what is bought comes when it can."""
    before = bare(
        layout, on_wall("F1", "CAB", 0), on_wall("F2", "TAB", 36), on_wall("F3", "CAB", 84)
    )
    after = bare(
        layout,
        on_wall("F1", "CAB", 40),
        on_wall("F2", "TAB", 150),
        on_wall("F3", "CAB", 84),
        on_wall("F4", "TALL", 0),
    )
    rows = carried_out(shop, before, after)
    assert told(rows) == [("F2", "moved"), ("F1", "moved"), ("F4", "brought in"), ("F3", "kept")]


def test_what_changes_places_is_set_aside_first(shop: Scenario, layout: Layout) -> None:
    """In a ring one is set aside, its row says so, and it counts once."""
    before = bare(layout, on_wall("F1", "CAB", 0), on_wall("F2", "TAB", 36))
    after = bare(layout, on_wall("F1", "CAB", 48), on_wall("F2", "TAB", 0))
    rows = carried_out(shop, before, after)
    assert told(rows) == [("F1", "set aside"), ("F2", "moved"), ("F1", "moved")]
    assert rows[0].after == rows[2].before == "set aside"
    assert [row.moves for row in rows] == [0, 1, 1]


def test_only_what_is_in_the_ring_is_set_aside(shop: Scenario, layout: Layout) -> None:
    """One that waits for a ring is not touched before its place is free."""
    before = bare(
        layout, on_wall("F1", "CAB", 120), on_wall("F2", "TAB", 0), on_wall("F3", "TALL", 48)
    )
    after = bare(
        layout, on_wall("F1", "CAB", 36), on_wall("F2", "TAB", 72), on_wall("F3", "TALL", 0)
    )
    rows = carried_out(shop, before, after)
    assert told(rows)[:2] == [("F2", "set aside"), ("F3", "moved")]
    assert told(rows)[2:] == [("F1", "moved"), ("F2", "moved")]


def test_a_tall_fixture_waits_for_slat_wall_that_shifts(shop: Scenario, layout: Layout) -> None:
    """Slat-wall comes after fixtures, but not where it hangs in the way of one."""
    before = bare(layout, on_wall("F1", "TALL", 0), hung("R1", 60, 120))
    after = bare(layout, on_wall("F1", "TALL", 60), hung("R1", 96, 156))
    rows = carried_out(shop, before, after)
    assert told(rows) == [("R1", "shifted"), ("F1", "moved")]


@pytest.mark.parametrize(("left", "first"), [(36.0, "F1"), (35.98, "F2")])
def test_what_touches_is_not_in_the_way(
    shop: Scenario, layout: Layout, left: float, first: str
) -> None:
    """A place that only touches what still stands is free; half a millimetre less is not."""
    before = bare(layout, on_wall("F1", "CAB", 100), on_wall("F2", "TALL", 0))
    after = bare(layout, on_wall("F1", "CAB", left), on_wall("F2", "TALL", 150))
    assert carried_out(shop, before, after)[0].tag == first


def test_slat_wall_that_waits_for_one_another_goes_in_turn(shop: Scenario, layout: Layout) -> None:
    """A run that is shortened at one end and longer at the other waits like any other."""
    before = bare(layout, hung("R1", 0, 60), hung("R2", 60, 120))
    after = bare(layout, hung("R1", 30, 80), hung("R2", 80, 120))
    rows = carried_out(shop, before, after)
    assert told(rows) == [("R2", "shortened"), ("R1", "shortened")]
