"""Fixtures: what may be bought or made, and the brief."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import streamlit as st

from shopfit.cases.bundle import start_draft
from shopfit.files.parts import FIXTURES, SHOP, VALUES
from shopfit.numerals import UnitError
from shopfit.ui import session
from shopfit.ui.catalogue import brief, itemtables, neighbours, ordering, ownvalues
from shopfit.ui.catalogue.bysize import bracket_by_size, fixture_by_size
from shopfit.ui.tables import parts
from shopfit.ui.tables.cells import Field, unit_hint, with_unit
from shopfit.ui.tables.parts import Part
from shopfit.ui.tables.records import Records
from shopfit.ui.text import label, plain, show_faults
from shopfit.units import parse_length

PARTS = (
    "Fixtures",
    "Their faces",
    "Slat-wall",
    "Brackets",
    "Shelves",
    "Materials",
    "Ordering",
    "The brief",
    "Categories",
    "Own values",
)
GROUPS = ("fixtures", "sheets", "brackets", "shelves")
Item = Mapping[str, Any]


def show() -> None:
    """Show the section."""
    catalogue = session.draft().fixtures
    if not any(catalogue.get(group) for group in GROUPS):
        st.info("Nothing can be bought yet. Add your own by size, or start from an example.")
        if st.button("Start from an example", key="example-fixtures"):
            session.write("Start from an example", fixtures=start_draft().fixtures)
            st.rerun()
    part = st.segmented_control(
        "What may be bought, and what is wanted",
        PARTS,
        default=PARTS[0],
        required=True,
        key="fixtures-part",
        wrap=True,
    )
    _PARTS[part or PARTS[0]]()
    if part in ("The brief", "Categories"):
        left = session.faults(SHOP, "brief")
    else:
        left = session.faults(VALUES if part == "Own values" else FIXTURES)
    if left:
        count = len(left)
        show_faults(left, f"{count} thing{'s' if count != 1 else ''} to mend here")


def _fixtures() -> None:
    _own_fixture()
    _list(itemtables.fixtures())


def _brackets() -> None:
    _own_bracket()
    _list(itemtables.brackets())


def _sheets() -> None:
    _list(itemtables.sheets())


def _shelves() -> None:
    _list(itemtables.shelves())


def _list(spec: Records) -> None:
    parts.listed(spec, Part(FIXTURES, (spec.key,)))


def _with(key: str, items: Sequence[Item]) -> dict[str, Any]:
    return {**session.draft().fixtures, key: list(items)}


def _faces() -> None:
    st.caption("Sides of fixtures that show goods. Loads are the makers' figures.")
    all_fixtures = Part(FIXTURES, ("fixtures",))
    spec = itemtables.faces([str(each.get("id")) for each in all_fixtures.items()])
    parts.within(spec, all_fixtures, Field(("id",), "Id"), "faces")


def _taken() -> list[str]:
    catalogue = session.draft().fixtures
    return [str(item.get("id")) for group in GROUPS for item in catalogue.get(group) or ()]


def _own_fixture() -> None:
    hint = unit_hint("length", session.units())
    with st.expander("Add one of your own by its size"), st.form("own-fixture", border=False):
        left, right = st.columns(2)
        kind = left.selectbox("Kind", itemtables.KINDS, key="own-kind")
        price = right.text_input(label(f"Price ({session.currency()})"), key="own-price")
        sizes = {}
        for column, name in zip(st.columns(3), ("width", "depth", "height"), strict=True):
            sizes[name] = column.text_input(f"{name.capitalize()} ({hint})", key=f"own-{name}")
        st.caption(
            "Shelves, their depth and their loads are filled in as is usual (common practice, no "
            "source); put the maker's figures in under Their faces."
        )
        put = st.form_submit_button("Add it", type="primary", key="own-add")
    if not put:
        return
    measured = _measured(sizes)
    if measured is None:
        return
    if not price.strip():
        st.error("Give its price, 0 if it costs nothing.")
        return
    width, depth, height = measured
    own = fixture_by_size(kind, width, depth, height, price.strip(), _taken())
    items = [*(session.draft().fixtures.get("fixtures") or ()), own]
    session.write("Add a fixture of our own", fixtures=_with("fixtures", items))
    st.rerun()


def _own_bracket() -> None:
    units = session.units()
    with st.expander("Add one of your own by its size"), st.form("own-bracket", border=False):
        columns = st.columns(5)
        kind = columns[0].selectbox("Kind", ("hook", "face-out", "cradle"), key="own-bracket-kind")
        depth = columns[1].text_input(
            f"Stands out ({unit_hint('length', units)})", key="own-bracket-depth"
        )
        load = columns[2].text_input(
            f"Carries ({unit_hint('mass', units)})", key="own-bracket-load"
        )
        price = columns[3].text_input("Price a pack", key="own-bracket-price")
        pack = columns[4].text_input("Pieces a pack", value="1", key="own-bracket-pack")
        put = st.form_submit_button("Add it", type="primary", key="own-bracket-add")
    if not put:
        return
    measured = _measured({"depth": depth})
    if measured is None:
        return
    if not load.strip() or not price.strip():
        st.error("Give what it carries, by its maker, and its price.")
        return
    carried = with_unit(load.strip(), "mass", units)
    own = bracket_by_size(kind, measured[0], carried, price.strip(), pack.strip(), _taken())
    items = [*(session.draft().fixtures.get("brackets") or ()), own]
    session.write("Add a bracket of our own", fixtures=_with("brackets", items))
    st.rerun()


def _measured(sizes: Mapping[str, str]) -> list[float] | None:
    """Read sizes, mm; says what cannot be read, and gives none then."""
    units, found = session.units(), []
    for name, text in sizes.items():
        try:
            size = parse_length(with_unit(text.strip(), "length", units))
        except UnitError as error:
            st.error(plain(f"{name.capitalize()}: {error}"))
            return None
        if size <= 0:
            st.error(plain(f"{name.capitalize()}: more than nothing is wanted."))
            return None
        found.append(size)
    return found


_PARTS: Mapping[str, Callable[[], None]] = {
    "Fixtures": _fixtures,
    "Their faces": _faces,
    "Slat-wall": _sheets,
    "Brackets": _brackets,
    "Shelves": _shelves,
    "Materials": ordering.show_materials,
    "Ordering": ordering.show,
    "The brief": brief.show,
    "Categories": neighbours.show,
    "Own values": ownvalues.show,
}
