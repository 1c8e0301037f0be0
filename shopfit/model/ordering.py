"""How things are ordered: spares, extras, prices by number, freight, tax and suppliers."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from shopfit.model.base import Count, Frozen, Mass, Money, Name, PositiveLength, Share

ForEach = Literal[
    "screw",
    "anchor",
    "open run end",
    "run top",
    "run foot",
    "seam",
    "groove",
    "bracket",
    "shelf board",
    "facing",
    "line",
    "base-cabinet",
    "plinth",
    "glass-case",
    "counter",
    "table",
    "gondola",
    "rack",
]
# What is always cut from lengths, and what may be: an end has a cap, or a profile as high as it is.
LENGTHS: tuple[ForEach, ...] = ("run top", "run foot", "seam", "groove")
BY_LENGTH: tuple[ForEach, ...] = (*LENGTHS, "open run end")
SpareKind = Literal["sheet", "bracket", "shelf", "extra"]


class PriceStep(Frozen):
    """A price from so many packs on.

    Parameters
    ----------
    item
        Id of what is bought.
    packs
        From how many packs on.
    price
        Price a pack then.
    """

    item: Name
    packs: Annotated[int, Field(ge=2, le=1_000_000)]
    price: Money


class Freight(Frozen):
    """Carriage by weight.

    Parameters
    ----------
    for_each
        Weight that one step carries.
    price
        Price of every step begun.
    least
        Least that carriage costs.
    free_over
        Goods for so much money are carried free.
    """

    for_each: Annotated[Mass, Field(gt=0)]
    price: Money
    least: Money = 0.0
    free_over: Money | None = None


class Supplier(Frozen):
    """Somebody else who sells some of the things.

    Parameters
    ----------
    id
        Short name, for a column of the list.
    prices
        Price a pack by id of what is sold; what is not named is not sold.
    steps, freight
        Prices by number, and carriage.
    """

    id: Name
    prices: Annotated[dict[Name, Money], Field(min_length=1)]
    steps: tuple[PriceStep, ...] = ()
    freight: Freight | None = None


class Extra(Frozen):
    """Something bought along with what a layout holds.

    Parameters
    ----------
    id, name
        Its number in the list and its name in words.
    for_each
        What it goes with: a count such as ``screw``, or a length such as ``run top``.
    pieces
        How many for each one counted.
    length
        Of one length as bought, where pieces are cut from it: along tops, feet, seams and grooves
        of runs, and up their open ends where these have a profile and no cap. As few whole lengths
        are bought as all pieces can be cut from.
    price, pack
        Price a pack, pieces a pack.
    weight
        Of one piece.
    owned
        Pieces owned already.
    """

    id: Name
    name: str = Field(default="", max_length=120)
    for_each: ForEach
    pieces: Annotated[int, Field(ge=1, le=1000)] = 1
    length: PositiveLength | None = None
    price: Money
    pack: Annotated[int, Field(ge=1, le=100_000)] = 1
    weight: Mass = 0.0
    owned: Count = 0

    @model_validator(mode="after")
    def _length_where_it_counts(self) -> Extra:
        if self.for_each in LENGTHS and self.length is None:
            raise ValueError(f"{self.for_each} is cut by length: give the length as bought")
        if self.for_each not in BY_LENGTH and self.length is not None:
            raise ValueError(f"{self.for_each} is counted: leave out the length")
        return self


class Ordering(Frozen):
    """How things are ordered.

    Parameters
    ----------
    spares
        Part ordered over what is needed, by kind; common practice, no source.
    extras
        Screws, end caps, trims, inserts and the like.
    steps, freight
        Prices by number, and carriage, of the list itself.
    tax
        Part of the goods' price that is added.
    tax_on_freight
        Whether it is added to carriage too.
    suppliers
        Others who sell some of it; the cheapest way to order from all is looked for.
    """

    spares: dict[SpareKind, Share] = Field(default_factory=dict)
    extras: tuple[Extra, ...] = ()
    steps: tuple[PriceStep, ...] = ()
    freight: Freight | None = None
    tax: Share = 0.0
    tax_on_freight: bool = False
    suppliers: Annotated[tuple[Supplier, ...], Field(max_length=8)] = ()


class OrderRow(Frozen):
    """One item to order.

    Parameters
    ----------
    item, name, kind
        Id, name in words, and what it is.
    counted
        How the need was counted, in words.
    needed, spare, owned
        Pieces needed, the part ordered over them, and pieces owned already.
    pack, packs, left
        Pieces a pack, packs to buy, and pieces left over when all is done.
    supplier
        From whom.
    list_price, price, total
        Price of one pack in the list or at the supplier, what one costs at this number, and all.
    weight_kg
        Of all packs bought; 0 where it is not given.
    asked, offers
        Price of one pack, and what all of it would cost, at each supplier that sells it, by the
        supplier's id; the list is ``list``.
    """

    item: str
    name: str
    kind: Literal["fixture", "sheet", "bracket", "shelf", "material", "extra"]
    counted: str
    needed: int
    spare: float
    owned: int
    pack: int
    packs: int
    left: int
    supplier: str
    list_price: float
    price: float
    total: float
    weight_kg: float
    asked: dict[str, float]
    offers: dict[str, float]


class Consignment(Frozen):
    """What is ordered from one supplier.

    Parameters
    ----------
    supplier
        Whose.
    goods, freight, tax, total
        Money.
    weight_kg
        Of what is carried.
    """

    supplier: str
    goods: float
    freight: float
    tax: float
    total: float
    weight_kg: float


class Order(Frozen):
    """Everything to order, and from whom.

    Parameters
    ----------
    rows, consignments
        Item by item, and supplier by supplier.
    total, budget
        Money in all, and the most it may be, or none.
    saved
        How much less that is than all of it from the list.
    notes
        What else to know: whose materials stand in place of what is made.
    """

    rows: tuple[OrderRow, ...] = ()
    consignments: tuple[Consignment, ...] = ()
    total: float = 0.0
    budget: float | None = None
    saved: float = 0.0
    notes: tuple[str, ...] = ()
