"""The brief: what the owner wants of the layout."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from shopfit.model.base import (
    Count,
    Frozen,
    Mass,
    Money,
    Name,
    NonNegativeLength,
    Point,
    PositiveLength,
)
from shopfit.model.fixtures import FixtureKind

Objective = Literal["facings", "value", "sales"]
Exponent = Annotated[float, Field(gt=0, le=1)]


class Band(Frozen):
    """A height band that lines may ask for, and that may count more or less than others.

    Parameters
    ----------
    id
        Its name, such as ``eye``.
    bottom, top
        A row is in the band if the middle of its goods space lies between the two.
    weight
        What a facing in a row of the band counts for the objective, by the owner's own
        judgement, for no table of such weights is published. A row in several bands counts by
        the greatest weight among them; a row in none counts 1.
    """

    id: Name
    bottom: NonNegativeLength
    top: PositiveLength
    weight: Annotated[float, Field(ge=0, le=100)] = 1.0

    @model_validator(mode="after")
    def _upright(self) -> Band:
        if self.top <= self.bottom:
            raise ValueError("top must be above bottom")
        return self


class Wanted(Frozen):
    """How many of a fixture, or of a kind, the layout must hold.

    Parameters
    ----------
    fixture, kind
        One of the two.
    at_least, at_most
        Numbers, both included.
    """

    fixture: Name | None = None
    kind: FixtureKind | None = None
    at_least: Count = 0
    at_most: Count | None = None

    @model_validator(mode="after")
    def _one_subject(self) -> Wanted:
        if (self.fixture is None) == (self.kind is None):
            raise ValueError("give either a fixture or a kind")
        if self.at_most is not None and self.at_most < self.at_least:
            raise ValueError("at_most must not be under at_least")
        return self

    @property
    def subject(self) -> str:
        """The fixture or kind that is counted."""
        return self.fixture or self.kind or ""


class Elasticity(Frozen):
    """How much more of a category is sold when it gets more facings.

    Sales are taken to go with the facings of a line to a power: twice the facings sell
    2 to the power of 0.17, or 1.125 times as much.

    Parameters
    ----------
    default
        The power for every category that has none of its own.
    categories
        The power by category: lower for what people must have, higher for what they buy on
        impulse.

    Source
    ------
    Default: mean of 1,268 estimates, lowest for commodities and highest for impulse buys; Eisend
    2014, Shelf space elasticity: a meta-analysis, Journal of Retailing 90(2), 168-181; abstract
    read, pages from memory.
    """

    default: Exponent = 0.17
    categories: dict[Name, Exponent] = Field(default_factory=dict)

    def of(self, category: str) -> float:
        """Give the power of a category."""
        return self.categories.get(category, self.default)


class Merchandising(Frozen):
    """Where goods stand among one another and along the customer's way.

    Parameters
    ----------
    blocks
        Most groups of touching blocks in which a category may stand, by category.
    touch
        Pairs of categories of which some block must touch some block of the other.
    apart
        Pairs of categories of which no block may touch a block of the other.
    order
        Lists of categories in the order in which a customer must pass them.
    way
        The customer's main way from the entrance on, as corners in the shop's frame. Left out,
        faces follow one another by their straight distance from the entrance.
    heavy_over
        Lines of which one unit weighs more stand or hang low; given together with heavy_top.
    heavy_top
        Highest upper edge of the rows of heavy lines, above the finished floor.
    new_within
        Farthest along the way, from the entrance, of a face with lines that are new.
    """

    blocks: dict[Name, Annotated[int, Field(ge=1, le=1000)]] = Field(default_factory=dict)
    touch: tuple[tuple[Name, Name], ...] = ()
    apart: tuple[tuple[Name, Name], ...] = ()
    order: tuple[Annotated[tuple[Name, ...], Field(min_length=2)], ...] = ()
    way: Annotated[tuple[Point, ...], Field(min_length=2)] | None = None
    heavy_over: Mass | None = None
    heavy_top: PositiveLength | None = None
    new_within: NonNegativeLength | None = None

    @model_validator(mode="after")
    def _both_of_heavy(self) -> Merchandising:
        if self.heavy_top is None and self.heavy_over is not None:
            raise ValueError("heavy_over needs heavy_top")
        if self.heavy_over is None and self.heavy_top is not None:
            raise ValueError("heavy_top needs heavy_over")
        return self


class Brief(Frozen):
    """What the owner wants.

    Parameters
    ----------
    objective
        What is made largest after every minimum is met: ``facings`` (then value), ``value``
        (then facings) or ``sales``, expected sales (then facings); cost is always last.
    aisle
        Clear width wanted along every customer front and on the way there.
    staff_aisle
        Clear width wanted on the way to the staff zone and behind counters.
    budget
        Most that fixtures, sheets, brackets and shelves may cost together, or no limit.
    step
        Step of the positions tried for fixtures.
    display_top
        Highest place of any goods on walls.
    run_bottom
        Lowest place of slat-wall where nothing stands below it.
    run_gap
        Gap between the top of a fixture and the slat-wall above it.
    island_height
        Tallest fixture allowed away from the walls, to keep sight of the shop.
    finger_gap
        Gap kept above goods to take them out.
    bands
        Height bands that lines may ask for.
    wanted
        Fixtures that must be there.
    elasticity
        How expected sales go with facings, where they are the objective.
    merchandising
        Where goods stand among one another and along the customer's way.
    """

    objective: Objective = "facings"
    aisle: PositiveLength = 1066.8
    staff_aisle: PositiveLength = 914.4
    budget: Money | None = None
    step: Annotated[PositiveLength, Field(ge=25)] = 152.4
    display_top: PositiveLength = 2032.0
    run_bottom: NonNegativeLength = 304.8
    run_gap: NonNegativeLength = 50.8
    island_height: PositiveLength = 1371.6
    finger_gap: NonNegativeLength = 25.4
    bands: tuple[Band, ...] = ()
    wanted: tuple[Wanted, ...] = ()
    elasticity: Elasticity = Elasticity()
    merchandising: Merchandising = Merchandising()

    @property
    def weighted(self) -> bool:
        """Whether a facing counts more or less by the height band that it stands in."""
        return any(band.weight != 1.0 for band in self.bands)

    def band(self, band_id: str) -> Band:
        """Give a band by id; raises KeyError."""
        for band in self.bands:
            if band.id == band_id:
                return band
        raise KeyError(band_id)
