"""What the parts of a ramp cost by the user's prices."""

from __future__ import annotations

from collections.abc import Iterable

from shopfit.model.rampplan import QuantityRow
from shopfit.model.rampsite import RampPrices, RampTask
from shopfit.units import FOOT_MM

# Which price an item goes by, and whether it is counted, measured along or over.
_PRICED = {
    "ramp surface": ("ramp", "area"),
    "deck": ("deck", "area"),
    "level ground": ("foot", "area"),
    "handrail": ("handrail", "length"),
    "edge protection": ("edge", "length"),
    "guard": ("guard", "length"),
    "bend": ("bend", "count"),
    "post": ("post", "count"),
    "step": ("step", "count"),
}


def priced(rows: Iterable[QuantityRow], task: RampTask) -> tuple[QuantityRow, ...]:
    """Give the rows of a list with their cost; unchanged where there are no prices."""
    prices = task.prices
    if prices is None:
        return tuple(rows)
    return tuple(row.model_copy(update={"cost": cost(row, prices)}) for row in rows)


def cost(row: QuantityRow, prices: RampPrices) -> float:
    """Give what a row costs.

    Parameters
    ----------
    row
        With its count, and length or area where it is priced by them.
    prices
        By the foot and square foot, or by the metre and square metre.
    """
    name, by = _PRICED[row.item]
    price = float(getattr(prices, name))
    unit = FOOT_MM if prices.per == "ft" else 1000.0
    if by == "count":
        return price * row.count
    if by == "length":
        return price * row.count * (row.length_mm or 0.0) / unit
    return price * (row.area_m2 or 0.0) * 1e6 / unit**2
