"""The way in and the ways through the shop, as sheets of the set."""

from __future__ import annotations

import itertools
import math
from functools import cache

import pytest
from shapely import LineString, Point, Polygon
from shapely.ops import unary_union

from shopfit import outputs, planning
from shopfit.checks import measured_routes
from shopfit.drawing import PAGES, draw, draw_plan, style
from shopfit.drawing.approachplan import plan_of_approach
from shopfit.drawing.approachsection import section_of_steps
from shopfit.drawing.approachsheet import approach_sheets
from shopfit.drawing.approachtold import Told, told_tables
from shopfit.drawing.desk import Desk
from shopfit.drawing.scene import Arc, Line, Shape, Text, flat
from shopfit.drawing.waysplan import ways_scene
from shopfit.geometry.wayin import risers, treads
from shopfit.model.approach import Approach, Steps
from shopfit.model.scenario import Scenario
from tests.checks import build as b

LEAST_CAPITALS = 2.0
INCH = 25.4


def ramp(name: str = "ramp") -> dict[str, object]:
    """Give a run of 7 in at 1:12, as shop.yaml tells it."""
    landing = {"length": "60 in", "width": "60 in"}
    return {
        "id": name,
        "rise": "7 in",
        "run": "84 in",
        "width": "40 in",
        "handrails": True,
        "edge_protection": True,
        "top": landing,
        "bottom": landing,
    }


def steps(count: int = 3, **more: object) -> dict[str, object]:
    """Give a flight of steps, as shop.yaml tells it."""
    return {"count": count, "riser": "7 in", "tread": "11 in", "width": "48 in", **more}


def approached(**told: object) -> Scenario:
    """Give the small shop with a way in."""
    scenario = b.scenario()
    shop = scenario.shop.model_copy(update={"approach": Approach.model_validate(told)})
    return scenario.model_copy(update={"shop": shop})


WIDE = {"length": "60 in", "width": "86 in"}
WAYS_IN: dict[str, dict[str, object]] = {
    "ramp": {"floor_above_grade": "7 in", "ramps": [ramp()]},
    "two runs": {
        "floor_above_grade": "14 in",
        "ramps": [ramp("upper"), ramp("lower")],
        "handrail": {"height": "36 in"},
    },
    "switchback": {
        "floor_above_grade": "14 in",
        "ramps": [
            {**ramp("upper"), "leaves": "left", "bottom": WIDE},
            {**ramp("lower"), "leaves": "back right", "set_off": "6 in", "top": WIDE},
        ],
        "handrail": {"height": "36 in", "beyond_ramp": "12 in"},
        "steps": steps(2, leaves="right", level="12 in"),
    },
    "steps": {"floor_above_grade": "21 in", "steps": steps()},
    "both": {"floor_above_grade": "7 in", "ramps": [ramp()], "steps": steps(1)},
    "neither": {"floor_above_grade": "7 in"},
}


def drawn_set(scenario, page="letter"):
    layout = b.layout()
    routes = measured_routes(scenario, layout)
    return draw(scenario, layout, (), page=page, date="2026-01-02", routes=routes)


@cache
def level_set():
    """Draw the set of the shop that lies as high as the ground, once."""
    return drawn_set(approached(floor_above_grade="0 in"))


def way_in_words(**told: object) -> str:
    """Give what is written on the first sheet of a way in."""
    return words_of(approach_sheets(Desk.of(approached(**told), b.layout()), PAGES["letter"])[0])


def words_of(sheet) -> str:
    return " ".join(text.text for text in sheet.scene.texts())


