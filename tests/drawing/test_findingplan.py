"""Every finding is on the findings plan by its number, and nothing on it covers anything."""

from __future__ import annotations

import itertools
import re
from xml.etree import ElementTree as ET

import pytest
from shapely import Point, Polygon

from shopfit.drawing import draw_findings
from shopfit.drawing.desk import Desk
from shopfit.drawing.findingmarks import places
from shopfit.drawing.findingplan import findings_scene
from shopfit.drawing.scene import Group, Shape, Text
from shopfit.drawing.sheet import PAGES
from shopfit.drawing.titleblock import CAUTION
from shopfit.errors import InputFaults
from shopfit.gathering import in_order
from shopfit.model.finding import Finding
from shopfit.model.layout import Placement
from shopfit.model.route import MeasuredRoute, MeasuredRoutes, NarrowPlace

LEAST_CAPITALS = 2.0  # printed mm


def finding(number: int, severity: str = "violation", **more: object) -> Finding:
    given = {"subject": "shop", "message": f"Message {number}.", **more}
    return Finding.model_validate({"code": f"code-{number}", "severity": severity, **given})


@pytest.fixture(scope="module")
def many(narrow):
    """Give findings of every kind of place, many of them at one spot."""
    _, layout = narrow
    crowd = [finding(k, at_mm=(3000.0 + 2 * k, 1200.0)) for k in range(14)]
    tagged = [
        finding(100 + k, severity, subject=f"fixture {placement.id}")
        for k, (placement, severity) in enumerate(
            zip(layout.placements, itertools.cycle(("barrier to review", "advice")), strict=False)
        )
    ]
    line = ((500.0, 1200.0), (4000.0, 1200.0))
    return (
        *crowd,
        *tagged,
        finding(200, "advice", drawn_mm=(line,)),
        finding(201, "advice", subject="run R1", wall="north"),
        finding(202, "not checked", subject="shop"),
        finding(203, "not checked", wall="north", subject="something"),
    )


@pytest.fixture(scope="module")
def scene(narrow, many):
    return findings_scene(*narrow, in_order(many), PAGES["tabloid"])


def frames(scene):
    """Give the outer frame of every mark by number."""
    found = {}
    for group in scene.groups():
        if group.tag.startswith("finding-"):
            shape = next(item for item in group.items if isinstance(item, Shape))
            found.setdefault(group.tag, []).append(Polygon(shape.points))
    return found


def test_every_finding_with_a_place_is_marked(narrow, many, scene):
    """Numbers are those of the list; what is about the whole shop has no mark but stands in it."""
    desk = Desk.of(*narrow)
    ordered = in_order(many)
    marked = frames(scene)
    for number, one in enumerate(ordered, start=1):
        assert (f"finding-{number}" in marked) == bool(places(desk, one)), one
    unplaced = [n for n, one in enumerate(ordered, start=1) if not places(desk, one)]
    assert [ordered[n - 1].code for n in unplaced] == ["code-202"]
    assert any(
        f"whole shop: {unplaced[0]}" in cell for t in scene.tables for row in t.rows for cell in row
    )


def test_marks_cover_neither_each_other_nor_lettering(scene):
    """Fourteen findings at one spot are all legible."""
    shapes = [shape for found in frames(scene).values() for shape in found]
    assert len(shapes) > 30
    for one, other in itertools.combinations(shapes, 2):
        assert one.intersection(other).area < 1e-6
    lettering = [
        item.box(scene.scale)
        for layer in scene.layers
        if layer.name != "findings"
        for item in walk(layer.items)
        if isinstance(item, Text)
    ]
    assert lettering
    for shape in shapes:
        for box in lettering:
            assert shape.intersection(box).area < 1e-6


def walk(items):
    for item in items:
        if isinstance(item, Group):
            yield from walk(item.items)
        else:
            yield item


def test_a_mark_away_from_its_place_has_a_leader(narrow, many, scene):
    """Each mark covers its place, or a line goes from the place to the mark."""
    desk = Desk.of(*narrow).at(scene.scale)
    ordered = in_order(many)
    leaders = {}
    for group in scene.groups():
        if group.tag.startswith("leader-"):
            leaders.setdefault(group.tag.removeprefix("leader-"), []).append(group.items[0])
    layers = [layer.name for layer in scene.layers]
    assert layers.index("leaders") < layers.index("findings"), "no leader strikes a number"
    for tag, shapes in frames(scene).items():
        number = tag.removeprefix("finding-")
        led = [
            (line.start, shape)
            for line in leaders.get(number, [])
            for shape in shapes
            if shape.buffer(0.6 * scene.scale).covers(Point(line.end))
        ]
        for place in places(desk, ordered[int(number) - 1]):
            inside = any(shape.buffer(1e-6).covers(Point(place)) for shape in shapes)
            assert inside or any(start == place for start, _ in led), number
    assert sum(map(len, leaders.values())) > 5


def test_walls_findings_are_marked_at_the_wall(narrow, many):
    """A finding of a run or of a wall lies within a few printed mm of that wall."""
    desk = Desk.of(*narrow).at(48)
    wall = desk.shell.wall("north")
    for one in many:
        if one.code in ("code-201", "code-203"):
            (place,) = places(desk, one)
            out = (place[0] - wall.start[0]) * wall.inward[0] + (
                place[1] - wall.start[1]
            ) * wall.inward[1]
            assert 0 <= out <= 2 * 48


