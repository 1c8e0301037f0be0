"""Two calculators: ramps that fit the ground before a door, and aisles across a room."""

from __future__ import annotations

from collections.abc import Mapping
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
RAMP_FIELDS: Mapping[str, str] = {
    "rise": "Height of the floor above the ground",
    "along": "Ground along the wall",
    "away": "Ground out from the wall",
    "offset": "From its left end to the door",
    "door": "Clear width of the door",
}
RAMP_PATHS: Mapping[str, tuple[str | int, ...]] = {
    "rise": ("rise",),
    "along": ("ground", "along"),
    "away": ("ground", "away"),
    "offset": ("door", "offset"),
    "door": ("door", "width"),
}
AISLE_FIELDS: Mapping[str, str] = {
    "room": "Clear width of the room",
    "left": "Depth along one wall",
    "right": "Depth along the other wall",
    "island": "Depth of an island",
    "aisle": "Aisle wanted",
}


def ramp(scenario: Scenario | None) -> None:
    """Ask for the ground before a door, and show the ramps that fit on it."""
    tick = ("existing", "The site leaves little space")
    asked = _asked("ramp", RAMP_FIELDS, tick, ("find-ramps", "Find ramps"))
    if asked is not None:
        _ramps(scenario, *asked)


def _asked(
    what: str, fields: Mapping[str, str], tick: tuple[str, str], button: tuple[str, str]
) -> tuple[dict[str, str], bool] | None:
    """Show a form of lengths and one box to tick; gives what was last asked, or none."""
    hint = plain(typing_hint(session.units()))
    with st.form(what, border=False):
        columns = st.columns(3)
        typed = {
            name: columns[place % 3].text_input(label, key=session.own(f"{what}-{name}"), help=hint)
            for place, (name, label) in enumerate(fields.items())
        }
        ticked = columns[2].checkbox(tick[1], key=session.own(f"{what}-{tick[0]}"))
        if st.form_submit_button(button[1], key=button[0]):
            st.session_state[f"{what} asked"] = (typed, ticked)
    asked: tuple[dict[str, str], bool] | None = st.session_state.get(f"{what} asked")
    return asked


def _ramps(scenario: Scenario | None, typed: dict[str, str], tight: bool) -> None:
    from shopfit.ramping import best, ramp_files, ramps, read_question

    given: dict[tuple[str | int, ...], tuple[str, Any]] = {
        RAMP_PATHS[name]: (RAMP_FIELDS[name], text) for name, text in typed.items() if text.strip()
    }
    given["units",] = ("the units", session.units())
    if tight:
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
    words = f"Ramp {best(answer, 1)[0].id}"
    for name, data in ramp_files(answer, book, 1).items():
        if name.endswith(".svg"):
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
    tick = ("twice", "An island is two of these back to back")
    asked = _asked("aisle", AISLE_FIELDS, tick, ("reckon-aisles", "Reckon"))
    if asked is not None:
        _aisles(scenario, *asked)


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
