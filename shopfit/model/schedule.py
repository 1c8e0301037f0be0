"""Rows of the take-off: what stands where, what hangs where, what is cut and what is bought."""

from __future__ import annotations

from typing import Literal

from shopfit.model.base import Frozen
from shopfit.model.cutting import CutBoard, CutProof
from shopfit.model.fixing import ClashRow, FixingRow
from shopfit.model.fixtures import FixtureKind, Side
from shopfit.model.layout import CutPiece
from shopfit.model.making import Made
from shopfit.model.range import Way

ItemKind = Literal["fixture", "sheet", "bracket", "shelf", "material"]
Joint = Literal["end of run", "fixture edge", "stud centre", "between studs"]


class FixtureRow(Frozen):
    """One fixture of the fixture schedule.

    Parameters
    ----------
    tag, fixture, name, kind
        Its tag in the layout, its id in the catalogue, its name in words, and what it is.
    width_mm, depth_mm, height_mm
        Overall size.
    wall, offset_mm
        Where it stands against a wall: which, and from its left end to the fixture's left side.
    x_mm, y_mm, angle_deg
        Back left corner in the shop's frame, and the direction of its width.
    fixed
        Whether it is fastened to the building.
    price
        Price each in the list, owned or not.
    """

    tag: str
    fixture: str
    name: str
    kind: FixtureKind
    width_mm: float
    depth_mm: float
    height_mm: float
    wall: str | None
    offset_mm: float | None
    x_mm: float
    y_mm: float
    angle_deg: float
    fixed: bool
    price: float


class SetOutRow(Frozen):
    """One line's brackets or shelf, to be hung or set.

    Parameters
    ----------
    where, run, side
        The wall and the run on it; or the tag of a fixture, no run, and the side of the fixture.
    datum
        The named corner, or end of a fixture's side, that every distance is measured from.
    block, category, row
        Category block, what it shows, and the row in it (1 is the lowest).
    way, holder, holder_name
        Way of display, and what holds it: id and name; none on a fixture's own shelf.
    brackets, boards
        Brackets to hang; shelf boards to hang, counted with the first line on them.
    groove
        Groove, 1 being the run's lowest; none on a fixture.
    height_mm
        Above the finished floor: the groove; on a fixture the underside of the shelf to set, or
        the top of a table.
    goods_mm
        Above the finished floor: where goods stand, or the top of goods that hang.
    from_mm, to_mm
        Left and right edge of the goods, from the datum.
    first_mm, spacing_mm
        First bracket's centre from the datum, and from one bracket's centre to the next; none
        without brackets, and no spacing for a single one.
    shelf_from_mm, shelf_to_mm
        Left and right end of the shelf board hung on slat-wall, from the datum.
    line, facings, units
        What, how many fronts of it, and units in all.
    load_kg
        Goods of the block on this groove or shelf.
    """

    where: str
    run: str | None
    side: Side
    datum: str
    block: str
    category: str
    row: int
    way: Way
    holder: str | None
    holder_name: str
    brackets: int
    boards: int
    groove: int | None
    height_mm: float
    goods_mm: float
    from_mm: float
    to_mm: float
    first_mm: float | None
    spacing_mm: float | None
    shelf_from_mm: float | None
    shelf_to_mm: float | None
    line: str
    facings: int
    units: int
    load_kg: float

    @property
    def last_mm(self) -> float | None:
        """Last bracket's centre from the datum, mm: a check on the steps; none for a single one."""
        if self.first_mm is None or self.spacing_mm is None:
            return None
        return self.first_mm + self.spacing_mm * (self.brackets - 1)


