"""Take away: every file of the layout, and the whole case as a zip that opens again the same."""

from __future__ import annotations

import streamlit as st

from shopfit.cases.bundle import case_files, zipped
from shopfit.ui import session
from shopfit.ui.text import plain

KINDS = {
    ".svg": "image/svg+xml",
    ".pdf": "application/pdf",
    ".csv": "text/csv",
    ".json": "application/json",
    ".yaml": "application/yaml",
    ".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}
GROUPS = {
    "Drawings": (".pdf", ".svg"),
    "Lists": (".xlsx", ".csv"),
    "Everything else": ("",),
}


def show() -> None:
    """Show the section."""
    from shopfit.ui.layout.results import plan_files

    work, plan = session.the_work(), session.plan()
    case = case_files(work.now)
    files = plan_files(plan) if plan is not None else {}
    st.write(
        "The zip holds the shell, the range, the fixtures, the pins and the layout with its "
        "drawings and lists. Opened here again it is the same case."
    )
    name = file_name(work.name)
    st.download_button(
        "Everything in one zip",
        zipped(name, {**files, **case}),
        file_name=f"{name}.zip",
        mime="application/zip",
        key="take-all",
        on_click="ignore",
        type="primary",
    )
    if plan is None:
        st.info("There is no layout yet, so there are no drawings and lists yet.")
    _single({**files, **case})


def file_name(name: str) -> str:
    """Give a name that every file system takes."""
    kept = "".join(sign if sign.isalnum() or sign in " -_" else "-" for sign in name).strip(" -")
    return kept.replace(" ", "-") or "case"


def _single(files: dict[str, bytes]) -> None:
    left = dict(files)
    for heading, endings in GROUPS.items():
        group = {name: left.pop(name) for name in sorted(left) if name.endswith(endings)}
        if not group:
            continue
        st.subheader(heading, anchor=False)
        with st.container(horizontal=True, key=f"single-{heading.split()[0].lower()}"):
            for name, data in group.items():
                st.download_button(
                    plain(name),
                    data,
                    file_name=name,
                    mime=KINDS.get(name[name.rfind(".") :], "application/octet-stream"),
                    key=f"take-{name}",
                    on_click="ignore",
                )
