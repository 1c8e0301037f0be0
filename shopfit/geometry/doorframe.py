"""The frame of a door that a ramp leads to: along its wall, and out of it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shopfit.model.rampsite import RampTask

Place = tuple[float, float]
Rect = tuple[float, float, float, float]


@dataclass(frozen=True)
class Frame:
    """A frame with the wall of the door as one axis.

    Parameters
    ----------
    origin
        The door's middle on the outside of the wall, in the plan, mm.
    out
        Direction out of the wall, of length 1. The other axis runs along the wall, to the right as
        one faces the door from outside.
    """

    origin: Place
    out: Place

    def to_plan(self, along: float, away: float) -> Place:
        """Give a place of the plan from its distances along the wall and out of it, mm."""
        (x, y), (ox, oy) = self.origin, self.out
        return (x - along * oy + away * ox, y + along * ox + away * oy)

    def from_plan(self, place: Place) -> Place:
        """Give the distances along the wall and out of it of a place of the plan, mm."""
        dx, dy = place[0] - self.origin[0], place[1] - self.origin[1]
        ox, oy = self.out
        return (-dx * oy + dy * ox, dx * ox + dy * oy)

    def heading(self, axis: int, sign: int) -> float:
        """Give the compass of a direction along an axis, degrees anticlockwise from east."""
        ox, oy = self.out
        dx, dy = (-oy, ox) if axis == 0 else (ox, oy)
        return math.degrees(math.atan2(sign * dy, sign * dx)) % 360.0

    def corners(self, rect: Rect) -> tuple[Place, Place, Place, Place]:
        """Give the corners of a rectangle of this frame in the plan, mm."""
        u0, u1, v0, v1 = rect
        return (
            self.to_plan(u0, v0),
            self.to_plan(u1, v0),
            self.to_plan(u1, v1),
            self.to_plan(u0, v1),
        )


def frame_of(task: RampTask) -> Frame:
    """Give the frame of the door of a task.

    In the plan of a rectangle the ground's left end is at nought, and the wall lies along y = 0
    with the ground south of it.
    """
    door, ground = task.door, task.ground
    if door.middle is not None:
        angle = math.radians(door.faces)
        # Whole quarter turns stay exact.
        out = (round(math.cos(angle), 15), round(math.sin(angle), 15))
        return Frame(door.middle, out)
    along = ground.along or 0.0
    left = door.offset if door.offset is not None else (along - door.width) / 2
    return Frame((left + door.width / 2, 0.0), (0.0, -1.0))
