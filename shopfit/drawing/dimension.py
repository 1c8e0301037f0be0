"""Running dimensions: every mark measured from one end, which is how a tape is read."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from shopfit.drawing import lettering, style
from shopfit.drawing.labels import Labels
from shopfit.drawing.scene import Anchor, Arc, Item, Line, Place, Text
from shopfit.units import LengthStyle, format_length

STEP = 3.3  # between two lines of lettering, printed mm
NEAR = 1.2  # from the thing to the first witness line, printed mm

Locate = Callable[[float, float], Place]


@dataclass(frozen=True)
class Ruler:
    """A line that is measured along.

    Parameters
    ----------
    locate
        Gives the place at a distance along it and a distance away from the thing, both mm.
    scale
        How many times smaller the drawing prints.
    units
        How lengths are written.
    """

    locate: Locate
    scale: float
    units: LengthStyle

    def at(self, along: float, away: float) -> Place:
        """Give a place: along in mm, away in printed mm."""
        return self.locate(along, away * self.scale)

    def reading(self, along: float) -> tuple[float, Anchor]:
        """Give the angle of lettering that runs away from the line, and which end is near it."""
        (x0, y0), (x1, y1) = self.locate(along, 0.0), self.locate(along, 1.0)
        angle = math.degrees(math.atan2(y1 - y0, x1 - x0))
        return upright(angle)


def upright(angle: float) -> tuple[float, Anchor]:
    """Turn a direction so that lettering is read from below or from the right.

    Parameters
    ----------
    angle
        Direction, degrees anticlockwise from east.

    Returns
    -------
    The angle of the lettering, and the anchor at which it starts in the direction given.
    """
    angle = (angle + 180.0) % 360.0 - 180.0
    if -89.9 < angle <= 90.1:
        return round(angle, 4) + 0.0, "start"
    return round(angle - 180.0 if angle > 0 else angle + 180.0, 4) + 0.0, "end"


def spread(wanted: Sequence[float], gap: float) -> list[float]:
    """Move places along a line apart until they keep a gap, as little as possible.

    Parameters
    ----------
    wanted
        In rising order.
    gap
        Least distance between neighbours.
    """
    clusters: list[tuple[float, int]] = []
    for index, place in enumerate(wanted):
        # Less its share of gaps, each cluster's members want one common place: their mean.
        clusters.append((place - index * gap, 1))
        while len(clusters) > 1 and clusters[-2][0] > clusters[-1][0]:
            (mean, count), (other, more) = clusters[-2], clusters[-1]
            total = count + more
            clusters[-2:] = [((mean * count + other * more) / total, total)]
    starts = [mean for mean, count in clusters for _ in range(count)]
    return [start + index * gap for index, start in enumerate(starts)]


def running(
    ruler: Ruler,
    marks: Sequence[float],
    labels: Labels,
    away: float = 4.0,
    ends: tuple[float, float] = (-math.inf, math.inf),
    nought: bool = True,
    start: float = 0.0,
) -> list[Item]:
    """Draw running dimensions from nought.

    Parameters
    ----------
    ruler
        What is measured along.
    marks
        Distances, mm.
    labels
        Where lettering has been set; a mark whose lettering finds no place is left out.
    away
        Of the measuring line from the thing, printed mm.
    ends
        Lettering keeps between these distances, mm.
    nought
        Whether nought itself is lettered.
    start
        Where the measuring line begins, mm; a small circle marks it where it is nought.

    Returns
    -------
    Its primitives.
    """
    texts: dict[str, float] = {}
    for mark in sorted({*([0.0] if nought else []), *marks}):
        texts.setdefault(format_length(mark, ruler.units), mark)
    step = STEP * ruler.scale
    places = _between(spread(list(texts.values()), step), step, ends)
    items: list[Item] = []
    shown = [start]
    for (words, mark), place in zip(texts.items(), places, strict=True):
        found = _mark(ruler, words, mark, place, away, labels, ends)
        if found:
            items += found
            shown.append(mark)
    if items:
        first, last = ruler.at(start, away), ruler.at(max(shown), away)
        labels.block_line(first, last, 0.2 * ruler.scale)
        items.append(Line(first, last, style.DIMENSION))
        if start == 0.0:
            items.append(Arc(first, 0.7 * ruler.scale, pen=style.DIMENSION))
    return items


def reach(ruler: Ruler, marks: Sequence[float], away: float) -> float:
    """Give how far away running dimensions reach, with room for a line beyond, printed mm."""
    words = [format_length(mark, ruler.units) for mark in marks]
    return away + 6.0 + max(lettering.width(word, lettering.SMALL) for word in words)


def _mark(
    ruler: Ruler,
    words: str,
    mark: float,
    place: float,
    away: float,
    labels: Labels,
    ends: tuple[float, float],
) -> list[Item]:
    angle, anchor = ruler.reading(mark)
    step = STEP * ruler.scale
    for shift in (0.0, 0.5, -0.5, 1.0, -1.0, 2.0, -2.0, 3.0, -3.0):
        along = place + shift * step
        if not ends[0] - 0.01 <= along <= ends[1] + 0.01:
            continue
        text = Text(ruler.at(along, away + 3.0), words, anchor=anchor, angle=angle, halo=True)
        if labels.place([text]):
            foot, knee = ruler.at(mark, NEAR), ruler.at(mark, away + 0.7)
            labels.block_line(foot, knee, 0.2 * ruler.scale)
            return [
                Line(foot, knee, style.DIMENSION),
                Line(knee, ruler.at(along, away + 2.6), style.DIMENSION),
                text,
            ]
    return []


def _between(places: list[float], step: float, ends: tuple[float, float]) -> list[float]:
    low, high = ends
    placed = list(places)
    for index, place in enumerate(placed):
        placed[index] = max(place, low + index * step)
    for back, index in enumerate(reversed(range(len(placed)))):
        placed[index] = min(placed[index], high - back * step)
    return placed


def overall(
    ruler: Ruler,
    length: float,
    words: str,
    labels: Labels,
    away: float,
    size: float = lettering.SMALL,
) -> list[Item]:
    """Draw one dimension over a whole length, its lettering on the line.

    Parameters
    ----------
    ruler, length
        What is measured, and how long it is, mm.
    words
        What is written.
    labels
        Where lettering has been set.
    away
        From the thing, printed mm.
    size
        Of the lettering.
    """
    (x0, y0), (x1, y1) = ruler.at(0.0, away), ruler.at(length, away)
    angle, _ = upright(math.degrees(math.atan2(y1 - y0, x1 - x0)))
    if lettering.width(words, size) + 4.0 > length / ruler.scale:
        return []
    text = labels.place(
        Text(ruler.at(length * part, away), words, size, "middle", angle, bold=True, halo=True)
        for part in (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)
    )
    if text is None:
        return []
    labels.block_line((x0, y0), (x1, y1), 0.2 * ruler.scale)
    items: list[Item] = [Line((x0, y0), (x1, y1), style.DIMENSION)]
    for end in (0.0, length):
        items.append(Line(ruler.at(end, away - 1.2), ruler.at(end, away + 1.2), style.DIMENSION))
        slash = 0.8 * ruler.scale
        items.append(
            Line(
                ruler.locate(end - slash, (away - 0.8) * ruler.scale),
                ruler.locate(end + slash, (away + 0.8) * ruler.scale),
                style.OUTLINE,
            )
        )
    items.append(text)
    return items
