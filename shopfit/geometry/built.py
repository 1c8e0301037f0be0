"""Measures of a shop that a tape can take: each is read from a layout, and set in it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Literal

from shapely import LineString
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from shopfit.geometry.footprint import footprint, place_point
from shopfit.geometry.shell import PlanPoint, ShellPlan, WallLine, survey
from shopfit.model.fixtures import Fixture
from shopfit.model.layout import Layout, Placement
from shopfit.model.scenario import Scenario

GAP = "gap to"
OWN_SIZE = " as-built "  # between the id of a fixture and the tag of the one made otherwise
_TOUCHING_MM = 1e-6
Size = Literal["width", "depth", "height"]


@dataclass(frozen=True)
class Built:
    """A shop as it stands: what was given and what was decided, as measured so far.

    Parameters
    ----------
    scenario, layout
        As for the checks.
    """

    scenario: Scenario
    layout: Layout

    @property
    def shell(self) -> ShellPlan:
        """The shell on the plan."""
        return survey(self.scenario.shop)

    def fixture(self, placement: Placement) -> Fixture:
        """Give the fixture of a placement."""
        return self.scenario.catalogue.fixture(placement.fixture)


@dataclass(frozen=True)
class Handle:
    """A measure that can be read from a shop and set in it.

    Parameters
    ----------
    what, measure, to
        The thing, which of its measures, and for a gap the other thing.
    read
        Gives it, mm.
    put
        Gives the shop with this measure; raises ValueError where it cannot be.
    """

    what: str
    measure: str
    to: str
    read: Callable[[Built], float]
    put: Callable[[Built, float], Built]


def gap(built: Built, what: str, to: str) -> Handle | None:
    """Give the clear distance from a fixture to something else, or none where there is none.

    Parameters
    ----------
    built
        The shop.
    what
        Tag of the fixture that is taken to have moved where the gap is not as planned.
    to
        Tag of another fixture, a wall or a column.
    """
    tags = {placement.id for placement in built.layout.placements}
    if what not in tags or what == to or _outline(built, to) is None:
        return None

    def read(shop: Built) -> float:
        return _clear(shop, what, to)

    def put(shop: Built, size: float) -> Built:
        for _ in range(4):
            short = size - _clear(shop, what, to)
            if abs(short) < 1e-4:
                break
            ux, uy = _apart(shop, what, to)
            shop = _shift(shop, what, ux * short, uy * short)
        return shop

    return Handle(what, GAP, to, read, put)


def fixture_measures(built: Built) -> Iterator[Handle]:
    """List where fixtures stand along their walls and out from them, and their sizes."""
    for placement in built.layout.placements:
        tag = placement.id
        if placement.wall is not None:
            yield Handle(tag, "from left", "", _along_of(tag, 0), _put_along(tag, 0))
            yield Handle(tag, "from right", "", _along_of(tag, 1), _put_along(tag, 1))
            yield Handle(tag, "out from wall", "", _out_of(tag), _put_out(tag))
        for size in ("width", "depth", "height"):
            yield Handle(tag, size, "", _size_of(tag, size), _put_size(tag, size))


def wall_frame(built: Built, tag: str) -> tuple[Placement, WallLine, float, float]:
    """Give a fixture at a wall, the wall, and its back left corner along and out from it."""
    placement = built.layout.placement(tag)
    assert placement.wall is not None
    wall = built.shell.wall(placement.wall)
    dx, dy = placement.x_mm - wall.start[0], placement.y_mm - wall.start[1]
    (ux, uy), (vx, vy) = wall.along, wall.inward
    return placement, wall, dx * ux + dy * uy, dx * vx + dy * vy


def _along_of(tag: str, end: int) -> Callable[[Built], float]:
    def read(built: Built) -> float:
        placement, wall, along, _ = wall_frame(built, tag)
        return wall.length - along - built.fixture(placement).width if end else along

    return read


def _put_along(tag: str, end: int) -> Callable[[Built, float], Built]:
    def put(built: Built, size: float) -> Built:
        now = _along_of(tag, end)(built)
        _, wall, _, _ = wall_frame(built, tag)
        by = now - size if end else size - now
        return _shift(built, tag, wall.along[0] * by, wall.along[1] * by)

    return put


def _out_of(tag: str) -> Callable[[Built], float]:
    return lambda built: wall_frame(built, tag)[3]


def _put_out(tag: str) -> Callable[[Built, float], Built]:
    def put(built: Built, size: float) -> Built:
        _, wall, _, out = wall_frame(built, tag)
        by = size - out
        return _shift(built, tag, wall.inward[0] * by, wall.inward[1] * by)

    return put


def _shift(built: Built, tag: str, east: float, north: float) -> Built:
    def moved(one: Placement) -> Placement:
        place = {"x_mm": one.x_mm + east, "y_mm": one.y_mm + north}
        there = one.model_copy(update=place)
        if one.wall is None or one.offset_mm is None:
            return there
        wall = built.shell.wall(one.wall)
        along = east * wall.along[0] + north * wall.along[1]
        return there.model_copy(update={"offset_mm": one.offset_mm + along})

    return with_placements(built, lambda one: moved(one) if one.id == tag else one)


def with_placements(built: Built, change: Callable[[Placement], Placement]) -> Built:
    """Give the shop with every placement changed as told."""
    changed = tuple(change(one) for one in built.layout.placements)
    return replace(built, layout=built.layout.model_copy(update={"placements": changed}))


def _size_of(tag: str, size: str) -> Callable[[Built], float]:
    return lambda built: float(getattr(built.fixture(built.layout.placement(tag)), size))


def _put_size(tag: str, size: str) -> Callable[[Built, float], Built]:
    def put(built: Built, value: float) -> Built:
        if value <= 0:
            raise ValueError("a size is more than nought")
        placement = built.layout.placement(tag)
        fixture = built.fixture(placement)
        # One that was made otherwise than the rest of its kind is a fixture of its own.
        suffix = f"{OWN_SIZE}{tag}"
        name = fixture.id if fixture.id.endswith(suffix) else f"{fixture.id}{suffix}"
        own = fixture.model_copy(update={"id": name, size: value})
        listed = [one for one in built.scenario.catalogue.fixtures if one.id != name]
        catalogue = built.scenario.catalogue.model_copy(update={"fixtures": (*listed, own)})
        scenario = built.scenario.model_copy(update={"catalogue": catalogue})
        there = replace(built, scenario=scenario)
        return with_placements(
            there, lambda one: one.model_copy(update={"fixture": name}) if one.id == tag else one
        )

    return put


def _outline(built: Built, name: str) -> BaseGeometry | None:
    for placement in built.layout.placements:
        if placement.id == name:
            return footprint(built.fixture(placement), placement)
    kind, _, rest = name.partition(" ")
    shell = built.shell
    if kind == "wall":
        walls = [LineString([wall.start, wall.end]) for wall in shell.walls if wall.id == rest]
        return walls[0] if walls else None
    return shell.columns.get(rest) if kind == "column" else None


def _clear(built: Built, what: str, to: str) -> float:
    one, other = _outline(built, what), _outline(built, to)
    assert one is not None
    assert other is not None
    return float(one.distance(other))


def _apart(built: Built, what: str, to: str) -> PlanPoint:
    """Give the unit direction in which a fixture leaves another thing soonest."""
    one, other = _outline(built, what), _outline(built, to)
    assert one is not None
    assert other is not None
    near, far = nearest_points(one, other)
    length = math.dist((near.x, near.y), (far.x, far.y))
    if length > _TOUCHING_MM:
        return (near.x - far.x) / length, (near.y - far.y) / length
    placement = built.layout.placement(what)
    origin = place_point(placement, 0.0, 0.0)
    ways = [place_point(placement, *way) for way in ((1, 0), (-1, 0), (0, 1), (0, -1))]
    units = [(x - origin[0], y - origin[1]) for x, y in ways]
    return max(units, key=lambda u: translate(one, 10 * u[0], 10 * u[1]).distance(other))
