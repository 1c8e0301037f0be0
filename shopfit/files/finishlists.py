"""Writes the take-off of finishes as lists, and checks what a shop says of them."""

from __future__ import annotations

from collections.abc import Iterator

from shopfit.errors import Fault
from shopfit.files.columns import PlainColumn
from shopfit.files.parts import SHOP, fault
from shopfit.files.tables import plain_csv
from shopfit.files.wording import nearest, shortened
from shopfit.geometry.shell import survey
from shopfit.model.finishes import FinishPart, FinishRow, FinishTakeOff, FinishUnit
from shopfit.model.scenario import Shop
from shopfit.units import FOOT_MM, LengthStyle

_FOOT_M = FOOT_MM / 1000
_WORDS: dict[FinishUnit, tuple[str, str]] = {
    "m2": ("sq ft", "m²"),
    "m": ("ft", "m"),
    "corners": ("corners", "corners"),
    "pieces": ("pieces", "pieces"),
}
WASTE_SOURCE = "your own; common practice, no source"


def in_units(amount: float, unit: FinishUnit, style: LengthStyle) -> tuple[float, str]:
    """Give an amount in the units of a shop, and the unit's name."""
    imperial = style in ("ft-in", "in")
    factor = {"m2": _FOOT_M**2, "m": _FOOT_M}.get(unit, 1.0) if imperial else 1.0
    return amount / factor, _WORDS[unit][0 if imperial else 1]


def finish_csv(take_off: FinishTakeOff, shop: Shop) -> dict[str, str]:
    """Write the finishes to buy, and what each is the sum of, as comma-separated text.

    Parameters
    ----------
    take_off, shop
        The lists, and the shop whose units and currency they are written in.

    Returns
    -------
    Texts by file name.
    """
    return {
        "finishes.csv": plain_csv(row_columns(shop), take_off.rows),
        "finishes-parts.csv": plain_csv(part_columns(shop), take_off.parts),
    }


def row_columns(shop: Shop) -> tuple[PlainColumn, ...]:
    """Give the columns of the finishes to buy."""
    style, currency = shop.units, shop.currency

    def amount(row: FinishRow) -> float:
        return round(in_units(row.amount, row.unit, style)[0], 3)

    def pack(row: FinishRow) -> float:
        return round(in_units(row.pack, row.unit, style)[0], 3)

    return (
        PlainColumn("Item", lambda row: str(row.item), "text"),
        PlainColumn("Measured", amount, "length"),
        PlainColumn("Unit", lambda row: in_units(0.0, row.unit, style)[1], "text"),
        PlainColumn("Waste (%)", lambda row: round(row.waste * 100, 3), "length"),
        PlainColumn("Waste is", lambda row: WASTE_SOURCE if row.waste else "", "text"),
        PlainColumn("One piece or pack covers", pack, "length"),
        PlainColumn("Cut from lengths", lambda row: row.cut, "count"),
        PlainColumn("Pieces or packs to buy", lambda row: row.packs, "count"),
        PlainColumn(f"Price each ({currency})", lambda row: row.price, "money"),
        PlainColumn(f"Total ({currency})", lambda row: row.total, "money"),
        PlainColumn("Note", lambda row: row.note, "text"),
    )


def part_columns(shop: Shop) -> tuple[PlainColumn, ...]:
    """Give the columns of what the finishes are the sum of."""
    style = shop.units

    def amount(part: FinishPart) -> float:
        return round(in_units(part.amount, part.unit, style)[0], 3)

    return (
        PlainColumn("Item", lambda part: str(part.item), "text"),
        PlainColumn("Where", lambda part: part.where, "text"),
        PlainColumn("Reckoned as", lambda part: part.formula, "text"),
        PlainColumn("Amount", amount, "length"),
        PlainColumn("Unit", lambda part: in_units(0.0, part.unit, style)[1], "text"),
    )


def check_finishes(shop: Shop) -> Iterator[Fault]:
    """Give every fault of the finishes: walls that are not there."""
    if shop.finishes is None:
        return
    walls = [wall.id for wall in survey(shop).walls]
    walls += [wall.id for room in shop.rooms for wall in room.walls if wall.id not in walls]
    for name in ("wainscot", "insulation"):
        chosen = getattr(shop.finishes, name)
        for wall in chosen.walls if chosen is not None else ():
            if wall not in walls:
                yield fault(
                    SHOP,
                    "finishes",
                    name,
                    "walls",
                    given=shortened(wall),
                    allowed="the name of a wall",
                    mend=nearest(wall, walls, "Add the wall."),
                )
