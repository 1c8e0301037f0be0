"""Prices at which faces are filled: by size, and by what places are worth."""

from __future__ import annotations

import math

import pytest

from shopfit.model.options import SolveOptions
from shopfit.solver import lineprices
from shopfit.solver.bettering import Betterer
from shopfit.solver.effort import Purse
from shopfit.solver.fill import Filler
from shopfit.solver.lineprices import place_prices, size_prices
from shopfit.stopping import StopFlag
from tests.solver import build as b


def scarce(snug: int = 6, wide: int = 99) -> Filler:
    """Give two faces with two rows each, which hold three snug or two hardly wider goods."""
    lines = [
        b.line("snug", width=b.mm(325.0), max_facings=snug),
        b.line("wide", width=b.mm(337.5), max_facings=wide),
    ]
    return b.filler(b.scenario(lines), [975.0] * 2)


def found(filler: Filler, seconds: float = 60.0) -> tuple[dict[str, float] | None, float]:
    """Give prices by places, and what they cost."""
    purse = Purse(seconds)
    return place_prices(filler, 0, StopFlag(), purse), seconds - purse.left


def test_prices_by_size_grow_with_size():
    """Goods twice as large are twice as dear, and the usual price is 1."""
    lines = [b.line("small", width=b.mm(100.0)), b.line("large", width=b.mm(200.0))]
    prices = size_prices(b.filler(b.scenario(lines), [975.0]))
    assert prices["large"] == pytest.approx(2 * prices["small"])
    assert sum(prices.values()) == pytest.approx(2.0)


def test_prices_by_size_grow_with_the_roots_of_size_and_worth_where_worths_differ():
    """Goods four times as large, or four times as dear, have twice the price."""
    lines = [
        b.line("plain", width=b.mm(100.0), value=3),
        b.line("large", width=b.mm(400.0), value=3),
        b.line("dear", width=b.mm(100.0), value=12),
    ]
    prices = size_prices(b.filler(b.scenario(lines, brief={"objective": "value"}), [975.0]))
    assert prices["large"] == pytest.approx(2 * prices["plain"])
    assert prices["dear"] == pytest.approx(2 * prices["plain"])


def test_prices_by_places_tell_what_goes_badly_into_rows():
    """A row holds two wide goods or three snug ones, so a place of one is worth half as much again.

    Of a price a fifth is by size, by which they differ by a twenty-fifth only.
    """
    filler = scarce()
    prices, cost = found(filler)
    size = size_prices(filler)
    assert prices is not None
    assert cost > 0
    for name, place in (("snug", 0.8), ("wide", 1.2)):
        assert prices[name] == pytest.approx(0.8 * place + 0.2 * size[name], rel=1e-3)


@pytest.mark.parametrize(("wide", "priced"), [(2, False), (3, True), (4, True)])
def test_what_has_room_to_spare_has_no_prices_by_places(wide: int, priced: bool):
    """Six snug goods take two rows, two wide ones one; 97 % of four rows are 3.88, 85 % are 3.4."""
    prices, cost = found(scarce(wide=wide))
    assert (prices is not None) == priced
    assert cost > 0


@pytest.mark.parametrize(("most", "priced"), [(1, False), (2, True)])
def test_many_lines_have_no_prices_by_places(
    most: int, priced: bool, monkeypatch: pytest.MonkeyPatch
):
    """Two lines are priced where two are few enough, and nothing is spent where they are not."""
    monkeypatch.setattr(lineprices, "_MOST_LINES", most)
    prices, cost = found(scarce())
    assert (prices is not None) == priced
    assert (cost > 0) == priced


def test_prices_that_would_take_too_long_are_not_looked_for():
    """With hardly any seconds nothing is spent."""
    assert found(scarce(), 1e-6) == (None, 0.0)


def test_a_stop_ends_it():
    """Nothing is worked out after a stop."""
    stop, purse = StopFlag(), Purse(60.0)
    stop.request()
    assert place_prices(scarce(), 0, stop, purse) is None
    assert purse.left == 60.0


@pytest.mark.parametrize("first", [scarce(), scarce(wide=1)])
def test_prices_are_looked_for_once_in_a_shop(first: Filler):
    """A second floor is filled at the prices of the first, or without any as that was."""
    better = Betterer(
        SolveOptions(seconds=60.0, workers=1),
        StopFlag(),
        lambda filler, filling: None,
        lambda: False,
        lambda: math.inf,
    )
    better.price(first, Purse(0.0))
    assert not better.priced
    better.price(first, Purse(60.0))
    known, purse = better.prices, Purse(60.0)
    assert better.priced
    assert known == found(first)[0]
    better.price(scarce(snug=3), purse)
    assert better.prices is known
    assert purse.left == 60.0
