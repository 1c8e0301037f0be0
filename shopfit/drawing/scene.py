"""A drawing as frozen primitives in millimetres, before any file format."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Literal

from shapely import Polygon

from shopfit.drawing import lettering

Place = tuple[float, float]
Anchor = Literal["start", "middle", "end"]
Pattern = Literal["none", "rising", "falling", "cross", "level", "upright"]


@dataclass(frozen=True)
class Pen:
    """How a line is drawn.

    Parameters
    ----------
    width
        Printed mm.
    colour
        Six hexadecimal digits after a hash.
    dash
        Printed mm of line and gap in turn; empty for a full line.
    """

    width: float = 0.18
    colour: str = "#1b1f24"
    dash: tuple[float, ...] = ()


@dataclass(frozen=True)
class Fill:
    """How an area is filled.

    Parameters
    ----------
    colour
        Ground colour, or none for an empty ground.
    pattern
        Direction of the hatching.
    spacing
        Between hatch lines, printed mm.
    pen
        Of the hatch lines.
    """

    colour: str | None = None
    pattern: Pattern = "none"
    spacing: float = 2.0
    pen: Pen = Pen(0.1, "#8a9099")


@dataclass(frozen=True)
class Line:
    """A straight line.

    Parameters
    ----------
    start, end
        Ends, mm.
    pen
        How it is drawn.
    """

    start: Place
    end: Place
    pen: Pen = Pen()


@dataclass(frozen=True)
class Strokes:
    """Many straight lines of one pen, such as hatching, grooves or studs.

    Parameters
    ----------
    lines
        Pairs of ends, mm.
    pen
        How they are drawn.
    """

    lines: tuple[tuple[Place, Place], ...]
    pen: Pen = Pen()


@dataclass(frozen=True)
class Shape:
    """A polyline or polygon.

    Parameters
    ----------
    points
        Corners, mm.
    pen
        Outline, or none.
    fill
        Filling, or none.
    closed
        Whether the last corner joins the first.
    holes
        Corners of holes left in the filling.
    """

    points: tuple[Place, ...]
    pen: Pen | None = Pen()
    fill: Fill | None = None
    closed: bool = True
    holes: tuple[tuple[Place, ...], ...] = ()


@dataclass(frozen=True)
class Arc:
    """Part of a circle, or a whole one.

    Parameters
    ----------
    centre, radius
        Of the circle, mm.
    start, sweep
        Degrees anticlockwise from east, and how far from there; 360 for a circle.
    pen
        How it is drawn.
    """

    centre: Place
    radius: float
    start: float = 0.0
    sweep: float = 360.0
    pen: Pen = Pen()


@dataclass(frozen=True)
class Text:
    """One line of lettering.

    Parameters
    ----------
    at
        Place of the anchor, mm; half-way up the capitals.
    text
        The line.
    size
        Size in printed mm, whatever the scale.
    anchor
        Which end of the line is at the place.
    angle
        Direction of the line, degrees anticlockwise from east.
    bold
        Whether it is bold.
    colour
        Of the lettering.
    halo
        Whether lines behind it are blotted out.
    """

    at: Place
    text: str
    size: float = lettering.SMALL
    anchor: Anchor = "middle"
    angle: float = 0.0
    bold: bool = False
    colour: str = "#1b1f24"
    halo: bool = False

    @property
    def width(self) -> float:
        """Printed width, mm."""
        return lettering.width(self.text, self.size, self.bold)

    def corners(self, scale: float, pad: float = 0.0) -> tuple[Place, Place, Place, Place]:
        """Give the corners of the rectangle that the lettering covers, mm at full size.

        Parameters
        ----------
        scale
            How many times smaller the print is.
        pad
            Added all round, printed mm.
        """
        left = {"start": 0.0, "middle": -self.width / 2, "end": -self.width}[self.anchor]
        low = -(lettering.CAP / 2 + lettering.DESCENT) * self.size
        high = (lettering.ASCENT - lettering.CAP / 2) * self.size
        x0, x1 = left - pad, left + self.width + pad
        y0, y1 = low - pad, high + pad
        cos, sin = math.cos(math.radians(self.angle)), math.sin(math.radians(self.angle))
        x, y = self.at
        a, b, c, d = (
            (x + scale * (across * cos - up * sin), y + scale * (across * sin + up * cos))
            for across, up in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
        )
        return a, b, c, d

    def box(self, scale: float, pad: float = 0.0) -> Polygon:
        """Give the rectangle that the lettering covers as a shape, mm at full size."""
        return Polygon(self.corners(scale, pad))

    @property
    def baseline(self) -> Place:
        """Where the baseline of a scene in printed mm is at the anchor."""
        drop = lettering.CAP / 2 * self.size
        radians = math.radians(self.angle)
        return (self.at[0] + drop * math.sin(radians), self.at[1] - drop * math.cos(radians))


@dataclass(frozen=True)
class Group:
    """Primitives that belong to one thing, which a reader may point at.

    Parameters
    ----------
    tag
        Tag of the thing, such as ``F3``.
    title
        What is said of it when somebody points at it.
    items
        Its primitives.
    """

    tag: str
    title: str
    items: tuple[Item, ...]


Item = Line | Strokes | Shape | Arc | Text | Group


@dataclass(frozen=True)
class Layer:
    """Primitives of one kind, drawn together.

    Parameters
    ----------
    name
        Of the layer.
    items
        From the lowest up.
    """

    name: str
    items: tuple[Item, ...]


@dataclass(frozen=True)
class Table:
    """Words that go with a drawing: a key, a schedule, notes.

    Parameters
    ----------
    title
        Heading of the table.
    head
        Headings of its columns; may be empty.
    rows
        Its cells.
    """

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Scene:
    """A drawing at full size, made for one scale.

    Parameters
    ----------
    title, about
        Name of the drawing, and a sentence for those who do not see it.
    scale
        How many times smaller it prints; label places hold for this scale.
    layers
        From the lowest up.
    tables
        Words that go with it.
    """

    title: str
    about: str
    scale: float
    layers: tuple[Layer, ...]
    tables: tuple[Table, ...] = field(default=())

    def items(self) -> Iterator[Item]:
        """Go through all primitives, those in groups too, from the lowest up."""
        for layer in self.layers:
            yield from flat(layer.items)

    def texts(self) -> list[Text]:
        """List all lettering."""
        return [item for item in self.items() if isinstance(item, Text)]

    def groups(self) -> list[Group]:
        """List all groups."""
        return [group for layer in self.layers for group in _groups(layer.items)]

    def label_boxes(self) -> list[tuple[Text, Polygon]]:
        """List all lettering with the rectangle it covers, mm at full size."""
        return [(text, text.box(self.scale)) for text in self.texts()]

    def bounds(self) -> tuple[float, float, float, float]:
        """Give the least rectangle round everything, lettering too: west, south, east, north."""
        return self._bounds

    @cached_property
    def _bounds(self) -> tuple[float, float, float, float]:
        places = [place for item in self.items() for place in outline(item, self.scale)]
        if not places:
            return (0.0, 0.0, 0.0, 0.0)
        xs, ys = [x for x, _ in places], [y for _, y in places]
        return (min(xs), min(ys), max(xs), max(ys))


def flat(items: Iterable[Item]) -> Iterator[Item]:
    """Go through primitives and those inside groups."""
    for item in items:
        if isinstance(item, Group):
            yield from flat(item.items)
        else:
            yield item


def _groups(items: Iterable[Item]) -> Iterator[Group]:
    for item in items:
        if isinstance(item, Group):
            yield item
            yield from _groups(item.items)


def outline(item: Item, scale: float) -> list[Place]:
    """Give places whose bounds are the primitive's bounds, mm."""
    if isinstance(item, Line):
        return [item.start, item.end]
    if isinstance(item, Strokes):
        return [place for line in item.lines for place in line]
    if isinstance(item, Shape):
        return list(item.points)
    if isinstance(item, Arc):
        return arc_points(item)
    if isinstance(item, Text):
        return list(item.corners(scale))
    return [place for part in item.items for place in outline(part, scale)]


