"""The bar above every section: which case, steps back, units, and that it is kept."""

from __future__ import annotations

import streamlit as st

from shopfit.cases.store import NAME_SIGNS
from shopfit.ui import opening, session
from shopfit.ui.tables.cells import typing_hint
from shopfit.ui.text import label, plain
from shopfit.units import LengthStyle

UNIT_NAMES: dict[LengthStyle, str] = {"ft-in": "ft and in", "in": "in", "mm": "mm", "m": "m"}


def show(busy: bool) -> None:
    """Show the bar.

    Parameters
    ----------
    busy
        Whether a search runs, so that nothing may be changed.
    """
    work = session.the_work()
    with st.container(horizontal=True, vertical_alignment="bottom", key="case-bar"):
        with st.popover(label(f"Case: {work.name}"), key="case"):
            _case()
        _step("Undo", work.undoes, "undo", session.undo, busy)
        _step("Redo", work.redoes, "redo", session.redo, busy)
        _units(busy)
    _kept()
    for note in st.session_state.pop("notes", ()):
        st.info(plain(note))


def _step(word: str, what: str, key: str, does: object, busy: bool) -> None:
    st.button(
        word,
        key=key,
        disabled=busy or not what,
        help=plain(f"{word}: {what}") if what else None,
        on_click=does,  # type: ignore[arg-type]
    )


def _units(busy: bool) -> None:
    now = session.units()
    chosen = st.selectbox(
        "Lengths in",
        list(UNIT_NAMES),
        index=list(UNIT_NAMES).index(now),
        format_func=lambda style: UNIT_NAMES[style],
        key=f"units-{session.generation()}",
        disabled=busy,
        help=plain(typing_hint(now)),
        width=170,
    )
    if chosen is not None and chosen != now:
        session.write("Change the units", shop={**session.draft().shop, "units": chosen})
        st.rerun()


def _case() -> None:
    place = session.store()
    work = session.the_work()
    if place is not None:
        st.caption(plain(f"Kept in {place.path}, version {work.revision}."))
    with st.form("keep-as", border=False):
        name = st.text_input("Go on under another name", max_chars=NAME_SIGNS, key="another-name")
        if st.form_submit_button("Keep a copy", key="keep-copy") and name.strip():
            session.keep_as(name.strip())
            st.rerun()
    st.divider()
    opening.show("other")


def _kept() -> None:
    place, trouble, work = session.store(), session.trouble(), session.the_work()
    with st.container(key="kept"):
        if trouble is not None:
            _trouble(trouble)
        elif place is None:
            st.caption("Not kept here: take the case away as a zip before you close the page.")
        elif work.revision:
            st.caption(plain(f"Kept on this machine in {place.path}."))


def _trouble(trouble: session.Trouble) -> None:
    st.error(plain(trouble.message), icon=":material/warning:")
    if not trouble.elsewhere:
        st.caption("Your changes are still here. Take the case away as a zip to be safe.")
        if st.button("Try to keep it again", key="keep-again"):
            st.session_state.pop("trouble", None)
            session.the_work().dirty = True
            st.rerun()
        return
    with st.form("conflict", border=True):
        wanted = session.free_name(session.the_work().name)
        name = st.text_input("Keep mine under", value=wanted, max_chars=NAME_SIGNS)
        with st.container(horizontal=True):
            mine = st.form_submit_button("Keep mine", type="primary", key="keep-mine")
            other = st.form_submit_button("Take the other version", key="take-other")
    if mine and name.strip():
        session.keep_as(name.strip())
        st.rerun()
    if other:
        session.take_other()
        st.rerun()
