"""Sheets print true, say what they are, and come out the same every time."""

from __future__ import annotations

import itertools
import re
import time
import zlib
from base64 import a85decode
from xml.etree import ElementTree as ET

import pytest

from drawing import build
from shopfit.drawing import PAGES, draw, pdf, plan_scene, svg
from shopfit.drawing.scene import Layer, Line, Pen, Scene, Shape, Table, Text
from shopfit.drawing.sheet import Sheet, compose, fitting_scale, on_page, scale_name, table_sheets
from shopfit.drawing.titleblock import CAUTION, scale_bar
from shopfit.errors import InputFaults
from shopfit.model.layout import Placement

SVG = "{http://www.w3.org/2000/svg}"
MARK = Pen(0.777)


def page_orders(document: bytes) -> list[str]:
    """Give the drawing orders of each page."""
    return [
        zlib.decompress(a85decode(raw.strip().removesuffix(b"~>"))).decode("latin-1")
        for raw in re.findall(rb"stream\r?\n(.*?)endstream", document, re.DOTALL)
    ]


def metre(scale: float) -> Scene:
    line = Line((0.0, 0.0), (1000.0, 0.0), MARK)
    return Scene("Metre", "A line.", scale, (Layer("line", (line,)),))


@pytest.mark.parametrize("scale", [10, 24, 48, 50, 96])
def test_a_metre_prints_true_in_svg(scale):
    """1000 mm at 1:n are 1000/n mm of the picture, whose units are printed mm."""
    page = PAGES["letter"]
    root = ET.fromstring(svg(metre(scale), page))
    assert root.get("width") == "279.4mm"
    assert root.get("viewBox") == "0 0 279.4 215.9"
    path = next(p for p in root.iter(f"{SVG}path") if p.get("stroke-width") == "0.777")
    x0, _, x1, _ = map(float, re.findall(r"-?[\d.]+", path.get("d")))
    assert x1 - x0 == pytest.approx(1000 / scale, abs=1e-3)


@pytest.mark.parametrize(
    ("text", "bold", "thousandths"),
    [
        ("Ai", False, 667 + 222),
        ("Wall 4", True, 944 + 556 + 278 + 278 + 278 + 556),
        ("A", False, 0),
    ],
)
def test_lettering_is_as_wide_in_any_font_as_it_was_measured(text, bold, thousandths):
    """Where the font is not there another is drawn as wide; widths of the Core 14 metrics (AFM).

    Helvetica: A 667, i 222; Helvetica-Bold: W 944, a 556, l 278, space 278, 4 556. From memory.
    """
    items = (Text((0.0, 0.0), text, 4.0, bold=bold),)
    drawn = ET.fromstring(svg(Scene("Words", "Words.", 1, (Layer("words", items),)), PAGES["a4"]))
    (element,) = (each for each in drawn.iter(f"{SVG}text") if each.text == text)
    assert float(element.get("textLength", 0)) == pytest.approx(thousandths * 4 / 1000, abs=1e-4)


@pytest.mark.parametrize("scale", [10, 24, 48, 50, 96])
def test_a_metre_prints_true_in_pdf(scale):
    """1000 mm at 1:n are 1000/n mm of the page, whose units are 1/72 in."""
    page = PAGES["a3"]
    document = pdf([Sheet("metre", page, on_page(metre(scale), page), scale)])
    (orders,) = page_orders(document)
    (factor,) = {float(f) for f in re.findall(r"([\d.]+) 0 0 [\d.]+ 0 0 cm", orders)} - {1.0}
    x0, x1 = map(float, re.search(r"([\d.]+) [\d.]+ m ([\d.]+) [\d.]+ l", orders).groups())
    assert (x1 - x0) * factor / 72 * 25.4 == pytest.approx(1000 / scale, rel=1e-4)


