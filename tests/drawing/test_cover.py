"""The cover of a set: every sheet is listed, every sign told, nothing overlaps or is cut off."""

from __future__ import annotations

import itertools
import re

import pypdfium2
import pytest

from shopfit import wording
from shopfit.checks import measured_routes
from shopfit.drawing import draw, plan_scene
from shopfit.drawing.cover import _facts
from shopfit.drawing.desk import Desk
from shopfit.drawing.scene import Text, flat
from shopfit.drawing.setoutsheet import set_out_sheets
from shopfit.quantities.takeoff import take_off
from tests.checks import build as b

PAPERS = ("letter", "tabloid", "a4", "a3")


def _texts(sheet) -> list[Text]:
    return [i for layer in sheet.scene.layers for i in flat(layer.items) if isinstance(i, Text)]


@pytest.fixture(scope="module", params=PAPERS)
def drawn(request):
    """Draw the small shop on every paper."""
    return draw(b.scenario(), b.layout(), page=request.param, date="2026-01-02")


def test_the_cover_is_first_and_lists_every_other_sheet(drawn) -> None:
    """Number and title of each sheet that follows stand on it."""
    cover, *others = drawn.sheets
    assert cover.file == "cover"
    words = [text.text for text in _texts(cover)]
    listed = {}
    for number, title in itertools.pairwise(words):
        if found := re.fullmatch(r"(\d+)(?:–(\d+))?", number):
            first, last = int(found[1]), int(found[2] or found[1])
            listed |= dict.fromkeys(range(first, last + 1), title)
    wanted = {number: sheet.scene.title for number, sheet in enumerate(others, start=2)}
    assert {number: listed.get(number) for number in wanted} == wanted


def test_signs_categories_and_cautions_are_told(drawn) -> None:
    """The carpenter finds what a line means and what to beware of."""
    told = " ".join(text.text for text in _texts(drawn.sheets[0]))
    for words in ("wall, cut", "seam between sheets", "match line", "staff zone"):
        assert words in told
    for category in b.scenario().categories:
        assert f"category {category}" in told
    for title, _ in wording.CAUTIONS:
        assert f"{title}:" in told


def test_signs_of_what_the_set_has_not_are_left_out() -> None:
    """Zones, ways and handrails are in the key where the shop or the set has them."""
    drawn = draw(b.scenario(zones=[], approach={}), b.layout(), page="letter")
    told = " ".join(text.text for text in _texts(drawn.sheets[0]))
    for words in ("staff zone", "stock zone", "overhead", "way as measured", "handrail"):
        assert words not in told
    corners = [b.mm(2000, 2000), b.mm(2000, 2200), b.mm(3000, 2200), b.mm(3000, 2000)]
    scenario = b.scenario(overheads=[{"id": "beam", "corners": corners, "bottom": "80 in"}])
    routes = measured_routes(scenario, b.layout())
    drawn = draw(scenario, b.layout(), page="letter", routes=routes)
    told = " ".join(text.text for text in _texts(drawn.sheets[0]))
    for words in ("way as measured", "staff zone", "edge of what hangs overhead"):
        assert words in told


def test_nothing_on_the_cover_overlaps_or_leaves_the_paper(drawn) -> None:
    """Boxes of lettering keep apart and stay on the sheet."""
    sheet = drawn.sheets[0]
    boxes = [text.box(1.0) for text in _texts(sheet)]
    for k, one in enumerate(boxes):
        left, low, right, top = one.bounds
        assert left >= 0
        assert low >= 0
        assert right <= sheet.page.width
        assert top <= sheet.page.height
        for other in boxes[k + 1 :]:
            assert one.intersection(other).area < 0.01


def test_the_list_of_sheets_has_the_numbers_of_their_title_blocks() -> None:
    """Where the cover takes several sheets, those that follow are numbered after them."""
    lines = [
        b.scenario().lines[0].model_copy(update={"line": f"l{k}", "category": f"c{k}"})
        for k in range(60)
    ]
    scenario = b.scenario()
    scenario = scenario.model_copy(update={"lines": (*scenario.lines, *lines)})
    found = draw(scenario, b.layout(), page="letter").sheets
    own = [sheet for sheet in found if sheet.file.startswith("cover")]
    assert len(own) > 1
    plan = next(k for k, sheet in enumerate(found, start=1) if sheet.file == "plan")
    words = [text.text for sheet in own for text in _texts(sheet)]
    assert words[words.index("Plan") - 1] == str(plan)
    block = " ".join(text.text for text in _texts(found[plan - 1]))
    assert f"sheet {plan} of {len(found)}" in block


def test_many_categories_go_on_on_sheets_of_their_own() -> None:
    """Sixty categories are all told, on more than one sheet."""
    lines = [
        b.scenario().lines[0].model_copy(update={"line": f"l{k}", "category": f"c{k}"})
        for k in range(60)
    ]
    scenario = b.scenario()
    scenario = scenario.model_copy(update={"lines": (*scenario.lines, *lines)})
    found = draw(scenario, b.layout(), page="letter").sheets
    keys = [sheet for sheet in found if sheet.file.startswith("cover")]
    assert len(keys) > 1
    told = " ".join(text.text for sheet in keys for text in _texts(sheet))
    assert all(f"category c{k}" in told for k in range(60))


def test_a_wall_prints_at_the_scale_that_is_named(drawn) -> None:
    """Dimension lines of the whole room, measured in the document, are its size over the scale.

    Measured by another library, in points of 1/72 in (ISO 32000-1, 8.3.2.3, from memory).
    """
    number = next(k for k, sheet in enumerate(drawn.sheets) if sheet.file == "plan")
    sheet = drawn.sheets[number]
    assert sheet.scale is not None
    page = pypdfium2.PdfDocument(drawn.files["drawings.pdf"])[number]
    wanted = (b.WIDTH / sheet.scale, b.DEPTH / sheet.scale)
    boxes = [obj.get_bounds() for obj in page.get_objects()]
    sizes = [((r - x) / 72 * 25.4, (t - y) / 72 * 25.4) for x, y, r, t in boxes]
    # The overall dimensions: lines as long as the room, but for half a pen at each end.
    for along, size in enumerate(wanted):
        found = [each for each in sizes if each[1 - along] < 0.3 and 0 <= each[along] - size < 0.3]
        assert found


@pytest.mark.parametrize("paper", PAPERS)
def test_the_set_out_is_printed_with_every_bracket(paper: str) -> None:
    """Each line, groove, fixing and covered thing is found in the document."""
    lists = take_off(b.scenario(), b.layout())
    document = pypdfium2.PdfDocument(set_out_sheets(b.scenario(), b.layout(), lists, paper))
    text = " ".join(page.get_textpage().get_text_range() for page in document)
    for row in lists.set_out:
        assert f"{row.line} ×{row.facings}" in text
    for row in lists.fixings:
        assert f"{row.run}.{row.piece}" in text
    assert "left end of N, at W" in text


def test_one_of_a_thing_is_told_as_one() -> None:
    """On the cover and in what the plan is about; thousands keep their comma."""
    layout = b.layout()
    claims = layout.claims.model_copy(update={"facings": 1, "units": 1234})
    few = {"placements": layout.placements[:1], "runs": (), "blocks": (), "cuts": ()}
    one = layout.model_copy(update={**few, "claims": claims})
    told = _facts(Desk.of(b.scenario(), one))
    assert told.startswith("1 facing, 1,234 units held, 1 fixture, 0 slat-wall runs")
    assert "1 fixture and 0 slat-wall runs" in plan_scene(b.scenario(), one).about