@pytest.mark.parametrize("name", WAYS_IN)
@pytest.mark.parametrize("page", ["letter", "a3"])
def test_sheets_of_ways_read_at_print(name: str, page: str) -> None:
    """Lettering is 2 mm high or more, on the paper, and none lies over other lettering."""
    found = drawn_set(approached(**WAYS_IN[name]), page).sheets
    own = [sheet for sheet in found if sheet.file.startswith(("approach", "ways"))]
    assert {"approach", "ways"} <= {sheet.file for sheet in own}
    for sheet in own:
        texts = [
            i for layer in sheet.scene.layers for i in flat(layer.items) if isinstance(i, Text)
        ]
        assert min(text.size * 0.718 for text in texts) >= LEAST_CAPITALS
        boxes = [(text.text, text.box(1.0)) for text in texts]
        for (one, a), (other, c) in itertools.combinations(boxes, 2):
            assert a.intersection(c).area < 0.02, (sheet.file, one, other)
        for text, box in boxes:
            west, south, east, north = box.bounds
            assert min(west, south) >= 0, text
            assert east <= sheet.page.width, text
            assert north <= sheet.page.height, text


def test_a_level_way_in_needs_no_sheet() -> None:
    """Where the floor lies as high as the ground nothing is built outside."""
    files = level_set().files
    assert "approach.svg" not in files
    assert "ways.svg" in files


def test_parts_follow_one_another_down_to_the_ground() -> None:
    """Landing, run, landing, run, landing: each begins where the one before ends."""
    told = Told.of(Desk.of(approached(**WAYS_IN["two runs"]), b.layout()))
    assert told is not None
    assert [part.kind for part in told.way] == ["head", "run", "between", "run", "foot"]
    heights = [(part.top_mm, part.bottom_mm) for part in told.way]
    assert heights[0][0] == pytest.approx(14 * INCH)
    for before, after in itertools.pairwise(heights):
        assert before[1] == pytest.approx(after[0])
    assert heights[-1][1] == pytest.approx(0.0)
    assert sum(part.length_mm for part in told.way) == pytest.approx((3 * 60 + 2 * 84) * INCH)
    assert told.left_over() == pytest.approx(0.0)


@pytest.mark.parametrize(
    ("floor", "said"),
    [
        ("7 in", None),
        ("7 1/16 in", None),
        ("7 1/8 in", 'climb 1/8" less'),
        ("9 in", 'climb 2" less'),
        ("5 in", 'climb 2" more'),
    ],
)
def test_a_ramp_that_does_not_reach_is_said(floor: str, said: str | None) -> None:
    """What the runs leave of the height of the floor is told, once it is more than a hair."""
    words = way_in_words(floor_above_grade=floor, ramps=[ramp()])
    assert ("the ramps climb" in words) is (said is not None)
    if said:
        assert said in words


def test_what_is_not_told_is_not_made_up() -> None:
    """Without a ramp and steps the sheet says so, and how to find one that fits."""
    words = way_in_words(**WAYS_IN["neither"])
    assert "no ramp and no steps are told" in words
    assert "handrail" not in words
    assert "1:12" not in words


def test_steps_measured_one_by_one_are_drawn_so() -> None:
    """Risers and treads that were measured count; where too few were, all are alike."""
    each = {"risers": ["170 mm", "180 mm", "175 mm"], "treads": ["280 mm", "285 mm"]}
    uneven = Steps.model_validate(steps(3, **each))
    assert (risers(uneven), treads(uneven)) == ((170.0, 180.0, 175.0), (280.0, 285.0))
    few = Steps.model_validate(steps(3, risers=["170 mm"], treads=["280 mm"]))
    assert risers(few) == (few.riser,) * 3
    assert treads(few) == (few.tread,) * 2


def test_steps_off_a_landing_begin_at_its_edge_and_not_at_the_wall() -> None:
    """The wall is drawn where steps leave the door, and level floor before them is kept."""
    desk = Desk.of(approached(**WAYS_IN["switchback"]), b.layout())
    off = section_of_steps(Told.of(desk), desk, 48.0)
    (edge,) = [layer for layer in off.layers if layer.name == "building"]
    assert not any(isinstance(item, Shape) and item.fill == style.WALL for item in edge.items)
    (body,) = [layer for layer in off.layers if layer.name == "ramp"]
    outline = next(item.points for item in body.items if isinstance(item, Shape))
    assert outline[:2] == tuple(pytest.approx((at * INCH, 14 * INCH)) for at in (0, 12))
    desk = Desk.of(approached(**WAYS_IN["steps"]), b.layout())
    from_door = section_of_steps(Told.of(desk), desk, 48.0)
    (wall,) = [layer for layer in from_door.layers if layer.name == "building"]
    assert any(isinstance(item, Shape) and item.fill == style.WALL for item in wall.items)


