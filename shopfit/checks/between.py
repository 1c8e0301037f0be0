"""Says where fixtures may move: off floor kept clear, or apart where a place is narrow."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LineString, Point
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from shopfit.checks.notes import compass
from shopfit.checks.scene import Scene, Stood, grow
from shopfit.geometry.gaps import Gap
from shopfit.geometry.shell import PlanPoint
from shopfit.units import TOLERANCE_MM

_EIGHTH = math.pi / 4


@dataclass(frozen=True)
class Side:
    """One side of a narrow place.

    Parameters
    ----------
    name
        For people.
    stood
        The fixture that it is, if it is one.
    away
        Unit direction away from the other side.
    """

    name: str
    stood: Stood | None
    away: PlanPoint


def sides(scene: Scene, gap: Gap, staff: bool = False) -> tuple[Side, ...]:
    """Give what stands on the two sides of a narrow place, or on its only one.

    Parameters
    ----------
    scene, gap
        Where.
    staff
        Whether on the way of staff, who go through closed zones and past goods on walls.
    """
    ux, uy = gap.across
    first = Side(*_nearest(scene, gap.start, staff), (-ux, -uy))
    if gap.one_sided:
        return (first,)
    return first, Side(*_nearest(scene, gap.end, staff), (ux, uy))


def named(scene: Scene, gap: Gap, staff: bool = False) -> str:
    """Name a narrow place for people, such as ``between table F4 (table-4) and wall N``."""
    both = sorted(sides(scene, gap, staff), key=lambda side: (side.stood is None, side.name))
    if len(both) == 1:
        return f"before {both[0].name}"
    one, other = both
    if one.name == other.name:
        return f"between parts of {one.name}"
    return f"between {one.name} and {other.name}"


def mend(scene: Scene, gap: Gap, wanted: float, staff: bool = False) -> str:
    """Say how to make a narrow place wide enough.

    Parameters
    ----------
    scene, gap
        Where.
    wanted
        Clear width, mm.
    staff
        As for `sides`.
    """
    short = max(wanted - gap.width, TOLERANCE_MM)
    both = [side for side in sides(scene, gap, staff) if side.stood is not None]
    # Loose things and those away from walls first.
    both.sort(key=lambda side: (side.stood.fixture.fixed, side.stood.role == "wall"))  # type: ignore[union-attr]
    for side in both:
        assert side.stood is not None
        for direction, step in _steps(side.away, short):
            if _fits(scene, side.stood, direction, step):
                tag = side.stood.tag
                return f"Move {tag} {scene.words.enough(step)} {compass(direction)}."
    if both:
        tags = " or ".join(dict.fromkeys(side.stood.tag for side in both if side.stood))
        return (
            f"Choose something {scene.words.enough(short)} shallower or shorter in place of "
            f"{tags}, or leave it out."
        )
    return (
        f"The building leaves {scene.words.enough(short)} too little here: plan nothing beyond it, "
        "or ask a licensed designer."
    )


def move_off(scene: Scene, one: Stood, obstacle: BaseGeometry) -> str:
    """Say how to move a fixture off something, such as ``Move F4 1 in east``.

    The shortest of the moves after which it stands inside its room, still against its wall, and on
    nothing that it is not on now; the shortest of all where there is none such.

    Parameters
    ----------
    scene, one
        Which fixture.
    obstacle
        What it is to leave.
    """
    moves = sorted((_leaving(one.shape, obstacle, way), way) for way in _ways_of(scene, one))
    step, direction = next((m for m in moves if _fits(scene, one, m[1], m[0])), moves[0])
    return f"Move {one.tag} {scene.words.enough(step)} {compass(direction)}"


def _ways_of(scene: Scene, one: Stood) -> list[PlanPoint]:
    wall = scene.walls.get(one.placement.wall or "")
    if one.role == "wall" and wall is not None:
        ux, uy = wall.along
        return [(ux, uy), (-ux, -uy)]
    return [(-1.0, 0.0), (1.0, 0.0), (0.0, -1.0), (0.0, 1.0)]


def _leaving(shape: BaseGeometry, obstacle: BaseGeometry, way: PlanPoint) -> float:
    """Give how far a shape has to go one way until it is beyond something, mm."""
    unit = np.array(way)
    far = (shapely.get_coordinates(obstacle) @ unit).max()
    return float(far - (shapely.get_coordinates(shape) @ unit).min())


def _steps(away: PlanPoint, short: float) -> Iterator[tuple[PlanPoint, float]]:
    """Give compass directions that lead away, the straightest first, and how far along each."""
    angle = math.atan2(away[1], away[0])
    nearest = round(angle / _EIGHTH)
    for off in (0, 1, -1):
        turn = (nearest + off) * _EIGHTH
        part = math.cos(turn - angle)
        if part > 0.5:
            yield (math.cos(turn), math.sin(turn)), short / part


def _fits(scene: Scene, one: Stood, direction: PlanPoint, step: float) -> bool:
    """Say whether a fixture may be moved so: inside its room, on nothing that it is not on now."""
    moved = translate(one.shape, direction[0] * step, direction[1] * step)
    inside = any(grow(room, TOLERANCE_MM).covers(moved) for room in scene.shell.rooms.values())
    if not inside or scene.columns_in(moved):
        return False
    if one.role == "wall" and not _along_wall(scene, one, direction):
        return False
    if one.role != "divider" and set(scene.zones_in(moved)) - set(scene.zones_in(one.shape)):
        return False
    now = scene.standing_in(one.shape)
    return all(other in now for other in scene.standing_in(moved))


def _along_wall(scene: Scene, one: Stood, direction: PlanPoint) -> bool:
    wall = scene.walls.get(one.placement.wall or "")
    if wall is None:
        return True
    return abs(direction[0] * wall.inward[0] + direction[1] * wall.inward[1]) < 1e-6


def _nearest(scene: Scene, place: PlanPoint, staff: bool) -> tuple[str, Stood | None]:
    point = Point(place)
    things: list[tuple[str, Stood | None, BaseGeometry]] = [
        (one.name, one, one.shape) for one in scene.stood
    ]
    things += [(f"column {name}", None, shape) for name, shape in scene.shell.columns.items()]
    if not staff:
        things += [
            (f"the goods on {one.name}", None, one.strip(0.0, scene.free_projection))
            for one in scene.hung
            if not one.below
        ]
        things += [(f"the {zone.kind} zone {zone.id}", None, zone.shape) for zone in scene.zones]
    found = min(
        ((float(shape.distance(point)), k) for k, (_, _, shape) in enumerate(things)),
        default=(math.inf, -1),
    )
    walls = [
        (float(point.distance(_line(wall.start, wall.end))), wall.id) for wall in scene.shell.walls
    ]
    wall = min(walls, default=(math.inf, ""))
    if wall[0] < found[0] - 1.0:
        return f"wall {wall[1]}", None
    return things[found[1]][:2] if found[1] >= 0 else ("something", None)


def _line(start: PlanPoint, end: PlanPoint) -> BaseGeometry:
    return LineString([start, end])
