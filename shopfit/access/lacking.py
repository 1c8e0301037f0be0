"""Where no ramp fits: how much more ground, or how much less rise, lets one fit."""

from __future__ import annotations

from collections.abc import Callable

from shapely.geometry.base import BaseGeometry

from shopfit.access.ground import grown
from shopfit.model.rampplan import Lacking
from shopfit.model.rampsite import RampTask
from shopfit.units import FOOT_MM, INCH_MM

Fits = Callable[[RampTask, BaseGeometry], bool]
# Ramps longer than this are no help to a small shop, and each try costs time.
MOST_GROWTH = 100 * FOOT_MM
STEP = INCH_MM / 4


def lacking(task: RampTask, site: BaseGeometry, fits: Fits) -> Lacking:
    """Give the least more of ground on each side, and the greatest rise, that something fits.

    Parameters
    ----------
    task, site
        What is asked, and the ground in the door's frame, mm.
    fits
        Whether anything fits for a task on some ground.

    Returns
    -------
    Lengths rounded to a quarter of an inch to the safe side; the lengths found are themselves
    tried, and a quarter of an inch less is found not to be enough.
    """
    sides: dict[str, float | None] = {}
    for side in ("left", "right", "out"):
        sides[side] = _least(lambda more, at=side: fits(task, grown(site, at, more)))  # type: ignore[misc]
    ground = task.ground
    lesser = [each for each in (sides["left"], sides["right"]) if each is not None]
    rise = _greatest(task, lambda less: fits(less, site))
    return Lacking(
        left_mm=sides["left"],
        right_mm=sides["right"],
        out_mm=sides["out"],
        along_mm=ground.along + min(lesser) if ground.along and lesser else None,
        away_mm=ground.away + sides["out"] if ground.away and sides["out"] is not None else None,
        rise_mm=rise,
    )


def _least(enough: Callable[[float], bool]) -> float | None:
    """Give the least growth that is enough, by halving; none where even the most is not."""
    if not enough(MOST_GROWTH):
        return None
    low, high = 0, round(MOST_GROWTH / STEP)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle * STEP) else (middle, high)
    return high * STEP


def _greatest(task: RampTask, fits: Callable[[RampTask], bool]) -> float | None:
    """Give the greatest rise in whole quarters of an inch that fits, by halving."""

    def at(quarters: int) -> bool:
        return fits(task.model_copy(update={"rise": quarters * STEP}))

    low, high = 0, max(1, -int(-task.rise // STEP))
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if at(middle) else (low, middle)
    return low * STEP if low else None
