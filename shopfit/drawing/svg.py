"""Writes a printed scene as a scalable picture for the screen and the printer."""

from __future__ import annotations

import math
from collections.abc import Iterable
from xml.etree import ElementTree as ET

from shopfit.drawing import lettering
from shopfit.drawing.scene import (
    Arc,
    Group,
    Item,
    Pen,
    Place,
    Scene,
    Shape,
    Strokes,
    Text,
)
from shopfit.drawing.sheet import Page, on_page
from shopfit.drawing.style import hatching

_NAMESPACE = "http://www.w3.org/2000/svg"


def svg(scene: Scene, page: Page) -> str:
    """Write a scene as SVG.

    Parameters
    ----------
    scene
        In printed mm as composed on a sheet, or at full size, which is then put in the middle of
        the page at its own scale.
    page
        The sheet; its size in mm becomes the picture's size.

    Returns
    -------
    A whole XML document; it holds no script and asks for no other file.

    Source
    ------
    W3C Scalable Vector Graphics 1.1 (Second Edition), clauses 5.4, 7.7 and 10, from memory;
    ``textLength`` by clause 10.5.
    """
    drawn = on_page(scene, page)
    root = ET.Element(
        "svg",
        {
            "xmlns": _NAMESPACE,
            "width": f"{_number(page.width)}mm",
            "height": f"{_number(page.height)}mm",
            "viewBox": f"0 0 {_number(page.width)} {_number(page.height)}",
            "role": "img",
            "aria-labelledby": "drawing-title drawing-about",
            "font-family": "Helvetica, Arial, 'Liberation Sans', sans-serif",
            "stroke-linecap": "butt",
            "stroke-linejoin": "miter",
        },
    )
    ET.SubElement(root, "title", {"id": "drawing-title"}).text = _clean(drawn.title)
    ET.SubElement(root, "desc", {"id": "drawing-about"}).text = _clean(drawn.about)
    size = {"width": _number(page.width), "height": _number(page.height)}
    ET.SubElement(root, "rect", {"x": "0", "y": "0", **size, "fill": "#ffffff"})
    for layer in drawn.layers:
        group = ET.SubElement(root, "g", {"data-layer": _clean(layer.name)})
        _write(group, layer.items, page.height)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + ET.tostring(root, encoding="unicode")


def _write(parent: ET.Element, items: Iterable[Item], height: float) -> None:
    for item in items:
        if isinstance(item, Group):
            group = ET.SubElement(parent, "g", {"data-tag": _clean(item.tag)})
            ET.SubElement(group, "title").text = _clean(item.title)
            _write(group, item.items, height)
        elif isinstance(item, Text):
            _text(parent, item, height)
        elif isinstance(item, Shape):
            _shape(parent, item, height)
        elif isinstance(item, Arc):
            _arc(parent, item, height)
        else:
            lines = item.lines if isinstance(item, Strokes) else ((item.start, item.end),)
            data = "".join(f"M{_at(a, height)}L{_at(b, height)}" for a, b in lines)
            ET.SubElement(parent, "path", {"d": data, **_pen(item.pen)})


def _shape(parent: ET.Element, shape: Shape, height: float) -> None:
    rings = [_ring(shape.points, shape.closed, height)]
    rings += [_ring(hole, True, height) for hole in shape.holes]
    given = {"d": "".join(rings)}
    ground = shape.fill.colour if shape.fill else None
    hatch = hatching(shape)
    if hatch is None:
        marks = {**given, **_pen(shape.pen), "fill": ground or "none"}
        ET.SubElement(parent, "path", {**marks, "fill-rule": "evenodd"})
        return
    if ground:
        marks = {**given, "fill": ground, "fill-rule": "evenodd"}
        ET.SubElement(parent, "path", marks)
    _write(parent, [hatch], height)
    if shape.pen:
        ET.SubElement(parent, "path", {**given, **_pen(shape.pen)})


def _arc(parent: ET.Element, arc: Arc, height: float) -> None:
    x, y = arc.centre
    if abs(arc.sweep) >= 360:
        place = {"cx": _number(x), "cy": _number(height - y), "r": _number(arc.radius)}
        ET.SubElement(parent, "circle", {**place, **_pen(arc.pen)})
        return
    ends = []
    for angle in (arc.start, arc.start + arc.sweep):
        radians = math.radians(angle)
        ends.append((x + arc.radius * math.cos(radians), y + arc.radius * math.sin(radians)))
    large = int(abs(arc.sweep) > 180)
    turned = int(arc.sweep < 0)
    radius = _number(arc.radius)
    data = f"M{_at(ends[0], height)}A{radius} {radius} 0 {large} {turned} {_at(ends[1], height)}"
    ET.SubElement(parent, "path", {"d": data, **_pen(arc.pen)})


def _text(parent: ET.Element, text: Text, height: float) -> None:
    if text.halo:
        corners = _ring(text.corners(1.0, 0.2), True, height)
        ET.SubElement(parent, "path", {"d": corners, "fill": "#ffffff"})
    x, y = text.baseline
    marks = {
        "x": _number(x),
        "y": _number(height - y),
        "font-size": _number(text.size),
        "fill": text.colour,
    }
    if text.anchor != "start":
        marks["text-anchor"] = text.anchor
    if text.bold:
        marks["font-weight"] = "bold"
    if text.angle:
        turn = f"rotate({_number(-text.angle)} {_number(x)} {_number(height - y)})"
        marks["transform"] = turn
    if len(text.text) > 1:
        # Another font than the one measured is drawn as wide as that, so that nothing overlaps.
        marks["textLength"] = _number(lettering.width(text.text, text.size, text.bold))
        marks["lengthAdjust"] = "spacingAndGlyphs"
    ET.SubElement(parent, "text", marks).text = _clean(text.text)


def _pen(pen: Pen | None) -> dict[str, str]:
    if pen is None:
        return {"stroke": "none", "fill": "none"}
    marks = {"stroke": pen.colour, "stroke-width": _number(pen.width), "fill": "none"}
    if pen.dash:
        marks["stroke-dasharray"] = " ".join(map(_number, pen.dash))
    return marks


def _ring(points: Iterable[Place], closed: bool, height: float) -> str:
    corners = "L".join(_at(point, height) for point in points)
    return f"M{corners}{'Z' if closed else ''}"


def _at(place: Place, height: float) -> str:
    return f"{_number(place[0])} {_number(height - place[1])}"


def _number(value: float) -> str:
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _clean(text: str) -> str:
    # XML 1.0 clause 2.2 allows no control signs; escaping the rest is the library's work.
    return "".join(
        sign if sign.isprintable() and not 0xD800 <= ord(sign) <= 0xDFFF else " " for sign in text
    )
