"""The way in from outside: ramps, landings and steps."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from shopfit.model.base import Frozen, Name, NonNegativeLength, PositiveLength


class Landing(Frozen):
    """A level place at an end of a ramp.

    Parameters
    ----------
    length
        Along the way walked.
    width
        Across it.
    """

    length: PositiveLength
    width: PositiveLength


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
    """

    count: Annotated[int, Field(ge=1, le=60)]
    riser: PositiveLength
    tread: PositiveLength
    width: PositiveLength


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
    """

    floor_above_grade: NonNegativeLength = 0.0
    door: Name | None = None
    ramps: tuple[Ramp, ...] = ()
    steps: Steps | None = None
