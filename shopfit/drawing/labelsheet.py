"""Prints shelf-edge labels, one a line, in the order of a walk along the faces."""

from __future__ import annotations

import io
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from reportlab.graphics import renderPDF
from reportlab.graphics.barcode.code128 import Code128
from reportlab.graphics.barcode.eanbc import Ean8BarcodeWidget, Ean13BarcodeWidget
from reportlab.graphics.shapes import Drawing
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from shopfit.drawing import lettering
from shopfit.model.codes import has_check_digit
from shopfit.model.layout import Layout
from shopfit.model.range import Line
from shopfit.model.scenario import Scenario
from shopfit.units import INCH_MM

# Printed mm.
MARGIN, PADDING = 12.0, 2.0
TITLE, WORDS = 3.4, lettering.SMALL
BAR, BAR_HEIGHT = 0.33, 9.0  # GS1 General Specifications: 0.33 mm is the full size; from memory
LEAST_WIDTH, LEAST_HEIGHT = 45.0, 22.0


@dataclass(frozen=True)
class LabelSize:
    """Size of a label, printed mm.

    Parameters
    ----------
    width, height
        Of the whole label.
    """

    width: float = 2.5 * INCH_MM
    height: float = 1.25 * INCH_MM


@dataclass(frozen=True)
class Label:
    """What a label says.

    Parameters
    ----------
    line
        The line that it belongs to.
    places
        Where it is shown: host, row from the lowest, and facings there.
    units
        How many it holds in all.
    """

    line: Line
    places: tuple[str, ...]
    units: int


def labels_of(scenario: Scenario, layout: Layout) -> list[Label]:
    """List a label for every line shown, in the order of blocks, rows and slots.

    Parameters
    ----------
    scenario, layout
        Which; every line of the layout is known.
    """
    places: dict[str, list[str]] = defaultdict(list)
    units: dict[str, int] = defaultdict(int)
    for block in layout.blocks:
        for number, row in enumerate(block.rows, start=1):
            for slot in row.slots:
                side = "" if block.side == "front" else f" {block.side}"
                places[slot.line].append(f"{block.host}{side}, row {number} ×{slot.facings}")
                units[slot.line] += slot.units
    return [Label(scenario.line(line), tuple(found), units[line]) for line, found in places.items()]


def codes_shared(labels: Sequence[Label]) -> list[str]:
    """Say which codes stand on labels of several lines: a till cannot tell those apart."""
    lines: dict[str, list[str]] = defaultdict(list)
    for label in labels:
        if label.line.code:
            lines[label.line.code].append(label.line.line)
    return [f"code {code} is on {', '.join(n)}" for code, n in lines.items() if len(n) > 1]