@pytest.mark.parametrize(("scale", "units"), [(48, "ft-in"), (96, "in"), (50, "mm"), (20, "m")])
def test_scale_bar_is_as_long_as_it_says(scale, units):
    """The bar's printed length times the scale is the length lettered at its end."""
    items = scale_bar(scale, units, (0.0, 0.0), 60.0)
    bars = [x for item in items if isinstance(item, Shape) for x, _ in item.points]
    last = [item.text for item in items if isinstance(item, Text)][-1]
    length = (max(bars) - min(bars)) * scale
    feet = re.fullmatch(r"(\d+)' 0\"", last)
    told = {
        "ft-in": lambda: float(feet[1]) * 304.8,
        "in": lambda: float(last.removesuffix('"')) * 25.4,
        "mm": lambda: float(last.removesuffix(" mm")),
        "m": lambda: float(last.removesuffix(" m")) * 1000,
    }[units]()
    assert length == pytest.approx(told)


def test_the_plan_on_its_sheet_is_at_the_scale_it_names(corner, corner_set):
    """The outline of a fixture on the finished sheet is its size over the named scale."""
    sheet = next(each for each in corner_set.sheets if each.file == "plan")
    group = next(g for g in sheet.scene.groups() if g.tag == "F31")
    shape = next(item for item in group.items if isinstance(item, Shape))
    xs = [x for x, _ in shape.points]
    assert max(xs) - min(xs) == pytest.approx(60 * 25.4 / sheet.scale)
    words = [text.text for text in sheet.scene.texts()]
    assert f"Scale {scale_name(sheet.scale, 'mm')}" in words


def test_scale_just_fits_and_just_does_not():
    """The largest usual scale is taken up to the last hundredth of a millimetre."""
    assert fitting_scale(4800.0, 10.0, (100.0, 100.0), "ft-in") == 48
    assert fitting_scale(4800.1, 10.0, (100.0, 100.0), "ft-in") == 64
    assert fitting_scale(5000.0, 10.0, (100.0, 100.0), "mm") == 50
    assert fitting_scale(1e7, 10.0, (100.0, 100.0), "mm") == 1000


def test_every_sheet_carries_its_title_block(narrow_set):
    """Each sheet names shop, scenario, revision, date, its number, and the caution."""
    for number, sheet in enumerate(narrow_set.sheets, start=1):
        words = " ".join(text.text for text in sheet.scene.texts())
        for wanted in ("Towpath Sundries", "Scenario narrow", "Revision 5f0c19d2a7e8"):
            assert wanted in words, sheet.file
        assert f"Date 2025-03-01; sheet {number} of {len(narrow_set.sheets)}" in words
        assert CAUTION in words, sheet.file


def test_markup_in_names_is_only_text():
    """A shop called like a script tag stays text in the picture, and runs nothing."""
    scenario = build.narrow_shop(name="<script>alert('1')</script> & \"Sons\" \x07")
    made = draw(scenario, build.narrow_layout(scenario))
    for name, data in made.files.items():
        if name.endswith(".svg"):
            root = ET.fromstring(data.decode())
            kinds = {node.tag.removeprefix(SVG) for node in root.iter()}
            assert kinds <= {"svg", "title", "desc", "rect", "g", "path", "circle", "text"}, name
            assert not [k for node in root.iter() for k in node.attrib if k.startswith("on")]
            assert b"<script" not in data
            assert b"href" not in data
    assert b"&lt;script&gt;alert" in made.files["plan.svg"]


def test_svg_speaks_to_those_who_do_not_see_it(narrow_set):
    """The picture has a role, a title, a description, and a title for each thing in it."""
    root = ET.fromstring(narrow_set.files["plan.svg"].decode())
    assert root.get("role") == "img"
    assert root.find(f"{SVG}title").text == "Plan"
    assert "24 fixtures" in root.find(f"{SVG}desc").text
    tagged = {g.get("data-tag"): g for g in root.iter(f"{SVG}g") if g.get("data-tag")}
    assert {f"F{k}" for k in range(1, 25)} <= set(tagged)
    assert tagged["F1"].find(f"{SVG}title").text.startswith("F1: Base cabinet 36, 3' 0\"")


