"""Materials, extras and how things are ordered: prices by number, carriage, tax, suppliers."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, get_args

import streamlit as st

from shopfit.files.parts import FIXTURES
from shopfit.model.making import Material
from shopfit.model.ordering import Extra, Ordering, PriceStep, SpareKind, Supplier
from shopfit.ui.tables import parts
from shopfit.ui.tables.cells import Field
from shopfit.ui.tables.fromschema import fields_of
from shopfit.ui.tables.parts import Part
from shopfit.ui.tables.records import Records

ORDERING = ("ordering",)
_OWNER = Field(("id",), "Name")


def materials() -> Records:
    """Describe what made things take."""
    return Records("materials", "material", fields_of(Material))


def terms() -> Records:
    """Describe carriage and tax of the list itself."""
    return Records("ordering", "terms", fields_of(Ordering))


def extras() -> Records:
    """Describe what is bought along."""
    return Records("extras", "extra", fields_of(Extra))


def steps() -> Records:
    """Describe prices from so many packs on."""
    return Records("steps", "price by number", fields_of(PriceStep))


def spares() -> Records:
    """Describe what is ordered over what is needed."""
    kinds = get_args(SpareKind)
    return Records(
        "spares",
        "spare",
        (
            Field(("kind",), "Of each", "choice", kinds, start=kinds[0]),
            Field(("part",), "Ordered over", help="A part of what is needed, such as 10 %."),
        ),
    )


def suppliers() -> Records:
    """Describe others who sell some of it."""
    return Records("suppliers", "supplier", fields_of(Supplier))


def prices(names: tuple[str, ...] = ()) -> Records:
    """Describe what a supplier asks."""
    return Records(
        "prices",
        "supplier's price",
        (
            Field(("supplier",), "Supplier", "choice", names),
            Field(("item",), "Item", help="Its id in the lists."),
            Field(("price",), "Price a pack", "number"),
        ),
        named_by=(("item",),),
    )


def supplier_steps(names: tuple[str, ...] = ()) -> Records:
    """Describe what a supplier asks from so many packs on."""
    owner = Field(("supplier",), "Supplier", "choice", names)
    fields = (owner, *fields_of(PriceStep))
    return Records("supplier-steps", "supplier's price by number", fields, named_by=(("item",),))


def show_materials() -> None:
    """Show what made things take."""
    st.caption("Sheets, lengths and pieces for cabinets and brackets of your own making.")
    parts.listed(materials(), Part(FIXTURES, ("materials",)))


def show() -> None:
    """Show how things are ordered."""
    st.caption("Extras, spares, prices by number, carriage, tax, and who else sells what.")
    parts.single(terms(), Part(FIXTURES, ORDERING))
    for heading, spec in (("Bought along", extras()), ("Prices by number", steps())):
        st.subheader(heading, anchor=False)
        parts.listed(spec, Part(FIXTURES, (*ORDERING, spec.key)))
    st.subheader("Spares", anchor=False)
    parts.by_name(spares(), Part(FIXTURES, (*ORDERING, "spares")))
    st.subheader("Other suppliers", anchor=False)
    others = Part(FIXTURES, (*ORDERING, "suppliers"))
    parts.listed(suppliers(), others)
    names = tuple(str(one.get("id")) for one in others.items())
    if names:
        _prices(others, names)
        parts.within(supplier_steps(names), others, _OWNER, "steps")


def _prices(others: Part, names: tuple[str, ...]) -> None:
    """Show what suppliers ask; in the file each has its prices by item."""
    owners = others.items()
    items = [
        {"supplier": one.get("id"), "item": item, "price": price}
        for one in owners
        for item, price in _mapping(one.get("prices")).items()
    ]
    changed = parts.changes(prices(names), items)
    if changed is None:
        return
    after = []
    for one in owners:
        mine = {
            str(item.get("item") or ""): item.get("price")
            for item in changed.items
            if item.get("supplier") == one.get("id")
        }
        after.append({**one, "prices": mine})
    others.write("Change a supplier's price", after, changed.by_form)


def _mapping(found: Any) -> Mapping[str, Any]:
    return found if isinstance(found, Mapping) else {}
