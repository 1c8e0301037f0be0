"""What the shell is finished with: boards, mouldings, paint and lights, one form for each."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import streamlit as st
from pydantic import BaseModel

from shopfit.files.parts import SHOP
from shopfit.model.finishes import Boards, Cover, Finishes, Insulation, Lengths, Lights, Paint
from shopfit.model.finishes import Wainscot as WainscotBoards
from shopfit.ui import session
from shopfit.ui.tables import parts, records
from shopfit.ui.tables.cells import Field
from shopfit.ui.tables.fromschema import fields_of
from shopfit.ui.tables.parts import Part
from shopfit.ui.tables.records import Records
from shopfit.ui.text import plain_cells

FINISHES: Mapping[str, type[BaseModel]] = {
    "wall_board": Boards,
    "wainscot": WainscotBoards,
    "baseboard": Lengths,
    "crown": Lengths,
    "trim": Lengths,
    "wall_paint": Paint,
    "ceiling_paint": Paint,
    "floor": Cover,
    "insulation": Insulation,
    "lights": Lights,
}


def of_all() -> Records:
    """Describe what is said of all finishes together."""
    alone = [field for field in fields_of(Finishes) if len(field.path) == 1]
    return Records("finishes", "finishes", tuple(alone))


def finish(name: str) -> Records:
    """Describe one finish."""
    return Records(f"finish-{name}", _words(name), fields_of(FINISHES[name]))


def show() -> None:
    """Show the finishes."""
    st.caption("What is left out is not counted. Prices are in the shop's currency.")
    part = Part(SHOP, ("finishes",))
    found = part.read()
    written = found if isinstance(found, Mapping) else {}
    _told(written)
    name = st.selectbox(
        "Which finish",
        list(FINISHES),
        format_func=lambda each: _words(each) + ("" if each in written else " (none)"),
        key=session.own("which-finish"),
    )
    one = Part(SHOP, ("finishes", name))
    parts.single(finish(name), one)
    if name in written and st.button("Leave it out", key="finish-out"):
        one.write(f"Leave out the {_words(name)}", None, drawn_anew=True)
    if written:
        st.subheader("All of them", anchor=False)
        parts.single(of_all(), part)


def _told(written: Mapping[str, Any]) -> None:
    """List what is written of each finish."""
    units = session.units()
    rows = []
    for name, model in FINISHES.items():
        if isinstance(written.get(name), Mapping):
            cells = records.row_of(written[name], fields_of(model), units)
            told = "; ".join(f"{label.lower()} {cell}" for label, cell in cells.items() if cell)
            rows.append({"finish": _words(name), "as written": told})
    if rows:
        st.table(plain_cells(rows), hide_index=True)
    else:
        st.caption("No finish yet.")


def _words(name: str) -> str:
    return name.replace("_", " ")


def fields() -> list[Field]:
    """Give all fields of this part, by where they stand in the finishes."""
    every = [
        Field((name, *field.path), field.label)
        for name, model in FINISHES.items()
        for field in fields_of(model)
    ]
    return [*every, *of_all().fields]
