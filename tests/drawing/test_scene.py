"""Lettering keeps apart, and every drawing holds what it should."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Polygon, STRtree, box

from drawing import build
from shopfit.drawing import PAGES, island_scenes, plan_scene, wall_scenes
from shopfit.drawing.desk import Desk
from shopfit.drawing.dimension import spread, upright
from shopfit.drawing.elevation import wall_parts
from shopfit.drawing.labels import Labels
from shopfit.drawing.lettering import SMALL, shorten, width, wrap
from shopfit.drawing.planlabels import floor_names
from shopfit.drawing.scene import Arc, Group, Line, Scene, Shape, Strokes, Text, flat
from shopfit.model.shell import Overhead


def crossings(scene: Scene) -> list[tuple[str, str]]:
    boxes = scene.label_boxes()
    tree = STRtree([shape for _, shape in boxes])
    return [
        (text.text, boxes[other][0].text)
        for index, (text, shape) in enumerate(boxes)
        for other in tree.query(shape)
        if other > index and shape.intersection(boxes[other][1]).area > 1e-6
    ]


@pytest.mark.parametrize("shop", ["narrow", "corner"])
@pytest.mark.parametrize("page", sorted(PAGES))
def test_no_lettering_crosses_on_plan_walls_and_islands(shop, page, request, findings):
    """Whoever reads a drawing on any paper can tell every label from its neighbours."""
    scenario, layout = request.getfixturevalue(shop)
    paper = PAGES[page]
    scenes = [plan_scene(scenario, layout, findings, paper)]
    scenes += wall_scenes(scenario, layout, findings, paper).values()
    scenes += island_scenes(scenario, layout, paper).values()
    assert {scene.title: crossings(scene) for scene in scenes if crossings(scene)} == {}


@pytest.mark.parametrize("made", ["narrow_set", "corner_set"])
def test_no_lettering_crosses_on_finished_sheets(made, request):
    """Tables, title block and scale bar keep clear of the drawing and of each other."""
    for sheet in request.getfixturevalue(made).sheets:
        assert crossings(sheet.scene) == [], sheet.file


@pytest.mark.parametrize("made", ["narrow_set", "corner_set"])
def test_every_sheet_stays_on_its_paper(made, request):
    """Nothing is drawn where a printer does not print."""
    for sheet in request.getfixturevalue(made).sheets:
        west, south, east, north = sheet.scene.bounds()
        assert west >= 8.9, sheet.file
        assert south >= 8.9, sheet.file
        assert east <= sheet.page.width - 8.9, sheet.file
        assert north <= sheet.page.height - 8.9, sheet.file


@pytest.mark.parametrize("made", ["narrow_set", "corner_set"])
def test_lettering_is_at_least_two_millimetres_high(made, request):
    """Capitals, not only the body of the type, measure 2 mm on paper."""
    sizes = [t.size for s in request.getfixturevalue(made).sheets for t in s.scene.texts()]
    assert min(sizes) * 0.718 >= 2.0


@pytest.mark.parametrize("shop", ["narrow", "corner"])
def test_every_tag_stands_once_on_the_plan(shop, request):
    """A carpenter finds each fixture and each run of the schedule exactly once."""
    scenario, layout = request.getfixturevalue(shop)
    words = [text.text for text in plan_scene(scenario, layout).texts()]
    tags = [p.id for p in layout.placements] + [run.id for run in layout.runs]
    assert {tag: words.count(tag) for tag in tags} == dict.fromkeys(tags, 1)


def test_the_tag_of_a_run_stands_on_no_dimension(narrow):
    """Where fixtures meet at the middle of a run, its tag is behind the wall and off the line."""
    scenario, layout = narrow
    run = next(run for run in layout.runs if run.wall == "north")
    edge = next(p.offset_mm for p in layout.placements if p.wall == "north" and p.offset_mm > 600)
    moved = run.model_copy(update={"from_mm": edge - 600, "to_mm": edge + 600, "over": ()})
    scene = plan_scene(scenario, layout.model_copy(update={"runs": (moved,)}))
    (measured,) = [layer.items for layer in scene.layers if layer.name == "dimensions"]
    lines = [LineString([i.start, i.end]) for i in flat(measured) if isinstance(i, Line)]
    (tag,) = [shape for words, shape in scene.label_boxes() if words.text == run.id]
    assert not any(tag.intersects(line) for line in lines)
    room = Polygon(scenario.shop.rooms[0].corners)
    assert tag.distance(room) > 0


def test_what_hangs_over_the_floor_is_drawn_with_its_height(narrow):
    """A beam is outlined and named with its lower edge, off its own line, and in the key."""
    scenario, layout = narrow
    corners = [("4 m", "0 m"), ("4 m", "2 m"), ("4.3 m", "2 m"), ("4.3 m", "0 m")]
    beam = Overhead.model_validate({"id": "beam", "corners": corners, "bottom": "80 in"})
    shop = scenario.shop.model_copy(update={"overheads": (beam,)})
    scene = plan_scene(scenario.model_copy(update={"shop": shop}), layout)
    drawn = next(group for group in scene.groups() if group.tag == "beam")
    outline = Polygon(drawn.items[0].points)
    assert outline.equals(box(4000, 0, 4300, 2000))
    (name,) = [shape for words, shape in scene.label_boxes() if words.text == "beam at 6' 8\""]
    assert not name.intersects(outline.exterior)
    assert any("overhead" in cell for table in scene.tables for row in table.rows for cell in row)


def test_a_double_door_is_drawn_with_two_leaves(narrow):
    """Each leaf swings as wide as it is, not one as wide as the opening."""
    scenario, layout = narrow
    front = scenario.shop.doors[0].model_copy(update={"swing": "out"})
    for leaves in (1, 2):
        door = front.model_copy(update={"leaves": leaves})
        shop = scenario.shop.model_copy(update={"doors": (door, *scenario.shop.doors[1:])})
        scene = plan_scene(scenario.model_copy(update={"shop": shop}), layout)
        (drawn,) = [layer for layer in scene.layers if layer.name == "doors"]
        arcs = [item.radius for item in flat(drawn.items[:1]) if isinstance(item, Arc)]
        assert arcs == pytest.approx([front.width / leaves] * leaves)


def test_every_fixture_is_tagged_once_over_the_parts_of_a_split_wall(narrow_set, narrow):
    """A fixture cut by a match line is still one fixture."""
    _, layout = narrow
    words = [
        t.text for s in narrow_set.sheets if s.file.startswith("wall-") for t in s.scene.texts()
    ]
    tags = [p.id for p in layout.placements]
    assert {tag: words.count(tag) for tag in tags} == dict.fromkeys(tags, 1)


def test_fixture_outlines_on_the_plan_are_their_footprints(corner):
    """The plan draws fixtures where the layout puts them, turned ones too."""
    scenario, layout = corner
    groups = {group.tag: group for group in plan_scene(scenario, layout).groups()}
    turned = next(p for p in layout.placements if p.angle_deg == 30.0)
    shape = next(item for item in groups[turned.id].items if isinstance(item, Shape))
    side = 40 * 25.4
    found = sorted(round(math.dist(a, b), 3) for a in shape.points for b in shape.points)
    assert found.count(round(side, 3)) == 8
    assert (turned.x_mm, turned.y_mm) in [(round(x, 4), round(y, 4)) for x, y in shape.points]


def test_wall_dimensions_name_every_fixture_edge(narrow):
    """Each fixture's distance from the left corner is written on its wall's elevation."""
    scenario, layout = narrow
    words = {text.text for text in wall_scenes(scenario, layout)["north"].texts()}
    assert "3' 11 1/4\"" in words
    assert "36' 11 1/4\"" in words
    assert "north: 39' 4 3/8\"" in words


def test_elevation_draws_a_bracket_mark_for_every_bracket(narrow):
    """The marks on a wall are as many as the brackets that are bought for it."""
    scenario, layout = narrow
    scene = wall_scenes(scenario, layout)["north"]
    runs = {run.id for run in layout.runs if run.wall == "north"}
    wanted = sum(
        slot.brackets for b in layout.blocks if b.host in runs for r in b.rows for slot in r.slots
    )
    drawn = sum(
        len(item.lines)
        for item in scene.items()
        if isinstance(item, Strokes) and item.pen.width == 0.35
    )
    assert drawn == wanted > 0


def test_goods_hang_below_their_groove_and_stand_on_theirs(narrow):
    """Hung goods are drawn under the high groove, standing ones over the low groove."""
    scenario, layout = narrow
    groups = {g.tag: g for g in wall_scenes(scenario, layout)["north"].groups()}
    runs = {run.id: run for run in layout.runs if run.wall == "north"}
    seen = set()
    for block in (b for b in layout.blocks if b.host in runs):
        first = runs[block.host].first_groove_mm
        for number, row in enumerate(block.rows, start=1):
            for index, slot in enumerate(row.slots, start=1):
                goods = next(
                    i for i in groups[f"{block.id}.{number}.{index}"].items if isinstance(i, Shape)
                )
                low = min(y for _, y in goods.points)
                high = max(y for _, y in goods.points)
                assert high - low == pytest.approx(scenario.line(slot.line).height)
                if slot.way == "hook":
                    assert high == pytest.approx(first + (row.high_groove - 1) * 76.2 - 12.7)
                else:
                    assert low > first + (row.low_groove - 1) * 76.2
                seen.add(slot.way)
    assert seen >= {"hook", "cradle", "shelf"}


def test_every_slot_is_lettered_numbered_or_listed(corner_set, corner):
    """No line of the range is lost between drawing and key."""
    _, layout = corner
    words = " ".join(
        t.text
        for s in corner_set.sheets
        if s.file.startswith(("wall", "islands"))
        for t in s.scene.texts()
    )
    slots = {s.line for b in layout.blocks for r in b.rows for s in r.slots}
    assert [line for line in sorted(slots) if line not in words] == []


def test_findings_are_numbered_at_their_place_and_listed(narrow, findings):
    """A finding with a place has its number there; one without is listed all the same."""
    scene = plan_scene(*narrow, findings)
    marks = next(layer for layer in scene.layers if layer.name == "findings")
    first = next(item for item in marks.items if isinstance(item, Group))
    text = next(item for item in flat(first.items) if isinstance(item, Text))
    assert text.text == "1"
    assert math.dist(text.at, (3000, 1200)) < 12 * scene.scale
    assert len(marks.items) == 2
    listed = next(table for table in scene.tables if table.title == "Findings")
    assert [row[0] for row in listed.rows] == ["1", "2", "3"]


@given(st.lists(st.floats(0, 200), min_size=1, max_size=30), st.floats(0.5, 10))
def test_spread_keeps_order_and_gap(places, gap):
    """Marks pushed apart keep their order and never come nearer than the gap."""
    moved = spread(sorted(places), gap)
    assert all(b - a >= gap - 1e-6 for a, b in itertools.pairwise(moved))


def test_spread_leaves_alone_what_is_apart():
    """Marks that do not crowd stay where they are."""
    assert spread([0.0, 5.0, 10.0], 5.0) == [0.0, 5.0, 10.0]
    assert spread([0.0, 4.0], 5.0) == [-0.5, 4.5]


@given(st.floats(-720, 720))
def test_lettering_is_never_upside_down(angle):
    """Every direction is read from below or from the right."""
    turned, _ = upright(angle)
    assert -90 <= turned <= 90.11


def test_labels_refuse_a_taken_place_and_lead_elsewhere():
    """Lettering that finds its place taken is set beside it with a line to it."""
    labels = Labels(10.0)
    first = labels.take(Text((0, 0), "ABC"))
    assert not labels.free(Text((5, 5), "ABC"))
    line, second = labels.lead(Text((0, 0), "ABC"), (0, 0))
    assert line.start == (0, 0)
    assert not first.box(10.0).intersects(second.box(10.0))


@pytest.mark.parametrize("room", [5.0, 12.0, 40.0])
def test_shortened_and_wrapped_text_keeps_to_its_room(room):
    """Words of users, however long, stay inside their cell."""
    words = "Marine varnish and extraordinarilylongcompoundword"
    assert width(shorten(words, room, SMALL), SMALL) <= room
    assert all(width(line, SMALL) <= room for line in wrap(words, room, SMALL))


def test_large_layout_has_all_tags(corner):
    """A layout built for any shell can be drawn whole."""
    scenario, _ = corner
    layout = build.any_layout(scenario)
    scene = plan_scene(scenario, layout)
    assert {p.id for p in layout.placements} <= {group.tag for group in scene.groups()}


def test_names_of_things_on_walls_lie_over_fixtures(narrow):
    """A cabinet in front never hides the name of what is behind it."""
    scenario, layout = narrow
    layers = [layer.name for layer in wall_scenes(scenario, layout)["south"].layers]
    assert layers.index("names") > layers.index("fixtures")
    words = [text.text for text in wall_scenes(scenario, layout)["south"].texts()]
    assert words.count("thermostat T1") == 1
    assert words.count("window W1") == 1


@pytest.mark.parametrize("free", [False, True])
def test_the_north_arrow_crosses_no_lettering(narrow, free):
    """Where a name lies on its usual place the arrow moves beside it, letter and shaft."""
    scenario, layout = narrow
    desk = Desk.of(scenario, layout).at(48.0)
    usual = next(t for t in floor_names(desk) if isinstance(t, Text) and t.text == "N").at
    desk = desk.at(48.0)
    under = desk.labels.take(Text((usual[0], usual[1] - 7.0 * 48.0), "behind the counter"))
    if free:
        desk = desk.at(48.0)
    drawn = floor_names(desk)
    letter = next(t for t in drawn if isinstance(t, Text) and t.text == "N")
    shaft = next(item for item in drawn if isinstance(item, Line))
    assert (letter.at == usual) is free
    assert LineString([shaft.start, shaft.end]).intersects(under.box(48.0)) is free
    assert not desk.labels.clear(box(*LineString([shaft.start, shaft.end]).buffer(1.0).bounds))


def test_tables_of_a_split_wall_say_of_which_part_they_are(narrow):
    """Tables that find no room on their part share a sheet, and are still told apart."""
    desk = Desk.of(*narrow)
    wall = next(wall for wall in desk.shell.walls if wall.id == "south")
    _, parts = wall_parts(desk, wall, PAGES["letter"])
    titles = [table.title for scene in parts for table in scene.tables if table.rows]
    assert len(parts) > 1
    assert sum(title.startswith("Slat-wall runs, part ") for title in titles) > 1
    assert len(titles) == len(set(titles))


def test_nothing_is_lettered_over_an_outlet_behind_a_cabinet(narrow):
    """Whoever fits the cabinet sees where the outlet is, wherever along the wall that may be."""
    scenario, layout = narrow
    known = scenario.shop.obstructions[1]
    covered = []
    for offset in range(300, 11_000, 700):
        sizes = {"offset": float(offset), "width": 80.0, "bottom": 420.0, "top": 500.0}
        outlet = known.model_copy(update={"id": "n1", "kind": "outlet", **sizes})
        shop = scenario.shop.model_copy(update={"obstructions": (outlet,)})
        scene = wall_scenes(scenario.model_copy(update={"shop": shop}), layout)["south"]
        thing = next(group for group in scene.groups() if group.tag == "n1")
        place = Polygon(next(item for item in thing.items if isinstance(item, Shape)).points)
        covered += [
            text.text for text, shape in scene.label_boxes() if place.intersection(shape).area > 1.0
        ]
    assert set(covered) <= {"outlet n1"}
