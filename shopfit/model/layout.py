"""A layout: what was decided, complete enough to audit, draw and order from."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from shopfit.model.base import Frozen
from shopfit.model.fixtures import Side
from shopfit.model.proof import Proof, Timing
from shopfit.model.range import Way


class Placement(Frozen):
    """A fixture on the floor.

    Parameters
    ----------
    id
        Its tag, unique in the layout, such as ``F3``.
    fixture
        Id in the catalogue.
    x_mm, y_mm
        Back left corner as one faces its front, in the shop's frame.
    angle_deg
        Direction of its width from that corner, degrees anticlockwise from east; the front lies
        to the right hand of that direction.
    wall, offset_mm
        Where it stands against a wall: which, and from its left end to the fixture's left side.
    pinned
        Whether the user pinned it there.
    """

    id: str
    fixture: str
    x_mm: float
    y_mm: float
    angle_deg: float
    wall: str | None = None
    offset_mm: float | None = None
    pinned: bool = False


class Run(Frozen):
    """A slat-wall run.

    Parameters
    ----------
    id
        Its tag, such as ``R1``.
    wall, from_mm, to_mm
        The wall, and distances from its left end as one faces it from inside.
    bottom_mm, top_mm
        Heights above the finished floor.
    sheet
        Id of the sheet it is cut from.
    first_groove_mm
        Height of its lowest groove above the finished floor.
    over
        Tags of the fixtures that stand below it, left to right; empty where nothing does.
    """

    id: str
    wall: str
    from_mm: float
    to_mm: float
    bottom_mm: float
    top_mm: float
    sheet: str
    first_groove_mm: float
    over: tuple[str, ...] = ()


class Slot(Frozen):
    """One line's place on one row.

    Parameters
    ----------
    line, facings
        What, and how many fronts of it.
    from_mm, to_mm
        Along the face, from its left end as the customer faces it.
    way
        Way of display.
    holder
        Id of the bracket or shelf board that holds it; none on a fixture's own shelf.
    brackets
        Number of brackets; 0 where a shelf holds it.
    units
        Units held in all, facings and behind.
    """

    line: str
    facings: int = Field(ge=1)
    from_mm: float
    to_mm: float
    way: Way
    holder: str | None = None
    brackets: int = 0
    units: int = 0


class Row(Frozen):
    """Goods in one level of a block.

    Parameters
    ----------
    bottom_mm, top_mm
        The level's space, heights above the finished floor.
    low_groove, high_groove
        On slat-wall: its lowest and highest groove, 1 being the run's lowest; goods that stand use
        the lowest, goods that hang the highest.
    slots
        Lines from left to right.
    """

    bottom_mm: float
    top_mm: float
    low_groove: int | None = None
    high_groove: int | None = None
    slots: tuple[Slot, ...] = ()


class Block(Frozen):
    """A category block: the rectangle of a face where a category stands.

    Parameters
    ----------
    id
        Its tag, such as ``B7``.
    host, side
        Tag of the fixture or run, and the side of it (runs have only a front).
    category
        What stands there.
    from_mm, to_mm
        Along the face, from its left end as the customer faces it.
    rows
        From the lowest up.
    """

    id: str
    host: str
    side: Side
    category: str
    from_mm: float
    to_mm: float
    rows: tuple[Row, ...] = ()


class CutPiece(Frozen):
    """A piece of a run, cut from a sheet; grooves never turn.

    Parameters
    ----------
    run
        The run it belongs to.
    x_mm, z_mm
        Its place in the run: from the run's left end, and above the run's bottom.
    width_mm, height_mm
        Its size; width along the grooves.
    sheet_number, sheet_x_mm, sheet_z_mm
        The sheet it comes from (1 is the first) and its lower left corner on it.
    """

    run: str
    x_mm: float
    z_mm: float
    width_mm: float
    height_mm: float
    sheet_number: int
    sheet_x_mm: float
    sheet_z_mm: float


class Purchase(Frozen):
    """One line of what is bought.

    Parameters
    ----------
    item
        Id in the catalogue.
    kind
        ``fixture``, ``sheet``, ``bracket`` or ``shelf``.
    needed
        Pieces needed for the layout.
    owned
        Pieces owned already.
    packs
        Packs to buy; a pack of 1 is a piece.
    price
        Price a pack.
    total
        Packs times price.
    """

    item: str
    kind: Literal["fixture", "sheet", "bracket", "shelf"]
    needed: int
    owned: int = 0
    packs: int
    price: float
    total: float


class Claims(Frozen):
    """What the layout says of itself, for the witness to recount.

    Parameters
    ----------
    facings, units, value, cost
        Product fronts, units held, sum of facings times value, and money in all.
    sales
        Expected sales: sum of value times facings to the power of the category's elasticity;
        told where the brief asks for sales.
    objective
        What the search made largest, with the weights of height bands; told where it is none of
        the sums above.
    """

    facings: int
    units: int
    value: float
    cost: float
    sales: float | None = None
    objective: float | None = None


class Layout(Frozen):
    """What was decided.

    Parameters
    ----------
    scenario, fingerprint
        Name of the scenario folder, and a digest of what was given.
    placements, runs, blocks
        Fixtures, slat-wall runs and category blocks.
    cuts, purchases
        Pieces of the runs on their sheets, and what is bought.
    claims
        What the layout says of itself.
    proof, timing
        How good it is, and when it was made.
    versions
        Of shopfit and the libraries that matter.
    """

    scenario: str
    fingerprint: str = ""
    placements: tuple[Placement, ...] = ()
    runs: tuple[Run, ...] = ()
    blocks: tuple[Block, ...] = ()
    cuts: tuple[CutPiece, ...] = ()
    purchases: tuple[Purchase, ...] = ()
    claims: Claims
    proof: Proof | None = None
    timing: Timing = Timing()
    versions: dict[str, str] = Field(default_factory=dict)

    def placement(self, tag: str) -> Placement:
        """Give a placement by tag; raises KeyError."""
        for placement in self.placements:
            if placement.id == tag:
                return placement
        raise KeyError(tag)

    def run(self, tag: str) -> Run:
        """Give a run by tag; raises KeyError."""
        for run in self.runs:
            if run.id == tag:
                return run
        raise KeyError(tag)
