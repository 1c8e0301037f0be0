"""The brief: what the owner wants of the layout."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from shopfit.model.base import Count, Frozen, Money, Name, NonNegativeLength, PositiveLength
from shopfit.model.fixtures import FixtureKind


class Band(Frozen):
    """A height band that lines may ask for.

    Parameters
    ----------
    id
        Its name, such as ``eye``.
    bottom, top
        A row is in the band if the middle of its goods space lies between the two.
    """

    id: Name
    bottom: NonNegativeLength
    top: PositiveLength

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


class Brief(Frozen):
    """What the owner wants.

    Parameters
    ----------
    objective
        What is made largest after every minimum is met: ``facings`` (then value) or ``value``
        (then facings); cost is always last.
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
    """

    objective: Literal["facings", "value"] = "facings"
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

    def band(self, band_id: str) -> Band:
        """Give a band by id; raises KeyError."""
        for band in self.bands:
            if band.id == band_id:
                return band
        raise KeyError(band_id)
