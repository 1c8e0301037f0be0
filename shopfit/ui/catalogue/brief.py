"""The brief in plain words: what there should be most of, how wide aisles are, what it may cost."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import streamlit as st

from shopfit.files.parts import SHOP
from shopfit.ui import session
from shopfit.ui.catalogue.itemtables import KINDS
from shopfit.ui.tables import records
from shopfit.ui.tables.cells import Field
from shopfit.ui.tables.records import Records

AIMS = {
    "facings": "as many facings as can be",
    "value": "as much value as can be (facings times value)",
    "sales": "most expected sales (more facings of one line sell less and less more)",
}
RELATIONS = {"touch": "next to", "apart": "away from"}
Item = Mapping[str, Any]


def wishes() -> Records:
    """Describe the main wishes."""
    return Records(
        "brief",
        "brief",
        (
            Field(("objective",), "What I want most", "choice", tuple(AIMS), words=AIMS),
            Field(("budget",), "Most that all may cost", "number", help="No limit if left empty."),
            Field(
                ("aisle",),
                "Customers' aisles at least",
                "length",
                help="Clear along every front, and on the way there.",
            ),
            Field(
                ("staff_aisle",),
                "Staff's aisles at least",
                "length",
                help="Clear behind counters, and on the way there.",
            ),
            Field(("display_top",), "No goods on walls above", "length"),
            Field(
                ("island_height",),
                "What stands free is at most",
                "length",
                help="High, to keep sight of the shop.",
            ),
            Field(("run_bottom",), "Slat-wall begins at", "length", help="Where nothing is below."),
            Field(("run_gap",), "Gap below slat-wall", "length", help="Above a fixture's top."),
            Field(("finger_gap",), "Room above goods", "length", help="To take them out."),
            Field(
                ("step",),
                "Try places every",
                "length",
                help="Smaller steps find more and take longer.",
            ),
            Field(("merchandising", "heavy_over"), "Heavy is one unit over", "mass"),
            Field(("merchandising", "heavy_top"), "Heavy goods end below", "length"),
            Field(
                ("merchandising", "new_within"),
                "New goods within",
                "length",
                help="Along the customers' way from the entrance.",
            ),
        ),
    )


def bands() -> Records:
    """Describe height bands."""
    return Records(
        "bands",
        "height band",
        (
            Field(("id",), "Name"),
            Field(("bottom",), "From", "length", help="Above the finished floor.", start="48 in"),
            Field(("top",), "To", "length", help="Above the finished floor.", start="66 in"),
            Field(
                ("weight",),
                "A facing counts",
                "number",
                usual="1",
                help="1 as elsewhere; 2 is worth twice. Your own judgement: no table of such "
                "weights is published.",
            ),
        ),
    )


def wanted(fixture_ids: Sequence[str]) -> Records:
    """Describe how many of something there must be."""
    return Records(
        "wanted",
        "number wanted",
        (
            Field(("kind",), "Of a kind", "choice", ("", *KINDS), help="Or of one fixture."),
            Field(("fixture",), "Of a fixture", "choice", ("", *fixture_ids)),
            Field(("at_least",), "At least", "number", start="1"),
            Field(("at_most",), "At most", "number"),
        ),
        named_by=(("fixture",), ("kind",)),
    )


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


def show() -> None:
    """Show the brief."""
    brief = _brief()
    formed = records.whole_form(wishes(), brief)
    if formed is not None:
        _write("Change the brief", formed)
    ids = [str(each.get("id")) for each in session.draft().fixtures.get("fixtures") or ()]
    st.subheader("What must be there", anchor=False)
    _list(wanted(ids), brief)
    st.subheader("Height bands", anchor=False)
    _list(bands(), brief)
    st.subheader("Neighbours", anchor=False)
    _pairs(brief)


def _brief() -> dict[str, Any]:
    brief = session.draft().shop.get("brief")
    return dict(brief) if isinstance(brief, Mapping) else {}


def _write(what: str, brief: Item, redraw: bool = True) -> None:
    shop = {**session.draft().shop, "brief": dict(brief)}
    session.the_work().write(what, shop=shop)
    if redraw:
        session.redraw()
    st.rerun()


def _list(spec: Records, brief: Item) -> None:
    items = list(brief.get(spec.key) or ())
    group = ("brief", spec.key)
    checks = records.checks_of(session.faults(SHOP, *group), group, items, spec)
    after = records.edit(spec, items, checks)
    with st.expander(f"Add or change one {spec.one}"):
        formed = records.one_at_a_time(spec, items)
    if formed is not None:
        _write(f"Change a {spec.one}", {**brief, spec.key: list(formed)})
    elif after is not None:
        _write(f"Change a {spec.one}", {**brief, spec.key: after}, redraw=False)


def _pairs(brief: Item) -> None:
    rules = dict(brief.get("merchandising") or {})
    categories = list(dict.fromkeys(row.get("category", "") for row in session.draft().rows))
    items = [
        {"first": pair[0], "how": how, "second": pair[1]}
        for how in RELATIONS
        for pair in rules.get(how) or ()
        if isinstance(pair, list) and len(pair) == 2
    ]
    spec = pairs([name for name in categories if name])
    after = records.edit(spec, items, [""] * len(items))
    with st.expander(f"Add or change one {spec.one}"):
        formed = records.one_at_a_time(spec, items)
    changed = formed if formed is not None else after
    if changed is None:
        return
    for how in RELATIONS:
        found = [[p.get("first"), p.get("second")] for p in changed if p.get("how") == how]
        rules.pop(how, None)
        rules |= {how: found} if found else {}
    _write("Change neighbours", {**brief, "merchandising": rules}, redraw=formed is not None)
