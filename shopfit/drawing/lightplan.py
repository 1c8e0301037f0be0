"""The plan in a light tone, as the ground of what is drawn over it."""

from __future__ import annotations

from dataclasses import replace

from shopfit.drawing import plan, planlabels
from shopfit.drawing.desk import Desk
from shopfit.drawing.scene import Fill, Group, Item, Layer, Line, Pen, Shape, Text

_LIGHT = 0.5  # how far lines of the floor are moved towards white
_LETTERS = "#5b626c"


def light_ground(desk: Desk) -> tuple[tuple[Layer, ...], Layer]:
    """Draw the plan in a light tone: what stands on the floor, and the layer of its lettering."""
    floor = plan.Floor.of(desk)
    tags = planlabels.fixture_tags(desk)
    runs = plan.runs_drawn(desk)
    names = planlabels.shell_names(desk, floor.spaces)
    names += planlabels.approach_names(desk, floor.approach)
    names += planlabels.floor_names(desk)
    ground = (*floor.layers(desk, tags), Layer("runs", tuple(runs)))
    return (
        tuple(replace(each, items=tuple(map(_light, each.items))) for each in ground),
        Layer("lettering", tuple(_light(name, halo=True) for name in names)),
    )


def _light(item: Item, halo: bool = False) -> Item:
    """Give a primitive in a lighter tone; lettering stays dark enough to be read."""
    if isinstance(item, Group):
        return replace(item, items=tuple(_light(part, halo) for part in item.items))
    if isinstance(item, Text):
        return replace(item, colour=_LETTERS, halo=halo or item.halo)
    if isinstance(item, Shape):
        pen = None if item.pen is None else _light_pen(item.pen)
        return replace(item, pen=pen, fill=None if item.fill is None else _light_fill(item.fill))
    if isinstance(item, Line):
        return replace(item, pen=_light_pen(item.pen))
    return replace(item, pen=_light_pen(item.pen))


def _light_pen(pen: Pen) -> Pen:
    return replace(pen, colour=_towards_white(pen.colour), width=min(pen.width, 0.35))


def _light_fill(fill: Fill) -> Fill:
    colour = None if fill.colour is None else _towards_white(fill.colour)
    return replace(fill, colour=colour, pen=_light_pen(fill.pen))


def _towards_white(colour: str) -> str:
    parts = (int(colour[k : k + 2], 16) for k in (1, 3, 5))
    return "#" + "".join(f"{round(part + (255 - part) * _LIGHT):02x}" for part in parts)
