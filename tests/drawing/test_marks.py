"""Tags, names and measures are whole and where the reader looks for them."""

from __future__ import annotations

import math

import pytest

from drawing import build
from shopfit.drawing import island_scenes, wall_scenes
from shopfit.drawing.desk import Desk
from shopfit.drawing.islandplan import away_from_walls, island_measures, island_table, measures
from shopfit.drawing.scene import Strokes, Table, Text
from shopfit.drawing.style import BEHIND
from shopfit.drawing.tables import Area, narrowed, set_tables, widths
from shopfit.drawing.wallart import tag_below
from shopfit.geometry.footprint import side_length


@pytest.fixture(scope="module")
def crowded():
    """Give a shop with blocks too narrow for the names of their categories."""
    scenario = build.narrow_shop()
    builder = build.Builder(scenario)
    builder.along("north", scenario.catalogue.fixture("BC-36"))
    builder.stock(250.0)
    return scenario, builder.layout()


def test_tags_of_blocks_are_never_cut(crowded):
    """B1 is another block than B14: a tag is whole, and the key says a category left out."""
    scenario, layout = crowded
    scene = wall_scenes(scenario, layout)["north"]
    words = [text.text for text in scene.texts()]
    key = {row[0]: row[1] for table in scene.tables for row in table.rows if row[-1] == "block"}
    assert len(key) > 10
    assert not [word for word in words if "…" in word]
    for block in layout.blocks:
        full = f"{block.id} {block.category}"
        assert words.count(full) + words.count(block.id) == 1
        assert key.get(block.id, block.category) == block.category
        assert (full in words) != (block.id in key)


def test_names_of_blocks_lie_over_all_goods(crowded):
    """The goods of a neighbour drawn later never hide a name."""
    scenario, layout = crowded
    scene = wall_scenes(scenario, layout)["north"]
    tags = {block.id for block in layout.blocks}
    for group in scene.groups():
        if group.tag in tags:
            names = [i for i in group.items if isinstance(i, Text)]
            assert names == [], group.tag


def test_tag_keeps_off_lines_drawn_downward(narrow):
    """Where a dimension line runs down from the middle of a fixture its tag stands beside it."""
    desk = Desk.of(*narrow).at(24)
    (plain,) = tag_below(desk, "F1", (0.0, 1000.0))
    assert plain.at[0] == 500.0
    (moved,) = tag_below(desk, "F2", (2000.0, 3000.0), [2500.0])
    half = moved.width / 2 * 24
    assert 2000.0 + half <= moved.at[0] <= 3000.0 - half
    assert abs(moved.at[0] - 2500.0) > half


def test_tag_with_nowhere_else_to_go_stands_in_the_middle(narrow):
    """Lines on every side of a narrow fixture do not take its tag away."""
    desk = Desk.of(*narrow).at(24)
    (text,) = tag_below(desk, "F1", (0.0, 300.0), [k * 30.0 for k in range(11)])
    assert text.at[0] == 150.0


def test_what_fixtures_hide_is_dashed(narrow):
    """An outlet behind a cabinet is shown where it is, and nothing that lies open is dashed."""
    scenario, layout = narrow
    cabinet = next(p for p in layout.placements if p.wall == "north")
    left = cabinet.offset_mm + 300
    shop = scenario.shop.model_dump(mode="json")
    shop["obstructions"].append(
        {"id": "socket", "kind": "outlet", "wall": "north", "offset": f"{left} mm"}
        | {"width": "3 in", "bottom": "15 in", "top": "19 in", "depth": "0"}
    )
    given = scenario.model_dump(mode="json") | {"shop": shop}
    scene = wall_scenes(type(scenario).model_validate(given), layout)["north"]
    dashed = [i for i in scene.items() if isinstance(i, Strokes) and i.pen == BEHIND]
    ends = {place for item in dashed for line in item.lines for place in line}
    corners = {(left, 381.0), (left + 76.2, 482.6)}
    assert corners <= {(round(x, 4), round(y, 4)) for x, y in ends}
    top = scenario.catalogue.fixture("BC-36").height
    assert max(y for _, y in ends) <= top
    shop["obstructions"][-1]["offset"] = f"{left - 300 - 76.2} mm"
    beside = wall_scenes(type(scenario).model_validate(given | {"shop": shop}), layout)["north"]
    drawn = [i for i in beside.items() if isinstance(i, Strokes) and i.pen == BEHIND]
    assert len(drawn) < len(dashed), "what only touches a cabinet is in sight"


