"""Cabinets and brackets made in one's own workshop: what describes them, and what they take."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from shopfit.model.base import Count, Frozen, Money, Name, NonNegativeLength, PositiveLength
from shopfit.model.cutting import CutPlan

MaterialKind = Literal["sheet", "length", "piece"]


class Material(Frozen):
    """Something that made things take, with its price.

    Parameters
    ----------
    id, name
        Its number in the list and its name in words.
    kind
        ``sheet`` (panels are cut from it), ``length`` (cleats, rods, edging) or ``piece`` (screws,
        hinges).
    of
        What it is a size of, where one material is sold in several sizes; itself if left out.
    length, width, thickness
        Of a sheet, the length along the grain; of a length, its length alone.
    trim
        Cut off all round a sheet before anything is measured.
    price, pack, owned
        Price a pack, pieces a pack, pieces owned already.
    """

    id: Name
    name: str = Field(default="", max_length=120)
    kind: MaterialKind
    of: Name | None = None
    length: PositiveLength | None = None
    width: PositiveLength | None = None
    thickness: PositiveLength | None = None
    trim: NonNegativeLength = 0.0
    price: Money
    pack: Annotated[int, Field(ge=1, le=100_000)] = 1
    owned: Count = 0

    @property
    def what(self) -> str:
        """What it is a size of."""
        return self.of or self.id

    @model_validator(mode="after")
    def _sized(self) -> Material:
        if self.kind == "sheet" and None in (self.length, self.width, self.thickness):
            raise ValueError("a sheet needs length, width and thickness")
        if self.kind == "length" and self.length is None:
            raise ValueError("a length needs its length")
        if self.length is not None and 2 * self.trim >= min(self.length, self.width or self.length):
            raise ValueError("trim must leave something of it")
        return self


class MadeCabinet(Frozen):
    """How a base cabinet is made; its overall size is that of the fixture.

    Parameters
    ----------
    panel, back
        Materials: sheets for sides, bottom, top, rails, shelves and doors, and for the back; no
        back if left out.
    top
        Whether a panel lies on top.
    shelves, doors
        How many loose shelves, and how many doors over the whole front.
    rail
        Width of the two rails under the top.
    toe_height, toe_depth
        Of the recess for toes.
    edging
        Length material for the edges in front; none if left out.
    screws, pins, hinges, pulls
        Pieces: what they are bought as; what is left out is not counted.
    """

    panel: Name
    back: Name | None = None
    top: bool = True
    shelves: Annotated[int, Field(ge=0, le=20)] = 1
    doors: Annotated[int, Field(ge=0, le=2)] = 0
    rail: PositiveLength = 88.9
    toe_height: NonNegativeLength = 101.6
    toe_depth: NonNegativeLength = 76.2
    edging: Name | None = None
    screws: Name | None = None
    pins: Name | None = None
    hinges: Name | None = None
    pulls: Name | None = None


class MadeBracket(Frozen):
    """How a bracket is made; how far it stands out and what it carries is that of the bracket.

    Parameters
    ----------
    form
        ``cradle``: a plate with two arms and rods across them. ``shelf``: a plate, an arm lying
        on top, and a brace below it.
    panel, cleat, rod
        Materials: sheets for the plate, arms and brace; lengths for the cleat that hangs in the
        groove, and for the rods.
    width, height
        Of the plate; the height is that which leans on the slat-wall.
    arm
        Height of a cradle's arms.
    rods
        How many rods a cradle has.
    screws
        What they are bought as; not counted if left out.
    """

    form: Literal["cradle", "shelf"]
    panel: Name
    cleat: Name
    rod: Name | None = None
    width: PositiveLength
    height: PositiveLength
    arm: PositiveLength = 76.2
    rods: Annotated[int, Field(ge=0, le=10)] = 1
    screws: Name | None = None


class MadeRow(Frozen):
    """One part of a made thing.

    Parameters
    ----------
    item, name
        The made thing: id in the list and name in words.
    part
        What it is.
    count, in_all
        How many one takes, and all that are made take.
    material, material_name
        What it is cut from or bought as.
    length_mm, width_mm, thickness_mm
        Size; none of pieces, no width of a length.
    note
        What else is to be done with it.
    """

    item: str
    name: str
    part: str
    count: int
    in_all: int
    material: str
    material_name: str
    length_mm: float | None = None
    width_mm: float | None = None
    thickness_mm: float | None = None
    note: str = ""


class Made(Frozen):
    """All that is made for a layout.

    Parameters
    ----------
    rows
        Parts, thing by thing.
    plan
        How they are cut; its boards are numbered after the slat-wall's.
    cautions
        What to see to, in sentences.
    estimate, cost
        What the list of fixtures and brackets reckons for the things made, and what their
        materials come to.
    """

    rows: tuple[MadeRow, ...] = ()
    plan: CutPlan = CutPlan()
    cautions: tuple[str, ...] = ()
    estimate: float = 0.0
    cost: float = 0.0
