"""Doors and windows as measured."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from shopfit.model.base import (
    Force,
    Frozen,
    Name,
    NonNegativeLength,
    PositiveLength,
    Seconds,
    Slope,
)

DoorUse = Literal["entrance", "staff", "exit", "inner"]
DoorApproach = Literal["front", "hinge", "latch", "any"]


class DoorGround(Frozen):
    """The level ground outside a door.

    Parameters
    ----------
    depth
        How far it runs out from the door.
    hinge_side, latch_side
        How far it runs on beside the clear opening.
    drop
        How far it lies below the top of the threshold's outer edge or the floor.
    slope
        Its steepest slope.
    """

    depth: NonNegativeLength
    hinge_side: NonNegativeLength = 0.0
    latch_side: NonNegativeLength = 0.0
    drop: NonNegativeLength = 0.0
    slope: Slope | None = None


class Door(Frozen):
    """A door or doorway.

    Parameters
    ----------
    id, wall
        Its name and the wall it is in.
    offset
        From the wall's left end, as one faces it from inside, to the left jamb.
    width, height
        Clear opening.
    hinge
        Side of the hinges as one faces the door from inside.
    swing
        ``in`` or ``out`` of the room, ``sliding``, or ``none`` for an open doorway.
    closer, latch
        Whether it has a closer and a latch (ADA 404.2.4.1 asks more space for them).
    use
        ``entrance`` for customers, ``staff``, ``exit`` for an exit only, ``inner`` between rooms.
    leads_to, depth
        For an inner door: the other room and the thickness of the wall passed.
    approach, approach_beyond
        How people come to it, inside and on the other side: straight (``front``), along the wall
        from the ``hinge`` or the ``latch`` side, or ``any`` way that has the floor for it.
    leaves, leaf_width
        Number of leaves, and the clear opening that one of two leaves; half of it if left out.
    recess, recess_beside
        How far the face of the door lies behind the face of the wall inside, and the distance
        from the latch to the side of the recess.
    threshold, threshold_run, threshold_existing
        Its height, the level length of the bevel on either side, and whether it was there before.
    hardware_height
        Height of handles, locks and what else works it.
    force, closing_seconds, spring_hinge
        Force that opens it; time it takes to close, from 90 to 12 degrees or, on spring hinges,
        from 70 degrees; whether spring hinges close it.
    closer_height
        Height of the lower edge of its closer or overhead stop.
    smooth, glass_bottom
        How far up from the floor its push side is smooth; the lower edge of the lowest glass to
        look through.
    fire_door
        Whether it is a fire door, whose force is the building code's matter.
    outside
        Level ground outside it.
    """

    id: Name
    wall: Name
    offset: NonNegativeLength
    width: PositiveLength
    height: PositiveLength
    hinge: Literal["left", "right"] = "left"
    swing: Literal["in", "out", "sliding", "none"] = "in"
    closer: bool = False
    latch: bool = True
    use: DoorUse = "entrance"
    leads_to: Name | None = None
    depth: NonNegativeLength = 0.0
    approach: DoorApproach = "front"
    approach_beyond: DoorApproach = "front"
    leaves: Annotated[int, Field(ge=1, le=2)] = 1
    leaf_width: PositiveLength | None = None
    recess: NonNegativeLength | None = None
    recess_beside: NonNegativeLength = 0.0
    threshold: NonNegativeLength | None = None
    threshold_run: NonNegativeLength | None = None
    threshold_existing: bool = False
    hardware_height: PositiveLength | None = None
    force: Force | None = None
    closing_seconds: Seconds | None = None
    spring_hinge: bool = False
    closer_height: PositiveLength | None = None
    smooth: NonNegativeLength | None = None
    glass_bottom: NonNegativeLength | None = None
    fire_door: bool = False
    outside: DoorGround | None = None

    @model_validator(mode="after")
    def _leaf_of_two(self) -> Door:
        if self.leaf_width is not None and (self.leaves == 1 or self.leaf_width > self.width):
            raise ValueError("leaf_width must be that of one of two leaves")
        return self

    @property
    def active_width(self) -> float:
        """Clear opening with one leaf open, mm."""
        if self.leaves == 1:
            return self.width
        return self.leaf_width if self.leaf_width is not None else self.width / 2


class Window(Frozen):
    """A window.

    Parameters
    ----------
    id, wall
        Its name and the wall it is in.
    offset
        From the wall's left end, as one faces it from inside, to its left edge.
    width
        Width, with its trim.
    sill, head
        Bottom and top above the finished floor.
    """

    id: Name
    wall: Name
    offset: NonNegativeLength
    width: PositiveLength
    sill: NonNegativeLength
    head: PositiveLength
