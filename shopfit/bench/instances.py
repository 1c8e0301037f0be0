"""Draws a whole scenario of a size: the same one for the same seed."""

from __future__ import annotations

from typing import Literal

from shopfit.bench.capacity import capacity
from shopfit.bench.dice import Dice, inches
from shopfit.bench.goods import goods
from shopfit.bench.shells import Shell, shell
from shopfit.bench.sizes import SCARCITY, Size, size_named
from shopfit.bench.stock import catalogue
from shopfit.model.brief import Band, Brief
from shopfit.model.scenario import Scenario, Shop


def instance(
    size: str,
    seed: int,
    *,
    scarcity: float | None = None,
    budget: float | None = None,
    lines: int | None = None,
    step: float | None = None,
    objective: Literal["facings", "value"] = "facings",
) -> Scenario:
    """Draw a scenario.

    Parameters
    ----------
    size
        One of the names in `shopfit.bench.sizes`, where the ranges are.
    seed
        The same seed gives the same scenario; what is given below changes only itself.
    scarcity
        Face wanted over face that the shell can give; drawn from 0.85 to 1.25 if left out.
    budget
        Most that may be spent; no limit if left out.
    lines
        How many lines; as the size says if left out.
    step
        Step of the positions tried, in; as the size says if left out.
    objective
        What is made largest.

    Raises
    ------
    ValueError
        If there is no such size.
    """
    chosen = size_named(size)
    drawn = shell(Dice(f"shell {size} {seed}"), chosen)
    stock = catalogue(Dice(f"stock {size} {seed}"), chosen)
    dice = Dice(f"range {size} {seed}")
    drawn_scarcity, aisle = dice.between(SCARCITY), dice.between(chosen.aisle, 1)
    brief = Brief(
        objective=objective,
        aisle=inches(aisle),
        staff_aisle=inches(chosen.staff_aisle),
        budget=budget,
        step=inches(chosen.step if step is None else step),
        display_top=inches(80),
        run_bottom=inches(12),
        run_gap=inches(2),
        island_height=inches(54),
        finger_gap=inches(1),
        bands=(Band(id="eye", bottom=inches(48), top=inches(66)),),
        wanted=drawn.wanted,
    )
    shop = _shop(chosen, seed, drawn, brief)
    wanted = drawn_scarcity if scarcity is None else scarcity
    count = chosen.lines if lines is None else lines
    room = capacity(shop, stock, chosen.filled)
    ranged = goods(dice, chosen, room, wanted, count)
    return Scenario(shop=shop, lines=ranged, catalogue=stock, folder=f"{size}-{seed}")


def _shop(size: Size, seed: int, drawn: Shell, brief: Brief) -> Shop:
    return Shop(
        name=f"Drawn {size.name} {seed}",
        rooms=drawn.rooms,
        doors=drawn.doors,
        windows=drawn.windows,
        obstructions=drawn.obstructions,
        columns=drawn.columns,
        zones=drawn.zones,
        brief=brief,
    )
