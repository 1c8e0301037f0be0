"""Taking up a layout that stands: nothing is lost that still fits, and what does not is told."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopfit.model.layout import Block, Claims, Layout, Placement, Row, Slot
from shopfit.model.scenario import Scenario
from shopfit.solver.assemble import assemble
from shopfit.solver.candidates import candidates
from shopfit.solver.conflicts import cliques
from shopfit.solver.fill import Filler
from shopfit.solver.filling import PER_MM
from shopfit.solver.fixing import fix
from shopfit.solver.floor import FloorProblem, face_classes, floor_problem
from shopfit.solver.nearness import side_by_side
from shopfit.solver.range_display import Display, display
from shopfit.solver.resume import (
    Resumed,
    filling_from,
    floor_from,
    left_of,
    paired,
    same_place,
    taken_up,
)
from shopfit.solver.site import Site
from shopfit.solver.spacing import ROWS, Spacing
from tests.solver import build


def ready(given: Scenario) -> tuple[Site, FloorProblem, Display]:
    site = Site(given)
    found = candidates(site)
    return site, floor_problem(site, found, cliques(found)), display(site, face_classes(found))


def resumed(given: Scenario, layout: Layout) -> tuple[Resumed, Filler]:
    """Take a layout up on its own floor."""
    site, problem, shown = ready(given)
    floor, _ = floor_from(problem, layout)
    fixed = fix(problem, floor)
    money = problem.money_left(floor.chosen, floor.slat)
    return filling_from(layout, site, fixed, shown, money), Filler(site, shown, fixed.faces, money)


CAB = Placement(
    id="F7",
    fixture="cab",
    x_mm=600.0,
    y_mm=3000.0,
    angle_deg=0.0,
    wall="N",
    offset_mm=600.0,
)


def shelf(facings: int, width: float = 1000.0, line: str = "jar", levels: int = 4) -> Layout:
    """Give a cabinet with one row of a line, of so many levels of 50 mm."""
    slot = Slot(
        line=line, facings=facings, from_mm=0.0, to_mm=100.0 * facings, way="shelf", units=4
    )
    row = Row(bottom_mm=100.0, top_mm=100.0 + 50.0 * levels, slots=(slot,))
    block = Block(
        id="B3", host="F7", side="front", category="goods", from_mm=0.0, to_mm=width, rows=(row,)
    )
    claims = Claims(facings=facings, units=0, value=0.0, cost=0.0)
    return Layout(scenario="nook", placements=(CAB,), blocks=(block,), claims=claims)


def test_a_solved_layout_comes_back_whole() -> None:
    """Fixtures, runs over them and alone, and every facing are found again, and nothing else."""
    bracket = {
        "id": "hook",
        "kind": "hook",
        "depth": build.mm(100.0),
        "load": "5 kg",
        "price": 1,
    }
    given = build.scenario(
        [build.line(max_facings=40), build.line("cap", ways=["hook"], category="hats")],
        [build.fixture(slat_above=True, available=2)],
        [build.SHEET],
        [bracket],
    )
    layout = build.run(given, 0.3).layout
    assert layout is not None
    assert any(run.over for run in layout.runs)
    assert any(not run.over for run in layout.runs)
    site, problem, shown = ready(given)
    floor, lost = floor_from(problem, layout)
    assert lost == ()
    fixed = fix(problem, floor)
    found = filling_from(layout, site, fixed, shown)
    assert found.dropped == ()
    assert set(found.blocks) == {block.id for block in layout.blocks}
    filler = Filler(site, shown, fixed.faces, None)
    assert filler.allowed(found.filling)
    again = assemble(problem, fixed, filler, found.filling)
    assert again.claims.facings == layout.claims.facings
    assert again.claims.units == layout.claims.units
    assert [p.model_dump(exclude={"id"}) for p in again.placements] == [
        p.model_dump(exclude={"id"}) for p in layout.placements
    ]
    assert len(again.runs) == len(layout.runs)


def test_rows_keep_their_levels() -> None:
    """A row of four levels stays one, and what is free above it is a row that can be filled."""
    found, filler = resumed(build.scenario(), shelf(6))
    assert found.dropped == ()
    assert found.blocks == ("B3",)
    assert found.filling.plans[0].pattern.rows == (4, 6)
    assert found.filling.facings == {(0, 0, "jar"): 6}
    assert found.filling.widths == [1000 * PER_MM]
    assert filler.score(found.filling).worth == 6


def test_a_gap_below_a_row_is_kept() -> None:
    """A row that hangs above nothing does not fall down to the lowest level."""
    layout = shelf(6)
    row = layout.blocks[0].rows[0].model_copy(update={"bottom_mm": 250.0, "top_mm": 450.0})
    block = layout.blocks[0].model_copy(update={"rows": (row,)})
    found, _ = resumed(build.scenario(), layout.model_copy(update={"blocks": (block,)}))
    assert found.filling.plans[0].pattern.rows == (3, 4, 3)
    assert found.filling.facings == {(0, 1, "jar"): 6}


@pytest.mark.parametrize(
    ("changes", "kept", "why"),
    [
        ({"max_facings": 5}, 5, "at most 5 facings"),
        ({"max_facings": 6}, 6, ""),
        ({"width": build.mm(200.0)}, 5, "too narrow"),
        ({"height": build.mm(161.0)}, 0, "a higher row"),
        ({"height": build.mm(160.0)}, 6, ""),
        ({"depth": build.mm(401.0)}, 0, "cannot show it"),
        ({"line": "pot"}, 0, "no longer in the range"),
        ({"category": "tins"}, 0, "goods is no longer in the range"),
    ],
)
def test_what_fits_no_more_is_dropped_and_told(changes: dict, kept: int, why: str) -> None:
    """A changed line keeps what still fits, at and just over each limit; the rest is told."""
    given = build.scenario([build.line(**changes)])
    found, filler = resumed(given, shelf(6))
    assert sum(found.filling.facings.values()) == kept
    assert sum(each.facings for each in found.dropped) == 6 - kept
    assert all(why in each.why and each.tag == "B3" for each in found.dropped)
    assert filler.allowed(found.filling)


def test_a_line_that_changed_its_category_is_dropped() -> None:
    """Its block belongs to another category now, so it cannot stay there."""
    lines = [build.line("jar", category="tins"), build.line("pot")]
    found, _ = resumed(build.scenario(lines), shelf(6))
    assert [each.why for each in found.dropped] == ["it belongs to tins now"]


def test_off_the_levels_is_told() -> None:
    """A row set between two levels cannot be kept on them."""
    layout = shelf(6)
    row = layout.blocks[0].rows[0].model_copy(update={"bottom_mm": 120.0})
    block = layout.blocks[0].model_copy(update={"rows": (row,)})
    found, _ = resumed(build.scenario(), layout.model_copy(update={"blocks": (block,)}))
    assert [each.facings for each in found.dropped] == [6]


def test_dear_goods_go_first_where_money_is_short() -> None:
    """With money for three boards' worth of hooks only, three facings stay."""
    bracket = {"id": "hook", "kind": "hook", "depth": build.mm(100.0), "load": "5 kg", "price": 2}
    given = build.scenario(
        [build.line(ways=["hook"])], [build.fixture(slat_above=True)], [build.SHEET], [bracket]
    )
    layout = build.run(given, 0.3).layout
    assert layout is not None
    site, problem, shown = ready(given)
    fixed = fix(problem, floor_from(problem, layout)[0])
    found = filling_from(layout, site, fixed, shown, money=6.9)
    assert sum(found.filling.facings.values()) == 3
    assert sum(e.facings for e in found.dropped) == layout.claims.facings - 3
    assert all("budget" in each.why for each in found.dropped)


