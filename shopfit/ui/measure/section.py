"""Measure: the shell from the tape to a plan that closes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import streamlit as st

from shopfit.files.parts import SHOP
from shopfit.model.scenario import Shop
from shopfit.ui import session
from shopfit.ui.measure import building, finishing, shelltables, walls
from shopfit.ui.measure.sketch import sketch, wall_names
from shopfit.ui.tables import parts, records
from shopfit.ui.tables.parts import Part
from shopfit.ui.tables.records import Records
from shopfit.ui.text import show_faults

PARTS = (
    "Walls",
    "Doors",
    "Windows",
    "On walls",
    "Columns",
    "Zones",
    "Beams and ducts",
    "Heights",
    "Rooms",
    "Fitting rooms",
    "Way in",
    "Building",
    "Finishes",
    "Shop",
)
Item = Mapping[str, Any]


def show() -> None:
    """Show the section."""
    drawn = sketch(session.judged().parts.shop, session.draft().shop)
    picture, inputs = st.columns([5, 7], gap="large")
    with picture:
        _picture(drawn)
    with inputs:
        part = st.segmented_control(
            "What to measure",
            PARTS,
            default="Walls",
            required=True,
            key="measure-part",
            wrap=True,
        )
        _part(part or "Walls", drawn)
    left = [fault for fault in session.judged().faults if fault.file == SHOP]
    if left:
        show_faults(left, f"{len(left)} to mend in the shell")


def _picture(drawn: Shop | None) -> None:
    if drawn is None:
        st.info("The plan grows here with the first wall.")
        return
    from shopfit.drawing.measured import measured_scene, measured_svg

    # As an image, so that nothing inside the drawing can run as a script.
    about = measured_scene(drawn).about
    with st.container(key="shell-picture"):
        st.image(measured_svg(drawn), width="stretch", alt=about)
    st.caption("North is up. Blue square: where the walk began. Not to scale.")


def _part(part: str, drawn: Shop | None) -> None:
    on = wall_names(drawn)
    names = [room.id for room in drawn.rooms] if drawn else []
    tables: dict[str, Records] = {
        "Doors": shelltables.doors(on, names),
        "Windows": shelltables.windows(on),
        "On walls": shelltables.obstructions(on),
        "Columns": shelltables.columns(),
        "Zones": shelltables.zones(),
        "Beams and ducts": building.overheads(),
        "Rooms": shelltables.rooms(),
        "Fitting rooms": building.fitting_rooms(),
    }
    if part == "Walls":
        walls.show()
    elif part == "Heights":
        _heights(on)
    elif part == "Way in":
        _way_in()
    elif part == "Building":
        building.show()
    elif part == "Finishes":
        finishing.show()
    elif part == "Shop":
        parts.single(Records("shop", "shop", shelltables.shop_fields()), Part(SHOP))
    else:
        spec = tables[part]
        parts.listed(spec, Part(SHOP, (spec.key,)), folded=False)


def _heights(on: Sequence[str]) -> None:
    st.caption(
        "Only for walls under a sloped ceiling: heights at two or more places along a wall; "
        "between them the ceiling is straight. Elsewhere the room's height holds."
    )
    rooms = list(session.draft().shop.get("rooms") or ())
    own = [str(wall.get("id")) for room in rooms for wall in room.get("walls") or ()]
    spec = shelltables.heights([name for name in own if name] or on)
    items = [
        {"wall": wall.get("id"), **point}
        for room in rooms
        for wall in room.get("walls") or ()
        for point in wall.get("heights") or ()
    ]
    after = records.edit(spec, items, [""] * len(items))
    formed = records.one_at_a_time(spec, items)
    changed = formed if formed is not None else after
    if changed is None:
        return
    shop = {**session.draft().shop, "rooms": [_with_heights(room, changed) for room in rooms]}
    if formed is not None:
        session.write("Change heights", shop=shop)
    else:
        session.the_work().write("Change a height", shop=shop)
    st.rerun()


def _with_heights(room: Item, points: Sequence[Item]) -> dict[str, Any]:
    walls_there = []
    for wall in room.get("walls") or ():
        mine = [
            {name: size for name, size in point.items() if name != "wall"}
            for point in points
            if point.get("wall") == wall.get("id")
        ]
        bare = {name: value for name, value in wall.items() if name != "heights"}
        walls_there.append({**bare, "heights": mine} if mine else bare)
    return {**room, "walls": walls_there}


def _way_in() -> None:
    doors = [str(door.get("id")) for door in session.draft().shop.get("doors") or ()]
    fields = shelltables.approach_fields(doors)
    parts.single(Records("approach", "way in", fields), Part(SHOP, ("approach",)))
    with st.expander("What else can be said of steps and handrails"):
        more = Records("approach-more", "way in", shelltables.approach_more(fields))
        parts.single(more, Part(SHOP, ("approach",)))
    st.subheader("Ramps, from the door down", anchor=False)
    parts.listed(shelltables.ramps(), Part(SHOP, ("approach", "ramps")), folded=False)