def arc_points(arc: Arc, steps: int = 24) -> list[Place]:
    """Give places along an arc, mm."""
    x, y = arc.centre
    angles = [math.radians(arc.start + arc.sweep * k / steps) for k in range(steps + 1)]
    return [(x + arc.radius * math.cos(a), y + arc.radius * math.sin(a)) for a in angles]


def moved(item: Item, scale: float, origin: Place, offset: Place) -> Item:
    """Give a primitive as printed.

    Parameters
    ----------
    item
        At full size, mm.
    scale
        How many times smaller it prints.
    origin
        The place at full size that comes to lie at the offset.
    offset
        On the paper, from its lower left corner, mm.
    """

    def at(place: Place) -> Place:
        return (
            offset[0] + (place[0] - origin[0]) / scale,
            offset[1] + (place[1] - origin[1]) / scale,
        )

    if isinstance(item, Line):
        return replace(item, start=at(item.start), end=at(item.end))
    if isinstance(item, Strokes):
        return replace(item, lines=tuple((at(a), at(b)) for a, b in item.lines))
    if isinstance(item, Shape):
        return replace(
            item,
            points=tuple(map(at, item.points)),
            holes=tuple(tuple(map(at, hole)) for hole in item.holes),
        )
    if isinstance(item, Arc):
        return replace(item, centre=at(item.centre), radius=item.radius / scale)
    if isinstance(item, Text):
        return replace(item, at=at(item.at))
    return replace(item, items=tuple(moved(part, scale, origin, offset) for part in item.items))
