"""Choosing a shop: one of the demos, or files of one's own."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from pathlib import Path

import streamlit as st

import shopfit
from shopfit import planning
from shopfit.errors import Fault, InputFaults
from shopfit.model.scenario import Scenario
from shopfit.ui import rows
from shopfit.ui.intake import NAMES, Upload, unpack
from shopfit.ui.text import plain, plain_cells

OWN_FILES = "my own files"


def demo_folders() -> dict[str, Path]:
    """Find the demos beside the package or where the page was started, by name."""
    starts = (Path(shopfit.__file__).parent.parent, Path.cwd())
    found: dict[str, Path] = {}
    for start in starts:
        for shop in sorted((start / "scenarios").glob("*/shop.yaml")):
            found.setdefault(shop.parent.name, shop.parent)
    return found


def choose(locked: bool) -> Scenario | None:
    """Let a shop be chosen; shows every fault of what was given, or gives the scenario.

    Parameters
    ----------
    locked
        Whether a search runs, so that nothing may be changed.
    """
    demos = demo_folders()
    source = st.selectbox("Shop", [*demos, OWN_FILES], key="source", disabled=locked)
    if source != OWN_FILES:
        return _read(demos[source])
    given = st.file_uploader(
        f"A zip of a scenario folder, or its files: {', '.join(NAMES)}",
        type=["zip", "yaml", "csv"],
        accept_multiple_files=True,
        key="upload",
        disabled=locked,
    )
    if not given:
        st.info("Give the files of your shop. `shopfit new my-shop` writes a set to start from.")
        return None
    uploads = [Upload(file.name, file.getvalue()) for file in given]
    with tempfile.TemporaryDirectory(prefix="shopfit-") as folder:
        return _unpacked(uploads, Path(folder) / "my-shop")


def _unpacked(uploads: Sequence[Upload], folder: Path) -> Scenario | None:
    try:
        unpack(uploads, folder)
    except InputFaults as caught:
        show_faults(caught.faults)
        return None
    return _read(folder)


def _read(folder: Path) -> Scenario | None:
    try:
        return planning.load_scenario(folder)
    except InputFaults as caught:
        show_faults(caught.faults)
        return None


def show_faults(faults: Sequence[Fault]) -> None:
    """Show faults of the input in a table."""
    count = len(faults)
    with st.container(key="faults"):
        st.error(plain(f"{count} fault{'s' if count != 1 else ''} in what was given"))
        st.table(plain_cells(rows.fault_rows(faults)), hide_index=True)
