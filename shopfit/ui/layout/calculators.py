"""Two calculators: ramps that fit the ground before a door, and aisles across a room."""

from __future__ import annotations

from typing import Any

import streamlit as st

from shopfit.errors import InputFaults
from shopfit.model.aisles import AisleAnswer
from shopfit.model.rampplan import RampAnswer
from shopfit.model.scenario import Scenario
from shopfit.ui import session
from shopfit.ui.tables.cells import typing_hint
from shopfit.ui.text import plain, plain_cells, show_faults
from shopfit.units import format_area, format_length

LISTED = 8


def ramp(scenario: Scenario | None) -> None:
    """Ask for the ground before a door, and show the ramps that fit on it."""
    hint = plain(typing_hint(session.units()))
    with st.form("ramp", border=False):
        first, second, third = st.columns(3)
        rise = first.text_input("Height of the floor above the ground", key="ramp-rise", help=hint)
        along = second.text_input("Ground along the wall", key="ramp-along", help=hint)
        away = third.text_input("Ground out from the wall", key="ramp-away", help=hint)
        offset = first.text_input("From its left end to the door", key="ramp-offset", help=hint)
        width = second.text_input("Clear width of the door", key="ramp-door", help=hint)
        existing = third.checkbox("The site leaves little space", key="ramp-existing")
        asked = st.form_submit_button("Find ramps", key="find-ramps")
    if asked:
        st.session_state["ramp asked"] = (rise, along, away, offset, width, existing)
    typed = st.session_state.get("ramp asked")
    if typed is not None:
        _ramps(scenario, typed)


def _ramps(scenario: Scenario | None, typed: tuple[Any, ...]) -> None:
    from shopfit.ramping import best, ramp_files, ramps, read_question

    paths = (("rise",), ("ground", "along"), ("ground", "away"), ("door", "offset"))
    names = ("the height", "the ground along", "the ground out", "the door's place")
    pairs = [*zip(paths, names, typed[:4], strict=True)]
    pairs += [(("door", "width"), "the door's width", typed[4])]
    given: dict[tuple[str | int, ...], tuple[str, Any]] = {
        path: (name, value) for path, name, value in pairs if str(value).strip()
    }
    given["units",] = ("the units", session.units())
    if typed[5]:
        given["existing_site",] = ("the site", True)
    try:
        task, book = read_question(None, given, scenario.shop if scenario is not None else None)
        with st.spinner("Trying every arrangement"):
            answer = ramps(task, book)
    except InputFaults as caught:
        show_faults(caught.faults)
        return
    if not answer.arrangements:
        _no_ramp(answer)
        return
    st.table(plain_cells(ramp_rows(answer)), hide_index=True)
    told = f"{answer.tried:,} arrangements were tried, {answer.fitted:,} fit. "
    st.caption(plain(told + " ".join((*answer.family, *answer.grid, *answer.cautions))))
    chosen = best(answer, 1)
    files = ramp_files(answer, book, 1)
    for name, data in files.items():
        if name.endswith(".svg"):
            words = f"Ramp {chosen[0].id}"
            st.image(data.decode("utf-8"), caption=words, width="stretch", alt=words)


def _no_ramp(answer: RampAnswer) -> None:
    if not answer.needed:
        st.success(plain(answer.notes[0]))
        return
    st.warning("No ramp fits on this ground.")
    for note in answer.notes:
        st.write(plain(note))


def ramp_rows(answer: RampAnswer) -> list[dict[str, Any]]:
    """Give the smallest ramps that fit, one a row."""
    style = answer.task.units
    rows = []
    for one in answer.arrangements[:LISTED]:
        marks = [
            word
            for word, found in (("smallest", answer.smallest), ("cheapest", answer.cheapest))
            if found == one.id
        ]
        rows.append(
            {
                "ramp": one.id,
                "form": f"{one.form}: {one.way}",
                "slope": f"1:{one.ratio:g}",
                "runs": " + ".join(format_length(run, style) for run in one.runs_mm),
                "along × out": f"{format_length(one.along_mm, style)} × "
                f"{format_length(one.out_mm, style)}",
                "covers": format_area(one.footprint_m2, style),
                "handrail": format_length(one.handrail_mm, style),
                "cost": "" if one.cost is None else f"{one.cost:,.2f}",
                "is": ", ".join(marks),
            }
        )
    return rows


def aisle(scenario: Scenario | None) -> None:
    """Ask for a room and fixtures, and show what aisles need across it."""
    hint = plain(typing_hint(session.units()))
    with st.form("aisle", border=False):
        first, second, third = st.columns(3)
        room = first.text_input("Clear width of the room", key="aisle-room", help=hint)
        left = second.text_input("Depth along one wall", key="aisle-left", help=hint)
        right = third.text_input("Depth along the other wall", key="aisle-right", help=hint)
        island = first.text_input("Depth of an island", key="aisle-island", help=hint)
        wanted = second.text_input("Aisle wanted", key="aisle-wanted", help=hint)
        twice = third.checkbox("An island is two of these back to back", key="aisle-twice")
        asked = st.form_submit_button("Reckon", key="reckon-aisles")
    if asked:
        typed = {"room": room, "left": left, "right": right, "island": island, "aisle": wanted}
        st.session_state["aisle asked"] = (typed, twice)
    given = st.session_state.get("aisle asked")
    if given is not None:
        _aisles(scenario, *given)


def _aisles(scenario: Scenario | None, typed: dict[str, str], twice: bool) -> None:
    from shopfit.access.aisles import aisles
    from shopfit.files.aislefile import read_aisle_task
    from shopfit.planning import rulebook

    known = {name: value.strip() for name, value in typed.items() if value.strip()}
    known["units"] = session.units()
    try:
        task = read_aisle_task(known, scenario, twice)
        answer = aisles(task, rulebook(task.rulebook))
    except InputFaults as caught:
        show_faults(caught.faults)
        return
    st.table(plain_cells(aisle_rows(answer)), hide_index=True)
    for note in answer.notes:
        st.caption(plain(note))


def aisle_rows(answer: AisleAnswer) -> list[dict[str, Any]]:
    """Give what every number of rows of islands needs and leaves, one a row."""
    style = answer.task.units
    return [
        {
            "across the room": row.words,
            "fixtures": format_length(row.fixtures_mm, style),
            "aisles": f"{row.aisles} × {format_length(row.aisle_mm, style)}",
            "needed": format_length(row.needed_mm, style),
            "left": format_length(row.spare_mm, style),
            "fits": "yes" if row.fits else "no",
            "by": row.clause or "the brief",
        }
        for row in answer.rows
    ]