class CutRow(CutPiece):
    """A piece of slat-wall, where it is cut from and where it hangs.

    Parameters
    ----------
    number
        Its number on the sheet, from the lower left.
    sheet, sheet_name, sheet_width_mm, sheet_height_mm
        The sheet: id, name in words and size.
    wall, from_mm, to_mm, bottom_mm, top_mm
        Where it hangs: wall, distances from the wall's left end, heights above finished floor.
    datum
        Name of the wall's left end.
    joint
        Where its left edge falls.
    tight
        Whether a neighbour on the sheet is nearer than a saw cut, so that both come out short
        by a part of the cut.
    """

    number: int
    sheet: str
    sheet_name: str
    sheet_width_mm: float
    sheet_height_mm: float
    wall: str
    datum: str
    from_mm: float
    to_mm: float
    bottom_mm: float
    top_mm: float
    joint: Joint
    tight: bool


class ShoppingRow(Frozen):
    """One item of the shopping list.

    Parameters
    ----------
    item, name, kind
        Id in the catalogue, name in words, and what it is.
    needed, owned
        Pieces needed, and pieces owned already.
    pack, packs, spare
        Pieces a pack, packs to buy, and pieces left over.
    price, total
        Price a pack, and packs times price.
    """

    item: str
    name: str
    kind: ItemKind
    needed: int
    owned: int
    pack: int
    packs: int
    spare: int
    price: float
    total: float


class TakeOff(Frozen):
    """Everything to order, cut, stand and hang.

    Parameters
    ----------
    fixtures, set_out, shopping, cuts
        The four main lists.
    boards, proofs
        Sheets and lengths as they are cut, in order of their numbers, and how good the cutting is.
    made
        What is made and not bought, or none; the shopping list holds its materials instead.
    fixings, covered
        Screws and anchors of slat-wall, and what on the walls is covered.
    total, budget
        Money in all, and the most it may be, or none.
    """

    fixtures: tuple[FixtureRow, ...] = ()
    set_out: tuple[SetOutRow, ...] = ()
    shopping: tuple[ShoppingRow, ...] = ()
    cuts: tuple[CutRow, ...] = ()
    boards: tuple[CutBoard, ...] = ()
    proofs: tuple[CutProof, ...] = ()
    made: Made | None = None
    fixings: tuple[FixingRow, ...] = ()
    covered: tuple[ClashRow, ...] = ()
    total: float = 0.0
    budget: float | None = None


class CategoryChange(Frozen):
    """Facings of a category before and after.

    Parameters
    ----------
    category, before, after
        Which, and its facings in the first and the second layout.
    """

    category: str
    before: int
    after: int


class FixtureChange(Frozen):
    """A fixture that one layout has and the other has not, or has elsewhere.

    Parameters
    ----------
    change
        What became of it.
    fixture, name
        Id in the catalogue and name in words.
    tag_before, tag_after
        Tags in the two layouts; none where it is missing.
    moved_mm, turned_deg
        How far its back left corner moved, and how far it turned, from -180 to 180 degrees.
    """

    change: Literal["added", "removed", "moved"]
    fixture: str
    name: str
    tag_before: str | None = None
    tag_after: str | None = None
    moved_mm: float = 0.0
    turned_deg: float = 0.0


class ShoppingChange(Frozen):
    """An item bought in other numbers or for other money.

    Parameters
    ----------
    item, name, kind
        Which.
    packs_before, packs_after
        Packs to buy.
    total_before, total_after
        Money.
    """

    item: str
    name: str
    kind: ItemKind
    packs_before: int
    packs_after: int
    total_before: float
    total_after: float


class Comparison(Frozen):
    """Two layouts side by side; every pair is first layout, second layout.

    Parameters
    ----------
    facings, units, value, cost
        Recounted from the layouts.
    categories
        Every category of either scenario, changed or not.
    fixtures, shopping
        Only what differs.
    """

    facings: tuple[int, int]
    units: tuple[int, int]
    value: tuple[float, float]
    cost: tuple[float, float]
    categories: tuple[CategoryChange, ...] = ()
    fixtures: tuple[FixtureChange, ...] = ()
    shopping: tuple[ShoppingChange, ...] = ()
