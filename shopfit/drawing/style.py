"""Line weights, tints and hatching of every drawing; each tint has a pattern of its own too."""

from __future__ import annotations

import math
from collections.abc import Sequence

from shapely import MultiLineString, Polygon, affinity
from shapely.geometry.base import BaseGeometry

from shopfit.drawing.scene import Fill, Pattern, Pen, Place, Shape, Strokes

INK = "#1b1f24"
GREY = "#6b7280"
PALE = "#b4bac2"
BLUE = "#1d5a96"
RUST = "#a8501a"

CUT = Pen(0.5, INK)
OUTLINE = Pen(0.3, INK)
THIN = Pen(0.15, INK)
FINE = Pen(0.1, GREY)
FAINT = Pen(0.08, PALE)
DIMENSION = Pen(0.13, INK)
CLEAR = Pen(0.18, BLUE, (2.0, 1.0))
HIDDEN = Pen(0.13, GREY, (1.2, 0.8))
BEHIND = Pen(0.25, RUST, (1.2, 0.8))
STUD = Pen(0.1, GREY, (3.0, 1.0, 0.5, 1.0))
OVERHEAD = Pen(0.18, INK, (4.0, 1.2, 0.6, 1.2))
MATCH = Pen(0.4, INK, (6.0, 1.5, 1.5, 1.5))
SEAM = Pen(0.45, BLUE, (2.5, 1.0))
RUN = Pen(0.9, RUST)
BRACKET = Pen(0.35, INK)
FRONT = Pen(0.45, INK)
FINDING = Pen(0.3, RUST)

# Ground and pattern together: the ground alone need not be told apart.
_TINTS = ("#e8eef5", "#f7ecd9", "#ececec", "#e9f1e4", "#f3e7ee", "#e2f0f0")
_PATTERNS: tuple[Pattern, ...] = ("none", "rising", "falling", "cross", "level", "upright")


def category_fill(number: int) -> Fill:
    """Give the filling of the category with a number, counted from 0."""
    tint = _TINTS[number % len(_TINTS)]
    pattern = _PATTERNS[(number + number // len(_TINTS)) % len(_PATTERNS)]
    return Fill(tint, pattern, 2.4, Pen(0.09, "#aab2bb"))


def zone_fill(kind: str) -> Fill:
    """Give the filling of a staff or stock zone."""
    return Fill(None, "rising" if kind == "staff" else "falling", 3.0, Pen(0.1, "#9aa2ab"))


WALL = Fill("#4a5058")
FIXTURE = Fill("#f4f1ea")
AISLE = Fill("#eef4fa")
GLASS = Fill("#ffffff", "level", 0.7, Pen(0.08, BLUE))
BLANK = Fill("#ffffff")
RUN_GROUND = Fill("#faf7f1")


def hatching(shape: Shape) -> Strokes | None:
    """Give the hatch lines of a shape in printed mm, cut to its outline, or none.

    Parameters
    ----------
    shape
        In printed mm.
    """
    fill = shape.fill
    if fill is None or fill.pattern == "none" or len(shape.points) < 3:
        return None
    area = Polygon(shape.points, shape.holes)
    if not area.is_valid:
        return None
    angles = {
        "rising": (45.0,),
        "falling": (-45.0,),
        "cross": (45.0, -45.0),
        "level": (0.0,),
        "upright": (90.0,),
    }[fill.pattern]
    lines = tuple(line for angle in angles for line in _ruled(area, angle, fill.spacing))
    return Strokes(lines, fill.pen) if lines else None


def _ruled(area: Polygon, angle: float, spacing: float) -> list[tuple[Place, Place]]:
    # Lines lie on multiples of the spacing from the page's corner, so neighbours' hatching agrees.
    turned = affinity.rotate(area, -angle, origin=(0, 0))
    west, south, east, north = turned.bounds
    first, last = math.ceil(south / spacing), math.floor(north / spacing)
    if last < first:
        return []
    rules = MultiLineString(
        [((west - 1, k * spacing), (east + 1, k * spacing)) for k in range(first, last + 1)]
    )
    cut = affinity.rotate(rules.intersection(turned), angle, origin=(0, 0))
    return [(ends[0], ends[-1]) for ends in map(list, _coordinates(cut))]


def _coordinates(shape: BaseGeometry) -> Sequence[Sequence[Place]]:
    parts = getattr(shape, "geoms", [shape])
    return [
        list(part.coords) for part in parts if part.geom_type == "LineString" and not part.is_empty
    ]
