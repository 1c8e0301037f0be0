"""Measures fixtures away from walls on the plan: how far two of their sides are from walls."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shapely import LineString
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit.drawing.desk import Desk
from shopfit.drawing.dimension import Ruler, overall
from shopfit.drawing.scene import Item, Line, Place, Table, Text
from shopfit.drawing.style import DIMENSION
from shopfit.geometry.footprint import side_ends
from shopfit.geometry.shell import WallLine
from shopfit.model.fixtures import Side
from shopfit.model.layout import Placement
from shopfit.units import TOLERANCE_MM

_PAIRS: tuple[tuple[Side, Side], ...] = (("left", "right"), ("back", "front"))
_PARTS = (0.5, 0.3, 0.7, 0.15, 0.85)  # where along a side a measure may be taken


@dataclass(frozen=True)
class Measure:
    """How far a side of a fixture is from a wall that runs along it.

    Parameters
    ----------
    tag, side, wall
        Of the fixture, and the wall.
    start, end
        On the side and on the wall, mm.
    crossed
        Whether something stands between the two.
    """

    tag: str
    side: Side
    wall: str
    start: Place
    end: Place
    crossed: bool

    @property
    def length(self) -> float:
        """Distance, mm."""
        return math.dist(self.start, self.end)


def away_from_walls(desk: Desk) -> list[Placement]:
    """List the fixtures that no wall's dimensions place."""
    return [p for p in desk.layout.placements if p.wall is None or p.offset_mm is None]


def measures(desk: Desk, placement: Placement) -> list[list[Measure]]:
    """Give measures that place a fixture across and along, the best of each direction first.

    Parameters
    ----------
    desk, placement
        Which fixture of which layout.

    Returns
    -------
    One list a direction; it is empty where no wall runs along the fixture's sides.
    """
    taken = [desk.footprint(p) for p in desk.layout.placements if p.id != placement.id]
    things = unary_union([*taken, *desk.shell.columns.values()])
    return [
        sorted(
            (m for side in pair for m in _side(desk, placement, side, things)),
            key=lambda m: (m.crossed, round(m.length)),
        )
        for pair in _PAIRS
    ]


def island_measures(desk: Desk) -> list[Item]:
    """Draw the measures of fixtures away from walls over open floor; the table has them all."""
    items: list[Item] = []
    for placement in away_from_walls(desk):
        for options in measures(desk, placement):
            clear = [option for option in options if not option.crossed]
            if clear and clear[0].length > 1.0:
                items += _drawn(desk, clear)
    return items


def island_table(desk: Desk) -> Table:
    """List where fixtures away from walls stand, by walls or else in the shop's frame."""
    rows: list[tuple[str, str, str, str]] = []
    for placement in away_from_walls(desk):
        found = [options[0] for options in measures(desk, placement) if options]
        rows += [(m.tag, m.side, desk.length(m.length), f"from {m.wall}") for m in found]
        if len(found) < len(_PAIRS):
            east, north = desk.length(placement.x_mm), desk.length(placement.y_mm)
            turn = f"turned {placement.angle_deg:.4g} degrees"
            rows.append((placement.id, "back left corner", f"{east} east, {north} north", turn))
    return Table("Fixtures away from walls", ("Tag", "Side", "Stands", "Where"), tuple(rows))


def _side(desk: Desk, placement: Placement, side: Side, things: BaseGeometry) -> list[Measure]:
    left, right = side_ends(desk.fixture(placement), placement, side)
    found = []
    for part in _PARTS:
        start = (left[0] + part * (right[0] - left[0]), left[1] + part * (right[1] - left[1]))
        hits = [hit for wall in desk.shell.walls if (hit := _hit(wall, left, right, start))]
        if not hits:
            continue
        end, wall = min(hits, key=lambda hit: math.dist(start, hit[0]))
        crossed = things.intersection(LineString([start, end])).length > 1.0
        found.append(Measure(placement.id, side, wall.id, start, end, crossed))
    return found


def _hit(wall: WallLine, left: Place, right: Place, start: Place) -> tuple[Place, WallLine] | None:
    """Give where a line square to a side meets a wall that runs along the side, or none."""
    long = math.dist(left, right)
    (ux, uy), (ix, iy) = wall.along, wall.inward
    # Facing a side from outside, its left end is on the left: outward is to that line's right.
    outward = ((right[1] - left[1]) / long, -(right[0] - left[0]) / long)
    if outward[0] * ix + outward[1] * iy > -1.0 + 1e-8:
        return None
    dx, dy = start[0] - wall.start[0], start[1] - wall.start[1]
    offset, away = dx * ux + dy * uy, dx * ix + dy * iy
    if away < -TOLERANCE_MM or not 0.0 <= offset <= wall.length:
        return None
    return wall.point(offset), wall


def _drawn(desk: Desk, options: Sequence[Measure]) -> list[Item]:
    # A long line across the shop is worse than a short one with its lettering beside it.
    for option in (o for o in options if o.length <= 2 * options[0].length + 10 * desk.scale):
        words = desk.length(option.length)
        items = overall(_ruler(desk, option), option.length, words, desk.labels, 0.0)
        if items:
            return items
    # Too short for its lettering, which stands beside it then.
    first = options[0]
    middle = ((first.start[0] + first.end[0]) / 2, (first.start[1] + first.end[1]) / 2)
    text = Text(middle, desk.length(first.length), bold=True, halo=True)
    return [Line(first.start, first.end, DIMENSION), *desk.labels.lead(text, middle)]


def _ruler(desk: Desk, measure: Measure) -> Ruler:
    (x0, y0), (x1, y1) = measure.start, measure.end
    ux, uy = (x1 - x0) / measure.length, (y1 - y0) / measure.length

    def locate(along: float, away: float) -> Place:
        return (x0 + along * ux - away * uy, y0 + along * uy + away * ux)

    return Ruler(locate, desk.scale, desk.shop.units)
