"""Writes sheets as one printable document at true scale."""

from __future__ import annotations

import io
import math
from collections.abc import Iterable, Sequence
from functools import cache

from reportlab.lib.colors import Color, HexColor
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from shopfit.drawing import lettering
from shopfit.drawing.scene import Arc, Group, Item, Pen, Place, Shape, Strokes, Text
from shopfit.drawing.sheet import Sheet, on_page
from shopfit.drawing.style import hatching


def pdf(sheets: Sequence[Sheet]) -> bytes:
    """Write sheets as a PDF document, one page a sheet.

    Parameters
    ----------
    sheets
        In order of printing; each page has its sheet's size.

    Returns
    -------
    The document; equal sheets give equal bytes.
    """
    stream = io.BytesIO()
    canvas = Canvas(stream, invariant=1, pageCompression=1)
    canvas.setCreator("shopfit")
    canvas.setTitle(sheets[0].scene.title if sheets else "drawings")
    for sheet in sheets:
        canvas.setPageSize((sheet.page.width * mm, sheet.page.height * mm))
        canvas.bookmarkPage(sheet.file)
        canvas.addOutlineEntry(lettering.printable(sheet.scene.title), sheet.file)
        canvas.scale(mm, mm)
        for layer in on_page(sheet.scene, sheet.page).layers:
            _draw(canvas, layer.items)
        canvas.showPage()
    canvas.save()
    return stream.getvalue()


def _draw(canvas: Canvas, items: Iterable[Item]) -> None:
    for item in items:
        if isinstance(item, Group):
            _draw(canvas, item.items)
        elif isinstance(item, Text):
            _text(canvas, item)
        elif isinstance(item, Shape):
            _shape(canvas, item)
        elif isinstance(item, Arc):
            _pen(canvas, item.pen)
            x, y, r = *item.centre, item.radius
            path = canvas.beginPath()
            path.arc(x - r, y - r, x + r, y + r, item.start, item.sweep)
            canvas.drawPath(path)
        else:
            _pen(canvas, item.pen)
            lines = item.lines if isinstance(item, Strokes) else ((item.start, item.end),)
            canvas.lines([(*a, *b) for a, b in lines])


def _shape(canvas: Canvas, shape: Shape) -> None:
    path = canvas.beginPath()
    _ring(path, shape.points, shape.closed)
    for hole in shape.holes:
        _ring(path, hole, True)
    ground = shape.fill.colour if shape.fill else None
    hatch = hatching(shape)
    if ground:
        canvas.setFillColor(_colour(ground))
    if hatch:
        if ground:
            canvas.drawPath(path, stroke=0, fill=1, fillMode=0)
        _draw(canvas, [hatch])
        ground = None
    if shape.pen:
        _pen(canvas, shape.pen)
    if shape.pen or ground:
        canvas.drawPath(path, stroke=int(shape.pen is not None), fill=int(bool(ground)), fillMode=0)


def _ring(path: object, points: Sequence[Place], closed: bool) -> None:
    path.moveTo(*points[0])  # type: ignore[attr-defined]
    for point in points[1:]:
        path.lineTo(*point)  # type: ignore[attr-defined]
    if closed:
        path.close()  # type: ignore[attr-defined]


def _text(canvas: Canvas, text: Text) -> None:
    if text.halo:
        path = canvas.beginPath()
        _ring(path, text.corners(1.0, 0.2), True)
        canvas.setFillColor(_colour("#ffffff"))
        canvas.drawPath(path, stroke=0, fill=1)
    back = {"start": 0.0, "middle": text.width / 2, "end": text.width}[text.anchor]
    cos, sin = math.cos(math.radians(text.angle)), math.sin(math.radians(text.angle))
    x, y = text.baseline
    words = canvas.beginText()
    words.setFont(lettering.BOLD if text.bold else lettering.REGULAR, text.size)
    words.setFillColor(_colour(text.colour))
    words.setTextTransform(cos, sin, -sin, cos, x - back * cos, y - back * sin)
    words.textOut(lettering.printable(text.text))
    canvas.drawText(words)


@cache
def _colour(given: str) -> Color:
    return HexColor(given)


def _pen(canvas: Canvas, pen: Pen) -> None:
    canvas.setStrokeColor(_colour(pen.colour))
    canvas.setLineWidth(pen.width)
    canvas.setDash(list(pen.dash))