def test_islands_are_measured_from_two_walls(corner):
    """A gondola of 1524 × 762 at (5500, 3200) in a room 12500 wide is placed by tape alone."""
    desk = Desk.of(*corner).at(50)
    island = next(p for p in away_from_walls(desk) if (p.x_mm, p.y_mm) == (5500, 3200))
    across, along = measures(desk, island)
    found = {(m.side, m.wall): m.length for m in (*across, *along)}
    assert found["left", "W"] == pytest.approx(5500.0)
    assert found["right", "E"] == pytest.approx(12500 - 5500 - 1524)
    assert found["front", "S"] == pytest.approx(3200 - 762)
    assert next(m for m in across if m.side == "right").crossed, "another gondola is between"


def test_island_measures_are_written_on_the_plan(corner):
    """Every island square to the walls is measured on the plan wherever the floor is open."""
    desk = Desk.of(*corner).at(50)
    words = {item.text for item in island_measures(desk) if isinstance(item, Text)}
    clear = 0
    for placement in away_from_walls(desk):
        for options in measures(desk, placement):
            lengths = {desk.length(m.length) for m in options if m.length > 1.0 and not m.crossed}
            assert not lengths or words & lengths, placement.id
            clear += bool(lengths)
    assert clear >= 2


def test_turned_islands_are_listed_by_their_corner(corner):
    """No wall runs along a table turned by 30 degrees: the list says where its corner is."""
    table = island_table(Desk.of(*corner).at(50))
    turned = [row for row in table.rows if "turned 30" in row[-1]]
    assert [row[2] for row in turned] == ["2200 mm east, 5400 mm north"]


def test_a_table_beside_a_drawing_is_wrapped_to_fit():
    """Long cells wrap so that a table stays on the sheet of its drawing; headings are not cut."""
    long = "a cell that is much longer than anything beside the drawing has room for"
    table = Table("Reading", ("No.", "What it means"), (("1", long), ("2", "short"), ("3", long)))
    wanted = widths(table)
    room = sum(wanted) + 3.0
    assert narrowed(table, wanted, room) == wanted
    less = narrowed(table, wanted, room - 20)
    assert less is not None
    assert math.isclose(sum(less), sum(wanted) - 20)
    assert narrowed(table, wanted, 20.0) is None
    items, rest = set_tables([table], [Area(0, 0, room - 20, 100)])
    assert rest == ()
    texts = [item for item in items if isinstance(item, Text)]
    assert max(text.at[0] + text.width for text in texts) <= room - 20 + 1e-6
    assert " ".join(t.text for t in texts).count("drawing") == 2


def test_faces_narrower_than_their_side_are_measured_from_its_end(corner):
    """A case of 48 in shows 45 in: its goods begin 1.5 in from its left end, in every drawing."""
    scenario, layout = corner
    case = scenario.catalogue.fixture("GC-48")
    placed = next(p for p in layout.placements if p.fixture == "GC-48" and p.wall == "slant")
    block = next(b for b in layout.blocks if b.host == placed.id)
    scene = wall_scenes(scenario, layout)["slant"]
    group = next(group for group in scene.groups() if group.tag == block.id)
    left = min(x for x, _ in group.items[0].points)
    assert left == pytest.approx(placed.offset_mm + 38.1 + block.from_mm)
    assert side_length(case, "front") == pytest.approx(48 * 25.4)
    assert island_scenes(scenario, layout)
