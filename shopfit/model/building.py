"""What is known of the building round the shop: sprinklers, people, and what its floor carries."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from shopfit.model.base import Frozen, Name, Point, PositiveLength, Pressure

Storey = Literal["first", "upper", "wholesale"]


class Sprinkler(Frozen):
    """A sprinkler.

    Parameters
    ----------
    id
        Its name.
    at
        Where it hangs on the plan, in the shop's frame.
    deflector
        Height of its deflector, the toothed plate at its end, above the floor.
    """

    id: Name
    at: Point
    deflector: PositiveLength


class Floor(Frozen):
    """What the floor was built to carry.

    Parameters
    ----------
    live_load
        Live load that it was designed for, from the drawings, the landlord or an engineer.
    under
        Whether it is a ``slab`` on the ground, or ``raised`` over a room or a hollow space.
    storey
        Whether it is the ``first`` floor of a shop, an ``upper`` one, or a floor of a
        ``wholesale`` shop, which building codes tell apart.
    """

    live_load: Pressure | None = None
    under: Literal["slab", "raised"] | None = None
    storey: Storey = "first"


class Building(Frozen):
    """What is known of the building; what is left out is told as not checked.

    Parameters
    ----------
    sprinklered
        Whether there are sprinklers all over the shop.
    deflector
        Height of the lowest deflector above the floor, where they are not listed one by one.
    sprinklers
        Sprinklers, each with its place and height.
    occupants
        How many people the building department has said the shop holds; reckoned from the floor
        where it is left out.
    floor
        What the floor was built to carry.
    """

    sprinklered: bool | None = None
    deflector: PositiveLength | None = None
    sprinklers: tuple[Sprinkler, ...] = ()
    occupants: Annotated[int, Field(ge=1, le=100_000)] | None = None
    floor: Floor = Floor()

    @model_validator(mode="after")
    def _sprinklers_agree(self) -> Building:
        if self.sprinklered is False and (self.sprinklers or self.deflector is not None):
            raise ValueError("sprinklered false says that there are no sprinklers")
        return self

    @property
    def has_sprinklers(self) -> bool | None:
        """Whether there are sprinklers; none where nothing is said."""
        return True if self.sprinklers or self.deflector is not None else self.sprinklered
