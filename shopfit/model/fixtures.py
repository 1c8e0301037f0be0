"""What may be bought or made: fixtures, slat-wall sheets, brackets and shelves."""

from __future__ import annotations

from typing import Annotated, Literal, TypeVar

from pydantic import Field, model_validator

from shopfit.model.base import (
    Count,
    Frozen,
    LineLoad,
    Mass,
    Money,
    Name,
    NonNegativeLength,
    PositiveLength,
)
from shopfit.model.making import MadeBracket, MadeCabinet, Material
from shopfit.model.ordering import Ordering

FixtureKind = Literal["base-cabinet", "plinth", "glass-case", "counter", "table", "gondola", "rack"]
FaceKind = Literal["shelf", "case", "table"]
Side = Literal["front", "back", "left", "right"]
Stand = Literal["wall", "island", "divider"]


class DisplayFace(Frozen):
    """A side of a fixture that shows goods.

    Parameters
    ----------
    side
        Which side the customer looks at; ``left`` and ``right`` as seen from the front.
    kind
        ``shelf`` (adjustable shelves), ``case`` (shelves behind locked glass), ``table`` (one
        level).
    width
        Usable length along the side; the whole side if left out.
    bottom, top
        Height above the floor of the lowest display surface, and of the highest goods.
    depth
        Usable depth of shelf or table from that side.
    pitch
        Step at which shelves adjust.
    board
        Thickness of a shelf.
    load
        Most that one shelf of the whole width carries, by its maker.
    """

    side: Side = "front"
    kind: FaceKind
    width: PositiveLength | None = None
    bottom: NonNegativeLength
    top: PositiveLength
    depth: PositiveLength
    pitch: PositiveLength = 50.8
    board: NonNegativeLength = 19.05
    load: Mass = 50.0

    @model_validator(mode="after")
    def _upright(self) -> DisplayFace:
        if self.top <= self.bottom:
            raise ValueError("top must be above bottom")
        return self


class KneeRoom(Frozen):
    """Room for knees and toes under a counter, where people drive up to it forward.

    Parameters
    ----------
    width
        Clear width.
    height
        Height of the underside of the counter.
    depth, depth_high
        Depth for knees, 9 in and 27 in above the floor.
    toes
        Depth up to 9 in above the floor.
    """

    width: PositiveLength
    height: PositiveLength
    depth: NonNegativeLength
    depth_high: NonNegativeLength
    toes: NonNegativeLength


class Overhang(Frozen):
    """What stands out beyond the part of a fixture that a cane meets.

    Parameters
    ----------
    out
        How far, on the sides where people pass; 0 where nothing does.
    bottom
        Height of its lower edge.
    post
        Whether it is carried by a post, such as the top of a round table.
    posts_apart
        Clear gap between two posts that carry it.
    """

    out: NonNegativeLength
    bottom: NonNegativeLength = 0.0
    post: bool = False
    posts_apart: NonNegativeLength = 0.0


class Fixture(Frozen):
    """Something that stands on the floor.

    Parameters
    ----------
    id, kind, name
        Its number in the list, what it is, and its name in words.
    width, depth, height
        Overall size; the front is a side of the width.
    stands
        Where it may stand: against a ``wall``, as an ``island``, as a ``divider`` on the edge of
        the staff zone.
    faces
        Sides that show goods.
    slat_above
        Whether slat-wall may hang on the wall above it.
    fixed
        Whether it is fastened to the building; loose ones are judged as movable.
    weight
        Empty.
    price, available, owned
        Price each, how many can be had, how many are owned already and cost nothing.
    service_height, service_width
        For a counter: height of the customer's surface and width of its lowest part.
    service, service_offset
        What it serves for, where there are several kinds of service; and how far its lowest part
        begins from its left end, as the customer faces it.
    service_approach, knees
        Whether customers stand ``parallel`` to it or drive up ``forward``, and the room for their
        knees.
    service_altered
        Whether a low part of full length would take away from counters that are there already.
    checkout, edge, writing_height
        Whether it stands at a check-out aisle; how far its edge stands above its surface; height
        of a surface to write on.
    overhang
        What stands out beyond the part that a cane meets.
    raised
        Height of its lowest edge, where it hangs on the wall and nothing of it stands below.
    lock_height
        Height of the lock of a case.
    made
        How it is made, if it is made and not bought. Its materials are then what list and order
        hold and what counts there; its price is only what the layout and its budget reckon one at,
        and no supplier may be said to sell it.
    """

    id: Name
    kind: FixtureKind
    name: str = Field(default="", max_length=120)
    width: PositiveLength
    depth: PositiveLength
    height: PositiveLength
    stands: Annotated[tuple[Stand, ...], Field(min_length=1)]
    faces: tuple[DisplayFace, ...] = ()
    slat_above: bool = True
    fixed: bool = False
    weight: Mass = 0.0
    price: Money
    available: Count = 1000
    owned: Count = 0
    service_height: PositiveLength | None = None
    service_width: PositiveLength | None = None
    service: Name | None = None
    service_offset: NonNegativeLength | None = None
    service_approach: Literal["parallel", "forward"] = "parallel"
    knees: KneeRoom | None = None
    service_altered: bool = False
    checkout: bool = False
    edge: NonNegativeLength | None = None
    writing_height: PositiveLength | None = None
    overhang: Overhang | None = None
    raised: NonNegativeLength = 0.0
    lock_height: PositiveLength | None = None
    made: MadeCabinet | None = None

    @property
    def customer_sides(self) -> tuple[Side, ...]:
        """Sides that a customer must reach: every display side, and the front of a counter."""
        sides: list[Side] = [face.side for face in self.faces]
        if self.kind == "counter":
            sides.append("front")
        order: tuple[Side, ...] = ("front", "back", "left", "right")
        return tuple(side for side in order if side in sides)

    def face(self, side: Side) -> DisplayFace:
        """Give the display face on a side; raises KeyError where there is none."""
        for face in self.faces:
            if face.side == side:
                return face
        raise KeyError(side)


