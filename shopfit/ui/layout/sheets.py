"""Drawings on the page: hovering tells what something is, a click chooses it everywhere."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Mapping
from functools import lru_cache
from importlib import resources
from typing import Any

import streamlit as st

from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario
from shopfit.model.schedule import TakeOff
from shopfit.ui import session
from shopfit.ui.text import plain, plain_cells
from shopfit.units import format_length

CHOSEN = "chosen tag"
_TAG = re.compile(r'data-tag="([^"]+)"')


@lru_cache(maxsize=1)
def _component() -> Callable[..., Any]:
    own = resources.files("shopfit.ui.layout")
    return st.components.v2.component(
        "shopfit_sheets",
        html='<div class="sheets"></div>',
        css=own.joinpath("sheets.css").read_text("utf-8"),
        js=own.joinpath("sheets.js").read_text("utf-8"),
    )


def show(scenario: Scenario, layout: Layout, take_off: TakeOff, files: Mapping[str, bytes]) -> None:
    """Show the plan, one elevation, and what is known of what is chosen.

    Parameters
    ----------
    scenario, layout, take_off
        What was laid out, and its lists.
    files
        Its drawings.
    """
    names = [name for name in files if name.endswith(".svg") and "-tables-" not in name]
    plans = [name for name in names if name.startswith("plan")]
    others = [name for name in names if name.startswith(("wall-", "islands", "cutting"))]
    chosen = st.session_state.get(CHOSEN)
    _sheets(files, plans, "plan-sheets", chosen)
    with st.container(horizontal=True, vertical_alignment="bottom", key="elevation"):
        tags = {each.id for each in layout.placements} | {each.id for each in layout.runs}
        name = _elevation(files, others, chosen, tags)
    if name is not None:
        _sheets(files, [name], "elevation-sheets", chosen)
    _told(scenario, layout, take_off, chosen)


def _sheets(files: Mapping[str, bytes], names: list[str], key: str, chosen: str | None) -> None:
    texts = [files[name].decode("utf-8") for name in names]
    version = hashlib.sha256("".join(texts).encode("utf-8")).hexdigest()[:16]
    own = session.own(key)
    _component()(
        data={
            "sheets": [{"svg": text} for text in texts],
            "version": version,
            "chosen": chosen,
        },
        key=own,
        on_chosen_change=lambda: choose(getattr(st.session_state.get(own), "chosen", None)),
    )


def choose(tag: Any) -> None:
    """Choose what carries a tag, in every drawing and table."""
    if isinstance(tag, str) and tag:
        st.session_state[CHOSEN] = tag


def tags_of(svg: bytes) -> frozenset[str]:
    """Give the tags in a drawing."""
    return frozenset(_TAG.findall(svg.decode("utf-8")))


def _elevation(
    files: Mapping[str, bytes], names: list[str], chosen: str | None, tags: set[str]
) -> str | None:
    """Let a wall be picked; what is chosen on the plan brings its own wall."""
    if not names:
        return None
    # Sheets whose tags were looked for once are not read again.
    key, seen = session.own("elevation-sheet"), st.session_state.get("sheet shown for")
    if chosen is not None and chosen != seen:
        st.session_state["sheet shown for"] = chosen
        found = next((name for name in names if chosen in tags_of(files[name])), None)
        if found is not None:
            st.session_state[key] = found
    if st.session_state.get(key) not in names:
        # The first one with anything on it: bare walls are drawn too where walls are few.
        full = (name for name in names if tags_of(files[name]) & tags)
        st.session_state[key] = next(full, names[0])
    return st.selectbox(
        "Wall, islands or cutting",
        names,
        key=key,
        format_func=lambda name: name.removesuffix(".svg").replace("-", " ").capitalize(),
        width=360,
    )


def _told(scenario: Scenario, layout: Layout, take_off: TakeOff, chosen: str | None) -> None:
    if chosen is None:
        st.caption("Point at anything for what it is; click it for what it shows and holds.")
        return
    rows = rows_of(scenario, layout, take_off, chosen)
    st.subheader(plain(f"Chosen: {chosen}"), anchor=False)
    if rows:
        st.table(plain_cells(rows), hide_index=True)
    else:
        st.caption("It shows no goods.")


def rows_of(
    scenario: Scenario, layout: Layout, take_off: TakeOff, tag: str
) -> list[dict[str, Any]]:
    """Give what stands or hangs at a tag: a fixture, a run, a block or one place in it."""
    block = tag.split(".")[0]
    hosts = {b.id: b.host for b in layout.blocks}
    style = scenario.shop.units
    found = []
    for row in take_off.set_out:
        mine = tag in (row.block, hosts.get(row.block)) or row.block == block
        if mine:
            found.append(
                {
                    "line": row.line,
                    "category": row.category,
                    "facings": row.facings,
                    "holds": row.units,
                    "height": format_length(row.height_mm, style),
                    "held by": row.holder_name or row.holder or "own shelf",
                    "from": f"{format_length(row.from_mm, style)} from the {row.datum}",
                }
            )
    return found
