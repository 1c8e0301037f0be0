"""The question of a ramp: how high, on which ground, to which door, at which prices."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from shopfit.model.base import Angle, Frozen, Money, Name, NonNegativeLength, Point, PositiveLength
from shopfit.units import LengthStyle

Ratio = Annotated[float, Field(ge=4, le=40)]
Turns = Annotated[int, Field(ge=0, le=4)]


class Ground(Frozen):
    """The ground that a ramp may take: a rectangle before the wall of the door, or a polygon.

    Parameters
    ----------
    along, away
        Length of the rectangle along the wall, and how far it goes out from the wall.
    corners
        Corners of the polygon instead, in order, in a plan with x east and y north.
    keep_free
        Parts of it that stay free: each a list of corners. In a rectangle x goes from its left end
        to the right as one faces the door from outside, and y from the wall outward, under nought.
    """

    along: PositiveLength | None = None
    away: PositiveLength | None = None
    corners: tuple[Point, ...] = ()
    keep_free: tuple[Annotated[tuple[Point, ...], Field(min_length=3)], ...] = ()

    @model_validator(mode="after")
    def _one_shape(self) -> Ground:
        rectangle = self.along is not None and self.away is not None
        if self.corners and (self.along is not None or self.away is not None):
            raise ValueError("give along and away, or corners, not both")
        if not self.corners and not rectangle:
            raise ValueError("give along and away, or corners")
        if self.corners and len(self.corners) < 3:
            raise ValueError("the ground needs at least 3 corners")
        return self


class WayIn(Frozen):
    """The door that the ramp leads to, as seen by somebody outside who faces it.

    Parameters
    ----------
    width
        Its clear opening.
    offset
        From the left end of a rectangle of ground to the left jamb; in its middle if left out.
    middle, faces
        For ground given by corners: the middle of the door on the outside of the wall, and the
        compass it faces, degrees anticlockwise from east (270 faces south).
    swing, hinge
        As in shop.yaml, but the side of the hinges is that seen from outside.
    leaves, leaf_width
        As in shop.yaml: one of two leaves is passed alone, half the opening if nothing is said.
    closer, latch
        Whether it has them.
    """

    width: PositiveLength = 914.4
    offset: NonNegativeLength | None = None
    middle: Point | None = None
    faces: Angle = 270.0
    swing: Literal["in", "out", "sliding", "none"] = "in"
    hinge: Literal["left", "right"] = "left"
    leaves: Annotated[int, Field(ge=1, le=2)] = 1
    leaf_width: PositiveLength | None = None
    closer: bool = False
    latch: bool = True

    @model_validator(mode="after")
    def _leaf_of_two(self) -> WayIn:
        if self.leaf_width is not None and (self.leaves == 1 or self.leaf_width > self.width):
            raise ValueError("leaf_width must be that of one of two leaves")
        return self

    @property
    def active_width(self) -> float:
        """Clear opening with one leaf open, mm."""
        if self.leaves == 1:
            return self.width
        return self.leaf_width if self.leaf_width is not None else self.width / 2

    @property
    def widest_leaf(self) -> float:
        """Width of the leaf that swings out furthest, mm."""
        return max(self.active_width, self.width - self.active_width)


class RampLimits(Frozen):
    """What is wanted of a ramp beyond the rulebook, and what is tried.

    Parameters
    ----------
    width
        Clear width, between handrails where there are any; as the rulebook asks if left out.
    beside
        Taken up beside the clear width by a handrail with its kerb and posts, on each side.
    kerb
        The same where there is no handrail (1 1/2 in: common practice, no source).
    gap
        Left open between two runs side by side.
    fewest_turns, most_turns
        Turns between runs; turning back counts as one.
    most_rise
        Most that one run climbs; as the rulebook asks if left out.
    slopes
        Slopes tried, as the number behind 1: such as [12, 15]; a few usual ones if left out.
    step
        Lengths of runs are tried in multiples of it.
    steps, steps_width
        Whether steps go beside the ramp, and how wide they are between their handrails (44 in:
        IBC 1011.2, from memory).
    post_spacing
        Most between two posts of a handrail (6 ft: common practice, no source).
    """

    width: PositiveLength | None = None
    beside: NonNegativeLength | None = None
    kerb: NonNegativeLength = 38.1
    gap: NonNegativeLength = 0.0
    fewest_turns: Turns = 0
    most_turns: Turns = 2
    most_rise: PositiveLength | None = None
    slopes: tuple[Ratio, ...] = ()
    step: Annotated[PositiveLength, Field(ge=25.4)] = 1219.2
    steps: Literal["yes", "no", "if they fit"] = "if they fit"
    steps_width: PositiveLength = 1117.6
    post_spacing: PositiveLength = 1828.8

    @model_validator(mode="after")
    def _few_at_most_many(self) -> RampLimits:
        if self.fewest_turns > self.most_turns:
            raise ValueError("fewest_turns must not be over most_turns")
        return self


class RampPrices(Frozen):
    """What the parts of a ramp cost, in the currency of the file; what is left out costs nothing.

    Parameters
    ----------
    per
        Whether lengths are priced by the foot or by the metre, areas by the square of it.
    handrail, edge, guard
        A length of handrail, of edge protection, and of guard where the drop asks for one.
    ramp, deck, foot
        An area of sloping ramp, of landing above the ground, and of landing at the foot.
    bend, post, step
        A bend of a handrail, a post, and a step.
    """

    per: Literal["ft", "m"] = "ft"
    handrail: Money = 0.0
    edge: Money = 0.0
    guard: Money = 0.0
    ramp: Money = 0.0
    deck: Money = 0.0
    foot: Money = 0.0
    bend: Money = 0.0
    post: Money = 0.0
    step: Money = 0.0


class RampTask(Frozen):
    """What a ramp file holds.

    Parameters
    ----------
    name
        What the place is called.
    units, currency
        How lengths and money are written.
    rulebook
        Name of the rulebook whose values are kept.
    rise
        Height of the finished floor at the door above the ground at the foot of the ramp.
    existing_site
        Whether an existing site leaves too little space for the usual slope (ADA 405.2 exception).
    ground, door
        Where the ramp may lie, and what it leads to.
    limits, prices
        What is wanted, and what the parts cost.
    """

    name: Name = "ramp"
    units: LengthStyle = "ft-in"
    currency: Annotated[str, Field(min_length=1, max_length=8)] = "USD"
    rulebook: str = "us"
    rise: PositiveLength
    existing_site: bool = False
    ground: Ground
    door: WayIn = WayIn()
    limits: RampLimits = RampLimits()
    prices: RampPrices | None = None

    @model_validator(mode="after")
    def _a_placed_door(self) -> RampTask:
        if self.ground.corners and self.door.middle is None:
            raise ValueError("a door on ground given by corners needs its middle")
        if not self.ground.corners and self.door.middle is not None:
            raise ValueError("a door on a rectangle of ground is placed by its offset")
        return self
