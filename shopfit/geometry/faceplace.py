"""Where a face lies on the plan, and how far along the customer's way."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

from shapely import LineString, Point

from shopfit.geometry.footprint import side_ends, side_length
from shopfit.geometry.shell import PlanPoint, ShellPlan, WallLine
from shopfit.geometry.wallface import FaceShape, face_start
from shopfit.model.fixtures import Fixture, Side
from shopfit.model.layout import Layout, Placement
from shopfit.model.scenario import Scenario, Shop
from shopfit.units import TOLERANCE_MM

FaceKey = tuple[str, Side]


@dataclass(frozen=True)
class FacePlace:
    """A face in the shop's frame.

    Parameters
    ----------
    host, side
        Tag of the fixture or run, and the side of it.
    left, right
        Its ends as the customer faces it, mm on the plan.
    bottom, top
        Height above the floor of its lowest display level and of the highest goods, mm.
    wall
        The wall that its host stands against or hangs on, or none.
    hung
        Whether it is a run.
    """

    host: str
    side: Side
    left: PlanPoint
    right: PlanPoint
    bottom: float
    top: float
    wall: str | None = None
    hung: bool = False

    @property
    def key(self) -> FaceKey:
        """Host and side."""
        return self.host, self.side

    @cached_property
    def width(self) -> float:
        """Length along the face, mm."""
        return math.dist(self.left, self.right)

    @cached_property
    def along(self) -> PlanPoint:
        """Unit direction from the left end to the right end."""
        width = self.width
        return ((self.right[0] - self.left[0]) / width, (self.right[1] - self.left[1]) / width)

    @property
    def middle(self) -> PlanPoint:
        """The middle of the face on the plan, mm."""
        return (self.left[0] + self.right[0]) / 2, (self.left[1] + self.right[1]) / 2

    def reach(self, point: PlanPoint) -> float:
        """Give how far along the face, from its left end, a plan place lies, mm."""
        (ux, uy), (x, y) = self.along, self.left
        return (point[0] - x) * ux + (point[1] - y) * uy

    def point(self, at: float) -> PlanPoint:
        """Give the plan place at a distance from the left end, mm."""
        (ux, uy), (x, y) = self.along, self.left
        return x + at * ux, y + at * uy


def fixture_face(fixture: Fixture, placement: Placement, side: Side) -> FacePlace:
    """Give a display face of a fixture in the shop's frame.

    Parameters
    ----------
    fixture, placement
        What stands where.
    side
        Which face; one narrower than its side lies in the middle of it.

    Raises
    ------
    KeyError
        If that side shows nothing.
    """
    face = fixture.face(side)
    (ax, ay), (bx, by) = side_ends(fixture, placement, side)
    part = face_start(fixture, side) / side_length(fixture, side)
    dx, dy = (bx - ax) * part, (by - ay) * part
    return FacePlace(
        placement.id,
        side,
        (ax + dx, ay + dy),
        (bx - dx, by - dy),
        face.bottom,
        face.top,
        placement.wall,
    )


def run_face(
    tag: str, wall: WallLine, left: float, right: float, bottom: float, top: float
) -> FacePlace:
    """Give the face of a slat-wall run in the shop's frame.

    Parameters
    ----------
    tag, wall
        The run, and where it hangs.
    left, right
        From the wall's left end, mm.
    bottom, top
        Its lowest groove and its upper edge, above the floor, mm.
    """
    ends = wall.point(left), wall.point(right)
    return FacePlace(tag, "front", *ends, bottom, top, wall.id, hung=True)


def face_places(
    scenario: Scenario, layout: Layout, shell: ShellPlan, shapes: Iterable[FaceShape]
) -> dict[FaceKey, FacePlace]:
    """Give every face of a layout in the shop's frame, by host and side.

    Parameters
    ----------
    scenario, layout, shell
        Which; every name of the layout is known.
    shapes
        The faces, as `shopfit.geometry.wallface.faces` lists them.
    """
    runs = {run.id: run for run in reversed(layout.runs)}
    stood = {placement.id: placement for placement in reversed(layout.placements)}
    found: dict[FaceKey, FacePlace] = {}
    for shape in shapes:
        if shape.kind == "slat":
            run = runs[shape.host]
            wall = shell.wall(run.wall)
            place = run_face(run.id, wall, run.from_mm, run.to_mm, shape.bottom, shape.top)
        else:
            placement = stood[shape.host]
            fixture = scenario.catalogue.fixture(placement.fixture)
            place = fixture_face(fixture, placement, shape.side)
        if place.width > TOLERANCE_MM:
            found.setdefault(place.key, place)
    return found


def entrances(shop: Shop, shell: ShellPlan) -> list[PlanPoint]:
    """List the middles of the doors by which customers come in, on the plan, mm."""
    walls = {wall.id: wall for wall in shell.walls}
    return [
        walls[door.wall].point(door.offset + door.width / 2)
        for door in shop.doors
        if door.use == "entrance" and door.wall in walls
    ]


def station(
    point: PlanPoint, way: Sequence[PlanPoint] | None, doors: Sequence[PlanPoint]
) -> float | None:
    """Give how far along the customer's way a place lies, mm.

    Parameters
    ----------
    point
        A place on the plan; of a face, its middle.
    way
        The customer's main way from the entrance on, or none.
    doors
        Middles of the entrances.

    Returns
    -------
    Along the way up to its point that is nearest to the place; without a way the straight
    distance from the nearest entrance; none where there is neither.
    """
    if way is not None and len(set(way)) > 1:
        return float(LineString(way).project(Point(point)))
    return min((math.dist(point, door) for door in doors), default=None)