def test_a_place_off_the_grid_is_told() -> None:
    """A cabinet 10 mm off the step has no position of its own, nor have its goods."""
    off = CAB.model_copy(update={"x_mm": 610.0, "offset_mm": 610.0})
    layout = shelf(6).model_copy(update={"placements": (off,)})
    _, problem, _ = ready(build.scenario())
    floor, lost = floor_from(problem, layout)
    assert floor.chosen == ()
    assert [each.tag for each in lost] == ["F7"]


def test_islands_of_a_row_are_found_together() -> None:
    """Two tables side by side, the second off every step, are one position: their row."""
    table = build.fixture(
        "gon",
        kind="gondola",
        width=build.mm(1050.0),
        height=build.mm(1200.0),
        stands=["island"],
        faces=[build.face(side="front"), build.face(side="back")],
    )
    given = build.scenario(fixtures=[table], width=9000.0, depth=9000.0)
    site = Site(given)
    found = candidates(site, 1, Spacing(rows=ROWS))
    problem = floor_problem(site, found, [])
    row = next(i for i, c in enumerate(found) if c.row == 2)
    both = tuple(
        place.model_copy(update={"id": f"F{n}"})
        for n, place in enumerate(side_by_side(site, found[row]))
    )
    layout = shelf(1).model_copy(update={"placements": both, "blocks": ()})
    floor, lost = floor_from(problem, layout)
    assert lost == ()
    assert floor.chosen == (row,)
    one = layout.model_copy(update={"placements": both[1:]})
    assert [each.tag for each in floor_from(problem, one)[1]] == ["F1"]


