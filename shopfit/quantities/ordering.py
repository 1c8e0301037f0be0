"""Works out what to order from whom: spares, extras, prices by number, freight and tax."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal
from itertools import chain, combinations
from typing import Literal

from shopfit import wording
from shopfit.model.fixtures import Bracket, Fixture, Sheet, ShelfBoard
from shopfit.model.layout import Layout, Purchase
from shopfit.model.making import Made
from shopfit.model.ordering import (
    Consignment,
    Extra,
    Freight,
    Order,
    Ordering,
    OrderRow,
    PriceStep,
)
from shopfit.model.scenario import Scenario
from shopfit.quantities.cutting import cut_runs
from shopfit.quantities.extras import measured_for_extras, pieces_needed
from shopfit.quantities.lengths import length_plan
from shopfit.quantities.making import made_ids, make, material_rows
from shopfit.quantities.takeoff import needed_pieces, purchases

LIST = "list"
Kind = Literal["fixture", "sheet", "bracket", "shelf", "material", "extra"]
_Chosen = list[tuple["_Item", str, Decimal]]


@dataclass(frozen=True)
class _Item:
    """One thing to order, before it is known from whom."""

    item: str
    name: str
    kind: Kind
    counted: str
    needed: int
    spare: float
    owned: int
    pack: int
    price: float
    weight: float
    packs: int = field(init=False)

    def __post_init__(self) -> None:
        packs = max(self.wanted - self.owned, 0) / self.pack
        object.__setattr__(self, "packs", math.ceil(packs - 1e-9))

    @property
    def wanted(self) -> int:
        """Pieces wanted with spares."""
        return math.ceil(self.needed * (1 + self.spare) - 1e-9)

    @property
    def carried(self) -> Decimal:
        """Weight of all packs bought, kg."""
        return _exact(self.weight) * self.pack * self.packs


@dataclass(frozen=True)
class _Terms:
    """What somebody asks: prices by id, prices by number, and carriage."""

    prices: Mapping[str, float]
    steps: Sequence[PriceStep]
    freight: Freight | None

    def each(self, item: _Item) -> Decimal | None:
        """Give the price of one pack at the number bought, or none where it is not sold."""
        if item.item not in self.prices:
            return None
        price = self.prices[item.item]
        for step in sorted(self.steps, key=lambda step: step.packs):
            if step.item == item.item and item.packs >= step.packs:
                price = step.price
        return _exact(price)


def order(scenario: Scenario, layout: Layout) -> Order:
    """Work out what to order from whom, so that all of it costs least.

    Parameters
    ----------
    scenario, layout
        Which; the catalogue's ``ordering`` says how. Without it, the purchases of the layout are
        ordered from the list.

    Returns
    -------
    Rows in the order of the catalogue, extras last; what each supplier is sent. Every set of
    suppliers is tried, each item whole from the cheapest of the set; what is not tried is to
    take an item dearer so that carriage comes free. Money in the shop's currency; sums are
    rounded half up, as invoices are.

    Raises
    ------
    InputFaults
        If the layout names what does not exist.
    """
    ordering = scenario.catalogue.ordering or Ordering()
    if layout.runs and not layout.cuts:
        layout = layout.model_copy(update={"cuts": cut_runs(scenario, layout)})
    made = make(scenario, layout, needed_pieces(scenario, layout))
    items = [*_bought(scenario, layout, ordering, made), *_extras(scenario, layout, ordering)]
    items = [item for item in items if item.needed > 0]
    terms = {LIST: _Terms({i.item: i.price for i in items}, ordering.steps, ordering.freight)}
    for supplier in ordering.suppliers:
        terms[supplier.id] = _Terms(supplier.prices, supplier.steps, supplier.freight)
    best = min(
        (_from(items, terms, names, ordering) for names in _sets(list(terms)[1:])),
        key=lambda found: found[1],
    )
    chosen, total, consignments = best
    listed = _from(items, terms, (LIST,), ordering)[1]
    return Order(
        rows=tuple(_row(item, name, each, terms) for item, name, each in chosen),
        consignments=consignments,
        total=float(total),
        budget=scenario.brief.budget,
        saved=float(listed - total),
        notes=() if made is None else (wording.made_money(made, scenario.shop.currency),),
    )


def _sets(suppliers: list[str]) -> Iterator[tuple[str, ...]]:
    """Give every set of sellers; the list is in all, since it alone sells everything."""
    for chosen in chain.from_iterable(
        combinations(suppliers, size) for size in range(len(suppliers) + 1)
    ):
        yield (LIST, *chosen)


def _bought(
    scenario: Scenario, layout: Layout, ordering: Ordering, made: Made | None
) -> Iterator[_Item]:
    ours = made_ids(scenario.catalogue) if made is not None else frozenset()
    for purchase in purchases(scenario, layout):
        if purchase.item in ours and purchase.packs:
            continue
        thing = _thing(scenario, purchase)
        pack = 1 if isinstance(thing, Fixture) else thing.pack
        spare = 0.0
        if purchase.kind != "fixture":
            spare = ordering.spares.get(purchase.kind, 0.0)
        yield _Item(
            purchase.item,
            thing.name or thing.id,
            purchase.kind,
            "as placed",
            purchase.needed,
            spare,
            purchase.owned,
            pack,
            thing.price,
            thing.weight,
        )
    for row in material_rows(scenario.catalogue, made.rows, made.plan) if made else ():
        counted = "for what is made"
        yield _Item(
            row.item,
            row.name,
            "material",
            counted,
            row.needed,
            0.0,
            row.owned,
            row.pack,
            row.price,
            0.0,
        )


def _thing(scenario: Scenario, purchase: Purchase) -> Fixture | Sheet | Bracket | ShelfBoard:
    catalogue = scenario.catalogue
    if purchase.kind == "fixture":
        return catalogue.fixture(purchase.item)
    if purchase.kind == "sheet":
        return catalogue.sheet(purchase.item)
    if purchase.kind == "bracket":
        return catalogue.bracket(purchase.item)
    return catalogue.shelf(purchase.item)


def _extras(scenario: Scenario, layout: Layout, ordering: Ordering) -> Iterator[_Item]:
    if not ordering.extras:
        return
    measured, plan = measured_for_extras(scenario, layout), length_plan(scenario, layout)
    spare = ordering.spares.get("extra", 0.0)
    for extra in ordering.extras:
        needed, told = pieces_needed(scenario, extra, measured, plan)
        yield _extra(extra, needed, told, spare)


def _extra(extra: Extra, needed: int, told: str, spare: float) -> _Item:
    return _Item(
        extra.id,
        extra.name or extra.id,
        "extra",
        told,
        needed,
        spare,
        extra.owned,
        extra.pack,
        extra.price,
        extra.weight,
    )


def _from(
    items: Sequence[_Item], terms: Mapping[str, _Terms], names: Sequence[str], ordering: Ordering
) -> tuple[_Chosen, Decimal, tuple[Consignment, ...]]:
    """Order everything from a set of sellers, each item from the cheapest of them."""
    chosen: _Chosen = []
    for item in items:
        offers = [(each, name) for name in names if (each := terms[name].each(item)) is not None]
        # The list first where prices are the same.
        each, name = min(offers, key=lambda offer: offer[0])
        chosen.append((item, name, each))
    consignments = tuple(
        _consignment(name, [c for c in chosen if c[1] == name], terms[name].freight, ordering)
        for name in names
        if any(c[1] == name and c[0].packs for c in chosen)
    )
    return chosen, sum((_exact(c.total) for c in consignments), Decimal()), consignments


def _consignment(
    name: str, chosen: _Chosen, freight: Freight | None, ordering: Ordering
) -> Consignment:
    goods = sum((_cents(each * item.packs) for item, _, each in chosen), Decimal())
    weight = sum((item.carried for item, _, _ in chosen), Decimal())
    carriage = _carriage(freight, goods, weight)
    taxed = goods + (carriage if ordering.tax_on_freight else Decimal())
    tax = _cents(taxed * _exact(ordering.tax))
    return Consignment(
        supplier=name,
        goods=float(goods),
        freight=float(carriage),
        tax=float(tax),
        total=float(goods + carriage + tax),
        weight_kg=float(weight),
    )


def _carriage(freight: Freight | None, goods: Decimal, weight: Decimal) -> Decimal:
    if freight is None or weight == 0:
        return Decimal()
    if freight.free_over is not None and goods >= _exact(freight.free_over):
        return Decimal()
    # A pound is no round number of kilograms, so a step is not begun by a hair.
    steps = math.ceil(float(weight) / freight.for_each - 1e-9)
    return _cents(max(_exact(freight.price) * steps, _exact(freight.least)))


def _row(item: _Item, supplier: str, each: Decimal, terms: Mapping[str, _Terms]) -> OrderRow:
    offers = {
        name: float(_cents(price * item.packs))
        for name, its in terms.items()
        if (price := its.each(item)) is not None
    }
    return OrderRow(
        item=item.item,
        name=item.name,
        kind=item.kind,
        counted=item.counted,
        needed=item.needed,
        spare=item.spare,
        owned=item.owned,
        pack=item.pack,
        packs=item.packs,
        left=item.owned + item.packs * item.pack - item.needed,
        supplier=supplier,
        list_price=terms[supplier].prices[item.item],
        price=float(each),
        total=float(_cents(each * item.packs)),
        weight_kg=float(item.carried),
        asked={name: terms[name].prices[item.item] for name in offers},
        offers=offers,
    )


def _exact(value: float) -> Decimal:
    """Take a number as it is written, not as it is stored in twos."""
    return Decimal(repr(value))


def _cents(value: Decimal) -> Decimal:
    return value.quantize(Decimal("0.01"), ROUND_HALF_UP)
