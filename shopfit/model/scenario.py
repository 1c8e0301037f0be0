"""A scenario: everything that is given, in one value."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from shopfit.model.approach import Approach
from shopfit.model.base import Angle, Frozen, Name, NonNegativeLength, Point
from shopfit.model.brief import Brief
from shopfit.model.building import Building
from shopfit.model.finishes import Finishes
from shopfit.model.fixtures import Catalogue
from shopfit.model.openings import Door, Window
from shopfit.model.ownvalues import OwnValues
from shopfit.model.range import Line
from shopfit.model.shell import Column, FittingRoom, Overhead, Room, Studs, WallObstruction, Zone


class Shop(Frozen):
    """What ``shop.yaml`` holds.

    Parameters
    ----------
    name
        Name of the shop, for title blocks.
    units, currency
        How lengths and money are written on everything that people read.
    rulebook
        Name of the rulebook whose values are checked.
    rooms, doors, windows, obstructions, columns, zones, studs
        The shell as measured.
    overheads
        Beams, ducts and sloping ceilings over the floor.
    fitting_rooms
        Rooms to try clothes on.
    approach
        The way in from outside.
    building
        What is known of the building round it.
    finishes
        What the shell is finished with, to be counted in the take-off.
    categories
        Categories that the range may name; any where it is left out.
    brief
        What the owner wants.
    """

    name: Annotated[str, Field(min_length=1, max_length=80)]
    units: Literal["ft-in", "in", "mm", "m"] = "ft-in"
    currency: Annotated[str, Field(min_length=1, max_length=5)] = "USD"
    rulebook: Name = "us"
    rooms: Annotated[tuple[Room, ...], Field(min_length=1)]
    doors: tuple[Door, ...] = ()
    windows: tuple[Window, ...] = ()
    obstructions: tuple[WallObstruction, ...] = ()
    columns: tuple[Column, ...] = ()
    zones: tuple[Zone, ...] = ()
    studs: Studs = Studs()
    overheads: tuple[Overhead, ...] = ()
    fitting_rooms: tuple[FittingRoom, ...] = ()
    approach: Approach = Approach()
    building: Building = Building()
    finishes: Finishes | None = None
    categories: tuple[Name, ...] = ()
    brief: Brief = Brief()


class Keep(Frozen):
    """A fixture that must stand exactly where it is.

    Parameters
    ----------
    fixture
        Its id in the catalogue.
    wall, offset
        Against a wall: which, and from its left end to the fixture's left side.
    at, angle
        Free-standing: place of its back left corner as one faces its front, and the direction of
        its width, degrees anticlockwise from east.
    """

    fixture: Name
    wall: Name | None = None
    offset: NonNegativeLength | None = None
    at: Point | None = None
    angle: Angle = 0.0

    @model_validator(mode="after")
    def _one_place(self) -> Keep:
        against_wall = self.wall is not None and self.offset is not None
        if against_wall == (self.at is not None):
            raise ValueError("give either a wall and an offset, or a place (at)")
        return self


class KeepClear(Frozen):
    """A part of the floor where nothing may stand.

    Parameters
    ----------
    id
        Its name.
    corners
        Its outline, in the shop's frame.
    """

    id: Name
    corners: Annotated[tuple[Point, ...], Field(min_length=3)]


class Pins(Frozen):
    """What ``pins.yaml`` holds.

    Parameters
    ----------
    keep
        Fixtures that must stay where they are.
    clear
        Floor that must stay empty.
    """

    keep: tuple[Keep, ...] = ()
    clear: tuple[KeepClear, ...] = ()


class Scenario(Frozen):
    """Everything that is given.

    Parameters
    ----------
    shop, lines, catalogue, pins
        The contents of ``shop.yaml``, ``range.csv``, ``fixtures.yaml`` and ``pins.yaml``.
    own
        Own values of ``values.yaml`` on top of the rulebook.
    folder
        Name of the scenario folder, for titles.
    """

    shop: Shop
    lines: Annotated[tuple[Line, ...], Field(min_length=1)]
    catalogue: Catalogue
    pins: Pins = Pins()
    own: OwnValues = OwnValues()
    folder: str = ""

    @property
    def brief(self) -> Brief:
        """The brief."""
        return self.shop.brief

    @property
    def categories(self) -> tuple[str, ...]:
        """Category names in the order in which the range first names them."""
        return tuple(dict.fromkeys(line.category for line in self.lines))

    def line(self, name: str) -> Line:
        """Give a line by name; raises KeyError."""
        for line in self.lines:
            if line.line == name:
                return line
        raise KeyError(name)