def test_goods_go_with_a_fixture_that_moves() -> None:
    """On another place of the same kind of cabinet the goods are found again."""
    site, problem, shown = ready(build.scenario())
    elsewhere = CAB.model_copy(update={"x_mm": 900.0, "offset_mm": 900.0})
    floor, _ = floor_from(problem, shelf(6).model_copy(update={"placements": (elsewhere,)}))
    found = filling_from(shelf(6), site, fix(problem, floor), shown)
    assert sum(found.filling.facings.values()) == 6


def test_fixtures_are_paired_where_they_stand_then_by_distance() -> None:
    """One that stands still is not taken for its moved neighbour, though that is as near."""
    a = CAB.model_copy(update={"id": "A"})
    b = CAB.model_copy(update={"id": "B", "x_mm": 1600.0})
    new = [
        b.model_copy(update={"id": "X"}),
        a.model_copy(update={"id": "Y", "x_mm": 2600.0}),
        a.model_copy(update={"id": "Z", "fixture": "other"}),
    ]
    assert paired([a, b], new) == {"A": "Y", "B": "X"}


@pytest.mark.parametrize(("by", "same"), [(0.0099, True), (0.011, False)])
def test_the_same_place(by: float, same: bool) -> None:
    """Places within the tolerance are one, just beyond it they are two."""
    assert same_place(CAB, CAB.model_copy(update={"x_mm": 600.0 + by})) is same
    assert same_place(CAB, CAB.model_copy(update={"angle_deg": 360.0}))
    assert not same_place(CAB, CAB.model_copy(update={"angle_deg": 90.0}))


@pytest.mark.parametrize(("wanted", "found"), [(0, True), (1, False)])
def test_what_is_left_of_a_floor_is_taken_up_where_as_much_stands_as_is_wanted(
    wanted: int, found: bool
) -> None:
    """Goods stay where they are; a floor with less than is wanted is none."""
    brief = {"wanted": [{"fixture": "cab", "at_least": wanted, "at_most": None}]}
    given = build.scenario([build.line("jar", max_facings=20)], brief=brief)
    _, problem, shown = ready(given)
    full = taken_up(problem, shown, shelf(3))
    assert full is not None
    less = left_of(full, shelf(2))
    assert less is not None
    assert sum(less.filling.facings.values()) == 2
    assert less.fixed.placements == full.fixed.placements
    bare = shelf(2).model_copy(update={"placements": (), "blocks": ()})
    assert (left_of(full, bare) is not None) is found


def test_what_is_left_of_a_floor_may_cost_more_than_there_is() -> None:
    """What it costs is for whoever took things out to look at."""
    given = build.scenario([build.line("jar", max_facings=20)])
    _, problem, shown = ready(given)
    full = taken_up(problem, shown, shelf(3))
    assert full is not None
    _, poor, _ = ready(build.scenario([build.line("jar", max_facings=20)], brief={"budget": 0.01}))
    assert taken_up(poor, shown, shelf(3)) is None
    less = left_of(replace(full, problem=poor), shelf(3))
    assert less is not None
    assert less.filler.allowed(less.filling)
