"""Range: what is sold, from a list of one's own to lines without a fault."""

from __future__ import annotations

import streamlit as st

from shopfit.cases.bundle import start_draft
from shopfit.ui import session
from shopfit.ui.goods import lines, taking
from shopfit.ui.goods.totals import area_words, category_totals, face_possible
from shopfit.ui.tables.cells import metric
from shopfit.ui.text import plain, plain_cells


def show() -> None:
    """Show the section."""
    rows = session.draft().rows
    with st.expander("Take in a list of your own", expanded=not rows):
        taking.show()
        if not rows and st.button("Or start from an example", key="example-range"):
            _example()
            st.rerun()
    _totals()
    st.subheader("Lines", anchor=False)
    lines.show()


def _example() -> None:
    """Take the example's lines, with the height bands that they name where the brief has none."""
    example, shop = start_draft(), session.draft().shop
    given = shop.get("brief")
    brief = dict(given) if isinstance(given, dict) else {}
    if not brief.get("bands"):
        brief["bands"] = example.shop["brief"]["bands"]
    session.write("Start from an example", rows=example.rows, shop={**shop, "brief": brief})


def _totals() -> None:
    sound = session.judged().parts.lines
    if not sound:
        return
    metres = metric(session.units())
    layout = session.the_work().now.layout
    totals = category_totals(sound.values(), layout)
    st.subheader("Wanted against possible", anchor=False)
    cells = [
        {
            "category": total.category,
            "lines": str(total.lines),
            "fewest facings": f"{total.fewest:,}",
            "most facings": f"{total.most:,}",
            "face of the fewest": area_words(total.face_fewest, metres),
            "face of the most": area_words(total.face_most, metres),
            **({} if total.shown is None else {"shown in the layout": f"{total.shown:,}"}),
        }
        for total in totals
    ]
    with st.container(key="totals"):
        st.table(plain_cells(cells), hide_index=True)
    st.write(plain(possible_words(metres)))


def possible_words(metres: bool) -> str:
    """Say how what is wanted compares with what the shell may give."""
    sound = session.judged().parts.lines.values()
    totals = category_totals(sound, None)
    least = sum(total.face_fewest for total in totals)
    most = sum(total.face_most for total in totals)
    wanted = (
        f"In all the fewest facings take {area_words(least, metres)} of face, "
        f"the most {area_words(most, metres)}."
    )
    scenario = session.scenario()
    possible = face_possible(scenario) if scenario is not None else None
    if possible is None:
        return f"{wanted} What the shell can give is estimated once nothing is left to mend."
    told = "not enough even for the fewest" if possible < least else "room for some of the most"
    told = "room for all of them" if possible >= most else told
    return (
        f"{wanted} The shell may give about {area_words(possible, metres)}: {told}. That is a "
        "rough estimate; laying out tells what can really be shown."
    )