def test_pdf_has_a_page_of_the_right_size_for_every_sheet(narrow_set):
    """Printed at 100 per cent, every page is its paper."""
    document = narrow_set.files["drawings.pdf"]
    boxes = re.findall(rb"/MediaBox \[ 0 0 ([\d.]+) ([\d.]+) \]", document)
    assert len(boxes) == len(narrow_set.sheets)
    for (width, height), sheet in zip(boxes, narrow_set.sheets, strict=True):
        assert float(width) == pytest.approx(sheet.page.width * 72 / 25.4, abs=0.01)
        assert float(height) == pytest.approx(sheet.page.height * 72 / 25.4, abs=0.01)
    assert {sheet.page.name for sheet in narrow_set.sheets} == {"letter"}


def test_pdf_text_is_text(narrow_set):
    """Tags can be searched for and copied."""
    orders = page_orders(narrow_set.files["drawings.pdf"])
    plan = next(k for k, sheet in enumerate(narrow_set.sheets) if sheet.file == "plan")
    assert "(F24) Tj" in orders[plan]


def test_equal_layouts_give_equal_bytes(corner, corner_set, findings):
    """A drawing changes only when what it shows changes."""
    again = draw(*corner, findings, date="2025-03-01")
    assert again.files == corner_set.files


def test_paper_follows_the_units_and_the_choice(corner, narrow):
    """Inches ask for Letter, Tabloid for a plan too small on it; a choice of paper holds."""
    assert draw(*corner, page="a3").sheets[1].page.name == "a3"
    made = draw(*narrow)
    plan = next(sheet for sheet in made.sheets if sheet.file == "plan")
    assert plan.page.name == "tabloid"
    assert {s.page.name for s in made.sheets if s.file.startswith("wall")} == {"letter"}


def test_long_wall_is_split_at_match_lines(narrow_set):
    """A wall too long for its scale goes on over sheets, and says where."""
    parts = [s for s in narrow_set.sheets if s.file.startswith("wall-north") and s.scale]
    assert len(parts) > 1
    assert all(sheet.scale <= 48 for sheet in parts)
    for first, second in itertools.pairwise(parts):
        ends = [t.text for t in first.scene.texts() if t.text.startswith("match line")]
        starts = [t.text for t in second.scene.texts() if t.text.startswith("match line")]
        assert ends[-1].split(",")[0] == starts[0].split(",")[0]


def test_a_layout_with_unknown_names_is_refused_with_all_of_them(narrow):
    """Every name that does not exist is told in one pass."""
    scenario, layout = narrow
    lost = (
        Placement(id="X1", fixture="nothing", x_mm=0, y_mm=0, angle_deg=0),
        Placement(id="X2", fixture="BC-36", x_mm=0, y_mm=0, angle_deg=0, wall="nowhere"),
    )
    broken = layout.model_copy(update={"placements": (*layout.placements, *lost)})
    with pytest.raises(InputFaults) as caught:
        draw(scenario, broken)
    assert {fault.given for fault in caught.value.faults} == {"'nothing'", "'nowhere'"}


def test_tables_that_do_not_fit_go_on_to_further_sheets():
    """A long key is broken over sheets with every row once."""
    rows = tuple((str(k), f"line {k}") for k in range(400))
    scene = Scene("Long", "x", 48, metre(48).layers, (Table("Key", ("No.", "Line"), rows),))
    sheet, rest = compose([scene], PAGES["letter"], "long")
    sheets = [sheet, *table_sheets(rest, PAGES["letter"], "Long", "long")]
    words = [t.text for s in sheets for t in s.scene.texts() if t.text.startswith("line ")]
    assert words == [row[1] for row in rows]
    assert len(sheets) > 1


def test_plan_without_fixtures_is_drawn():
    """An empty shell is a drawing too."""
    scenario = build.narrow_shop()
    empty = build.Builder(scenario).layout()
    assert plan_scene(scenario, empty).scale <= 96
    assert "drawings.pdf" in draw(scenario, empty).files


def test_an_ordinary_set_is_drawn_quickly(narrow, findings):
    """24 fixtures and 400 slots take a couple of seconds of one processor, not a coffee break."""
    start = time.process_time()
    draw(*narrow, findings)
    assert time.process_time() - start < 6.0
