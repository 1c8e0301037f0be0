"""Where a case comes from: kept ones, an empty room, an example, a demo, or files of one's own."""

from __future__ import annotations

from pathlib import Path

import streamlit as st

import shopfit
from shopfit.cases.bundle import read_case, start_draft
from shopfit.cases.case import Case
from shopfit.cases.store import StoreError
from shopfit.errors import InputFaults
from shopfit.files.drafts import Draft, draft_from_folder
from shopfit.ui import session
from shopfit.ui.intake import NAMES, Upload, gather
from shopfit.ui.limits import limits
from shopfit.ui.text import plain, show_faults

EMPTY, EXAMPLE = "an empty room", "an example to change"
EMPTY_ROOM = {"id": "shop", "height": "9 ft", "start": ["0 in", "0 in"], "heading": "90"}


def demo_folders() -> dict[str, Path]:
    """Find the demos beside the package or where the page was started, by name."""
    starts = (Path(shopfit.__file__).parent.parent, Path.cwd())
    found: dict[str, Path] = {}
    for start in starts:
        for shop in sorted((start / "scenarios").glob("*/shop.yaml")):
            found.setdefault(shop.parent.name, shop.parent)
    return found


def empty_draft() -> Draft:
    """Give a room without walls, with nothing to sell and nothing to buy."""
    return Draft(
        shop={
            "name": "My shop",
            "units": "ft-in",
            "currency": "USD",
            "rulebook": "us",
            "rooms": [dict(EMPTY_ROOM)],
            "brief": {"aisle": "42 in", "staff_aisle": "36 in"},
        }
    )


def show(key: str = "open") -> None:
    """Show all ways to open a case."""
    if told := st.session_state.pop("not opened", ""):
        st.warning(plain(told))
    _kept(key)
    _start(key)
    _upload(key)


def _kept(key: str) -> None:
    place = session.store()
    if place is None:
        st.caption("Nothing is kept on this server; take your case away as a zip.")
        return
    try:
        names = [each.name for each in place.names()]
    except StoreError as error:
        st.error(plain(str(error)))
        return
    if not names:
        return
    st.subheader("Go on with", anchor=False)
    with st.container(horizontal=True, vertical_alignment="bottom"):
        name = st.selectbox("A case kept on this machine", names, key=f"{key}-kept")
        if st.button("Open it", key=f"{key}-open-kept"):
            try:
                session.begin(name, *place.read(name))
            except StoreError as error:
                st.error(plain(str(error)))
            else:
                st.rerun()


def _start(key: str) -> None:
    st.subheader("Start from", anchor=False)
    demos = demo_folders()
    with st.container(horizontal=True, vertical_alignment="bottom"):
        source = st.selectbox(
            "What to start from",
            [EMPTY, EXAMPLE, *demos],
            format_func=lambda name: name if name in (EMPTY, EXAMPLE) else f"demo: {name}",
            key=f"{key}-source",
        )
        if st.button("Start", type="primary", key=f"{key}-start"):
            if source == EMPTY:
                name, draft = "my shop", empty_draft()
            elif source == EXAMPLE:
                name, draft = "my shop", start_draft()
            else:
                name, draft = source, draft_from_folder(demos[source])
            session.begin(session.free_name(name), Case(draft))
            st.rerun()


def _upload(key: str) -> None:
    st.subheader("Open files of your own", anchor=False)
    held = limits()
    with st.form(f"{key}-files", border=False):
        given = st.file_uploader(
            f"A zip taken away from here, or a scenario's files: {', '.join(NAMES[:4])}",
            type=["zip", "yaml", "csv", "json"],
            accept_multiple_files=True,
            key=f"{key}-upload",
            help=f"At most {held.upload_megabytes} MB. They are read here and go nowhere else.",
        )
        read = st.form_submit_button("Open these files", key=f"{key}-read")
    if not read:
        return
    uploads = [Upload(file.name, file.getvalue()) for file in given or ()]
    try:
        case, notes = read_case(gather(uploads, held.upload_megabytes * 1_000_000))
    except InputFaults as caught:
        show_faults(caught.faults)
        return
    name = next((u.name.rsplit(".", 1)[0] for u in uploads if u.name.endswith(".zip")), "")
    shop = str(case.draft.shop.get("name") or "my shop")
    session.begin(session.free_name((name or shop)[:60]), case)
    st.session_state["notes"] = list(notes)
    st.rerun()