@pytest.mark.parametrize("name", ["switchback", "steps"])
def test_arrows_point_up_as_steps_and_the_key_say(name: str) -> None:
    """Nobody reads "3 up" beside an arrow that goes down; the plan of the shop does as much."""
    desk = Desk.of(approached(**WAYS_IN[name]), b.layout())
    told = Told.of(desk)
    scene = plan_of_approach(told, desk, 48.0)
    (ways,) = [layer for layer in scene.layers if layer.name == "ways"]
    lines = [item for item in ways.items if isinstance(item, Line)]
    sloped = [part for part in told.parts if part.kind in ("run", "steps")]
    assert len(lines) == len(sloped)
    for line, part in zip(lines, sloped, strict=True):
        down = math.radians(part.heading_deg)
        (x0, y0), (x1, y1) = line.start, line.end
        assert (x1 - x0) * math.cos(down) + (y1 - y0) * math.sin(down) < 0
    assert any(text.text.endswith(" up") for text in scene.texts())
    (key,) = scene.tables
    assert ("arrows", "point up slopes and steps") in key.rows


@pytest.mark.parametrize("swing", ["in", "out"])
@pytest.mark.parametrize(("leaf", "wide"), [(None, (450.0, 450.0)), (600.0, (600.0, 300.0))])
def test_a_double_door_is_drawn_with_two_leaves_from_outside(swing, leaf, wide) -> None:
    """The leaf passed alone hangs on the side told, which lies on the other side from outside."""
    scenario = approached(**WAYS_IN["ramp"])
    two = {"leaves": 2, "leaf_width": leaf, "width": 900.0, "swing": swing, "hinge": "left"}
    doors = (scenario.shop.doors[0].model_copy(update=two), *scenario.shop.doors[1:])
    scenario = scenario.model_copy(
        update={"shop": scenario.shop.model_copy(update={"doors": doors})}
    )
    desk = Desk.of(scenario, b.layout())
    scene = plan_of_approach(Told.of(desk), desk, 48.0)
    (drawn,) = [layer for layer in scene.layers if layer.name == "building"]
    arcs = {item.centre[0]: item.radius for item in flat(drawn.items) if isinstance(item, Arc)}
    assert arcs == {450.0: pytest.approx(wide[0]), -450.0: pytest.approx(wide[1])}


def test_steps_stand_in_the_columns_of_the_parts() -> None:
    """Their tread lies along, their width across, their top at the height of the floor."""
    told = {**WAYS_IN["both"], "steps": steps(2)}
    desk = Desk.of(approached(**told), b.layout())
    table = next(iter(told_tables(Told.of(desk), desk)))
    assert table.head == ("part", "along", "across", "top at", "slope")
    assert table.rows[-1] == ("steps: 2 risers", 'tread 11"', "4' 0\"", '7"', 'riser 7"')


def test_every_way_is_listed_with_its_narrowest_place() -> None:
    """What checks measured stands on the sheet, way by way."""
    scenario = approached(floor_above_grade="0 in")
    routes = measured_routes(scenario, b.layout())
    assert routes.routes
    sheets = [s for s in level_set().sheets if s.file.startswith("ways")]
    words = " ".join(words_of(sheet) for sheet in sheets)
    desk = Desk.of(scenario, b.layout())
    for route in routes.routes:
        if route.narrowest is not None:
            assert desk.length(route.narrowest.width_mm) in words


