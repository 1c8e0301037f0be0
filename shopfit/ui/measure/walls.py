"""Walls typed as they are walked, and what closes the walk."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import streamlit as st

from shopfit.files.parts import SHOP
from shopfit.ui import session
from shopfit.ui.measure import shelltables
from shopfit.ui.measure.sketch import (
    Closing,
    closing,
    drawable,
    gap_words,
    mend_words,
    turn_words,
    unread,
)
from shopfit.ui.tables import records
from shopfit.ui.tables.cells import unit_hint, with_unit
from shopfit.ui.text import plain
from shopfit.units import format_length

TURNS = {"right 90°": "90", "left 90°": "-90", "right 45°": "45", "left 45°": "-45", "other": ""}
MOST_MENDS = 4
Item = Mapping[str, Any]


def show() -> None:
    """Show the walls of a room: adding, closing, changing."""
    rooms = list(session.draft().shop.get("rooms") or ())
    if not rooms:
        st.info("Add a room first, under Rooms.")
        return
    place = _which(rooms)
    room = rooms[place]
    if room.get("corners"):
        _corners(rooms, place)
        return
    walls = list(room.get("walls") or ())
    _next_wall(rooms, place)
    _closing(rooms, place)
    group = ("rooms", str(room.get("id", "")), "walls")
    spec = shelltables.walls()
    checks = records.checks_of(session.faults(SHOP, *group), group, walls, spec)
    st.subheader("Walls in walking order", anchor=False)
    after = records.edit(spec, walls, checks)
    if after is not None:
        session.the_work().write("Change a wall", shop=with_walls(rooms, place, after))
        st.rerun()
    if walls:
        with st.container(horizontal=True):
            if st.button("Take out the last wall", key="last-wall"):
                session.write("Take out the last wall", shop=with_walls(rooms, place, walls[:-1]))
                st.rerun()


def with_walls(rooms: Sequence[Item], place: int, walls: Sequence[Item]) -> dict[str, Any]:
    """Give the shop as written with other walls in one of its rooms."""
    room = {**rooms[place], "walls": list(walls)}
    listed = [room if index == place else each for index, each in enumerate(rooms)]
    return {**session.draft().shop, "rooms": listed}


def _which(rooms: Sequence[Item]) -> int:
    if len(rooms) == 1:
        return 0
    chosen: int = st.selectbox(
        "Room",
        range(len(rooms)),
        format_func=lambda place: str(rooms[place].get("id") or f"room {place + 1}"),
        key="room-walked",
    )
    return chosen


def _next_wall(rooms: Sequence[Item], place: int) -> None:
    walls = list(rooms[place].get("walls") or ())
    units = session.units()
    st.caption(
        "Walk round the room with the wall at your left hand. Type each wall as the tape reads, "
        "and which way you turn at its end."
    )
    with st.form("next-wall", clear_on_submit=True, border=True):
        name_column, length_column, turn_column, other_column = st.columns([3, 3, 3, 2])
        name = name_column.text_input("Name", placeholder=_free(walls), key="next-name")
        length = length_column.text_input(
            f"Length ({unit_hint('length', units)})",
            placeholder={"ft-in": "7' 8 1/2\"", "in": "92 1/2", "mm": "2350", "m": "2.35"}[units],
            key="next-length",
        )
        turn = turn_column.selectbox("Then turn", list(TURNS), key="next-turn")
        other = other_column.text_input("Other turn (°)", placeholder="-30", key="next-other")
        added = st.form_submit_button("Add this wall", type="primary", key="add-wall")
    if not added:
        return
    if not length.strip():
        st.error("Give the length of the wall.")
        return
    wall = {
        "id": name.strip() or _free(walls),
        "length": with_unit(length.strip(), "length", units),
        "turn": other.strip() or TURNS[turn] or "90",
    }
    session.write("Add a wall", shop=with_walls(rooms, place, [*walls, wall]))
    st.rerun()


def _free(walls: Sequence[Item]) -> str:
    names = {
        str(wall.get("id"))
        for room in session.draft().shop.get("rooms") or ()
        for wall in room.get("walls") or ()
    }
    number = len(walls) + 1
    while f"wall {number}" in names:
        number += 1
    return f"wall {number}"


def _closing(rooms: Sequence[Item], place: int) -> None:
    room = drawable(rooms[place])
    if room is None:
        return
    lost = unread(rooms[place])
    if lost:
        with st.container(key="closing"):
            st.info(
                plain(f"Not walked yet, for they cannot be read: {', '.join(lost)}."),
                icon=":material/footprint:",
            )
        return
    found = closing(room)
    with st.container(key="closing"):
        if found.closed:
            told = turn_words(found)
            st.success(
                "The walk closes." + (f" But: {told}" if told else ""), icon=":material/check:"
            )
        elif found.walls < 3:
            st.info(f"{found.walls} of at least 3 walls so far.", icon=":material/footprint:")
        else:
            _open_walk(found, rooms, place)
        if found.last_mm is not None and not found.closed:
            last = format_length(found.last_mm, session.units())
            if st.button(f"Add the wall that closes it, {last}", key="close-it"):
                walls = list(rooms[place].get("walls") or ())
                wall = {"id": _free(walls), "length": f"{found.last_mm:.6g} mm", "turn": "90"}
                session.write("Close the walk", shop=with_walls(rooms, place, [*walls, wall]))
                st.rerun()


def _open_walk(found: Closing, rooms: Sequence[Item], place: int) -> None:
    units = session.units()
    told = [gap_words(found, units)]
    if found.last_mm is None:
        told.append(turn_words(found))
    st.warning(plain(" ".join(filter(None, told))), icon=":material/straighten:")
    if not found.mends:
        if found.last_mm is None:
            st.caption("No single length or turn would close it: more than one is off.")
        return
    st.write("Measure again. It would close if")
    for number, mend in enumerate(found.mends[:MOST_MENDS]):
        told_column, take = st.columns([4, 1], vertical_alignment="center")
        told_column.write(plain(f"• {mend_words(mend, units)}"))
        value = f"{mend.then:.9g} mm" if mend.what == "length" else f"{mend.then:.6g}"
        if take.button("Take it", key=f"mend-{number}", help="Only after measuring it again."):
            walls = [
                {**wall, mend.what: value} if wall.get("id") == mend.wall else wall
                for wall in rooms[place].get("walls") or ()
            ]
            session.write(f"Correct {mend.wall}", shop=with_walls(rooms, place, walls))
            st.rerun()


def _corners(rooms: Sequence[Item], place: int) -> None:
    room = rooms[place]
    st.caption("This room is given by its corners, clockwise on the plan.")
    walls = list(room.get("walls") or [{} for _ in room["corners"]])
    pairs = [{"at": at, "wall": wall} for at, wall in zip(room["corners"], walls, strict=False)]
    spec = shelltables.corners()
    after = records.edit(spec, pairs, [""] * len(pairs))
    with st.expander("One corner at a time"):
        formed = records.one_at_a_time(spec, pairs)
    changed = formed if formed is not None else after
    if changed is None:
        return
    whole = {
        **room,
        "corners": [pair.get("at") for pair in changed],
        "walls": [pair.get("wall") or {"id": f"wall {k + 1}"} for k, pair in enumerate(changed)],
    }
    listed = [whole if index == place else each for index, each in enumerate(rooms)]
    shop = {**session.draft().shop, "rooms": listed}
    if formed is not None:
        session.write("Change a corner", shop=shop)
    else:
        session.the_work().write("Change a corner", shop=shop)
    st.rerun()
