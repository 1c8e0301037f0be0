"""The list of moves: what stays, what moves how far, and what counts."""

from __future__ import annotations

import math

import pytest

from shopfit.model.layout import Block, Layout, Placement, Run, Slot
from shopfit.model.moves import Moves
from shopfit.model.scenario import Scenario
from shopfit.quantities.movelist import move_rows
from shopfit.quantities.moves import list_moves


def with_placement(layout: Layout, tag: str, **changes: object) -> Layout:
    places = tuple(p.model_copy(update=changes) if p.id == tag else p for p in layout.placements)
    return layout.model_copy(update={"placements": places})


def with_run(layout: Layout, tag: str, **changes: object) -> Layout:
    runs = tuple(r.model_copy(update=changes) if r.id == tag else r for r in layout.runs)
    return layout.model_copy(update={"runs": runs})


def with_block(layout: Layout, tag: str, **changes: object) -> Layout:
    blocks = tuple(b.model_copy(update=changes) if b.id == tag else b for b in layout.blocks)
    return layout.model_copy(update={"blocks": blocks})


def steps(moves: Moves) -> dict[str, str]:
    """Give what is done with each fixture and run, by tag."""
    found = {}
    for row in (*moves.fixtures, *moves.runs):
        some = row.before or row.after
        assert some is not None
        found[some.id] = row.step
    return {tag: step for tag, step in found.items() if step != "kept"}


def test_nothing_moves_from_a_layout_to_itself(scenario: Scenario, layout: Layout) -> None:
    """Everything is kept and nothing counts, other tags notwithstanding."""
    renamed = layout.model_copy(
        update={
            "placements": tuple(p.model_copy(update={"id": f"X{p.id}"}) for p in layout.placements),
            "runs": tuple(
                r.model_copy(update={"id": f"X{r.id}", "over": tuple(f"X{t}" for t in r.over)})
                for r in layout.runs
            ),
            "blocks": tuple(
                b.model_copy(update={"id": f"X{b.id}", "host": f"X{b.host}"}) for b in layout.blocks
            ),
        }
    )
    for other in (layout, renamed):
        moves = list_moves(scenario, layout, other)
        assert moves.count == 0
        assert moves.blocks_changed == 0
        assert {row.step for row in (*moves.fixtures, *moves.runs, *moves.blocks)} == {"kept"}
        assert all(row.before == row.after == row.stay for row in moves.holders)
        assert all(row.step == "kept" for row in move_rows(scenario, moves))


@pytest.mark.parametrize(
    ("by", "turn", "step", "counts"),
    [
        (0.009, 0.0, "kept", 0),
        (0.011, 0.0, "moved", 1),
        (300.0, 0.0, "moved", 1),
        (300.0, 90.0, "moved and turned", 1),
    ],
)
def test_a_fixture_that_moves(
    scenario: Scenario, layout: Layout, by: float, turn: float, step: str, counts: int
) -> None:
    """It counts one, however far it goes; within the tolerance it does not move at all."""
    bare = layout.model_copy(update={"runs": (), "blocks": ()})
    first = bare.placements[0]
    other = with_placement(bare, first.id, x_mm=first.x_mm + by, angle_deg=first.angle_deg + turn)
    moves = list_moves(scenario, bare, other)
    row = moves.fixtures[0]
    assert (row.step, row.moves, moves.count) == (step, counts, counts)
    if step == "moved":
        assert row.moved_mm == pytest.approx(by, abs=1e-3)
        assert row.turned_deg == 0.0


def test_a_fixture_turned_where_it_stands(scenario: Scenario, layout: Layout) -> None:
    """Its corner goes to the other end, its middle stays: turned, and moved by nothing."""
    bare = layout.model_copy(update={"runs": (), "blocks": ()})
    first = bare.placements[0]
    fixture = scenario.catalogue.fixture(first.fixture)
    angle = math.radians(first.angle_deg)
    cos, sin = math.cos(angle), math.sin(angle)
    # Half a turn about the middle brings the back left corner to the front right one.
    x = first.x_mm + fixture.width * cos + fixture.depth * sin
    y = first.y_mm + fixture.width * sin - fixture.depth * cos
    other = with_placement(bare, first.id, x_mm=x, y_mm=y, angle_deg=first.angle_deg + 180.0)
    row = list_moves(scenario, bare, other).fixtures[0]
    assert (row.step, row.moved_mm, abs(row.turned_deg)) == ("turned", 0.0, 180.0)