class Sheet(Frozen):
    """A slat-wall sheet; grooves run along its width.

    Parameters
    ----------
    id, name
        Its number in the list and its name in words.
    width, height
        Sheet size; the width lies along the grooves.
    groove_pitch, first_groove
        Distance between grooves, and from a sheet's lower edge to its lowest groove.
    groove_load
        Most that one groove carries per length, by its maker.
    thickness
        Of the sheet.
    price, pack, available
        Price a pack, sheets a pack, packs that can be had.
    weight
        Of one sheet.
    """

    id: Name
    name: str = Field(default="", max_length=120)
    width: PositiveLength
    height: PositiveLength
    groove_pitch: PositiveLength = 76.2
    first_groove: NonNegativeLength = 38.1
    groove_load: LineLoad
    thickness: PositiveLength = 19.05
    price: Money
    pack: Annotated[int, Field(ge=1, le=1000)] = 1
    available: Count = 1000
    weight: Mass = 0.0


class Bracket(Frozen):
    """A bracket that hangs in a groove and holds one way of display.

    Parameters
    ----------
    id, name
        Its number in the list and its name in words.
    kind
        ``hook``, ``face-out`` or ``cradle``: goods hang from the first two and stand in the last.
    depth
        How far it stands out of the slat-wall.
    load
        Most that one carries, by its maker.
    units
        Most units on the brackets of one facing; by depth alone if left out.
    per_facing
        Brackets that one facing needs; a long thing in cradles needs 2.
    rise
        Room the bracket takes itself: under the goods of a cradle, above those of a hook.
    price, pack
        Price a pack, brackets a pack.
    weight
        Of one, for carriage.
    made
        How it is made, if it is made and not bought. Its materials are then what list and order
        hold and what counts there; its price is only what the layout and its budget reckon one at,
        and no supplier may be said to sell it.
    """

    id: Name
    name: str = Field(default="", max_length=120)
    kind: Literal["hook", "face-out", "cradle"]
    depth: PositiveLength
    load: Mass
    units: Annotated[int, Field(ge=1, le=1000)] | None = None
    per_facing: Annotated[int, Field(ge=1, le=10)] = 1
    rise: NonNegativeLength = 12.7
    price: Money
    pack: Annotated[int, Field(ge=1, le=10_000)] = 1
    weight: Mass = 0.0
    made: MadeBracket | None = None


class ShelfBoard(Frozen):
    """A shelf hung in a groove on its own brackets.

    Parameters
    ----------
    id, name
        Its number in the list and its name in words.
    length, depth, thickness
        Board size as bought; the length lies along the groove and may be cut.
    load
        Most that a whole board carries, by its maker.
    price, pack
        Price a pack with the brackets it needs, boards a pack.
    weight
        Of one, for carriage.
    """

    id: Name
    name: str = Field(default="", max_length=120)
    length: PositiveLength
    depth: PositiveLength
    thickness: PositiveLength = 19.05
    load: Mass
    price: Money
    pack: Annotated[int, Field(ge=1, le=1000)] = 1
    weight: Mass = 0.0

    def cost_of(self, width: float) -> float:
        """Give the money for so much of its length, mm, at least: boards are bought whole."""
        return width / self.length * self.price / self.pack


class Catalogue(Frozen):
    """Everything that may be bought or made, with prices.

    Parameters
    ----------
    fixtures, sheets, brackets, shelves
        The lists; ids are unique over all four.
    materials
        What made things take.
    ordering
        How they are ordered: spares, extras, prices by number, freight, tax and suppliers.
    """

    fixtures: tuple[Fixture, ...] = ()
    sheets: tuple[Sheet, ...] = ()
    brackets: tuple[Bracket, ...] = ()
    shelves: tuple[ShelfBoard, ...] = ()
    materials: tuple[Material, ...] = ()
    ordering: Ordering | None = None

    def fixture(self, fixture_id: str) -> Fixture:
        """Give a fixture by id; raises KeyError."""
        return _by_id(self.fixtures, fixture_id)

    def sheet(self, sheet_id: str) -> Sheet:
        """Give a sheet by id; raises KeyError."""
        return _by_id(self.sheets, sheet_id)

    def bracket(self, bracket_id: str) -> Bracket:
        """Give a bracket by id; raises KeyError."""
        return _by_id(self.brackets, bracket_id)

    def shelf(self, shelf_id: str) -> ShelfBoard:
        """Give a shelf board by id; raises KeyError."""
        return _by_id(self.shelves, shelf_id)


Item = TypeVar("Item", Fixture, Sheet, Bracket, ShelfBoard)


def _by_id(items: tuple[Item, ...], wanted: str) -> Item:
    for item in items:
        if item.id == wanted:
            return item
    raise KeyError(wanted)
