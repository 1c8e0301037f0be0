"""Prices of lines at which faces are filled: by size, or by what their places are worth."""

from __future__ import annotations

import math
from collections.abc import Mapping

from shopfit.solver.effort import Purse
from shopfit.solver.facesprogram import Demand
from shopfit.solver.fill import Filler
from shopfit.solver.master import Master
from shopfit.stopping import StopFlag

# The parts of each face that the program has: on all of it everything might fit, and then no place
# would be worth anything. Of a lesser part it has where all fits on the first.
_ROOM = (0.97, 0.85)
# Rounds of growth, after which prices hardly change, and seconds of a slow core that these take
# for each line and type of face, and more with many lines.
_ROUNDS = 25
_SECONDS_PER_LINE = 8.0e-4
_FEW_LINES = 150
# Lines up to which they are looked for: a store of 1,200 gained nothing by them.
_MOST_LINES = 400
# The part of the seconds at hand that prices may take.
_SHARE = 0.3
# The least that a price may be, as a part of the usual one, and the part of it that is by size:
# some places are worth nothing to the program, which takes parts of fillings.
_LEAST = 0.01
_BY_SIZE = 0.2
_EPS = 1e-6


def size_prices(filler: Filler) -> dict[str, float]:
    """Give each line a price that grows with its worth and with its size, of which 1 is usual.

    By size alone where all facings are worth the same, so that small goods are left over; else the
    geometric mean of worth and size, for in their product a few large and dear lines outweigh all
    others.
    """
    prices = {}
    facings = filler.site.brief.objective == "facings"
    for line in filler.site.scenario.lines:
        worth = filler.worth.of(line.line, line.max_facings) / max(1, line.max_facings)
        price = worth * line.width * line.height
        prices[line.line] = price if facings else math.sqrt(price)
    usual = sum(prices.values()) / max(1, len(prices))
    return {name: price / usual if usual > 0 else 1.0 for name, price in prices.items()}


def place_prices(
    filler: Filler, seed: int, stop: StopFlag, purse: Purse
) -> dict[str, float] | None:
    """Give each line a price as high as what else could stand in its place is worth.

    A price is what a facing is worth, less what one more of them wanted would bring. So it counts
    how well widths go into rows as well as how large goods are, which prices by size do not.

    Parameters
    ----------
    filler
        The faces of a floor, and how lines can be shown.
    seed, stop
        Seed of the order in which faces are filled, and the stop flag.
    purse
        What may be spent, and from which it is taken.

    Returns
    -------
    Prices, of which the usual one is 1; or none where lines are many, where prices would take too
    much of what there is, or where all that is wanted has room to spare.
    """
    own = filler.site.scenario.lines
    if len(own) > _MOST_LINES:
        return None
    types = len({(face.kind, face.width, face.near, face.barred) for face in filler.faces})
    seconds = _SECONDS_PER_LINE * len(own) * types * (1 + len(own) / _FEW_LINES)
    most = filler.worth.most({line.line: line.max_facings for line in own})
    for room in _ROOM:
        if stop.requested or seconds > _SHARE * purse.left:
            return None
        program = _program(filler, room)
        value = program.generate(_ROUNDS, stop, seed, _SHARE * purse.left)
        purse.spend(program.work.seconds)
        if value is None:
            return None
        if value < most - _EPS * max(1.0, most):
            return _blended(program.place_price, size_prices(filler))
    return None


def _program(filler: Filler, room: float) -> Master:
    """Set up the program of all faces, of which there is a part."""
    own = filler.site.scenario.lines
    demand = Demand(
        {line.line: line.max_facings for line in own},
        {line.line: line.min_facings for line in own},
        {line.line: line.holding for line in own},
        {},
        filler.money,
    )
    lines = {name: filler.lines(name) for name in filler.categories}
    return Master(
        lines, filler.display, filler.faces, demand, filler.worth, room=room, each_row=True
    )


def _blended(price: Mapping[str, float], by_size: Mapping[str, float]) -> dict[str, float]:
    """Set prices in relation to their mean, and mix them with prices by size."""
    usual = max(_EPS, sum(max(0.0, each) for each in price.values()) / max(1, len(price)))
    return {
        name: max(_LEAST, _BY_SIZE * by_size[name] + (1 - _BY_SIZE) * each / usual)
        for name, each in price.items()
    }