def test_brought_in_and_taken_out(scenario: Scenario, layout: Layout) -> None:
    """A kind more and a kind less are two moves; two of one kind are one that moves."""
    bare = layout.model_copy(update={"runs": (), "blocks": ()})
    table = Placement(id="T1", fixture="TAB", x_mm=2000, y_mm=1500, angle_deg=0)
    gone = next(p for p in bare.placements if p.fixture != "TAB")
    rest = tuple(p for p in bare.placements if p.id != gone.id)
    other = bare.model_copy(update={"placements": (*rest, table)})
    moves = list_moves(scenario, bare, other)
    assert steps(moves) == {gone.id: "taken out", "T1": "brought in"}
    assert moves.count == 2


def test_a_fixture_gone_from_the_list_is_taken_out(scenario: Scenario, layout: Layout) -> None:
    """Its name is its id then, for nobody knows it any more."""
    strange = Placement(id="F9", fixture="crate", x_mm=2000, y_mm=1500, angle_deg=0)
    before = layout.model_copy(
        update={"placements": (*layout.placements, strange), "runs": (), "blocks": ()}
    )
    after = layout.model_copy(update={"runs": (), "blocks": ()})
    moves = list_moves(scenario, before, after)
    assert [(r.name, r.step) for r in moves.fixtures if r.moves] == [("crate", "taken out")]


@pytest.mark.parametrize(
    ("left", "right", "step"),
    [(0.0, 100.0, "lengthened"), (0.0, -100.0, "shortened"), (50.0, 50.0, "shifted")],
)
def test_a_run_that_changes_over_what_stays(
    scenario: Scenario, layout: Layout, left: float, right: float, step: str
) -> None:
    """Slat-wall that changes counts one for each fixture that stays and that it changes over."""
    run = next(run for run in layout.runs if run.over)
    other = with_run(layout, run.id, from_mm=run.from_mm + left, to_mm=run.to_mm + right)
    moves = list_moves(scenario, layout, other)
    row = next(row for row in moves.runs if row.before and row.before.id == run.id)
    assert row.step == step
    assert row.longer_mm == pytest.approx(right - left)
    assert row.moves == moves.count <= len(run.over)


def test_a_run_that_goes_with_its_fixture_counts_once(scenario: Scenario, layout: Layout) -> None:
    """Where a fixture moves, the slat-wall over it is part of that one move."""
    whole = next(run for run in layout.runs if run.over)
    tag = whole.over[0]
    place = layout.placement(tag)
    assert place.offset_mm is not None
    end = place.offset_mm + scenario.catalogue.fixture(place.fixture).width
    run = whole.model_copy(update={"from_mm": place.offset_mm, "to_mm": end, "over": (tag,)})
    only = layout.model_copy(
        update={
            "placements": (place,),
            "runs": (run,),
            "blocks": tuple(b for b in layout.blocks if b.host == run.id),
        }
    )
    by = 2000.0
    other = with_placement(only, tag, offset_mm=place.offset_mm + by, x_mm=place.x_mm + by)
    other = with_run(other, run.id, from_mm=run.from_mm + by, to_mm=run.to_mm + by)
    moves = list_moves(scenario, only, other)
    assert moves.count == 1
    assert steps(moves)[tag].startswith("moved")
    assert [row.step for row in moves.runs] == ["taken down", "hung anew"]
    assert {row.step for row in moves.blocks} == {"carried along"}


def bare_run(width: float, start: float = 0.0, tag: str = "R9") -> Run:
    return Run(
        id=tag,
        wall="N",
        from_mm=start,
        to_mm=start + width,
        bottom_mm=400.0,
        top_mm=1000.0,
        sheet="S",
        first_groove_mm=438.1,
    )


@pytest.mark.parametrize(("width", "bays"), [(1.0, 1), (1.0001, 2), (2.0, 2)])
def test_slat_wall_with_nothing_below(
    scenario: Scenario, layout: Layout, width: float, bays: int
) -> None:
    """Hung anew it counts a move for every sheet's width, taken down it counts one."""
    sheet = scenario.catalogue.sheets[0]
    run = bare_run(width * sheet.width).model_copy(
        update={"sheet": sheet.id, "wall": layout.runs[0].wall}
    )
    empty = layout.model_copy(update={"placements": (), "runs": (), "blocks": ()})
    hung = empty.model_copy(update={"runs": (run,)})
    assert list_moves(scenario, empty, hung).count == bays
    assert list_moves(scenario, hung, empty).count == 1
    assert list_moves(scenario, hung, hung).count == 0


