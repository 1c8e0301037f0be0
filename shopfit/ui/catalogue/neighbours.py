"""Where categories stand: together or apart, in order on the way, and in how many groups."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import streamlit as st

from shopfit.files.parts import SHOP
from shopfit.ui import session
from shopfit.ui.tables import parts
from shopfit.ui.tables.cells import Field
from shopfit.ui.tables.parts import Part
from shopfit.ui.tables.records import Records

RELATIONS = {"touch": "next to", "apart": "away from"}
RULES = ("brief", "merchandising")


def pairs(categories: Sequence[str]) -> Records:
    """Describe which categories stand together or apart."""
    return Records(
        "pairs",
        "wish on neighbours",
        (
            Field(("first",), "Category", "choice", tuple(categories)),
            Field(("how",), "Stands", "choice", tuple(RELATIONS), words=RELATIONS, start="touch"),
            Field(("second",), "Other category", "choice", tuple(categories)),
        ),
    )


def groups(categories: Sequence[str]) -> Records:
    """Describe in how many groups a category may stand."""
    return Records(
        "blocks",
        "limit on groups",
        (
            Field(("category",), "Goods of", "choice", tuple(categories)),
            Field(
                ("most",),
                "Stand in at most",
                "number",
                help="So many groups of blocks that touch; 1 keeps a category together.",
                start="1",
            ),
        ),
    )


def orders(categories: Sequence[str]) -> Records:
    """Describe in which order customers pass categories."""
    known = f" There are: {', '.join(categories[:12])}." if categories else ""
    return Records(
        "order",
        "order on the way",
        (
            Field(
                ("names",),
                "Categories as they are passed",
                "names",
                help=f"The first one nearest to the entrance, with commas between.{known}",
            ),
        ),
    )


def way() -> Records:
    """Describe the customers' main way."""
    corners = "East, north of each corner from the entrance on, with semicolons between: 36, 18; "
    told = f"{corners}36, 200. By straight distance from the entrance if left empty."
    return Records("way", "customers' way", (Field(("way",), "Goes by", "places", help=told),))


def elasticity() -> Records:
    """Describe how sales go with facings where nothing else is said of a category."""
    return Records(
        "elasticity",
        "growth of sales",
        (
            Field(
                ("default",),
                "Sales grow with facings to the power of",
                "number",
                help="0.17: twice the facings sell 1.125 times as much. Mean of 1,268 estimates; "
                "Eisend 2014, Journal of Retailing 90(2), abstract read, pages from memory.",
                usual="0.17",
            ),
        ),
    )


def elasticities(categories: Sequence[str]) -> Records:
    """Describe how sales of one category go with facings."""
    return Records(
        "elasticities",
        "category with a power of its own",
        (
            Field(("category",), "Sales of", "choice", tuple(categories)),
            Field(
                ("power",),
                "Grow with facings to the power of",
                "number",
                help="Lower for what people must have, higher for what they buy on impulse.",
                start="0.17",
            ),
        ),
    )


def show() -> None:
    """Show what is wished for of categories."""
    known = _categories()
    st.subheader("Neighbours", anchor=False)
    _pairs(pairs(known))
    parts.by_name(groups(known), Part(SHOP, (*RULES, "blocks")))
    st.subheader("On the customers' way", anchor=False)
    _orders(orders(known))
    parts.single(way(), Part(SHOP, RULES))
    st.subheader("Expected sales", anchor=False)
    st.caption("Used where most expected sales are wanted.")
    parts.single(elasticity(), Part(SHOP, ("brief", "elasticity")))
    parts.by_name(elasticities(known), Part(SHOP, ("brief", "elasticity", "categories")))


def _categories() -> list[str]:
    named = dict.fromkeys(row.get("category", "") for row in session.draft().rows)
    return [name for name in named if name]


def _rules() -> Mapping[str, Any]:
    found = Part(SHOP, RULES).read()
    return found if isinstance(found, Mapping) else {}


def _pairs(spec: Records) -> None:
    rules = dict(_rules())
    items = [
        {"first": pair[0], "how": how, "second": pair[1]}
        for how in RELATIONS
        for pair in _lists(rules.get(how))
        if len(pair) == 2
    ]
    changed = parts.changes(spec, items)
    if changed is None:
        return
    for how in RELATIONS:
        found = [[p.get("first"), p.get("second")] for p in changed.items if p.get("how") == how]
        rules.pop(how, None)
        rules |= {how: found} if found else {}
    Part(SHOP, RULES).write("Change neighbours", rules, changed.by_form)


def _orders(spec: Records) -> None:
    rules = dict(_rules())
    changed = parts.changes(spec, [{"names": names} for names in _lists(rules.get("order"))])
    if changed is None:
        return
    rules.pop("order", None)
    found = [item.get("names") or [] for item in changed.items]
    rules |= {"order": found} if found else {}
    Part(SHOP, RULES).write("Change the order on the way", rules, changed.by_form)


def _lists(found: Any) -> list[list[Any]]:
    listed = found if isinstance(found, list | tuple) else ()
    return [list(each) for each in listed if isinstance(each, list | tuple)]
