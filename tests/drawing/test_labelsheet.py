"""Labels as printed: found again in the document by two independent readers.

Words are read by a PDF library, bars by a bar code reader, from the rendered page.
"""

from __future__ import annotations

import pypdfium2
import pytest
import zxingcpp

from shopfit.drawing.labelsheet import LabelSize, label_sheets, labels_of
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario
from tests.checks import build as b

# Invented numbers with their check digits.
CODES = {"mug": "2000000000015", "card": "20000011", "tag": "TAG-0042", "yarn": "200000000004"}
MM = 72 / 25.4


def _coded() -> Scenario:
    scenario = b.scenario()
    for line, code in CODES.items():
        scenario = b.relined(scenario, line, code=code)
    return scenario


def _page(data: bytes, number: int = 0) -> pypdfium2.PdfPage:
    return pypdfium2.PdfDocument(data)[number]


def test_every_line_shown_has_one_label() -> None:
    """Seven lines stand in the shop; the mug stands in two places of one row."""
    found = labels_of(b.scenario(), b.layout())
    shown = {s.line for x in b.layout().blocks for row in x.rows for s in row.slots}
    assert [each.line.line for each in found] == list(
        dict.fromkeys(each.line.line for each in found)
    )
    assert {each.line.line for each in found} == shown
    mug = next(each for each in found if each.line.line == "mug")
    assert mug.places == ("R1, row 1 ×3", "R1, row 1 ×3")
    assert mug.units == 18


def test_words_are_on_the_page() -> None:
    """Name, place and what it holds can be read."""
    text = _page(label_sheets(b.scenario(), b.layout())).get_textpage().get_text_range()
    for words in ("umbrella", "R1, row 2 ×3", "home, holds 9", "F4 back, row 1 ×2"):
        assert words in text


def test_bars_read_as_the_codes_given() -> None:
    """A reader finds each code: retail bars for article numbers, Code 128 for others."""
    image = _page(label_sheets(_coded(), b.layout())).render(scale=5).to_pil()
    read = {
        each.text.lstrip("0") if each.text.isdigit() else each.text: each.format.name
        for each in zxingcpp.read_barcodes(image)
    }
    assert set(read) == {code.lstrip("0") for code in CODES.values()}
    assert read["TAG-0042"] == "Code128"
    assert read["2000000000015"].startswith("EAN13")


def test_without_codes_there_are_no_bars() -> None:
    """A range without codes gives labels of words alone."""
    image = _page(label_sheets(b.scenario(), b.layout())).render(scale=4).to_pil()
    assert zxingcpp.read_barcodes(image) == []


@pytest.mark.parametrize(
    ("units", "width", "height"), [("ft-in", 8.5 * 25.4, 11 * 25.4), ("mm", 210.0, 297.0)]
)
def test_paper_goes_with_the_units(units: str, width: float, height: float) -> None:
    """Inches are printed on Letter, millimetres on A4 (ISO 216)."""
    page = _page(label_sheets(b.scenario(units=units), b.layout()))
    assert page.get_size() == pytest.approx((width * MM, height * MM), abs=0.1)


def test_labels_fill_page_after_page() -> None:
    """186 mm hold four labels of 45 mm across, 273 mm hold twelve of 22 mm down."""
    size = LabelSize(45.0, 22.0)
    row = b.layout().blocks[0].rows[0]
    card = b.scenario().line("card")
    lines = [card.model_copy(update={"line": f"card {k}"}) for k in range(49)]
    slots = tuple(
        row.slots[0].model_copy(update={"line": line.line, "facings": 1}) for line in lines
    )
    block = (
        b.layout().blocks[0].model_copy(update={"rows": (row.model_copy(update={"slots": slots}),)})
    )
    layout = b.layout().model_copy(update={"blocks": (block,)})
    scenario = b.scenario(units="mm").model_copy(update={"lines": tuple(lines)})
    assert len(pypdfium2.PdfDocument(label_sheets(scenario, layout, size))) == 2


@pytest.mark.parametrize("size", [LabelSize(44.9, 30.0), LabelSize(60.0, 21.9), LabelSize(300, 30)])
def test_sizes_that_cannot_be_printed_are_refused(size: LabelSize) -> None:
    """Too small for words, or larger than the paper."""
    with pytest.raises(ValueError, match="a label is"):
        label_sheets(b.scenario(), b.layout(), size)


def test_an_empty_layout_is_an_empty_page() -> None:
    """Nothing shown is a page without labels, and no failure."""
    empty = Layout(scenario="x", claims=b.layout().claims)
    assert len(pypdfium2.PdfDocument(label_sheets(b.scenario(), empty))) == 1


def test_the_same_layout_gives_the_same_document() -> None:
    """Nothing in it goes by the clock."""
    assert label_sheets(_coded(), b.layout()) == label_sheets(_coded(), b.layout())
