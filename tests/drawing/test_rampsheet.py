"""Sheets of ramps: plan and section to scale, with every part, rail, slope and height."""

from __future__ import annotations

import math
import re
from typing import Any
from xml.etree import ElementTree as ET

import pytest

from shopfit.access.answer import ramps
from shopfit.drawing.rampplan import plan_of_ramp
from shopfit.drawing.rampsection import section_of_ramp
from shopfit.drawing.rampsheet import draw_ramps
from shopfit.drawing.scene import Arc, Line, Scene, Shape, Text, flat
from shopfit.model.rampplan import Arrangement
from shopfit.model.rampsite import RampTask
from shopfit.standards import load
from shopfit.units import INCH_MM, format_length

US = load("us")
FIELD = {"corners": [["0 ft", "0 ft"], ["0 ft", "60 ft"], ["-40 ft", "60 ft"], ["-40 ft", "0 ft"]]}


def _asked(**more: Any) -> RampTask:
    given = {"rise": "14 in", "ground": {"along": "40 ft", "away": "26 ft"}, **more}
    return RampTask.model_validate({"limits": {"slopes": [12]}, **given})


def _forms(task: RampTask) -> dict[str, Arrangement]:
    found: dict[str, Arrangement] = {}
    for one in ramps(task, US).arrangements:
        found.setdefault(one.form, one)
    return found


def _words(scene: Scene) -> list[str]:
    return [text.text for text in scene.texts()]


@pytest.mark.parametrize("units", ["ft-in", "mm"])
def test_every_form_is_drawn_with_its_slopes_and_heights(units: str) -> None:
    """Each run with its slope and fall, each landing with its height, each part a group."""
    task = _asked(units=units)
    forms = _forms(task)
    assert {"straight", "L", "switchback", "U"} <= set(forms)
    for one in forms.values():
        scene = plan_of_ramp(one, task, 96)
        told = " ".join(_words(scene))
        runs = [part for part in one.parts if part.kind == "run"]
        assert told.count("1:12") == len(runs)
        for part in one.parts:
            if part.kind in ("head", "between", "turn"):
                assert f"+{format_length(part.top_mm, task.units)}" in told
        tags = {group.tag for group in scene.groups()}
        assert {part.id for part in one.parts if part.kind != "steps foot"} <= tags
        assert {rail.id for rail in one.rails} <= tags


@pytest.mark.parametrize("scale", [96, 192, 384])
def test_heights_are_never_cut_short(scale: float) -> None:
    """Where a landing has no room for its height it gets a leader: half of it is another height."""
    task = _asked(rise="30 in", ground={"along": "60 ft", "away": "30 ft"})
    for one in _forms(task).values():
        known = {f"+{format_length(part.top_mm, task.units)}" for part in one.parts} | {"+0"}
        told = [words for words in _words(plan_of_ramp(one, task, scale)) if words.startswith("+")]
        assert {words.removesuffix(" landing") for words in told} <= known


def test_a_ramp_to_a_double_door_is_drawn_to_both_its_leaves() -> None:
    """Each as wide as it is; a file may say so, as it does of the door of a shop."""
    task = _asked(door={"width": "60 in", "leaves": 2, "leaf_width": "36 in", "swing": "in"})
    one = ramps(task, US).arrangements[0]
    scene = plan_of_ramp(one, task, 96)
    (drawn,) = [layer for layer in scene.layers if layer.name == "building"]
    leaves = [item.radius for item in flat(drawn.items) if isinstance(item, Arc)]
    assert leaves == pytest.approx([36 * INCH_MM, 24 * INCH_MM])


def test_arrows_of_ramps_and_steps_point_up() -> None:
    """As the steps are labelled and as the plan of the shop is drawn."""
    task = _asked(limits={"slopes": [12], "steps": "yes"})
    one = ramps(task, US).arrangements[0]
    scene = plan_of_ramp(one, task, 96)
    (ways,) = [layer for layer in scene.layers if layer.name == "ways"]
    lines = [item for item in ways.items if isinstance(item, Line)]
    sloped = [part for part in one.parts if part.kind in ("run", "steps")]
    for line, part in zip(lines, sloped, strict=True):
        down = math.radians(part.heading_deg)
        (x0, y0), (x1, y1) = line.start, line.end
        assert (x1 - x0) * math.cos(down) + (y1 - y0) * math.sin(down) < 0
    assert any(said.endswith(" up") for said in _words(scene))
    assert ("arrows", "point up slopes and steps") in scene.tables[0].rows


def test_nothing_written_lies_on_anything_else_written() -> None:
    """On plan and section, for every form."""
    task = _asked()
    for one in _forms(task).values():
        for scene in (plan_of_ramp(one, task, 96), section_of_ramp(one, task, US, 96)):
            boxes = scene.label_boxes()
            for k, (_, first) in enumerate(boxes):
                for text, other in boxes[k + 1 :]:
                    assert first.intersection(other).area < 1.0, text.text


