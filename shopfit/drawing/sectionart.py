"""What sections of ways in have in common: the ground, the building at the door, names above."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shopfit.drawing import style
from shopfit.drawing.labels import Labels
from shopfit.drawing.scene import Fill, Item, Line, Pen, Shape, Text

EARTH = Fill("#efeae2", "rising", 2.4, Pen(0.08, "#b9ae9c"))
BODY = Fill("#f7f7f5", "none")
RAIL = Pen(0.4, style.RUST)

_SIDE, _DEEP, _THICK = 4.0, 2.2, 2.0  # of floor and ground beside the way, and the wall, printed
_WALL_MM = 2000.0  # of the wall above the floor


def ground(end: float, scale: float) -> Iterator[Item]:
    """Draw the ground under a way so long, mm."""
    deep, side = _DEEP * scale, _SIDE * scale
    corners = ((-side, 0.0), (end + side, 0.0), (end + side, -deep), (-side, -deep))
    yield Shape(corners, None, EARTH)
    yield Line((-side, 0.0), (end + side, 0.0), style.OUTLINE)


def building(rise: float, scale: float) -> Iterator[Item]:
    """Draw the floor inside, so high above the ground, mm, and the edge of the wall at the door."""
    side, thick = _SIDE * scale, _THICK * scale
    yield Shape(((-side, rise), (0.0, rise), (0.0, 0.0), (-side, 0.0)), style.THIN, style.WALL)
    for edge in (-thick, 0.0):
        yield Line((edge, rise), (edge, rise + _WALL_MM), style.HIDDEN)


def landing_edge(rise: float, scale: float) -> Iterator[Item]:
    """Draw the last of a landing so high above the ground, mm, broken off where it goes on."""
    side = _SIDE * scale
    yield Shape(((-side, rise), (0.0, rise), (0.0, 0.0), (-side, 0.0)), None, BODY)
    yield Line((-side, rise), (0.0, rise), style.CUT)
    yield Line((-side, rise), (-side, 0.0), style.HIDDEN)


def named(names: Sequence[tuple[float, float, Sequence[str]]], labels: Labels) -> Iterator[Item]:
    """Set names in lines over the rail, or further up where neighbours are near.

    Parameters
    ----------
    names
        Middle along the way and height of the surface, mm, and the lines.
    labels
        What is taken already.
    """
    step = 3.2 * labels.scale
    for middle, height, words in names:
        for lift in (1100.0, 1100.0 + 2 * step, 1100.0 + 4 * step, 1100.0 + 6 * step):
            texts = [
                Text((middle, height + lift + (len(words) - k) * step), line, bold=k == 0)
                for k, line in enumerate(words)
            ]
            if all(labels.free(text) for text in texts):
                yield from (labels.take(text) for text in texts)
                break