def test_lines_of_findings_are_drawn(scene, many):
    """A route or a gap that a finding brings is on the plan where it says."""
    number = 1 + [one.code for one in in_order(many)].index("code-200")
    group = next(g for g in scene.groups() if g.tag == f"lines-{number}")
    assert group.items[0].points == ((500.0, 1200.0), (4000.0, 1200.0))
    assert not group.items[0].closed


def test_sheets_read_at_print(narrow, many):
    """Lettering is 2 mm high or more on every sheet, inside the frame, and does not overlap."""
    drawn = draw_findings(*narrow, many, date="2025-03-01")
    assert set(drawn.files) == {f"{s.file}.svg" for s in drawn.sheets} | {"findings.pdf"}
    assert drawn.sheets[0].file == "findings"
    for sheet in drawn.sheets:
        texts = sheet.scene.texts()
        assert min(text.size * 0.718 for text in texts) >= LEAST_CAPITALS
        boxes = [(text, text.box(1.0)) for text in texts]
        for (a, one), (b, other) in itertools.combinations(boxes, 2):
            assert one.intersection(other).area < 0.02, (sheet.file, a.text, b.text)
        for text, box in boxes:
            west, south, east, north = box.bounds
            assert west >= 0, text
            assert south >= 0, text
            assert east <= sheet.page.width, text
            assert north <= sheet.page.height, text
        assert CAUTION in " ".join(text.text for text in texts)


def test_the_list_says_everything(narrow):
    """Sentence, mend, required, measured, margin, clause and confidence are on the sheets."""
    one = finding(
        1,
        subject="F3",
        message="The aisle before F3 is narrow.",
        mend="Move F3 east.",
        required=914.4,
        measured=889.0,
        margin=-25.4,
        clause="A standard, 403.5.1",
        confidence="second-hand",
    )
    drawn = draw_findings(*narrow, [one])
    words = " ".join(text.text for sheet in drawn.sheets[1:] for text in sheet.scene.texts())
    for wanted in (one.message, one.mend, "3' 0\"", "2' 11\"", '-1"', one.clause, "second-hand"):
        assert wanted in words


def test_no_findings_still_make_a_sheet(narrow):
    """A plan that meets everything says so."""
    drawn = draw_findings(*narrow, ())
    assert [sheet.file for sheet in drawn.sheets] == ["findings"]
    words = " ".join(text.text for text in drawn.sheets[0].scene.texts())
    assert "Meets the values checked." in words


def test_unknown_names_are_refused(narrow):
    """A layout with a fixture that is not in the catalogue cannot be drawn, and says why."""
    scenario, layout = narrow
    odd = Placement(id="X1", fixture="nothing", x_mm=0, y_mm=0, angle_deg=0)
    with pytest.raises(InputFaults, match="nothing"):
        draw_findings(scenario, layout.model_copy(update={"placements": (odd,)}), ())


def test_pictures_speak_to_those_who_do_not_see_them(narrow, many):
    """Each mark has its number and message as a title in the picture."""
    drawn = draw_findings(*narrow, many)
    root = ET.fromstring(drawn.files["findings.svg"].decode())
    titles = [node.text for node in root.iter() if node.tag.endswith("title")]
    assert sum(bool(re.match(r"\d+: Message", title or "")) for title in titles) > 30


def test_ways_and_the_narrowest_place_are_drawn(narrow):
    """Ways that coincide are drawn once; across the narrowest stands its width, off all marks."""
    scenario, layout = narrow
    place = NarrowPlace(
        width_mm=900.0,
        length_mm=0.0,
        from_mm=1500.0,
        across_mm=((3000.0, 800.0), (3000.0, 1700.0)),
        between="F2 and F9",
        allowed=True,
    )
    wider = place.model_copy(update={"width_mm": 1000.0})
    line = ((500.0, 1200.0), (4000.0, 1200.0))
    routes = MeasuredRoutes(
        routes=tuple(
            MeasuredRoute(
                target=f"front {k}",
                kind="front",
                widest_mm=1000.0,
                wanted_mm=900.0,
                line_mm=line,
                length_mm=3500.0,
                narrowest=narrow_place,
            )
            for k, narrow_place in enumerate((wider, place))
        )
    )
    found = findings_scene(scenario, layout, (), PAGES["tabloid"], routes)
    groups = {group.tag: group for group in found.groups()}
    assert len(groups["routes"].items) == 1
    across = groups["narrowest"].items[0]
    assert (across.start, across.end) == place.across_mm
    assert any(isinstance(item, Text) for item in groups["narrowest"].items)
    assert "front 1" in groups["narrowest"].title
    words = [cell for table in found.tables for row in table.rows for cell in row]
    assert any("between" in cell or "F2 and F9" in cell for cell in words)
    assert not {"routes", "narrowest"} & {
        group.tag for group in findings_scene(scenario, layout, (), PAGES["tabloid"]).groups()
    }