def label_sheets(
    scenario: Scenario, layout: Layout, size: LabelSize | None = None, paper: str = ""
) -> bytes:
    """Print labels as a PDF document at true scale, with marks to cut along.

    Parameters
    ----------
    scenario, layout
        Which.
    size
        Of one label.
    paper
        ``letter`` or ``a4``; by the shop's units if left out.

    Returns
    -------
    The document; the same layout gives the same bytes. A line with a code has it as bars too.

    Raises
    ------
    ValueError
        If a label is too small for its words, or larger than the paper.
    """
    label = size or LabelSize()
    page = _paper(scenario, paper)
    across = int((page[0] - 2 * MARGIN) / label.width + 1e-9)
    down = int((page[1] - 2 * MARGIN) / label.height + 1e-9)
    if label.width < LEAST_WIDTH or label.height < LEAST_HEIGHT:
        raise ValueError(f"a label is at least {LEAST_WIDTH:.0f} by {LEAST_HEIGHT:.0f} mm")
    if not across or not down:
        raise ValueError("a label is no larger than the paper")
    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=(page[0] * mm, page[1] * mm), invariant=1)
    canvas.setTitle(f"{scenario.shop.name}: labels")
    found = labels_of(scenario, layout)
    for start in range(0, max(len(found), 1), across * down):
        canvas.scale(mm, mm)
        _marks(canvas, page, label, across, down)
        for k, each in enumerate(found[start : start + across * down]):
            x = MARGIN + (k % across) * label.width
            y = page[1] - MARGIN - (k // across + 1) * label.height
            _label(canvas, each, label, x, y)
        canvas.showPage()
    canvas.save()
    return stream.getvalue()


def _paper(scenario: Scenario, paper: str) -> tuple[float, float]:
    imperial = scenario.shop.units in ("ft-in", "in")
    name = paper or ("letter" if imperial else "a4")
    return {"letter": (8.5 * INCH_MM, 11 * INCH_MM), "a4": (210.0, 297.0)}[name]


def _marks(
    canvas: Canvas, page: tuple[float, float], label: LabelSize, across: int, down: int
) -> None:
    """Draw short marks in the margins, so that no line is left on a label."""
    canvas.setLineWidth(0.1)
    top, right = page[1] - MARGIN, MARGIN + across * label.width
    for k in range(across + 1):
        x = MARGIN + k * label.width
        canvas.line(x, top + 1, x, top + 5)
        canvas.line(x, top - down * label.height - 1, x, top - down * label.height - 5)
    for k in range(down + 1):
        y = top - k * label.height
        canvas.line(MARGIN - 5, y, MARGIN - 1, y)
        canvas.line(right + 1, y, right + 5, y)


def _label(canvas: Canvas, each: Label, label: LabelSize, x: float, y: float) -> None:
    room = label.width - 2 * PADDING
    low = y + PADDING
    if each.line.code:
        low += _bars(canvas, each.line.code, x + PADDING, low, room)
    height = y + label.height - PADDING
    for text, size, bold in _words(each, room):
        height -= size * 1.15
        if height < low:
            return
        words = canvas.beginText()
        words.setFont(lettering.BOLD if bold else lettering.REGULAR, size)
        words.setTextOrigin(x + PADDING, height)
        words.textOut(lettering.printable(text))
        canvas.drawText(words)


def _words(each: Label, room: float) -> Iterator[tuple[str, float, bool]]:
    name = lettering.wrap(each.line.line, room, TITLE, bold=True)
    for text in name[:2]:
        yield text, TITLE, True
    yield lettering.shorten(f"{each.line.category}, holds {each.units}", room, WORDS), WORDS, False
    # Places come last: what is under the bars is left out.
    for text in lettering.wrap("; ".join(each.places), room, WORDS):
        yield text, WORDS, False


def _bars(canvas: Canvas, code: str, x: float, y: float, room: float) -> float:
    """Draw a code as bars, and give how high it stands, mm; codes too wide are letters alone."""
    drawing = _retail(code) if has_check_digit(code) else None
    if drawing is not None:
        canvas.saveState()
        canvas.translate(x, y)
        canvas.scale(1 / mm, 1 / mm)
        renderPDF.draw(drawing, canvas, 0, 0)
        canvas.restoreState()
        return BAR_HEIGHT + 1.0
    bars = Code128(code, barWidth=BAR, barHeight=BAR_HEIGHT - 2.5, quiet=False)
    if bars.width <= room:
        bars.drawOn(canvas, x, y + 2.5)
    words = canvas.beginText()
    words.setFont(lettering.REGULAR, WORDS)
    words.setTextOrigin(x, y)
    words.textOut(lettering.shorten(code, room, WORDS))
    canvas.drawText(words)
    return BAR_HEIGHT + 1.0 if bars.width <= room else WORDS + 1.0


def _retail(code: str) -> Drawing | None:
    """Give an article number as retail bars; 14 digits are not for the shelf."""
    if len(code) == 14:
        return None
    # A number of 12 digits has the bars of 13 with nought before it.
    kind = Ean8BarcodeWidget if len(code) == 8 else Ean13BarcodeWidget
    widget = kind(code if len(code) == 8 else code.zfill(13))
    widget.barWidth, widget.barHeight = BAR * mm, BAR_HEIGHT * mm
    left, low, right, top = widget.getBounds()
    drawing = Drawing(right - left, top - low)
    drawing.add(widget)
    return drawing