def one_more(block: Block) -> Block:
    """Give a block with one more facing of its first line."""
    row = block.rows[0]
    slot = row.slots[0]
    wide = (slot.to_mm - slot.from_mm) / slot.facings
    more: Slot = slot.model_copy(update={"facings": slot.facings + 1, "to_mm": slot.to_mm + wide})
    rows = (row.model_copy(update={"slots": (more, *row.slots[1:])}), *block.rows[1:])
    return block.model_copy(update={"rows": rows})


def test_blocks_line_by_line(scenario: Scenario, layout: Layout) -> None:
    """One facing more, one block cleared, one set up, one shifted: each is told, with facings."""
    first, second, *rest = layout.blocks
    grown = one_more(first)
    line = first.rows[0].slots[0]
    fresh = second.model_copy(update={"id": "B99", "category": "Odd"})
    shifted = tuple(b.model_copy(update={"id": f"{b.id}b"}) for b in rest)
    after = layout.model_copy(update={"blocks": (grown, fresh, *shifted)})
    moves = list_moves(scenario, layout, after)
    told = {row.tag_before or row.tag_after: row for row in moves.blocks}
    assert told[first.id].step == "changed"
    (change,) = told[first.id].lines
    assert (change.line, change.before, change.after) == (
        line.line,
        line.facings,
        line.facings + 1,
    )
    assert told[second.id].step == "cleared"
    assert told["B99"].step == "set up"
    assert all(told[block.id].step == "kept" for block in rest)
    assert moves.blocks_changed == 3
    assert moves.count == 0


def test_a_block_pushed_aside_is_shifted(scenario: Scenario, layout: Layout) -> None:
    """The same goods 40 mm on are shifted, not changed, and count for nothing."""
    block = layout.blocks[0]

    def on(slot: Slot) -> Slot:
        return slot.model_copy(update={"from_mm": slot.from_mm + 40, "to_mm": slot.to_mm + 40})

    rows = tuple(
        row.model_copy(update={"slots": tuple(on(slot) for slot in row.slots)})
        for row in block.rows
    )
    after = with_block(
        layout, block.id, from_mm=block.from_mm + 40, to_mm=block.to_mm + 40, rows=rows
    )
    moves = list_moves(scenario, layout, after)
    assert [row.step for row in moves.blocks if row.step != "kept"] == ["shifted"]
    assert moves.blocks_changed == 0


def test_brackets_are_counted_by_their_place(scenario: Scenario, layout: Layout) -> None:
    """Of a row of brackets that grows by one, evenly spaced, those that hang alike stay."""
    block = next(b for b in layout.blocks if any(s.brackets for row in b.rows for s in row.slots))
    slot = next(s for row in block.rows for s in row.slots if s.brackets)
    after = layout.model_copy(
        update={"blocks": tuple(b for b in layout.blocks if b.id != block.id)}
    )
    moves = list_moves(scenario, layout, after)
    gone = {row.holder: row for row in moves.holders}
    assert slot.holder is not None
    row = gone[slot.holder]
    brackets = sum(s.brackets for r in block.rows for s in r.slots if s.holder == slot.holder)
    assert row.before - row.after == brackets == row.to_spare
    assert row.to_move == row.to_add == 0
    back = {row.holder: row for row in list_moves(scenario, after, layout).holders}
    assert back[slot.holder].to_add == brackets


def test_the_list_accounts_for_every_fixture_and_run(scenario: Scenario, layout: Layout) -> None:
    """Written down, all of them are in it, kept or not, and the counts add up."""
    other = layout.model_copy(update={"runs": layout.runs[:-1]})
    hosts = {run.id for run in other.runs} | {p.id for p in other.placements}
    other = other.model_copy(update={"blocks": tuple(b for b in layout.blocks if b.host in hosts)})
    moves = list_moves(scenario, layout, other)
    rows = move_rows(scenario, moves)
    tags = [row.tag for row in rows if row.part in ("fixture", "slat-wall")]
    assert sorted(tags) == sorted(
        [*(p.id for p in layout.placements), *(r.id for r in layout.runs)]
    )
    assert sum(row.moves for row in rows) == moves.count
    assert rows[0].step == "taken down"
