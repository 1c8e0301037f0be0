"""Orders reckoned by hand, and that no other choice of suppliers costs less."""

from __future__ import annotations

import math
from itertools import product
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from shopfit.geometry.shell import survey
from shopfit.geometry.wallareas import corner_closes
from shopfit.model.ordering import Extra, Order, Ordering
from shopfit.model.scenario import Shop
from shopfit.quantities.extras import measured_for_extras
from shopfit.quantities.ordering import order
from shopfit.quantities.takeoff import purchases
from tests.checks import build as b

EXTRAS: list[dict[str, Any]] = [
    {"id": "screws", "for_each": "screw", "price": 6, "pack": 50, "weight": "4 g"},
    {"id": "caps", "for_each": "open run end", "price": 2.5},
    {"id": "trim", "for_each": "run top", "length": "96 in", "price": 11, "weight": "1 kg"},
]


def _order(**ordering: Any) -> Order:
    scenario = b.scenario()
    catalogue = scenario.catalogue.model_copy(
        update={"ordering": Ordering.model_validate(ordering)}
    )
    return order(scenario.model_copy(update={"catalogue": catalogue}), b.layout())


def _packs(found: Order) -> dict[str, int]:
    return {row.item: row.packs for row in found.rows}


def test_without_ordering_the_list_is_ordered() -> None:
    """Packs and money are those of the purchases."""
    found = order(b.scenario(), b.layout())
    bought = purchases(b.scenario(), b.layout())
    assert [(row.item, row.packs, row.total) for row in found.rows] == [
        (one.item, one.packs, one.total) for one in bought
    ]
    assert found.total == 1664.0
    assert (found.budget, found.saved) == (3000.0, 0.0)


def test_spares_are_ordered_over_what_is_needed() -> None:
    """Four hooks and a quarter are 5: a pack of 10. Six cradles and half are 9: 3 packs of 4."""
    packs = _packs(_order(spares={"bracket": 0.5}))
    assert packs["hook-6"] == 1
    assert packs["cradle"] == 3
    assert packs["arm-4"] == 6
    assert packs["board"] == 1


def test_extras_are_counted_from_the_layout() -> None:
    """Ends that meet no corner have caps; runs of 96 and 48 in take two trims of 96 in."""
    measured = measured_for_extras(b.scenario(), b.layout())
    # R1 lies between 1000 and 3438.4 on a wall of 6000 mm, R2 between 1000 and 2219.2 of 4800.
    assert measured.counts["open run end"] == 4
    assert measured.lengths["run top"] == pytest.approx((2438.4, 1219.2))
    # R2 is cut in two, 48 in high.
    assert measured.lengths["seam"] == pytest.approx((1219.2,))
    # 16 grooves from 1 1/2 in up, 3 in apart, on both.
    assert sum(measured.lengths["groove"]) == pytest.approx(16 * (2438.4 + 1219.2))
    assert len(measured.lengths["groove"]) == 32
    assert (measured.counts["bracket"], measured.counts["facing"]) == (14, 26)
    found = _order(extras=EXTRAS)
    rows = {row.item: row for row in found.rows}
    assert rows["caps"].packs == 4
    assert (rows["trim"].needed, rows["trim"].packs, rows["trim"].total) == (2, 2, 22.0)
    assert rows["trim"].counted == (
        "12' 0\" of run top for 2 places, cut from lengths of 8' 0\", proved fewest"
    )
    assert rows["screws"].needed == measured.counts["screw"]
    assert rows["screws"].packs == math.ceil(measured.counts["screw"] / 50)


@pytest.mark.parametrize(
    ("wall", "right", "closes"),
    [
        ("a", True, True),
        ("b", True, True),
        ("c", True, False),
        ("d", False, False),
        ("d", True, True),
    ],
)
def test_outside_corners_close_no_run(wall: str, right: bool, closes: bool) -> None:
    """In an L of six walls that between c and d stands out into the room; all others lie back."""
    corners = [(0, 0), (0, 4), (2, 4), (2, 2), (4, 2), (4, 0)]
    room = {
        "id": "L",
        "height": "3 m",
        "corners": [[f"{x} m", f"{y} m"] for x, y in corners],
        "walls": [{"id": name} for name in "abcdef"],
    }
    shell = survey(Shop.model_validate({"name": "L", "rooms": [room]}))
    assert corner_closes(shell, shell.wall(wall), right) is closes