def test_the_section_is_as_long_as_the_way_down_and_true_to_its_slope() -> None:
    """Same scale up and along; the walking surface falls at 1 to 12 from the floor to nought."""
    task = _asked()
    one = _forms(task)["switchback"]
    scene = section_of_ramp(one, task, US, 96)
    body = next(layer for layer in scene.layers if layer.name == "ramp")
    surface = next(item for item in body.items if isinstance(item, Shape))
    parts = [part for part in one.parts if not part.kind.startswith("steps")]
    length = sum(part.length_mm for part in parts)
    xs, zs = [x for x, _ in surface.points], [z for _, z in surface.points]
    assert max(xs) == pytest.approx(length)
    assert max(zs) == pytest.approx(14 * INCH_MM)
    rail = next(layer for layer in scene.layers if layer.name == "handrails").items[0]
    assert isinstance(rail, Shape)
    up = (US.mm("handrail-low") + US.mm("handrail-high")) / 2
    assert rail.points[0][1] == pytest.approx(14 * INCH_MM + up)
    first = parts[0].length_mm
    assert rail.points[0][0] == pytest.approx(first - 12 * INCH_MM)
    assert rail.points[-1][0] == pytest.approx(length - parts[-1].length_mm + 12 * INCH_MM)


def test_a_door_that_faces_west_is_drawn_with_its_wall_at_the_top() -> None:
    """The plan is turned, lengths stay; the ramp lies below the wall, the key says so."""
    door = {"middle": ["0 ft", "30 ft"], "faces": 180}
    task = _asked(ground=FIELD, door=door)
    one = _forms(task)["straight"]
    scene = plan_of_ramp(one, task, 96)
    assert any("turned by 90" in cell for row in scene.tables[0].rows for cell in row)
    groups = {group.tag: group for group in scene.groups()}
    run = groups["run 1"].items[0]
    assert isinstance(run, Shape)
    assert all(y <= 30 * 304.8 + 0.01 for _, y in run.points)
    (ax, ay), (bx, by), (cx, cy) = run.points[:3]
    sides = sorted((math.hypot(ax - bx, ay - by), math.hypot(bx - cx, by - cy)))
    assert sides == pytest.approx([41.5 * INCH_MM, 168 * INCH_MM])


def test_sheets_carry_scale_caution_parts_and_costs() -> None:
    """One SVG an arrangement that reads as XML, and one document with all of them."""
    task = _asked(
        prices={"handrail": 38, "ramp": 24, "step": 110}, limits={"most_turns": 1, "slopes": [12]}
    )
    chosen = ramps(task, US).arrangements[:2]
    files = draw_ramps(chosen, task, US, "2026-11-25")
    assert files["ramps.pdf"].startswith(b"%PDF")
    for one in chosen:
        text = files[f"ramp-{one.id}.svg"].decode("utf-8")
        ET.fromstring(text)
        for words in ("Scale", "licensed person", "Parts, clear", "Quantities", "2026-11-25"):
            assert words in text
        sheets = [text.decode("utf-8") for name, text in files.items() if f"-{one.id}" in name]
        assert any(f"{one.cost:,.2f}" in text for text in sheets)


def test_steps_stand_in_the_columns_of_the_parts() -> None:
    """Their tread lies along, their width across; a width is no slope."""
    task = _asked()
    one = next(one for one in ramps(task, US).arrangements if one.steps is not None)
    text = draw_ramps((one,), task, US, "2026-11-25")[f"ramp-{one.id}.svg"].decode("utf-8")
    row = [one.steps.tread_mm, one.steps.width_mm, task.rise, one.steps.riser_mm]
    told = [format_length(size, task.units).replace('"', "&quot;") for size in row]
    written = re.findall(r">([^<]+)</text>", text)
    start = written.index(f"steps: {one.steps.count} risers")
    cells = [f"tread {told[0]}", told[1], told[2], f"riser {told[3]}"]
    assert [cell.replace('"', "&quot;") for cell in written[start + 1 : start + 5]] == cells


def test_a_very_long_ramp_goes_on_larger_paper() -> None:
    """Two metres of rise in one line would print too small on Letter."""
    task = _asked(
        rise="60 in", ground={"along": "10 ft", "away": "75 ft"}, limits={"most_turns": 0}
    )
    (one, *_) = ramps(task, US).arrangements
    files = draw_ramps([one], task, US)
    first = ET.fromstring(files["ramp-R1.svg"].decode("utf-8"))
    assert first.attrib["width"] == "431.8mm"
    assert all(isinstance(text, Text) for text in plan_of_ramp(one, task, 128).texts())
