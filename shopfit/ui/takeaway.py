"""Take away: every file of the layout, and the whole case as a zip that opens again the same."""

from __future__ import annotations

import threading

import streamlit as st

from shopfit import planning
from shopfit.cases.bundle import case_files, zipped
from shopfit.planning import Plan
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


class Files:
    """Files of a plan, made when they are first wanted and never twice; from any thread.

    Parameters
    ----------
    plan
        Which; without one there are none.
    """

    def __init__(self, plan: Plan | None) -> None:
        self._plan = plan
        self._lock = threading.Lock()
        self._made: dict[str, bytes] | None = None if plan is not None else {}

    @property
    def made(self) -> bool:
        """Whether they are there."""
        return self._made is not None

    def get(self) -> dict[str, bytes]:
        """Give them; contents by name."""
        with self._lock:
            if self._made is None:
                assert self._plan is not None
                self._made = planning.plan_files(self._plan)
            return self._made


def show() -> None:
    """Show the section."""
    work, plan = session.the_work(), session.plan()
    case = case_files(work.now)
    files = session.once("files", lambda: Files(plan), plan)
    st.write(
        "The zip holds the shell, the range, the fixtures, the pins and the layout with its "
        "drawings and lists. Opened here again it is the same case."
    )
    name = file_name(work.name)
    st.download_button(
        "Everything in one zip",
        # Made on the click, for that takes a few seconds.
        lambda: zipped(name, {**files.get(), **case}),
        file_name=f"{name}.zip",
        mime="application/zip",
        key="take-all",
        on_click="ignore",
        type="primary",
    )
    if plan is None:
        st.info("There is no layout yet, so there are no drawings and lists yet.")
    elif not files.made and st.button("Make drawings and lists one by one", key="make-files"):
        with st.spinner("Making drawings and lists"):
            files.get()
        st.rerun()
    _single({**(files.get() if files.made else {}), **case})


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