def test_findings_are_numbered_within_the_set() -> None:
    """Their sheets are the last of the set, and the picture in the folder is one of the set."""
    scenario, layout = b.scenario(), b.layout()
    found = planning.check(scenario, layout)
    files = outputs.output_files(scenario, layout, found)
    alone = outputs.drawing_files(scenario, layout, found)
    assert files["findings.svg"] == alone["findings.svg"]
    sheets = draw(scenario, layout, found).sheets
    assert sheets[-1].file.startswith("findings")
    assert not any(s.file.startswith("findings") for s in draw(scenario, layout).sheets)


def ways_drawn():
    """Give the ways of the small shop drawn for Letter, with what they were drawn from."""
    scenario, layout = approached(floor_above_grade="0 in"), b.layout()
    routes, desk = measured_routes(scenario, layout), Desk.of(scenario, layout)
    scene = ways_scene(desk, routes, PAGES["letter"])
    return desk, routes, scene, {group.tag: group for group in scene.groups()}


def test_floor_to_turn_on_has_the_size_of_the_rulebook_and_is_free() -> None:
    """The circle drawn in full is the one asked for; nothing stands in it."""
    desk, routes, _, groups = ways_drawn()
    assert routes.turning_spaces
    taken = unary_union([desk.footprint(placed) for placed in desk.layout.placements])
    for number, space in enumerate(routes.turning_spaces, start=1):
        circle = next(item for item in groups[f"T{number}"].items if isinstance(item, Arc))
        assert 2 * circle.radius == pytest.approx(desk.rulebook.mm("turning-circle"))
        assert Point(space.at_mm).buffer(circle.radius - 1.0).intersection(taken).area == 0.0


def test_the_floor_of_the_ways_is_free_and_holds_every_way() -> None:
    """A route of the rulebook's width lies on the floor, off fixtures and in the rooms."""
    desk, routes, _, groups = ways_drawn()
    shapes = [item for item in groups["route"].items if isinstance(item, Shape)]
    band = unary_union([Polygon(shape.points, shape.holes) for shape in shapes])
    taken = unary_union([desk.footprint(placed) for placed in desk.layout.placements])
    rooms = unary_union(list(desk.shell.rooms.values()))
    assert band.intersection(taken).area < 1.0
    assert band.difference(rooms).area < 1.0
    for route in routes.routes:
        if route.kind != "staff" and len(route.line_mm) > 1:
            inside = LineString(route.line_mm).intersection(rooms)
            assert inside.difference(band.buffer(1.0)).length < 1.0


def test_narrow_places_are_tagged_on_the_plan_and_listed_with_their_ways() -> None:
    """The narrowest comes first; every way stands in the row of the place that it passes."""
    desk, routes, scene, groups = ways_drawn()
    (table,) = [each for each in scene.tables if each.title.startswith("Narrowest")]
    tags = [row[0] for row in table.rows if row[0]]
    assert tags == [f"N{number}" for number in range(1, len(tags) + 1)]
    assert set(tags) <= set(groups)
    widths = [route.narrowest.width_mm for route in routes.routes if route.narrowest is not None]
    assert table.rows[0][1] == desk.length(min(widths))
    listed = [name for row in table.rows for name in row[4].split(", ")]
    assert len(listed) == len(widths)


def test_what_was_not_checked_is_not_said_to_meet_anything() -> None:
    """Drawn without findings a set has no sheet of them; an empty list of them has."""
    scenario, layout = b.scenario(), b.layout()
    unchecked = planning.draw(scenario, layout)
    assert not any("Meets the values" in words_of(sheet) for sheet in unchecked.sheets)
    assert "findings.svg" not in unchecked.files
    assert "findings.svg" in planning.draw(scenario, layout, ()).files


def test_the_plan_can_be_drawn_alone() -> None:
    """As large as in the set, without other sheets."""
    scenario, layout = b.scenario(), b.layout()
    alone = draw_plan(scenario, layout)
    assert alone.sheets[0].file == "plan"
    assert all(sheet.file.startswith("plan") for sheet in alone.sheets)
    whole = {sheet.file: sheet for sheet in planning.draw(scenario, layout).sheets}
    assert alone.sheets[0].scene.scale == whole["plan"].scene.scale