@pytest.mark.parametrize(("from_packs", "each"), [(3, 90.0), (2, 80.0)])
def test_prices_by_number_begin_at_their_number(from_packs: int, each: float) -> None:
    """Two sheets are not three, and are two."""
    found = _order(steps=[{"item": "sheet", "packs": from_packs, "price": 80}])
    (row,) = [row for row in found.rows if row.item == "sheet"]
    assert (row.list_price, row.price, row.total) == (90.0, each, 2 * each)


@pytest.mark.parametrize(
    ("freight", "cost"),
    [
        # 1 cabinet of 30, a case of 50, a table of 25, a counter of 60 and 2 sheets of 35 kg: 235.
        ({"for_each": "100 kg", "price": 40}, 120.0),
        ({"for_each": "235 kg", "price": 40}, 40.0),
        ({"for_each": "234.9 kg", "price": 40}, 80.0),
        ({"for_each": "235 kg", "price": 40, "least": 75}, 75.0),
        ({"for_each": "235 kg", "price": 40, "free_over": 1664}, 0.0),
        ({"for_each": "235 kg", "price": 40, "free_over": 1664.01}, 40.0),
    ],
)
def test_carriage_goes_by_weight(freight: dict[str, Any], cost: float) -> None:
    """Every step begun is paid, at least the least, and nothing over a sum."""
    (consignment,) = _order(freight=freight).consignments
    assert consignment.weight_kg == pytest.approx(235.0)
    assert consignment.freight == cost


def test_tax_is_rounded_half_up_on_goods_alone_or_with_carriage() -> None:
    """8.375 % of 1664.00 are 139.36; with 40 of carriage 142.71."""
    freight = {"for_each": "1000 kg", "price": 40}
    (alone,) = _order(tax="8.375 %", freight=freight).consignments
    (both,) = _order(tax="8.375 %", freight=freight, tax_on_freight=True).consignments
    assert (alone.tax, alone.total) == (139.36, 1843.36)
    assert both.tax == 142.71


def test_the_cheapest_suppliers_are_found_with_their_carriage() -> None:
    """20 less for sheets are not worth 50 of carriage; 60 less with the case are."""
    yard = {"id": "yard", "prices": {"sheet": 80}, "freight": {"for_each": "1 t", "price": 50}}
    yard["freight"] = {"for_each": "1000 kg", "price": 50}
    found = _order(suppliers=[yard])
    assert {row.supplier for row in found.rows} == {"list"}
    assert found.saved == 0.0
    found = _order(suppliers=[{**yard, "prices": {"sheet": 80, "case-48": 560}}])
    assert {row.item for row in found.rows if row.supplier == "yard"} == {"sheet", "case-48"}
    assert found.saved == 10.0
    assert found.total == 1654.0
    (case,) = [row for row in found.rows if row.item == "case-48"]
    assert case.offers == {"list": 600.0, "yard": 560.0}


SOLD = ("base-48", "case-48", "table-4", "till", "sheet", "hook-6")


@given(
    st.lists(
        st.tuples(
            st.dictionaries(st.sampled_from(SOLD), st.integers(1, 700), min_size=1),
            st.integers(0, 200),
        ),
        min_size=1,
        max_size=3,
    )
)
@settings(max_examples=40, deadline=None)
def test_no_other_way_of_choosing_costs_less(sellers: list[tuple[dict[str, int], int]]) -> None:
    """Against every single way of giving each item to somebody who sells it."""
    suppliers = [
        {"id": f"s{k}", "prices": prices, "freight": {"for_each": "10000 kg", "price": carriage}}
        for k, (prices, carriage) in enumerate(sellers)
    ]
    found = _order(suppliers=suppliers)
    heavy = {row.item for row in found.rows if row.weight_kg > 0}
    choices = [[(row.item, name, cost) for name, cost in row.offers.items()] for row in found.rows]
    carriage = {f"s{k}": sellers[k][1] for k in range(len(sellers))}
    least = min(
        sum(cost for _, _, cost in way)
        + sum(
            carriage[name]
            for name in {name for item, name, _ in way if item in heavy and name != "list"}
        )
        for way in product(*choices)
    )
    assert found.total == pytest.approx(least)


def test_what_goes_by_length_wants_a_length() -> None:
    """A trim without a length, and a screw with one, are refused."""
    with pytest.raises(ValidationError, match="give the length"):
        Extra.model_validate({"id": "t", "for_each": "run top", "price": 1})
    with pytest.raises(ValidationError, match="leave out the length"):
        Extra.model_validate({"id": "t", "for_each": "screw", "price": 1, "length": "1 in"})
