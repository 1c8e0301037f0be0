"""The brief in plain words: what there should be most of, how wide aisles are, what it may cost."""

from __future__ import annotations

from collections.abc import Sequence

import streamlit as st

from shopfit.files.parts import SHOP
from shopfit.ui import session
from shopfit.ui.catalogue.itemtables import KINDS
from shopfit.ui.tables import parts
from shopfit.ui.tables.cells import Field
from shopfit.ui.tables.parts import Part
from shopfit.ui.tables.records import Records

AIMS = {
    "facings": "as many facings as can be",
    "value": "as much value as can be (facings times value)",
    "sales": "most expected sales (more facings of one line sell less and less more)",
}


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


def show() -> None:
    """Show the brief."""
    parts.single(wishes(), Part(SHOP, ("brief",)))
    ids = [str(each.get("id")) for each in session.draft().fixtures.get("fixtures") or ()]
    st.subheader("What must be there", anchor=False)
    parts.listed(wanted(ids), Part(SHOP, ("brief", "wanted")))
    st.subheader("Height bands", anchor=False)
    parts.listed(bands(), Part(SHOP, ("brief", "bands")))
