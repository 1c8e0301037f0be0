"""The way in from outside: ramps, landings and steps."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from shopfit.model.base import Frozen, Name, NonNegativeLength, PositiveLength, Slope

Leaves = Literal["ahead", "left", "right", "back left", "back right"]
StepsLeave = Literal["ahead", "left", "right"]


class Landing(Frozen):
    """A level place at an end of a ramp.

    Parameters
    ----------
    length
        Along the way walked: of the run that comes down to it; at the door, of the first run.
    width
        Across it.
    slope
        Its steepest slope.
    left
        How far it reaches to the left beyond the run that comes down to it, or beyond the door, as
        one walks down; both alike if left out, or towards the turn where the ramp turns.
    """

    length: PositiveLength
    width: PositiveLength
    slope: Slope | None = None
    left: NonNegativeLength | None = None


class Ramp(Frozen):
    """One straight ramp run.

    Parameters
    ----------
    id
        Its name.
    rise, run
        Height climbed and level length of the slope.
    width
        Clear width, between handrails where there are any.
    handrails
        Whether handrails stand on both sides.
    edge_protection
        Whether kerbs or rails keep wheels on.
    top, bottom
        Landings.
    existing_site
        Whether an existing building leaves no room for 1:12 (ADA 405.2 exception).
    cross_slope
        Its slope across.
    leaves
        Which way it goes down from its top landing, as one comes onto that walking down; the first
        run as one comes out of the door.
    set_off
        Where it lies on that side of its landing. Ahead: from the left end of the side. Left or
        right: from the wall, or from the foot of the run before. Back: between it and the run
        before. In line, or at the far end, if left out.
    """

    id: Name
    rise: PositiveLength
    run: PositiveLength
    width: PositiveLength
    handrails: bool = False
    edge_protection: bool = False
    top: Landing
    bottom: Landing
    existing_site: bool = False
    cross_slope: Slope | None = None
    leaves: Leaves | None = None
    set_off: NonNegativeLength | None = None


class Handrail(Frozen):
    """The handrails of ramps and steps.

    Parameters
    ----------
    height
        Of the top of the rail above slope, landings and nosings.
    clear
        Between the rail and the wall beside it; left out where it stands free.
    diameter
        Of a round rail.
    perimeter, across
        Round a rail of another section, and its greatest width.
    beyond_ramp
        How far it runs on, level, beyond the ends of a ramp.
    beyond_top, beyond_bottom
        How far it runs on beyond the top and the bottom of steps.
    blocked
        Share of its underside that brackets and the like obstruct, per cent of its length.
    out
        How far it stands out of the wall into the way.
    """

    height: PositiveLength | None = None
    clear: NonNegativeLength | None = None
    diameter: PositiveLength | None = None
    perimeter: PositiveLength | None = None
    across: PositiveLength | None = None
    beyond_ramp: NonNegativeLength | None = None
    beyond_top: NonNegativeLength | None = None
    beyond_bottom: NonNegativeLength | None = None
    blocked: Annotated[float, Field(ge=0, le=100)] | None = None
    out: NonNegativeLength | None = None


class Steps(Frozen):
    """A flight of steps beside the ramp.

    Parameters
    ----------
    count
        Number of risers.
    riser, tread
        Height and going of each.
    width
        Clear width.
    risers, treads
        Each of them as measured, where they were measured one by one.
    handrails
        Whether handrails stand on both sides.
    open_risers
        Whether one looks through between the treads.
    nosing_radius, nosing_projection
        Rounding of the edge of a tread, and how far it stands out over the tread below.
    leaves
        Which way they go down from the landing at the door, as one comes out of it.
    set_off
        Where they lie on that side of the landing. Ahead: from its left end. Left or right: from
        the wall. In line with the door, or at the far end, if left out.
    level
        Level floor between the landing and their first riser.
    """

    count: Annotated[int, Field(ge=1, le=60)]
    riser: PositiveLength
    tread: PositiveLength
    width: PositiveLength
    risers: tuple[PositiveLength, ...] = ()
    treads: tuple[PositiveLength, ...] = ()
    handrails: bool | None = None
    open_risers: bool | None = None
    nosing_radius: NonNegativeLength | None = None
    nosing_projection: NonNegativeLength | None = None
    leaves: StepsLeave | None = None
    set_off: NonNegativeLength | None = None
    level: NonNegativeLength | None = None


class Approach(Frozen):
    """What lies between the street and the entrance.

    Parameters
    ----------
    floor_above_grade
        Height of the finished floor above the ground at the ramp's foot.
    door
        The door it serves.
    ramps
        Runs in order from the door down.
    steps
        Steps as well, if any.
    handrail
        What the handrails of ramps and steps are like.
    """

    floor_above_grade: NonNegativeLength = 0.0
    door: Name | None = None
    ramps: tuple[Ramp, ...] = ()
    steps: Steps | None = None
    handrail: Handrail | None = None
