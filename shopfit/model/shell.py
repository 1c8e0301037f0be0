"""The shell as measured: rooms, walls, obstructions, columns and zones."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from shopfit.model.base import (
    Angle,
    Force,
    Frozen,
    Length,
    Mass,
    Name,
    NonNegativeLength,
    Point,
    PositiveLength,
    Slope,
)

WallObstructionKind = Literal["panelboard", "thermostat", "outlet", "switch", "radiator", "other"]
ZoneKind = Literal["sales", "staff", "stock"]
UsedBy = Literal["customers", "staff", "service"]


class HeightPoint(Frozen):
    """The wall's height at one place along it.

    Parameters
    ----------
    offset
        Distance from the wall's left end as one faces it from inside.
    height
        Wall height there, above the finished floor.
    """

    offset: NonNegativeLength
    height: PositiveLength


class Arc(Frozen):
    """A curved stretch of wall, built as equal chords.

    Parameters
    ----------
    radius
        Radius of the curve.
    sweep
        Degrees turned along it; positive bends to the right as one walks.
    chords
        How many straight chords stand for the curve.
    """

    radius: PositiveLength
    sweep: Annotated[Angle, Field(ge=-355, le=355)]
    chords: Annotated[int, Field(ge=1, le=90)] = 8


class Wall(Frozen):
    """One wall as walked round the room with the wall at the left hand (clockwise on the plan).

    Parameters
    ----------
    id
        Name of the wall; chords of an arc are called ``id-1``, ``id-2`` and so on.
    length
        Length walked; left out where the room gives corners, or for an arc.
    turn
        Degrees turned to the right at the end of the wall; negative turns left.
    arc
        The curve walked instead of a straight length.
    heights
        Heights along the wall where it differs from the room's; straight between the points.
    slat_wall, fixtures
        Whether slat-wall may hang on it and whether fixtures may stand against it.
    """

    id: Name
    length: PositiveLength | None = None
    turn: Annotated[Angle, Field(ge=-180, le=180)] = 90.0
    arc: Arc | None = None
    heights: tuple[HeightPoint, ...] = ()
    slat_wall: bool = True
    fixtures: bool = True


class Room(Frozen):
    """A room, as a corner list or as walls walked round it.

    Parameters
    ----------
    id
        Name of the room.
    height
        Wall height where a wall says nothing else.
    corners
        Corners in order, in the shop's own frame (x east, y north); wall ``i`` runs from
        corner ``i`` to the next. Either this or wall lengths.
    walls
        Walls in walking order; with corners they only name and describe them.
    start, heading
        Where walking starts and the compass of the first wall, degrees anticlockwise from east.
    level
        Height of its floor above that of the shop; under nought where it lies lower.
    slope, cross_slope
        Steepest slope of its floor along the ways and across them.
    carpet
        Height of the pile of its carpet; 0 where there is none.
    gaps
        Widest gap in its floor, as the diameter of a ball that falls through; 0 where none is.
    """

    id: Name
    height: PositiveLength
    corners: tuple[Point, ...] = ()
    walls: tuple[Wall, ...] = ()
    start: Point = (0.0, 0.0)
    heading: Angle = 0.0
    level: Length = 0.0
    slope: Slope | None = None
    cross_slope: Slope | None = None
    carpet: NonNegativeLength | None = None
    gaps: NonNegativeLength | None = None

    @model_validator(mode="after")
    def _one_description(self) -> Room:
        if self.corners:
            if len(self.corners) < 3:
                raise ValueError("a room needs at least 3 corners")
            if self.walls and len(self.walls) != len(self.corners):
                raise ValueError(
                    f"{len(self.corners)} corners make {len(self.corners)} walls, "
                    f"but {len(self.walls)} walls are described"
                )
            if any(wall.length is not None or wall.arc for wall in self.walls):
                raise ValueError("give corners or wall lengths, not both")
        else:
            if not self.walls:
                raise ValueError("give either corners or walls")
            for wall in self.walls:
                if (wall.length is None) == (wall.arc is None):
                    raise ValueError(f"wall {wall.id!r} needs either a length or an arc")
        return self


class ClearSpace(Frozen):
    """Space that must stay empty in front of something on a wall.

    Parameters
    ----------
    width
        Along the wall, centred on the thing; 0 means the thing's own width.
    depth
        Out from the wall.
    height
        Up from the floor.
    """

    width: NonNegativeLength = 0.0
    depth: NonNegativeLength = 0.0
    height: NonNegativeLength = 0.0


class WallObstruction(Frozen):
    """Something on a wall that slat-wall must not cover.

    Parameters
    ----------
    id, kind, wall
        Its name, what it is, and the wall it is on.
    offset
        From the wall's left end, as one faces it from inside, to its left edge.
    width, bottom, top
        Its size, heights above the finished floor.
    depth
        How far it stands out of the wall.
    clear
        Floor space it wants in front. A panelboard wants 30 in wide, 36 in deep, 78 in high
        unless the user says otherwise (OSHA 1910.303(g)(1)).
    control_height
        Height of the highest or lowest part of it that is worked by hand.
    used_by
        Who works it: ``customers``, ``staff``, or people who come for ``service``.
    force
        Force that works it.
    volts, opposite
        Of a panelboard: its voltage to ground, and what is opposite its live parts, behind whoever
        works at it: ``nothing`` live or earthed, something ``earthed`` such as a wall of masonry
        or tiles, or other ``live`` parts.
    """

    id: Name
    kind: WallObstructionKind
    wall: Name
    offset: NonNegativeLength
    width: PositiveLength
    bottom: NonNegativeLength
    top: PositiveLength
    depth: NonNegativeLength = 0.0
    clear: ClearSpace | None = None
    control_height: PositiveLength | None = None
    used_by: UsedBy | None = None
    force: Force | None = None
    volts: Annotated[float, Field(gt=0, le=100_000)] | None = None
    opposite: Literal["nothing", "earthed", "live"] | None = None


class Column(Frozen):
    """A column or other thing standing on the floor.

    Parameters
    ----------
    id
        Its name.
    at
        Centre, in the shop's frame.
    size
        Width and depth of a rectangular one.
    diameter
        Of a round one; give one of the two.
    turn
        Degrees anticlockwise of a rectangular one.
    """

    id: Name
    at: Point
    size: tuple[PositiveLength, PositiveLength] | None = None
    diameter: PositiveLength | None = None
    turn: Angle = 0.0

    @model_validator(mode="after")
    def _one_size(self) -> Column:
        if (self.size is None) == (self.diameter is None):
            raise ValueError("give either a size or a diameter")
        return self


class Zone(Frozen):
    """A part of the floor with one use; floor in no zone is for sales.

    Parameters
    ----------
    id, kind
        Its name and use.
    corners
        Its outline, in the shop's frame.
    raised
        How high its floor lies above the floor around it.
    """

    id: Name
    kind: ZoneKind
    corners: Annotated[tuple[Point, ...], Field(min_length=3)]
    raised: NonNegativeLength = 0.0


class Overhead(Frozen):
    """A beam, a duct, a sloping ceiling or something else that hangs over the floor.

    Parameters
    ----------
    id
        Its name.
    corners
        Its outline on the plan, in the shop's frame.
    bottom
        Height of its lowest edge above the floor.
    """

    id: Name
    corners: Annotated[tuple[Point, ...], Field(min_length=3)]
    bottom: PositiveLength


class FittingRoom(Frozen):
    """A room to try clothes on, as measured inside.

    Parameters
    ----------
    id, group
        Its name, and the group of rooms it belongs to, where there are several groups or kinds.
    width, depth
        Clear floor inside.
    door_width, door_in
        Clear opening of its door or curtain, and whether a door swings into it.
    bench_length, bench_depth, bench_height
        Its bench, if it has one; the height is that of the seat.
    shelf
        Height of its shelf, if it has one.
    """

    id: Name
    group: Name = "fitting rooms"
    width: PositiveLength
    depth: PositiveLength
    door_width: PositiveLength
    door_in: bool = False
    bench_length: PositiveLength | None = None
    bench_depth: PositiveLength | None = None
    bench_height: PositiveLength | None = None
    shelf: PositiveLength | None = None


class Studs(Frozen):
    """Where fixings may go.

    Parameters
    ----------
    spacing
        Between stud centres.
    first
        From each wall's left end to the first stud centre.
    load
        Most that hangs on one stud, all that is screwed to it together, by an engineer or by the
        maker of the slat-wall for such a wall.
    """

    spacing: PositiveLength = 406.4
    first: Length = 0.0
    load: Annotated[Mass, Field(gt=0)] | None = None
